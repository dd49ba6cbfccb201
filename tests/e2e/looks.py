"""What can be measured of a page's looks: overflow, small text, text over text."""

from typing import Any

# A box is one line of one run of text, cut to what its scrolling frame shows; text that is
# there for screen readers only (frames of one pixel) is left out. Words of a drawing are as
# large as the drawing makes them.
BOXES = r"""
() => {
  const found = [];
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; (node = texts.nextNode()); ) {
    if (!node.data.trim()) continue;
    const element = node.parentElement, style = getComputedStyle(element);
    if (style.visibility === "hidden" || !element.checkVisibility()) continue;
    let frame = { left: -1e6, top: -1e6, right: 1e6, bottom: 1e6 }, hidden = false;
    for (let up = element; up && up !== document.documentElement; up = up.parentElement) {
      const own = getComputedStyle(up), box = up.getBoundingClientRect();
      if (own.clipPath !== "none") hidden = true;
      if (own.overflowX === "auto" || own.overflowX === "hidden") {
        frame = { left: Math.max(frame.left, box.left), top: Math.max(frame.top, box.top),
                  right: Math.min(frame.right, box.right), bottom: Math.min(frame.bottom, box.bottom) };
      }
    }
    if (hidden) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const line of range.getClientRects()) {
      const box = { left: Math.max(line.left, frame.left), top: Math.max(line.top, frame.top),
                    right: Math.min(line.right, frame.right), bottom: Math.min(line.bottom, frame.bottom),
                    text: node.data.trim().slice(0, 50), px: parseFloat(style.fontSize) * (element.getScreenCTM?.().a ?? 1), node: found.nodes = (found.nodes || 0) };
      if (box.right - box.left > 0.5 && box.bottom - box.top > 0.5) found.push(box);
    }
    found.nodes += 1;
  }
  return found.map(box => ({ ...box }));
}
"""

PX = 1.0  # what a browser rounds


def boxes(page: Any) -> list[dict[str, Any]]:
    """Return a box for each visible line of text."""
    found: list[dict[str, Any]] = page.evaluate(BOXES)
    return found


def overflow(page: Any, lines: list[dict[str, Any]] | None = None) -> list[str]:
    """Return what sticks out of the window to the right or the left."""
    lines = boxes(page) if lines is None else lines
    width, wide = page.evaluate(
        "[document.documentElement.clientWidth, document.documentElement.scrollWidth]"
    )
    out = [box["text"] for box in lines if box["right"] > width + PX or box["left"] < -PX]
    return out + ([f"the page is {wide} wide in {width}"] if wide > width else [])


NUMBER, YEAR = "[0-9][0-9.,:]*[0-9]", r"\b20[0-9]{2}\b"
TORN = r"""
numbers => {
  const torn = [], texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; (node = texts.nextNode()); ) {
    if (!node.parentElement.checkVisibility() || node.parentElement.closest("script, .unseen, svg")) continue;
    for (const number of node.data.matchAll(new RegExp(numbers, "g"))) {
      const range = document.createRange();
      range.setStart(node, number.index);
      range.setEnd(node, number.index + number[0].length);
      if (new Set([...range.getClientRects()].map(line => Math.round(line.top))).size > 1) torn.push(node.data);
    }
  }
  return torn;
}
"""


def torn_numbers(page: Any, numbers: str = NUMBER) -> list[str]:
    """Return texts with a number that is broken between two lines: a year, or a weight in too narrow a column."""
    found: list[str] = page.evaluate(TORN, numbers)
    return found


def small_text(lines: list[dict[str, Any]], least_px: float) -> list[str]:
    """Return text that is smaller than a number of pixels."""
    return [box["text"] for box in lines if box["px"] < least_px]


def overlaps(lines: list[dict[str, Any]]) -> list[str]:
    """Return pairs of text that lie over one another."""
    lines = sorted(lines, key=lambda box: box["top"])
    found = []
    for index, one in enumerate(lines):
        for other in lines[index + 1 :]:
            if other["top"] >= one["bottom"] - PX:
                break
            if other["node"] != one["node"] and _depth(one, other) > 0:
                found.append(f"{one['text']!r} and {other['text']!r}")
    return found


def _depth(one: dict[str, Any], other: dict[str, Any]) -> float:
    """Return by how much two boxes lie over one another, beyond what fonts overhang."""
    across = min(one["right"], other["right"]) - max(one["left"], other["left"])
    down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
    # lines set close let ascenders and descenders share a few pixels
    overhang = 0.25 * min(one["px"], other["px"])
    return across - PX if down > overhang else 0.0


DARK = """
() => {
  const press = Object.assign(document.createElement("i"), { style: "background: var(--press)" });
  document.body.append(press);
  const ground = getComputedStyle(press).backgroundColor;
  press.remove();
  return [...document.querySelectorAll(".button")]
    .filter(one => one.checkVisibility({ visibilityProperty: true }) && getComputedStyle(one).backgroundColor === ground)
    .map(one => one.textContent.trim());
}
"""


def dark(page: Any) -> list[str]:
    """Return what is said on the buttons of a page that are of the other material: what is due next."""
    found: list[str] = page.evaluate(DARK)
    return found
