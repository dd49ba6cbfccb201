"""Cut the letters of the pages out of their font packages while the package is built.

The fonts are installed as packages and never stand in this tree; what is cut from them lies
beside the style sheet, is left out of the repository, and is carried in the wheel.
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Any

from fontTools.subset import Options, Subsetter, load_font, save_font
from hatchling.builders.hooks.plugin.interface import BuildHookInterface

STATIC = Path("src/pourwright/web/static")
LETTERS = {
    "bitter.woff2": ("fontpkg_bitter", "Bitter[wght].ttf"),
    "hyperlegible.woff2": ("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Regular.ttf"),
}
"""By the file that is made: the package and its font."""
LATIN = (
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),  # every language of Europe that is written with Latin letters
    *range(0x2010, 0x2027),  # dashes, quotation marks, the ellipsis
    *(0x2032, 0x2033, 0x20AC, 0x2212, 0x2260, 0x2264, 0x2265),  # inches, the euro, signs
)


class CustomBuildHook(BuildHookInterface):
    """Makes the font files before a wheel, or an installation that may be edited, is built."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Write each file of letters, and tell the builder to take it along."""
        for name, (package, font) in LETTERS.items():
            cut(Path(str(files(package))) / "files" / font, Path(self.root) / STATIC / name)
            build_data["artifacts"].append(f"/{STATIC.as_posix()}/{name}")


def cut(font: Path, made: Path) -> None:
    """Write the Latin letters of a font, packed for a browser; the same bytes each time."""
    options = Options(flavor="woff2", layout_features=["kern", "liga", "tnum", "lnum"])
    letters = load_font(str(font), options)
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=LATIN)
    subsetter.subset(letters)
    save_font(letters, str(made), options)
