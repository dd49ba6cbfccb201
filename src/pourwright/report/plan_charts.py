"""A plan's charts: their words for everyone, and their drawings for a page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

from pourwright.report import chart_rows as rows
from pourwright.report.blocks import Figure, Section
from pourwright.report.chart_words import (
    fan_figure,
    molds_figure,
    risks_figure,
    timeline_figure,
    use_figure,
)
from pourwright.report.charts.palette import Scheme
from pourwright.report.charts.records import DESKTOP, LOOKS, PHONE, Look
from pourwright.report.saying import Plan

if TYPE_CHECKING:
    from pourwright.report.charts.sheet import Spec

Drawer: TypeAlias = "Callable[[Plan, Look], Spec]"


def plan_figures(plan: Plan) -> dict[str, Figure]:
    """Return the figures of a plan in words: title, what each shows, key and table.

    Parameters
    ----------
    plan : mapping
        A plan as ``plan.json`` holds it.

    Returns
    -------
    dict of str to Figure
        The figures by name, not drawn yet. One that has nothing to show is left out.
    """
    made = (
        fan_figure(plan),
        use_figure(plan),
        timeline_figure(plan),
        molds_figure(plan),
        risks_figure(plan),
    )
    return {figure.name: figure for figure in made if figure is not None}


def with_drawings(sections: tuple[Section, ...], plan: Plan) -> tuple[Section, ...]:
    """Return sections in which every figure is drawn, for a page.

    Parameters
    ----------
    sections : tuple of Section
        Sections whose figures are of :func:`plan_figures`.
    plan : mapping
        The plan they tell of.

    Returns
    -------
    tuple of Section
        The same sections with drawings of phone and desktop width in their figures.
    """
    return tuple(
        replace(
            section,
            blocks=tuple(
                drawn(block, plan) if isinstance(block, Figure) else block
                for block in section.blocks
            ),
        )
        for section in sections
    )


def drawn(figure: Figure, plan: Plan) -> Figure:
    """Return a figure with its drawings for a page, in the page's own colors."""
    from pourwright.report.charts.render import svg_in_page

    phone, desktop = (svg_in_page(chart(plan, figure.name, look)) for look in (PHONE, DESKTOP))
    return replace(figure, svg_phone=phone, svg_desktop=desktop)


def chart_files(plan: Plan) -> dict[str, bytes]:
    """Return every chart as files that stand alone, by name, width and scheme.

    Parameters
    ----------
    plan : mapping
        A plan as ``plan.json`` holds it.

    Returns
    -------
    dict of str to bytes
        Such as ``fan-phone-dark.svg``.
    """
    from pourwright.report.charts.render import svg_image

    schemes: tuple[Scheme, ...] = ("light", "dark")
    files = {}
    for name, figure in plan_figures(plan).items():
        for look in LOOKS:
            spec = chart(plan, name, look)
            for scheme in schemes:
                image = svg_image(spec, scheme, title=figure.title, alt=figure.alt)
                files[f"{name}-{look.name}-{scheme}.svg"] = image
    return files


def chart(plan: Plan, name: str, look: Look) -> Spec:
    """Return a chart's view.

    Parameters
    ----------
    plan : mapping
        A plan as ``plan.json`` holds it.
    name : str
        "fan", "use", "timeline", "molds" or "risks".
    look : Look
        The size it is drawn in.

    Returns
    -------
    dict
        A Vega-Lite view.
    """
    return _DRAWERS[name](plan, look)


# The charts bring the grammar of graphics with them, half a second that only a page is worth.


def _fan(plan: Plan, look: Look) -> Spec:
    from pourwright.report.charts.fan import fan_chart

    return fan_chart(
        rows.with_days(plan["odds"]["fan"], "date"),
        look,
        wanted=plan["edition"]["pieces"] + plan["edition"]["proofs"],
        deadline=rows.deadline_of(plan),
        finish=rows.finish_days(plan),
    )


def _use(plan: Plan, look: Look) -> Spec:
    from pourwright.report.charts.use import use_chart

    return use_chart(
        rows.with_days(plan["odds"]["molds_in_use"], "date"),
        look,
        pours=rows.pour_days(plan),
        deadline=rows.deadline_of(plan),
    )


def _timeline(plan: Plan, look: Look) -> Spec:
    from pourwright.report.charts.timeline import timeline_chart

    return timeline_chart(
        rows.stage_rows(plan),
        rows.mold_lives(plan),
        look,
        finish=rows.finish_of(plan),
        closed=rows.closed_spells(plan),
        deadline=rows.deadline_of(plan),
    )


def _molds(plan: Plan, look: Look) -> Spec:
    from pourwright.report.charts.molds import molds_chart

    return molds_chart(rows.mold_rows(plan), look, deadline=rows.deadline_of(plan))


def _risks(plan: Plan, look: Look) -> Spec:
    from pourwright.report.charts.risks import risks_chart

    middle = rows.finish_days(plan)["p50"]
    return risks_chart(rows.risk_rows(plan), look, middle=middle, deadline=rows.deadline_of(plan))


_DRAWERS: dict[str, Drawer] = {
    "fan": _fan,
    "use": _use,
    "timeline": _timeline,
    "molds": _molds,
    "risks": _risks,
}
