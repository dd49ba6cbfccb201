"""Charts in a browser: every word readable, whole, and over no other; seen in light, dark and gray.

Two plans and the odd data are drawn as for a phone each time, where there is least room; the
others and the wide drawings with ``make test-all``.
"""

from functools import cache

import pytest

from pourwright.report.charts.records import DESKTOP, LOOKS, PHONE
from pourwright.report.charts.render import svg_image
from pourwright.report.plan_charts import chart, plan_figures
from tests.e2e.contact_sheet import lay_out
from tests.plans import EXAMPLES, example_plan, late_us_plan, sample_plan, undated_plan
from tests.report.charts.cases import CASES

SMALLEST_PX = 11
NARROWEST_PX = 320  # WCAG 2.2, 1.4.10: as narrow as a page may get
PLANS = {"dated": sample_plan, "late": late_us_plan, "undated": undated_plan}
PLANS |= {name: lambda name=name: example_plan(name) for name in EXAMPLES}

# Each word's box on the screen, relative to its own image, and its size as it is seen there.
WORDS = """
svg => {
  const frame = svg.getBoundingClientRect();
  const scale = frame.width / svg.viewBox.baseVal.width;
  return [...svg.querySelectorAll("text")].map(text => {
    const box = text.getBoundingClientRect();
    return { text: text.textContent, px: parseFloat(getComputedStyle(text).fontSize) * scale,
             left: box.left - frame.left, right: box.right - frame.left,
             top: box.top - frame.top, bottom: box.bottom - frame.top,
             width: frame.width, height: frame.height };
  });
}
"""
PX = 0.5


@pytest.fixture(scope="module")
def measured(chromium):
    """Return a function that shows images as wide as the window and measures their words."""
    page = chromium.new_page(viewport={"width": 1600, "height": 900})

    def measure(images: dict[str, bytes], width: int) -> dict[str, list[dict]]:
        shown = "".join(svg.decode() for svg in images.values())
        style = f"svg {{ display: block; width: {width}px; height: auto }} body {{ margin: 0 }}"
        page.set_content(f"<style>{style}</style>{shown}")
        found = page.locator("svg").all()
        return {name: svg.evaluate(WORDS) for name, svg in zip(images, found, strict=True)}

    yield measure
    page.close()


def clipped(words: list[dict]) -> list[str]:
    """Return words that reach out of their image."""
    return [
        w["text"]
        for w in words
        if w["left"] < -PX or w["top"] < -PX
        or w["right"] > w["width"] + PX or w["bottom"] > w["height"] + PX
    ]  # fmt: skip


def over_one_another(words: list[dict]) -> list[tuple[str, str]]:
    """Return pairs of words whose boxes overlap by more than the gap between lines."""
    found = []
    for i, one in enumerate(words):
        for other in words[i + 1 :]:
            across = min(one["right"], other["right"]) - max(one["left"], other["left"])
            down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
            if across > PX and down > PX:
                found.append((one["text"], other["text"]))
    return found


@cache
def images_of_plan(name: str, look) -> dict[str, bytes]:
    plan = PLANS[name]()
    return {figure: svg_image(chart(plan, figure, look)) for figure in plan_figures(plan)}


OFTEN = {(name, PHONE.name) for name in ("dated", "late", "odd data")}


def drawn(names):
    """Return names with looks; most are left to the whole run."""
    return [
        pytest.param(
            name, look, id=f"{name}-{look.name}",
            marks=() if (name, look.name) in OFTEN else pytest.mark.whole,
        )
        for name in names for look in LOOKS
    ]  # fmt: skip


@pytest.mark.parametrize(("name", "look"), drawn(PLANS))
def test_every_word_of_a_plans_charts_is_whole_and_apart(name, look, measured):
    found = measured(images_of_plan(name, look), look.width_px)

    assert len(found) == 6
    for figure, words in found.items():
        assert len(words) >= (2 if figure == "ways" else 5), figure
        assert clipped(words) == [], figure
        assert over_one_another(words) == [], figure
        assert min(w["px"] for w in words) >= SMALLEST_PX, figure


@pytest.mark.parametrize(("name", "look"), drawn(["odd data"]))
def test_every_word_of_odd_data_is_whole_and_apart(name, look, measured):
    found = measured({n: svg_image(make(look)) for n, make in CASES.items()}, look.width_px)

    assert {n: clipped(words) for n, words in found.items() if clipped(words)} == {}
    assert {n: over_one_another(w) for n, w in found.items() if over_one_another(w)} == {}
    assert min(w["px"] for words in found.values() for w in words) >= SMALLEST_PX


def test_words_stay_readable_on_the_narrowest_page(measured):
    found = measured(images_of_plan("dated", PHONE), NARROWEST_PX)

    assert min(w["px"] for words in found.values() for w in words) >= SMALLEST_PX


