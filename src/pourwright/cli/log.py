"""The log: what ran and how it ended, without names, folders or what was typed."""

from __future__ import annotations

import getpass
import logging
import os
import platform
import re
import traceback
from collections.abc import Iterable, Sequence
from contextlib import suppress
from importlib.metadata import version
from logging.handlers import RotatingFileHandler
from pathlib import Path

from platformdirs import user_log_path

NAME = "pourwright"
LARGEST_BYTES = 250_000
KEPT = 3
"""A full log is put aside; so many old ones are kept."""

_NAMED = re.compile(r"""\bname\s*=\s*(["'])(.+?)\1""")
_QUOTED_PATH = re.compile(r"""(["'])[^"'\n]*[\\/]([^"'\\/\n]*)\1""")
_BARE_PATH = re.compile(r"""(?:\b[A-Za-z]:)?(?:~|\.{1,2}|\b[\w.-]+)?(?:[\\/][\w.@+-]+)+""")
_ADDRESS = re.compile(r"\b[\w.+-]+@[\w.-]+\.\w+\b")


class _Quiet(RotatingFileHandler):
    """A handler whose own trouble, such as a full disk, is nobody else's."""

    def handleError(self, record: logging.LogRecord) -> None:
        """Let a line that cannot be kept go."""


def open_log() -> Path | None:
    """Start the log and return its file, or None if it cannot be kept."""
    log = logging.getLogger(NAME)
    log.setLevel(logging.INFO)
    log.propagate = False
    close_log()
    try:
        path = user_log_path(NAME, appauthor=False, ensure_exists=True) / f"{NAME}.log"
        handler = _Quiet(path, maxBytes=LARGEST_BYTES, backupCount=KEPT, encoding="utf-8")
    except OSError:
        log.addHandler(logging.NullHandler())
        return None
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    log.addHandler(handler)
    return path


def close_log() -> None:
    """Close what the log has open."""
    log = logging.getLogger(NAME)
    for handler in list(log.handlers):
        log.removeHandler(handler)
        handler.close()


def note(text: str) -> None:
    """Write a line into the log; ``text`` is ours and holds nothing that was typed."""
    logging.getLogger(NAME).info("%s", text)


def note_fault(fault: BaseException, arguments: Sequence[str]) -> None:
    """Write a fault of ours into the log, whole but for names and folders."""
    told = "\n".join(_chain(fault))
    told = discreet(told, private_words(arguments), private_folders(arguments))
    logging.getLogger(NAME).error("fault of ours\n%s", told)


def surroundings() -> str:
    """Return what a fault may depend on: this program, Python, the system."""
    return f"{NAME} {version(NAME)}, Python {platform.python_version()}, {platform.system()}"


def discreet(text: str, words: Iterable[str] = (), folders: Iterable[str] = ()) -> str:
    """Return text with paths cut to the file's name and private words taken out.

    Examples
    --------
    >>> discreet("cannot read /srv/mira/pots/edition.toml for Mira", ["Mira"])
    'cannot read edition.toml for (name)'
    """
    for folder in sorted(folders, key=len, reverse=True):
        text = text.replace(folder + os.sep, "").replace(folder, "(folder)")
    text = _QUOTED_PATH.sub(r"\1\2\1", text)
    text = _BARE_PATH.sub(lambda found: re.split(r"[\\/]", found[0])[-1], text)
    text = _ADDRESS.sub("(address)", text)
    for word in sorted(words, key=len, reverse=True):
        text = re.sub(rf"(?<!\w){re.escape(word)}(?!\w)", "(name)", text, flags=re.IGNORECASE)
    return text


def private_folders(arguments: Sequence[str]) -> set[str]:
    """Return the folders that a message may name: the user's, this one, those given."""
    folders = {Path.home(), Path.cwd()}
    for argument in arguments:
        with suppress(OSError, ValueError):
            given = Path(argument).resolve()
            folders |= {given.parent, Path(argument).parent}
    return {str(folder) for folder in folders if len(str(folder)) > 1}


def private_words(arguments: Sequence[str]) -> set[str]:
    """Return the user's name, and the names in the files that were given and beside them."""
    words: set[str] = {Path.home().name}
    with suppress(Exception):  # no such user, as in some containers
        words.add(getpass.getuser())
    for argument in arguments:
        given = Path(argument)
        if given.suffix == ".toml":
            for file in {given, *given.parent.glob("*.toml")}:
                words.update(_names_in(file))
    return {word for word in words if len(word) > 2} - {"root", "home"}


def _names_in(file: Path) -> set[str]:
    """Return the names written in a file; nothing if it cannot be read."""
    try:
        with file.open(encoding="utf-8", errors="replace") as text:
            return {found[2] for found in _NAMED.finditer(text.read(LARGEST_BYTES))}
    except (OSError, ValueError):
        return set()


def _chain(fault: BaseException) -> Iterable[str]:
    """Yield the fault's lines, the first cause first."""
    earlier = fault.__cause__ or (None if fault.__suppress_context__ else fault.__context__)
    if earlier is not None:
        yield from _chain(earlier)
        yield "which led to"
    for frame in traceback.extract_tb(fault.__traceback__):
        yield f"  {_place(frame.filename)}:{frame.lineno} in {frame.name}: {frame.line}"
    yield f"{type(fault).__name__}: {fault}"


def _place(filename: str) -> str:
    """Return a source file's name; ours with its part of the house, dotted."""
    parts = Path(filename).with_suffix("").parts
    return ".".join(parts[parts.index(NAME) :]) if NAME in parts else parts[-1]
