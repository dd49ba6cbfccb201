"""A studio served by a process of its own, which a test may kill, and whose clock it may move."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from typing import Any

LAN_NAME = "studio.lan"  # the tests' Chromium finds this computer under it
_PATIENCE_S = 90


class Served:
    """A served studio.

    ``module`` is run with the folder and the port: the program itself, or one that adds pages.
    """

    def __init__(self, folder: Path, module: str = "tests.e2e.trial_studio") -> None:
        self.folder = folder
        self.port = free_port()
        self.here = f"http://localhost:{self.port}"
        self.lan = f"http://{LAN_NAME}:{self.port}"
        self.added_s = 0.0
        self._module = module
        self._clock = folder / "test-clock"
        self._clock.write_text("0", encoding="utf-8")
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> "Served":
        """Start it and wait until it answers."""
        environment = os.environ | {"POURWRIGHT_TEST_CLOCK": str(self._clock)}
        self._process = subprocess.Popen(
            [sys.executable, "-m", self._module, str(self.folder), str(self.port)],
            env=environment,
            cwd=Path(__file__).resolve().parents[2],
        )
        ends = time.monotonic() + _PATIENCE_S
        while time.monotonic() < ends and self._process.poll() is None:
            try:
                self.get("/health")
            except OSError:
                time.sleep(0.05)
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
        if self._process is not None and self._process.poll() is None:
            self._process.send_signal(how)
            self._process.wait(timeout=10)
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


def free_port() -> int:
    """Return a port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
