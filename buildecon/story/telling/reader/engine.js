"use strict";
// What an option costs by years kept, month by month, as `decision.compare` works it out. Arrays by month: place 0 is the start.
// Sums are made in the order in which the package makes them: what lies between two cents must fall to the same side.
const buildeconEngine = (() => {
  const HAIR = 1e-12, TINY = 1e-200, WEAR_KM = 10000, GRID = 400, EQUAL = 1e-6;

  // Of one option: present value, level cost a month, cost of one unit of distance; and the months at which a car is replaced.
  function costs(data, option, set) {
    const months = data.months, kmYear = data.controls.distance.stops[set.distance] * data.km_per[data.unit], km = option.kind === "hire" ? 0 : kmYear;
    const series = (place) => (place === null ? null : data.series[place]);
    const factors = series(data.factors), annuity = series(data.annuity);
    const money = (table) => (typeof table === "number" ? table : table[set.street ? 1 : 0][set.hours]);
    const value = values(option.value, series(option.value.by_year), months, kmYear);
    const kits = series(option.kits);
    const end = value.map((each, m) => each * (1 - option.selling) + (kits ? kits[m] : 0));
    const energy = sources(data, option, set, kmYear);
    const first = running(option, option.fixed.map(series), value, energy, months, km);
    const owed = series(option.owed) || new Float64Array(months + 1);
    const start = money(option.money_in) - option.put_off - option.loan + option.at_once;
    const total = kept(start, first, end.map((each, m) => each - owed[m]), factors);
    const last = option.life.km === null ? months + 1 : lastMonth(option.life.km, km, months);
    const replaced = [];
    if (last <= months) {
      const debt = Array.from(owed, (each) => 0 - each);
      const spentFirst = kept(start, first, debt, factors);
      const spentAgain = kept(money(option.again) - option.loan, running(option, option.fixed_again.map(series), value, [], months, km), debt, factors);
      const lasts = option.life.again_km === null ? months + 1 : lastMonth(option.life.again_km, km, months);
      const scrap = option.life.scrap + (option.life.kit ? held(option.life.kit, Math.min(option.life.km / Math.max(kmYear, 1e-9), 1000)) : 0);
      replace(total, { first: spentFirst, again: spentAgain, value: end, ends: last, lasts, scrap, rate: data.rate, energy });
      for (let m = last; m < months; m += lasts) replaced.push(m);
    }
    chances(total, data, option, km, series, replaced);
    const perMonth = total.map((each, m) => (annuity[m] > 0 ? each / annuity[m] : NaN));
    const driven = option.kind === "hire" ? 0 : data.controls.distance.stops[set.distance] / 12;
    return { total, perMonth, perDistance: perMonth.map((each) => (driven > 0 ? each / driven : NaN)), replaced, moneyIn: money(option.money_in) };
  }

  // Value by month: what the distance does to it, and scrap as its least and its end.
  function values(curve, byYear, months, kmYear) {
    const left = curve.left === null ? Infinity : curve.left, found = new Array(months + 1);
    for (let m = 0; m <= months; m += 1) {
      const driven = (m / 12) * kmYear;
      let value = byYear ? byYear[m] : 0;
      if (curve.straight !== null) value = curve.scrap + (curve.straight - curve.scrap) * Math.max(1 - driven / left, 0);
      else if (curve.wear) value *= (1 - curve.wear) ** (driven / curve.per);
      if (curve.scrap !== null) value = driven < left * (1 - HAIR) ? Math.max(value, curve.scrap) : curve.scrap;
      found[m] = value;
    }
    return found;
  }

  // By source of an option's energy: its cost a year at the prices set, and how its price grows.
  function sources(data, option, set, kmYear) {
    const bySource = new Map();
    for (const [source, perKm, whole] of option.energy) {
      const place = data.growth[source], cost = perKm === null ? 0 : data.series[perKm][set.energy[source]];
      const one = bySource.get(source) || { aYear: 0, growth: place === null ? null : data.series[place] };
      one.aYear += (kmYear * cost) / whole;
      bySource.set(source, one);
    }
    return [...bySource.values()];
  }

  // What is paid at the end of each month, the first in place 0.
  function running(option, fixed, value, energy, months, km) {
    const rise = option.upkeep_by_year + (option.upkeep_by_km * km) / WEAR_KM, paid = new Array(months);
    for (let m = 0; m < months; m += 1) {
      let sum = option.a_month, used = 0, renewed = 0;
      for (const source of energy) used += (source.aYear * (source.growth ? source.growth[m] : 1)) / 12;
      sum += used;
      for (const each of fixed) sum += each[m];
      if (option.insurance_share) sum += (option.insurance_share * value[m - (m % 12)]) / 12;
      if (option.upkeep) sum += (option.upkeep * (1 + (rise * (m + 1)) / 12)) / 12;
      for (const [cost, first, life] of option.renewals) renewed += cost * (renewals(first, life, (km * (m + 1)) / 12) - (m ? renewals(first, life, (km * m) / 12) : 0));
      paid[m] = sum + renewed + option.enjoyment;
    }
    return paid;
  }

  function renewals(first, life, driven) {
    return Math.max(Math.floor((driven * (1 + HAIR) - first) / life) + 1, 0);
  }

  function kept(start, paid, end, factors) {
    const total = new Array(paid.length + 1);
    let sum = 0;
    total[0] = start + sum - end[0] * factors[0];
    for (let m = 1; m < total.length; m += 1) {
      sum += paid[m - 1] * factors[m];
      total[m] = start + sum - end[m] * factors[m];
    }
    return total;
  }

  // Month with whose end a life ends; what lasts beyond the horizon counts as one month more than that.
  function lastMonth(km, kmYear, months) {
    return Math.min(Math.max(Math.ceil(((km * 12) / Math.max(kmYear, TINY)) * (1 - HAIR)), 1), months + 1);
  }

  function held([value, years, rate], at) {
    return value * (1 - rate) ** Math.max(at - years, 0);
  }

  // Overwrites the total from the end of the first life on: scrap, and the next car in the money of its day.
  function replace(total, { first, again, value, ends, lasts, scrap, rate, energy }) {
    const top = total.length - 1, byMonth = -Math.log1p(rate) / 12, notZero = (log) => (Math.abs(log) < TINY ? TINY : log);
    const aLife = (spent, last) => spent[Math.min(last, top)] - scrap * Math.exp(Math.min(last, top) * byMonth);
    const toFirstEnd = aLife(first, ends), oneLife = aLife(again, lasts), logLife = notZero(lasts * byMonth);
    const logs = energy.map((source) => notZero((source.growth ? Math.log1p(source.growth[11] - 1) / 12 : 0) + byMonth));
    const used = (month) => energy.reduce((sum, source, k) => sum + (((source.aYear / 12) * Math.exp(logs[k])) / Math.expm1(logs[k])) * Math.expm1(month * logs[k]), 0);
    for (let month = ends; month <= top; month += 1) {
      const begun = Math.max(Math.ceil((month - ends) / lasts), 0), before = Math.max(begun - 1, 0);
      const age = Math.min(Math.max(month - ends - before * lasts, 0), top);
      const now = again[age] - (age === lasts ? scrap : value[age]) * Math.exp(age * byMonth);
      let later = (oneLife * Math.expm1(before * logLife)) / Math.expm1(logLife) + now * Math.exp(before * lasts * byMonth);
      later = later * Math.exp(ends * byMonth) + used(month) - used(ends);
      total[month] = toFirstEnd + (begun > 0 ? later : 0);
    }
  }

  // Adds the expected bills of what fails by chance; a car that follows begins as the first did.
  function chances(total, data, option, km, series, replaced) {
    if (!km || !option.chance.length) return;
    const months = data.months, reach = 2 ** Math.ceil(Math.log2((km * months) / 12)), factors = series(data.factors);
    const bills = new Array(months).fill(0);
    for (const part of option.chance) {
      const paid = series(part.paid[String(reach)]);
      let before = between(paid, reach, 0);
      for (let m = 1; m <= months; m += 1) {
        const now = between(paid, reach, (km * m) / 12);
        bills[m - 1] += part.cost * (now - before);
        before = now;
      }
    }
    for (let m = 1, sum = 0, begun = 0, cars = 0; m <= months; m += 1) {
      if (replaced[cars] < m) begun = replaced[cars++];
      sum += bills[m - 1 - begun] * factors[m];
      total[m] += sum;
    }
  }

  function between(paid, reach, at) {
    if (!paid) return 0;
    const step = reach / GRID, grid = (k) => (k === GRID ? reach : k * step);
    let k = Math.min(Math.floor(at / step), GRID - 1);
    while (grid(k) > at) k -= 1;
    while (k < GRID - 1 && grid(k + 1) <= at) k += 1;
    return ((paid[k + 1] - paid[k]) / (grid(k + 1) - grid(k))) * (at - grid(k)) + paid[k];
  }

  // Every option of a view, and what follows from them side by side.
  function comparison(data, set) {
    const view = data.views[set.view], found = view.options.map((option) => costs(data, option, set)), month = 12 * data.controls.years.stops[set.years];
    const rivals = view.options.map((_, k) => k).filter((k) => view.options[k].kind !== "build"), able = rivals.filter((k) => !view.options[k].fails.length);
    const build = found[view.build], least = (field, m) => Math.min(...able.map((k) => found[k][field][m]));
    const joy = build.perMonth.map((each, m) => (able.length ? each - least("perMonth", m) : NaN));
    const cheapest = able.length ? able.reduce((best, k) => (found[k].total[month] < found[best].total[month] ? k : best)) : null;
    const apart = (other) => build.total.map((_, m) => Math.max(m, view.done_after)).map((m) => build.total[m] - other(m));  // while it is built as at its end
    return {
      data, set, view, month, options: view.options, found, build: view.build, rivals, joy, cheapest,
      years: data.controls.years.stops[set.years],
      breakEven: (k) => breakEven(apart((m) => found[k].total[m])),
      againstCheapest: () => (able.length ? breakEven(apart((m) => least("total", m))) : null),
      cheapestAt: (m) => able.reduce((best, k) => (found[k].total[m] < found[best].total[m] ? k : best)),
    };
  }

  // Where a difference by month crosses 0, in years: exact for the broken line.
  function breakEven(difference) {
    const f = difference.map((each) => (Math.abs(each) <= EQUAL ? 0 : each)), cheaper = (sign) => (sign < 0 ? "first" : "second");
    const apart = [], crossings = [];
    f.forEach((each, m) => { if (each) apart.push(m); });
    for (let k = 0; k + 1 < apart.length; k += 1) {
      const a = apart[k], b = apart[k + 1], before = Math.sign(f[a]), after = Math.sign(f[b]);
      if (b > a + 1) crossings.push({ at: (a + 1) / 12, kind: before !== after ? "crossing" : "touch", before: cheaper(before), after: cheaper(after) });
      else if (before !== after) crossings.push({ at: a / 12 + ((b / 12 - a / 12) * f[a]) / (f[a] - f[b]), kind: "crossing", before: cheaper(before), after: cheaper(after) });
    }
    const changes = crossings.filter((each) => each.kind !== "touch");
    const largest = difference.reduce((most, each) => (Math.abs(each) > Math.abs(most) ? each : most));
    const verdict = changes.length ? "changes" : Math.abs(largest) <= EQUAL ? "equal" : largest < 0 ? "first always" : "second always";
    return { crossings, changes, verdict, high: (difference.length - 1) / 12 };
  }

  // Figures as words, rounded as Python rounds: to the nearest, and what lies exactly between two to the even one.
  function fixed(value, decimals) {
    const size = Math.abs(value), sign = value < 0 || Object.is(value, -0) ? "-" : "";
    if (size >= 1e21) return sign + BigInt(size).toString() + (decimals ? `.${"0".repeat(decimals)}` : "");
    const text = size.toFixed(decimals), exact = size.toFixed(Math.min(decimals + 60, 100)), rest = exact.slice(exact.indexOf(".") + 1 + decimals);
    if (!/^50*$/.test(rest)) return sign + text;
    const below = exact.slice(0, exact.length - rest.length).replace(/\.$/, "");
    return sign + ("02468".includes(below[below.length - 1]) ? below : text);
  }

  function number(value, decimals = 0) {
    if (value === null || Number.isNaN(value)) return "-";
    const text = fixed(value, decimals), [whole, part] = text.split(".");
    const shown = whole.replace(/\B(?=(\d{3})+$)/g, ",") + (part === undefined ? "" : `.${part}`);
    return Number(text) === 0 ? shown.replace(/^-/, "") : shown;
  }

  function amount(value, currency, decimals = 0) {
    return value === null || Number.isNaN(value) ? "-" : `${number(value, decimals)} ${currency}`;
  }

  function round(value) {
    return Number(fixed(value, 0));
  }

  function yearsText(years) {
    if (years > 0 && years < 0.95) {
      const months = Math.max(round(12 * years), 1);
      return `${months} ${months === 1 ? "month" : "months"}`;
    }
    const shown = Math.abs(years - round(years)) < 0.05 ? fixed(years, 0) : fixed(years, 1);
    return shown === "1" ? `${shown} year` : `${shown} years`;
  }

  return { costs, comparison, breakEven, fixed, number, amount, round, yearsText };
})();
if (typeof module !== "undefined") module.exports = buildeconEngine;
