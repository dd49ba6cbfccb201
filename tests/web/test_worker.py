"""The worker: actions done in a process of its own, ended when idle, too slow or too greedy."""

import operator
import os
import time
from datetime import date
from pathlib import Path

import pytest

from pourwright.errors import BadInput, NotDoable, StudioError
from pourwright.reading import read_day
from pourwright.studio.commands import verb, verbs
from pourwright.studio.plans import plan_from_book
from pourwright.web.worker import Worker, WorkerFault

TODAY = date(2031, 1, 6)


@pytest.fixture(scope="module")
def worker():
    """Yield a worker that a test may end: it is started again."""
    made = Worker()
    yield made
    made.close()


def is_alive(pid):
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return "Z" not in Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]


def test_an_action_is_done_elsewhere_and_answers(worker):
    day = worker.call(read_day, "2031-02-03", TODAY, "--today")

    assert day == date(2031, 2, 3)
    assert worker.pid not in (None, os.getpid())


def test_a_refusal_comes_back_with_its_complaints(worker):
    with pytest.raises(BadInput) as here:
        worker.call(verb, "no-such-verb")
    with pytest.raises(StudioError, match='--today is "never"; write a date'):
        worker.call(read_day, "never", TODAY, "--today")

    assert here.value.complaints[0].path == "do"


def test_a_fault_of_ours_comes_back_with_its_traceback(worker):
    with pytest.raises(WorkerFault, match="AttributeError"):
        worker.call(operator.attrgetter("nothing_of_that_name"), 1)


def test_the_process_is_used_again(worker):
    worker.call(verb, "cast")
    first = worker.pid
    worker.call(verb, "cast")

    assert worker.pid == first


def test_a_worker_that_was_killed_is_started_again(worker):
    worker.call(verb, "cast")
    first = worker.pid
    os.kill(first, 9)
    while is_alive(first):
        time.sleep(0.01)

    assert worker.call(verb, "cast").verb == "cast"
    assert worker.pid != first


def test_what_takes_too_long_is_stopped():
    hasty = Worker()
    with pytest.raises(NotDoable, match="took longer"):
        hasty.call(verbs, longest_min=0.0)  # it is not even started by then

    assert hasty.pid is None
    assert hasty.call(verb, "cast").verb == "cast"
    hasty.close()


def test_what_takes_too_much_memory_is_refused(tmp_path):
    small = Worker(memory_mb=60)
    with pytest.raises(NotDoable, match="memory"):
        small.call(plan_from_book, tmp_path / "edition.toml", TODAY)
    small.close()


def test_an_idle_worker_is_ended():
    brief = Worker(idle_min=0.001)
    brief.call(verb, "cast")
    pid = brief.pid
    while brief.pid is not None:
        time.sleep(0.01)

    assert not is_alive(pid)
