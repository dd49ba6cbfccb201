"""A chart's drawing as SVG: one for itself in light or dark, one for inside a page.

A drawing has shapes and words and nothing else: no script, style, address or name, so that
several can stand in one page.
"""

from __future__ import annotations

from collections.abc import Callable
from xml.etree import ElementTree as ET

from pourwright.report.charts.frame import Drawing
from pourwright.report.charts.marks import LINE_PX, THIN_PX, Disc, Ground, Mark, Point
from pourwright.report.charts.palette import SCHEMES, Scheme, Token
from pourwright.report.charts.words import Word

SVG = "http://www.w3.org/2000/svg"
FONT = "system-ui, sans-serif"
DASH = "5,3"
"""What is drawn and left free along a dashed line. [px]"""
HALO_PX = 3
"""Words lie over lines on an edge in the color of the page. [px]"""
BASELINE = 0.3
"""From the middle of a line of text down to the foot of its letters, in sizes of the text. [-]"""
_ANCHOR = {"left": "start", "center": "middle", "right": "end"}

Paint = Callable[[Token], str]


def svg_image(
    drawing: Drawing, scheme: Scheme = "light", *, title: str = "", alt: str = "", font: str = FONT
) -> bytes:
    """Return a drawing as an SVG file that stands alone.

    Parameters
    ----------
    drawing : Drawing
        The chart.
    scheme : "light", "dark" or "paper"
        The page it is for; the image has that page's ground.
    title, alt : str
        Its title, and what it shows in words.
    font : str
        The letters of its labels, as CSS names families.

    Returns
    -------
    bytes
        UTF-8 text, the same for the same drawing.
    """
    colors = SCHEMES[scheme]
    root = _svg(drawing, colors.__getitem__)
    root.insert(
        0, ET.Element("rect", {"width": "100%", "height": "100%", "fill": colors["plaster"]})
    )
    said = [(tag, text) for tag, text in (("title", title), ("desc", alt)) if text]
    for place, (tag, text) in enumerate(said):
        element = ET.Element(tag)
        element.text = text
        root.insert(place, element)
    root.set("role", "img")
    root.set("font-family", font)
    return ET.tostring(root, encoding="unicode").encode()


def svg_in_page(drawing: Drawing) -> str:
    """Return a drawing as an SVG element in the page's own font and colors, as ``var(--iron)``."""
    return ET.tostring(_svg(drawing, lambda token: f"var(--{token})"), encoding="unicode")


def _svg(drawing: Drawing, paint: Paint) -> ET.Element:
    width, height = str(drawing.look.width_px), str(drawing.height_px)
    root = ET.Element(
        "svg",
        {"xmlns": SVG, "width": width, "height": height, "viewBox": f"0 0 {width} {height}"},
    )
    root.extend(_shape(mark, paint) for mark in drawing.marks)
    words = ET.SubElement(
        root,
        "g",
        {
            "font-size": f"{drawing.look.text_px}px",
            "stroke": paint("plaster"),
            "stroke-width": str(HALO_PX),
            "paint-order": "stroke",  # the letters lie over their edge
        },
    )
    words.extend(_text(word, drawing.look.text_px, paint) for word in drawing.words)
    return root


def _shape(mark: Mark, paint: Paint) -> ET.Element:
    if isinstance(mark, Disc):
        return _disc(mark, paint)
    if isinstance(mark, Ground):
        within = {"points": _points(mark.points), "fill": paint(mark.fill)}
        edge = {} if mark.edge is None else _stroke(mark.edge, THIN_PX, paint, dashed=mark.dashed)
        return ET.Element("polygon", within | edge)
    through = {"points": _points(mark.points), "fill": "none", "stroke-linejoin": "round"}
    stroke = _stroke(mark.color, mark.width_px, paint, dashed=mark.dashed)
    return ET.Element("polyline", through | stroke)


def _disc(mark: Disc, paint: Paint) -> ET.Element:
    x, y = mark.middle
    place = {"cx": _px(x), "cy": _px(y), "r": _px(mark.radius_px)}
    if mark.open_:
        ring = _stroke(mark.color, LINE_PX, paint, dashed=False)
        return ET.Element("circle", {**place, "fill": paint("plaster"), **ring})
    return ET.Element("circle", {**place, "fill": paint(mark.color)})


def _stroke(color: Token, width_px: float, paint: Paint, *, dashed: bool) -> dict[str, str]:
    stroke = {"stroke": paint(color), "stroke-width": _px(width_px)}
    return stroke | ({"stroke-dasharray": DASH} if dashed else {})


def _text(word: Word, size_px: float, paint: Paint) -> ET.Element:
    element = ET.Element(
        "text",
        {
            "x": _px(word.x_px),
            "y": _px(word.y_px + BASELINE * size_px),
            "fill": paint(word.color),
            "text-anchor": _ANCHOR[word.align],
        },
    )
    if word.bold:
        element.set("font-weight", "bold")
    element.text = word.text
    return element


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_px(x)},{_px(y)}" for x, y in points)


def _px(length: float) -> str:
    """Return a length to a tenth of a pixel."""
    return f"{length:.1f}".removesuffix(".0")
