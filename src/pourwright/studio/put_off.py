"""What was put off until the next working day: a note in the book, which Today and the plan read."""

from __future__ import annotations

from datetime import date

from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.plan.standing_from_book import day_of

NOT_TODAY = "not today"
"""What such a note is about; it tells what is put off."""
LATELY = 200
"""Notes and corrections that are looked at. [-]"""


def put_off(reading: Reading, today: date, zone: str) -> frozenset[tuple[str, str]]:
    """Return what is not done on a day, as notes tell it: whose, and what.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    today : date
        The day.
    zone : str
        The studio's time zone.
    """
    lately = reading.latest(LATELY, kinds=("note-made", CORRECTED))
    return frozenset(
        (one.scope, str(one.body["text"]))
        for one in effective(sorted(lately, key=lambda one: one.seq))
        if one.body.get("about") == NOT_TODAY and day_of(one.at, zone) == today
    )
