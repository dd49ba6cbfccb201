"""An edition's brief, read whole with the studio it names: ``edition.toml``."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pourwright.briefs import records
from pourwright.briefs.checks import CHECKS, check_parts, recipe_volume_l, told_as
from pourwright.briefs.edition_fields import FIELDS
from pourwright.briefs.read_tables import (
    Values,
    raise_if_any,
    read_tables,
    schema_of,
)
from pourwright.briefs.records import Brief, Studio
from pourwright.briefs.shape_file import with_shape
from pourwright.briefs.studio_file import (
    STUDIO_FILE,
    build_studio,
    plaster_told,
    studio_values,
)
from pourwright.briefs.toml_file import load, tables_of
from pourwright.errors import BadInput
from pourwright.reading import Sheet

SCHEMA = schema_of(FIELDS)
WHOLE_MOLD = "whole mold"


@dataclass(frozen=True, slots=True)
class StudioTables:
    """A studio's file as it stands: its tables, or why they cannot be had."""

    path: Path
    tables: dict[str, Any] | None
    fault: BadInput | None = None


@dataclass(frozen=True, slots=True)
class BriefFile:
    """A brief as it stands in its file, and the file of the studio it names, each opened once.

    ``studio`` is None where what the brief names is no path.
    """

    path: Path
    tables: dict[str, Any]
    studio: StudioTables | None

    @property
    def edition_id(self) -> str:
        """The id that the brief gives its edition; empty if it gives none."""
        terms = self.tables.get("edition")
        found = terms.get("id") if isinstance(terms, dict) else None
        return found if isinstance(found, str) else ""

    @property
    def shape(self) -> Path | None:
        """The file of a shape that it names, if any; whether that can be read is not known yet."""
        terms = self.tables.get("mold")
        found = terms.get("shape") if isinstance(terms, dict) else None
        is_path = isinstance(found, str) and found.isprintable()
        return self.path.parent / found if is_path and found else None

    @property
    def folder(self) -> Path:
        """The folder of the studio's file."""
        return self.path.parent if self.studio is None else self.studio.path.parent

    def day_read(self, day: date) -> date:
        """Return the day on which it is read: its start or its deadline where that came before.

        A brief tells days ahead, so that one whose work has begun could not be read today.
        """
        terms = self.tables.get("edition")
        written = terms if isinstance(terms, dict) else {}
        days = (_day(written.get(key)) for key in ("start", "deadline"))
        return min([day, *(one for one in days if one)])

    def read(self, today: date) -> tuple[Brief, Studio]:
        """Return what the brief and its studio say; see `read_brief`."""
        sheet = Sheet(self.path.name, today)
        studio_sheet, studio = _read_studio(self, today, sheet)
        # the studio decides whose pint a pint is, and the currency
        sheet.units, sheet.currency = studio_sheet.units, studio_sheet.currency
        told = with_shape(self.tables, self.path.parent, sheet)
        values = read_tables(told.tables, SCHEMA, sheet, "brief")
        values.failed |= told.failed
        if not values.of_another_version:
            _work_out(values)
            for check in CHECKS:
                check(values, sheet)
            check_parts(values, sheet, studio)
            told.note_origins(values)
        raise_if_any(sheet.complaints + studio_sheet.complaints)
        assert studio is not None  # noqa: S101 - without it there is a complaint
        return _build_brief(values, studio), build_studio(studio)

    def with_text(self, text: str) -> BriefFile:
        """Return the same brief as another text has it, in the studio as it is now."""
        return replace(self, tables=tables_of(text, self.path.name))


def _day(written: object) -> date | None:
    """Return a day that stands in a file as a date; what is relative to today is never before it."""
    if isinstance(written, date):
        return written.date() if isinstance(written, datetime) else written
    try:
        return date.fromisoformat(written) if isinstance(written, str) else None
    except ValueError:
        return None


