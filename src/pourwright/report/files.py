"""A plan on paper: its JSON, its page, its calendar, and writing both whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from pourwright.errors import NotDoable
from pourwright.files import write_whole
from pourwright.plan.plan import Plan, plan_json
from pourwright.report.ics import plan_ics
from pourwright.report.page import page_html
from pourwright.report.plan_charts import with_drawings
from pourwright.report.sections import plan_sections, plan_sheet


def plan_page(plan: Plan) -> str:
    """Return a plan as the text of ``plan.html``."""
    return page_html(plan_sheet(plan), with_drawings(plan_sections(plan), plan))


def save_plan(plan: Plan, folder: Path) -> tuple[Path, ...]:
    """Write ``plan.json``, ``plan.html`` and ``plan.ics`` into a folder, made if need be.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    NotDoable
        If the folder cannot be made or written in.
    """
    texts = {
        "plan.json": plan_json(plan),
        "plan.html": plan_page(plan),
        "plan.ics": plan_ics(plan),
    }
    return write_files(folder, texts)


def write_files(folder: Path, texts: Mapping[str, str]) -> tuple[Path, ...]:
    """Write texts as files of a folder; each file is whole, the old or the new one.

    Raises
    ------
    NotDoable
        If the folder cannot be made or written in.
    """
    try:
        for name, text in texts.items():
            write_whole(folder / name, text)
    except OSError as refusal:
        reason = refusal.strerror or type(refusal).__name__
        raise NotDoable(
            f"{' and '.join(texts)} cannot be written into {folder}: {reason}. "
            "Name a folder of yours with --out, or free some space."
        ) from refusal
    return tuple(folder / name for name in texts)
