"""Connections that keep silent are closed, and no address takes the room of the others.

Without it two hundred connections that say nothing lock everybody out, this computer too.
"""

from __future__ import annotations

import asyncio
import ipaddress
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol, RequestResponseCycle

SILENT_S = 10.0
"""In which a request's head must have come, from the connection or from its first byte on. [s]"""
MOST_FROM_ONE = 24
"""Connections from one address: a browser opens six to a studio, and has a few windows. [-]"""
MOST_FROM_ELSEWHERE = 200
"""Connections from all other computers together; this one is never counted. [-]"""


class PatientProtocol(H11Protocol):
    """HTTP as uvicorn speaks it, to whoever asks something within ten seconds."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self._silence: asyncio.TimerHandle | None = None
        self.elsewhere = ""
        """The address of another computer, empty for this one."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection in, unless its address has too many."""
        super().connection_made(transport)
        if self.client and not ipaddress.ip_address(self.client[0]).is_loopback:
            self.elsewhere = self.client[0]
        if self._is_one_too_many():
            transport.abort()
        else:
            self._wait_for_request()

    def _is_one_too_many(self) -> bool:
        if not self.elsewhere:
            return False
        all_of_them = [
            one.elsewhere for one in self.connections if isinstance(one, PatientProtocol)
        ]
        from_others = len(all_of_them) - all_of_them.count("")
        same = all_of_them.count(self.elsewhere)
        return same > MOST_FROM_ONE or from_others > MOST_FROM_ELSEWHERE

    def data_received(self, data: bytes) -> None:
        """Take in what was sent; a head must be whole within ten seconds of its first byte."""
        super().data_received(data)
        if self._is_answering():
            self._stop_waiting()
        elif self._silence is None and not self.transport.is_closing():
            self._wait_for_request()

    def connection_lost(self, exc: Exception | None) -> None:
        """Let a connection go."""
        self._stop_waiting()
        super().connection_lost(exc)

    def _is_answering(self) -> bool:
        cycle: RequestResponseCycle | None = self.cycle  # None before the first request
        return cycle is not None and not cycle.response_complete

    def _wait_for_request(self) -> None:
        self._silence = self.loop.call_later(SILENT_S, self._close_if_silent)

    def _close_if_silent(self) -> None:
        self._silence = None
        if not self._is_answering():
            self.transport.abort()

    def _stop_waiting(self) -> None:
        if self._silence is not None:
            self._silence.cancel()
            self._silence = None
