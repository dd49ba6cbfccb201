"""The model that turns: dragged, turned by keys and buttons, pulled apart, colored, with WebGL and without."""

import shutil

import pytest

from tests.conftest import CHROMIUM
from tests.e2e.page_looks import axe_faults, watched
from tests.e2e.page_shots import SAMPLE

pytestmark = pytest.mark.whole

WEBGL = ("use-gl=angle", "use-angle=swiftshader", "enable-unsafe-swiftshader")
FLAGS = {"webgl": WEBGL, "triangles": ("disable-gpu", "disable-3d-apis")}


@pytest.fixture(scope="module", params=FLAGS)
def drawn(request, chromium, studios):
    """Yield the page in a browser with WebGL, or without, what it complains of, and which it is."""
    found = next(path for name in CHROMIUM if (path := shutil.which(name)))
    flags = ("no-sandbox", "disable-dev-shm-usage", *FLAGS[request.param])
    browser = chromium.browser_type.launch(
        executable_path=found, args=[f"--{one}" for one in flags]
    )
    page, complaints = watched(browser.new_context(reduced_motion="reduce"))
    page.goto(studios[SAMPLE].here + "/editions/gale-flask/shape")
    page.locator("canvas[data-drawn]").wait_for()
    yield page, complaints, request.param
    browser.close()


def picture(page):
    """Return what the canvas shows, once it is drawn."""
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")  # fmt: skip
    return page.locator("canvas").screenshot()


def test_it_is_turned_pulled_apart_and_colored(drawn):
    page, complaints, by = drawn
    canvas, slider = page.locator("canvas"), page.locator("#apart")
    assert canvas.get_attribute("data-drawn") == by
    seen = [picture(page)]
    page.wait_for_timeout(400)
    assert picture(page) == seen[0], "it turns by itself"

    def then(what):
        seen.append(picture(page))
        assert seen[-1] not in seen[:-1], what

    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 200)
    assert picture(page) == seen[0], "it is not pressed"
    page.mouse.down()
    page.mouse.move(box["x"] + 260, box["y"] + 220, steps=4)
    page.mouse.up()
    then("dragged")
    page.mouse.move(box["x"] + 100, box["y"] + 100)
    assert picture(page) == seen[-1], "let go, it stays"
    canvas.focus()
    page.keyboard.press("ArrowLeft")
    then("arrow key")
    page.get_by_role("button", name="Tilt forward").press("Enter")
    then("button")
    slider.fill("50")
    then("slider")
    assert page.locator("#apart-words").inner_text() == "Off: base. Coming off: half 1."
    slider.focus()
    page.keyboard.press("Home")
    then("closed")
    assert slider.get_attribute("aria-valuetext") == "Closed."
    for color in ("Draft", "Wall"):
        page.get_by_label(color, exact=True).check(force=True)
        then(color)
        assert page.locator(".color-key:visible").count() == 1
    page.get_by_label("Show the plaster").uncheck(force=True)
    then("the piece alone")
    page.get_by_label("Draft", exact=True).check(force=True)
    then("the piece alone, by draft")
    page.emulate_media(color_scheme="dark")
    then("in the dark")
    assert axe_faults(page) == []
    assert complaints == []


def test_without_a_canvas_the_pictures_stand_there_with_a_sentence(chromium, studios):
    with chromium.new_context() as context:
        context.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
        page, complaints = watched(context)
        page.goto(studios[SAMPLE].here + "/editions/gale-flask/shape")
        page.get_by_text("This browser cannot draw the model").wait_for()

        assert page.locator("canvas").is_hidden()
        assert page.locator(".still img").count() == 2
        assert complaints == []
