"""Drawings for a notebook cell: the break-even chart, drawn beforehand and sent anew with other rows, and two charts of cost."""

import json
from functools import lru_cache
from pathlib import Path

DRAWN = Path(__file__).parent / "charts" / "break_even.json"  # a page is half a second sooner without loading the drawing library
NO_ROWS = {"curves": [], "ends": [], "chosen": [], "crossings": [], "top": 1.0, "bottom": 0.0, "late": False}


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
def break_even_live():
    """The break-even chart, drawn beforehand: `charts/break_even.json` holds what `break_even_chart` draws of `NO_ROWS`.

    Returns
    -------
    Live
        Still without data. [-]
    """
    return Live(json.loads(DRAWN.read_text(encoding="utf-8")))


def causes_shown(rows, currency):
    """The chart of causes, for a notebook cell.

    Parameters
    ----------
    rows : list of dict
        From `cost_tables.causes_rows`. [money]
    currency : str
        ISO 4217 code. [-]

    Returns
    -------
    Shown
        The chart. [-]
    """
    from buildecon.story.charts.causes_chart import causes_chart

    return Shown(causes_chart(rows, f"{currency} over the plan").to_dict())


def cash_shown(rows, currency):
    """The chart of money out, for a notebook cell.

    Parameters
    ----------
    rows : list of dict
        From `cost_tables.cash_rows`. [money]
    currency : str
        ISO 4217 code. [-]

    Returns
    -------
    Shown
        The chart. [-]
    """
    from buildecon.story.charts.cash_chart import cash_chart

    return Shown(cash_chart(rows, f"{currency} out at the end of the month").to_dict())


@lru_cache
def evidence_live():
    """The chart of market evidence.

    Returns
    -------
    Live
        Still without data. [-]
    """
    from buildecon.story.charts.evidence_chart import evidence_chart

    return Live(evidence_chart({"rows": [], "range": [], "own": []}, "").to_dict())


@lru_cache
def dip_live():
    """The chart of money in against value.

    Returns
    -------
    Live
        Still without data. [-]
    """
    from buildecon.story.charts.dip_chart import dip_chart

    return Live(dip_chart({"money": [], "value": [], "gap": []}, "").to_dict())
