"""The studio's own words of caution, beside the usual ones: ``care.toml``."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from pourwright.briefs.editing import put
from pourwright.briefs.toml_file import load
from pourwright.cautions import ALL_WORK, CAUTIONS, CareText
from pourwright.errors import BadInput, as_written

FILE = "care.toml"
LONGEST = 600
OWN_TITLE = "In this studio"


def usual(work: str) -> tuple[CareText, ...]:
    """Return the usual cautions of a kind of work; they are never taken away."""
    return tuple(one for one in CAUTIONS if one.work == work)


def own_care(folder: Path) -> dict[str, str]:
    """Return the studio's own text for each kind of work, empty where it has none.

    Parameters
    ----------
    folder : Path
        The studio's.
    """
    path = folder / FILE
    told = load(path, usual=FILE).get("care", {}) if path.is_file() else {}
    known = told if isinstance(told, dict) else {}
    return {work: known[work] if isinstance(known.get(work), str) else "" for work in ALL_WORK}


def write_own_care(folder: Path, typed: Mapping[str, object]) -> None:
    """Keep the studio's own words of caution.

    Parameters
    ----------
    folder : Path
        The studio's.
    typed : mapping
        Text by kind of work; one that is missing has none.

    Raises
    ------
    BadInput
        If a text is too long.
    """
    import tomlkit

    told = {work: _tidy(work, typed.get(work, "")) for work in ALL_WORK}
    put(folder / FILE, tomlkit.dumps({"version": 1, "care": told}))


def _tidy(work: str, text: object) -> str:
    whole = " ".join("".join(one if one.isprintable() else " " for one in str(text)).split())
    if len(whole) > LONGEST:
        raise BadInput.one(work, as_written(whole), f"write at most {LONGEST} characters")
    return whole
