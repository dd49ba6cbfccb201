"""Whether the libraries that shapes need are installed."""

from __future__ import annotations

from importlib.util import find_spec

from pourwright.errors import MissingExtra

NEEDED = ("embreex", "igl", "lxml", "manifold3d", "networkx", "trimesh")
"""What the extra brings, by the names they are imported by."""


def require_extra() -> None:
    """Refuse to go on where the extra "shape" is not installed.

    Raises
    ------
    MissingExtra
        If it is not, with the line that installs it.
    """
    if any(find_spec(name) is None for name in NEEDED):
        raise MissingExtra("shape", "Reading a model")
