"""What every page of the studio must hold in a browser, at both sizes and in both schemes."""

import re
from typing import Any

from axe_playwright_python.sync_playwright import Axe

from tests.e2e.looks import overflow, overlaps, small_text

SIZES = {"phone": (390, 844), "laptop": (1280, 800)}
SCHEMES = ("light", "dark")
LOOKS = tuple((size, scheme) for size in SIZES for scheme in SCHEMES)
SMALLEST_PX = 14
CONTROL_PX = 48
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
        *(f"over one another: {one}" for one in overlaps(_scrolled_up(page))),
        *(f"too small to read: {one}" for one in small_text(page, SMALLEST_PX - 0.1)),
        *(f"too low to press: {one['what']}, {one['height']:.0f} px" for one in low),
    ]


def _scrolled_up(page: Any) -> Any:
    """Return the page with what is fixed to its edge taken off, as it lies over text by intent."""
    page.add_style_tag(content=".menu, .undo { position: static !important; }")
    return page


def axe_faults(page: Any) -> list[str]:
    """Return the violations of WCAG 2.2 A and AA and of best practice that axe-core finds."""
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]
