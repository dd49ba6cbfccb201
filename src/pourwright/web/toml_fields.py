"""Forms for the tables of a studio's or an edition's file, made from their fields."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pourwright.briefs.editing import as_text, fields_of, stands, tables_in
from pourwright.report.saying import day
from pourwright.web.forms import Form, Shown, Typed, filled, measured, priced
from pourwright.web.render import in_label_words

if TYPE_CHECKING:
    from pourwright.briefs.fields import FileField

TITLES = {
    "studio": "The room",
    "time": "Working days",
    "plaster": "Plaster",
    "pouring": "Pouring",
    "drying": "Drying",
    "kiln": "Kiln",
    "slip": "Slip",
    "shop": "What is bought at a time",
    "prices": "Costs",
    "edition": "What is declared",
    "preparation": "Before the molds",
    "mold": "Mold",
    "casting": "Casting",
    "casting.test": "Test cast",
    "work": "Hands-on time",
    "losses": "Losses",
    "firing": "Firing",
    "glaze": "Glaze",
    "dimensions": "Dimensions",
    "dimensions.shrinkage": "Shrinkage",
    "numbers": "Numbers",
    "surplus": "Surplus",
    "sale": "Sale",
}
"""What the tables of the two files are called on a page."""

_DAYS = (
    ("mon", "Monday"),
    ("tue", "Tuesday"),
    ("wed", "Wednesday"),
    ("thu", "Thursday"),
    ("fri", "Friday"),
    ("sat", "Saturday"),
    ("sun", "Sunday"),
)


def table_form(
    action: str,
    fields: Iterable[FileField],
    told: Typed,
    units: str,
    cancel: str,
    *,
    currency: str = "",
) -> Form:
    """Return the form of a table, with what is told in it by key."""
    shown = [_shown(one, units, currency) for one in fields]
    values = {
        name: value.split(", ") if name == "working_days" and isinstance(value, str) else value
        for name, value in told.items()
    }
    return Form(action=action, submit="Keep it", first=filled(shown, values), cancel=cancel)


def _shown(field: FileField, units: str, currency: str) -> Shown:
    hint = f"{field.meaning} {_empty_means(field)}"
    shown = Shown(
        field.key,
        in_label_words(field.key),
        kind="code",
        hint=hint,
        required=field.required,
        need="",
        later=not field.required,
        usual=_usual(field),
    )
    if field.kind == "choice":
        return _one_of(shown, [(one, one) for one in field.choices], is_required=field.required)
    if field.kind == "yes or no":
        return _one_of(shown, [("yes", "Yes"), ("no", "No")], is_required=field.required)
    if field.kind == "weekdays":
        return replace(shown, kind="choices", choices=_DAYS)
    example = field.example_for(units)
    such = ", ".join(map(str, example)) if isinstance(example, list) else str(example)
    # a list is written with commas, which a number pad may not have
    mode = (
        ""
        if field.many
        else {"whole": "numeric", "loads a week": "decimal", "number": "decimal"}.get(
            field.kind, ""
        )
    )
    hint = f"{field.meaning} Such as: {such}. {_empty_means(field)}"
    shown = replace(shown, hint=hint, inputmode=mode)
    if field.kind == "money":
        return priced(shown, such, currency)
    if field.kind in ("quantity", "water"):
        # how long a thing takes is told in the unit of what is usual
        usual = _usual(field) if field.dimension == "duration" else ""
        return measured(shown, field.dimension, usual or such, units)
    return shown


def _one_of(shown: Shown, choices: list[tuple[str, str]], *, is_required: bool) -> Shown:
    """Return a field of a few words; what need not be told can be left to its default."""
    usual = [] if is_required else [("", "Not told")]
    return replace(shown, kind="pick", choices=(*usual, *choices))


def _empty_means(field: FileField) -> str:
    if field.required:
        return ""
    usual = _usual(field)
    if not usual:
        return f"Empty: {field.source.removeprefix('not given: ')}."
    return f"Empty means {usual}; {field.source}."


def _usual(field: FileField) -> str:
    """Return what holds while a field is empty, as it could be typed; empty if nothing does."""
    return "" if field.default in (None, []) else as_text(field.default)


@dataclass(frozen=True, slots=True)
class TableShown:
    """What a file tells in a table: its title, what it is about, where it is changed, its values."""

    name: str
    title: str
    about: str
    to: str
    values: dict[str, str]


def tables_told(file: str, path: Path | None, to: str, units: str) -> list[TableShown]:
    """Return what a "studio" or an "edition" file tells, table by table; nothing without a path."""
    tables = []
    for one in tables_in(file):
        fields = fields_of(file, one.name)
        told = {} if path is None else stands(path, one.name, fields)
        days = [field.key for field in fields if field.kind == "date" and field.key in told]
        told |= {key: _day_told(told[key], units) for key in days}
        tables.append(TableShown(one.name, TITLES[one.name], one.about, f"{to}/{one.name}", told))
    return tables


def _day_told(text: str, units: str) -> str:
    try:
        return day(date.fromisoformat(text), weekday=False, units=units)
    except ValueError:  # what is wrong with it stands above
        return text
