"""A browser on the sample studio, for the tests of editions, records, kiln, lots and settings."""

import re
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from pourwright.studio.sample import lay_out_sample
from pourwright.web.app import make_app
from tests.web.bench_fixtures import AtBench
from tests.web.browser import HERE, THIS_COMPUTER

WEDNESDAY = date(2026, 11, 25)
"""What has dried by then depends on where the weekends fell, so these tests have a day of their own."""

HOSTILE = "<script>alert(1)</script>"


def opened(folder: Path) -> AtBench:
    """Return a browser on the sample studio of one Wednesday, laid out in a new folder."""
    lay_out_sample(folder, datetime.combine(WEDNESDAY, time(12), UTC))
    app = make_app(folder, port=8484, today=WEDNESDAY)
    return AtBench(app, HERE, THIS_COMPUTER, {"Origin": HERE})


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    """Yield a browser on a sample studio that no test changes."""
    found = opened(tmp_path_factory.mktemp("sample") / "studio")
    yield found
    found.app.state.desk.close()


@pytest.fixture
def own(tmp_path):
    """Yield a browser on a sample studio of the test's own."""
    found = opened(tmp_path / "studio")
    yield found
    found.app.state.desk.close()


def plain(page: str) -> str:
    """Return a page's words."""
    unbroken = re.sub(r'<span class="whole">([^<]*)</span>', r"\1", page.replace("\u00a0", " "))
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", unbroken))
