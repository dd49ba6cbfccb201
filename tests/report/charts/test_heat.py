"""The chart of a thermometer log draws what it was told, and its words lie on the image."""

from xml.etree import ElementTree as ET

import pytest

from pourwright.report.charts.heat import ClockMark, heat_chart
from pourwright.report.charts.marks import Disc, Ground, LineMark
from pourwright.report.charts.palette import SCHEMES
from pourwright.report.charts.records import DESKTOP, LOOKS, PHONE, HeatReading, LawReading
from pourwright.report.charts.render import svg_image

READ = [HeatReading(m, d) for m, d in ((5, 20.2), (20, 33.0), (35, 49.3), (60, 43.3))]
LAW = [LawReading(m, d, d - 1, d + 1) for m, d in ((0, 20.0), (20, 32.5), (35, 48.5), (60, 44.0))]
MARKS = (
    ClockMark(35.0, "hottest 35 min", True),
    ClockMark(68.0, "open at the earliest 68 min", False),
)


def texts(drawing):
    return [word.text for word in drawing.words]


def marks_of(drawing, kind):
    return [one for one in drawing.marks if isinstance(one, kind)]


ALL_TOLD = {"law": LAW, "room": 18.0, "marks": MARKS}
EVEN = [HeatReading(0, 20), HeatReading(1, 20)]
A_DAY = [HeatReading(m, 68 + m % 7) for m in range(0, 1440, 4)]


@pytest.mark.parametrize(
    ("readings", "told", "look"),
    [
        (READ, {}, PHONE),
        (READ, {"law": LAW}, DESKTOP),
        (EVEN, {"room": 200.0}, PHONE),
        (A_DAY, ALL_TOLD, DESKTOP),
        *(
            pytest.param(readings, told, look, marks=pytest.mark.whole)
            for readings in (READ, EVEN, A_DAY)
            for told in (ALL_TOLD, {"room": 20.0}, {"room": 200.0})
            for look in LOOKS
        ),
    ],
)
def test_every_reading_lies_on_the_image(readings, told, look):
    drawing = heat_chart(readings, look, **told)
    found = [disc.middle for disc in marks_of(drawing, Disc)]

    assert len(found) == len(readings)
    assert all(0 <= x <= look.width_px and 0 <= y <= drawing.height_px for x, y in found)


def test_the_law_goes_through_the_middle_of_its_range():
    drawing = heat_chart(READ, PHONE, law=LAW, room=18.0, marks=MARKS)
    (band,) = marks_of(drawing, Ground)
    (line,) = [one for one in marks_of(drawing, LineMark) if one.color == "glaze"]
    low, high = band.points[: len(LAW)], band.points[: len(LAW) - 1 : -1]

    assert len(line.points) == len(LAW)
    for (x, y), (low_x, low_y), (high_x, high_y) in zip(line.points, low, high, strict=True):
        assert x == low_x == high_x
        assert y == pytest.approx((low_y + high_y) / 2)


def test_without_a_law_nothing_but_the_readings_is_drawn():
    drawing = heat_chart(READ, PHONE)

    assert marks_of(drawing, Ground) == []
    assert {one.color for one in marks_of(drawing, LineMark)} == {"hair"}
    assert not any(word in text for text in texts(drawing) for word in ("hottest", "open", "room"))


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_words_name_the_hottest_the_opening_the_room_and_both_units(look):
    said = texts(heat_chart(READ, look, law=LAW, room=18.0, marks=MARKS))

    for words in ("hottest 35 min", "open at the earliest 68 min", "room 18 °C", "50 °C"):
        assert words in said
    assert {"60 min", "70 min"} & set(said)


def test_the_marks_stand_at_their_minutes_on_one_scale_with_the_readings():
    """35 and 60 of 68 min lie where the share of the width says."""
    drawing = heat_chart(READ, DESKTOP, law=LAW, marks=MARKS)
    at = {
        one.color: one.points[0][0] for one in marks_of(drawing, LineMark) if len(one.points) == 2
    }
    hottest, opened = at["iron"], at["ink"]
    words = {word.text: word.x_px for word in drawing.words}
    sixty = marks_of(drawing, Disc)[-1].middle[0]

    assert (hottest - words["0"]) / (opened - words["0"]) == pytest.approx(35 / 68)
    assert (words["60"] - words["0"]) / (opened - words["0"]) == pytest.approx(60 / 68)
    assert sixty == pytest.approx(words["60"])


@pytest.mark.parametrize("scheme", SCHEMES)
def test_the_image_has_a_title_and_words_and_the_colors_of_its_page(scheme):
    drawing = heat_chart(READ, PHONE, law=LAW, room=18.0, marks=MARKS)
    root = ET.fromstring(svg_image(drawing, scheme, title="Heat", alt="What it shows"))
    paints = {one.get(key) for one in root.iter() for key in ("fill", "stroke")} - {None, "none"}

    assert [root[0].text, root[1].text] == ["Heat", "What it shows"]
    assert paints <= set(SCHEMES[scheme].values())
