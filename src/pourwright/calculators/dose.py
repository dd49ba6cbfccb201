"""``pourwright figure dose``: the deflocculant at which a slip drains fastest, from a series."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright.calculators.question import (
    Answer,
    AnswerFigure,
    Ask,
    Column,
    Given,
    Question,
    Rows,
    quantity,
)
from pourwright.calculators.shared import dose_step

if TYPE_CHECKING:
    from pourwright.materials.slip.deflocculation import BestDose

_SOURCES = (
    "The series itself: no numeric curve of dose against flow was found in print.",
    "Its shape, falling to an optimum and rising again: Journal of the Society of Materials Science, Japan, 5(32), 292 (1956), abstract.",
    "Range of the turning point: Fieller, Journal of the Royal Statistical Society B 16 (1954) 175; drain times are never taken as closer than 3 %, since flow cups are made to 2 to 5 %.",
)


def _hint(value: float) -> str:
    """Return what a dose beyond any in print was probably meant to be."""
    if 0.05 < value < 1:
        return f"{value:g} is {100 * value:g} %; write {value:g} % if per cent is meant."
    return "Doses run to 2 % of the dry clay, drain times from 3 s to an hour."


DRAINED: Ask[tuple[tuple[float, float], ...]] = Ask(
    name="drained",
    kind="row",
    row=("fraction", "in", "duration"),
    many=True,
    required=True,
    limits=((0.0, 0.02), (0.05, 60)),
    hint=_hint,
    meaning="A dose, of the dry clay, and the time its slip took to drain: same cup, same rest, same weight.",
    example="0.30 % in 44 s",
    source="at least five doses, two of them beyond the fastest",
)
DRY_CLAY: Ask[float] = Ask(
    name="dry_clay",
    dimension="mass",
    low=0.01,
    high=5000,
    meaning="Dry clay in the batch that the dose is for.",
    example="25 kg",
    example_us="50 lb",
    source="the dose is told as a share only",
)
ASKS = (DRAINED, DRY_CLAY)


def answer(given: Given) -> Answer:
    """Return the dose, or why the series has none."""
    from pourwright.materials.slip.deflocculation import best_dose

    doses, minutes = zip(*given[DRAINED], strict=True)
    found = best_dose(doses, [round(one * 60, 6) for one in minutes])
    low, high = (given.show(end, "fraction") for end in (found.tried_low, found.tried_high))
    return Answer(
        says=_says(given, found),
        figures=_figures(given, found),
        sources=_SOURCES,
        ranges=(
            f"Only between the doses tried, {low} and {high} of the dry clay; nothing is said beyond them.",
            "This body, this water, this deflocculant and this weight of slip; never another's.",
        ),
        tables=(_series(given),),
        notes=(
            found.advice,
            "What is in stays in: go up in small steps and stop when the time rises.",
        ),
    )


def _says(given: Given, found: BestDose) -> str:
    if found.dose is None or found.low is None or found.high is None:
        return {
            "still falling": "The slip still drains faster with the highest dose tried: the series does not reach its end.",
            "already rising": "The slip drains fastest with the lowest dose tried: the best may lie below it.",
        }.get(found.verdict, "The series does not tell where the slip drains fastest.")
    dose, low, high = (given.show(one, "fraction") for one in (found.dose, found.low, found.high))
    return f"The slip drains fastest with {dose} of deflocculant, of the dry clay: {low} to {high} in nine cases of ten."


def _figures(given: Given, found: BestDose) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.slip.batches import deflocculant_kg

    if found.dose is None or found.least_seconds is None:
        return ()
    figures = [
        quantity(
            "dose", "dose, of the dry clay", found.dose, "fraction", low=found.low, high=found.high
        ),
        quantity(
            "least_min", "drains then in", found.least_seconds / 60, "duration", note="as fitted"
        ),
    ]
    if DRY_CLAY in given:
        best, low, high = (
            float(deflocculant_kg(given[DRY_CLAY], end or 0.0))
            for end in (found.dose, found.low, found.high)
        )
        figures.append(
            quantity(
                "deflocculant_kg",
                "to weigh in all",
                best,
                "mass",
                low=low,
                high=high,
                step=dose_step(best),
            )
        )
    return tuple(figures)


def _series(given: Given) -> Rows:
    columns = (
        Column(name="dose", label="Of the dry clay", dimension="fraction"),
        Column(name="drained_s", label="Drained in", unit="s"),
    )
    return Rows(
        name="series",
        caption="The series, by dose",
        columns=columns,
        rows=tuple((dose, round(minutes * 60, 6)) for dose, minutes in sorted(given[DRAINED])),
    )


QUESTION = Question(
    id="dose",
    title="Dose of deflocculant",
    words="The dose at which your slip drains fastest, from a series that you timed. "
    "At least five doses of one slip in one cup; the answer never leaves the doses tried.",
    asks=ASKS,
    answer=answer,
    examples=(
        {
            "drained": [
                "0.20 % in 75 s",
                "0.25 % in 52 s",
                "0.30 % in 44 s",
                "0.35 % in 47 s",
                "0.40 % in 61 s",
            ],
            "dry_clay": "25 kg",
        },
        {
            "drained": "0.20 % in 75 s; 0.25 % in 61 s; 0.30 % in 52 s; 0.35 % in 47 s; 0.40 % in 44 s"
        },
    ),
    cautions=("Soda ash and silicate",),
)
