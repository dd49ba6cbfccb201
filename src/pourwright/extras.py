"""Whether the libraries are installed that only some of the work needs."""

from __future__ import annotations

from importlib.util import find_spec

from pourwright.errors import MissingExtra

NEEDED = {
    "paper": ("fontpkg_atkinson_hyperlegible", "fontpkg_bitter", "typst"),
    "shape": ("embreex", "igl", "lxml", "manifold3d", "networkx", "trimesh"),
}
"""What each extra brings, by the names they are imported by."""
_WORK = {"paper": "Printing a sheet", "shape": "Reading a model"}


def require_extra(name: str) -> None:
    """Refuse to go on where an extra, such as "shape", is not installed.

    Raises
    ------
    MissingExtra
        If it is not, with the line that installs it.
    """
    if any(find_spec(library) is None for library in NEEDED[name]):
        raise MissingExtra(name, _WORK[name])
