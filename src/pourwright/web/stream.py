"""Server-sent events that say only "something changed", and what time it is.

One watcher looks at the book's head four times a second for all streams together, so it
sees what another process writes too. A stream ends when its device is turned away.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, Response, StreamingResponse

from pourwright.ledger.file.trouble import BookTrouble
from pourwright.web.desk import Desk, desk_of
from pourwright.web.devices import Who
from pourwright.web.door import COOKIE

router = APIRouter()

LOOK_S = 0.25
QUIET_S = 5.0
"""After how long without a change a stream says the time, so that a dead one is noticed. [s]"""
MOST_STREAMS = 40


class Watch:
    """Looks at the book's head while anybody listens."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._looking: asyncio.Task[None] | None = None
        self.listeners = 0
        self.seq = -1
        self.is_ending = self.is_broken = False

    async def start(self) -> None:
        """Count a listener in; the first one starts the looking."""
        self.seq = await self._look()
        self.is_broken = False
        self.listeners += 1
        if self._looking is None or self._looking.done():
            self._looking = asyncio.create_task(self._keep_looking())

    def leave(self) -> None:
        """Count a listener out."""
        self.listeners -= 1

    def close(self) -> None:
        """Stop looking."""
        if self._looking is not None:
            self._looking.cancel()

    async def _keep_looking(self) -> None:
        while self.listeners > 0 and not self.is_ending:
            await asyncio.sleep(LOOK_S)
            try:
                self.seq = await self._look()
            except BookTrouble:
                # Every stream ends; the page then asks for the time, and is told why.
                self.is_broken = True
                return

    async def _look(self) -> int:
        head = await run_in_threadpool(self._desk.book.head)
        return head.seq


@router.get("/stream", include_in_schema=False)
async def stream(request: Request) -> Response:
    """Say when something changed, until the page goes away or the device is turned away."""
    watch: Watch = request.app.state.watch
    if watch.listeners >= MOST_STREAMS:
        return Response(status_code=503, headers={"retry-after": "5"})
    await run_in_threadpool(desk_of(request).book.head)  # what cannot be read is told at once
    headers = {"cache-control": "no-store", "x-accel-buffering": "no"}
    return StreamingResponse(_said(request, watch), headers=headers, media_type="text/event-stream")


async def _said(request: Request, watch: Watch) -> AsyncIterator[str]:
    desk, who, token = desk_of(request), request.state.who, request.cookies.get(COOKIE)
    await watch.start()
    loop = asyncio.get_running_loop()
    try:
        shown, spoke = watch.seq, loop.time()
        yield "retry: 1000\n" + _event(desk, shown)
        while not (watch.is_ending or watch.is_broken or await request.is_disconnected()):
            await asyncio.sleep(LOOK_S)
            if not _is_let_in(desk, who, token):
                yield "event: unpaired\ndata: {}\n\n"
                return
            if watch.seq != shown or loop.time() - spoke > QUIET_S:
                shown, spoke = watch.seq, loop.time()
                yield _event(desk, shown)
    finally:
        watch.leave()


def _event(desk: Desk, seq: int) -> str:
    said = json.dumps({"seq": seq, "now_ms": desk.clock.now_ms()})
    return f"id: {seq}\nevent: studio\ndata: {said}\n\n"


def _is_let_in(desk: Desk, who: Who, token: str | None) -> bool:
    return who.is_here or desk.devices.who(token, desk.clock.now()) is not None


@router.get("/api/clock")
def clock(request: Request) -> JSONResponse:
    """Return the studio's time, and how far its book is."""
    desk = desk_of(request)
    seq = desk.book.head().seq
    return JSONResponse({"now_ms": desk.clock.now_ms(), "seq": seq})
