"""Photos from outside: taken in by a process of their own, named in the book, shown again."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import BoundedSemaphore, Lock
from typing import Any

from pourwright.errors import BadInput, NotDoable, StudioError
from pourwright.ledger.answer import BookAnswer
from pourwright.ledger.book import Book, photo_is_named
from pourwright.ledger.documents import PhotoDoc
from pourwright.ledger.entry import day_in, day_said
from pourwright.ledger.photo_files import (
    PHOTOS,
    SMALLER,
    Decoded,
    erase_photo,
    put_photo,
    read_photo,
    read_small,
)
from pourwright.ledger.said import called, names_said
from pourwright.ledger.state.record import photo_id
from pourwright.ledger.things import Things
from pourwright.studio.photo_child import SMALL, WHOLE

MOST_BYTES = 20_000_000
"""A phone's photo is a third of it; more is not read. [bytes]"""
LONGEST_S = 20
"""How long the decoding of one may last before it is ended. [s]"""
_CHILD = "pourwright.studio.photo_child"
_SHOWN = 24
_ONE_AT_A_TIME, _PLACES = Lock(), BoundedSemaphore(5)
_KEEPING = Lock()
"""Between a photo's file and its entry nobody else may keep the same photo or take its file away."""


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """A photo as a page shows it.

    Parameters
    ----------
    scope : str
        The edition it belongs to, or the studio.
    digest : str
        SHA-256 of its file.
    at : str
        When it was taken in: an instant in UTC, or a date alone.
    day : str
        The day of that by the studio's calendar, as it is said.
    about : str
        What it is of; may be empty.
    """

    scope: str
    digest: str
    at: str
    day: str
    about: str


def decoded_photo(data: bytes) -> Decoded:
    """Decode a photo in a process of its own, which never writes into the studio's folder.

    Raises
    ------
    StudioError
        If it is no photo, too large, or made to hurt; nothing is kept then.
    """
    if len(data) > MOST_BYTES:
        right = f"it may have {MOST_BYTES // 10**6} MB"
        raise BadInput.one("photo", f"{len(data) / 1e6:.1f} MB", right)
    with _a_place(), TemporaryDirectory(prefix="photo-") as made:
        told = _decoded_apart(data, Path(made))
        whole, small = ((Path(made) / name).read_bytes() for name in (WHOLE, SMALL))
    return Decoded(whole, small, int(told["width"]), int(told["height"]))


@contextmanager
def _a_place() -> Iterator[None]:
    """Let one photo be decoded at a time, and a few wait, so that many take no more memory."""
    if not _PLACES.acquire(blocking=False):
        raise NotDoable("Other photos are being taken in. Send this one again in a minute.")
    try:
        with _ONE_AT_A_TIME:
            yield
    finally:
        _PLACES.release()


def _decoded_apart(data: bytes, made: Path) -> dict[str, Any]:
    """Have a photo decoded by the process that is made for it, and return what it says of it."""
    try:
        # -P: a file of the studio's folder is never taken for a module
        done = subprocess.run(  # noqa: S603 - our own module, and a path that is no option
            [sys.executable, "-P", "-m", _CHILD, str(made)],
            input=data,
            capture_output=True,
            timeout=LONGEST_S,
            check=False,
        )
    except subprocess.TimeoutExpired:
        value = f"not read within {LONGEST_S:g} s"
        raise BadInput.one("photo", value, f"try it again, or {SMALLER}") from None
    told = _told(done.stdout)
    if "trouble" in told:
        raise NotDoable(told["trouble"])
    if "refused" in told:
        raise BadInput(BadInput.one(*one).complaints[0] for one in told["refused"])
    if "width" not in told:  # it ran into its limits and was ended
        raise BadInput.one("photo", "more than can be read", SMALLER)
    return told


def _told(printed: bytes) -> dict[str, Any]:
    try:
        told = json.loads(printed)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


def keep_photo(
    folder: Path,
    book: Book,
    data: bytes,
    told: Mapping[str, object],
    about: Sequence[str],
    now: datetime,
) -> list[BookAnswer]:
    """Take in a photo and name it in the book, once for each thing that it shows.

    Parameters
    ----------
    folder : Path
        The studio's.
    book : Book
        Its book.
    data : bytes
        The file.
    told : mapping
        What the command says beside it: ``edition``, ``id``, ``by`` and the like.
    about : sequence of str
        What it shows.
    now : datetime
        The instant.

    Raises
    ------
    StudioError
        If the file or an entry is refused; what was written before that stays.
    """
    decoded, first = decoded_photo(data), told.get("id", "")
    commands: list[Mapping[str, object]] = [
        {**told, "about": one, "id": f"{first}-{at}" if at else first}
        for at, one in enumerate(about)
    ]
    return [name_photo(folder, book, decoded, one, now) for one in commands or [{**told}]]


def name_photo(
    folder: Path, book: Book, decoded: Decoded, told: Mapping[str, object], now: datetime
) -> BookAnswer:
    """Keep a decoded photo's file and name it in the book; the file goes again if the book refuses it."""
    with _KEEPING:
        photo = put_photo(folder / PHOTOS, decoded)
        try:
            return book.do({"do": "photo", **told, "digest": photo.digest}, now)
        except StudioError:
            with book.reading() as reading:
                is_wanted = photo_is_named(reading.things, photo.digest)
            if photo.is_new and not is_wanted:
                erase_photo(folder / PHOTOS, photo.digest)
            raise


def photos_of(things: Things, scope: str, *about: str, zone: str) -> list[PhotoShown]:
    """Return the photos of some things that are not erased, the newest first."""
    found = [
        PhotoShown(
            scope=scope,
            digest=key.rpartition("/")[2],
            at=photo.at,
            day=day_said(day_in(photo.at, zone)),
            about=names_said(called(things, one) for one in photo.shows),
        )
        for key, photo in things.of(PhotoDoc, scope)
        if set(photo.shows) & set(about) and not photo.erased
    ]
    return sorted(found, key=lambda one: one.at, reverse=True)[:_SHOWN]


REFERENCE = "reference"
"""What a photo of an edition's reference piece is of."""


def wear_photos(things: Things, scope: str, mold: str, zone: str) -> list[tuple[str, PhotoShown]]:
    """Return the photos that a mold's wear is judged by, each with what it shows.

    They are the reference piece as it was kept last, and the mold as it was first and last.
    """
    of_mold = photos_of(things, scope, mold, zone=zone)
    found = [("The reference piece", one) for one in photos_of(things, scope, REFERENCE, zone=zone)]
    first = [(f"{mold} at first", of_mold[-1])] if len(of_mold) > 1 else []
    return [*found[:1], *first, *((f"{mold} now", one) for one in of_mold[:1])]


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
    photo = things.get(PhotoDoc, photo_id(scope, digest))
    if photo is None or photo.erased:
        return None
    return (read_small if small else read_photo)(folder / PHOTOS, digest)
