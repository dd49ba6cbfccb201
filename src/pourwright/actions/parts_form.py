"""The parts of a mold in an edition's brief, changed by forms: one part a form."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pourwright.actions.fields import Field
from pourwright.actions.toml_file import load
from pourwright.actions.toml_form import as_text, fields_of, rewrite_brief, values_of, write_into

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

MOST_PARTS = 50
"""A mold of more pieces is a slip of the hand: our own choice."""


def part_fields() -> tuple[Field, ...]:
    """Return the fields of one part of a mold."""
    return fields_of("edition", "mold.parts[]")


def parts_told(path: Path) -> tuple[dict[str, str], ...]:
    """Return the parts that a brief tells, each by key as it could be typed.

    Parameters
    ----------
    path : Path
        The brief.

    Raises
    ------
    BadInput
        If it cannot be read as TOML.
    """
    mold: Any = load(path).get("mold", {})
    parts = mold.get("parts", []) if isinstance(mold, dict) else []
    known = {one.key for one in part_fields()}
    return tuple(
        {key: as_text(value) for key, value in one.items() if key in known}
        for one in (parts if isinstance(parts, list) else [])
        if isinstance(one, dict)
    )


def change_part(
    folder: Path, edition: str, place: int, typed: Mapping[str, object], today: date
) -> None:
    """Change one part of the mold in a brief, or add one at the end; the rest stays to the byte.

    Parameters
    ----------
    folder : Path
        The studio's.
    edition : str
        The edition's id.
    place : int
        Which part, from 1; one more than there are adds one.
    typed : mapping
        What was typed, by key.
    today : date
        The day it is.

    Raises
    ------
    StudioError
        If the brief could then not be read; nothing is written.
    """
    table = f"mold.parts[{place}]"
    rewrite_brief(folder, edition, table, lambda text: _with_part(text, place, typed), today)


def drop_part(folder: Path, edition: str, place: int, today: date) -> None:
    """Take one part of the mold out of a brief.

    Parameters
    ----------
    folder : Path
        The studio's.
    edition : str
        The edition's id.
    place : int
        Which part, from 1.
    today : date
        The day it is.

    Raises
    ------
    StudioError
        If the brief could then not be read, as when it was the last part; nothing is written.
    """
    rewrite_brief(
        folder, edition, f"mold.parts[{place}]", lambda text: _without(text, place), today
    )


def _with_part(text: str, place: int, typed: Mapping[str, object]) -> str:
    import tomlkit

    document = tomlkit.parse(text)
    parts = _parts(document)
    is_new = place > len(parts)
    if is_new:
        parts.append(tomlkit.table())
    part = parts[min(place, len(parts)) - 1]
    write_into(part, values_of(part_fields(), typed))
    if is_new:
        part.add(tomlkit.nl())  # or the next table would stand close below
    return tomlkit.dumps(document)


def _without(text: str, place: int) -> str:
    import tomlkit

    document = tomlkit.parse(text)
    del _parts(document)[place - 1]
    return tomlkit.dumps(document)


def _parts(document: TOMLDocument) -> Any:
    """Return the list of parts of a document; a first part takes the place of the dry mass."""
    import tomlkit

    mold: Any = document.setdefault("mold", tomlkit.table())
    if "parts" not in mold:
        mold.pop("dry_mass", None)
        mold["parts"] = tomlkit.aot()
    return mold["parts"]
