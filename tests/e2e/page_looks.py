"""What every page of the studio must hold in a browser, at both sizes and in both schemes."""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe

from tests.e2e.contact_sheet import lay_out
from tests.e2e.looks import boxes, overflow, overlaps, small_text, torn_numbers

SIZES = {"phone": (390, 844), "laptop": (1280, 800)}
SMALLEST_PX = 14
CONTROL_PX = 48
BENCH_PX = 64  # what is tapped most is 76 high, see test_bench_walk
# The browser itself says that a form was answered with 422, that a page is not there, that the
# wifi is gone, which only a test can have cut, and that a picture of a canvas takes its time.
NOT_OURS = re.compile(
    r"responded with a status of (401|404|422|429)|ERR_INTERNET_DISCONNECTED|GPU stall due to ReadPixels"
)

# Everything that can be pressed, with the box that a finger would hit: a field's own, or its
# label's. A link inside a line of text may be as low as the line (WCAG 2.2, 2.5.8, "Inline").
CONTROLS = """
() => [...document.querySelectorAll("a[href], button, input, select, textarea, summary")]
  .filter(one => one.checkVisibility() && one.type !== "hidden" && !one.closest(".unseen, .skip"))
  .filter(one => !(one.matches("a") && getComputedStyle(one).display === "inline"))
  .map(one => {
    const hit = one.closest("label.pick") ?? one;
    const box = hit.getBoundingClientRect();
    return { what: `${one.tagName} ${(hit.textContent || one.name || "").trim().slice(0, 40)}`,
             height: box.height, width: box.width };
  })
  .filter(one => one.width > 1)
"""

# What a wet thumb hits: what writes down by one tap, what opens losses, what ends a form.
ACTIONS = """
() => [...document.querySelectorAll(".bench .tap button, .bench .lost > summary, .bench .act")]
  .filter(one => one.checkVisibility())
  .map(one => ({ what: one.textContent.trim().slice(0, 40), height: one.getBoundingClientRect().height }))
"""
CONTRAST = """
() => {
  const lum = color => {
    const [r, g, b] = color.match(/[\\d.]+/g).map(Number).map(v => v / 255)
      .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = one => {
    for (let up = one; up; up = up.parentElement) {
      const color = getComputedStyle(up).backgroundColor;
      if (!/rgba\\(0, 0, 0, 0\\)|transparent/.test(color)) return color;
    }
    return "rgb(255, 255, 255)";
  };
  return [...document.querySelectorAll(".bench main *")].filter(one => one.checkVisibility()
    && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
    .map(one => {
      const [a, b] = [lum(getComputedStyle(one).color), lum(ground(one))].sort((x, y) => y - x);
      return { text: one.textContent.trim().slice(0, 30), ratio: (a + 0.05) / (b + 0.05) };
    }).filter(one => one.ratio < 7);
}
"""
FIXED = """
how => {
  document.querySelectorAll(".menu, .undo, .dock").forEach(one => { one.style.position = how; });
  document.querySelectorAll(":popover-open").forEach(one => { one.style.display = how && "none"; });
}
"""
LOADED = """one => one.complete && one.naturalWidth > 0
  || new Promise((done, failed) => { one.onload = done; one.onerror = () => failed(one.src); })"""


@contextmanager
def looking(chromium: Any, size: str) -> Iterator[tuple[Any, list[str]]]:
    """Yield a page of a size in the light, and what it complains of as in :func:`watched`."""
    width, height = SIZES[size]
    with chromium.new_context(
        viewport={"width": width, "height": height}, has_touch=size == "phone"
    ) as context:
        yield watched(context)


def watched(context: Any) -> tuple[Any, list[str]]:
    """Return a new page, and a list that fills with what its console and policy complain of."""
    faults: list[str] = []
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(f"fault: {error}"))
    page.on("console", lambda said: _hear(said, faults))
    page.on("request", lambda request: _see(request, faults))
    return page, faults


def _hear(said: Any, faults: list[str]) -> None:
    if said.type in ("error", "warning") and not NOT_OURS.search(said.text):
        faults.append(f"{said.type}: {said.text}")


def _see(request: Any, faults: list[str]) -> None:
    if not re.match(r"https?://(localhost|127\.0\.0\.1|studio\.lan)[:/]|data:|blob:", request.url):
        faults.append(f"asked elsewhere: {request.url}")


def faults_of(page: Any) -> list[str]:
    """Return what of a page's looks is wrong."""
    low = [one for one in page.evaluate(CONTROLS) if one["height"] < CONTROL_PX - 0.5]
    lines = boxes(page)
    page.evaluate(FIXED, "static")  # what is fixed to an edge lies over text by intent
    over = overlaps(boxes(page))
    page.evaluate(FIXED, "")
    return [
        *(f"sticks out: {one}" for one in overflow(page, lines)),
        *(f"over one another: {one}" for one in over),
        *(f"too small to read: {one}" for one in small_text(lines, SMALLEST_PX - 0.1)),
        *(f"breaks in two lines: {one}" for one in torn_numbers(page)),
        *(f"too low to press: {one['what']}, {one['height']:.0f} px" for one in low),
    ]


def bench_faults(page: Any) -> list[str]:
    """Return what cannot be read or pressed at arm's length, if the page is one of the bench.

    Text has a contrast of 7:1 or more (WCAG 2.2, 1.4.6) against what it stands on.
    """
    low = page.evaluate(ACTIONS)
    pale = page.evaluate(CONTRAST)
    return [
        *(f"{one['what']} is {one['height']:.0f} px high" for one in low if one["height"] < BENCH_PX - 0.5),
        *(f"{one['text']!r} has a contrast of {one['ratio']:.1f}" for one in pale),
    ]  # fmt: skip


def whole_picture(page: Any, path: Any) -> None:
    """Take a picture of all of a page, as in a window so high that nothing scrolls.

    So what is fixed to the window's edge stands where the page ends, and every picture that
    is loaded when it comes into sight is there.
    """
    size = page.viewport_size
    height = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": size["width"], "height": max(height, size["height"])})
    for picture in page.locator("img").all():
        picture.evaluate(LOADED)
    page.screenshot(path=path)
    page.set_viewport_size(size)


def looked_at(page: Any, path: Path) -> list[str]:
    """Take pictures of a page in the light and in the dark; return what axe-core finds.

    A scheme changes nothing but colors, so in the dark only their contrast is tried again.
    """
    found = []
    for scheme, rules in (("dark", ("color-contrast",)), ("light", ())):
        page.emulate_media(color_scheme=scheme)
        whole_picture(page, path.with_name(f"{path.name}-{scheme}.png"))
        found += [f"{scheme}: {fault}" for fault in axe_faults(page, *rules)]
    return found


@contextmanager
def picture_folder(folder: Path) -> Iterator[Path]:
    """Yield an empty folder for pictures; in the end they are laid side by side, beside it."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    yield folder
    taken = sorted(folder.glob("*.png"), key=lambda picture: picture.stat().st_mtime_ns)
    lay_out(taken, folder.with_suffix(".png"))


def axe_faults(page: Any, *rules: str) -> list[str]:
    """Return the violations of WCAG 2.2 A and AA and of best practice that axe-core finds.

    Parameters
    ----------
    page : playwright page
        What is looked at.
    *rules : str
        The only rules to try; all of them if none is named.
    """
    options = {"resultTypes": ["violations"]} | ({"runOnly": list(rules)} if rules else {})
    found = Axe().run(page, options=options).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]
