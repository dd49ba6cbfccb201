"""The plan that goes on from the book: what is true now, what was counted, and the first plan beside it."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from pourwright.briefs.folder import edition_id, read_on
from pourwright.briefs.reading import read_brief
from pourwright.briefs.toml_file import load
from pourwright.errors import StudioError
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.replaying import effective
from pourwright.plan.beside import case_beside
from pourwright.plan.make import make_plan
from pourwright.plan.molds import choose_molds
from pourwright.plan.odds import RUNS, Effort, outlook, plan_outlook
from pourwright.plan.standing import Standing, in_order
from pourwright.plan.standing_from_book import (
    day_of,
    edition_doc,
    need_of,
    standing_from_book,
)
from pourwright.report.charts.palette import Scheme
from pourwright.report.charts.records import LOOKS
from pourwright.report.plan_charts import chart, plan_figures
from pourwright.studio.book import BOOK_FILE, open_book

STAGE_BEFORE = {"bisque": "greenware", "glaze": "bisque", "third": "fired"}
"""What waits before a firing is called, where the firing is not the first."""


def plan_from_book(
    brief_path: Path,
    today: date,
    runs: int = RUNS,
    beside: Sequence[Path] = (),
    where: Path | None = None,
) -> dict[str, Any]:
    """Return the plan of a brief, going on from what the book says is true.

    Parameters
    ----------
    brief_path : Path
        The edition's file.
    today : date
        The day it is.
    runs : int
        How many runs of chance stand behind the odds. [-]
    beside : sequence of Path
        Briefs of other editions with the first claim; those that the book has go on from it too.
    where : Path, optional
        The folder of the book, or its file; without it, the studio file's folder.

    Returns
    -------
    dict
        As ``pourwright schema plan`` describes it, with its ``book``.

    Raises
    ------
    StudioError
        If a file has faults, there is no book, or it does not have the edition.
    """
    folder = where or _studio_folder(brief_path)
    book = open_book(folder, create=False)
    with book.store, book.reading() as reading:
        standings = _standings(reading, brief_path, today, beside, book.zone)
        own = standings[edition_id(brief_path)]
        plan = make_plan(brief_path, today, runs, beside, standings)
        first = first_plan(reading, brief_path, own, Effort(max(runs // 5, 100)))
        plan["book"] = book_section(reading, plan, own, first)
    return plan


def _studio_folder(brief_path: Path) -> Path:
    """Return the folder of the studio that a brief names."""
    written = load(brief_path).get("studio", "studio.toml")
    if not isinstance(written, str):
        return brief_path.parent
    return (brief_path.parent / written).parent


def _standings(
    reading: Reading, brief_path: Path, today: date, beside: Sequence[Path], zone: str
) -> dict[str, Standing]:
    """Return what is true of each edition that the book knows; the brief's own must be among them."""
    found = {}
    for path in (brief_path, *beside):
        name = edition_id(path)
        if path is not brief_path and reading.things.get("edition", name) is None:
            continue
        edition = edition_doc(reading.things, name)
        planned = read_on(path, day_of(edition["planned_at"], zone))
        brief, studio = read_brief(path, planned)
        standing = standing_from_book(reading.things, brief, studio, today)
        found[name] = replace(standing, planned_on=planned)
    return found


def first_plan(
    reading: Reading, brief_path: Path, standing: Standing, effort: Effort
) -> dict[str, Any] | None:
    """Return the outlook of the plan as it was when the edition was planned.

    Worked out again from the brief that the book kept, on the day it was kept, in
    the studio as its file says now.

    Returns
    -------
    dict or None
        None if the book kept no brief, or one that cannot be planned any more.
    """
    entries = effective(reading.entries(edition_id(brief_path)))
    kept = next((e.body.get("brief") for e in entries if e.kind == "edition-planned"), None)
    if kept is None:
        return None
    with ExitStack() as stack:
        folder = Path(stack.enter_context(TemporaryDirectory()))
        path = folder / brief_path.name
        path.write_text(kept, encoding="utf-8")
        written = load(path).get("studio", "studio.toml")
        studio = brief_path.parent / str(written)
        target = folder / str(written)
        if target.resolve().parent != folder.resolve():  # a studio elsewhere is named whole
            text = f"studio = {str(studio.resolve())!r}\n" + kept.replace(
                f'studio = "{written}"', ""
            )
            path.write_text(text, encoding="utf-8")
        else:
            target.write_bytes(studio.read_bytes())
        # An old brief may not be readable by this version; the new plan stands without it.
        try:
            case = case_beside(path, standing.planned_on, (), effort, {})
            look = outlook(case, choose_molds(case), effort)
        except StudioError:
            return None
    return {"as_of": standing.planned_on.isoformat(), **plan_outlook(look)}


def book_section(
    reading: Reading, plan: dict[str, Any], standing: Standing, first: dict[str, Any] | None
) -> dict[str, Any]:
    """Return what a plan says of the book; see ``pourwright schema plan``."""
    edition = edition_doc(reading.things, plan["edition"]["id"])
    head = reading.head()
    odds, answer = plan["odds"], plan["answer"]
    now = {
        "as_of": plan["as_of"],
        "finish": answer["finish"],
        **odds["finish"],
        "word": odds["word"],
    }
    stages = _stages(standing)
    inside = standing.load.pieces if standing.load else 0
    there = sum(row["count"] for row in stages) + standing.finished + inside
    later = None
    if first is not None:
        days = date.fromisoformat(now["finish"]) - date.fromisoformat(first["finish"])
        later = days.days
    return {
        "entries": head.seq,
        "head": head.digest,
        "state": edition["state"],
        "have": standing.have,
        "molds": [
            {"label": m.label, "casts": m.casts, "poured": m.poured.isoformat(), "dry": m.dry}
            for m in in_order(standing)
        ],
        "stages": stages,
        "load": None
        if standing.load is None
        else {
            "firing": standing.load.firing,
            "pieces": standing.load.pieces,
            "since": standing.load.since.isoformat(),
        },
        "finished": standing.finished,
        "wanted": max(need_of(edition) - there, 0),
        "own": [
            {key: row[key] for key in ("field", "value", "source")}
            for row in plan["sources"]
            if row["kind"] == "book"
        ],
        "first_plan": first,
        "now": now,
        "days_later": later,
    }


def _stages(standing: Standing) -> list[dict[str, Any]]:
    rows = [("greenware", sum(count for _, count in standing.drying))]
    rows += [(STAGE_BEFORE[firing], count) for firing, count in standing.waiting.items()]
    rows.append(("through the last firing", standing.to_finish))
    return [{"stage": stage, "count": count} for stage, count in rows]


# --- the plan of an edition that is in the book, and its charts: heavy, so done aside

PAGE_RUNS = 1000
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
            return plan_from_book(brief, today, PAGE_RUNS, (), folder)
        return make_plan(brief, today, PAGE_RUNS)
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

    figure = plan_figures(plan).get(name)
    if figure is None:
        return None
    look = next(one for one in LOOKS if one.name == width)
    return svg_image(chart(plan, name, look), scheme, title=figure.title, alt=figure.alt)


# --- how many pieces may be offered today, by the plan that goes on from the book; heavy, so done aside

OFFER_RUNS = 400


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
        return plan_from_book(brief, today, OFFER_RUNS, (), folder)
    return make_plan(brief, today, OFFER_RUNS)
