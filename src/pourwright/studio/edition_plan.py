"""The plan of an edition that is in the book, and its charts: heavy, so done aside."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from pourwright.errors import StudioError
from pourwright.plan.make import make_plan
from pourwright.report.charts.palette import Scheme
from pourwright.report.charts.records import LOOKS
from pourwright.studio.book import BOOK_FILE
from pourwright.studio.plans import plan_from_book

RUNS = 1000
"""Runs of a page's plan: enough for a range, and some seconds of work."""


def edition_plan(folder: Path, brief: Path, today: date) -> dict[str, Any]:
    """Return the plan of an edition, going on from the book.

    Parameters
    ----------
    folder : Path
        The studio's.
    brief : Path
        The edition's file.
    today : date
        The day it is.

    Returns
    -------
    dict
        As ``pourwright schema plan`` describes it; or only a ``fault``, if it cannot
        be planned any more, so that the page with everything else comes up.
    """
    try:
        if (folder / BOOK_FILE).is_file():
            return plan_from_book(brief, today, RUNS, (), folder)
        return make_plan(brief, today, RUNS)
    except StudioError as no:
        return {"fault": str(no)}


def chart_svg(plan: dict[str, Any], name: str, width: str, scheme: Scheme) -> bytes | None:
    """Return a chart of a plan as an SVG file.

    Parameters
    ----------
    plan : dict
        The plan.
    name : str
        Of the chart: "fan", "use", "timeline", "molds" or "risks".
    width : {"phone", "desktop"}
        The size it is drawn in.
    scheme : {"light", "dark"}
        The page it is for.

    Returns
    -------
    bytes or None
        None if the plan has nothing to show in it.
    """
    from pourwright.report.charts.render import svg_image
    from pourwright.report.plan_charts import chart, plan_figures

    figure = plan_figures(plan).get(name)
    if figure is None:
        return None
    look = next(one for one in LOOKS if one.name == width)
    return svg_image(chart(plan, name, look), scheme, title=figure.title, alt=figure.alt)
