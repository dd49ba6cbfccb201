"""Serving a studio: one process, one port, until it is stopped."""

from __future__ import annotations

import contextlib
import ctypes
import gc
import ipaddress
import os
import socket
import threading
import webbrowser
from collections.abc import Callable
from datetime import date
from pathlib import Path
from types import FrameType

import uvicorn

from pourwright.errors import NotDoable
from pourwright.studio.book import said_before_opening, said_of_place
from pourwright.web import heavy
from pourwright.web.app import make_app
from pourwright.web.patience import PatientProtocol
from pourwright.web.stream import Watch
from pourwright.web.worker import Worker

HERE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104 - what --lan asks for
_STOP_S = 2
_UPGRADE_MB, _UPGRADE_MIN = 6000, 60
"""What bringing an old book up to date may take: memory [MB] and time [min]."""
_ARENA_MAX, _ARENAS = -8, 2
"""The name in malloc.h of how many arenas there may be, and how many there are."""


def serve(
    folder: Path,
    *,
    port: int,
    lan: bool,
    names: tuple[str, ...],
    today: date | None,
    browse: bool,
    say: Callable[[str], None],
) -> None:
    """Serve a studio until it is stopped by hand; ``say`` takes each line that the maker reads.

    Port 0 is any that is free; ``names`` are further names of this computer in the network.

    Raises
    ------
    NotDoable
        If the port is taken, or nothing may be written into the folder.
    """
    if not os.access(folder, os.W_OK):
        raise NotDoable(
            f"The folder {folder.name} may only be read, and the studio writes into it. Copy it to "
            "where it can be written to; pourwright book show and verify work here as well."
        )
    listening = _listen(EVERYWHERE if lan else HERE, port)
    port = listening.getsockname()[1]
    _bring_up_to_date(folder, say)
    if doubt := said_of_place(folder):
        say(doubt)
    called = (*names, *network_names()) if lan else names
    app = make_app(folder, lan=lan, names=called, port=port, today=today)
    here = f"http://localhost:{port}"
    say(f"The studio is served at {here}")
    if lan:
        say(f"For phones: {', '.join(f'http://{name}:{port}' for name in called)}")
        say(f"Pair a phone at {here}/settings/devices")
        say(
            "Over plain http anybody on this wifi can read along; use a network of the studio's own."
        )
    say("Stop it with Ctrl-C.")
    if browse:
        threading.Timer(0.5, webbrowser.open, (here,)).start()
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        timeout_graceful_shutdown=_STOP_S,
        http=PatientProtocol,
        server_header=False,
        proxy_headers=False,
        ws="none",
    )
    _few_arenas()
    gc.freeze()  # what was imported stays; looking through it again holds a page up for 30 ms
    with contextlib.suppress(KeyboardInterrupt):
        Server(config, app.state.watch).run(sockets=[listening])


def _bring_up_to_date(folder: Path, say: Callable[[str], None]) -> None:
    """Have a book of an older version brought up to date in a process of its own.

    A large one takes a gigabyte while it is worked out again, which the server would then keep.
    """
    words = said_before_opening(folder)
    if words:
        say(words)
        worker = Worker(memory_mb=_UPGRADE_MB)
        try:
            worker.call(heavy.bring_book_up_to_date, folder, longest_min=_UPGRADE_MIN)
        finally:
            worker.close()


def _few_arenas() -> None:
    """Have the threads share their memory where the C library is GNU's; by itself each keeps its own.

    It saves some twenty megabytes of a hundred and fifty.
    """
    with contextlib.suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).mallopt(_ARENA_MAX, _ARENAS)


class Server(uvicorn.Server):
    """A server that ends its streams when it is stopped, instead of waiting for them."""

    def __init__(self, config: uvicorn.Config, watch: Watch) -> None:
        super().__init__(config)
        self._watch = watch

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Stop, and let the streams end."""
        self._watch.is_ending = True
        super().handle_exit(sig, frame)


def _listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens, before anything is opened or said."""
    # Only with the protocol named does asyncio send at once; else each page waits for an ACK, 40 ms.
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
    except OSError:
        listening.close()
        raise NotDoable(
            f"Port {port} is taken, perhaps by another studio. Choose another with --port."
        ) from None
    return listening


def network_names() -> tuple[str, ...]:
    """Return the addresses and names by which the network reaches this computer."""
    found: list[str] = []
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # sends nothing; says which address would be used
        found.append(probe.getsockname()[0])
    name = socket.gethostname().lower()
    with contextlib.suppress(OSError):
        found += [str(one[4][0]) for one in socket.getaddrinfo(name, None, socket.AF_INET)]
    usable = [one for one in dict.fromkeys(found) if not ipaddress.ip_address(one).is_loopback]
    bare = name.partition(".")[0]
    return (*usable, *dict.fromkeys((name, f"{bare}.local", f"{bare}.lan", bare)))
