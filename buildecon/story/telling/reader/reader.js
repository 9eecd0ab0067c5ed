// The page's part: reads the controls, asks the engine, says and draws what it finds.
(() => {
  const { comparison, number, amount, yearsText } = buildeconEngine;
  const TODAY = "from today", LINE = 14, ABOVE = 12, BELOW = 44, LEFT = 56, TICKS = 6, JOY_YEARS = [1, 2, 3, 5, 6, 8, 10, 15, 20], TABLE_YEARS = [3, 6, 9];

  function alive(section) {
    const data = JSON.parse(section.querySelector("[data-reader-data]").textContent), form = section.querySelector("[data-controls]"), chart = section.querySelector("[data-chart]");
    const start = { view: "whole story", unit: data.unit, rate: "", code: "", street: false, years: data.controls.years.at, distance: data.controls.distance.at,
      hours: data.controls.hours ? data.controls.hours.at : 0, energy: data.controls.energy.map((one) => one.at) };
    let waiting = 0, shown = null;

    const control = (name) => form.querySelector(`[data-control="${name}"]`);
    const picked = (name) => form.querySelector(`[data-control="${name}"]:checked`).value;
    const at = (name) => Number(control(name).value);

    function settings() {
      return { view: picked("view"), unit: picked("unit"), rate: control("rate").value.trim(), code: control("code").value.trim().toUpperCase(),
        street: control("street") ? control("street").checked : false, years: at("years"), distance: at("distance"),
        hours: control("hours") ? at("hours") : 0, energy: data.controls.energy.map((_, k) => at(`energy-${k}`)) };
    }

    function reset() {
      for (const name of ["view", "unit"]) for (const one of form.querySelectorAll(`[data-control="${name}"]`)) one.checked = one.value === start[name];
      for (const name of ["rate", "code", "years", "distance", "hours"]) if (control(name)) control(name).value = start[name];
      start.energy.forEach((place, k) => { control(`energy-${k}`).value = place; });
      if (control("street")) control("street").checked = false;
      later();
    }

    function later() {
      if (!waiting) waiting = requestAnimationFrame(() => { waiting = 0; show(); });
    }

    function show() {
      const set = settings(), found = comparison(data, set);
      shown = { ...found, money: moneyOf(data, set), moved: JSON.stringify(set) !== JSON.stringify(start) };
      sayControls(form, shown);
      say(section, "answer", answer(shown));
      say(section, "joy", joySentence(shown));
      say(section, "heading", `${shown.money.code} a month, today's money, ${set.view}`);
      say(section, "set", setSentence(shown));
      say(section, "rate", rateSentence(shown));
      say(section, "rate-fault", rateFault(data, set, control("rate").validity.badInput));
      section.querySelector('[data-said="rate"]').hidden = !shown.money.typed;
      tables(section, shown);
      draw(chart, shown);
    }

    form.hidden = false;
    form.addEventListener("input", later);
    form.addEventListener("submit", (event) => event.preventDefault());
    form.querySelector("[data-reset]").addEventListener("click", reset);
    section.querySelector("details").addEventListener("toggle", () => shown && everyYear(section, shown));
    new ResizeObserver(() => shown && draw(chart, shown)).observe(chart);
    const choose = (event) => {
      const years = yearAt(chart, shown, event.clientX);
      if (years === at("years")) return;
      control("years").value = years;
      later();
    };
    chart.addEventListener("pointerdown", choose);
    chart.addEventListener("pointermove", (event) => { if (event.buttons === 1) choose(event); });
    show();
  }

  // The money as it is shown: the files' own, or at the one rate that was typed.
  function moneyOf(data, set) {
    const typed = Number(set.rate) > 0 && Number.isFinite(Number(set.rate)) && /^[A-Z]{3}$/.test(set.code);
    return typed ? { rate: Number(set.rate), code: set.code, typed } : { rate: 1, code: data.currency, typed };
  }

  const inMoney = (shown, value, decimals) => amount(value * shown.money.rate, shown.money.code, decimals);
  const figure = (shown, value, decimals) => number(value * shown.money.rate, decimals);

  function distanceText(data, set) {
    return `${number((data.controls.distance.stops[set.distance] * data.km_per[data.unit]) / data.km_per[set.unit])} ${set.unit} a year`;
  }

  function sayControls(form, { data, set }) {
    const told = { years: yearsText(data.controls.years.stops[set.years]), distance: distanceText(data, set) };
    if (data.controls.hours) told.hours = data.controls.hours.texts[set.hours];
    data.controls.energy.forEach((one, k) => { told[`energy-${k}`] = one.texts[set.energy[k]]; });
    for (const [name, text] of Object.entries(told)) {
      form.querySelector(`[data-shown="${name}"]`).textContent = text;
      form.querySelector(`[data-control="${name}"]`).setAttribute("aria-valuetext", text);
    }
  }

  function say(section, name, text) {
    const place = section.querySelector(`[data-said="${name}"]`);
    if (place.textContent !== text) place.textContent = text;
  }

  function setSentence({ data, set, moved }) {
    const { years, energy, hours, street } = data.controls;
    const parts = [`kept ${yearsText(years.stops[set.years])}`, distanceText(data, set), ...energy.map((one, k) => `${one.name} ${one.texts[set.energy[k]]}`)];
    if (hours) parts.push(`own hours at ${hours.texts[set.hours]}`);
    if (street) parts.push(set.street ? "given and discounted parts at street price" : "parts as the builder paid them");
    return `Set to: ${[...parts, set.view].join("; ")}.${moved ? "" : " These are the builder's own numbers."}`;
  }

  // What keeps a typed rate from being used; nothing where nothing was typed.
  function rateFault(data, set, noNumber) {
    const rate = Number(set.rate);
    if (noNumber || (set.rate && !(rate > 0 && Number.isFinite(rate)))) return `The rate must be a number above 0; the money is still shown in ${data.currency}.`;
    if (set.code && !/^[A-Z]{3}$/.test(set.code) && set.rate) return `The code must have three letters, as USD; the money is still shown in ${data.currency}.`;
    return "";
  }

  function rateSentence(shown) {
    const { data, set, found, build, month } = shown;
    return shown.money.typed ? `Shown at 1 ${data.currency} = ${set.rate} ${set.code}, a rate you typed. In ${data.currency} the build costs ${amount(found[build].perMonth[month], data.currency, 2)} a month.` : "";
  }

  function answer(shown) {
    const { options, found, build, month, years, cheapest, joy, set } = shown, mine = options[build];
    let said = `Kept ${yearsText(years)}${set.view === TODAY ? " from today" : ""}, ${mine.called} costs ${inMoney(shown, found[build].perMonth[month])} a month`;
    if (mine.waiting) said += ` (counting on ${inMoney(shown, mine.waiting)} not yet received)`;
    if (cheapest === null) said += "; nothing else meets every must-have, so there is no price of joy.";
    else {
      const more = joy[month] * shown.money.rate, name = `${options[cheapest].called}, the cheapest other that meets every must-have`;
      said += Math.abs(more) < 0.5 ? `, the same as ${name}` : `, ${amount(Math.abs(more), shown.money.code)} ${more > 0 ? "more" : "less"} than ${name}`;
      said += `; ${turning(shown, cheapest)}.`;
    }
    return mine.fails.length ? `${said} But the build itself fails a must-have: ${mine.fails.join("; ")}.` : said;
  }

  function turning(shown, cheapest) {
    const met = shown.againstCheapest(), span = `0 to ${yearsText(met.high)}`;
    if (!met.changes.length) return met.verdict === "equal" ? `the two cost the same from ${span}` : `it is ${met.verdict === "first always" ? "cheaper" : "dearer"} at every length from ${span}`;
    const against = (one) => { const then = shown.cheapestAt(Math.floor(12 * one.at + 0.5)); return then === cheapest ? "" : `, against ${shown.options[then].called}`; };
    return `it becomes ${met.changes.map((one) => `${one.after === "first" ? "cheaper" : "dearer"} after ${yearsText(one.at)}${against(one)}`).join(", then ")} (searched ${span})`;
  }

  function verdict(met, build, other) {
    const names = { first: build, second: other }, span = `(searched 0 to ${yearsText(met.high)})`;
    if (!met.changes.length) {
      const touches = met.crossings.length ? ` and touches at ${met.crossings.map((one) => yearsText(one.at)).join(", ")}` : "";
      return met.verdict === "equal" ? `both cost the same throughout ${span}` : `${names[met.verdict === "first always" ? "first" : "second"]} is the cheaper throughout${touches} ${span}`;
    }
    const parts = [`${names[met.crossings[0].before]} is cheaper up to ${yearsText(met.changes[0].at)}`];
    met.changes.forEach((one, k) => parts.push(`${names[one.after]} ${k + 1 < met.changes.length ? `up to ${yearsText(met.changes[k + 1].at)}` : "beyond"}`));
    return `${parts.join(", ")} ${span}`;
  }

  function joySentence(shown) {
    const { data, joy, month, years, set } = shown, each = joy[month];
    if (Number.isNaN(each)) return "No price of joy: no other option meets every must-have.";
    const kind = data.controls.hours ? data.controls.hours.conventions[set.hours] : data.convention, size = Math.abs(each), today = set.view === TODAY;
    const hours = years * data.drive_hours + (!today && kind === "hobby" ? data.hours_spent : 0);
    const words = [`${inMoney(shown, size)} a month`];
    if (data.drive_days) words.push(`${inMoney(shown, (12 * size) / data.drive_days, 2)} a drive day`);
    if (hours) words.push(`${inMoney(shown, (12 * years * size) / hours, 2)} an hour of ${today ? "driving" : data.drive_hours ? "building and driving" : "building"}`);
    const counted = today ? "spent already, whatever they are worth" : { hobby: "a hobby, at 0", wage: "labour at a wage, in the sums", shop: "labour at a shop rate, in the sums" }[kind];
    return `${each >= 0 ? "Price of joy:" : "No price of joy, the build is the cheap choice and saves"} ${words.join(", or ")}, kept ${yearsText(years)}. Own hours are counted as ${counted}.`;
  }

  // Tables: rows of finished text by column, as `story.page.table_html` sets them.
  function tables(section, shown) {
    const { data, set, options, found, build, month, years, joy, rivals, view } = shown, horizon = data.months / 12, code = shown.money.code;
    const at = [...new Set([...TABLE_YEARS.filter((year) => year <= horizon), years])].sort((a, b) => a - b), by = data.km_per[set.unit] / data.km_per[data.unit];
    const order = options.map((_, k) => k).sort((a, b) => found[a].perMonth[month] - found[b].perMonth[month]);
    const rows = order.map((k) => [
      ["option", options[k].name], ["money in", figure(shown, found[k].moneyIn)], ...at.map((year) => [yearsText(year), figure(shown, found[k].perMonth[12 * year])]),
      [`a ${set.unit}`, figure(shown, found[k].perDistance[month] * by, 2)], ["must-haves", options[k].fails.join("; ") || "all met"],
    ]);
    const able = JOY_YEARS.filter((year) => year <= horizon);
    const joyRow = [["kept", `price of joy, ${code} a month`], ...able.map((year) => [yearsText(year), figure(shown, joy[12 * year])])];
    const met = rivals.map((k) => {
      const crossed = shown.breakEven(k);
      return [["against", options[k].name], ["they cross at", crossed.changes.map((one) => yearsText(one.at)).join(", ") || "none"], ["who is cheaper", verdict(crossed, options[build].called, options[k].called)]];
    });
    table(section, "options", rows, `Every option, ${set.view}: ${code} put in, ${code} a month by years kept, ${code} a ${set.unit} at the years set`);
    table(section, "joy", [joyRow], `Price of joy by years kept, ${set.view}: below 0 the build is the cheap choice`);
    table(section, "meet", met, `Where the build and each other option cost the same, ${set.view}`);
    section.querySelector('[data-table="left"]').replaceChildren(...view.left_out.map((text) => element("p", { class: "reader-quiet" }, `Left out from today: ${text}.`)));
    everyYear(section, shown);
  }

  function everyYear(section, shown) {
    if (!section.querySelector("details").open) return;
    const { data, options, found, set } = shown;
    const rows = data.controls.years.stops.map((year) => [["kept", yearsText(year)], ...options.map((option, k) => [option.name, figure(shown, found[k].perMonth[12 * year], 2)])]);
    table(section, "every", rows, `${shown.money.code} a month by years kept, ${set.view}, to the cent`);
  }

  function isFigure(cell) {
    return !cell || cell === "-" || /^\d+$/.test(cell.replace(/^[+-]+/, "").replace(/%+$/, "").replace(/[,.]/g, ""));
  }

  function table(section, name, rows, caption) {
    const place = section.querySelector(`[data-table="${name}"]`);
    if (!rows.length) return place.replaceChildren();
    if (!place.firstChild) place.append(element("p", { class: "caption" }), element("div", { class: "sheet", tabindex: 0, role: "region" }));
    const [head, sheet] = place.children, columns = rows[0].map((_, k) => k).filter((k) => rows.some((row) => row[k][1]));
    const kinds = rows[0].map((_, k) => (rows.every((row) => isFigure(row[k][1])) ? "figures" : "words"));
    head.textContent = caption;
    sheet.setAttribute("aria-label", caption);
    const heads = columns.map((k) => element("th", { class: kinds[k], scope: "col" }, rows[0][k][0]));
    const lines = rows.map((row) => element("tr", {}, ...columns.map((k) => element("td", { class: kinds[k] }, row[k][1]))));
    sheet.replaceChildren(element("table", {}, element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...lines)));
    return sheet;
  }

  function element(tag, attributes, ...inside) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    made.append(...inside);
    return made;
  }

  // The drawing: one line an option, named at its end; no two labels touch.
  function drawn(tag, attributes, text) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    if (text !== undefined) made.textContent = text;
    return made;
  }

  function placing(chart, shown) {
    const width = Math.max(chart.clientWidth, 260), narrow = width < 520, slim = width < 640, high = narrow ? 320 : 380, right = slim ? 112 : 216, horizon = shown.data.months / 12, rate = shown.money.rate;
    let most = -Infinity, least = Infinity;
    for (const one of shown.found) for (let m = Math.min(24, shown.data.months); m <= shown.data.months; m += 1) { most = Math.max(most, one.perMonth[m] * rate); least = Math.min(least, one.perMonth[m] * rate); }
    const head = 1.04 * most, foot = Math.min(0, least), step = 10 ** Math.floor(Math.log10(Math.max(head - foot, 1e-9))) / 4;
    const top = Math.ceil(head / step) * step, bottom = Math.floor(foot / step) * step;
    const x = (years) => LEFT + (years / horizon) * (width - LEFT - right), y = (money) => ABOVE + ((top - money) / (top - bottom || 1)) * high;
    return { width, narrow, slim, high, right, horizon, top, bottom, x, y, foot: ABOVE + high };
  }

  function roundStep(least) {
    let power = 0;
    while (10 ** power > least) power -= 1;
    while (10 ** (power + 1) <= least) power += 1;
    return [1, 2, 5, 10].map((times) => times * 10 ** power).find((step) => step >= least * (1 - 1e-12));
  }

  function draw(chart, shown) {
    const p = placing(chart, shown), { options, found, month, money } = shown, pieces = [];
    const line = (kind, x1, x2, y1, y2) => drawn("line", { class: kind, x1, x2, y1, y2 });
    const text = (kind, x, y, lines) => {
      const made = drawn("text", { class: kind, x, y });
      lines.forEach((each, row) => made.append(drawn("tspan", { x, dy: row ? LINE : 0 }, each)));
      return made;
    };
    const step = roundStep(Math.max(p.top - p.bottom, 1e-9) / TICKS), every = Math.max(Math.round(roundStep(p.horizon / (p.narrow ? 5 : 10))), 1);
    for (let k = Math.ceil(p.bottom / step); k * step <= p.top; k += 1) {
      pieces.push(line(k === 0 ? "base" : "grid", LEFT, p.width - p.right, p.y(k * step), p.y(k * step)));
      pieces.push(text("tick money", LEFT - 8, p.y(k * step), [number(k * step, step >= 1 ? 0 : 2)]));
    }
    for (let year = 0; year <= p.horizon; year += every) pieces.push(text("tick year", p.x(year), p.foot + 20, [String(year)]));
    pieces.push(text("tick title", p.x(p.horizon), p.foot + 38, ["years kept"]));
    const at = p.x(shown.years), late = shown.years > 0.8 * p.horizon, kind = (k) => options[k].role.replace(" ", "-");
    pieces.push(line("rule", at, at, ABOVE, p.foot));
    const meetings = crossings(shown, p);
    for (const one of meetings) pieces.push(line("drop", p.x(one.years), p.x(one.years), p.y(one.money), p.foot));
    options.forEach((_, k) => pieces.push(drawn("path", { class: `curve ${kind(k)}`, "clip-path": "url(#reader-plot)", d: path(p, found[k].perMonth, money.rate, options[k].ready) })));
    const values = found.map((one) => one.perMonth[month] * money.rate);
    values.forEach((value, k) => { if (value >= p.bottom && value <= p.top) pieces.push(drawn("circle", { class: `dot ${kind(k)}`, cx: at, cy: p.y(value), r: 4.7 })); });
    for (const one of meetings) pieces.push(drawn("circle", { class: "ring", cx: p.x(one.years), cy: p.y(one.money), r: 5.9 }));
    meetings.forEach((one, j) => pieces.push(text("meeting", p.x(Math.min(one.years, 0.88 * p.horizon)) + 4, p.foot - 10 - (LINE + 2) * (j % 3), [p.narrow ? yearsText(one.years) : `${yearsText(one.years)}: ${one.against}`])));
    const clipped = values.map((value) => Math.min(Math.max(value, p.bottom), p.top));
    spread(clipped.map(p.y), values.map(() => LINE + 2), p).forEach((y, k) => {
      pieces.push(text(`figure ${kind(k)}${late ? " late" : ""}`, at + (late ? -9 : 9), y, [number(values[k]) + (values[k] > p.top ? " (above)" : "")]));
    });
    const named = options.map((_, k) => k).filter((k) => found[k].perMonth.some((each) => each * money.rate >= p.bottom && each * money.rate <= p.top));
    const names = named.map((k) => (p.slim ? options[k].narrow : options[k].wide));
    const ends = named.map((k) => p.y(Math.min(Math.max(found[k].perMonth[shown.data.months] * money.rate, p.bottom), p.top)));
    spread(ends, names.map((lines) => LINE * lines.length + 4), p).forEach((y, j) => {
      pieces.push(text(`end ${kind(named[j])}`, p.x(p.horizon) + 10, y - (LINE * (names[j].length - 1)) / 2, names[j]));
    });
    const frame = drawn("clipPath", { id: "reader-plot" });
    frame.append(drawn("rect", { x: LEFT, y: ABOVE, width: p.width - LEFT - p.right, height: p.high }));
    const svg = chart.querySelector("svg");
    svg.setAttribute("viewBox", `0 0 ${p.width} ${p.foot + BELOW}`);
    svg.setAttribute("aria-label", answer(shown));
    svg.replaceChildren(frame, ...pieces);
  }

  function path(p, perMonth, rate, ready) {
    const from = Math.max(ready, 1), points = new Array(perMonth.length - from);
    for (let m = from; m < perMonth.length; m += 1) points[m - from] = `${p.x(m / 12).toFixed(1)} ${Math.min(Math.max(p.y(perMonth[m] * rate), -9000), 9000).toFixed(1)}`;
    return `M${points.join("L")}`;
  }

  // Where the build and another meet inside the frame, from left to right.
  function crossings(shown, p) {
    const found = [], costs = shown.found[shown.build].perMonth;
    for (const k of shown.rivals) {
      for (const { at } of shown.breakEven(k).crossings) {
        const m = Math.min(Math.max(Math.floor(12 * at), 1), costs.length - 2), share = Math.min(Math.max(12 * at - m, 0), 1), money = (costs[m] + share * (costs[m + 1] - costs[m])) * shown.money.rate;
        if (money >= p.bottom && money <= p.top && at > 0) found.push({ years: at, money, against: shown.options[k].name });
      }
    }
    return found.sort((a, b) => a.years - b.years);
  }

  // Places as near to the wanted ones as they can be with no two blocks touching.
  function spread(wanted, heights, p) {
    const order = wanted.map((_, k) => k).sort((a, b) => wanted[a] - wanted[b]), half = order.map((k) => heights[k] / 2), low = ABOVE, high = ABOVE + p.high;
    const held = (place) => place.map((at, k) => Math.min(Math.max(at, low + half[k]), high - half[k]));
    let place = held(order.map((k) => wanted[k]));
    for (let round = 0, moved = true; round < 200 && moved; round += 1) {
      moved = false;
      for (let k = 0; k + 1 < place.length; k += 1) {
        const overlap = half[k] + half[k + 1] - (place[k + 1] - place[k]);
        if (overlap > 0.01) { place[k] -= overlap / 2; place[k + 1] += overlap / 2; moved = true; }
      }
      place = held(place);
    }
    const found = new Array(wanted.length);
    order.forEach((k, j) => { found[k] = place[j]; });
    return found;
  }

  function yearAt(chart, shown, clientX) {
    const p = placing(chart, shown), box = chart.getBoundingClientRect(), share = ((clientX - box.left) * (p.width / box.width) - LEFT) / (p.width - LEFT - p.right);
    return Math.min(Math.max(Math.round(share * p.horizon), 1), p.horizon) - 1;
  }

  for (const section of document.querySelectorAll("[data-reader]")) alive(section);
})();
