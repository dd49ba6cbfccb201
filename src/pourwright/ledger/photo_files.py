"""Photos beside the book: kept under the digest of their bytes, read and erased.

The entry holds the digest only, so erasing a photo leaves the chain as it is. What decodes them
is in photo_decoding.py: whoever shows a photo need not load what takes pictures apart.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from pathlib import Path

from pourwright.errors import BadInput
from pourwright.files import write_whole
from pourwright.ledger.file.trouble import files_told_plainly

PHOTOS = "photos"
"""The folder beside the book in which photos are kept."""

SMALLER = "send it smaller, as a JPEG"

_DIGEST = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Decoded:
    """A photo as it will be kept.

    Parameters
    ----------
    whole, small : bytes
        The photo and the small picture beside it, as JPEG files.
    width, height : int
        Of the whole photo. [pixels]
    """

    whole: bytes
    small: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo that is kept.

    Parameters
    ----------
    digest : str
        SHA-256 of its file: its name, here and in the entry.
    width, height : int
        [pixels]
    is_new : bool
        Whether it was not kept before.
    """

    digest: str
    width: int
    height: int
    is_new: bool = field(default=False, compare=False)


def put_photo(folder: Path, decoded: Decoded) -> Photo:
    """Put a photo into its place, and the small picture beside it; nothing else does.

    Returns
    -------
    Photo
        As it is kept.

    Raises
    ------
    BookTrouble
        If it cannot be written.
    """
    digest = hashlib.sha256(decoded.whole).hexdigest()
    path = photo_path(folder, digest)
    is_new = not path.exists()
    for place, data in ((small_path(folder, digest), decoded.small), (path, decoded.whole)):
        if not place.exists():
            with files_told_plainly():
                write_whole(place, data)
    return Photo(digest, decoded.width, decoded.height, is_new)


def photo_path(folder: Path, digest: str) -> Path:
    """Return where a photo is kept.

    Raises
    ------
    BadInput
        If it is no digest: a name from outside never becomes a path.
    """
    if not _DIGEST.fullmatch(digest):
        raise BadInput.one("photo", None, "name it by the 64 digits that its entry holds")
    return folder / digest[:2] / f"{digest}.jpg"


def small_path(folder: Path, digest: str) -> Path:
    """Return where the small picture beside a photo is kept."""
    path = photo_path(folder, digest)
    return path.with_name(f"{digest}-small.jpg")


def read_photo(folder: Path, digest: str) -> bytes | None:
    """Return a kept photo's file, or None if it was erased.

    Raises
    ------
    BadInput
        If the file is no longer what was kept.
    """
    path = photo_path(folder, digest)
    if not path.exists():
        return None
    with files_told_plainly():
        data = path.read_bytes()
    if hashlib.sha256(data).hexdigest() != digest:
        raise BadInput.one("photo", digest[:16], "its file was changed; restore it from a copy")
    return data


def read_small(folder: Path, digest: str) -> bytes | None:
    """Return the small picture of a kept photo, or the photo if there is none beside it.

    Returns
    -------
    bytes or None
        None if the photo was erased.
    """
    small = small_path(folder, digest)
    if photo_path(folder, digest).exists() and small.exists():
        with files_told_plainly():
            return small.read_bytes()
    return read_photo(folder, digest)


def erase_photo(folder: Path, digest: str) -> bool:
    """Erase a photo for good; the entry that names it stays.

    Returns
    -------
    bool
        Whether there was one.
    """
    path = photo_path(folder, digest)
    with files_told_plainly():
        was_there = path.exists()
        path.unlink(missing_ok=True)
        small_path(folder, digest).unlink(missing_ok=True)
    return was_there
