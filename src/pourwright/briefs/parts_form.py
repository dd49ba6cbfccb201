"""The parts of a mold in an edition's brief, changed by forms: one part a form."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pourwright.briefs.editing import (
    fields_of,
    rewrite_brief,
    texts_of,
    values_of,
    write_into,
)
from pourwright.briefs.fields import Field
from pourwright.briefs.toml_file import load

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
    known = part_fields()
    return tuple(
        texts_of(known, one)
        for one in (parts if isinstance(parts, list) else [])
        if isinstance(one, dict)
    )


def change_part(
    folder: Path, edition: str, place: int, typed: Mapping[str, object], today: date
) -> None:
    """Change one part of the mold in a brief, or add one at the end.

    Parameters
    ----------
    folder, edition, today
        As for :func:`pourwright.briefs.editing.rewrite_brief`, which also tells what is raised.
    place : int
        Which part, from 1; one more than there are adds one.
    typed : mapping
        What was typed, by key.
    """
    rewrite_brief(
        folder, edition, _named(place), lambda document: _put_part(document, place, typed), today
    )


def drop_part(folder: Path, edition: str, place: int, today: date) -> None:
    """Take one part of the mold out of a brief; the last one is refused.

    Parameters
    ----------
    folder, edition, place, today
        As for :func:`change_part`.
    """
    rewrite_brief(
        folder, edition, _named(place), lambda document: _take_out(document, place), today
    )


def _named(place: int) -> str:
    return f"mold.parts[{place}]"


def _put_part(document: TOMLDocument, place: int, typed: Mapping[str, object]) -> None:
    import tomlkit

    parts = _parts(document)
    is_new = place > len(parts)
    if is_new:
        parts.append(tomlkit.table())
    part = parts[min(place, len(parts)) - 1]
    write_into(part, values_of(part_fields(), typed))
    if is_new:
        part.add(tomlkit.nl())  # or the next table would stand close below


def _take_out(document: TOMLDocument, place: int) -> None:
    del _parts(document)[place - 1]


def _parts(document: TOMLDocument) -> Any:
    """Return the list of parts of a document; a first part takes the place of the dry mass."""
    import tomlkit

    mold: Any = document.setdefault("mold", tomlkit.table())
    if "parts" not in mold:
        mold.pop("dry_mass", None)
        mold["parts"] = tomlkit.aot()
    return mold["parts"]
