"""The colors of charts, by the studio's materials, on a light and a dark page and on the bench.

A drawing names its colors and never their shades: on a page they are the page's own custom
properties, and in a file those of its scheme.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

Scheme: TypeAlias = Literal["light", "dark", "bench"]
Token: TypeAlias = Literal[
    "slip",
    "plaster",
    "ink",
    "soft",
    "cobalt",
    "celadon",
    "iron",
    "ochre",
    "line",
    "hair",
    "celadon-pale",
    "celadon-mid",
]
"""Slip is the page, plaster a quiet ground, ink and soft are words, line and hair are rules;
celadon is done, ochre soon, iron late or lost, cobalt what can be pressed."""

LIGHT: dict[Token, str] = {
    "slip": "#faf7f1",
    "plaster": "#efe9df",
    "ink": "#1a2330",
    "soft": "#4d5563",
    "cobalt": "#1f4b8f",
    "celadon": "#1f6552",
    "iron": "#9c3a22",
    "ochre": "#7a5200",
    "line": "#8b8375",
    "hair": "#d9d1c3",
    "celadon-pale": "#cbdcd2",
    "celadon-mid": "#94bdad",
}

DARK: dict[Token, str] = {
    "slip": "#12171e",
    "plaster": "#1b222c",
    "ink": "#f4efe6",
    "soft": "#b6bcc6",
    "cobalt": "#9dbff5",
    "celadon": "#7fd0b6",
    "iron": "#ff9c82",
    "ochre": "#f0c264",
    "line": "#8892a0",
    "hair": "#313b48",
    "celadon-pale": "#213b38",
    "celadon-mid": "#35655a",
}

BENCH: dict[Token, str] = {
    "slip": "#0d1218",
    "plaster": "#18202a",
    "ink": "#fbf6ec",
    "soft": "#c4cad3",
    "cobalt": "#a9c8fa",
    "celadon": "#8fe0c6",
    "iron": "#ffab94",
    "ochre": "#ffd27a",
    "line": "#97a2b1",
    "hair": "#33404f",
    "celadon-pale": "#1d3a36",
    "celadon-mid": "#35655a",
}
"""The bench is darker, and its words stand out more: glare on wet plaster."""

SCHEMES: dict[Scheme, dict[Token, str]] = {"light": LIGHT, "dark": DARK, "bench": BENCH}
