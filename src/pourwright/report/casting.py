"""Casting: slip, minutes, and the dimensions from original to fired piece."""

from __future__ import annotations

from pourwright.plan.plan import CastingPlan, Plan, SizeStep
from pourwright.report.blocks import (
    Align,
    Block,
    FactRow,
    Facts,
    Section,
    Steps,
    Table,
    Text,
)
from pourwright.report.buying import has_test_casts, with_more
from pourwright.report.saying import Say, sentence

TEST_BAR = (
    "Cast at least ten bars about {thick} thick and {long} long, fed so that they stay solid.",
    "While they are soft, scratch two marks {apart} apart on each.",
    "Dry them fully and measure between the marks.",
    "Fire them with the ware, to its cone, and measure again.",
    "Write both as shares in the brief, and say whether the second is of the dry or of the wet length.",
)
"""After ASTM C326, which asks for ten bars of about 19 x 127 mm with marks 102 mm apart."""
BAR = {
    "metric": {"thick": "19 mm", "long": "127 mm", "apart": "100 mm"},
    "us": {"thick": "3/4 in", "long": "5 in", "apart": "4 in"},
}


def casting_words(plan: Plan) -> Section:
    """Return slip to fill, kept and drained, and the minutes or the test that settles them."""
    say, casting = Say.of(plan), plan.casting
    rows = _slip(plan, say)
    blocks: list[Block] = [Facts(rows)] if rows else []
    if not rows:
        blocks.append(Text("How much slip a mold takes is not known. " + FILL_TEST))
    blocks.append(Text(_minutes(casting, say)))
    if casting.note:
        blocks.append(Text(sentence(casting.note), "note"))
    return Section("casting", "Casting", tuple(blocks))


TENTH_MM = 0.1
"""Sizes differ by tenths from step to step."""

FILL_TEST = (
    "Fill the dry mold with slip to the top of the spare from a measured jug, drain it after the "
    "cast, and write what went in and what came back: casting.fill and casting.drained."
)


def _slip(plan: Plan, say: Say) -> tuple[FactRow, ...]:
    """Return the lines about slip that are known."""
    casting = plan.casting
    tests = "the test casts and " if has_test_casts(plan) else ""
    more = with_more(plan, "slip", f"{tests}what fills the molds")
    lines = (
        ("To fill a mold", casting.fill_l, "volume", "with the spare"),
        ("Kept by the cast", casting.kept_l, "volume", "slip that turns into wall"),
        ("Drained back", casting.drained_l, "volume", "to the tank"),
        (
            "Water to the mold",
            casting.water_to_mold_kg,
            "mass",
            "each cast; it must dry out again",
        ),
        (
            "Slip for the edition",
            casting.slip_for_edition_l,
            "volume",
            f"all casts, losses included{more}",
        ),
    )
    return tuple(
        (label, say.quantity(value, dimension), note)
        for label, value, dimension, note in lines
        if value is not None
    )


def _minutes(casting: CastingPlan, say: Say) -> str:
    """Return the casting time, or why there is none."""
    low, high = casting.minutes_low, casting.minutes_high
    span = "" if low is None else f" from {say.duration(low)} to {say.duration(high)}"
    wall = casting.wall_mm
    of_wall = "" if wall is None else f" for a wall of {say.quantity(wall, 'length')}"
    if casting.minutes is not None:
        return f"By your test cast: about {say.duration(casting.minutes)}{of_wall},{span} as the mold takes up water."
    return (
        f"No casting time is given, because it is the slip's and the mold's own: published slips "
        f"take{span}{of_wall or ' for a wall of 5 mm'}. One test cast settles this: pour off after ten "
        "minutes, cut the spare, measure the wall, and write both in the brief as casting.test."
    )


def dimensions_words(plan: Plan) -> Section:
    """Return the sizes from original to fired piece, or how to find the shrinkage."""
    say, dimensions = Say.of(plan), plan.dimensions
    blocks: list[Block]
    if dimensions.given:
        blocks = [_chain(dimensions.steps, say)]
    else:
        blocks = [
            Text(
                "No sizes are shown, because no shrinkage test is given and a guessed shrinkage "
                "makes a wrong original. A test bar settles it:"
            ),
            Steps(tuple(step.format(**BAR[plan.studio.units]) for step in TEST_BAR)),
        ]
    if dimensions.note:
        blocks.append(Text(sentence(dimensions.note), "note"))
    return Section("dimensions", "Dimensions", tuple(blocks))


def _chain(steps: tuple[SizeStep, ...], say: Say) -> Table:
    """Return one row for each step from the original to the fired piece."""
    measures = {
        "Height": [step.height_mm for step in steps],
        "Width": [step.width_mm for step in steps],
        "Depth": [step.depth_mm for step in steps],
    }
    given = {title: mm for title, mm in measures.items() if mm[0] is not None}
    titles: list[tuple[str, Align]] = [("Step", "left"), ("Times", "right")]
    titles += [(title, "right") for title in given]
    return Table(
        caption="One size through the work",
        columns=tuple(titles),
        rows=tuple(
            (
                step.name,
                f"{step.factor:.4f}",
                *(say.quantity(mm[at], "length", TENTH_MM) for mm in given.values()),
            )
            for at, step in enumerate(steps)
        ),
    )
