"""A sheet's record and its layout to a PDF, or to pictures of its pages.

A record reaches its layout as JSON, so what people typed is never read as markup. The clock is
not asked: a sheet tells the days of its plan or its entries, and the same record gives the same
bytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal, TypeAlias

import msgspec

from pourwright.errors import BadInput, as_written
from pourwright.extras import require_extra

Size: TypeAlias = Literal["a4", "us-letter"]
"""The paper in the printer, by the layout language's name of it."""
LETTER_COUNTRIES = frozenset("BZ CA CL CO CR GT MX NI PA PH PR SV US VE".split())
"""Where printers hold US Letter: Unicode CLDR, supplemental data, paper sizes."""
LAYOUTS = Path(str(files("pourwright.paper"))) / "layouts"
FONTS = ("fontpkg_bitter", "fontpkg_atkinson_hyperlegible")
"""Packages whose folder ``files`` holds a family."""


class Care(msgspec.Struct, frozen=True):
    """A caution as it stands beside its step."""

    title: str
    text: str


class Sheet(msgspec.Struct, frozen=True, kw_only=True):
    """What every sheet tells.

    Parameters
    ----------
    title : str
        What it is and for which day or thing: the PDF's title too.
    of : str
        The edition, or whatever it is about.
    foot : str
        Whose it is and what it rests on, at the foot of each page.
    """

    title: str
    of: str
    foot: str


def size_for(country: str | None) -> Size:
    """Return the paper that a studio's country prints on.

    Examples
    --------
    >>> size_for("US"), size_for("DK"), size_for(None)
    ('us-letter', 'a4', 'a4')
    """
    return "us-letter" if country in LETTER_COUNTRIES else "a4"


def as_pdf(layout: str, sheet: Sheet, size: Size) -> bytes:
    """Return a sheet as a tagged PDF, its fonts in it.

    Parameters
    ----------
    layout : str
        The name of its layout, such as "pour".
    sheet : Sheet
        What stands on it.
    size : {"a4", "us-letter"}
        The paper.

    Raises
    ------
    MissingExtra
        If the libraries for paper are not installed.
    BadInput
        If a text holds a character that the fonts do not have.
    """
    pdf: bytes = _compiled(layout, sheet, size, format="pdf", pdf_standards="ua-1")
    return pdf


def as_pictures(layout: str, sheet: Sheet, size: Size, ppi: float = 150) -> list[bytes]:
    """Return a sheet's pages as PNG files; parameters and errors as for :func:`as_pdf`."""
    found = _compiled(layout, sheet, size, format="png", ppi=ppi)
    return found if isinstance(found, list) else [found]


def _compiled(layout: str, sheet: Sheet, size: Size, **wanted: Any) -> Any:
    require_extra("paper")
    import typst

    given = {"sheet": msgspec.json.encode(sheet).decode(), "paper": size}
    try:
        return _compiler().compile(LAYOUTS / f"{layout}.typ", sys_inputs=given, **wanted)
    except typst.TypstError:
        missing = _missing(sheet)
        if missing is None:
            raise
        raise missing from None


def _compiler() -> Any:
    import typst

    folders = [str(files(package) / "files") for package in FONTS]
    fonts = typst.Fonts(include_system_fonts=False, font_paths=folders)
    return typst.Compiler(root=LAYOUTS, font_paths=fonts, ignore_system_fonts=True)


# --- characters that the fonts do not have


def _missing(sheet: Sheet) -> BadInput | None:
    """Return the error for the first text with characters that cannot be printed, None if all can."""
    for text in _texts(msgspec.to_builtins(sheet)):
        lacking = [one for one in dict.fromkeys(text) if not one.isascii() and not _prints(one)]
        if lacking:
            named = ", ".join(f"{one} (U+{ord(one):04X})" for one in lacking)
            right = f"the fonts for paper do not have {named}; write it with other letters"
            return BadInput.one("a text on the sheet", as_written(text), right)
    return None


def _texts(data: object) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for value in data.values():
            yield from _texts(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from _texts(value)


def _prints(character: str) -> bool:
    import typst

    source = LAYOUTS / "one_text.typ"
    try:
        _compiler().compile(source, sys_inputs={"text": character}, pdf_standards="ua-1")
    except typst.TypstError:
        return False
    return True
