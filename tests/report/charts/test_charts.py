"""What the charts draw is what they were told."""

import re
from datetime import UTC, date, datetime
from xml.etree import ElementTree as ET

import pytest

from pourwright.report.charts.fan import fan_chart
from pourwright.report.charts.molds import molds_chart
from pourwright.report.charts.records import (
    DESKTOP,
    LOOKS,
    PHONE,
    Deadline,
    Finish,
    MoldLife,
)
from pourwright.report.charts.render import svg_in_page
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

SVG = "{http://www.w3.org/2000/svg}"


def told(spec: dict) -> list[list[dict]]:
    """Return the tables inside a view."""
    return [spec["datasets"][layer["data"]["name"]] for layer in spec["layer"]]


def texts(spec: dict) -> list[str]:
    return [row["text"] for table in told(spec) for row in table if "text" in row]


def instant(when: date) -> int:
    return int(datetime(when.year, when.month, when.day, tzinfo=UTC).timestamp() * 1000)


def lines(spec: dict, color: str) -> list[dict[str, str]]:
    """Return the drawn lines of a color."""
    root = ET.fromstring(svg_in_page(spec))
    return [e.attrib for e in root.iter(f"{SVG}line") if e.get("stroke") == f"var(--{color})"]


def at(line: dict[str, str]) -> float:
    return float(re.match(r"translate\(([\d.]+)", line["transform"])[1])


@pytest.mark.parametrize(
    "look",
    [PHONE, pytest.param(DESKTOP, marks=pytest.mark.whole)],
    ids=lambda look: look.name,
)
@pytest.mark.parametrize("name", ["fan", "use", "timeline", "molds", "risks"])
def test_a_view_is_vega_lite_that_holds_all_it_needs(name, look):
    """A view obeys the schema of Vega-Lite that it names: Altair holds every view against it."""
    import altair as alt

    spec = CASES[name](look)

    assert re.fullmatch(r"https://vega\.github\.io/schema/vega-lite/v[\d.]+\.json", spec["$schema"])
    assert "url" not in str(spec["layer"])
    alt.LayerChart.from_dict(spec).to_dict(validate=True)


def test_the_fan_draws_every_row_it_was_given():
    rows = fan_rows(80, 33)
    spec = fan_chart(rows, DESKTOP, wanted=33, finish=ENDS)
    tables = [t for t in told(spec) if t and {"p10", "p25", "p50", "p75", "p90"} <= set(t[0])]
    wanted = {instant(row["date"]): row["p50"] for row in rows}

    assert len(tables) == 5
    for table in tables:
        assert all(wanted[row["date"]] == row["p50"] for row in table)
    assert max(row["p90"] for row in tables[0]) == 33


def test_the_fan_is_as_wide_as_the_numbers():
    """A straight fan, counted by hand: of 0 to 10 pieces in 20 days, half way after 10."""
    rows = [
        {"date": day(i), "p10": i // 4, "p25": i // 3, "p50": i // 2, "p75": i // 2, "p90": min(i, 10)}
        for i in range(21)
    ]  # fmt: skip
    svg = ET.fromstring(svg_in_page(fan_chart(rows, DESKTOP, wanted=10)))
    curve = next(
        e.get("d")
        for e in svg.iter(f"{SVG}path")
        if e.get("stroke") == "var(--ink)" and "stroke-dasharray" not in e.attrib
    )
    points = [tuple(map(float, p.split(","))) for p in re.findall(r"[\d.]+,[\d.]+", curve)]
    (left, low), (right, high) = points[0], points[-1]
    middle = min(points, key=lambda p: abs(p[0] - (left + right) / 2))

    assert middle[1] == pytest.approx((low + high) / 2, abs=abs(high - low) / 10)


@pytest.mark.parametrize("name", ["fan", "timeline", "molds"])
def test_the_deadline_is_an_iron_line_with_its_word(name):
    spec = CASES[name](PHONE)

    assert len(lines(spec, "iron")) == 1
    assert any(text.startswith("your date ") for text in texts(spec))


def test_the_deadline_stands_at_its_day():
    """Half way between two named days that are 14 days apart."""
    rows = [{"molds": 1, "p10": day(0), "p50": day(14), "p90": day(28), "word": ""}]
    spec = molds_chart(rows, DESKTOP, deadline=Deadline(day(14)))
    root = ET.fromstring(svg_in_page(spec))
    bar = next(e for e in root.iter(f"{SVG}path") if e.get("fill") == "var(--celadon-pale)")
    left, right = float(re.match(r"M([\d.]+)", bar.get("d"))[1]), None
    width = float(re.search(r"h([\d.]+)", bar.get("d"))[1])
    right = left + width

    assert at(lines(spec, "iron")[0]) == pytest.approx((left + right) / 2, abs=1)


@pytest.mark.parametrize("name", ["fan-no-date", "molds-forty", "risks-one", "use-none"])
def test_no_deadline_no_line(name):
    spec = CASES[name](PHONE)

    assert lines(spec, "iron") == []
    assert not any("your date" in text for text in texts(spec))


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
    spec = CASES[name](DESKTOP)

    assert lines(spec, "iron") == []
    assert word in texts(spec)


def test_the_rows_of_molds_keep_their_order_and_their_word():
    spec = molds_chart(mold_table(3, {2: "this plan"}), PHONE)
    root = ET.fromstring(svg_in_page(spec))
    words = {
        t.text: float(re.findall(r"[\d.]+", t.get("transform"))[1]) for t in root.iter(f"{SVG}text")
    }

    assert words["1"] < words["2 this plan"] < words["3"]


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_a_risk_names_its_ends_and_their_dates(look):
    spec = risks_chart(SOME_RISKS, look, middle=day(66))
    words = " ".join(texts(spec)).replace("\xa0", " ")

    for word in (
        "how long molds dry",
        "○ 9 days",
        "● 17 days",
        "22 Apr",
        "30 Apr",
        "half by 26 Apr",
    ):
        assert word in words


def test_a_worn_mold_has_its_diamond():
    def diamonds(worn: bool) -> int:
        mold = MoldLife("M-001", day(0), (day(9), day(20)), worn=worn)
        root = ET.fromstring(svg_in_page(timeline_chart([], [mold], PHONE, finish=Finish(day(30)))))
        return sum(e.get("fill") == "var(--ochre)" for e in root.iter(f"{SVG}path"))

    assert diamonds(worn=True) == diamonds(worn=False) + 1


def test_drying_is_dashed_and_each_load_a_block():
    spec = timeline_chart(STAGES, [], DESKTOP, finish=Finish(day(60)))
    root = ET.fromstring(svg_in_page(spec))
    loads = [e for e in root.iter(f"{SVG}path") if e.get("fill") == "var(--ochre)"]
    dashed = [e for e in root.iter() if "stroke-dasharray" in e.attrib]

    assert len(loads) == len(STAGES[-1].spells)
    assert [e.get("fill") for e in dashed] == ["var(--plaster)"]
