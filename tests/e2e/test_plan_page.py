"""The page of a plan in a browser: phone, desktop and paper, light and dark.

Two plans made by hand are looked at each time; the examples' and axe-core with ``make test-all``.
"""

import re
import shutil
import subprocess
from functools import cache, partial
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from pourwright.report.files import plan_page
from tests.e2e.looks import boxes, overflow, overlaps, small_text
from tests.e2e.page_looks import picture_folder
from tests.plans import EXAMPLES, example_plan, late_us_plan, sample_plan, undated_plan

PLANS = {
    "dated": sample_plan,
    "late-us": late_us_plan,
    "undated": undated_plan,
    **{name: partial(example_plan, name) for name in EXAMPLES},
}
NAMES = [
    pytest.param(name, marks=pytest.mark.whole if name in (*EXAMPLES, "dated") else ())
    for name in PLANS
]
SIZES = {"phone": (360, 780), "desktop": (1280, 900)}
NARROWEST = (320, 640)
"""WCAG 2.2, 1.4.10: at 320 CSS pixels nothing scrolls in two directions."""
SCHEMES = ("light", "dark")
SMALLEST_PX = 11
LONGEST_PX = 7000
"""What is shown on a phone before anything is opened."""
PAPER = {"A4": (210, 297), "Letter": (215.9, 279.4)}  # [mm] ISO 216; ANSI/ASME Y14.1 size A
MARGINS_MM = 30  # both sides, page.css
PX_PER_MM = 96 / 25.4  # CSS Values Level 4: an inch is 96 px


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    """Return a function that writes a plan as a page, to be opened as a maker opens it: a file."""
    folder = tmp_path_factory.mktemp("pages")

    @cache
    def written(name: str) -> Path:
        (folder / f"{name}.html").write_text(plan_page(PLANS[name]()), encoding="utf-8")
        return folder / f"{name}.html"

    return written


@pytest.fixture(scope="module")
def shots(root):
    """Return where screenshots go; in the end they are laid side by side on one sheet."""
    with picture_folder(root / "artifacts" / "plan-page") as folder:
        yield folder


@pytest.fixture(scope="module")
def window(chromium):
    """Yield one page for all plans; it has no network, and lists what it asks for and says."""
    with chromium.new_context(offline=True, has_touch=True) as context:
        page, said = context.new_page(), []
        page.on("request", lambda request: said.append(request.url))
        page.on("console", lambda message: said.append(message.text))
        yield page, said


@pytest.fixture
def opened(window, file):
    """Return a function that opens a plan's page in a window of a size."""
    page, said = window

    def open_page(name: str, size: tuple[int, int], scheme: str = "light", media: str = "screen"):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        page.emulate_media(media=media, color_scheme=scheme)
        said.clear()
        page.goto(file(name).as_uri())
        assert said == [page.url]
        return page

    return open_page


def faults(page) -> list[str]:
    """Return what sticks out, is too small to read or lies over something else."""
    lines = boxes(page)
    small = [f"too small: {text}" for text in small_text(lines, SMALLEST_PX)]
    return overflow(page, lines) + small + overlaps(lines)


def unfolded(page):
    """Open what folds on a screen only, so that it is looked at."""
    page.evaluate("document.querySelectorAll('.in-print').forEach(one => { one.open = true })")
    return page


def resized(page, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})


@pytest.mark.parametrize("name", NAMES)
def test_nothing_sticks_out_or_lies_over_another_on_screens_and_paper(name, opened):
    page = unfolded(opened(name, SIZES["phone"]))
    assert faults(page) == []
    assert "Molds to pour" in page.locator(".glance .facts > div").first.inner_text()
    first = page.locator(".weeks tbody tr").nth(1)  # below the week's title
    last = (
        first.bounding_box()
    )  # the answer and the first work are seen before anything is scrolled
    assert last["y"] + last["height"] <= SIZES["phone"][1]

    for size in (NARROWEST, SIZES["desktop"]):
        resized(page, size)
        assert faults(page) == [], size

    page.emulate_media(media="print", color_scheme="dark")
    for paper, (width, height) in PAPER.items():
        resized(page, (int((width - MARGINS_MM) * PX_PER_MM), int(height * PX_PER_MM)))
        assert faults(page) == [], paper
    colors = page.evaluate(
        "() => (({ color, backgroundColor }) => [color, backgroundColor])(getComputedStyle(document.body))"
    )
    assert colors == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    assert not page.locator("nav").is_visible()


@pytest.mark.whole
@pytest.mark.parametrize("name", PLANS)
def test_looks_and_axe(name, opened, shots):
    """Every rule of axe-core, WCAG 2.0 to 2.2, A and AA, and its best practices.

    A scheme changes nothing but colors, and a size not what is there: all rules are tried on
    a phone in the light, the colors again on a desktop in the dark.
    """
    page = opened(name, SIZES["phone"])
    found = Axe().run(page).response
    assert [(rule["id"], rule["help"]) for rule in found["violations"]] == []
    assert len(found["passes"]) > 20

    for size, viewport in SIZES.items():
        resized(page, viewport)
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            page.screenshot(path=shots / f"{name}-{size}-{scheme}.png")
    found = Axe().run(page, options={"runOnly": ["color-contrast"]}).response
    assert [(rule["id"], rule["help"]) for rule in found["violations"]] == []


