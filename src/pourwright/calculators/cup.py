"""``pourwright figure cup``: seconds from a flow cup, kept, judged, and converted where they may be."""

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
    number,
)
from pourwright.calculators.rates import show_difference
from pourwright.errors import BadInput, did_you_mean

if TYPE_CHECKING:
    from pourwright.materials.slip.flow_cups import FlowReading
    from pourwright.materials.slip.history import Judged

_SOURCES = (
    "Equations of the dip cups and of Ford 1 and 2: a viscometer maker's table, citing ASTM D4212 and D1200.",
    "Windows of the Ford cups: ASTM D1200-94 (2005), 11.2.",
    "Ford 3 to 5 and the ISO cups: from memory of ASTM D1200 and ISO 2431; the calibration oils of the same table bear out those of Ford 3 to 5.",
    "Limits from the studio's own readings: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.",
)
_CUP_ERROR = 0.05
"""Flow cups are made to 2 to 5 % (a cup maker's manual). [-]"""

CUP: Ask[str] = Ask(
    name="cup",
    kind="text",
    required=True,
    example="Ford 4",
    meaning="Which cup: Zahn 1 to 5, Shell 3 to 6, Ford 1 to 5, ISO 4 mm or 6 mm, or your own by its name.",
)
DRAINED: Ask[float] = Ask(
    name="drained",
    dimension="duration",
    required=True,
    low=0.05,
    high=60,
    meaning="Time to drain right after stirring, from opening to the first break of the stream.",
    example="36 s",
)
RESTED: Ask[float] = Ask(
    name="rested",
    dimension="duration",
    low=0.05,
    high=60,
    meaning="Time to drain of the same slip after it stood in the cup.",
    example="58 s",
    source="not told: how much it thickens is not worked out",
)
REST: Ask[float] = Ask(
    name="rest",
    dimension="duration",
    low=0.1,
    high=1440,
    meaning="How long it stood; always the same.",
    example="5 min",
    source="only needed to write it down",
)
EARLIER: Ask[tuple[float, ...]] = Ask(
    name="earlier",
    dimension="duration",
    many=True,
    low=0.05,
    high=60,
    meaning="Your earlier times to drain, oldest first: same cup, same slip, right after stirring.",
    example="44 s",
    source="without them a reading is kept and not judged",
)
EARLIER_THICKENING: Ask[tuple[float, ...]] = Ask(
    name="earlier_thickening",
    kind="number",
    many=True,
    low=0.5,
    high=20,
    example="1.3",
    meaning="Your earlier thickenings (rested over fresh), oldest first, with the same rest.",
    source="without them a thickening is kept and not judged",
)
ASKS = (CUP, DRAINED, RESTED, REST, EARLIER, EARLIER_THICKENING)


def answer(given: Given) -> Answer:
    """Return the reading to write down, and what it says if it says anything."""
    from pourwright.materials.slip.flow_cups import CUPS, record_flow

    read = record_flow(_cup(given[CUP]), _seconds(given[DRAINED]))
    judged = _judged(given, read.seconds)
    return Answer(
        says=_says(given, read, judged),
        figures=(_drained(read), *_viscosity(read), *_thickening(given), *_limits(judged)),
        sources=_SOURCES,
        ranges=_ranges(read),
        tables=(_windows(),) if read.mm2_per_s is None and read.cup in CUPS else (),
        notes=_notes(given, read),
    )


def _seconds(minutes: float) -> float:
    """Return whole microseconds, so that "55 s" stays at the edge of its window. [s]."""
    return round(minutes * 60, 6)


def _cup(typed: str) -> str:
    """Return a standard cup's own name however it was spelled, or the name as typed."""
    from pourwright.materials.slip.flow_cups import CUPS

    names = {" ".join(name.lower().split()): name for name in CUPS}
    plain = " ".join(typed.lower().replace("no.", "").replace("#", "").split())
    return names.get(plain, typed)


def _says(given: Given, read: FlowReading, judged: Judged | None) -> str:
    said = f"Write down {read.seconds:g} s with the cup {read.cup}."
    if read.mm2_per_s is not None:
        said += f" A liquid that flows alike at every speed would have {read.mm2_per_s:.0f} mm²/s."
    words = {
        "usual": "It is usual for this slip.",
        "high": "It is slower than this slip has drained before: weigh it, take its temperature, time it again.",
        "low": "It is quicker than this slip has drained before: weigh it, take its temperature, time it again.",
        "drifting": "The last eight readings lie on one side of the mean: this slip is drifting.",
        "too few": "There are too few earlier readings to judge it by; eight are needed.",
    }
    return f"{said} {words[judged.verdict]}" if judged else said


def _drained(read: FlowReading) -> AnswerFigure:
    return number("drained_s", "drained in", read.seconds, "s", text=f"{read.seconds:g} s")


def _viscosity(read: FlowReading) -> tuple[AnswerFigure, ...]:
    """Return the viscosity inside the cup's window; nothing outside it."""
    from pourwright.materials.slip.flow_cups import CUPS

    value = read.mm2_per_s
    if value is None:
        return ()
    grade = (
        "weak: a slip thickens at rest, so this compares cups only"
        if CUPS[read.cup].grade == "read"
        else "weak: the equation is from memory of the standard; compares cups only"
    )
    return (
        number(
            "viscosity_mm2_per_s",
            "kinematic viscosity",
            value,
            "mm2/s",
            low=value * (1 - _CUP_ERROR),
            high=value * (1 + _CUP_ERROR),
            grade=grade,
        ),
    )


