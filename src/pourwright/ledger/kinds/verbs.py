"""The book's table of verbs, for doors that make commands and forms of it; light to import."""

from __future__ import annotations

from pourwright.ledger.kinds.fields import ENVELOPE
from pourwright.ledger.kinds.fields import Field as Field
from pourwright.ledger.kinds.fields import Kind as Kind
from pourwright.ledger.kinds.table import BY_VERB

USUAL: tuple[Field, ...] = ENVELOPE
"""The fields that every command may have."""


def verb_names() -> list[str]:
    """Return every verb, in the order of the guide."""
    return list(BY_VERB)


def verb_named(name: str) -> Kind | None:
    """Return a verb, or None if there is none of that name."""
    return BY_VERB.get(name)
