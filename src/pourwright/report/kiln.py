"""The kiln, the glaze, the numbers and what is left over."""

from __future__ import annotations

from collections import Counter

from pourwright.plan.plan import FiringPlan, KilnPlan, NumbersPlan, PartFull, Plan
from pourwright.report.blocks import Block, FactRow, Facts, Section, Table, Text
from pourwright.report.buying import has_test_casts, with_more
from pourwright.report.saying import Say, count, listed, sentence

NO_COAT = "How much glaze a piece takes is not known, so none is counted here."
COAT_TEST = (
    "Weigh a bisque piece, glaze it as you mean to, let it dry, weigh it again, and divide by its "
    "glazed area: that is glaze.coat."
)

MARKED = {
    "leather-hard": "when leather-hard; a marked piece that fails leaves its number to be made again",
    "before glaze": "before glazing; a marked piece that fails leaves its number to be made again",
    "end": "at the end, so no number is ever lost",
}

WHY: dict[PartFull, str] = {
    "proofs first": "not full because the proofs go first",
    "a few first to see the glaze": "not full because a few go first to see the glaze",
    "the last of them": "not full because nothing more is coming",
    "evened out": "not full because the loads are evened out",
    "the rack is full": "not full because the rack had no room for more",
    "for the days it saves": "not full because the days until it is full would cost more than the firing",
}
"""Why loads are fired part full."""

TESTS_APART = (
    "The test casts go through each firing in a load of their own: those stand in the week's loads "
    "and in the cost, and not in this table."
)

FATE = {
    "destroy": "to be destroyed",
    "seconds": "to be sold as seconds, without a number",
    "keep unsigned": "to be kept, unsigned",
}


def kiln_words(plan: Plan) -> Section:
    """Return the firings: cone, loads, pieces, energy."""
    say, kiln = Say.of(plan), plan.kiln
    rows = tuple(
        (
            sentence(f.name)[:-1],
            f"{f.cone}",
            say.quantity(f.temperature_c, "temperature"),
            str(f.capacity),
            str(f.loads),
            str(f.pieces),
            _energy(f, say),
        )
        for f in kiln.firings
    )
    table = Table(
        caption="Firings",
        columns=(
            ("Firing", "left"),
            ("Cone", "right"),
            ("About", "right"),
            ("Holds", "right"),
            ("Loads", "right"),
            ("Pieces", "right"),
            ("Energy, all loads", "right"),
        ),
        rows=rows,
        note="A cone bends by heat and time together; the temperature is for a usual rise. Trust the cone.",
    )
    blocks: list[Block] = [table]
    if has_test_casts(plan):
        blocks.append(Text(TESTS_APART))
    if kiln.energy_kwh is None:
        blocks.append(
            Text(
                "Energy is not known. Read the meter before and after one load, or give the kiln's "
                "volume or power in the studio file.",
                "note",
            )
        )
    else:
        blocks.append(Text(f"Energy in all: {_energy_in_all(kiln, say)}."))
    if part_full := _part_full(plan):
        blocks.append(Text(part_full))
    return Section("kiln", "Kiln", tuple(blocks))


def _part_full(plan: Plan) -> str:
    """Return why loads are fired part full, if any are."""
    whys = Counter(one.why for entry in plan.calendar for one in entry.doing if one.why)
    if not whys:
        return ""
    told = listed([f"{number} {WHY[why]}" for why, number in whys.items()])
    return f"Of the loads, {told}."


def _energy_in_all(kiln: KilnPlan, say: Say) -> str:
    """Return the energy of all firings, as a range."""
    low = sum(firing.energy_kwh_low or 0.0 for firing in kiln.firings)
    return _range(low, sum(firing.energy_kwh_high or 0.0 for firing in kiln.firings), say)


def _energy(firing: FiringPlan, say: Say) -> str:
    """Return the energy of all loads of a firing, as a range."""
    return _range(firing.energy_kwh_low, firing.energy_kwh_high, say)


def _range(low: float | None, high: float | None, say: Say) -> str:
    """Return a low and a high energy, or what is known of them."""
    if low is None or high is None:
        return say.quantity(low if high is None else high, "energy")
    least, most = say.quantity(low, "energy"), say.quantity(high, "energy")
    return least if least == most else f"{least.removesuffix(' kWh')} to {most}"


def glaze_words(plan: Plan) -> Section:
    """Return the glaze for the edition, or the test that settles it."""
    say, glaze = Say.of(plan), plan.glaze
    tested = with_more(plan, "glaze", "the test casts") if has_test_casts(plan) else ""
    blocks: list[Block] = []
    if glaze.dry_kg is None:
        blocks.append(Text(f"{NO_COAT} {glaze.note or COAT_TEST}"))
    else:
        blocks.append(
            Facts(
                (
                    (
                        "Dry glaze",
                        say.mass(glaze.dry_kg),
                        f"for all pieces that reach the glaze{tested}",
                    ),
                    (
                        "Slurry",
                        say.volume(glaze.slurry_l),
                        "and what the bucket needs to dip in",
                    ),
                )
            )
        )
        if glaze.note:
            blocks.append(Text(sentence(glaze.note), "note"))
    return Section("glaze", "Glaze", tuple(blocks))


def numbers_words(plan: Plan) -> Section:
    """Return the numbers, the proofs, the mark, and what is expected left over."""
    numbers, surplus = plan.numbers, plan.surplus
    rows = [
        (
            "Numbers",
            f"{numbers.first} to {numbers.last}",
            "a number says which, not in what order made",
        ),
        _proofs(numbers),
        ("Marked", _marked(numbers.marked)[0], _marked(numbers.marked)[1]),
        (
            "Left over",
            _expected(surplus.expected),
            FATE.get(surplus.fate, surplus.fate),
        ),
    ]
    return Section("numbers", "Numbers and proofs", (Facts(tuple(rows)),))


def _proofs(numbers: NumbersPlan) -> FactRow:
    """Return how many proofs there are at most."""
    if not numbers.proofs:
        return "Proofs", "0", "none"
    note = f"{numbers.kind}, numbered by themselves; none is made up for"
    return "Proofs", f"at most {numbers.proofs}", note


def _expected(pieces: float) -> str:
    """Return how many good pieces are expected over the edition."""
    whole = round(pieces)
    return f"about {count(whole, 'piece')}" if whole else "hardly any"


def _marked(when: str) -> tuple[str, str]:
    """Return when a piece is marked, and what follows from it."""
    text = MARKED.get(when, when)
    for mark in (", so ", "; "):
        head, found, tail = text.partition(mark)
        if found:
            return head, (mark.strip(", ;") + " " + tail).strip()
    return text, ""
