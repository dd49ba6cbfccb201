"""What a process may use at most, for those that work on what may be made to hurt."""

from __future__ import annotations

import sys
from contextlib import suppress


def limit(**most: int) -> None:
    """Cap this process where the system can, by the names of ``resource``; none is raised again."""
    if sys.platform == "win32":
        return
    import resource

    for name, value in most.items():
        with suppress(ValueError, OSError):
            resource.setrlimit(getattr(resource, name), (value, value))
