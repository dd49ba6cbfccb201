"""Letting a phone in: a code shown on the studio's own computer, typed on the phone.

One code at a time, good for two minutes and for one phone. Five wrong codes within a
minute close the door for the rest of it, even for the right one.
"""

from __future__ import annotations

import secrets
from collections import deque
from datetime import datetime, timedelta
from threading import Lock

from pourwright.errors import BadInput, NotDoable, as_written

LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Thirty that nobody mixes up: no 0 O, no 1 I L, no U beside V."""
LENGTH = 8
LASTS = timedelta(minutes=2)
MOST_WRONG = 5
WINDOW = timedelta(minutes=1)


class TooManyTries(NotDoable):
    """Five wrong codes were typed within a minute."""


class Pairing:
    """The one code that is good now, and the wrong ones typed of late.

    The code is kept in memory only: a server that starts again has none.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._code: str = ""
        self._ends: datetime | None = None
        self._wrong: deque[datetime] = deque(maxlen=MOST_WRONG)

    def offer(self, now: datetime) -> str:
        """Return a new code; the one before is good no longer."""
        with self._lock:
            self._code = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
            self._ends = now + LASTS
            return self._code

    def shown(self, now: datetime) -> tuple[str, datetime] | None:
        """Return the code that is good now and when it ends, or None."""
        with self._lock:
            return (self._code, self._ends) if self._ends and self._is_good(now) else None

    def redeem(self, typed: str, now: datetime) -> None:
        """Use the code up; case, spaces and hyphens of what was typed do not matter.

        Raises
        ------
        TooManyTries
            After five wrong ones within a minute.
        BadInput
            If it is not the code that is good now.
        """
        plain = "".join(char for char in typed.upper() if char.isalnum())
        with self._lock:
            if len(self._wrong) == MOST_WRONG and now - self._wrong[0] < WINDOW:
                raise TooManyTries(
                    "Five wrong codes within a minute. Wait a minute, then try again."
                )
            given, kept = plain.encode(), self._code.encode()
            is_right = self._is_good(now) and secrets.compare_digest(given, kept)
            if not is_right:
                self._wrong.append(now)
                right = f"it must be the {LENGTH} characters that the studio's computer shows now"
                raise BadInput.one("code", as_written(typed), right)
            self._code, self._ends = "", None

    def _is_good(self, now: datetime) -> bool:
        return bool(self._code) and self._ends is not None and now < self._ends


def spaced(code: str) -> str:
    """Return a code as it is read out: two groups.

    Examples
    --------
    >>> spaced("7KQM4RTX")
    '7KQM 4RTX'
    """
    return f"{code[:4]} {code[4:]}"
