"""A browser on a studio with molds, for the tests of today, the bench and the shelf."""

from datetime import datetime
from pathlib import Path

import pytest

from pourwright.ledger.documents import MoldDoc
from pourwright.web.app import make_app
from pourwright.web.worker import Worker
from tests.bench_studio import EDITION, lay_out, planned
from tests.web.browser import HERE, THIS_COMPUTER, Browser


class AtBench(Browser):
    """This computer's browser, with the studio behind it at hand."""

    count = 0

    def do(self, verb, **fields):
        """Have the book write something down."""
        self.count += 1
        command = {"do": verb, "id": f"c-{self.count}", **fields}
        return self.app.state.desk.do(command)

    def entries(self, kind):
        """Return the bodies of the entries of a kind."""
        with self.app.state.desk.book.reading() as reading:
            return [one.body for one in reading.entries() if one.kind == kind]

    def mold(self, label):
        """Return what is true of a mold, None if there is none."""
        with self.app.state.desk.book.reading() as reading:
            return reading.things.get(MoldDoc, label)

    def steps(self):
        """Return when each step of each thing began."""
        with self.app.state.desk.book.reading() as reading:
            return {
                (one.body["what"], one.body["step"]): datetime.fromisoformat(one.at)
                for one in reading.entries()
                if one.kind == "step-started"
            }


@pytest.fixture
def bench(tmp_path: Path, shared_worker: Worker):
    """Yield a browser on a studio whose edition is planned and has three dry molds."""
    app = make_app(lay_out(tmp_path), port=8484)
    app.state.desk.worker = shared_worker
    found = AtBench(app, HERE, THIS_COMPUTER, {"Origin": HERE})
    app.state.desk.do(planned(conditioning=0, at="2026-01-05"))
    found.do("pour", edition=EDITION, count=3, lot="B-001", at="2026-01-06", go_on=True)
    found.do("dry", edition=EDITION, molds="all", at="2026-02-06")
    yield found
    app.state.desk.close()
