"""The studio's file, read whole: ``studio.toml``."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pourwright.briefs import records
from pourwright.briefs.read_tables import (
    Values,
    raise_if_any,
    read_tables,
    schema_of,
)
from pourwright.briefs.records import DaysOff, Studio, YearlyDaysOff
from pourwright.briefs.studio_fields import FIELDS
from pourwright.briefs.toml_file import load
from pourwright.errors import OutOfRange, StudioError
from pourwright.materials.plaster.mix import Plaster
from pourwright.reading import Sheet

SCHEMA = schema_of(FIELDS)

STUDIO_FILE = "studio.toml"
"""What it is called."""


def read_studio(path: Path | str, today: date) -> Studio:
    """Return what a studio's file says.

    Returns
    -------
    Studio
        Every field, in house units.

    Raises
    ------
    BadInput
        With a complaint for each thing that is wrong.
    """
    sheet = Sheet(Path(path).name, today)
    values = studio_values(load(Path(path), usual=STUDIO_FILE), sheet)
    raise_if_any(sheet.complaints)
    return build_studio(values)


def studio_values(tables: dict[str, Any], sheet: Sheet) -> Values:
    """Return the values of a studio's tables; what is wrong stays on the sheet."""
    values = read_tables(tables, SCHEMA, sheet, "studio")
    checks = (
        _check_place,
        _check_drying,
        _check_session,
        _check_plaster,
        _check_days,
        _check_kiln,
    )
    for check in checks:
        if not values.of_another_version:
            check(values, sheet)
    return values


def build_studio(values: Values) -> Studio:
    """Return the record of values that are all right."""
    return Studio(
        studio=records.About(**values.record("studio")),
        time=records.WorkTime(**values.record("time")),
        plaster=records.PlasterStock(**values.record("plaster")),
        pouring=records.Pouring(**values.record("pouring")),
        drying=records.MoldDrying(**values.record("drying")),
        kiln=records.Kiln(**values.record("kiln")),
        slip=records.SlipStock(**values.record("slip")),
        shop=records.Shop(**values.record("shop")),
        prices=records.Prices(**values.record("prices")),
        origins=MappingProxyType(values.origins),
    )


def plaster_told(values: Values) -> Plaster | None:
    """Return the plaster that the studio mixes, None if it could not be read."""
    name, consistency = values.get("plaster.name"), values.get("plaster.consistency")
    if consistency is None or "plaster.yield_l_per_kg" in values.failed:
        return None
    try:
        return Plaster(
            name or "plaster", consistency, "the studio", values.get("plaster.yield_l_per_kg")
        )
    except OutOfRange:
        return None


def _check_place(values: Values, sheet: Sheet) -> None:
    if "studio.country" in values.failed or values.get("studio.country"):
        return
    if values.was_written("studio.region"):
        sheet.complain(
            "studio.region",
            values.typed("studio.region"),
            "a region needs its country: write studio.country too",
        )
    if not values.get("time.public_holidays"):
        return
    if values.was_written("time.public_holidays"):
        sheet.complain(
            "time.public_holidays",
            "true",
            "public holidays need the country: write studio.country too",
        )
    values.set_worked_out(
        "time.public_holidays", False, "no country is given, so no holidays are known"
    )


def _check_drying(values: Values, sheet: Sheet) -> None:
    low, high = values.get("drying.days_low"), values.get("drying.days_high")
    if low is not None and high is not None and low > high:
        sheet.complain(
            "drying.days_low",
            str(low),
            f"it must not be more than drying.days_high, which is {high}",
        )


def _check_session(values: Values, sheet: Sheet) -> None:
    session, setup = values.get("pouring.session"), values.get("pouring.setup")
    batch = values.get("pouring.mix_and_pour")
    if session is None or setup is None or batch is None or setup + batch <= session:
        return
    sheet.complain(
        "pouring.session",
        values.typed("pouring.session"),
        f"it must hold the setup ({values.typed('pouring.setup')}) and one batch "
        f"({values.typed('pouring.mix_and_pour')}) at least",
    )


def _check_kiln(values: Values, sheet: Sheet) -> None:
    """Hold the loads of a week to what firing and cooling leave room for."""
    loads = values.get("kiln.loads_a_week")
    days = [values.get(f"kiln.{name}_days") for name in ("bisque", "glaze", "third")]
    shortest = min((one for one in days if one), default=None)
    if loads is None or shortest is None:
        return
    most = -(-7 // shortest)
    if loads > most:
        sheet.complain(
            "kiln.loads_a_week",
            values.typed("kiln.loads_a_week"),
            f"one kiln whose shortest firing takes {shortest} days from loading to unloading is loaded "
            f"{most} times a week at most; write {most} or fewer, or the days a firing takes",
        )


def _check_plaster(values: Values, sheet: Sheet) -> None:
    own = values.get("plaster.yield_l_per_kg")
    consistency = values.get("plaster.consistency")
    if own is None or consistency is None:
        return
    try:
        Plaster("plaster", consistency, "the studio", own)
    except OutOfRange as error:
        sheet.complain(
            "plaster.yield_l_per_kg",
            values.typed("plaster.yield_l_per_kg").strip('"'),
            f"at consistency {consistency:g} it must be {error.allowed} {error.unit}",
            error.hint,
        )


def _check_days(values: Values, sheet: Sheet) -> None:
    """Somebody must be able to work on some day of the coming year."""
    weekdays, off = values.get("time.working_days"), values.get("time.off")
    if not weekdays or not off or sheet.today is None:
        return
    try:
        year = [sheet.today + timedelta(days=ahead) for ahead in range(366)]
    except OverflowError:
        return
    if not any(
        day.weekday() in weekdays and not any(is_off(day, one) for one in off) for day in year
    ):
        sheet.complain(
            "time.off",
            values.typed("time.off"),
            "it leaves no working day in the coming year; free some days",
        )


def is_off(day: date, days: DaysOff | YearlyDaysOff) -> bool:
    """Whether a day lies in a stretch of days off.

    Examples
    --------
    >>> is_off(date(2031, 1, 1), YearlyDaysOff((12, 24), (1, 2)))
    True
    """
    if isinstance(days, DaysOff):
        return days.first <= day <= days.last
    here = (day.month, day.day)
    if days.first <= days.last:
        return days.first <= here <= days.last
    return here >= days.first or here <= days.last


# --- the studio's file as a page needs it: a fault in it is shown, and the page comes up


def studio_now(path: Path, today: date) -> tuple[Studio | None, str]:
    """Return what a studio's file says, or why it cannot be used.

    Returns
    -------
    tuple of (Studio or None, str)
        None and nothing if there is no such file.
    """
    if not path.is_file():
        return None, ""
    try:
        return read_studio(path, today), ""
    except StudioError as fault:
        return None, str(fault)
