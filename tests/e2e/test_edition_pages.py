"""Editions and the first run in a browser; how their pages look is in ``test_every_page.py``."""

from datetime import UTC, datetime

import pytest

from pourwright.studio.sample import lay_out_sample
from tests.e2e.page_looks import watched
from tests.e2e.serving import Served

_PLAN_MS = 120_000


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sample")
    lay_out_sample(folder, datetime.now(UTC))
    studio = Served(folder).start()
    yield studio
    studio.kill()


def test_the_finish_fills_itself_in(served, chromium):
    """The page of an edition shows at once; its plan stands there when it is worked out."""
    served.do({"do": "note", "id": "n-1", "edition": "gale-flask", "text": "a new day"})
    with chromium.new_context() as context:
        page, complaints = watched(context)
        page.goto(served.here + "/editions/gale-flask")
        page.get_by_text("What limits").wait_for(timeout=_PLAN_MS)
        assert page.locator("[data-wait]").count() == 0
        assert complaints == []


def test_from_nothing_to_a_plan_by_the_keyboard(tmp_path, chromium):
    """First run to plan: an example is chosen, sent, and its plan is shown."""
    studio = Served(tmp_path).start()
    try:
        with chromium.new_context() as context:
            page = context.new_page()
            page.goto(studio.here + "/")
            page.get_by_role("link", name="Begin an edition").press("Enter")
            page.get_by_role("link", name="Sparrow cup").press("Enter")
            page.wait_for_url("**/begin?example=cup")
            page.get_by_label("Numbered pieces").press("Enter")
            page.wait_for_url("**/editions/sparrow-cup/plan", timeout=_PLAN_MS)
            assert "What limits" in page.locator("main").inner_text()
        assert studio.entries("edition-planned")[0]["body"]["pieces"] == 24
    finally:
        studio.kill()


@pytest.mark.parametrize(
    "path",
    ["/editions", "/editions/moth-dish", "/kiln", "/lots", "/records", "/begin", "/settings"],
)
def test_pages_are_small(path, served, chromium):
    """Cold, without pictures, packed as they travel: at most 60 kB."""
    done = []

    def note(asked):
        done.append(asked)

    with chromium.new_context() as context:
        page = context.new_page()
        page.on("requestfinished", note)
        page.goto(served.here + path)
        page.wait_for_timeout(500)

        assert 5_000 < sum(map(_size, done)) < 60_000


def _size(asked):
    """Return how much came over the wire, packed as it is. [bytes]"""
    is_counted = "stream" not in asked.url and ".svg" not in asked.url
    return asked.sizes()["responseBodySize"] if is_counted else 0