def test_larger_text_spacing_loses_nothing(opened):
    """WCAG 2.2, 1.4.12: lines 1.5, paragraphs 2, letters 0.12 and words 0.16 of the size."""
    page = unfolded(opened("dated", SIZES["phone"]))
    page.add_style_tag(
        content="*{line-height:1.5!important;letter-spacing:.12em!important;word-spacing:.16em!important}"
        "p{margin-bottom:2em!important}"
    )

    assert faults(page) == []


def test_keys_alone_reach_everything_and_are_seen_there(opened):
    page = opened("dated", SIZES["phone"])
    page.keyboard.press("Tab")

    assert page.evaluate("document.activeElement.textContent") == "Skip to the answer"
    assert page.locator(".skip").bounding_box()["y"] >= 0
    reached = {}
    for _ in range(60):
        page.keyboard.press("Tab")
        what, width = page.evaluate(
            """() => {
              const one = document.activeElement;
              return [one.getAttribute("href") ?? one.getAttribute("aria-labelledby"),
                      getComputedStyle(one).outlineWidth];
            }"""
        )
        reached[what] = width
    sections = page.eval_on_selector_all("section[id], .folded", "all => all.map(s => '#' + s.id)")
    assert {what: reached.get(what) for what in sections} == dict.fromkeys(sections, "4px")


def test_a_phone_shows_what_is_due_and_an_address_opens_what_is_folded(opened):
    page = opened("dated", (390, 844))
    assert page.evaluate("document.documentElement.scrollHeight") < LONGEST_PX
    assert all(page.locator(".figured > summary > span").all_inner_texts())
    assert page.get_by_text("Sift plaster into water").count() == 1
    assert not page.get_by_text("Sift plaster into water").is_visible()

    page.get_by_role("link", name="Pour list").click()
    assert page.url.endswith("#pour-list")
    assert page.get_by_text("Sift plaster into water").is_visible()
    assert 0 <= page.locator("#pour-list-title").bounding_box()["y"] < 100


@pytest.mark.parametrize(
    ("name", "paper"),
    [("dated", "A4"), pytest.param("tight-cup", "Letter", marks=pytest.mark.whole)],
)
def test_printed(name, paper, opened, tmp_path):
    """The pages of a printed plan: their size, and the two sheets for the wall on their own."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext on this machine; install poppler-utils to run this test")
    printed = print_out(opened(name, SIZES["desktop"], media="print"), paper, tmp_path)
    text = subprocess.run(
        ["pdftotext", "-layout", printed, "-"], capture_output=True, text=True, check=True
    ).stdout
    sheets = text.split("\f")[:-1]

    assert 6 <= len(sheets) <= 20
    for number, sheet in enumerate(sheets, start=1):
        assert f"{number}/{len(sheets)}" in sheet
        assert re.search(r"^ *[a-z]+-[a-z]+, planned on Mon 3 Aug 2026", sheet, re.MULTILINE)
    starts = [sheet.strip().splitlines()[0] for sheet in sheets]
    assert any(re.search(r"Pour list$", first) for first in starts)
    assert any(re.search(r"Day by day$", first) for first in starts)
    assert "Sift plaster into water" in text  # what folds on a screen is printed open
    assert "Where each number came from" not in text  # but for what is looked up only


def print_out(page, paper, folder: Path) -> Path:
    page.pdf(path=folder / f"{paper}.pdf", format=paper, print_background=False)
    return folder / f"{paper}.pdf"


@pytest.mark.whole
@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler-utils is not installed")
@pytest.mark.parametrize("paper", PAPER)
def test_printed_sheets_are_looked_at(paper, opened, shots, tmp_path):
    printed = print_out(opened("tight-cup", SIZES["desktop"], media="print"), paper, tmp_path)
    name = f"tight-cup-print-{paper}"
    subprocess.run(["pdftoppm", "-r", "60", "-png", printed, shots / name], check=True)

    assert len(list(shots.glob(f"{name}-*.png"))) >= 6


# --- the measures find what they are for


def test_what_the_measures_are_for_is_found(opened):
    page = unfolded(opened("dated", SIZES["phone"]))
    page.add_style_tag(content=".sentence { white-space: nowrap !important; }")
    assert overflow(page) != []

    page.add_style_tag(content=".sentence { white-space: normal !important; }")
    assert faults(page) == []
    page.add_style_tag(content=".caution { font-size: 10px; }")
    assert small_text(boxes(page), SMALLEST_PX) != []
    page.add_style_tag(
        content=".glance .facts > div:nth-child(1) { position: relative; top: -64px; }"
    )
    assert overlaps(boxes(page)) != []


@pytest.mark.whole
def test_axe_sees_what_is_wrong(opened):
    page = opened("dated", SIZES["phone"])
    page.evaluate("document.documentElement.removeAttribute('lang')")
    page.add_style_tag(content="p { color: #999; }")

    rules = {rule["id"] for rule in Axe().run(page).response["violations"]}

    assert {"html-has-lang", "color-contrast"} <= rules
