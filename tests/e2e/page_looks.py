"""What every page of the studio must hold in a browser, at both sizes and in both schemes."""

import re
from typing import Any

from axe_playwright_python.sync_playwright import Axe

from tests.e2e.looks import overflow, overlaps, small_text

SIZES = {"phone": (390, 844), "laptop": (1280, 800)}
SCHEMES = ("light", "dark")
SMALLEST_PX = 14
CONTROL_PX = 48
BENCH_PX = 88
# The browser itself says that a form was answered with 422, or that a page is not there.
STATUS = re.compile(r"the server responded with a status of (401|404|422|429)")

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
how => document.querySelectorAll(".menu, .undo").forEach(one => { one.style.position = how; })
"""
LOADED = """one => one.complete && one.naturalWidth > 0
  || new Promise((done, failed) => { one.onload = done; one.onerror = () => failed(one.src); })"""


def watched(context: Any) -> tuple[Any, list[str]]:
    """Return a new page, and a list that fills with what its console and policy complain of."""
    faults: list[str] = []
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(f"fault: {error}"))
    page.on("console", lambda said: _hear(said, faults))
    page.on("request", lambda request: _see(request, faults))
    return page, faults


def _hear(said: Any, faults: list[str]) -> None:
    if said.type in ("error", "warning") and not STATUS.search(said.text):
        faults.append(f"{said.type}: {said.text}")


def _see(request: Any, faults: list[str]) -> None:
    if not re.match(r"https?://(localhost|127\.0\.0\.1|studio\.lan)[:/]|data:|blob:", request.url):
        faults.append(f"asked elsewhere: {request.url}")


def faults_of(page: Any) -> list[str]:
    """Return what of a page's looks is wrong."""
    low = [one for one in page.evaluate(CONTROLS) if one["height"] < CONTROL_PX - 0.5]
    return [
        *(f"sticks out: {one}" for one in overflow(page)),
        *(f"over one another: {one}" for one in _overlaps(page)),
        *(f"too small to read: {one}" for one in small_text(page, SMALLEST_PX - 0.1)),
        *(f"too low to press: {one['what']}, {one['height']:.0f} px" for one in low),
    ]


def _overlaps(page: Any) -> list[str]:
    """Return text over text, with what is fixed to an edge taken off: that lies over text by intent."""
    page.evaluate(FIXED, "static")
    found = overlaps(page)
    page.evaluate(FIXED, "")
    return found


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


def axe_faults(page: Any) -> list[str]:
    """Return the violations of WCAG 2.2 A and AA and of best practice that axe-core finds."""
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]