@pytest.mark.parametrize("font", ["DejaVu Sans", "DejaVu Serif", "DejaVu Sans Mono", "monospace"])
def test_a_wide_font_finds_room_too(font, measured):
    """The image is laid out by widths of a wide font, so that any other one fits."""
    images = {
        n: svg.replace(b"system-ui, sans-serif", font.encode())
        for n, svg in images_of_plan("dated", PHONE).items()
    }
    found = measured(images, 360)

    assert {n: clipped(words) for n, words in found.items() if clipped(words)} == {}
    assert {n: over_one_another(w) for n, w in found.items() if over_one_another(w)} == {}


# --- the measures find what they are for


def test_a_clipped_a_small_and_a_covered_word_are_found(measured):
    svg = (
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 100" font-size="13px">'
        b'<text x="330" y="20">too long to end here</text>'
        b'<text x="10" y="50">one</text><text x="14" y="54">other</text>'
        b'<text x="10" y="90" font-size="9px">small</text></svg>'
    )
    words = measured({"bad": svg}, 360)["bad"]

    assert clipped(words) == ["too long to end here"]
    assert over_one_another(words) == [("one", "other")]
    assert min(w["px"] for w in words) < SMALLEST_PX


# --- in the page


@pytest.fixture(scope="module")
def plan_file(tmp_path_factory):
    from pourwright.report.files import plan_page

    path = tmp_path_factory.mktemp("charts") / "plan.html"
    path.write_text(plan_page(sample_plan()), encoding="utf-8")
    return path


LOOK_IN_PAGE = """
() => [...document.querySelectorAll("figure")].map(figure => {
  const svgs = [...figure.querySelectorAll("svg")].filter(svg => svg.checkVisibility());
  const text = svgs[0].querySelector("text"), box = svgs[0].getBoundingClientRect();
  return { shown: svgs.map(svg => svg.getAttribute("width")), ink: getComputedStyle(text).fill,
           px: parseFloat(getComputedStyle(text).fontSize) * box.width / svgs[0].viewBox.baseVal.width,
           left: box.left, right: box.right };
})
"""


@pytest.fixture(scope="module")
def plan_page_open(chromium, plan_file):
    page = chromium.new_page()
    page.goto(plan_file.as_uri())
    page.evaluate("document.querySelectorAll('.figured').forEach(one => { one.open = true })")
    yield page
    page.close()


def test_the_page_shows_one_drawing_in_its_own_colors(plan_page_open):
    """Paper gets the wide drawing, light, whatever the device prefers."""
    page = plan_page_open
    for width, media, scheme, shown, halo in (
        (360, "screen", "light", "360", "rgb(233, 233, 228)"),
        (320, "screen", "dark", "360", "rgb(27, 26, 27)"),
        (600, "screen", "light", "360", "rgb(233, 233, 228)"),
        (1280, "screen", "light", "720", "rgb(233, 233, 228)"),
        (1280, "screen", "dark", "720", "rgb(27, 26, 27)"),
        (680, "print", "dark", "720", "rgb(255, 255, 255)"),
    ):
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(media=media, color_scheme=scheme)
        figures = page.evaluate(LOOK_IN_PAGE)
        edge = page.evaluate("getComputedStyle(document.querySelector('figure svg text')).stroke")

        assert len(figures) == 6
        assert edge == halo, (width, media, scheme)
        for figure in figures:
            assert figure["shown"] == [shown]
            assert figure["px"] >= SMALLEST_PX
            assert figure["left"] >= 0
            assert figure["right"] <= width


def test_the_same_numbers_unfold_by_key_and_on_paper(plan_page_open):
    page = plan_page_open
    page.emulate_media(media="screen")
    table = page.locator("#odds figure details table").first

    assert not table.is_visible()
    page.locator("#odds figure summary").first.focus()
    page.keyboard.press("Enter")
    assert table.is_visible()
    page.keyboard.press("Enter")
    page.emulate_media(media="print")

    assert table.evaluate("t => t.getBoundingClientRect().height") > 100


@pytest.mark.whole
def test_charts_are_looked_at(chromium, root):
    """Lays every chart out on sheets for whoever looks: light, dark, and in gray."""
    folder = root / "artifacts" / "charts"
    folder.mkdir(parents=True, exist_ok=True)
    plan = example_plan("tight-cup")
    shots = []
    page = chromium.new_page(viewport={"width": 760, "height": 900})
    for look in (PHONE, DESKTOP):
        for scheme, gray in (("light", 0), ("dark", 0), ("light", 1), ("dark", 1)):
            images = [svg_image(chart(plan, f, look), scheme).decode() for f in plan_figures(plan)]
            page.set_content(f"<body style='margin:0;filter:grayscale({gray})'>{''.join(images)}")
            name = f"{look.name}-{scheme}{'-gray' if gray else ''}.png"
            page.locator("body").screenshot(path=folder / name)
            shots.append(folder / name)
    page.close()
    lay_out(shots, root / "artifacts" / "charts-contact-sheet.png")

    assert all(shot.stat().st_size > 20_000 for shot in shots)
