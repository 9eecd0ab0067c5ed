"""Drawings for a notebook cell: each chart drawn beforehand and kept beside it, then sent with other rows."""

import json
from functools import lru_cache
from importlib import import_module
from pathlib import Path

CHARTS = Path(__file__).parent / "charts"  # NAME.json is what NAME_chart draws of no rows: a page is half a second sooner without the drawing library
NO_ROWS = {
    "break_even": {"curves": [], "ends": [], "chosen": [], "crossings": [], "top": 1.0, "bottom": 0.0, "late": False},
    "causes": {"causes": []},
    "cash": {"cash": []},
    "evidence": {"rows": [], "range": [], "own": []},
    "dip": {"money": [], "value": [], "gap": []},
    "kept": {"causes": [], "total": [], "least": [], "names": [], "chosen": [], "top": 1.0},
    "limit": {"limit": []},
    "renewals": {"renewals": [], "end": 1.0},
    "ways": {"ways": [], "sell": []},
    "frontier": {"sets": [], "even": [], "marks": [], "budget": [], "top": 1.0, "bottom": 0.0, "right": 1.0, "left": 0.0},
    "band": {"band": [], "told": [], "chosen": [], "top": 1.0, "bottom": -1.0},
    "swings": {"swings": [], "middle": []},
    "map": {"cells": [], "here": []},
}


class Live:
    """A chart drawn once, shown again with other numbers as fast as the page can: only the data is sent anew.

    Parameters
    ----------
    spec : dict
        Vega-Lite, with named datasets and top-level parameters. [-]
    """

    def __init__(self, spec):
        self.spec = spec
        self.fixed = {param["name"]: param for param in self.spec.get("params", [])}

    def showing(self, frames, heading, description=""):
        """The chart with new rows and parameters.

        Parameters
        ----------
        frames : dict
            Rows by dataset name, and values by parameter name. [-]
        heading : str
            Over the drawing. [-]
        description : str, optional
            What it shows, for those who cannot see it. [-]

        Returns
        -------
        Shown
            For a notebook cell. [-]
        """
        params = [param | {"value": frames[name]} if name in frames else param for name, param in self.fixed.items()]
        datasets = {name: frames.get(name, rows) for name, rows in self.spec["datasets"].items()}
        return Shown(self.spec | {"params": params, "datasets": datasets, "title": heading, "description": description})


class Shown:
    """A finished Vega-Lite chart that a notebook shows as it is.

    Parameters
    ----------
    spec : dict
        Vega-Lite. [-]
    """

    def __init__(self, spec):
        self.spec = spec

    def _mime_(self):
        return "application/vnd.vegalite.v6+json", json.dumps(self.spec)


@lru_cache
def live(name):
    """A chart, drawn beforehand.

    Parameters
    ----------
    name : str
        A key of `NO_ROWS`. [-]

    Returns
    -------
    Live
        Still without data. [-]
    """
    return Live(json.loads((CHARTS / f"{name}.json").read_text(encoding="utf-8")))


def drawn(name):
    """A chart as its function draws it, of no rows.

    Parameters
    ----------
    name : str
        A key of `NO_ROWS`. [-]

    Returns
    -------
    dict
        Vega-Lite. [-]
    """
    chart = getattr(import_module(f"buildecon.story.charts.{name}_chart"), f"{name}_chart")
    return chart(NO_ROWS[name], "").to_dict()


def redraw():
    """Draw every chart anew into the files beside them; for whoever changes one.

    Returns
    -------
    list of str
        Names of the charts. [-]
    """
    for name in NO_ROWS:
        (CHARTS / f"{name}.json").write_text(json.dumps(drawn(name), indent=1, sort_keys=True) + "\n", encoding="utf-8")
    return list(NO_ROWS)
