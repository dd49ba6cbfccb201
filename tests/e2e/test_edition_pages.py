"""Editions, kiln, lots, records, the first run and settings, looked at in both sizes and schemes."""

import shutil
import urllib.request
from datetime import UTC, datetime

import pytest

from pourwright.actions.sample_studio import lay_out_sample
from tests.e2e.page_looks import LOOKS, SIZES, axe_faults, faults_of, watched
from tests.e2e.serving import Served
from tests.e2e.test_plan_page import lay_out as on_one_sheet

_PLAN_MS = 120_000


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sample")
    lay_out_sample(folder, datetime.now(UTC))
    studio = Served(folder).start()
    with urllib.request.urlopen(f"{studio.here}/editions/fern-jug/plan", timeout=_PLAN_MS / 1000):
        pass  # worked out once, so that each look shows it
    yield studio
    studio.kill()


@pytest.fixture(scope="module")
def shots(root, chromium):
    """Return where screenshots go; in the end they are laid side by side on one sheet."""
    folder = root / "artifacts" / "edition-pages"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    yield folder
    on_one_sheet(chromium, sorted(folder.glob("*.png")), root / "artifacts" / "edition-pages.png")


def tables_opened(page):
    for summary in page.locator(".chart-table summary").all():
        summary.click()


def nothing_told(page):
    page.get_by_role("button", name="To the plan").click()


def wrong_load(page):
    page.get_by_label("Glaze load").fill("none")
    page.get_by_role("button", name="Keep it").click()


def counted_wrong(page):
    page.get_by_label("Bisque").fill("three")
    page.get_by_role("button", name="Write it down").click()


def checked(page):
    page.get_by_role("button", name="Check the book").click()
    page.get_by_text("Sound").wait_for(timeout=_PLAN_MS)


PAGES = {
    "editions": ("/editions", None),
    "edition": ("/editions/fern-jug", tables_opened),
    "edition-closed": ("/editions/moth-dish", None),
    "number": ("/editions/moth-dish/numbers/11", None),
    "number-to-make": ("/editions/fern-jug/numbers/36", None),
    "plan": ("/editions/fern-jug/plan", tables_opened),
    "what-if": ("/editions/fern-jug/what-if?molds=5&hours=6+h", None),
    "what-if-refused": ("/editions/fern-jug/what-if?molds=2&deadline=never", None),
    "brief": ("/editions/fern-jug/brief", None),
    "brief-refused": ("/editions/fern-jug/brief/firing", wrong_load),
    "kiln": ("/kiln", None),
    "lots": ("/lots", None),
    "lot": ("/lots/S-003?volume=18+l", None),
    "records": ("/records", None),
    "entry": ("/records/60", None),
    "correct": ("/records/60/correct", None),
    "stocktake": ("/records/stocktake/fern-jug", counted_wrong),
    "care": ("/records/care", checked),
    "begin": ("/begin?example=bowl", None),
    "begin-refused": ("/begin", nothing_told),
    "file": ("/begin/file", None),
    "settings": ("/settings", None),
    "calendar": ("/settings/studio/time", None),
    "caution": ("/settings/care", None),
}


@pytest.mark.parametrize(("size", "scheme"), LOOKS)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_looks_as_it_should(served, chromium, shots, name, size, scheme):
    path, then = PAGES[name]
    width, height = SIZES[size]
    # axe is a script that the policy would keep out; complaints are heard under the policy
    for under_policy in (True, False):
        with chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme=scheme,
            has_touch=size == "phone",
            bypass_csp=not under_policy,
        ) as context:
            page, complaints = watched(context)
            page.goto(served.here + path)
            page.wait_for_selector('#step-line[data-state="step"]')
            if then:
                then(page)
            if under_policy:
                for picture in page.locator("img").all():
                    picture.scroll_into_view_if_needed()
                    picture.evaluate(_LOADED)
                page.screenshot(path=shots / f"{name}-{size}-{scheme}.png", full_page=True)
                assert complaints == []
            else:
                assert axe_faults(page) == []
                assert faults_of(page) == []


_LOADED = """one => one.complete && one.naturalWidth > 0
  || new Promise((done, failed) => { one.onload = done; one.onerror = () => failed(one.src); })"""


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


def test_pages_are_small(served, chromium):
    """Cold, without pictures: at most 60 kB."""
    with chromium.new_context() as context:
        page = context.new_page()
        sizes = []
        page.on("response", lambda answer: sizes.append(_size(answer)))
        for path in ("/editions", "/editions/moth-dish", "/kiln", "/lots", "/records", "/begin", "/settings"):  # fmt: skip
            context.clear_cookies()
            sizes.clear()
            page.goto(served.here + path)
            page.wait_for_timeout(500)
            assert 5_000 < sum(sizes) < 60_000, path


def _size(answer):
    is_counted = "stream" not in answer.url and ".svg" not in answer.url and answer.status == 200
    return len(answer.body()) if is_counted else 0
