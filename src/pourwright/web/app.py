"""The application: every page registers itself, every answer passes the door."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path

from fastapi import APIRouter, FastAPI, Request
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import JSONResponse, Response
from starlette.types import ASGIApp

from pourwright.web import api, pages, stream
from pourwright.web.clock import Clock
from pourwright.web.desk import Desk, desk_of
from pourwright.web.door import Door
from pourwright.web.forms import FIELDS_MOST, FILES_MOST
from pourwright.web.refused import add_handlers, turned_away
from pourwright.web.render import STATIC_TYPES, static_digest, static_files
from pourwright.web.stream import Watch

BODY_MOST = 1024 * 1024
"""What a request may hold unless its route says otherwise. [byte]"""
PACKED_FROM, PACKED = 1_000, 2
"""From which size on an answer is packed [byte], and how hard: 1 to 9. [-]"""
_YEAR_S = 365 * 86400

own = APIRouter()


def make_app(
    folder: Path,
    *,
    lan: bool = False,
    names: tuple[str, ...] = (),
    port: int = 0,
    today: date | None = None,
) -> FastAPI:
    """Return the application that serves one studio.

    With ``lan`` paired phones may come in, and ``names`` are what this computer is called in
    the network; other hosts are not answered. ``today`` has it act as if it were that day.
    """
    desk = Desk(folder, Clock(), lan=lan, names=names, port=port)
    if today is not None:
        desk.clock.act_as(today, desk.zone)
    app = StudioApp(
        title="Pourwright",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        lifespan=_lifespan,
        max_body_size=BODY_MOST,
        form_limits={"max_fields": FIELDS_MOST, "max_files": FILES_MOST},
        redirect_slashes=False,
        # else the description of the routes promises the framework's own answer
        responses={422: {"description": "Refused, with the sentences that say why."}},
    )
    app.state.desk = desk
    app.state.watch = Watch(desk)
    for router in routers():
        app.include_router(router)
    add_handlers(app)
    return app


class StudioApp(FastAPI):
    """An application with its door outermost, so that no answer goes out without its headers.

    A middleware of the usual kind would stand inside the layers that answer what is too
    large and what failed.
    """

    def build_middleware_stack(self) -> ASGIApp:
        """Return everything behind the door."""
        desk: Desk = self.state.desk
        # A page is mostly repetition: a tenth goes over the wifi for a millisecond of work.
        # Nothing secret stands in a page beside what somebody else could have typed into it.
        packed = GZipMiddleware(
            super().build_middleware_stack(), minimum_size=PACKED_FROM, compresslevel=PACKED
        )
        return Door(
            packed,
            devices=desk.devices,
            now=desk.clock.now,
            hosts=frozenset(name.lower() for name in desk.names),
            doubt=desk.doubt,
            seen=desk.seen_by_devices,
            show=turned_away,
        )


def routers() -> Iterator[APIRouter]:
    """Yield the routers of every module that has one, in the order of their names."""
    yield own
    yield api.router
    for found in pkgutil.iter_modules(pages.__path__):
        yield importlib.import_module(f"pourwright.web.pages.{found.name}").router
    yield stream.router


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    yield
    app.state.watch.close()
    app.state.desk.close()


@own.get("/static/{digest}/{name}", include_in_schema=False)
async def static_file(digest: str, name: str) -> Response:
    """Answer with a style sheet or a script."""
    content = static_files().get(name)
    if content is None:
        return Response("Nothing here.", 404, media_type="text/plain")
    kept = "immutable" if digest == static_digest() else "no-cache"
    headers = {"cache-control": f"public, max-age={_YEAR_S}, {kept}"}
    if kept == "no-cache":
        headers = {"cache-control": kept}
    kind = STATIC_TYPES["." + name.rpartition(".")[2]]
    return Response(content, headers=headers, media_type=kind)


@own.get("/health", include_in_schema=False)
def health(request: Request) -> Response:
    """Answer whether the studio is served and its book can be read, and no more."""
    seq = desk_of(request).book.head().seq
    return JSONResponse({"ok": seq >= 0, "name": "pourwright"})
