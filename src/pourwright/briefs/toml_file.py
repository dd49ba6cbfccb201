"""A TOML file in, its tables out; every way it can fail is a sentence."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from pourwright.errors import BadInput, as_written

LARGEST_FILE_BYTES = 1_000_000
"""A brief is some thousand bytes; nothing larger is read."""

_LONGEST_PATH = 400  # shown whole, since its end is what names the file
_WHERE = re.compile(r"\(at (?:line (\d+), column (\d+)|end of document)\)")
_UNQUOTED = re.compile(r"^\s*([\w.-]+)\s*=\s*([^\"'\[{#][^\"#]*?)\s*(?:#.*)?$")


def load(path: Path, written: str = "", usual: str = "edition.toml") -> dict[str, Any]:
    """Return what a TOML file holds.

    Parameters
    ----------
    path : Path
        The file.
    written : str, optional
        How the maker named it, if not by its path.
    usual : str, optional
        What such a file is usually called.

    Returns
    -------
    dict
        Its tables.

    Raises
    ------
    BadInput
        If there is no such file, it cannot be read, is too large, is empty, or
        is not TOML.
    """
    name = path.name or str(path)
    return tables_of(_text(path, name, written or str(path), usual), name)


def tables_of(text: str, name: str) -> dict[str, Any]:
    """Return the tables of a text in TOML; ``name`` is the file's, for what is wrong with it.

    Raises
    ------
    BadInput
        If it is empty, or not TOML.
    """
    if not text.strip():
        raise BadInput.one(
            "the file", "empty", "it must hold at least version = 1", _ASK, file=name
        )
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise BadInput.one(
            "the file",
            "nested too deeply",
            "no field needs a list inside a list inside a list",
            file=name,
        ) from None
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(text, str(error), name) from None
    except ValueError:  # Python's own limit on the digits of a number
        raise BadInput.one(
            "the file",
            "not readable",
            "a number in it has thousands of digits; no field needs that",
            file=name,
        ) from None


_ASK = 'The command "pourwright ask" writes one to start from.'


def _text(path: Path, name: str, written: str, usual: str) -> str:
    shown = as_written(written, _LONGEST_PATH)
    try:
        if path.is_dir():
            raise BadInput.one(
                "the file",
                f"{shown}, a folder",
                "name the file in it, such as "
                + as_written(f"{written.rstrip('/')}/{usual}", _LONGEST_PATH),
            )
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise BadInput.one(
            "the file", shown, "there is no such file", _nearest_file(path)
        ) from None
    except PermissionError:
        raise BadInput.one(
            "the file", shown, "you may not read it; change its permissions"
        ) from None
    except (OSError, ValueError):  # a null byte in the name is a ValueError
        raise BadInput.one(
            "the file", shown, "it cannot be read; name a file on this computer"
        ) from None
    if len(data) > LARGEST_FILE_BYTES:
        raise BadInput.one(
            "the file", "larger than 1 MB", "a brief or a studio is a small text file", file=name
        )
    return _decoded(data, name)


def _decoded(data: bytes, name: str) -> str:
    if b"\0" in data:
        raise BadInput.one(
            "the file", "not text", "it must be a TOML file, plain text", _ASK, file=name
        )
    try:
        # an editor may put a byte order mark first
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise BadInput.one(
            f"line {line}", "not UTF-8 text", "save the file as UTF-8", file=name
        ) from None


def _nearest_file(path: Path) -> str:
    try:
        others = sorted(one.name for one in path.parent.glob("*.toml"))
    except OSError:
        return ""
    return f"In that folder there is {', '.join(others[:3])}." if others else ""


def _not_toml(text: str, error: str, name: str) -> BadInput:
    where = _WHERE.search(error)
    lines = text.split("\n")
    number = int(where[1]) if where and where[1] else len(lines)
    line = lines[number - 1].strip() if number <= len(lines) else ""
    column = int(where[2]) if where and where[2] else len(line)
    reason = _WHERE.sub("", error).strip()
    # the parser may notice an open bracket or quote only on the line after
    if not line and number > 1:
        line = lines[number - 2].strip()
    return BadInput.one(
        f"line {number}, column {column}",
        as_written(line).replace('"', "`"),
        _what_is_right(line, reason),
        file=name,
    )


def _what_is_right(line: str, reason: str) -> str:
    if "verwrite" in reason or "twice" in reason:
        return "the same name is written twice; keep one of them"
    if "“" in line or "”" in line or "‘" in line:
        return 'use straight quotes, such as "6 lb"'
    unquoted = _UNQUOTED.match(line)
    if unquoted:
        key, value = unquoted[1], unquoted[2]
        return (
            f"this is not TOML; put text and quantities in quotes: {key} = {as_written(value, 40)}"
        )
    if line.count('"') % 2:
        return "this is not TOML; a quote is not closed"
    if line.startswith("[") and "=" not in line:
        return "this is not TOML; a table's name stands alone in brackets, such as [mold]"
    if line and "=" not in line and not line.startswith("["):
        return "this is not TOML; write a name, an equals sign and a value"
    return f"this is not TOML ({reason[:1].lower() + reason[1:]})"
