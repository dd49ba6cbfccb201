"""A chart's view to SVG: one for itself in light or dark, one for inside a page."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from xml.etree import ElementTree as ET

from pourwright.report.charts.palette import LIGHT, SCHEMES, Scheme
from pourwright.report.charts.sheet import Spec

SVG = "http://www.w3.org/2000/svg"
FONT = "system-ui, sans-serif"
PAINTED = frozenset(
    {"fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linejoin", "paint-order"}
)
WRITTEN = frozenset({"font-size", "font-weight", "text-anchor"})
KEPT = {
    "svg": frozenset({"width", "height", "viewBox"}),
    "g": frozenset({"fill", "transform"}),
    "path": PAINTED | {"d", "transform"},
    "line": PAINTED | {"x1", "x2", "y1", "y2", "transform"},
    "rect": PAINTED | {"x", "y", "width", "height", "transform"},
    "text": PAINTED | WRITTEN | {"transform"},
}
"""The elements of a drawing and what is kept of them: nothing that runs, fetches or has a name."""
USUAL = {"transform": "translate(0,0)", "font-weight": "normal", "stroke-width": "0"}
"""What says nothing, and is left out."""
_TOKENS = {color: token for token, color in LIGHT.items()}
_NUMBER = re.compile(r"-?\d+\.\d{2,}")


def svg_image(spec: Spec, scheme: Scheme = "light", *, title: str = "", alt: str = "") -> bytes:
    """Return a view as an SVG file that stands alone.

    Parameters
    ----------
    spec : dict
        A Vega-Lite view in the light colors of the palette.
    scheme : "light" or "dark"
        The page it is for; the image has that page's ground.
    title, alt : str
        Its title, and what it shows in words.

    Returns
    -------
    bytes
        UTF-8 text, the same for the same view; no script, style, font or address.
    """
    colors = SCHEMES[scheme]
    root = _cleaned(spec, lambda color: colors[_TOKENS[color]])
    ground = ET.Element("rect", {"width": "100%", "height": "100%", "fill": colors["slip"]})
    root.insert(0, ground)
    said = [(tag, text) for tag, text in (("title", title), ("desc", alt)) if text]
    for place, (tag, text) in enumerate(said):
        element = ET.Element(tag)
        element.text = text
        root.insert(place, element)
    root.set("role", "img")
    root.set("font-family", FONT)
    return ET.tostring(root, encoding="unicode").encode()


def svg_in_page(spec: Spec) -> str:
    """Return a view as an SVG element whose colors and font are the page's own.

    Parameters
    ----------
    spec : dict
        A Vega-Lite view in the light colors of the palette.

    Returns
    -------
    str
        An ``svg`` element without ids, classes or styles; each color is a custom
        property of the page, such as ``var(--iron)``.
    """
    root = _cleaned(spec, lambda color: f"var(--{_TOKENS[color]})")
    return ET.tostring(root, encoding="unicode")


def _drawn(spec: Spec) -> str:
    """Return what the Vega-Lite compiler draws; it may fetch nothing."""
    import altair as alt
    import vl_convert as vlc

    version = ".".join(alt.SCHEMA_VERSION.lstrip("v").split(".")[:2])
    svg: str = vlc.vegalite_to_svg(
        json.dumps(spec, sort_keys=True), vl_version=version, allowed_base_urls=[]
    )
    return svg


def _cleaned(spec: Spec, paint: Callable[[str], str]) -> ET.Element:
    """Return a drawing with nothing but what is seen, in other colors."""
    source = ET.fromstring(_drawn(spec))  # noqa: S314 - our own compiler wrote it
    root = ET.Element("svg", {"xmlns": SVG, **_kept("svg", source, paint)})
    root.extend(_copies(source, paint))
    return root


def _copies(parent: ET.Element, paint: Callable[[str], str]) -> list[ET.Element]:
    """Return copies of the elements within one; a group that says nothing is dissolved."""
    copies = []
    for source in parent:
        tag = source.tag.rpartition("}")[2]
        if tag not in KEPT or not _is_seen(tag, source):
            continue
        inner, kept = _copies(source, paint), _kept(tag, source, paint)
        if tag == "g" and not (inner and kept):
            copies += inner
            continue
        copy = ET.Element(tag, kept)
        copy.text = source.text if tag == "text" else None
        if tag == "text":
            copy.set("paint-order", "stroke")  # a halo: the letters lie over their edge
        copy.extend(inner)
        copies.append(_lifted(copy))
    return copies


def _is_seen(tag: str, source: ET.Element) -> bool:
    """Return whether an element draws anything."""
    if tag == "path":
        return bool(source.get("d")) and bool(source.get("fill") or source.get("stroke"))
    return source.get("display") != "none"


def _kept(tag: str, source: ET.Element, paint: Callable[[str], str]) -> dict[str, str]:
    """Return what is kept of an element's attributes: colors exchanged, figures short."""
    kept = {k: v for k, v in source.items() if k in KEPT[tag] and USUAL.get(k) != v}
    if "stroke-width" not in kept and source.get("stroke-width"):
        kept.pop("stroke", None)
    for name, value in kept.items():
        if value.startswith("#"):
            kept[name] = paint(value)
        elif name != "viewBox":
            kept[name] = _NUMBER.sub(_short, value)
    return kept


def _short(number: re.Match[str]) -> str:
    """Return a number to a tenth of a pixel."""
    return f"{float(number[0]):.1f}".removesuffix(".0")


def _lifted(group: ET.Element) -> ET.Element:
    """Return a group that says once what all its children would say alike."""
    for name in sorted(PAINTED | WRITTEN) if len(group) > 1 and group.tag == "g" else ():
        values = {child.get(name) for child in group}
        if len(values) == 1 and (value := values.pop()) is not None:
            group.set(name, value)
            for child in group:
                del child.attrib[name]
    return group