def _thickening(given: Given) -> tuple[AnswerFigure, ...]:
    from pourwright.materials.slip.history import thickening

    if RESTED not in given:
        return ()
    ratio = float(thickening(given[DRAINED], given[RESTED]))
    stood = (
        f"after {given.show(given[REST], 'duration')} of rest"
        if REST in given
        else "rested over fresh"
    )
    return (number("thickening", "thickens", ratio, note=stood, text=f"{ratio:.2f} times"),)


def _judged(given: Given, seconds: float) -> Judged | None:
    from pourwright.materials.slip.history import judge_reading

    if EARLIER not in given:
        return None
    return judge_reading(seconds, [_seconds(one) for one in given[EARLIER]])


def _limits(judged: Judged | None) -> tuple[AnswerFigure, ...]:
    """Return the mean and limits of the studio's own readings."""
    if judged is None or judged.mean is None:
        return ()
    note = f"of {judged.earlier} earlier readings, three standard deviations to either side"
    return (
        number(
            "own_mean_s",
            "usual for this slip",
            judged.mean,
            "s",
            low=judged.low,
            high=judged.high,
            note=note,
        ),
    )


def _ranges(read: FlowReading) -> tuple[str, ...]:
    from pourwright.materials.slip.flow_cups import CUPS

    made = CUPS.get(read.cup)
    windows = (
        "No standard knows this cup: its seconds compare with its own seconds only."
        if made is None
        else f"{made.standard}: converted from {made.shortest:g} to {made.longest:g} s only, at 25 °C (77 °F)."
    )
    return (
        windows,
        "Slip is not a liquid that flows alike at every speed; use seconds as the measure.",
    )


def _notes(given: Given, read: FlowReading) -> tuple[str, ...]:
    """Return why there is no viscosity, and what the thickening's own history says."""
    from pourwright.materials.slip.flow_cups import CUPS

    notes = [read.note] if read.mm2_per_s is None else []
    if read.cup not in CUPS:
        notes += [near] if (near := did_you_mean(read.cup, CUPS)) else []
    elif read.mm2_per_s is None:
        notes.append("Take a smaller opening if it was quick, a larger one if it was slow.")
    notes.append(
        f"A slip {show_difference(10, given.units)} warmer drains in about four fifths of the time: note its temperature."
    )
    return (*notes, *_thickening_note(given))


def _thickening_note(given: Given) -> tuple[str, ...]:
    from pourwright.materials.slip.history import judge_reading, thickening

    if RESTED not in given:
        if EARLIER_THICKENING in given:
            raise BadInput.one("--rested", None, 'write the time after the rest, such as "58 s"')
        return ()
    ratio = float(thickening(given[DRAINED], given[RESTED]))
    if ratio < 0.95:
        return ("It would thin at rest, which slip does not: time both again.",)
    if EARLIER_THICKENING not in given:
        return ("There is no right figure for thickening; it is judged by your own earlier ones.",)
    found = judge_reading(ratio, given[EARLIER_THICKENING])
    if found.mean is None:
        return (
            f"The thickening is not judged: {found.earlier} earlier ones, and eight are needed.",
        )
    return (
        f"The thickening is {found.verdict}: yours lay at {found.mean:.2f}, from {found.low:.2f} to {found.high:.2f}.",
    )


def _windows() -> Rows:
    """Return the standard cups and where each may be converted."""
    from pourwright.materials.slip.flow_cups import (
        CUPS,
        kinematic_viscosity_mm2_per_s,
    )

    rows = tuple(
        (
            name,
            made.shortest,
            made.longest,
            float(kinematic_viscosity_mm2_per_s(name, made.shortest)),
            float(kinematic_viscosity_mm2_per_s(name, made.longest)),
        )
        for name, made in CUPS.items()
    )
    columns = (
        Column(name="cup", label="Cup"),
        Column(name="shortest_s", label="From", unit="s"),
        Column(name="longest_s", label="To", unit="s"),
        Column(name="low_mm2_per_s", label="That is from", unit="mm2/s"),
        Column(name="high_mm2_per_s", label="to", unit="mm2/s"),
    )
    return Rows(
        name="cups", caption="Where a cup's seconds may be converted", columns=columns, rows=rows
    )


QUESTION = Question(
    id="cup",
    title="Flow cup",
    words="What a flow cup's seconds say, and whether they are usual for your slip. "
    "The seconds are always kept; a viscosity is given only inside the cup's window.",
    asks=ASKS,
    answer=answer,
    examples=(
        {"cup": "Ford 4", "drained": "36 s"},
        {"cup": "Zahn 2", "drained": "33 s"},
        {"cup": "Ford 4", "drained": "12 s"},
        {
            "cup": "yogurt cup",
            "drained": "42 s",
            "rested": "58 s",
            "rest": "5 min",
            "earlier": "44 s; 46 s; 45 s; 47 s; 44 s; 45 s; 46 s; 45 s",
        },
    ),
)
