"""A browser on the sample studio, for the tests of editions, records, kiln, lots and settings."""

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from pourwright.web.app import make_app
from pourwright.web.worker import Worker
from tests.web.bench_fixtures import AtBench
from tests.web.browser import HERE, THIS_COMPUTER

WEDNESDAY = date(2026, 11, 25)
"""What has dried by then depends on where the weekends fell, so these tests have a day of their own."""

HOSTILE = "<script>alert(1)</script>"


def opened(folder: Path, laid_out: Path, worker: Worker) -> AtBench:
    """Return a browser on a copy of the sample studio, in a new folder."""
    shutil.copytree(laid_out, folder)
    app = make_app(folder, port=8484, today=WEDNESDAY)
    app.state.desk.worker = worker
    return AtBench(app, HERE, THIS_COMPUTER, {"Origin": HERE})


@pytest.fixture(scope="module")
def sample(tmp_path_factory, laid_out, shared_worker):
    """Yield a browser on a sample studio that no test changes."""
    found = opened(tmp_path_factory.mktemp("sample") / "studio", laid_out, shared_worker)
    yield found
    found.app.state.desk.close()


@pytest.fixture
def own(tmp_path, laid_out, shared_worker):
    """Yield a browser on a sample studio of the test's own."""
    found = opened(tmp_path / "studio", laid_out, shared_worker)
    yield found
    found.app.state.desk.close()


def plain(page: str) -> str:
    """Return a page's words."""
    unbroken = re.sub(r'<span class="whole">([^<]*)</span>', r"\1", page.replace("\u00a0", " "))
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", unbroken))
