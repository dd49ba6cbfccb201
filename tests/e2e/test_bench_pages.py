"""The slip bench by the keyboard; how its pages look is in ``test_every_page.py``."""

import pytest

from tests.e2e.page_shots import BENCH, Studios


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    studios = Studios(tmp_path_factory.mktemp)
    yield studios[BENCH]
    studios.close()


def test_every_tap_is_reached_by_the_keyboard(served, chromium):
    """Tab goes through every action of the slip bench in the order in which they stand."""
    page = chromium.new_page()
    page.goto(served.here + "/bench/slip")
    page.wait_for_selector('#step-line[data-state="step"]')
    shown = page.locator(
        "main button:visible, main a:visible, main summary:visible, main input:visible"
    ).count()
    page.locator("#main").focus()
    reached = set()
    for _ in range(3 * shown):
        page.keyboard.press("Tab")
        words = page.evaluate(
            "document.activeElement.closest('main') ? document.activeElement.textContent.trim() : ''"
        )
        reached.add(words)
    visible = page.locator("main button:visible").all_text_contents()
    assert {one.strip() for one in visible} <= reached
    page.close()
