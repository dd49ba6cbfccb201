"""The chart of a mold's weighings draws what it was told."""

from datetime import date, timedelta

import pytest

from pourwright.report.charts.marks import Disc, Ground, LineMark
from pourwright.report.charts.records import DESKTOP, PHONE, Weighing
from pourwright.report.charts.weighings import weighings_chart, weighings_line

FIRST = date(2036, 2, 27)  # over the end of a leap February


def weighed(*masses):
    return [Weighing(FIRST + timedelta(days=n), kg) for n, kg in enumerate(masses)]


def marks_of(drawing, kind):
    return [one for one in drawing.marks if isinstance(one, kind)]


@pytest.mark.parametrize(
    ("masses", "look"),
    [
        ((5.0, 5.0), PHONE),
        ((310.0, 280.0), DESKTOP),
        ((0.021, 0.02), PHONE),
        pytest.param((5.1, 4.9), PHONE, marks=pytest.mark.whole),
        pytest.param((5, 4.8, 4.6, 4.5, 4.45), DESKTOP, marks=pytest.mark.whole),
    ],
)
def test_every_weighing_is_a_disc_on_the_line_and_on_the_image(masses, look):
    dry = (FIRST + timedelta(days=8), FIRST + timedelta(days=12))
    drawing = weighings_chart(weighed(*masses), look, dry_kg=0.7 * masses[-1], dry=dry)
    found = [disc.middle for disc in marks_of(drawing, Disc)]
    (line,) = [one for one in marks_of(drawing, LineMark) if one.color == "ink"]

    assert list(line.points) == found
    assert len(found) == len(masses)
    assert all(0 <= x <= look.width_px and 0 <= y <= drawing.height_px for x, y in found)


def test_the_way_to_dry_ends_on_the_dry_weight_at_both_ends():
    rows = weighed(5.0, 4.8)
    dry = (FIRST + timedelta(days=6), FIRST + timedelta(days=10))
    drawing = weighings_chart(rows, PHONE, dry_kg=3.5, dry=dry)
    (band,) = marks_of(drawing, Ground)
    (dry_line,) = [one for one in marks_of(drawing, LineMark) if one.color == "glaze"]
    last = marks_of(drawing, Disc)[-1].middle
    fast, slow = band.points[:3], band.points[:2:-1]
    bottom, top = dry_line.points[0][1], last[1]

    assert fast[0] == slow[0] == last
    assert [y for _, y in fast[1:]] == pytest.approx([bottom, bottom])
    assert slow[2][1] == pytest.approx(bottom)
    # where the fast way is dry, five days of nine are gone on the slow one
    assert slow[1][1] == pytest.approx(top + (bottom - top) * 5 / 9)


def test_the_word_on_the_dry_line_lies_over_no_disc():
    for masses, side in (((5.0, 4.8), "right"), ((5.0, 4.0, 3.55), "left")):
        drawing = weighings_chart(weighed(*masses), PHONE, dry_kg=3.5)
        (word,) = [one for one in drawing.words if one.text == "dry"]
        assert word.align == side
        x, y = marks_of(drawing, Disc)[-1].middle
        assert abs(word.x_px - x) > 40 or abs(word.y_px - y) > PHONE.line_px


def test_the_line_alone_goes_down_to_the_dry_weight_and_says_when():
    dry = (FIRST + timedelta(days=6), FIRST + timedelta(days=10))
    drawing = weighings_line(weighed(5.0, 4.8), PHONE, dry_kg=3.5, dry=dry)
    (dry_line,) = [one for one in marks_of(drawing, LineMark) if one.color == "glaze"]
    heights = [disc.middle[1] for disc in marks_of(drawing, Disc)]

    assert [one.text for one in drawing.words] == ["dry, 4 Mar to 8 Mar"]
    assert (
        heights[0] < heights[1] < dry_line.points[0][1] < drawing.words[0].y_px < drawing.height_px
    )
    assert not marks_of(weighings_line(weighed(5.0, 5.0), PHONE), Ground)


def test_without_a_dry_weight_nothing_is_foretold():
    drawing = weighings_chart(weighed(5.0, 4.8), PHONE, dry=(FIRST, FIRST))

    assert marks_of(drawing, Ground) == []
    assert not any("dry" in word.text for word in drawing.words)
