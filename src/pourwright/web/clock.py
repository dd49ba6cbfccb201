"""The server's clock: the machine's own, or one that a test or ``--today`` has moved."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

TEST_CLOCK = "POURWRIGHT_TEST_CLOCK"
"""The environment's name for a file that holds a number of seconds to add, for tests only."""


class Clock:
    """What time it is for the studio."""

    def __init__(self) -> None:
        self._shift = timedelta(0)
        named = os.environ.get(TEST_CLOCK, "")
        self._file = Path(named) if named else None

    def act_as(self, today: date, zone: ZoneInfo) -> None:
        """Go on as if it were another day in that zone; the time of day stays."""
        self._shift = today - datetime.now(zone).date()

    def now(self) -> datetime:
        """Return the instant, in UTC."""
        return datetime.now(UTC) + self._shift + timedelta(seconds=self._added_s())

    def now_ms(self) -> int:
        """Return the instant as milliseconds since 1970, as a browser counts. [ms]"""
        return int(self.now().timestamp() * 1000)

    def _added_s(self) -> float:
        """Return what the test's file adds; it may be written while this is read. [s]"""
        if self._file is None:
            return 0.0
        try:
            return float(self._file.read_text(encoding="utf-8") or 0)
        except (OSError, ValueError):
            return 0.0
