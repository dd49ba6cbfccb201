"""The chart of a thermometer log draws what it was told, and its words lie on the image."""

from xml.etree import ElementTree as ET

import altair as alt
import pytest

from pourwright.report.charts.heat import ClockMark, heat_chart
from pourwright.report.charts.palette import BENCH, SCHEMES
from pourwright.report.charts.records import DESKTOP, LOOKS, PHONE
from pourwright.report.charts.render import svg_image

SVG = "{http://www.w3.org/2000/svg}"
READ = [{"minute": m, "degrees": d} for m, d in ((5, 20.2), (20, 33.0), (35, 49.3), (60, 43.3))]
LAW = [{"minute": m, "degrees": d, "low": d - 1, "high": d + 1} for m, d in ((0, 20.0), (20, 32.5), (35, 48.5), (60, 44.0))]  # fmt: skip
MARKS = (ClockMark(35.0, "hottest 35 min", True), ClockMark(68.0, "open at the earliest 68 min", False))  # fmt: skip


def tables(spec):
    return [spec["datasets"][layer["data"]["name"]] for layer in spec["layer"]]


def texts(spec):
    return [row["text"] for table in tables(spec) for row in table if "text" in row]


ALL_TOLD = {"law": LAW, "room": 18.0, "marks": MARKS}
EVEN = [{"minute": 0, "degrees": 20}, {"minute": 1, "degrees": 20}]
A_DAY = [{"minute": m, "degrees": 68 + m % 7} for m in range(0, 1440, 4)]


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
def test_a_view_obeys_the_schema_of_vega_lite(readings, told, look):
    alt.LayerChart.from_dict(heat_chart(readings, look, **told)).to_dict(validate=True)


def test_every_reading_is_a_disc_and_the_law_is_as_it_was_told():
    found = tables(heat_chart(READ, PHONE, law=LAW, room=18.0, marks=MARKS))

    assert READ in found
    assert found.count(LAW) == 2  # the band and the line


def test_without_a_law_nothing_but_the_readings_is_drawn():
    spec = heat_chart(READ, PHONE)

    assert not any("low" in row for table in tables(spec) for row in table)
    assert not any(word in text for text in texts(spec) for word in ("hottest", "open", "room"))


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_words_name_the_hottest_the_opening_the_room_and_both_units(look):
    said = texts(heat_chart(READ, look, law=LAW, room=18.0, marks=MARKS))

    for words in ("hottest 35 min", "open at the earliest 68 min", "room 18 °C", "50 °C"):
        assert words in said
    assert {"60 min", "70 min"} & set(said)


def drawn(spec, scheme):
    return ET.fromstring(svg_image(spec, scheme, title="Heat", alt="What it shows"))


def test_the_marks_stand_at_their_minutes_on_one_scale_with_the_readings():
    """Straight lines: 35 of 68 min lie where the share of the width says, to a tenth of a pixel."""
    root = drawn(heat_chart(READ, DESKTOP, law=LAW, marks=MARKS), "light")
    at = {}
    for line in root.iter(f"{SVG}line"):
        if line.get("stroke-width") == "2":
            at[line.get("stroke-dasharray")] = float(line.get("transform").split("(")[1].split(",")[0])  # fmt: skip
    hottest, opened = at[None], at["5,3"]
    words = {one.text: one for one in root.iter(f"{SVG}text")}
    nought, sixty = (float(words[w].get("transform").split("(")[1].split(",")[0]) for w in ("0", "60"))  # fmt: skip

    assert (hottest - nought) / (opened - nought) == pytest.approx(35 / 68, abs=1e-3)
    assert (sixty - nought) / (opened - nought) == pytest.approx(60 / 68, abs=2e-3)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_the_image_has_a_title_and_words_and_the_colors_of_its_page(scheme):
    root = drawn(heat_chart(READ, PHONE, law=LAW, room=18.0, marks=MARKS), scheme)
    paints = {one.get(key) for one in root.iter() for key in ("fill", "stroke")} - {None, "none"}

    assert [root[0].text, root[1].text] == ["Heat", "What it shows"]
    assert paints <= set(SCHEMES[scheme].values())


def test_the_benchs_colors_are_those_of_its_page(root):
    style = (root / "src/pourwright/web/static/base.css").read_text(encoding="utf-8")
    bench = style[style.index(".bench {") :].partition("}")[0]
    told = {name: color for name, color in BENCH.items() if not name.startswith("celadon-")}

    assert [name for name, color in told.items() if f"--{name}: {color};" not in bench] == []
