"""A file's tables, read by a table of fields; everything wrong is kept, not raised."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.fields import FileField
from pourwright.briefs.read_field import FORMAT_VERSION, read_file_value
from pourwright.briefs.records import Origin, OriginKind
from pourwright.errors import BadInput, Complaint, as_written, did_you_mean
from pourwright.reading import MOST_ENTRIES, Sheet, missing, span_of

Schema: TypeAlias = dict[str, Any]
"""Key to a field, to a Schema (a table), or to a list with one Schema (a list of tables)."""

MOST_COMPLAINTS = 60
"""Shown at once; a file with more is not a brief."""

_BARE = re.compile(r"[-0-9.]+|true|false")
_PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]{1,40}")


@dataclass(slots=True)
class Values:
    """What was read: values by path, where each came from, and what could not be read."""

    by_path: dict[str, Any] = field(default_factory=dict)
    origins: dict[str, Origin] = field(default_factory=dict)
    attrs: dict[str, str] = field(default_factory=dict)
    lists: dict[str, int] = field(default_factory=dict)
    failed: set[str] = field(default_factory=set)
    of_another_version: bool = False

    def get(self, path: str) -> Any:  # the value's type depends on the path
        """Return a value, or None if it was not given or could not be read."""
        return self.by_path.get(path)

    def typed(self, path: str) -> str:
        """Return what was written, for a sentence."""
        origin = self.origins.get(path)
        text = origin.typed if origin and origin.typed is not None else str(self.get(path))
        return text if _BARE.fullmatch(text) else f'"{text}"'

    def was_written(self, path: str) -> bool:
        """Whether the file holds the field, readable or not."""
        origin = self.origins.get(path)
        return path in self.failed or (origin is not None and origin.kind in ("brief", "studio"))

    def set_worked_out(self, path: str, value: object, source: str) -> None:
        """Give a field the value that others lead to."""
        self.by_path[path] = value
        self.origins[path] = Origin("worked out", None, source)

    def record(self, table: str) -> dict[str, Any]:
        """Return a table's values by the names that its record gives them."""
        start = f"{table}."
        return {
            self.attrs[path]: value
            for path, value in self.by_path.items()
            if path.startswith(start) and "." not in path[len(start) :]
        }


def schema_of(fields: Iterable[FileField]) -> Schema:
    """Return the tree of tables that the fields' paths draw."""
    top: Schema = {}
    for one in fields:
        *tables, key = one.name.split(".")
        here = top
        for table in tables:
            if table.endswith("[]"):
                here = here.setdefault(table[:-2], [{}])[0]
            else:
                here = here.setdefault(table, {})
        here[key] = one
    return top


def read_tables(data: dict[str, Any], schema: Schema, sheet: Sheet, kind: OriginKind) -> Values:
    """Return every field's value, and leave the complaints on the sheet.

    Parameters
    ----------
    data : dict
        The file's tables.
    schema : dict
        See :func:`schema_of`.
    sheet : Sheet
        The file; it learns units, currency and country as they are read.
    kind : {"brief", "studio"}
        Which file it is, for the origins.
    """
    values = Values(of_another_version=not _knows_version(data, sheet))
    if not values.of_another_version:
        _walk(data, schema, "", sheet, values, kind)
    return values


def _knows_version(data: dict[str, Any], sheet: Sheet) -> bool:
    """Whether the file is of a version read here; another one is not looked into."""
    version = data.get("version", FORMAT_VERSION)
    if version == FORMAT_VERSION or not isinstance(version, int) or isinstance(version, bool):
        return True
    newer = version > FORMAT_VERSION
    sheet.complain(
        "version",
        as_written(version),
        f"this program reads version {FORMAT_VERSION}",
        "A newer release reads it." if newer else f"Write version = {FORMAT_VERSION}.",
    )
    return False


def _walk(
    data: dict[str, Any], schema: Schema, path: str, sheet: Sheet, values: Values, kind: OriginKind
) -> None:
    _complain_of_unknown(data, schema, path, sheet)
    for key, node in schema.items():
        here = f"{path}.{key}" if path else key
        if isinstance(node, FileField):
            _read_one(data, node, here, sheet, values, kind)
        elif isinstance(node, list):
            _walk_list(data.get(key), node[0], here, sheet, values, kind)
        elif (inner := _table(data, key, here, sheet, values)) is not None:
            _walk(inner, node, here, sheet, values, kind)


