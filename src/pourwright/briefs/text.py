"""The two files as text, every field in them, each with what it means.

What is not set is commented out with the value that holds without it, so that
reading the file says honestly which values are the maker's own.
"""

from __future__ import annotations

import json
import textwrap
from collections.abc import Callable, Mapping, Sequence
from typing import TypeAlias

from pourwright.briefs.fields import FileField, FileTable

_WIDTH = 96
LinesOf: TypeAlias = Callable[[FileField, object, str], list[str]]


def file_text(
    heading: str,
    fields: Sequence[FileField],
    tables: Sequence[FileTable],
    given: Mapping[str, object],
    lists: Mapping[str, Sequence[Mapping[str, object]]],
    units: str,
    *,
    short: bool = False,
) -> str:
    """Return a commented file that reads back to what is given.

    Parameters
    ----------
    heading : str
        What the file is, for its first lines.
    fields, tables : sequence
        The file's table of fields.
    given : mapping
        Value by path, as it is to be written.
    lists : mapping
        Entries of each list of tables, by its path without the brackets.
    units : {"metric", "us"}
        The studio's units, for the examples.
    short : bool
        Whether a field is told in two lines, without what holds if it is left out.

    Returns
    -------
    str
        TOML.
    """
    lines_of = _short_lines if short else _field_lines
    lines = [*_comment(heading), ""]
    for one in _in_table(fields, ""):
        lines += lines_of(one, given.get(one.name), units)
    for table in tables:
        inside = _in_table(fields, table.name)
        entries = lists.get(table.name[:-2], ())
        if not inside or (short and table.name.endswith("[]") and not entries):
            continue
        if table.name.endswith("[]"):
            lines += _list_lines(table, inside, entries, units, lines_of)
        else:
            lines += ["", *([] if short else _comment(table.about)), f"[{table.name}]"]
            lines += [] if short else [""]
            for one in inside:
                lines += lines_of(one, given.get(one.name), units)
    return "\n".join(lines).rstrip() + "\n"


def toml_value(value: object) -> str:
    """Return a value as TOML writes it.

    Examples
    --------
    >>> toml_value(["mon", 2]), toml_value(True)
    ('["mon", 2]', 'true')
    """
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(toml_value(one) for one in value)}]"
    # TOML's basic strings know the escapes that JSON writes
    return json.dumps(value, ensure_ascii=False)


def _in_table(fields: Sequence[FileField], table: str) -> list[FileField]:
    return [one for one in fields if one.table == table]


def _list_lines(
    table: FileTable,
    fields: Sequence[FileField],
    entries: Sequence[Mapping[str, object]],
    units: str,
    lines_of: LinesOf,
) -> list[str]:
    name = f"[[{table.name[:-2]}]]"
    lines = ["", *_comment(table.about)]
    for entry in entries:
        lines += [name] if lines_of is _short_lines else [name, ""]
        for one in fields:
            lines += lines_of(one, entry.get(one.key), units)
    if not entries:
        lines += [f"#{name}", ""]
        for one in fields:
            lines += lines_of(one, None, units)
    return lines


def _short_lines(spec: FileField, value: object, units: str) -> list[str]:
    """Return a field in two lines; a part's in one, since each part has it again."""
    if value is not None:
        line = f"{spec.key} = {toml_value(value)}"
    else:
        default = spec.default_for(units)
        shown = default if default not in (None, []) else spec.example_for(units)
        line = f"#{spec.key} = {toml_value(shown)}"
    return [line] if "[]" in spec.name else [*_comment(spec.meaning), line]


def _field_lines(spec: FileField, value: object, units: str) -> list[str]:
    about = [*_comment(spec.meaning), *_comment(_left_out(spec, units))]
    if value is not None:
        return [*about, f"{spec.key} = {toml_value(value)}", ""]
    default = spec.default_for(units)
    shown = default if default not in (None, []) else spec.example_for(units)
    return [*about, f"#{spec.key} = {toml_value(shown)}", ""]


def _left_out(spec: FileField, units: str) -> str:
    """Return what holds without the line, and where that comes from."""
    if spec.required:
        return "It must be there."
    default = spec.default_for(units)
    if default in (None, []):
        return f"Without this line: {spec.source.removeprefix('not given: ')}."
    return f"Without this line: {toml_value(default)}; {spec.source}."


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(text, _WIDTH - 2, break_on_hyphens=False)]
