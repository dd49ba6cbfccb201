"""A sign of life after a second, on a terminal's standard error only."""

import io

import pytest

from pourwright.cli import progress


class Terminal(io.StringIO):
    """Standard error with somebody looking at it."""

    def isatty(self) -> bool:
        return True


class Clock:
    """A timer that rings at once, or never, instead of after a while."""

    rings = True

    def __init__(self, seconds: float, ring) -> None:
        assert seconds == progress.PATIENCE_S
        self.ring = ring

    def start(self) -> None:
        if self.rings:
            self.ring()

    def cancel(self) -> None:
        """Nothing to cancel."""

    def join(self) -> None:
        """Nothing to wait for."""


@pytest.fixture
def clock(monkeypatch):
    monkeypatch.setattr(progress, "Timer", Clock)
    return Clock


def test_slow_work_is_told_and_the_sign_goes_away(clock, monkeypatch):
    stderr = Terminal()
    monkeypatch.setattr("sys.stderr", stderr)
    monkeypatch.setenv("TERM", "xterm")

    with progress.working("Planning"):
        pass

    assert "Planning ..." in stderr.getvalue()
    assert stderr.getvalue().rpartition("Planning")[2].count("\x1b[2K") >= 1


def test_quick_work_says_nothing(clock, monkeypatch):
    stderr = Terminal()
    monkeypatch.setattr("sys.stderr", stderr)
    monkeypatch.setattr(clock, "rings", False)

    with progress.working("Planning"):
        pass

    assert "Planning" not in stderr.getvalue()


def test_nothing_is_said_where_nobody_looks(clock, monkeypatch):
    stderr = io.StringIO()
    monkeypatch.setattr("sys.stderr", stderr)

    with progress.working("Planning"):
        pass

    assert stderr.getvalue() == ""


def test_the_sign_stops_when_the_work_fails(clock, monkeypatch):
    monkeypatch.setattr("sys.stderr", Terminal())

    with pytest.raises(ZeroDivisionError), progress.working("Planning"):
        raise ZeroDivisionError
