"""Documents that were read, and what was worked out from them, kept while they hold.

Pages read the same few editions again and again. What was read at one entry of the book still
holds at a later one in every scope that nothing was written in since.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any, TypeVar

from pourwright.ledger.things import Things

MOST_CHARS = 4_000_000
"""Documents that are kept, in characters; beyond that all of them are let go."""
MOST_WORKED_OUT = 2_000
COUNTS = "book"
"""The scope of the label counters, which belong to no edition."""
Made = TypeVar("Made")


class Kept:
    """What readers share, as the book is at one entry.

    Parameters
    ----------
    digest : str
        The digest of the last entry.
    seq : int
        Its place.
    """

    def __init__(self, digest: str, seq: int) -> None:
        self.digest, self.seq = digest, seq
        self.docs: dict[tuple[str, str], tuple[str, str] | None] = {}
        self.lists: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {}
        self.worked_out: dict[tuple[str, object], tuple[Any]] = {}
        self.chars = 0

    def hold(self, kind: str, key: str, kept: tuple[str, str] | None) -> None:
        """Keep one document: its scope and text, or that there is none."""
        self._make_room(len(kept[1]) if kept else 40)
        self.docs[kind, key] = kept

    def hold_list(self, kind: str, scope: str, rows: tuple[tuple[str, str], ...]) -> None:
        """Keep all documents of a kind in a scope: ids and texts, in their order."""
        self._make_room(sum(len(text) for _, text in rows))
        self.lists[kind, scope] = rows

    def _make_room(self, chars: int) -> None:
        self.chars += chars
        if self.chars > MOST_CHARS:
            self.docs, self.lists, self.worked_out = {}, {}, {}
            self.chars = chars

    def after(self, scopes: Collection[str], digest: str, seq: int) -> Kept:
        """Return what still holds at a later entry.

        Parameters
        ----------
        scopes : collection of str
            Those that something was written in since; any entry may count labels.
        digest : str
            The digest of the later entry.
        seq : int
            Its place.
        """
        gone = {COUNTS, *scopes}
        later = Kept(digest, seq)
        # what was looked for and not found may be there now
        later.docs = {
            k: v for k, v in list(self.docs.items()) if v is not None and v[0] not in gone
        }
        later.lists = {k: v for k, v in list(self.lists.items()) if k[1] not in gone}
        later.worked_out = {k: v for k, v in list(self.worked_out.items()) if k[0] not in gone}
        later.chars = self.chars
        return later


def once(things: Things, scope: str, name: object, make: Callable[[], Made]) -> Made:
    """Return what was made from the documents of a scope; made again only if they changed.

    Parameters
    ----------
    things : Things
        The book's documents. Those of a replay or of a transaction that writes keep nothing.
    scope : str
        The edition, or "studio", all of whose documents were looked at and no other.
    name : hashable
        What was made, with everything else that it rests on.
    make : callable
        Makes it; what it returns is shared and not to be changed.
    """
    kept = getattr(things, "kept", None)
    if kept is None:
        return make()
    found = kept.worked_out.get((scope, name))
    if found is None:
        if len(kept.worked_out) >= MOST_WORKED_OUT:
            kept.worked_out = {}
        found = kept.worked_out[scope, name] = (make(),)
    made: Made = found[0]
    return made
