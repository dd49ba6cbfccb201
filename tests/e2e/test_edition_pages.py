"""Editions and the first run in a browser; how their pages look is in ``test_every_page.py``."""

from tests.e2e.page_looks import watched
from tests.e2e.page_shots import SAMPLE
from tests.e2e.serving import Served

_PLAN_MS = 120_000


def test_the_finish_fills_itself_in(studios, chromium):
    """The page of an edition shows at once; its plan stands there when it is worked out."""
    served = studios[SAMPLE]
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
            page.get_by_text("Start from something like it").press("Enter")
            page.get_by_role("link", name="Sparrow cup").press("Enter")
            page.wait_for_url("**/begin?example=cup")
            for question in range(1, 10):  # a screen each, the example's answers standing in them
                page.get_by_text(f"Question {question} of 9").wait_for()
                assert page.locator(".questions .fields > .field:visible").count() == 1
                page.keyboard.press("Enter")
            page.get_by_text("That is all").wait_for()
            page.keyboard.press("Enter")
            page.wait_for_url("**/editions/sparrow-cup/plan", timeout=_PLAN_MS)
            assert "What limits" in page.locator("main").inner_text()
        assert studio.entries("edition-planned")[0]["body"]["pieces"] == 24
    finally:
        studio.kill()
