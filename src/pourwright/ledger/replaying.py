"""The state worked out from entries: of the whole book, or of one scope as it was corrected."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from pourwright.ledger.entry import Entry
from pourwright.ledger.findings import find
from pourwright.ledger.state.apply import apply, count_labels
from pourwright.ledger.things import Doc, MemoryThings, Things, doc_text, place

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
        self._docs: dict[str, dict[str, Doc]] = {}
        self._scope, self._base = scope, base

    def get(self, kind: str, key: str) -> Doc | None:
        """Return a document, or None."""
        docs = self._docs.get(kind)
        found = None if docs is None else docs.get(key)
        if found is None and self._base is not None:
            other = self._base.get(kind, key)
            return other if other is not None and other.get("edition") != self._scope else None
        return found

    def put(self, kind: str, key: str, doc: Doc) -> None:
        """Keep a document in place of the one with its kind and id."""
        self._docs.setdefault(kind, {})[key] = doc

    def of(self, kind: str, edition: str) -> list[tuple[str, Doc]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        if self._base is not None and edition != self._scope:
            return self._base.of(kind, edition)
        docs = self._docs.get(kind, {})
        mine = [(key, doc) for key, doc in docs.items() if doc["edition"] == edition]
        return sorted(mine, key=place)

    def rows(self, scope: str | None = None) -> Iterator[tuple[str, str, str, str]]:
        """Yield kind, id, scope and text of every document, or of those of one scope."""
        for kind, docs in self._docs.items():
            for key, doc in docs.items():
                if scope in {None, doc["edition"]}:
                    yield kind, key, doc["edition"], doc_text(doc)

    def take(self, scope: str, others: QuickThings) -> None:
        """Put the documents of a scope in place of all that are here of it.

        Parameters
        ----------
        scope : str
            The scope.
        others : QuickThings
            Where the documents are.
        """
        for docs in self._docs.values():
            for key in [key for key, doc in docs.items() if doc["edition"] == scope]:
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
        self._seen: dict[tuple[str, str], Doc | None] = {}

    def get(self, kind: str, key: str) -> Doc | None:
        """Return a document that is not to be changed, or None."""
        both = kind, key
        if both not in self._seen:
            self._seen[both] = self._things.get(kind, key)
        return self._seen[both]

    def put(self, kind: str, key: str, doc: Doc) -> None:
        """Refuse: who looks does not write."""
        raise AssertionError(f"{kind} {key} was put by a rule: {len(doc)} fields")

    def of(self, kind: str, edition: str) -> list[tuple[str, Doc]]:
        """Return ids and documents of a kind in a scope, shorter ids first."""
        found = self._things.of(kind, edition)
        self._seen.update({(kind, key): doc for key, doc in found})
        return found


def take_in(things: Things, entry: Entry, before: Things | None = None) -> tuple[str, list[str]]:
    """Let an entry that no rule refuses change the state; keep what is odd about it.

    Parameters
    ----------
    things : Things
        The state.
    entry : Entry
        What happened; no correction.
    before : Things, optional
        The same state, for those who only look.

    Returns
    -------
    tuple of str and list of str
        What the book now says, and the sentences of the findings.
    """
    found = find(before or things, entry)
    said = apply(things, entry)
    for place_of, (name, sentence) in enumerate(found):
        doc = {
            "edition": entry.scope, "entry": entry.id, "seq": entry.seq, "at": entry.at,
            "what": name.removeprefix("finding_"), "said": sentence,
        }  # fmt: skip
        things.put("finding", f"{entry.id}/{place_of}", doc)
    return said, [sentence for _, sentence in found]


def effective(entries: Iterable[Entry]) -> list[Entry]:
    """Return a scope's entries as its corrections have them: in order, voided ones left out.

    A correction that was itself voided counts for nothing.

    Parameters
    ----------
    entries : iterable of Entry
        Every entry of the scope, corrections among them.

    Returns
    -------
    list of Entry
        No corrections among them.
    """
    in_order = list(entries)
    last: dict[str, Mapping[str, Any]] = {}
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


def corrected(entry: Entry, word: Mapping[str, Any]) -> Entry:
    """Return an entry as a correction has it.

    Parameters
    ----------
    entry : Entry
        As it was written.
    word : mapping
        The correction's body: ``body`` and ``when``.
    """
    return replace(entry, body=word["body"], at=word.get("when") or entry.at)


def replay_scope(
    base: Things,
    scope: str,
    entries: Iterable[Entry],
    before: Callable[[Things, Entry], None] | None = None,
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

    Returns
    -------
    QuickThings
    """
    things = QuickThings(scope, base)
    for entry in entries:
        things.zone = entry.zone
        if before is not None:
            before(things, entry)
        take_in(things, entry)
    return things


def replay(entries: Iterable[Entry]) -> QuickThings:
    """Return the state of the whole book, worked out from nothing.

    Parameters
    ----------
    entries : iterable of Entry
        Every entry, in order.

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
