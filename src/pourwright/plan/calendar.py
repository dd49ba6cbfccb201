"""The studio's calendar, its public holidays looked up by country and region."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from pourwright.briefs.records import DaysOff, Studio, YearlyDaysOff
from pourwright.errors import BadInput, did_you_mean
from pourwright.simulation.calendar import (
    LONG_ENOUGH_DAYS,
    Calendar,
    Closed,
    ClosedDays,
    ClosedEveryYear,
    build_calendar,
)

_ENGLISH = "en_US"


def studio_calendar(studio: Studio, first: date, days: int = LONG_ENOUGH_DAYS) -> Calendar:
    """Return the days on which a studio works.

    Parameters
    ----------
    studio : Studio
        Its country and region, working weekdays and days off.
    first : date
        The calendar's first day.
    days : int
        How many days it holds. [days]

    Returns
    -------
    Calendar
        Closed on public holidays too, if the studio keeps them.

    Raises
    ------
    BadInput
        If the country or the region has no holidays that we know.
    NotDoable
        If no day is worked.
    """
    last = first + timedelta(days=min(days - 1, (date.max - first).days))
    about, time = studio.studio, studio.time
    kept = time.public_holidays and about.country
    holidays = public_holidays(kept, about.region, first, last) if kept else {}
    return build_calendar(
        first,
        days,
        weekdays=time.working_days,
        holidays=holidays,
        closed=[_closed(off) for off in time.off],
    )


def _closed(off: DaysOff | YearlyDaysOff) -> Closed:
    if isinstance(off, DaysOff):
        return ClosedDays(off.first, off.last)
    return ClosedEveryYear(off.first, off.last)


def public_holidays(country: str, region: str | None, first: date, last: date) -> dict[date, str]:
    """Return the public holidays from a first to a last day.

    Days that only some towns or some trades keep are not among them; a studio
    writes those under its own days off. Holidays that follow the moon are
    forecasts until a government proclaims them.

    Parameters
    ----------
    country : str
        Two letters, ISO 3166.
    region : str or None
        A state, province or the like, as its country writes it.
    first, last : date
        Both included.

    Returns
    -------
    dict of date to str
        Names in English where the list has them, else in the country's own
        language; substitute days included.

    Raises
    ------
    BadInput
        If the country or the region has no holidays that we know; the sentence
        says the nearest name.

    Examples
    --------
    >>> public_holidays("US", None, date(2031, 7, 1), date(2031, 7, 31))
    {datetime.date(2031, 7, 4): 'Independence Day'}
    """
    import holidays as lists  # a quarter of a second; a studio without a country need not wait

    supported = lists.list_supported_countries(include_aliases=False)
    if country not in supported:
        raise _unknown_country(country, sorted(supported))
    if region is not None and region not in supported[country]:
        raise _unknown_region(country, region, supported[country])
    found = lists.country_holidays(
        country, subdiv=region, years=range(first.year, last.year + 1), language=_ENGLISH
    )
    return {day: name for day, name in sorted(found.items()) if first <= day <= last}


def _unknown_country(country: str, known: Sequence[str]) -> BadInput:
    """Return the error for a country, with the code that was likely meant."""
    return BadInput.one(
        "studio.country",
        f'"{country}"',
        'it must be a country\'s two letters (ISO 3166) whose holidays are known, such as "US" or "DK"',
        did_you_mean(_likely_country(country), known),
    )


def _likely_country(country: str) -> str:
    """Return the two letters of a country that was written by name or another code."""
    from holidays.registry import COUNTRIES

    for names in COUNTRIES.values():
        spelled = {name.casefold() for name in names}
        if country.replace(" ", "").casefold() in spelled:
            return next(name for name in names if len(name) == 2)
    return country.upper()


def _unknown_region(country: str, region: str, known: Sequence[str]) -> BadInput:
    """Return the error for a region, with those there are."""
    if not known:
        right = f"holidays do not differ by region in {country}; leave the line out"
        return BadInput.one("studio.region", f'"{region}"', right)
    right = f"in {country} it must be one of {', '.join(known)}"
    return BadInput.one("studio.region", f'"{region}"', right, did_you_mean(region, known))
