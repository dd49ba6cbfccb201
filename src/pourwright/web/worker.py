"""Heavy work in a process of its own: charts, plans, forecasts, files from outside.

The process is started when it is needed and ended when it has been idle, so that the
server stays small. What is called is a function of :mod:`pourwright.web.heavy`; arguments
and answers are pickled. A worker that takes too long or too much memory is ended, and
the maker reads a sentence.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from threading import Lock, Timer
from typing import Any, Literal, TypeVar, TypeVarTuple

from pourwright.errors import BadInput, Complaint, NotDoable, StudioError
from pourwright.process_limits import limit

MEMORY_MB = 1500
"""What the process may ask the system for: of numpy's share much is never touched. [MB]"""
IDLE_MIN = 1.0
LONGEST_MIN = 2.0

Given = TypeVarTuple("Given")
Answer = TypeVar("Answer")
_Reply = tuple[Literal["done", "refused", "fault"], Any]


class WorkerFault(RuntimeError):
    """The worker failed by a fault of ours; its text is the worker's own traceback."""


class Worker:
    """One process for heavy work, one call at a time.

    It may ask the system for so much memory, and is ended after so long without work.
    """

    def __init__(self, memory_mb: int = MEMORY_MB, idle_min: float = IDLE_MIN) -> None:
        self._memory_mb, self._idle_min = memory_mb, idle_min
        self._lock = Lock()
        self._process: multiprocessing.process.BaseProcess | None = None
        self._pipe: Connection | None = None
        self._timer: Timer | None = None

    def call(
        self,
        work: Callable[[*Given], Answer],
        *given: *Given,
        longest_min: float = LONGEST_MIN,
    ) -> Answer:
        """Have a function of a module worked out, and return what it returns.

        It may take ``longest_min`` minutes.

        Raises
        ------
        StudioError
            As the function raised it, or if it took too long or too much memory.
        WorkerFault
            If it failed in another way.
        """
        with self._lock:
            self._stop_timer()
            try:
                answer: Answer = _opened(self._ask(work, given, longest_min))
                return answer
            finally:
                self._start_timer()

    @property
    def pid(self) -> int | None:
        """The process's id while there is one."""
        return self._process.pid if self._process else None

    def close(self) -> None:
        """End the process, if there is one."""
        with self._lock:
            self._stop_timer()
            self._end()

    def _ask(
        self, work: Callable[..., object], given: tuple[object, ...], longest_min: float
    ) -> _Reply:
        before = self._process
        pipe = self._running()
        try:
            pipe.send((work, given))
            if pipe.poll(60 * longest_min):
                reply: _Reply = pipe.recv()
                return reply
        except (EOFError, OSError):
            used_before = before is not None and before is self._process
            self._end()
            if used_before:  # it may have died while it waited, which is not this asking's fault
                return self._ask(work, given, longest_min)
            raise NotDoable(
                "This needed more memory than it may take, so it was stopped. Try it smaller."
            ) from None
        self._end()
        raise NotDoable(f"This took longer than {longest_min:g} min, so it was stopped.")

    def _running(self) -> Connection:
        """Return the pipe to a process that is alive."""
        if self._pipe is None or self._process is None or not self._process.is_alive():
            self._end()
            spawn = multiprocessing.get_context("spawn")
            self._pipe, theirs = spawn.Pipe()
            self._process = spawn.Process(
                target=_work, args=(theirs, self._memory_mb), name="pourwright-worker", daemon=True
            )
            self._process.start()
            theirs.close()
        return self._pipe

    def _end(self) -> None:
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.kill()
            self._process.join()
        self._pipe = self._process = None

    def _start_timer(self) -> None:
        self._timer = Timer(60 * self._idle_min, self.close)
        self._timer.daemon = True
        self._timer.start()

    def _stop_timer(self) -> None:
        if self._timer is not None:
            self._timer.cancel()


def _opened(reply: _Reply) -> Any:
    """Return what was answered, or raise what was raised."""
    how, what = reply
    if how == "done":
        return what
    if how == "fault":
        raise WorkerFault(what)
    kind, words, complaints = what
    if complaints:
        raise BadInput(complaints)
    raise (NotDoable if kind == "NotDoable" else StudioError)(words)


def _work(pipe: Connection, memory_mb: int) -> None:
    """Do what is asked, one thing after the other, until the pipe is closed."""
    limit(RLIMIT_DATA=memory_mb << 20)
    # Ctrl-C in the terminal is for the server, which then ends this process
    with suppress(EOFError, KeyboardInterrupt, OSError):
        while True:
            work, given = pipe.recv()
            pipe.send(_reply(work, given))


def _reply(work: Callable[..., object], given: tuple[object, ...]) -> _Reply:
    import traceback

    try:
        return "done", work(*given)
    except StudioError as refused:
        complaints: tuple[Complaint, ...] = getattr(refused, "complaints", ())
        return "refused", (type(refused).__name__, str(refused), complaints)
    except MemoryError:
        words = "This needed more memory than it may take. Try it smaller."
        return "refused", ("NotDoable", words, ())
    except Exception:  # noqa: BLE001 - told to the server, which logs it as its own
        return "fault", traceback.format_exc()
