"""When something happened, as commands tell it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from pourwright.errors import BadInput, as_written

AHEAD = timedelta(minutes=5)
"""A phone's clock may be this much ahead of the studio's."""

EARLIEST = date(2000, 1, 1)
OLDEST_TAP_S = 43_200

OF_ONE_COMPUTER = frozenset({"localtime", "posixrules", "posix", "right", "Factory"})
"""Names that lie beside the zones on some computers, and mean another zone on each or nothing."""

_RIGHT = 'write a date such as "2027-03-01", or an instant such as "2027-03-01T09:30:00+01:00"'


def read_zone(value: object, usual: str) -> str:
    """Return a time zone's name.

    Raises
    ------
    BadInput
        If there is no such zone.
    """
    if value is None:
        return usual
    if (
        isinstance(value, str)
        and re.fullmatch(r"[A-Za-z][A-Za-z0-9_+\-]*(?:/[A-Za-z0-9_+\-]+)*", value)
        and value.partition("/")[0] not in OF_ONE_COMPUTER
    ):
        try:
            return ZoneInfo(value).key
        except (KeyError, ValueError, OSError):
            pass
    right = "write a time zone's name, such as Europe/Copenhagen"
    raise BadInput.one("zone", as_written(value), right)


def read_at(command: Mapping[str, object], now: datetime, zone: str) -> str:
    """Return when something happened: an instant in UTC, or a date alone.

    Parameters
    ----------
    command : mapping
        Its ``at`` or ``age_s``; with neither it happened now.
    now : datetime
        The studio's clock, with a time zone.
    zone : str
        In which a time without an offset is read.

    Raises
    ------
    BadInput
        If it cannot be read, or lies in the future.

    Examples
    --------
    >>> now = datetime(2027, 3, 1, 12, 0, tzinfo=UTC)
    >>> read_at({"at": "2027-03-01"}, now, "UTC"), read_at({"age_s": 90}, now, "UTC")
    ('2027-03-01', '2027-03-01T11:58:30Z')
    """
    at, age_s = command.get("at"), command.get("age_s")
    if at is None:
        return _written(now - timedelta(seconds=_age_s(age_s)))
    if age_s is not None:
        raise BadInput.one("age_s", as_written(age_s), "write at or age_s, not both")
    if isinstance(at, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", at):
        return _date(at, now, zone)
    return _instant(at, now, zone)


def _age_s(value: object) -> int:
    if value is None:
        return 0
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= OLDEST_TAP_S:
        right = f"write whole seconds from 0 to {OLDEST_TAP_S}, 12 hours; what is older is written with at"
        raise BadInput.one("age_s", as_written(value), right)
    return value


def _date(text: str, now: datetime, zone: str) -> str:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise BadInput.one("at", as_written(text), _RIGHT) from None
    today = (now + AHEAD).astimezone(ZoneInfo(zone)).date()
    if not EARLIEST <= day <= today:
        raise BadInput.one("at", as_written(text), f"it must be from {EARLIEST} to today, {today}")
    return text


def _instant(value: object, now: datetime, zone: str) -> str:
    shape = r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]{1,6})?)?(?:Z|[+-][0-9]{2}:[0-9]{2})?"
    try:
        if not isinstance(value, str) or not re.fullmatch(shape, value):
            raise ValueError
        moment = datetime.fromisoformat(value)
        if moment.tzinfo is None:
            moment = moment.replace(tzinfo=ZoneInfo(zone))
        moment = moment.astimezone(UTC)
    except (ValueError, OverflowError):
        raise BadInput.one("at", as_written(value), _RIGHT) from None
    if not datetime(2000, 1, 1, tzinfo=UTC) <= moment <= now + AHEAD:
        right = f"it must be from {EARLIEST} to now, {_written(now)}"
        raise BadInput.one("at", as_written(value), right)
    return _written(moment)


def _written(moment: datetime) -> str:
    text = moment.astimezone(UTC).isoformat(timespec="seconds")
    return text.removesuffix("+00:00") + "Z"
