"""Whether the libraries that paper needs are installed."""

from __future__ import annotations

from importlib.util import find_spec

from pourwright.errors import MissingExtra

NEEDED = ("fontpkg_atkinson_hyperlegible", "fontpkg_bitter", "typst")
"""What the extra brings, by the names they are imported by."""


def require_extra() -> None:
    """Refuse to go on where the extra "paper" is not installed.

    Raises
    ------
    MissingExtra
        If it is not, with the line that installs it.
    """
    if any(find_spec(name) is None for name in NEEDED):
        raise MissingExtra("paper", "Printing a sheet")
