"""Plain loops over numbers, compiled by Numba when they are first called.

What was compiled is kept beside the module's file or in the user's own cache, and is taken for
good as long as that file is the same. So a compiled function stands in the file of the function
that calls it, and so do the constants it uses.

Numba takes a second and sixty megabytes to load: whoever calls a compiled function imports its
module where it is called.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar

import numba

_P = ParamSpec("_P")
_T = TypeVar("_T")


_OPTIONS: dict[str, Any] = {
    "nogil": True,
    "error_model": "numpy",
    "forceinline": True,
    "_nrt": False,
}
"""Without arrays of its own a loop needs none of Numba's counting of who still holds an
array, which takes as long as the rules of a day. ``_nrt`` is an option that Numba's own
library uses and does not promise to keep: try a new Numba before its bound is raised."""


def compiled(loop: Callable[_P, _T]) -> Callable[_P, _T]:
    """Have a function compiled; it may change the arrays it is given, and makes none."""
    try:
        kept: Any = numba.njit(cache=True, **_OPTIONS)(loop)
    except RuntimeError:  # no folder can be written, so each process compiles for itself
        kept = numba.njit(**_OPTIONS)(loop)
    return kept  # type: ignore[no-any-return]
