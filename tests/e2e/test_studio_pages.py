"""Forms of the studio in a browser, and that what every page is held to is found at all."""

import re

import pytest

from pourwright.studio.edition import KEY
from tests.e2e.page_looks import axe_faults, bench_faults, faults_of
from tests.e2e.page_shots import SAMPLE, TRIAL


@pytest.fixture(scope="module")
def served(studios):
    return studios[TRIAL]


def test_what_the_looks_are_for_is_found(chromium):
    page = chromium.new_page(viewport={"width": 390, "height": 844})
    page.set_content(
        "<button>x</button><p>words<p>"
        + "w" * 200
        + "<style>p{font-size:12px}button{height:20px}</style>"
    )
    found = " ".join(faults_of(page))
    page.close()

    assert "too small to read" in found
    assert "too low to press" in found
    assert "sticks out" in found


def test_what_axe_is_for_is_found_under_the_policy(served, chromium):
    page = chromium.new_page()
    page.goto(served.here + "/do")
    page.evaluate("document.querySelector('main').append(document.createElement('img'))")
    found = axe_faults(page)
    page.close()

    assert [one.partition(":")[0] for one in found] == ["image-alt"]


def test_what_the_bench_is_held_to_is_found(chromium):
    page = chromium.new_page(viewport={"width": 390, "height": 844})
    page.set_content(
        "<body class=bench><main><form class=tap><button>x</button></form>"
        "<p style='color:#777;background:#fff'>pale</p></main>"
    )
    found = bench_faults(page)
    page.close()

    assert found == ["x is 21 px high", "'pale' has a contrast of 4.5"]


def test_a_page_without_scripts_still_writes(served, chromium):
    with chromium.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(served.here + "/trial")
        page.get_by_role("button", name="Drain M-006").click()
        page.wait_for_url("**/trial")

        assert page.locator("#card-M-006 .count").inner_text() == "1"


def test_a_form_can_be_filled_by_keyboard_alone(served, chromium):
    with chromium.new_context() as context:
        page = context.new_page()
        page.goto(served.here + "/do/note?back=/do")
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")  # skips the menu
        for _ in range(30):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.name") == "text":
                break
        page.keyboard.type("By keys alone.")
        page.keyboard.press("Tab")
        while page.evaluate("document.activeElement.textContent") != "Write it down":
            page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        page.wait_for_url("**/do")

        assert "Note" in page.locator(".said").inner_text() or page.locator(".said").count() == 1


SMALL = [
    *((TRIAL, path) for path in ("/do/plan-edition", "/figures/plaster", "/do")),
    *(
        (SAMPLE, path)
        for path in (
            "/editions",
            "/editions/moth-dish",
            "/editions/gale-flask/shape",
            "/kiln",
            "/lots",
            "/records",
        )
    ),
    *((SAMPLE, path) for path in ("/begin", "/settings")),
]


@pytest.mark.whole
def test_pages_are_small(studios, chromium):
    """Cold, without pictures and models, packed as they travel, with all letters: at most 110 kB."""
    with chromium.new_context() as context:
        page, came = context.new_page(), []
        page.on("requestfinished", lambda request: came.append(request))
        session = context.new_cdp_session(page)
        session.send("Network.enable")
        session.send("Network.setCacheDisabled", {"cacheDisabled": True})
        sizes = {}
        for name, path in SMALL:
            came.clear()
            page.goto(studios[name].here + path)
            page.wait_for_selector('#step-line[data-state="step"]')
            counted = [one for one in came if not re.search(r"stream|\.(svg|png|bin)$", one.url)]
            sizes[path] = sum(one.sizes()["responseBodySize"] for one in counted)

    assert {path: size for path, size in sizes.items() if not 5_000 < size < 110_000} == {}


@pytest.mark.whole
def test_feet_and_molds_are_read_in_their_order(studios, chromium):
    """As a screen reader has them: each by its number or label, with its state in a word."""
    page = chromium.new_page()
    page.goto(studios[SAMPLE].here + "/editions/fern-jug")
    feet = re.findall(r'checkbox "([^"]+)"', page.locator("ol.tray").first.aria_snapshot())
    assert [one.split()[0] for one in feet] == [str(n) for n in range(1, 37)]
    assert {one.partition(" ")[2] for one in feet} <= set(KEY)
    page.goto(studios[SAMPLE].here + "/bench/slip")
    read = page.locator(".tiles").aria_snapshot()
    page.close()
    molds = re.findall(r'heading "(M-[0-9]+)"', read)
    assert molds == sorted(molds)
    assert re.findall(r'button "More of (M-[0-9]+)"', read) == molds
