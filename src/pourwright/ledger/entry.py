"""An entry of the book: what happened, once, as it is hashed.

The hashed bytes are the canonical JSON of RFC 8785, kept as text exactly as they were hashed.
There are no floats in an entry: quantities and money are decimal strings, counts are whole
numbers. Entries are never migrated: :func:`read_entry` brings an old version's text up to date.
"""

from __future__ import annotations

import base64
import hashlib
import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import msgspec
import rfc8785

from pourwright.reading import MONTHS

VERSION = 1
"""The version of the envelope that is written."""

STUDIO = "studio"
"""The scope of an entry that belongs to no edition."""

LATE_AFTER = timedelta(hours=12)
"""An entry typed in longer than this after the event is a late entry."""

Body = Mapping[str, Any]
"""What is particular to an entry's kind, as it was read from outside: ``kinds`` and ``rules`` judge it.

It stays a mapping, because its JSON is what is hashed, and old bodies are never migrated.
"""


def random_id() -> str:
    """Return a new opaque entry id: "e-" and 26 characters of base 32, 128 bits of chance."""
    return _id(secrets.token_bytes(16))


def id_from(command_id: str) -> str:
    """Return an entry id worked out from a command's: the same command, the same bytes.

    Examples
    --------
    >>> id_from("phone-2:17")
    'e-kd4qpguaf2iwydbq7vtlouk6d4'
    """
    return _id(hashlib.sha256(command_id.encode()).digest()[:16])


def _id(sixteen: bytes) -> str:
    return "e-" + base64.b32encode(sixteen).decode().rstrip("=").lower()


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An entry before it has its place in the book.

    Parameters
    ----------
    kind : str
        A noun and a past tense, such as ``"mold-retired"``.
    at : str
        When it happened: an instant in UTC, ``"2027-03-01T09:30:00Z"``, or a date alone.
    zone : str
        The studio's time zone, an IANA name.
    by : str
        The device or the person's label; may be empty.
    command_id : str
        The id of the command that caused it.
    body : Mapping
        What is particular to the kind; ``"edition"`` in it gives the scope.
    corrects : str or None
        The id of the entry that this one corrects.
    id : str
        Its own id, random unless it is given.
    """

    kind: str
    at: str
    zone: str
    by: str
    command_id: str
    body: Body
    corrects: str | None = None
    id: str = field(default_factory=random_id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An entry in its place in the book. The fields are those of :class:`Draft` and three more.

    Parameters
    ----------
    v : int
        The version of the envelope.
    seq : int
        Its place in the book, from 1 without gaps.
    recorded : str
        When it was written, in UTC with milliseconds; never earlier than the entry before.
    id, kind, at, zone, by, command_id, corrects, body
        As drafted.
    """

    v: int
    id: str
    seq: int
    kind: str
    at: str
    recorded: str
    zone: str
    by: str
    command_id: str
    corrects: str | None
    body: Body

    @property
    def scope(self) -> str:
        """Return the edition it belongs to, or "studio"."""
        return scope_of(self.body)

    @property
    def is_late(self) -> bool:
        """Return whether it was typed in more than twelve hours after the event."""
        return instant(self.recorded) - latest_instant(self.at, self.zone) > LATE_AFTER


def scope_of(body: Body) -> str:
    """Return the edition that a body names, or "studio"."""
    return str(body.get("edition") or STUDIO)


def canonical(entry: Entry) -> str:
    """Return the entry's canonical JSON, RFC 8785: the text that is hashed and kept.

    Raises
    ------
    TypeError
        If a float is in it.
    """
    told = {one.name: getattr(entry, one.name) for one in fields(entry)}
    _no_floats(told, entry.kind)
    return rfc8785.dumps(told).decode()


def _no_floats(value: object, kind: str) -> None:
    if isinstance(value, float):
        raise TypeError(f"{kind} holds the float {value}; quantities are decimal strings")
    if isinstance(value, dict | list | tuple):
        for inner in value.values() if isinstance(value, dict) else value:
            _no_floats(inner, kind)


