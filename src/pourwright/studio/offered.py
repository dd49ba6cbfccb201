"""How many pieces may be offered today, by the plan that goes on from the book; heavy, so done aside."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from pourwright.errors import StudioError
from pourwright.plan.make import make_plan
from pourwright.studio.book import BOOK_FILE
from pourwright.studio.plans import plan_from_book

RUNS = 400


def offered(folder: Path, brief: Path, today: date) -> dict[str, Any]:
    """Return how many numbered pieces may be offered, and what that rests on.

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
        ``today`` (pieces), ``of``, ``by_date``, ``confidence``, ``word``, ``finish`` (p10,
        p50, p90), ``carried_by`` and ``own_casts``.

        Or only a ``fault``, if it cannot be planned any more.
    """
    # Today shows every edition: one that cannot be planned is told in words beside the others.
    try:
        plan = _plan(folder, brief, today)
    except StudioError as no:
        return {"fault": str(no)}
    odds = plan["odds"]
    safe = odds["safe_to_offer"]
    return {
        "fault": "",
        "today": safe["today"],
        "of": plan["edition"]["pieces"],
        "by_date": safe["by_date"],
        "confidence": safe["confidence"],
        "word": odds["word"] or "",
        "finish": odds["finish"],
        "carried_by": odds["carried_by"],
        "own_casts": odds["own_casts"],
    }


def _plan(folder: Path, brief: Path, today: date) -> dict[str, Any]:
    if (folder / BOOK_FILE).is_file():
        return plan_from_book(brief, today, RUNS, (), folder)
    return make_plan(brief, today, RUNS)
