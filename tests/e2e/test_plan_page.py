"""The page of a plan in a browser: phone, desktop and paper, light and dark."""

import base64
import re
import shutil
import subprocess
from functools import partial
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from pourwright.report.files import plan_page
from tests.e2e.looks import overflow, overlaps, small_text
from tests.plans import EXAMPLES, example_plan, late_us_plan, undated_plan

PLANS = {
    **{name: partial(example_plan, name) for name in EXAMPLES},
    "late-us": late_us_plan,
    "undated": undated_plan,
}
SIZES = {"phone": (360, 780), "desktop": (1280, 900)}
SCHEMES = ("light", "dark")
SMALLEST_PX = 11
PAPER = {"A4": (210, 297), "Letter": (215.9, 279.4)}  # [mm] ISO 216; ANSI/ASME Y14.1 size A
MARGINS_MM = 30  # both sides, page.css
PX_PER_MM = 96 / 25.4  # CSS Values Level 4: an inch is 96 px


@pytest.fixture(scope="module")
def files(tmp_path_factory) -> dict[str, Path]:
    """Write each plan as a page, which is then opened as a maker opens it: a file."""
    folder = tmp_path_factory.mktemp("pages")
    for name, make in PLANS.items():
        (folder / f"{name}.html").write_text(plan_page(make()), encoding="utf-8")
    return {name: folder / f"{name}.html" for name in PLANS}


@pytest.fixture(scope="module")
def shots(root, chromium):
    """Return where screenshots go; in the end they are laid side by side on one sheet."""
    folder = root / "artifacts" / "plan-page"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    yield folder
    lay_out(chromium, sorted(folder.glob("*.png")), root / "artifacts" / "plan-contact-sheet.png")


def lay_out(browser, images: list[Path], sheet: Path) -> None:
    """Write one picture of many."""
    data = [base64.b64encode(image.read_bytes()).decode("ascii") for image in images]
    shown = "".join(
        f"<figure><img src='data:image/png;base64,{one}'><figcaption>{image.stem}</figcaption></figure>"
        for one, image in zip(data, images, strict=True)
    )
    style = "body{display:flex;flex-wrap:wrap;gap:12px;background:#888}img{height:520px}figure{margin:0}"
    page = browser.new_page(viewport={"width": 1900, "height": 900})
    page.set_content(f"<style>{style}</style>{shown}")
    page.screenshot(path=sheet, full_page=True)
    page.close()


@pytest.fixture
def opened(chromium, files):
    """Return a function that opens a plan's page; the pages are closed in the end."""
    contexts = []

    def open_page(name: str, size: tuple[int, int], scheme: str = "light", media: str = "screen"):
        context = chromium.new_context(
            viewport={"width": size[0], "height": size[1]},
            color_scheme=scheme,
            offline=True,
            has_touch=size[0] < 500,
        )
        contexts.append(context)
        page = context.new_page()
        page.asked = []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("console", lambda message: page.asked.append(message.text))
        page.emulate_media(media=media, color_scheme=scheme)
        page.goto(files[name].as_uri())
        return page

    yield open_page
    for context in contexts:
        context.close()


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PLANS)
def test_screens(name, size, scheme, opened, shots):
    page = opened(name, SIZES[size], scheme)
    page.screenshot(path=shots / f"{name}-{size}-{scheme}.png")

    assert overflow(page) == []
    assert small_text(page, SMALLEST_PX) == []
    assert overlaps(page) == []
    assert page.asked == [page.url]


AXE_LOOKS = [
    ("metric-bowl", "phone", "light"),
    ("metric-bowl", "desktop", "dark"),
    ("late-us", "phone", "dark"),
    ("late-us", "desktop", "light"),
    ("undated", "phone", "light"),
    ("tight-cup", "desktop", "dark"),
    ("us-pitcher", "phone", "dark"),
]
"""Both sizes in both schemes, each plan at least once."""


@pytest.mark.parametrize(("name", "size", "scheme"), AXE_LOOKS)
def test_axe_finds_nothing(name, size, scheme, opened):
    """Every rule of axe-core: WCAG 2.0 to 2.2, A and AA, and its best practices."""
    page = opened(name, SIZES[size], scheme)

    found = Axe().run(page).response

    assert [(rule["id"], rule["help"]) for rule in found["violations"]] == []
    assert len(found["passes"]) > 20


@pytest.mark.parametrize("name", PLANS)
def test_zoom_and_reflow(name, opened):
    """WCAG 2.2, 1.4.10: at 320 CSS pixels nothing scrolls in two directions."""
    page = opened(name, (320, 640))

    assert overflow(page) == []
    assert overlaps(page) == []


def test_larger_text_spacing_loses_nothing(opened):
    """WCAG 2.2, 1.4.12: lines 1.5, paragraphs 2, letters 0.12 and words 0.16 of the size."""
    page = opened("metric-bowl", SIZES["phone"])
    page.add_style_tag(
        content="*{line-height:1.5!important;letter-spacing:.12em!important;word-spacing:.16em!important}"
        "p{margin-bottom:2em!important}"
    )

    assert overflow(page) == []
    assert overlaps(page) == []


