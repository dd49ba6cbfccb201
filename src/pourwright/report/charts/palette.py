"""The colors of charts, by the studio's materials, on a light and a dark page and on paper.

A drawing names its colors and never their shades: on a page they are the page's own custom
properties, and in a file those of its scheme.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

Scheme: TypeAlias = Literal["light", "dark", "paper"]
Token: TypeAlias = Literal[
    "plaster",
    "sheet",
    "ink",
    "soft",
    "press",
    "glaze",
    "iron",
    "ochre",
    "line",
    "hair",
    "glaze-pale",
    "glaze-mid",
]
"""Plaster is the page, sheet a quiet ground, ink and soft are words, line and hair are rules;
glaze is done, ochre soon, iron late or lost, press what can be pressed."""

LIGHT: dict[Token, str] = {
    "plaster": "#e9e9e4",
    "sheet": "#f7f7f3",
    "ink": "#221a1d",
    "soft": "#4b4446",
    "press": "#4a2233",
    "glaze": "#1a554f",
    "iron": "#8c2b15",
    "ochre": "#664500",
    "line": "#857f7c",
    "hair": "#c9c8c0",
    "glaze-pale": "#c2d0cb",
    "glaze-mid": "#93b4ac",
}

DARK: dict[Token, str] = {
    "plaster": "#1b1a1b",
    "sheet": "#272526",
    "ink": "#f4efe6",
    "soft": "#c4bdb9",
    "press": "#efe6dc",
    "glaze": "#8ed3c3",
    "iron": "#ffa78c",
    "ochre": "#f2c66c",
    "line": "#8d8582",
    "hair": "#454142",
    "glaze-pale": "#243b37",
    "glaze-mid": "#37655c",
}

PAPER: dict[Token, str] = {
    "plaster": "#ffffff",
    "sheet": "#fefefe",
    "ink": "#000000",
    "soft": "#1a1a1a",
    "press": "#0a0a0a",
    "glaze": "#101010",
    "iron": "#050505",
    "ochre": "#151515",
    "line": "#595959",
    "hair": "#8c8c8c",
    "glaze-pale": "#e0e0e0",
    "glaze-mid": "#b0b0b0",
}
"""A cheap printer has black alone; what is told apart is told apart by dash, shape and word."""

SCHEMES: dict[Scheme, dict[Token, str]] = {
    "light": LIGHT,
    "dark": DARK,
    "paper": PAPER,
}
