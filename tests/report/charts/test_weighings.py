"""The chart of a mold's weighings draws what it was told."""

from datetime import UTC, date, datetime, timedelta

import altair as alt
import pytest

from pourwright.report.charts.records import DESKTOP, PHONE
from pourwright.report.charts.weighings import weighings_chart

FIRST = date(2036, 2, 27)  # over the end of a leap February


def weighed(*masses):
    return [{"date": FIRST + timedelta(days=n), "kg": kg} for n, kg in enumerate(masses)]


def tables(spec):
    return [spec["datasets"][layer["data"]["name"]] for layer in spec["layer"]]


def instant(when):
    return int(datetime(when.year, when.month, when.day, tzinfo=UTC).timestamp() * 1000)


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
def test_a_view_obeys_the_schema_of_vega_lite(masses, look):
    dry = (FIRST + timedelta(days=8), FIRST + timedelta(days=12))
    spec = weighings_chart(weighed(*masses), look, dry_kg=0.7 * masses[-1], dry=dry)

    alt.LayerChart.from_dict(spec).to_dict(validate=True)


def test_every_weighing_is_a_disc():
    rows = weighed(5.1, 4.9, 4.75)
    found = [table for table in tables(weighings_chart(rows, PHONE)) if table and "kg" in table[0]]

    for table in found:
        assert [(row["date"], row["kg"]) for row in table] == [
            (instant(row["date"]), row["kg"]) for row in rows
        ]
    assert len(found) == 2  # the line and the discs


def test_the_way_to_dry_ends_on_the_dry_weight_at_both_ends():
    rows = weighed(5.0, 4.8)
    dry = (FIRST + timedelta(days=6), FIRST + timedelta(days=10))
    (band,) = [
        t for t in tables(weighings_chart(rows, PHONE, dry_kg=3.5, dry=dry)) if t and "fast" in t[0]
    ]
    by_day = {row["date"]: row for row in band}

    assert (
        by_day[instant(rows[-1]["date"])]["fast"]
        == by_day[instant(rows[-1]["date"])]["slow"]
        == 4.8
    )
    assert by_day[instant(dry[0])]["fast"] == 3.5
    assert by_day[instant(dry[1])]["slow"] == 3.5
    # halfway between the last weighing and the slow end lies half the water
    assert by_day[instant(dry[0])]["slow"] == pytest.approx(4.8 - 1.3 * 5 / 9)


def test_without_a_dry_weight_nothing_is_foretold():
    spec = weighings_chart(weighed(5.0, 4.8), PHONE, dry=(FIRST, FIRST))

    assert not any("fast" in row for table in tables(spec) for row in table)
    assert not any("dry" in row.get("text", "") for table in tables(spec) for row in table)