@pytest.mark.parametrize("name", PLANS)
def test_the_answer_fills_the_first_screen_of_a_phone(name, opened):
    """All six lines are seen before anything is scrolled."""
    page = opened(name, SIZES["phone"])
    rows = page.locator(".glance > div")

    assert rows.count() >= 5
    assert rows.last.bounding_box()["y"] + rows.last.bounding_box()["height"] <= 780


def test_keys_alone_reach_everything(opened):
    page = opened("metric-bowl", SIZES["phone"])
    page.keyboard.press("Tab")

    assert page.evaluate("document.activeElement.textContent") == "Skip to the answer"
    assert page.locator(".skip").bounding_box()["y"] >= 0
    reached = []
    for _ in range(60):
        page.keyboard.press("Tab")
        reached.append(
            page.evaluate(
                "(document.activeElement.getAttribute('href') || '') +"
                "(document.activeElement.getAttribute('aria-labelledby') || '')"
            )
        )
    sections = page.eval_on_selector_all("section", "all => all.map(s => '#' + s.id)")
    frames = page.eval_on_selector_all(
        ".scroll", "all => all.map(s => s.getAttribute('aria-labelledby'))"
    )

    assert set(sections) <= set(reached)
    assert frames
    assert set(frames) <= set(reached)


def test_what_has_the_focus_is_outlined(opened):
    page = opened("metric-bowl", SIZES["desktop"])
    for selector in ("nav a", ".scroll"):
        page.keyboard.press("Tab")
        page.locator(selector).first.focus()
        width = page.locator(selector).first.evaluate("e => getComputedStyle(e).outlineWidth")
        assert width == "3px", selector


def test_contents_lead_to_their_sections(opened):
    page = opened("metric-bowl", SIZES["desktop"])

    page.get_by_role("link", name="Pour list").click()

    assert page.url.endswith("#pour-list")
    assert 0 <= page.locator("#pour-list h2").bounding_box()["y"] < 900


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", PLANS)
def test_paper(name, paper, opened, shots):
    width, height = PAPER[paper]
    size = (int((width - MARGINS_MM) * PX_PER_MM), int(height * PX_PER_MM))
    page = opened(name, size, "dark", "print")

    assert overflow(page) == []
    assert small_text(page, SMALLEST_PX) == []
    assert overlaps(page) == []
    ink = page.evaluate("getComputedStyle(document.body).color")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert (ink, ground) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")
    assert not page.locator("nav").is_visible()


@pytest.mark.parametrize("paper", PAPER)
def test_printed(paper, opened, shots, tmp_path):
    """The pages of a printed plan: their size, and the two sheets for the wall on their own."""
    page = opened("tight-cup", SIZES["desktop"], media="print")
    printed = tmp_path / f"{paper}.pdf"
    page.pdf(path=printed, format=paper, print_background=False)
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext on this machine; install poppler-utils to run this test")
    text = subprocess.run(
        ["pdftotext", "-layout", printed, "-"], capture_output=True, text=True, check=True
    ).stdout
    sheets = text.split("\f")[:-1]
    subprocess.run(
        ["pdftoppm", "-r", "60", "-png", printed, shots / f"tight-cup-print-{paper}"], check=True
    )

    assert 6 <= len(sheets) <= 20
    for number, sheet in enumerate(sheets, start=1):
        assert f"{number}/{len(sheets)}" in sheet
        assert "moth-cup, planned on Mon 3 Aug 2026" in sheet
    starts = [sheet.strip().splitlines()[0] for sheet in sheets]
    assert any(re.search(r"Pour list$", first) for first in starts)
    assert any(re.search(r"Day by day$", first) for first in starts)


# --- the measures find what they are for


def test_overflow_is_found(opened):
    page = opened("metric-bowl", SIZES["phone"])
    page.add_style_tag(content=".sentence { white-space: nowrap !important; }")

    assert overflow(page) != []


def test_small_text_is_found(opened):
    page = opened("metric-bowl", SIZES["phone"])
    page.add_style_tag(content=".caution { font-size: 10px; }")

    assert small_text(page, SMALLEST_PX) != []


def test_text_over_text_is_found(opened):
    page = opened("metric-bowl", SIZES["phone"])
    page.add_style_tag(content=".glance > div:nth-child(2) { margin-top: -40px; }")

    assert overlaps(page) != []


def test_axe_sees_what_is_wrong(opened):
    page = opened("metric-bowl", SIZES["phone"])
    page.evaluate("document.documentElement.removeAttribute('lang')")
    page.add_style_tag(content="p { color: #999; }")

    rules = {rule["id"] for rule in Axe().run(page).response["violations"]}

    assert {"html-has-lang", "color-contrast"} <= rules
