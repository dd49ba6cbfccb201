"""One number as a page tells it: its bearers, what became of each, and every entry that names one."""

from __future__ import annotations

from datetime import date
from typing import Any
from urllib.parse import urlencode

from pourwright.errors import BadInput, NotDoable
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.said import listed
from pourwright.report.saying import day
from pourwright.studio.answers import number_of
from pourwright.studio.edition import KEY, Foot, feet
from pourwright.studio.history import number_story

_WHERE = {"here": "here", "away": "has left the studio", "lost": "lost", "broken": "broken"}


def number_shown(reading: Reading, edition: str, written: str, zone: str) -> dict[str, Any] | None:
    """Return what the page of a number shows.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    edition : str
        The edition, which is in the book.
    written : str
        The number as its address has it: ``7`` or ``AP2``.
    zone : str
        The studio's time zone.

    Returns
    -------
    dict or None
        ``foot``, ``number``, ``standing``, ``why``, ``bearers``, ``entries`` and ``steps``;
        None if there is no such number in the edition.
    """
    foot = _foot(reading, edition, written)
    if foot is None:
        return None
    try:
        number_of(reading.things, edition, foot.label)
    except (BadInput, NotDoable):  # a number that nobody bears yet has a page too
        return {
            "foot": foot, "number": foot.label, "standing": KEY[foot.word], "why": None, "bearers": (), "is_borne": False,
            "entries": (), "steps": (("Mark it", _do("mark", edition, foot, _numbers(foot)), ""),),
        }  # fmt: skip
    story = number_story(reading, edition, foot.label, zone)
    return {
        "foot": foot, "number": story["number"], "standing": KEY[foot.word], "why": story["why"],
        "bearers": [_bearer(one) for one in story["bearers"]], "is_borne": story["status"] == "living",
        "entries": [
            {"words": one["said"], "note": _entry_note(one), "to": f"/records/{one['seq']}", "kind": "", "word": ""}
            for one in story["entries"]
        ],
        "steps": _steps(edition, foot, story),
    }  # fmt: skip


def _foot(reading: Reading, edition: str, written: str) -> Foot | None:
    kinds = ("numbered", "proof")
    every = (foot for kind in kinds for foot in feet(reading.things, edition, kind))
    return next((foot for foot in every if foot.key == written), None)


def _entry_note(one: dict[str, Any]) -> str:
    late = ", entered late" if one["late"] else ""
    return f"{day(date.fromisoformat(one['day']))}, entry {one['seq']}{late}"


def _bearer(one: dict[str, Any]) -> dict[str, Any]:
    """Return a bearer in words: its label, where it is, and its days as facts."""
    where = _WHERE.get(one["state"], one["state"])
    words = f"{where}, {one['stage']}" if one["state"] == "here" else where
    days = [
        (what.capitalize(), day(date.fromisoformat(iso)), "") for what, iso in one["days"].items()
    ]
    facts = [
        ("From", one["mold"] or "", ""), ("Fired", listed(one["firings"]) if one["firings"] else "", ""),
        ("Loads", listed(one["loads"]) if one["loads"] else "", ""), ("Lost to", one["cause"] or "", ""),
        ("Shown by", one["evidence"] or "", ""), ("Replaces", one["replaces"] or "", ""),
        ("Photos", str(one["photos"]) if one["photos"] else "", ""),
    ]  # fmt: skip
    return {"piece": one["piece"], "words": words, "facts": [*days, *(f for f in facts if f[1])]}


def _steps(edition: str, foot: Foot, story: dict[str, Any]) -> list[tuple[str, str, str]]:
    if story["status"] == "owed":
        evidence = next((b["evidence"] for b in reversed(story["bearers"]) if b["evidence"]), None)
        again = _numbers(foot) | ({"evidence": evidence} if evidence else {})
        return [
            ("Make it again", _do("mark", edition, foot, again), ""),
            ("Settle it", _do("settle", edition, foot, _numbers(foot)), "quiet"),
        ]
    piece = {"pieces": foot.label}
    verbs = {
        "here": (("Sell", "sell"), ("Ship", "ship"), ("Give", "give"), ("It broke", "break")),
        "sold": (("Ship", "ship"), ("It broke", "break")),
        "left": (("It came back", "return"), ("It broke there", "break")),
        "given": (("It came back", "return"), ("It broke there", "break")),
    }.get(foot.word, ())
    return [(word, _do(verb, edition, foot, piece), "quiet" if at else "") for at, (word, verb) in enumerate(verbs)]  # fmt: skip


def _numbers(foot: Foot) -> dict[str, str]:
    digits = foot.label.rpartition(" ")[2]
    return {"numbers": digits} | ({"kind": "proof"} if " " in foot.label else {})


def _do(verb: str, edition: str, foot: Foot, fields: dict[str, str]) -> str:
    to = f"/editions/{edition}/numbers/{foot.key}"
    return f"/do/{verb}?{urlencode({'edition': edition, **fields, 'back': to})}"