def _table(
    data: dict[str, Any], key: str, here: str, sheet: Sheet, values: Values
) -> dict[str, Any] | None:
    inner = data.get(key, {})
    if isinstance(inner, dict):
        return inner
    values.failed.add(here)
    sheet.complain(here, as_written(inner), f"it must be a table; write its fields below [{here}]")
    return None


def _walk_list(
    entries: object, schema: Schema, path: str, sheet: Sheet, values: Values, kind: OriginKind
) -> None:
    if entries is None:
        return
    if not isinstance(entries, list) or not all(isinstance(one, dict) for one in entries):
        values.failed.add(path)
        sheet.complain(
            path, as_written(entries), f"it must be a list of tables; write each below [[{path}]]"
        )
        return
    if len(entries) > MOST_ENTRIES:
        values.failed.add(path)
        sheet.complain(path, f"a list of {len(entries)}", f"at most {MOST_ENTRIES} are read")
        return
    values.lists[path] = len(entries)
    for number, entry in enumerate(entries, 1):
        _walk(entry, schema, f"{path}[{number}]", sheet, values, kind)


def _read_one(
    data: dict[str, Any], spec: FileField, path: str, sheet: Sheet, values: Values, kind: OriginKind
) -> None:
    values.attrs[path] = spec.name_in_record
    written = spec.key in data
    if not written and spec.required:
        values.failed.add(path)
        sheet.complaints.append(missing(spec, path, sheet))
        return
    raw = data[spec.key] if written else spec.default_for(sheet.units)
    if raw is None:
        values.by_path[path] = None
        values.origins[path] = Origin("default", None, spec.source)
        return
    try:
        values.by_path[path] = read_file_value(raw, spec, path, sheet)
    except BadInput as error:
        values.failed.add(path)
        sheet.complaints += [one.at(one.path or path, sheet.file) for one in error.complaints]
        return
    typed = _typed(raw)
    if spec.kind == "life" and span_of(raw):
        typed = f"{raw}, planned with the middle, {values.by_path[path]}"
    values.origins[path] = (
        Origin(kind, typed, "") if written else Origin("default", typed, spec.source)
    )
    _learn(path, values.by_path[path], sheet)


def _typed(raw: object) -> str:
    if isinstance(raw, list):
        return ", ".join(_typed(one) for one in raw) or "none"
    return raw if isinstance(raw, str) else as_written(raw)


def _learn(path: str, value: Any, sheet: Sheet) -> None:
    """Keep what later fields of the same file need to be read."""
    if path == "studio.units":
        sheet.units = value
    elif path == "studio.currency":
        sheet.currency = value
    elif path == "studio.country":
        sheet.country = value


def _complain_of_unknown(data: dict[str, Any], schema: Schema, path: str, sheet: Sheet) -> None:
    unknown = [key for key in data if key not in schema]
    for key in unknown[:MOST_COMPLAINTS]:
        shown = key if _PLAIN_KEY.fullmatch(key) else as_written(key)
        here = f"{path}.{shown}" if path else shown
        sheet.complain(
            here, as_written(data[key]), "there is no such field", _where_instead(key, schema, path)
        )


def _where_instead(key: str, schema: Schema, path: str) -> str:
    if key in _HOMES:
        return f"It belongs to {' or '.join(_HOMES[key])}."
    if hint := did_you_mean(key, schema, f"{path}." if path else ""):
        return hint
    if path:
        return f"Known in [{path}]: {', '.join(schema)}."
    return f"Known here: {', '.join(schema)}."


def _homes() -> dict[str, list[str]]:
    """Return where each name belongs, for a field that stands in the wrong table or file."""
    homes: dict[str, list[str]] = {}
    for file, fields in (
        ("edition.toml", edition_fields.FIELDS),
        ("studio.toml", studio_fields.FIELDS),
    ):
        for one in fields:
            if one.table:
                homes.setdefault(one.key, []).append(f"{one.name.replace('[]', '')} in {file}")
    return homes


_HOMES = _homes()


def raise_if_any(complaints: list[Complaint]) -> None:
    """Raise everything that is wrong, at once.

    Raises
    ------
    BadInput
        If there is any complaint.
    """
    if len(complaints) > MOST_COMPLAINTS:
        more = len(complaints) - MOST_COMPLAINTS
        last = Complaint("the rest", f"{more} more", "mend these first", "", complaints[0].file)
        complaints = [*complaints[:MOST_COMPLAINTS], last]
    if complaints:
        raise BadInput(complaints)
