"""Whether what an entry names is in the book."""

from __future__ import annotations

from collections.abc import Iterator

from pourwright.ledger.documents import (
    Document,
    FormDoc,
    LoadDoc,
    MoldDoc,
    PieceDoc,
    SpareDoc,
)
from pourwright.ledger.entry import Body
from pourwright.ledger.kinds.fields import Kind
from pourwright.ledger.labels import LETTERS, label
from pourwright.ledger.state.apply import counters
from pourwright.ledger.things import Things

DOCS_OF_LETTERS: dict[str, type[Document]] = {
    "M": MoldDoc,
    "P": PieceDoc,
    "L": LoadDoc,
    "F": FormDoc,
    "T": SpareDoc,
}
"""The documents of the editions that have labels."""


def labels_in(kind: Kind, body: Body) -> list[str]:
    """Return the labels that a body names, before or after they are looked up."""
    found: list[str] = []
    for field in kind.fields:
        value = body.get(field.name)
        if value is None or field.is_new:
            continue
        if field.kind in ("label", "piece") or field.name == "about":
            found.append(value)
        elif field.kind in ("labels", "pieces", "piece causes", "masses"):
            found += list(value)
        elif field.kind == "selection":
            found += value["some"] if isinstance(value, dict) and "some" in value else []
            found += value if isinstance(value, list) else []
    return [one for one in found if one[1:2] == "-"]


def unknown(things: Things, name: str, edition: str) -> Iterator[str]:
    """Yield why a label cannot be meant: it is not in the book, or of another edition.

    Parameters
    ----------
    things : Things
        The state.
    name : str
        The label; one of a lot passes, because a bag may be used before it is entered.
    edition : str
        The edition it should belong to.
    """
    kind = DOCS_OF_LETTERS.get(name[0])
    if kind is None:
        return
    doc = things.get(kind, name)
    if doc is None:
        word = next(word for word, letter in LETTERS.items() if letter == name[0])
        last = counters(things).highest(name[0])
        known = f"the last one is {label(name[0], last)}" if last else "there is none yet"
        yield f"There is no {word} {name} in the book; {known}."
    elif doc.edition != edition:
        yield f"{name} belongs to {doc.edition}, not to {edition}."
