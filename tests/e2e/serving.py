"""A studio served by a process of its own, which a test may kill, and whose clock it may move."""

import atexit
import json
import multiprocessing
import os
import pkgutil
import signal
import socket
import time
import urllib.request
from pathlib import Path
from typing import Any

import pourwright
from tests.alone import leave_the_network

LAN_NAME = "studio.lan"  # the tests' Chromium finds this computer under it
_PATIENCE_S = 90


_STUDIOS = multiprocessing.get_context("forkserver")
# What serves is loaded once for all the studios of a run: loading takes longer than most tests.
_LOADED = [found.name for found in pkgutil.walk_packages(pourwright.__path__, "pourwright.")]
_STUDIOS.set_forkserver_preload(["__main__", "tests.e2e.trial_studio", *_LOADED])


class Served:
    """A served studio, with the page of the trial beside its own.

    Parameters
    ----------
    folder : Path
        The studio's folder.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.port = free_port()
        self.here = f"http://localhost:{self.port}"
        self.lan = f"http://{LAN_NAME}:{self.port}"
        self.added_s = 0.0
        self._clock = folder / "test-clock"
        self._clock.write_text("0", encoding="utf-8")
        self._process: multiprocessing.process.BaseProcess | None = None

    def start(self) -> "Served":
        """Start it and wait until it answers."""
        leave_the_network()  # before the first studio, or the browser would look for it elsewhere
        self._process = _STUDIOS.Process(target=_serve, args=(self.folder, self.port, self._clock))
        self._process.start()
        atexit.register(self.kill)  # or a test that was broken off would wait for it for ever
        ends = time.monotonic() + _PATIENCE_S
        while time.monotonic() < ends and self._process.is_alive():
            try:
                self.get("/health")
            except OSError:
                time.sleep(0.02)
            else:
                return self
        self.kill()
        raise AssertionError("the studio did not come up")

    def kill(self) -> None:
        """End it without a word, as when the power fails."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """End it as Ctrl-C does."""
        self._end(signal.SIGINT)

    def _end(self, how: signal.Signals) -> None:
        if self._process is not None and self._process.pid is not None:
            os.kill(self._process.pid, how)
            self._process.join(timeout=10)
            self._process.close()
        self._process = None

    def pass_s(self, seconds: float) -> None:
        """Let time pass on the studio's clock."""
        self.added_s += seconds
        written = self._clock.with_suffix(".new")
        written.write_text(str(self.added_s), encoding="utf-8")
        written.replace(self._clock)

    def now_s(self) -> float:
        """Return the studio's time. [s since 1970]"""
        return time.time() + self.added_s

    def get(self, path: str) -> Any:
        """Return what a path answers, as JSON."""
        with urllib.request.urlopen(self.here + path, timeout=5) as answer:
            return json.load(answer)

    def do(self, *commands: dict[str, Any]) -> list[dict[str, Any]]:
        """Have the book do commands, as a program on this computer."""
        body = json.dumps(list(commands)).encode()
        request = urllib.request.Request(
            self.here + "/api/commands", body, {"Content-Type": "application/json"}
        )
        with urllib.request.urlopen(request, timeout=10) as answer:
            return json.load(answer)

    def entries(self, kind: str = "") -> list[dict[str, Any]]:
        """Return what stands in the book, read by another process than the one that serves."""
        from pourwright.studio.book import open_book

        book = open_book(self.folder, create=False)
        with book.store, book.reading() as reading:
            return [
                {"kind": one.kind, "at": one.at, "body": one.body, "by": one.by, "seq": one.seq}
                for one in reading.entries()
                if kind in ("", one.kind)
            ]


def _serve(folder: Path, port: int, clock: Path) -> None:
    """Serve a studio; run in a process of its own."""
    from tests.e2e import trial_studio

    trial_studio.main(folder, port, clock)


def free_port() -> int:
    """Return a port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
