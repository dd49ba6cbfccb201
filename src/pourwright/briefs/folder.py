"""The briefs that lie in a studio's folder, by the edition they are of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from pathlib import Path

from pourwright.briefs.reading import read_brief
from pourwright.briefs.records import Brief, Studio
from pourwright.briefs.studio_file import STUDIO_FILE
from pourwright.briefs.toml_file import load
from pourwright.errors import StudioError

_FOLDERS = (".", "editions")
_FOUND: dict[Path, tuple[tuple[int, ...], dict[str, Path]]] = {}
"""Where the briefs of a folder were found, and how the folder stood then."""
_NO_BRIEFS = frozenset({STUDIO_FILE, "reminders.toml"})


@dataclass(frozen=True, slots=True)
class BriefHere:
    """An edition's brief as its file says it, or why the file cannot be used."""

    path: Path
    brief: Brief | None
    studio: Studio | None
    fault: str = ""


def brief_here(folder: Path, edition: str, today: date) -> BriefHere | None:
    """Return the brief of an edition in a studio's folder.

    Parameters
    ----------
    folder : Path
        Where ``studio.toml`` is; briefs lie in it or in its ``editions``.
    edition : str
        The edition's id.
    today : date
        The day it is.

    Returns
    -------
    BriefHere or None
        None if no file is of that edition. A fault in the file is kept in words, so that
        a page without its brief's figures still comes up.
    """
    path = brief_path(folder, edition)
    if path is None:
        return None
    return _read(path, (_stamp(path), _stamp(folder / "studio.toml")), today)


def brief_path(folder: Path, edition: str) -> Path | None:
    """Return the file of an edition's brief, None if there is none.

    Parameters
    ----------
    folder : Path
        The studio's.
    edition : str
        The edition's id.
    """
    places = tuple(folder / name for name in _FOLDERS)
    now = tuple(one.stat().st_mtime_ns if one.is_dir() else 0 for one in places)
    then, found = _FOUND.get(folder, ((), {}))
    path = found.get(edition) if then == now else None
    # a file that was written again in its place leaves its folder as it was
    if path is None or _id(path, _stamp(path)) != edition:
        found = {}
        for one in briefs(folder):
            found.setdefault(_id(one, _stamp(one)), one)
        _FOUND[folder] = now, found
        path = found.get(edition)
    return path


def briefs(folder: Path) -> tuple[Path, ...]:
    """Return the files in a studio's folder that may be briefs.

    Parameters
    ----------
    folder : Path
        The studio's.
    """
    paths = (path for name in _FOLDERS for path in sorted((folder / name).glob("*.toml")))
    return tuple(path for path in paths if path.name not in _NO_BRIEFS)


def read_on(path: Path, day: date) -> date:
    """Return the day on which a brief is read: its start or its deadline where that came before.

    A brief tells days ahead, so that one whose work has begun could not be read today.

    Parameters
    ----------
    path : Path
        The brief.
    day : date
        The day it is, or the day when the edition was planned.
    """
    edition = load(path).get("edition")
    written = edition if isinstance(edition, dict) else {}
    days = (_day(written.get(key)) for key in ("start", "deadline"))
    return min([day, *(one for one in days if one)])


def _day(written: object) -> date | None:
    """Return a day that stands in a file as a date; what is relative to today is never before it."""
    if isinstance(written, date):
        return written.date() if isinstance(written, datetime) else written
    try:
        return date.fromisoformat(written) if isinstance(written, str) else None
    except ValueError:
        return None


def stamps(folder: Path, edition: str) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return what changes when an edition's brief or the studio's file is written again."""
    path = brief_path(folder, edition)
    return _stamp(path) if path else (0, 0), _stamp(folder / "studio.toml")


def _stamp(path: Path) -> tuple[int, int]:
    """Return what tells a file from the same file written again."""
    if not path.is_file():
        return 0, 0
    state = path.stat()
    return state.st_mtime_ns, state.st_size


@lru_cache(maxsize=4096)
def _id(path: Path, _: tuple[int, int]) -> str:
    # A file that is no TOML is of no edition; the page of the editions says what is wrong with it.
    try:
        return edition_id(path)
    except StudioError:
        return ""


@lru_cache(maxsize=64)
def _read(path: Path, _: object, today: date) -> BriefHere:
    # Today and the bench must come up when somebody is in the middle of writing the brief.
    try:
        brief, studio = read_brief(path, read_on(path, today))
    except StudioError as fault:
        return BriefHere(path, None, None, str(fault))
    return BriefHere(path, brief, studio)


def edition_id(path: Path) -> str:
    """Return the id that a brief gives its edition; empty if it gives none."""
    terms = load(path).get("edition")
    found = terms.get("id") if isinstance(terms, dict) else None
    return found if isinstance(found, str) else ""
