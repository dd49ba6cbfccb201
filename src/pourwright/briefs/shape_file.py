"""What ``pourwright shape --mold`` wrote of a model, as the parts that a brief names by one field."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import msgspec

from pourwright.briefs.read_tables import Values
from pourwright.reading import Sheet
from pourwright.shape.records import Shape

FIELD = "mold.shape"
MOST_BYTES = 2_000_000
"""A file with more is none that the command wrote."""

_INSTEAD = ("parts", "dry_mass", "mix_water")
_RIGHT = "name the file that pourwright shape MODEL --mold FOLDER wrote there; its name ends in -shape.json"


@dataclass(frozen=True, slots=True)
class ShapeTold:
    """A brief's tables with what a shape tells put in, which fields that were, and what failed."""

    tables: dict[str, Any]
    fields: tuple[str, ...] = ()
    source: str = ""
    failed: frozenset[str] = frozenset()

    def note_origins(self, values: Values) -> None:
        """Say of each field that a shape told it.

        Parameters
        ----------
        values : Values
            What was read of the tables.
        """
        for field in self.fields:
            values.set_worked_out(field, values.get(field), self.source)


def with_shape(tables: dict[str, Any], folder: Path, sheet: Sheet) -> ShapeTold:
    """Put the parts and the fill of the shape that a brief names in its tables.

    Parameters
    ----------
    tables : dict
        The brief's.
    folder : Path
        Where the brief lies.
    sheet : Sheet
        Collects what is wrong.
    """
    mold = tables.get("mold")
    name = mold.get("shape") if isinstance(mold, dict) else None
    if not isinstance(mold, dict) or not isinstance(name, str) or not name.isprintable():
        return ShapeTold(tables)  # what is no text is complained of as a field
    for key in _INSTEAD:
        if key in mold:
            right = f"mold.{key} is told too; keep one of the two"
            sheet.complain(FIELD, f'"{name}"', right)
            return ShapeTold(tables, failed=frozenset({"mold"}))
    shape = read_shape(folder / name)
    if shape is None or shape.mold is None:
        sheet.complain(FIELD, f'"{name}"', _RIGHT)
        return ShapeTold(tables, failed=frozenset({"mold"}))
    parts = [{"name": one.name, "volume": f"{one.volume_l:.9f} l"} for one in shape.mold.parts]
    fields = [
        f"mold.parts[{number}].{key}" for number in range(1, len(parts) + 1) for key in parts[0]
    ]
    told = {**tables, "mold": {**mold, "parts": parts}}
    casting = tables.get("casting", {})
    if isinstance(casting, dict) and "fill" not in casting:
        told["casting"] = {**casting, "fill": f"{shape.mold.fill_l:.9f} l"}
        fields.append("casting.fill")
    look = shape.look
    return ShapeTold(told, tuple(fields), f"the shape of {look.file}, SHA-256 {look.sha256[:12]}")


def read_shape(path: Path) -> Shape | None:
    """Return what a shape's file tells, None if it cannot be had or is none.

    Parameters
    ----------
    path : Path
        The file.
    """
    try:
        if not path.is_file() or path.stat().st_size > MOST_BYTES:
            return None
        return msgspec.json.decode(path.read_bytes(), type=Shape)
    except (OSError, ValueError, msgspec.MsgspecError):
        return None
