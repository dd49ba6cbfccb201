"""The studio's file as a page needs it: a fault in it is shown, and the page comes up."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pourwright.briefs.records import Studio
from pourwright.briefs.studio_file import read_studio
from pourwright.errors import StudioError


def studio_now(path: Path, today: date) -> tuple[Studio | None, str]:
    """Return what a studio's file says, or why it cannot be used.

    Parameters
    ----------
    path : Path
        The file.
    today : date
        The day it is.

    Returns
    -------
    tuple of (Studio or None, str)
        None and nothing if there is no such file.
    """
    if not path.is_file():
        return None, ""
    try:
        return read_studio(path, today), ""
    except StudioError as fault:
        return None, str(fault)
