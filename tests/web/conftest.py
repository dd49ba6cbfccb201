"""A studio behind a browser that is on this computer, on a paired phone, or a stranger's."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, time
from pathlib import Path

import pytest
from fastapi import FastAPI

from pourwright.studio.sample import lay_out_sample
from pourwright.web.app import make_app
from pourwright.web.door import COOKIE
from pourwright.web.worker import Worker
from tests.web.browser import HERE, LAN, PHONE, THIS_COMPUTER, Browser
from tests.web.sample import WEDNESDAY


class SharedWorker(Worker):
    """A worker that stays when a studio closes: starting one takes a second."""

    def close(self) -> None:
        """Leave it to the next studio."""

    def end(self) -> None:
        """End the process."""
        super().close()


@pytest.fixture(scope="session")
def shared_worker() -> Iterator[SharedWorker]:
    """Yield a worker for the studios of all tests."""
    found = SharedWorker()
    yield found
    found.end()


@pytest.fixture(scope="session")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a sample studio that is copied and never opened."""
    folder = tmp_path_factory.mktemp("laid-out") / "studio"
    lay_out_sample(folder, datetime.combine(WEDNESDAY, time(12), UTC))
    return folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return the studio's folder."""
    return tmp_path


@pytest.fixture
def app(folder: Path, shared_worker: SharedWorker) -> Iterator[FastAPI]:
    """Yield the application of a studio that lets phones in, with one edition in its book."""
    made = make_app(folder, lan=True, names=("studio.lan",), port=8484)
    made.state.desk.worker = shared_worker
    made.state.desk.do({"do": "plan-edition", "id": "plan", "edition": "tide-cup", "pieces": 24})
    yield made
    made.state.desk.close()


@pytest.fixture
def here(app: FastAPI) -> Browser:
    """Return a browser on the studio's own computer."""
    return Browser(app, HERE, THIS_COMPUTER, {"Origin": HERE})


@pytest.fixture
def token(app: FastAPI) -> str:
    """Return the token of a phone that is paired."""
    return app.state.desk.devices.pair("wheel room phone", app.state.desk.clock.now())


@pytest.fixture
def phone(app: FastAPI, token: str) -> Browser:
    """Return a paired phone."""
    return Browser(app, LAN, PHONE, {"Origin": LAN}, {COOKIE: token})


@pytest.fixture
def stranger(app: FastAPI) -> Browser:
    """Return a phone that nobody paired."""
    return Browser(app, LAN, PHONE, {"Origin": LAN})


@pytest.fixture
def move_clock(
    app: FastAPI, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Callable[[float], None]:
    """Return a function that moves the studio's clock on. [s]"""
    file = tmp_path / "test-clock"
    monkeypatch.setattr(app.state.desk.clock, "_file", file)
    passed = [0.0]

    def moved(seconds: float) -> None:
        passed[0] += seconds
        file.write_text(str(passed[0]), encoding="utf-8")

    return moved
