"""Logs of fills made for a test."""

import datetime as dt

from demos import demo

from buildecon.project.records import Consumption, Energy, Tariff
from buildecon.project.rows import Fill

DAY = dt.date(2026, 3, 1)
PETROL = {"petrol": Energy(unit="L", price=1.5)}
CHARGING = {"charging": Energy(unit="kWh", tariffs=(Tariff(name="home", share=0.8, price=0.2), Tariff(name="road", share=0.2, price=0.6)))}


def fill(k, odometer, filled=None, source="petrol", full="yes", **more):
    return Fill(row=k + 2, date=DAY + dt.timedelta(days=10 * k), odometer=odometer, source=source, filled=filled, full=full, **more)


def project_of(fills, energy=PETROL, distance_unit="km", **consumption):
    """The roadster's build.toml with these energies, one consumption and this log."""
    base = demo("roadster")
    part = (Consumption(**({"source": next(iter(energy)), "amount": 8, "unit": "L/100 km"} | consumption)),)
    options = tuple(one.model_copy(update={"energy": part if one.id == base.file.build.quoted_option else ()}) for one in base.options)
    build = base.file.build.model_copy(update={"distance_unit": distance_unit, "as_of": dt.date(2030, 1, 1)})
    return base.model_copy(update={"file": base.file.model_copy(update={"energy": energy, "options": options, "build": build}), "energy": tuple(fills)})
