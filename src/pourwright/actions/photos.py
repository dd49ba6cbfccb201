"""Photos from outside: taken in by a process of their own, named in the book, shown again."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from pourwright.errors import BadInput, NotDoable, StudioError
from pourwright.ledger.book import Book
from pourwright.ledger.files import PHOTOS, Photo, erase_photo, read_photo, read_small
from pourwright.ledger.state_record import photo_id
from pourwright.ledger.things import Things

MOST_BYTES = 20_000_000
"""A phone's photo is a third of it; more is not read. [bytes]"""
LONGEST_S = 30
"""How long the taking in of one may last before it is ended. [s]"""
_CHILD = "pourwright.actions.photo_child"
_SHOWN = 24


@dataclass(frozen=True, slots=True)
class Shown:
    """A photo as a page shows it.

    Parameters
    ----------
    scope : str
        The edition it belongs to, or the studio.
    digest : str
        SHA-256 of its file.
    at : str
        When it was taken in, ISO 8601.
    about : str
        What it is of; may be empty.
    """

    scope: str
    digest: str
    at: str
    about: str


def take_photo(folder: Path, data: bytes) -> Photo:
    """Take in a photo in a process of its own.

    Parameters
    ----------
    folder : Path
        The studio's.
    data : bytes
        The file as it came; its name is never looked at.

    Returns
    -------
    Photo
        As it is kept.

    Raises
    ------
    StudioError
        If it is no photo, too large, or made to hurt; nothing is kept then.
    """
    if len(data) > MOST_BYTES:
        right = f"it may have {MOST_BYTES // 10**6} MB"
        raise BadInput.one("photo", f"{len(data) / 1e6:.0f} MB", right)
    try:
        # -P: a file of the studio's folder is never taken for a module
        done = subprocess.run(  # noqa: S603 - our own module, and a path that is no option
            [sys.executable, "-P", "-m", _CHILD, str((folder / PHOTOS).resolve())],
            input=data, capture_output=True, timeout=LONGEST_S, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise BadInput.one("photo", "too slow to read", "send another one") from None
    told = _told(done.stdout)
    if "trouble" in told:
        raise NotDoable(told["trouble"])
    if "refused" in told:
        raise BadInput(BadInput.one(*one).complaints[0] for one in told["refused"])
    if "digest" not in told:  # it ran into its limits and was ended
        raise BadInput.one("photo", "more than can be read", "send it smaller, as a JPEG")
    return Photo(told["digest"], told["width"], told["height"], told["is_new"])


def _told(printed: bytes) -> dict[str, Any]:
    try:
        told = json.loads(printed)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


def keep_photo(
    folder: Path, book: Book, data: bytes, told: dict[str, Any], now: datetime
) -> dict[str, Any]:
    """Take in a photo and name it in the book; the file goes again if the book refuses it.

    Parameters
    ----------
    folder : Path
        The studio's.
    book : Book
        Its book.
    data : bytes
        The file.
    told : dict
        What the command says beside it: ``edition``, ``about``, ``id``, ``by`` and the like.
    now : datetime
        The instant.

    Returns
    -------
    dict
        The book's answer.

    Raises
    ------
    StudioError
        If the file or the entry is refused.
    """
    photo = take_photo(folder, data)
    command = {"do": "photo", **told, "digest": photo.digest}
    try:
        return book.do(command, now)
    except StudioError:
        if photo.is_new:
            erase_photo(folder / PHOTOS, photo.digest)
        raise


def photos_of(things: Things, scope: str, *about: str) -> list[Shown]:
    """Return the photos of some things that are not erased, the newest first.

    Parameters
    ----------
    things : Things
        The book's documents.
    scope : str
        An edition's id, or the studio.
    *about : str
        What they are of, as their entries say.
    """
    found = [
        Shown(scope, key.rpartition("/")[2], doc["at"], doc["about"] or "")
        for key, doc in things.of("photo", scope)
        if doc["about"] in about and not doc["erased"]
    ]
    return sorted(found, key=lambda one: one.at, reverse=True)[:_SHOWN]


def photo_file(
    things: Things, folder: Path, scope: str, digest: str, *, small: bool
) -> bytes | None:
    """Return a photo's file; None if the book does not name it there, or it was erased.

    Parameters
    ----------
    things : Things
        The book's documents.
    folder : Path
        The studio's.
    scope, digest : str
        As its entry says.
    small : bool
        The small one beside it, if there is one.

    Raises
    ------
    StudioError
        If the file is no longer what was kept.
    """
    doc = things.get("photo", photo_id(scope, digest))
    if doc is None or doc["erased"]:
        return None
    return (read_small if small else read_photo)(folder / PHOTOS, digest)
