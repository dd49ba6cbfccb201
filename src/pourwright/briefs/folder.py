"""The briefs that lie in a studio's folder, by the edition they are of."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

from pourwright.briefs.reading import BriefFile, read_begun_brief
from pourwright.briefs.records import Brief, Studio
from pourwright.briefs.studio_file import STUDIO_FILE
from pourwright.briefs.toml_file import load
from pourwright.errors import StudioError

_FOLDERS = (".", "editions")
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
    files = (path, folder / STUDIO_FILE, _told(path, _stamp(path))[1])
    return _read(path, tuple(map(_stamp, files)), today)


def brief_path(folder: Path, edition: str) -> Path | None:
    """Return the file of an edition's brief, None if there is none."""
    # what is named by anybody from outside becomes a path only if it is plain
    if edition.replace("-", "").isalnum() and len(edition) <= 60:
        usual = folder / "editions" / f"{edition}.toml"
        if _told(usual, _stamp(usual))[0] == edition:
            return usual
    return next((one for one in briefs(folder) if _told(one, _stamp(one))[0] == edition), None)


def briefs(folder: Path) -> tuple[Path, ...]:
    """Return the files in a studio's folder that may be briefs."""
    paths = (path for name in _FOLDERS for path in sorted((folder / name).glob("*.toml")))
    return tuple(path for path in paths if path.name not in _NO_BRIEFS)


def file_digests(folder: Path, edition: str) -> tuple[str, str, str]:
    """Return the SHA-256 of all that an edition is planned from; empty for what is not there.

    These are its brief, the studio's file, and the shape that the brief names.
    """
    path = brief_path(folder, edition)
    shape = _told(path, _stamp(path))[1] if path else None
    return _digest(path), _digest(folder / STUDIO_FILE), _digest(shape)


def _digest(path: Path | None) -> str:
    if path is None or not path.is_file():
        return ""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _stamp(path: Path | None) -> tuple[int, int]:
    """Return what tells a file from the same file written again."""
    if path is None or not path.is_file():
        return 0, 0
    state = path.stat()
    return state.st_mtime_ns, state.st_size


@lru_cache(maxsize=4096)
def _told(path: Path, _: tuple[int, int]) -> tuple[str, Path | None]:
    """Return the edition that a brief is of, and the shape that it names."""
    # A file that is no TOML is of no edition; the page of the editions says what is wrong with it.
    try:
        file = BriefFile(path, load(path), None)
    except StudioError:
        return "", None
    return file.edition_id, file.shape


@lru_cache(maxsize=64)
def _read(path: Path, _: object, today: date) -> BriefHere:
    # Today and the bench must come up when somebody is in the middle of writing the brief.
    try:
        brief, studio = read_begun_brief(path, today)
    except StudioError as fault:
        return BriefHere(path, None, None, str(fault))
    return BriefHere(path, brief, studio)