def read_entry(text: str) -> Entry:
    """Return the entry that a kept text tells.

    Raises
    ------
    ValueError
        If it is no entry, or one of a version that is not known here.
    """
    try:
        told = msgspec.json.decode(str(text))
    except (msgspec.DecodeError, RecursionError) as wrong:
        raise ValueError("no entry: it cannot be read as JSON") from wrong
    if not isinstance(told, dict) or told.get("v") != VERSION:
        raise ValueError("no entry of a version that is known here")
    if not isinstance(told.get("body"), dict):
        raise ValueError("no entry: its body is no table of fields")
    try:
        return Entry(**told)
    except TypeError as wrong:
        raise ValueError("no entry: a field is missing or unknown") from wrong


def digest(previous: str, text: str) -> str:
    """Return an entry's digest: it covers the text and the digest before it.

    SHA-256 over the canonical JSON of the list of both. For two strings the JSON below is what
    RFC 8785 prescribes, in a small part of the time of the general way.

    Returns
    -------
    str
        64 hexadecimal digits.
    """
    pair = f"[{quoted(previous)},{quoted(text)}]"
    return hashlib.sha256(pair.encode()).hexdigest()


quoted = json.JSONEncoder(ensure_ascii=False).encode
"""Returns a text as JSON writes it."""


GENESIS = "0" * 64
"""What stands for the digest before the first entry."""


def written_instant(moment: datetime) -> str:
    """Return a moment as ``recorded`` holds it: UTC, milliseconds, "Z".

    Examples
    --------
    >>> written_instant(datetime(2027, 3, 1, 9, 30, tzinfo=UTC))
    '2027-03-01T09:30:00.000Z'
    """
    if moment.tzinfo is None:
        raise ValueError("a moment in the book needs a time zone")
    text = moment.astimezone(UTC).isoformat(timespec="milliseconds")
    return text.removesuffix("+00:00") + "Z"


def instant(text: str) -> datetime:
    """Return the moment that an instant in UTC tells."""
    return datetime.fromisoformat(text)


def latest_instant(at: str, zone: str) -> datetime:
    """Return the last moment that ``at`` can mean: a date alone means until midnight."""
    if len(at) > len("2027-03-01"):
        return instant(at)
    day_after = date.fromisoformat(at) + timedelta(days=1)
    return datetime.combine(day_after, time(), ZoneInfo(zone))


def day_in(at: str, zone: str) -> str:
    """Return the day of an instant or a date in the book, by the calendar of a zone.

    Examples
    --------
    >>> day_in("2027-03-02T02:30:00Z", "America/Denver"), day_in("2027-03-02", "America/Denver")
    ('2027-03-01', '2027-03-02')
    >>> day_in("2027-03-01T20:30:00Z", "Pacific/Auckland")
    '2027-03-02'
    """
    if len(at) == len("2027-03-01"):
        return at
    return instant(at).astimezone(ZoneInfo(zone)).date().isoformat()


def day_said(day: str) -> str:
    """Return a day as sentences have it, which no country reads in another way.

    Examples
    --------
    >>> day_said("2027-03-01")
    '1 Mar 2027'
    """
    when = date.fromisoformat(day)
    return f"{when.day} {MONTHS[when.month - 1][:3]} {when.year}"


def moment_in(at: str, zone: str) -> str:
    """Return an instant in the book by the calendar and the clocks of a zone, as it could be typed.

    Examples
    --------
    >>> moment_in("2027-03-02T02:30:00Z", "America/Denver")
    '2027-03-01 19:30'
    >>> moment_in("2027-03-02T02:30:05Z", "UTC"), moment_in("2027-03-02", "UTC")
    ('2027-03-02 02:30:05', '2027-03-02')
    """
    if len(at) == len("2027-03-01"):
        return at
    local = instant(at).astimezone(ZoneInfo(zone))
    return local.strftime("%Y-%m-%d %H:%M:%S" if local.second else "%Y-%m-%d %H:%M")


def clock_in(at: str, zone: str) -> str:
    """Return the time of day of an instant in the book, by the clocks of a zone.

    Examples
    --------
    >>> clock_in("2027-03-02T02:30:00Z", "America/Denver")
    '19:30'
    """
    return instant(at).astimezone(ZoneInfo(zone)).strftime("%H:%M")


def day_of_entry(entry: Entry) -> str:
    """Return the day on which something happened, by the studio's calendar."""
    return day_in(entry.at, entry.zone)
