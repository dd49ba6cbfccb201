"""A studio's or an edition's file changed by a form: what was not changed stays to the byte."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Iterable, Mapping, MutableMapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.fields import FileField, FileTable
from pourwright.briefs.folder import brief_path, briefs
from pourwright.briefs.reading import StudioTables, open_brief, read_begun_brief
from pourwright.briefs.studio_file import STUDIO_FILE, read_studio
from pourwright.briefs.toml_file import load
from pourwright.errors import BadInput, Complaint, NotDoable, StudioError
from pourwright.files import write_whole

if TYPE_CHECKING:
    from tomlkit import TOMLDocument
    from tomlkit.items import Table
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tomlkit import TOMLDocument


FIXED = frozenset({"version", "studio", "edition.id"})
"""Fields that a form does not change: they are what the files are known by."""
NEW_STUDIO = "version = 1\n"
_LISTS = ("weekdays", "days off", "box")
_LINE = re.compile(r"such as [a-z_]+ = (\S)")
_WHOLE = re.compile(r"-?[0-9]{1,9}")
_NUMBER = re.compile(r"-?[0-9]{1,9}(\.[0-9]{1,9})?")


def tables_in(kind: str) -> tuple[FileTable, ...]:
    """Return the tables of a file that a form changes; lists of tables are changed as text."""
    known = studio_fields.TABLES if kind == "studio" else edition_fields.TABLES
    return tuple(one for one in known if not one.name.endswith("[]"))


def fields_of(kind: str, table: str) -> tuple[FileField, ...]:
    """Return the fields of a table, empty if there is no such table."""
    known = studio_fields.FIELDS if kind == "studio" else edition_fields.FIELDS
    return tuple(one for one in known if one.table == table and one.name not in FIXED)


def stands(path: Path, table: str, fields: Iterable[FileField]) -> dict[str, str]:
    """Return what is written in a table of a file, as it could be typed.

    Parameters
    ----------
    path : Path
        The file; one that is not there holds nothing.
    table : str
        The table.
    fields : iterable of FileField
        Its fields.

    Raises
    ------
    BadInput
        If the file cannot be read as TOML.
    """
    if not path.is_file():
        return {}
    here: Any = load(path)
    for name in table.split("."):
        here = here.get(name, {}) if isinstance(here, dict) else {}
    known = here if isinstance(here, dict) else {}
    return texts_of(fields, known)


def texts_of(fields: Iterable[FileField], here: Mapping[str, Any]) -> dict[str, str]:
    """Return what a table of a file holds in some fields, as it could be typed."""
    return {one.key: as_text(here[one.key]) for one in fields if one.key in here}


def as_text(value: object) -> str:
    """Return a value of a file as it could be typed.

    Examples
    --------
    >>> as_text(["mon", "tue"]), as_text(True), as_text(2.55)
    ('mon, tue', 'yes', '2.55')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(as_text, value))
    return value.isoformat() if isinstance(value, date) else str(value)


def typed_value(field: FileField, typed: object) -> object:
    """Return what was typed as the file holds it; None if nothing was.

    Examples
    --------
    >>> typed_value(studio_fields.FIELDS[0], "1")
    1
    """
    if isinstance(typed, list | tuple):
        return [str(one) for one in typed] or None
    text = str(typed or "").strip()
    if not text:
        return None
    if field.kind == "yes or no" and text in ("yes", "no"):
        return text == "yes"
    if field.many or field.kind in _LISTS:
        return [_number(one) for one in re.split(r"[,;\n]", text) if one.strip()] or None
    return _number(text) if field.kind in ("whole", "loads a week", "number", "life") else text


def _number(text: str) -> object:
    """Return digits as a number, and anything else as it is, to be refused in the field's words."""
    plain = text.strip()
    if _WHOLE.fullmatch(plain):
        return int(plain)
    return float(plain) if _NUMBER.fullmatch(plain) else plain


def _edited(text: str, change: Callable[[TOMLDocument], None]) -> str:
    """Return a file's text with what a change makes of it; all else stays to the byte."""
    import tomlkit

    document = tomlkit.parse(text)
    change(document)
    return tomlkit.dumps(document)


def _change_table(
    document: TOMLDocument, kind: str, table: str, typed: Mapping[str, object]
) -> None:
    """Write what was typed into a table of a document; what is missing was left empty."""
    told = values_of(fields_of(kind, table), typed)
    here = _table(document, table, make=any(value is not None for value in told.values()))
    if here is not None:
        write_into(here, told)


def values_of(fields: Iterable[FileField], typed: Mapping[str, object]) -> dict[str, object]:
    """Return what was typed in some fields as a file holds it; None for one left empty."""
    return {one.key: typed_value(one, typed.get(one.key)) for one in fields}


