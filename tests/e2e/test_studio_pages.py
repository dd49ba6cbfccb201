"""The studio's pages of forms, figures, devices and refusals, looked at in a browser."""

import shutil

import pytest

from tests.e2e.page_looks import LOOKS, SIZES, axe_faults, faults_of, watched
from tests.e2e.serving import Served
from tests.e2e.test_plan_page import lay_out


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    studio = Served(tmp_path_factory.mktemp("studio")).start()
    studio.do(
        {
            "do": "plan-edition",
            "id": "plan",
            "edition": "tide-cup",
            "name": "Tide cup",
            "pieces": 24,
        }
    )
    yield studio
    studio.kill()


@pytest.fixture(scope="module")
def shots(root, chromium):
    """Return where screenshots go; in the end they are laid side by side on one sheet."""
    folder = root / "artifacts" / "studio-skeleton"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    yield folder
    lay_out(chromium, sorted(folder.glob("*.png")), root / "artifacts" / "studio-skeleton.png")


def wrong_cast(page):
    page.get_by_label("Good").first.fill("many")
    page.get_by_role("button", name="Write it down").click()


def noted(page):
    page.get_by_role("textbox", name="Text").fill("The slip is thicker than last week.")
    page.get_by_role("button", name="Write it down").click()


def answered(page):
    page.get_by_role("textbox", name="Volume").fill("3.2 l")
    page.get_by_role("button", name="Work it out").click()


def coded(page):
    page.get_by_role("button", name="code").click()


def kept(page):
    page.context.set_offline(True)
    page.get_by_role("button", name="Drain M-001").click()
    page.get_by_text("kept on this phone").wait_for()
    page.get_by_text("No wifi. Timers go on. 1 tap kept here.").wait_for()


def refused(page):
    page.evaluate(
        "async () => (await import(document.querySelector('script[src*=studio]').src"
        ".replace('studio.js', 'outbox.js')))"
        ".add({do: 'cast', edition: 'tide-cup', molds: 'M-009'}, {words: 'Cast M-009'})"
    )
    page.get_by_text("Not written down: Cast M-009").wait_for()


PAGES = {
    "verbs": ("/do", None),
    "form": ("/do/plan-edition", None),
    "form-refused": ("/do/cast?molds=3", wrong_cast),
    "form-written": ("/do/note?back=/do", noted),
    "figures": ("/figures", None),
    "figure": ("/figures/plaster", answered),
    "devices": ("/settings/devices", coded),
    "pair": ("/pair", None),
    "no-page": ("/nowhere", None),
    "taps-refused": ("/trial", refused),
    "taps-kept": ("/trial", kept),
}


@pytest.mark.parametrize(("size", "scheme"), LOOKS)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_whole_and_says_nothing_to_the_console(
    name, size, scheme, served, chromium, shots
):
    path, act = PAGES[name]
    width, height = SIZES[size]
    # axe is a script that the policy would keep out; everything else is looked at under it
    with chromium.new_context(
        viewport={"width": width, "height": height}, color_scheme=scheme, has_touch=size == "phone"
    ) as context:
        page, complaints = watched(context)
        page.goto(served.here + path)
        if act:
            act(page)
        page.wait_for_timeout(300)
        page.screenshot(path=shots / f"{name}-{size}-{scheme}.png", full_page=size == "phone")
        offline = [one for one in complaints if "ERR_INTERNET_DISCONNECTED" not in one]
        assert offline == []

    with chromium.new_context(
        viewport={"width": width, "height": height}, color_scheme=scheme, bypass_csp=True
    ) as context:
        page = context.new_page()
        page.goto(served.here + path)
        if act:
            act(page)
        assert faults_of(page) == []
        assert axe_faults(page) == []


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


def test_a_page_is_small(served, chromium):
    """Cold, without pictures: at most 60 kB."""
    with chromium.new_context() as context:
        page = context.new_page()
        sizes = []
        page.on(
            "response",
            lambda answer: (
                sizes.append(len(answer.body()))
                if "stream" not in answer.url and answer.status == 200
                else None
            ),
        )
        for path in ("/do/plan-edition", "/figures/plaster", "/do"):
            context.clear_cookies()
            sizes.clear()
            page.goto(served.here + path)
            page.wait_for_timeout(500)
            assert 5_000 < sum(sizes) < 60_000, path
