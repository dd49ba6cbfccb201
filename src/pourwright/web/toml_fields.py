"""Forms for the tables of a studio's or an edition's file, made from their fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from pourwright.web.forms import Form, Shown, filled
from pourwright.web.render import in_label_words

if TYPE_CHECKING:
    from pourwright.briefs.fields import Field

_DAYS = (
    ("mon", "Monday"), ("tue", "Tuesday"), ("wed", "Wednesday"), ("thu", "Thursday"),
    ("fri", "Friday"), ("sat", "Saturday"), ("sun", "Sunday"),
)  # fmt: skip


def table_form(
    action: str, fields: Iterable[Field], told: Mapping[str, Any], units: str, cancel: str
) -> Form:
    """Return the form of a table.

    Parameters
    ----------
    action : str
        Where it goes.
    fields : iterable of Field
        The table's fields.
    told : mapping
        What stands in them, by key.
    units : {"metric", "us"}
        Whose examples are shown.
    cancel : str
        The way out.
    """
    shown = [_shown(one, units) for one in fields]
    values = {
        name: value.split(", ") if name == "working_days" and isinstance(value, str) else value
        for name, value in told.items()
    }
    return Form(action=action, submit="Keep it", first=filled(shown, values), cancel=cancel)


def _shown(field: Field, units: str) -> Shown:
    hint = f"{field.meaning} {_empty_means(field)}"
    shown = Shown(
        name=field.key, label=in_label_words(field.key), kind="code", hint=hint,
        required=field.required, need="",
    )  # fmt: skip
    if field.kind == "choice":
        return _one_of(shown, [(one, one) for one in field.choices], is_required=field.required)
    if field.kind == "yes or no":
        return _one_of(shown, [("yes", "Yes"), ("no", "No")], is_required=field.required)
    if field.kind == "weekdays":
        return _with(shown, kind="choices", choices=_DAYS)
    example = field.example_for(units)
    such = ", ".join(map(str, example)) if isinstance(example, list) else str(example)
    mode = {"whole": "numeric", "number": "decimal"}.get(field.kind, "")
    return _with(shown, hint=f"{field.meaning} Such as: {such}. {_empty_means(field)}", inputmode=mode)  # fmt: skip


def _one_of(shown: Shown, choices: list[tuple[str, str]], *, is_required: bool) -> Shown:
    """Return a field of a few words; what need not be told can be left to its default."""
    usual = [] if is_required else [("", "Not told")]
    return _with(shown, kind="pick", choices=(*usual, *choices))


def _with(shown: Shown, **changed: Any) -> Shown:
    from dataclasses import replace

    return replace(shown, **changed)


def _empty_means(field: Field) -> str:
    if field.required:
        return ""
    if field.default in (None, []):
        return f"Empty: {field.source.removeprefix('not given: ')}."
    default = field.default
    words = ", ".join(map(str, default)) if isinstance(default, list) else str(default)
    yes_no = {True: "yes", False: "no"}
    words = yes_no[default] if isinstance(default, bool) else words
    return f"Empty means {words}; {field.source}."


def told_words(fields: Iterable[Field], told: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Return what is written in a table as lines of label, value and note.

    Parameters
    ----------
    fields : iterable of Field
        The table's fields.
    told : mapping
        What stands in them, by key.
    """
    return [(in_label_words(one.key), told[one.key], "") for one in fields if one.key in told]