def write_into(here: MutableMapping[str, Any], told: Mapping[str, object]) -> None:
    """Write values into a table of a file; what stands there already is not touched."""
    for key, value in told.items():
        if value is None:
            here.pop(key, None)
        elif key not in here or as_text(_plain(here[key])) != as_text(value):
            here[key] = value


def _table(document: Any, table: str, *, make: bool) -> Any:
    """Return a table of a document, made at its end if need be."""
    import tomlkit

    here = document
    for name in table.split("."):
        if name not in here:
            if not make:
                return None
            fresh: Table = tomlkit.table()
            here.append(name, fresh)
        here = here[name]
    return here


def _plain(item: Any) -> object:
    return item.unwrap() if hasattr(item, "unwrap") else item


def change_studio(folder: Path, table: str, typed: Mapping[str, object], today: date) -> None:
    """Change a table of the studio's file by what was typed.

    Raises
    ------
    StudioError
        If the file, or a brief that could be read before, could then not be read; nothing is
        written.
    """
    path = folder / STUDIO_FILE
    text = _edited(
        text_of(path, NEW_STUDIO),
        lambda document: _change_table(document, "studio", table, typed),
    )
    with tempfile.TemporaryDirectory() as aside:
        trial = Path(aside) / STUDIO_FILE
        trial.write_text(text, encoding="utf-8", newline="")
        _in_form(table, lambda: read_studio(trial, today))
        changed = StudioTables(trial, load(trial))
    for brief in briefs(folder):
        _still_readable(path, brief, changed, today)
    write_whole(path, text)


def _still_readable(path: Path, brief: Path, changed: StudioTables, today: date) -> None:
    """Hold that a brief of a studio which could be read before can be read with the changed one."""
    try:
        file = open_brief(brief)
        file.read(file.day_read(today))
    except StudioError:  # it could not be read before either
        return
    if file.studio is not None and file.studio.path.resolve() == path.resolve():
        replace(file, studio=changed).read(file.day_read(today))


def change_brief(
    folder: Path, edition: str, table: str, typed: Mapping[str, object], today: date
) -> None:
    """Change a table of an edition's brief by what was typed."""
    rewrite_brief(
        folder,
        edition,
        table,
        lambda document: _change_table(document, "edition", table, typed),
        today,
    )


def rewrite_brief(
    folder: Path, edition: str, table: str, change: Callable[[TOMLDocument], None], today: date
) -> None:
    """Write a changed brief if it can be read; complaints about the table are the form's.

    Parameters
    ----------
    folder : Path
        The studio's.
    edition : str
        The edition's id.
    table : str
        The table that is changed, such as ``"mold.parts[2]"``.
    change : callable
        Changes the document; what it does not touch stays to the byte.
    today : date
        The day it is.

    Raises
    ------
    StudioError
        If the brief could then not be read; nothing is written.
    """
    path = brief_path(folder, edition)
    if path is None:
        raise NotDoable(f"No brief of {edition} lies in the studio's folder.")
    text = _edited(text_of(path), change)
    fresh = path.with_suffix(".trial")
    try:
        fresh.write_text(text, encoding="utf-8", newline="")
        _in_form(table, lambda: read_begun_brief(fresh, today))
    finally:
        fresh.unlink(missing_ok=True)
    write_whole(path, text)


def _in_form(table: str, read: Any) -> None:
    """Read a file, and name a complaint about the form's own table by its field."""
    try:
        read()
    except BadInput as wrong:
        start = f"{table}."
        raise BadInput(
            for_form(one, one.path.removeprefix(start)) if one.path.startswith(start) else one
            for one in wrong.complaints
        ) from None


def for_form(complaint: Complaint, path: str) -> Complaint:
    """Return a complaint about a file's line as one about a form's field.

    Examples
    --------
    >>> for_form(Complaint("firing.glaze_load", '"x"', "write a number, such as glaze_load = 18"), "load").right
    'write a number, such as 18'
    """
    return replace(complaint, path=path, file="", right=_LINE.sub(r"such as \1", complaint.right))


def text_of(path: Path, otherwise: str = "") -> str:
    """Return a file's text to the byte, or another if there is no such file."""
    if not path.is_file():
        return otherwise
    load(path)  # what is wrong with it is told there
    with path.open(encoding="utf-8", newline="") as file:
        return file.read()


# --- the parts of a mold in an edition's brief, changed by forms: one part a form

MOST_PARTS = 50
"""A mold of more pieces is a slip of the hand: our own choice."""


def part_fields() -> tuple[FileField, ...]:
    """Return the fields of one part of a mold."""
    return fields_of("edition", "mold.parts[]")


def parts_told(path: Path) -> tuple[dict[str, str], ...]:
    """Return the parts that a brief tells, each by key as it could be typed.

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
    """Take one part of the mold out of a brief; the last one is refused."""
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
