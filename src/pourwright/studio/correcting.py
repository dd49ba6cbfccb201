"""Correcting an entry by a form: its fields as they stand, and what was changed in them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pourwright.errors import BadInput
from pourwright.ledger.entry import moment_in
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.fields import Field, Kind
from pourwright.ledger.kinds.table import BY_KIND
from pourwright.ledger.replaying import CORRECTED, effective

Answer = dict[str, Any]
Do = Callable[[dict[str, Any]], Answer]


@dataclass(frozen=True, slots=True)
class ToCorrect:
    """An entry that can be corrected: its kind, and its fields as texts that could be typed.

    Parameters
    ----------
    seq : int
        Its place in the book.
    kind : Kind
        What it is.
    stands : dict of str
        Each field as it stands now, empty where it was not told.
    """

    seq: int
    kind: Kind
    stands: Mapping[str, str]


def to_correct(reading: Reading, seq: int) -> ToCorrect | None:
    """Return an entry as its form shows it; None if there is none, or it is itself a correction.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    seq : int
        Its place.
    """
    entry = reading.entry(seq)
    kind = BY_KIND.get(entry.kind) if entry else None
    if entry is None or kind is None or entry.kind == CORRECTED:
        return None
    told = [entry, *reading.entries(entry.scope, seq, (CORRECTED,))]
    now = next((one for one in effective(told) if one.seq == seq), entry)
    stands = {one.name: typed_text(one, now.body.get(one.name)) for one in kind.fields}
    return ToCorrect(seq, kind, stands | {"at": moment_in(now.at, entry.zone)})


def typed_text(field: Field, value: Any) -> str:
    """Return a field's value as it could be typed again.

    Examples
    --------
    >>> from pourwright.ledger.kinds.table import BY_VERB
    >>> field = BY_VERB["cast"].field("lost")
    >>> typed_text(field, {"stuck": 1, "warp": 2})
    '1 stuck, 2 warp'
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if field.type in ("quantity", "money", "readings"):
        return str(value["typed"])
    if field.type in ("causes", "counts"):
        return ", ".join(f"{count} {name}" for name, count in value.items())
    if field.type == "piece causes":
        return ", ".join(f"{label} {cause}" for label, cause in value.items())
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def correct(do: Do, entry: ToCorrect, typed: Mapping[str, Any]) -> Answer:
    """Have the book correct an entry by what was changed in its form.

    Parameters
    ----------
    do : callable
        Takes a command, as ``Book.do``.
    entry : ToCorrect
        The entry as the form showed it.
    typed : mapping
        What the form sent: its fields, ``why`` and ``id``.

    Raises
    ------
    StudioError
        If nothing was changed, or the book refuses it; a complaint names the form's field.
    """
    changes = {
        name: _sent(typed.get(name)) for name, stands in entry.stands.items()
        if _sent(typed.get(name)) != (_plain(stands) or None)
    }  # fmt: skip
    if not changes:
        raise BadInput.one("", None, "Nothing was changed. Change what was wrong, or go back.")
    command: dict[str, Any] = {"do": "correct", "entry": entry.seq, "changes": changes}
    command |= {name: typed[name] for name in ("id", "why") if typed.get(name)}
    try:
        return do(command)
    except BadInput as wrong:  # the form's fields are named without the command's own
        raise BadInput(
            replace(one, path=one.path.removeprefix("changes.")) for one in wrong.complaints
        ) from None


def _sent(value: Any) -> str | None:
    """Return what a form sent as text; None where the field was emptied, which takes it away."""
    text = ", ".join(map(str, value)) if isinstance(value, list) else str(value or "")
    return _plain(text) or None


def _plain(text: str) -> str:
    """Return a text as a form sends it back: line ends alike, nothing around it."""
    return text.replace("\r\n", "\n").strip()