def open_briefs(paths: Iterable[Path]) -> list[BriefFile]:
    """Return briefs as they stand, a studio that several name opened once.

    Raises
    ------
    BadInput
        If a brief cannot be read at all; what is wrong in it is told when it is read.
    """
    studios: dict[Path, StudioTables] = {}
    return [_open(path, studios) for path in paths]


def open_brief(path: Path) -> BriefFile:
    """Return a brief as it stands; see `open_briefs`."""
    return _open(path, {})


def _open(path: Path, studios: dict[Path, StudioTables]) -> BriefFile:
    tables = load(path)
    written = tables.get("studio", STUDIO_FILE)
    if not isinstance(written, str) or not written.strip() or not written.isprintable():
        return BriefFile(path, tables, None)  # complained of as a field of the brief
    other = path.parent / written.strip()
    if other not in studios:
        try:
            studios[other] = StudioTables(other, load(other, written, STUDIO_FILE))
        except BadInput as fault:
            studios[other] = StudioTables(other, None, fault)
    return BriefFile(path, tables, studios[other])


def read_begun_brief(path: Path, today: date) -> tuple[Brief, Studio]:
    """Return what a brief says whose work may have begun; see `BriefFile.day_read`."""
    file = open_brief(path)
    return file.read(file.day_read(today))


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
    return open_brief(Path(path)).read(today)


def _read_studio(file: BriefFile, today: date, sheet: Sheet) -> tuple[Sheet, Values | None]:
    """Read the studio that a brief names, before the brief is looked into."""
    studio = file.studio
    studio_sheet = Sheet(STUDIO_FILE if studio is None else studio.path.name, today)
    if studio is None:
        return studio_sheet, None
    if studio.tables is None:
        for one in studio.fault.complaints if studio.fault else ():
            here = one if one.file else one.at("studio", sheet.file)
            studio_sheet.complaints.append(here)
        return studio_sheet, None
    return studio_sheet, studio_values(studio.tables, studio_sheet)


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


def _build_brief(values: Values, studio: Values) -> Brief:
    return Brief(
        edition=records.EditionTerms(**values.record("edition")),
        preparation=records.PreparationTerms(**values.record("preparation")),
        mold=_mold(values, studio),
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


def _mold(values: Values, studio: Values) -> records.MoldTerms:
    terms = values.record("mold")
    if not values.lists.get("mold.parts"):
        told, dry_kg = told_as(values, "mold"), values.get("mold.dry_mass")
        volume_l = _recipe_l(values, "mold", studio)
        batches = values.get("mold.batches")
        only = records.Part(
            WHOLE_MOLD, 1, told, None, volume_l, None, None, dry_kg, batches=batches
        )
        return records.MoldTerms(parts=(only,), **terms)
    parts = (_part(values, number, studio) for number in range(1, values.lists["mold.parts"] + 1))
    return records.MoldTerms(parts=tuple(parts), **terms)


def _recipe_l(values: Values, path: str, studio: Values) -> float | None:
    """Return the volume that a recipe gives; None where none is told. [l]"""
    plaster = plaster_told(studio)
    if plaster is None or values.get(f"{path}.mix_water") is None:
        return None
    return recipe_volume_l(values, path, plaster, studio.get("plaster.spare"))


def _part(values: Values, number: int, studio: Values) -> records.Part:
    path = f"mold.parts[{number}]"
    if (volume_l := _recipe_l(values, path, studio)) is not None:
        values.set_worked_out(f"{path}.volume", volume_l, "its batches, the spare taken off")
    if values.get(f"{path}.name") is None:
        values.set_worked_out(f"{path}.name", f"part {number}", "its place in the list")
    return records.Part(told_as=told_as(values, path), **values.record(path))


def _test_cast(values: Values) -> records.CastTest | None:
    given = values.record("casting.test")
    return records.CastTest(**given) if all(given.values()) else None


def _shrinkage(values: Values) -> records.Shrinkage | None:
    given = values.record("dimensions.shrinkage")
    return None if None in given.values() else records.Shrinkage(**given)
