"""Documents that were read, kept while they hold.

Pages read the same few editions again and again. What was read at one entry of the book still
holds at a later one in every scope that nothing was written in since.
"""

from __future__ import annotations

from collections.abc import Collection

MOST_CHARS = 4_000_000
"""Documents that are kept, in characters; beyond that all of them are let go."""
COUNTS = "book"
"""The scope of the label counters, which belong to no edition."""


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
            self.docs, self.lists = {}, {}
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
        later.chars = self.chars
        return later
