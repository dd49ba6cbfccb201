"""The model that turns: on its wheel, by hand and by keys, lifted, nearer, pulled apart, colored, with WebGL and without."""

import shutil
from io import BytesIO

import pytest
from PIL import Image

from tests.conftest import CHROMIUM
from tests.e2e.page_looks import axe_faults, watched
from tests.e2e.page_shots import SAMPLE

pytestmark = pytest.mark.whole

WEBGL = ("use-gl=angle", "use-angle=swiftshader", "enable-unsafe-swiftshader")
STRIPE = (0xF7, 0xF7, 0xF3)
"""The page's sheets; nothing else in the picture is as pale."""
DARKER = 55
"""The ink of edges is, and no part of a mold, not even in its shade."""
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


def colors_in(shown):
    """Return all colors of a picture."""
    colors = Image.open(BytesIO(shown)).convert("RGB").getcolors(2**24)
    return {color for _, color in colors}


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
    slider.fill("50")
    then("slider")
    assert page.locator("#apart-words").inner_text() == "Off: base. Coming off: half 1."
    slider.focus()
    page.keyboard.press("Home")
    then("closed")
    assert slider.get_attribute("aria-valuetext") == "Closed."
    assert min(max(one) for one in colors_in(seen[-1])) < DARKER, "no edges"
    for color in ("Draft", "Wall"):
        page.get_by_label(color, exact=True).check(force=True)
        then(color)
        assert page.locator(".color-key:visible").count() == 1
    page.get_by_label("Show the plaster").uncheck(force=True)
    then("the piece alone")
    assert STRIPE in colors_in(seen[-1]), "what casts solid is not hatched"
    page.get_by_label("Draft", exact=True).check(force=True)
    then("the piece alone, by draft")
    page.emulate_media(color_scheme="dark")
    then("in the dark")
    assert axe_faults(page) == []
    assert complaints == []


def test_the_wheel_brings_a_side_round_and_the_lift_shows_the_foot(drawn):
    page, complaints, _ = drawn
    wheel, lift = (
        page.get_by_role("slider", name="Banding wheel"),
        page.get_by_label("Lift it", exact=True),
    )
    said = lambda: wheel.get_attribute("aria-valuetext")  # noqa: E731
    wheel.press("Home")
    assert said() == "front toward you"
    front = picture(page)
    wheel.press("ArrowRight")
    assert said() == "5° from front toward left"
    wheel.press("PageDown")
    assert said() == "40° from front toward right"
    assert picture(page) != front

    wheel.scroll_into_view_if_needed()
    for side in ("right", "back", "left", "front"):  # tapped where the word stands
        page.locator("#wheel-marks text", has_text=side).click(force=True)
        assert said() == f"{side} toward you"
    assert picture(page) == front

    box = wheel.locator("svg").bounding_box()
    middle, rim = box["x"] + box["width"] / 2, box["y"] + 0.64 * box["height"]
    page.mouse.move(middle, rim)
    page.mouse.down()
    page.mouse.move(middle + 0.3 * box["width"], rim - 0.08 * box["height"], steps=5)
    page.mouse.up()
    assert "from front toward left" in said() or "from left toward front" in said()

    page.get_by_role("button", name="As at first").press("Enter")
    lift.fill("40")
    assert (
        page.locator("#lift-words").inner_text()
        == "Above your eye by 40°: you look up at its foot."
    )
    lift.press("Home")
    assert lift.get_attribute("aria-valuetext") == "Below your eye by 90°: you look down on it."
    assert complaints == []


def test_it_comes_nearer_and_goes_back(drawn):
    page, complaints, _ = drawn
    canvas = page.locator("canvas")
    again = page.get_by_role("button", name="As at first")
    again.click()
    canvas.scroll_into_view_if_needed()
    first, box = picture(page), canvas.bounding_box()
    at = (box["x"] + 0.7 * box["width"], box["y"] + 0.4 * box["height"])

    def nearer():
        canvas.focus()
        page.keyboard.press("+")

    def wheeled():
        page.mouse.move(*at)
        page.mouse.wheel(0, -300)
        page.wait_for_timeout(100)

    for come in (nearer, wheeled, page.get_by_role("button", name="Nearer").click):
        come()
        near = picture(page)
        assert near != first, come
        canvas.focus()
        page.keyboard.press("Shift+ArrowLeft")
        assert picture(page) != near, "it is not moved"
        page.keyboard.press("0")
        assert picture(page) == first, come
    scrolled = page.evaluate("scrollY")
    page.mouse.move(*at)
    page.mouse.wheel(0, 200)
    page.wait_for_timeout(300)
    assert page.evaluate("scrollY") > scrolled, "it goes no farther, and the page is not scrolled"
    assert picture(page) == first
    assert complaints == []


def test_two_fingers_bring_it_nearer(drawn):
    page, complaints, _ = drawn
    page.get_by_role("button", name="As at first").click()
    page.locator("canvas").scroll_into_view_if_needed()
    first, box = picture(page), page.locator("canvas").bounding_box()
    stands = page.locator("#wheel").get_attribute("aria-valuetext")
    touch = page.context.new_cdp_session(page)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    for kind, apart in (("touchStart", 40), ("touchMove", 60), ("touchMove", 90)):
        points = [{"x": x - apart, "y": y, "id": 0}, {"x": x + apart, "y": y, "id": 1}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert picture(page) != first
    assert page.locator("#wheel").get_attribute("aria-valuetext") == stands, "it was turned"
    page.get_by_role("button", name="As at first").click()
    assert picture(page) == first
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
