"""A sign of life for what takes more than a second."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Timer

PATIENCE_S = 1.0
"""Seconds without a word. [s]"""


@contextmanager
def working(what: str) -> Iterator[None]:
    """Say on a terminal's standard error what is going on, if it takes its time.

    Nothing is ever said where nobody looks, so piped output stays clean.
    """
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    status = Console(file=sys.stderr, highlight=False).status(f"{what} ...", spinner="line")
    timer = Timer(PATIENCE_S, status.start)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        status.stop()
