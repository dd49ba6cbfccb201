"""What the charts draw is what they were told."""

from datetime import date

import pytest

from pourwright.plan.plan import FanDay
from pourwright.report.charts.fan import fan_chart
from pourwright.report.charts.frame import Drawing
from pourwright.report.charts.marks import Disc, Ground, LineMark
from pourwright.report.charts.molds import molds_chart
from pourwright.report.charts.records import (
    DESKTOP,
    LOOKS,
    PHONE,
    Deadline,
    Finish,
    MoldLife,
    MoldsFinish,
)
from pourwright.report.charts.risks import risks_chart
from pourwright.report.charts.timeline import timeline_chart
from tests.report.charts.cases import (
    CASES,
    ENDS,
    SOME_RISKS,
    STAGES,
    day,
    fan_rows,
    mold_table,
)


def texts(drawing: Drawing) -> list[str]:
    return [word.text for word in drawing.words]


def lines(drawing: Drawing, color: str) -> list[LineMark]:
    return [one for one in drawing.marks if isinstance(one, LineMark) and one.color == color]


def grounds(drawing: Drawing, fill: str) -> list[Ground]:
    return [one for one in drawing.marks if isinstance(one, Ground) and one.fill == fill]


def discs(drawing: Drawing) -> list[Disc]:
    return [one for one in drawing.marks if isinstance(one, Disc)]


def ends(ground: Ground) -> tuple[float, float]:
    """Return how far from the left a bar begins and ends."""
    across = [x for x, _ in ground.points]
    return min(across), max(across)


def in_proportion(points: list[float]) -> list[float]:
    """Return points as shares of the way from the first to the last."""
    return [(one - points[0]) / (points[-1] - points[0]) for one in points]


def test_the_fan_draws_every_row_it_was_given():
    """The middle course: each day stands where the calendar has it, each count on one scale."""
    rows = fan_rows(80, 33)
    first = next(i for i, row in enumerate(rows) if row.p90 > 0)
    full = next(i for i, row in enumerate(rows) if row.p50 == rows[-1].p50)
    kept = rows[max(first - 7, 0) : full + 1]
    (middle,) = lines(fan_chart(rows, DESKTOP, wanted=33, finish=ENDS), "ink")
    days = in_proportion([x for x, _ in middle.points])
    pieces = in_proportion([y for _, y in middle.points])

    assert days == pytest.approx(in_proportion([row.date.toordinal() for row in kept]))
    assert pieces == pytest.approx(in_proportion([row.p50 for row in kept]))


def test_the_bands_of_the_fan_end_on_its_rows():
    rows = fan_rows(80, 33)
    drawing = fan_chart(rows, DESKTOP, wanted=33)
    (wide,), (narrow,) = (grounds(drawing, fill) for fill in ("glaze-pale", "glaze-mid"))
    level = {y for mark in lines(drawing, "hair") for _, y in mark.points}
    top, bottom = min(level), max(level)

    def up(pieces: int) -> float:
        return bottom + pieces / 33 * (top - bottom)

    for ground, low, high in ((wide, "p10", "p90"), (narrow, "p25", "p75")):
        half = len(ground.points) // 2
        heights = [y for _, y in ground.points]
        assert heights[:half] == pytest.approx([up(getattr(row, low)) for row in rows], abs=0.1)
        assert heights[half:] == pytest.approx(
            [up(getattr(row, high)) for row in reversed(rows)], abs=0.1
        )


def test_the_fan_is_as_wide_as_the_numbers():
    """A straight fan, counted by hand: of 0 to 10 pieces in 20 days, half way after 10."""
    rows = [
        FanDay(day(i), p10=i // 4, p25=i // 3, p50=i // 2, p75=i // 2, p90=min(i, 10))
        for i in range(21)
    ]
    (curve,) = lines(fan_chart(rows, DESKTOP, wanted=10), "ink")
    (left, low), (right, high) = curve.points[0], curve.points[-1]
    middle = min(curve.points, key=lambda p: abs(p[0] - (left + right) / 2))

    assert middle[1] == pytest.approx((low + high) / 2, abs=abs(high - low) / 10)


def test_a_fan_that_goes_on_half_way_names_its_edges_beside_them():
    rows = [FanDay(day(i), *(min(20 + max(i - 10 - late, 0), 40) for late in (10, 5, 3, 2, 0))) for i in range(45)]  # fmt: skip
    (slow,) = [one for one in fan_chart(rows, DESKTOP, wanted=40).words if "behind" in one.text]
    _, low = lines(fan_chart(rows, DESKTOP, wanted=40), "glaze")

    assert slow.y_px < max(y for _, y in low.points)  # above where the slow edge begins


@pytest.mark.parametrize("name", ["fan", "timeline", "molds"])
def test_the_deadline_is_an_iron_line_with_its_word(name):
    drawing = CASES[name](PHONE)

    assert len(lines(drawing, "iron")) == 1
    assert any(text.startswith("your date ") for text in texts(drawing))


def test_the_deadline_stands_at_its_day():
    """Half way between two days that are 28 days apart."""
    rows = [MoldsFinish(1, day(0), day(14), day(28))]
    drawing = molds_chart(rows, DESKTOP, deadline=Deadline(day(14)))
    (bar,), (line,) = grounds(drawing, "glaze-pale"), lines(drawing, "iron")

    assert line.points[0][0] == pytest.approx(sum(ends(bar)) / 2)


@pytest.mark.parametrize("name", ["fan-no-date", "molds-forty", "risks-one", "use-none"])
def test_no_deadline_no_line(name):
    drawing = CASES[name](PHONE)

    assert lines(drawing, "iron") == []
    assert not any("your date" in text for text in texts(drawing))


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("fan-date-before", "← your date 16 Jan 2035"),
        ("fan-date-far-off", "your date 2 Feb 2047 →"),
        ("molds-date-before", "← your date 3 Sep 2033"),
        ("risks-far", "← your date 4 Dec 2027"),
    ],
)
def test_a_date_beyond_the_chart_is_told_with_an_arrow(name, word):
    drawing = CASES[name](DESKTOP)

    assert lines(drawing, "iron") == []
    assert word in texts(drawing)


