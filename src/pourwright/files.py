"""Files written whole: after a crash or a power cut the old file or the new one is there."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO


def write_whole(path: Path, content: bytes | str) -> None:
    """Put a file in its place, in UTF-8 with the line ends it has; its folder is made if need be."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with whole_file(path) as file:
        file.write(content.encode() if isinstance(content, str) else content)


@contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """Yield a file that takes its place once all of it is written, and else is never seen."""
    part = path.with_name(f".{path.name}-{secrets.token_hex(4)}.part")
    try:
        file = part.open("xb")
    except OSError as error:
        error.filename = str(path)  # the maker named that, and knows nothing of parts
        raise
    try:
        with file:
            yield file
        put_in_place(part, path)
    finally:
        with suppress(OSError):  # it was never made
            part.unlink(missing_ok=True)


def put_in_place(part: Path, path: Path) -> None:
    """Move a file that is written into its place, in the same folder."""
    with part.open("rb+") as file:
        os.fsync(file.fileno())
    part.replace(path)
    if os.name == "nt":  # there a folder cannot be opened, and a rename is kept without
        return
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
