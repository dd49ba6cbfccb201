"""An edition's brief, read whole with the studio it names: ``edition.toml``."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pourwright.briefs import records
from pourwright.briefs.checks import CHECKS, check_parts, told_as
from pourwright.briefs.edition_fields import FIELDS
from pourwright.briefs.read_tables import (
    Values,
    raise_if_any,
    read_tables,
    schema_of,
)
from pourwright.briefs.records import Brief, Studio
from pourwright.briefs.studio_file import build_studio, read_studio_values
from pourwright.briefs.toml_file import load
from pourwright.errors import BadInput
from pourwright.reading import Sheet

SCHEMA = schema_of(FIELDS)
WHOLE_MOLD = "whole mold"


def read_brief(path: Path | str, today: date) -> tuple[Brief, Studio]:
    """Return what a brief and its studio say.

    Parameters
    ----------
    path : Path or str
        The brief; it names the studio's file, which lies beside it if not told.
    today : date
        The day from which is counted.

    Returns
    -------
    tuple of Brief and Studio
        Every field of both, in house units.

    Raises
    ------
    BadInput
        With a complaint for each thing that is wrong in either file.
    """
    path = Path(path)
    data = load(path)
    sheet = Sheet(path.name, today)
    studio_sheet, studio = _studio_beside(data, path, today, sheet)
    # the studio decides whose pint a pint is, and the currency
    sheet.units, sheet.currency = studio_sheet.units, studio_sheet.currency
    values = read_tables(data, SCHEMA, sheet, "brief")
    if not values.of_another_version:
        _work_out(values)
        for check in CHECKS:
            check(values, sheet)
        check_parts(values, sheet, studio)
    raise_if_any(sheet.complaints + studio_sheet.complaints)
    assert studio is not None  # noqa: S101 - without it there is a complaint
    return _build_brief(values), build_studio(studio)


def _studio_beside(
    data: dict[str, Any], path: Path, today: date, sheet: Sheet
) -> tuple[Sheet, Values | None]:
    """Read the studio that a brief names, before the brief is looked into."""
    written = data.get("studio", "studio.toml")
    studio_sheet = Sheet("studio.toml", today)
    if not isinstance(written, str) or not written.strip() or not written.isprintable():
        return studio_sheet, None  # complained of as a field of the brief
    other = path.parent / written.strip()
    studio_sheet.file = other.name
    try:
        return studio_sheet, read_studio_values(other, studio_sheet, written)
    except BadInput as error:
        for one in error.complaints:
            here = one if one.file else one.at("studio", sheet.file)
            studio_sheet.complaints.append(here)
        return studio_sheet, None


def _work_out(values: Values) -> None:
    """Give the fields that others lead to their values."""
    if values.get("edition.name") is None and values.get("edition.id"):
        values.set_worked_out("edition.name", values.get("edition.id"), "the edition's id")
    load_of = values.get("firing.glaze_load")
    if load_of is None:
        return
    for key, pieces in (("bisque", load_of * 3 // 2), ("third", load_of)):
        path = f"firing.{key}_load"
        if values.get(path) is None and path not in values.failed:
            values.set_worked_out(path, pieces, values.origins[path].source)


def _build_brief(values: Values) -> Brief:
    return Brief(
        edition=records.EditionTerms(**values.record("edition")),
        preparation=records.PreparationTerms(**values.record("preparation")),
        mold=_mold(values),
        casting=records.CastingTerms(test=_test_cast(values), **values.record("casting")),
        work=records.WorkTerms(**values.record("work")),
        losses=records.LossTerms(**values.record("losses")),
        firing=records.FiringTerms(**values.record("firing")),
        glaze=records.GlazeTerms(**values.record("glaze")),
        dimensions=records.DimensionTerms(
            shrinkage=_shrinkage(values), **values.record("dimensions")
        ),
        numbers=records.NumberTerms(**values.record("numbers")),
        surplus=records.SurplusTerms(**values.record("surplus")),
        sale=records.SaleTerms(**values.record("sale")),
        origins=MappingProxyType(values.origins),
    )


def _mold(values: Values) -> records.MoldTerms:
    whole = values.get("mold.dry_mass")
    if whole is not None:
        only = records.Part(WHOLE_MOLD, 1, "dry mass", None, None, None, None, whole)
        return records.MoldTerms(parts=(only,), **values.record("mold"))
    parts = (_part(values, number) for number in range(1, values.lists["mold.parts"] + 1))
    return records.MoldTerms(parts=tuple(parts), **values.record("mold"))


def _part(values: Values, number: int) -> records.Part:
    path = f"mold.parts[{number}]"
    if values.get(f"{path}.name") is None:
        values.set_worked_out(f"{path}.name", f"part {number}", "its place in the list")
    return records.Part(told_as=told_as(values, path), **values.record(path))


def _test_cast(values: Values) -> records.CastTest | None:
    given = values.record("casting.test")
    return records.CastTest(**given) if all(given.values()) else None


def _shrinkage(values: Values) -> records.Shrinkage | None:
    given = values.record("dimensions.shrinkage")
    return None if None in given.values() else records.Shrinkage(**given)