def test_what_is_worn_steps_up_on_its_day_and_not_before():
    """Worn molds do not grow little by little: between two days the count stays, then it jumps."""
    (line,) = lines(CASES["use"](DESKTOP), "ochre")
    steps = list(zip(line.points, line.points[1:], strict=False))

    assert all(one[0] == other[0] or one[1] == other[1] for one, other in steps)
    assert len({y for _, y in line.points}) == 2


def test_the_rows_of_molds_keep_their_order_and_their_word():
    drawing = molds_chart(mold_table(3, {2: "this plan"}), PHONE)
    words = {word.text: word.y_px for word in drawing.words}

    assert words["1"] < words["2 this plan"] < words["3"]
    assert len(grounds(drawing, "glaze-mid")) == 1


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_a_risk_names_its_ends_and_their_dates(look):
    drawing = risks_chart(SOME_RISKS, look, average=day(66))
    words = " ".join(texts(drawing)).replace("\xa0", " ")

    for word in (
        "how long molds dry",
        "○ 9 days",
        "● 17 days",
        "22 Apr",
        "30 Apr",
        "on average 26 Apr",
    ):
        assert word in words


def test_a_ring_stands_at_the_low_end_of_an_input_and_a_disc_at_the_high_one():
    """The first input is better at its high end, the second at its low one."""
    marks = discs(risks_chart(SOME_RISKS[:2], DESKTOP, average=day(66)))
    rings = {mark.middle[1]: mark.middle[0] for mark in marks if mark.open_}
    solid = {mark.middle[1]: mark.middle[0] for mark in marks if not mark.open_}
    first, second = sorted(rings)

    assert rings[first] > solid[first]
    assert rings[second] < solid[second]


def test_a_worn_mold_has_its_diamond():
    def diamonds(worn: bool) -> int:
        mold = MoldLife("M-001", day(0), (day(9), day(20)), worn=worn)
        return len(grounds(timeline_chart([], [mold], PHONE, finish=Finish(day(30))), "ochre"))

    assert diamonds(worn=True) == diamonds(worn=False) + 1


def test_drying_is_dashed_and_each_load_a_block():
    drawing = timeline_chart(STAGES, [], DESKTOP, finish=Finish(day(60)))
    dashed = [mark for mark in drawing.marks if not isinstance(mark, Disc) and mark.dashed]

    assert len(grounds(drawing, "ochre")) == len(STAGES[-1].spells)
    assert [mark.fill for mark in dashed] == ["sheet"]


def test_a_bar_includes_its_last_day():
    """A stage of one day is as wide as each day of a longer one."""
    stages = [STAGES[1], STAGES[3]]
    drawing = timeline_chart(stages, [], DESKTOP, finish=Finish(day(60)))
    one_day, many = (last - first for first, last in map(ends, grounds(drawing, "soft")))
    days = (date(2036, 4, 10) - date(2036, 3, 10)).days + 1

    assert STAGES[3].spells == ((date(2036, 3, 10), date(2036, 4, 10)),)
    assert many / one_day == pytest.approx(days)


@pytest.mark.parametrize("name", CASES)
def test_the_line_of_a_date_strikes_no_word_through(name):
    drawing = CASES[name](PHONE)
    boxes = [word.box_px(PHONE.text_px) for word in drawing.words]

    for line in lines(drawing, "iron"):
        (x, one_y), (end_x, other_y) = line.points
        high, low = sorted((one_y, other_y))
        struck = [b for b in boxes if b[0] < x < b[2] and b[1] < low - 0.1 and b[3] > high + 0.1]
        assert end_x != x or struck == []
