"""The state worked out from entries: of the whole book, or of one scope as it was corrected."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import cast

from pourwright.ledger.documents import D, Document, FindingDoc, doc_text
from pourwright.ledger.entry import Body, Entry
from pourwright.ledger.findings import findings_about
from pourwright.ledger.state.apply import apply, count_labels
from pourwright.ledger.things import MemoryThings, Things, place

CORRECTED = "entry-corrected"


class QuickThings(MemoryThings):
    """Documents in memory that are handed out as they are, not as copies.

    ``apply`` puts whatever it has changed, and rules and findings change nothing; so a replay
    may spare the copies.

    Parameters
    ----------
    scope : str, optional
        The only scope that is kept here.
    base : Things, optional
        Where the documents of other scopes are read.
    """

    def __init__(self, scope: str | None = None, base: Things | None = None) -> None:
        super().__init__()
        self._docs: dict[str, dict[str, Document]] = {}
        self._scope, self._base = scope, base

    def get(self, kind: type[D], key: str) -> D | None:
        """Return a document, or None."""
        found = self._all(kind).get(key)
        if found is None and self._base is not None:
            other = self._base.get(kind, key)
            return other if other is not None and other.edition != self._scope else None
        return found

    def put(self, key: str, doc: Document) -> None:
        """Keep a document in place of the one of its kind and id."""
        self._docs.setdefault(doc.KIND, {})[key] = doc

    def of(self, kind: type[D], edition: str) -> list[tuple[str, D]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        if self._base is not None and edition != self._scope:
            return self._base.of(kind, edition)
        mine = [(key, doc) for key, doc in self._all(kind).items() if doc.edition == edition]
        return sorted(mine, key=place)

    def _all(self, kind: type[D]) -> dict[str, D]:
        # what stands under a record's kind was put as that record
        return cast(dict[str, D], self._docs.get(kind.KIND, {}))

    def rows(self, scope: str | None = None) -> Iterator[tuple[str, str, str, str]]:
        """Yield kind, id, scope and text of every document, or of those of one scope."""
        for kind, docs in self._docs.items():
            for key, doc in docs.items():
                if scope in {None, doc.edition}:
                    yield kind, key, doc.edition, doc_text(doc)

    def take(self, scope: str, others: QuickThings) -> None:
        """Put others' documents of a scope in place of all that are here of it."""
        for docs in self._docs.values():
            for key in [key for key, doc in docs.items() if doc.edition == scope]:
                del docs[key]
        for kind, docs in others._docs.items():
            self._docs.setdefault(kind, {}).update(docs)


class View:
    """Documents as they are before an entry: each is read once, and none is put.

    Rules and findings only look, so they may share what was read.

    Parameters
    ----------
    things : Things
        The state.
    zone : str
        The time zone of the entry.
    """

    def __init__(self, things: Things, zone: str) -> None:
        self.zone = zone
        self._things = things
        self._seen: dict[tuple[str, str], Document | None] = {}

    def get(self, kind: type[D], key: str) -> D | None:
        """Return a document that is not to be changed, or None."""
        both = kind.KIND, key
        if both not in self._seen:
            self._seen[both] = self._things.get(kind, key)
        return cast(D | None, self._seen[both])

    def put(self, key: str, doc: Document) -> None:
        """Refuse: who looks does not write."""
        raise AssertionError(f"{doc.KIND} {key} was put by a rule")

    def of(self, kind: type[D], edition: str) -> list[tuple[str, D]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        found = self._things.of(kind, edition)
        self._seen.update({(kind.KIND, key): doc for key, doc in found})
        return found


def take_in(things: Things, entry: Entry, before: Things | None = None) -> tuple[str, list[str]]:
    """Let an entry that no rule refuses change the state; keep what is odd about it.

    Returns
    -------
    tuple of str and list of str
        What the book now says, and the sentences of the findings.
    """
    found = findings_about(before or things, entry)
    said = apply(things, entry)
    seen = entry.body["what"] if "step" in entry.body else ""
    for place_of, (name, sentence) in enumerate(found):
        finding = FindingDoc(
            edition=entry.scope,
            entry=entry.id,
            seq=entry.seq,
            at=entry.at,
            what=name.removeprefix("finding_"),
            said=sentence,
            thing=seen,
        )
        things.put(f"{entry.id}/{place_of}", finding)
    return said, [sentence for _, sentence in found]


def effective(entries: Iterable[Entry]) -> list[Entry]:
    """Return a scope's entries as its corrections have them: in order, voided ones left out.

    A correction that was itself voided counts for nothing.

    Returns
    -------
    list of Entry
        No corrections among them.
    """
    in_order = list(entries)
    last: dict[str, Body] = {}
    for entry in reversed(in_order):  # the last word about an entry comes first
        mine = last.get(entry.id)
        if entry.kind == CORRECTED and (mine is None or not mine["void"]):
            last.setdefault(str(entry.corrects), entry.body)
    found = []
    for entry in in_order:
        word = last.get(entry.id)
        if entry.kind != CORRECTED and (word is None or not word["void"]):
            found.append(entry if word is None else corrected(entry, word))
    return found


def corrected(entry: Entry, word: Body) -> Entry:
    """Return an entry as a correction has it, whose body tells ``body`` and ``when``."""
    return replace(entry, body=word["body"], at=word.get("when") or entry.at)


def replay_scope(
    base: Things,
    scope: str,
    entries: Iterable[Entry],
    before: Callable[[Things, Entry], None] | None = None,
    after: Callable[[Entry, str], None] | None = None,
) -> QuickThings:
    """Return the documents of one scope, worked out from nothing.

    Parameters
    ----------
    base : Things
        Where the documents of other scopes are read.
    scope : str
        The scope.
    entries : iterable of Entry
        Its effective entries, in order.
    before : callable, optional
        Judges each entry before it is taken in.
    after : callable, optional
        Hears what the book says to each.
    """
    things = QuickThings(scope, base)
    for entry in entries:
        things.zone = entry.zone
        if before is not None:
            before(things, entry)
        said, _ = take_in(things, entry)
        if after is not None:
            after(entry, said)
    return things


def replay(entries: Iterable[Entry]) -> QuickThings:
    """Return the state of the whole book, worked out from nothing.

    Returns
    -------
    QuickThings
        Byte for byte what the living book holds.
    """
    things = QuickThings()
    by_scope: dict[str, list[Entry]] = {}
    for entry in entries:
        mine = by_scope.setdefault(entry.scope, [])
        mine.append(entry)
        if entry.kind == CORRECTED:
            things.take(entry.scope, replay_scope(things, entry.scope, effective(mine)))
            target = entry.body.get("kind")
            count_labels(things, str(target), entry.body.get("body") or {})
        else:
            take_in(things, entry)
            count_labels(things, entry.kind, entry.body)
    return things
