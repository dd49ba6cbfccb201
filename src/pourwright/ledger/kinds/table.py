"""Every kind of entry, in one table: what a command may say, and what it is called after."""

from __future__ import annotations

from pourwright.errors import BadInput, as_written, did_you_mean
from pourwright.ledger.kinds.edition import EDITION_KINDS, FORM_KINDS
from pourwright.ledger.kinds.fields import ENVELOPE, Kind
from pourwright.ledger.kinds.fields import BookField as BookField
from pourwright.ledger.kinds.molds import MOLD_KINDS
from pourwright.ledger.kinds.pieces import PIECE_KINDS
from pourwright.ledger.kinds.record import RECORD_KINDS
from pourwright.ledger.kinds.ware import WARE_KINDS

GROUPS: tuple[tuple[str, tuple[Kind, ...]], ...] = (
    ("The edition", EDITION_KINDS),
    ("Original, block mold and masters", FORM_KINDS),
    ("Molds", MOLD_KINDS),
    ("Casts and ware", WARE_KINDS),
    ("Marked pieces", PIECE_KINDS),
    ("Lots, counts, notes and clocks", RECORD_KINDS),
)
"""The table in its parts, each under what it is about."""

KINDS: tuple[Kind, ...] = tuple(kind for _, kinds in GROUPS for kind in kinds)
"""The table, in the order of the guide."""

BY_VERB: dict[str, Kind] = {one.verb: one for one in KINDS}
BY_KIND: dict[str, Kind] = {one.kind: one for one in KINDS}


def kind_of(verb: object) -> Kind:
    """Return the kind that a verb stands for.

    Raises
    ------
    BadInput
        If there is no such verb.

    Examples
    --------
    >>> kind_of("cast").kind
    'casts-made'
    """
    found = BY_VERB.get(verb) if isinstance(verb, str) else None
    if found is not None:
        return found
    shown = None if verb is None else as_written(verb)
    right = f"write one of {', '.join(BY_VERB)}"
    hint = "" if verb is None else did_you_mean(verb, BY_VERB)
    raise BadInput.one("do", shown, right, hint)


# --- the book's table of verbs, for doors that make commands and forms of it; light to import

USUAL: tuple[BookField, ...] = ENVELOPE
"""The fields that every command may have."""


def verb_names() -> list[str]:
    """Return every verb, in the order of the guide."""
    return list(BY_VERB)


def verb_named(name: str) -> Kind | None:
    """Return a verb, or None if there is none of that name."""
    return BY_VERB.get(name)
