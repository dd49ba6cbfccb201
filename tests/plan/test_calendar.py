"""Public holidays, held against the lists that countries publish."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pourwright.briefs.records import (
    About,
    DaysOff,
    Studio,
    WorkTime,
    YearlyDaysOff,
)
from pourwright.errors import BadInput, NotDoable
from pourwright.plan.calendar import public_holidays, studio_calendar
from tests.sources.public_holidays import LISTS, published


def a_studio(country: str | None, region: str | None = None, **time: object) -> Studio:
    """Return a studio of which only place and time matter here."""
    about = About("a studio", country, region, "UTC", "EUR", "metric")
    work = WorkTime((0, 1, 2, 3, 4), 1, 360.0, country is not None, ())
    others = dict.fromkeys(("plaster", "pouring", "drying", "kiln", "slip", "shop", "prices"))
    return Studio(studio=about, time=replace(work, **time), origins={}, **others)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", list(LISTS))
def test_holidays_on_weekdays_agree_with_the_published_list(name: str) -> None:
    """The source stands in the list itself; substitute days are in, weekends are left out."""
    country, region, year, _, source = LISTS[name]

    found = public_holidays(country, region, date(year, 1, 1), date(year, 12, 31))

    assert {day for day in found if day.weekday() < 5} == published(name), source


def test_a_studio_in_england_works_253_days_in_2026() -> None:
    """UK government, UK bank holidays, England and Wales, 2026: 261 weekdays less eight."""
    calendar = studio_calendar(a_studio("GB", "ENG"), date(2026, 1, 1))

    assert calendar.count(date(2026, 1, 1), date(2027, 1, 1)) == 253
    assert calendar.after(date(2026, 12, 18), 10) == date(2027, 1, 6)
    assert calendar.label(date(2026, 12, 28)) == "Boxing Day (observed)"


def test_a_studio_keeps_its_own_days_off_and_weekdays() -> None:
    """Thanksgiving 2026 is a Thursday, November 26 (US Office of Personnel Management)."""
    studio = a_studio(
        "US",
        working_days=(1, 3, 5),
        off=(DaysOff(date(2026, 11, 3), date(2026, 11, 8)), YearlyDaysOff((12, 24), (1, 2))),
    )
    calendar = studio_calendar(studio, date(2026, 11, 1))
    december = date(2026, 12, 1)

    worked = [
        day
        for day in (date(2026, 11, 1) + timedelta(days=n) for n in range(30))
        if calendar.is_open(day)
    ]
    assert [day.day for day in worked] == [10, 12, 14, 17, 19, 21, 24, 28]
    assert calendar.label(date(2026, 11, 26)) == "Thanksgiving Day"
    assert calendar.label(date(2030, 12, 31)) == "day off"
    assert calendar.count(december, date(2026, 12, 24)) == 10


def test_a_studio_that_does_not_keep_public_holidays_works_on_them() -> None:
    """Its country is known all the same."""
    kept = studio_calendar(a_studio("GB", "ENG"), date(2026, 1, 1), 365)
    worked = studio_calendar(a_studio("GB", "ENG", public_holidays=False), date(2026, 1, 1), 365)

    assert worked.working.sum() - kept.working.sum() == 8


def test_a_studio_without_a_country_has_no_holidays() -> None:
    """261 weekdays in 2026."""
    assert studio_calendar(a_studio(None), date(2026, 1, 1), 365).working.sum() == 261


@pytest.mark.parametrize("first", [date(2026, 1, 1), date(2031, 6, 1), date(2036, 6, 1)])
def test_christmas_is_closed_ten_years_on(first: date) -> None:
    """The fixed day of the list, wherever a plan begins."""
    calendar = studio_calendar(a_studio("DE", "BY"), first)

    for year in range(first.year, first.year + 11):
        assert not calendar.is_open(date(year, 12, 25))
        assert calendar.label(date(year, 12, 25)) == "Christmas Day"


@pytest.mark.parametrize(
    ("country", "region", "sentence"),
    [
        (
            "UK",
            None,
            'studio.country is "UK"; it must be a country\'s two letters .* Did you mean GB?',
        ),
        ("United Kingdom", None, "Did you mean GB?"),
        ("gb", None, "Did you mean GB?"),
        ("DEU", None, "Did you mean DE?"),
        ("Atlantis", None, "it must be a country's two letters"),
        ("", None, 'studio.country is ""'),
        ("GB", "England", "studio.region is .*one of ENG, NIR, SCT, WLS. Did you mean ENG?"),
        ("US", "Vt", "Did you mean VT?"),
        ("JP", "13", "holidays do not differ by region in JP; leave the line out"),
    ],
)
def test_an_unknown_place_is_answered_with_the_nearest_name(
    country: str, region: str | None, sentence: str
) -> None:
    """One sentence: the field, the value, what would be right."""
    with pytest.raises(BadInput, match=sentence):
        public_holidays(country, region, date(2026, 1, 1), date(2026, 12, 31))


def test_a_studio_that_is_always_off_is_told_so() -> None:
    """Nothing can be planned on no day."""
    with pytest.raises(NotDoable, match="some working days"):
        studio_calendar(
            a_studio("GB", "ENG", off=(YearlyDaysOff((1, 1), (12, 31)),)), date(2026, 1, 1)
        )


def test_a_start_in_the_last_year_of_all_is_no_crash() -> None:
    """Dates end with the year 9999; holiday lists end long before."""
    assert studio_calendar(a_studio("US"), date(9999, 6, 1)).last == date(9999, 12, 31)
