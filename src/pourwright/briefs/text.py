"""The two files as text, every field in them, each with what it means.

What is not set is commented out with the value that holds without it, so that
reading the file says honestly which values are the maker's own.
"""

from __future__ import annotations

import json
import textwrap
from collections.abc import Mapping, Sequence
from datetime import date

from pourwright.briefs.fields import FileField, FileTable
from pourwright.briefs.read_field import read_file_value
from pourwright.quantities import show
from pourwright.reading import Sheet

_WIDTH = 96
_ANY_DAY = date.min  # no quantity depends on it
_SHOWN_IN_US = ("mass", "volume", "length", "area", "liter weight", "coat")


def file_text(
    heading: str,
    fields: Sequence[FileField],
    tables: Sequence[FileTable],
    given: Mapping[str, object],
    lists: Mapping[str, Sequence[Mapping[str, object]]],
    units: str,
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

    Returns
    -------
    str
        TOML.
    """
    lines = [*_comment(heading), ""]
    for one in _in_table(fields, ""):
        lines += _field_lines(one, given.get(one.name), units)
    for table in tables:
        inside = _in_table(fields, table.name)
        if table.name.endswith("[]"):
            lines += _list_lines(table, inside, lists.get(table.name[:-2], ()), units)
        else:
            lines += ["", *_comment(table.about), f"[{table.name}]", ""]
            for one in inside:
                lines += _field_lines(one, given.get(one.name), units)
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
) -> list[str]:
    name = f"[[{table.name[:-2]}]]"
    lines = ["", *_comment(table.about)]
    for entry in entries:
        lines += [name, ""]
        for one in fields:
            lines += _field_lines(one, entry.get(one.key), units)
    if not entries:
        lines += [f"#{name}", ""]
        for one in fields:
            lines += _field_lines(one, None, units)
    return lines


def _field_lines(spec: FileField, value: object, units: str) -> list[str]:
    about = [*_comment(spec.meaning), *_comment(_left_out(spec, units))]
    if value is not None:
        return [*about, f"{spec.key} = {toml_value(value)}", ""]
    shown = spec.default if spec.default not in (None, []) else spec.example_for(units)
    return [*about, f"#{spec.key} = {toml_value(shown)}", ""]


def _left_out(spec: FileField, units: str) -> str:
    """Return what holds without the line, and where that comes from."""
    if spec.required:
        return "It must be there."
    if spec.default in (None, []):
        return f"Without this line: {spec.source.removeprefix('not given: ')}."
    return f"Without this line: {toml_value(spec.default)}{_in_us(spec, units)}; {spec.source}."


def _in_us(spec: FileField, units: str) -> str:
    if units != "us" or spec.dimension not in _SHOWN_IN_US:
        return ""
    value = read_file_value(spec.default, spec, spec.name, Sheet("", _ANY_DAY, "us"))
    return f" ({show(value, spec.dimension, 'us')})" if isinstance(value, float) else ""


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(text, _WIDTH - 2, break_on_hyphens=False)]
