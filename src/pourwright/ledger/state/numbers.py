"""What entries about marked pieces and numbers do to the state."""

from __future__ import annotations

from collections.abc import Callable

from pourwright.ledger.entry import Entry, day_of
from pourwright.ledger.said import listed, many, number_name, piece_called
from pourwright.ledger.state.casts import add_counts
from pourwright.ledger.state.edition import edition_of
from pourwright.ledger.things import Doc, Things

WITH_NUMBER = ("numbered", "proof")


def number_id(edition: Doc, kind: str, number: int) -> str:
    """Return the id of a number's document.

    Parameters
    ----------
    edition : dict
        The edition's document.
    kind : {"numbered", "proof"}
        Of which kind it is.
    number : int
        The number.
    """
    if kind == "proof":
        return f"{edition['edition']}/{edition['proof_kind']}/{number}"
    return f"{edition['edition']}/{number}"


def piece_of(things: Things, name: str) -> Doc:
    """Return a piece's document, which the rules have seen to be there.

    Parameters
    ----------
    things : Things
        The state.
    name : str
        Its label.
    """
    piece = things.get("piece", name)
    assert piece is not None  # noqa: S101 - rule_what_is_named_is_known
    return piece


def _count_number(edition: Doc, kind: str, before: str | None, after: str) -> None:
    counts = edition["proof_numbers" if kind == "proof" else "numbers"]
    add_counts(counts, {before: -1, after: 1} if before else {after: 1})


def _set_number(things: Things, edition: Doc, piece: Doc, status: str) -> None:
    """Give the number that a piece bears another standing: owed, gone or living."""
    if piece["number"] is None:
        return
    number = things.get("number", piece["number"])
    assert number is not None  # noqa: S101 - it was made with the piece
    _count_number(edition, number["kind"], number["status"], status)
    number["status"] = status
    number["living"] = number["living"] if status == "living" else None
    things.put("number", piece["number"], number)


def _set_state(edition: Doc, piece: Doc, state: str) -> None:
    """Give a piece another state, and keep the counts of the edition."""
    was, stage = piece["state"], piece["stage"]
    add_counts(edition["piece_states"], {was: -1, state: 1})
    edition["named"][stage] += (state == "here") - (was == "here")
    piece["state"] = state


def lose_piece(
    things: Things, edition: Doc, entry: Entry, name: str, cause: str, where: str
) -> None:
    """Lose a marked piece: its number is owed, and the piece stays in the book for ever.

    Parameters
    ----------
    things : Things
        The state.
    edition : dict
        The edition's document, changed in place and put by the caller.
    entry : Entry
        What tells the loss.
    name : str
        The piece's label.
    cause : str
        Why.
    where : str
        The step, or an empty text for the stage where it stood.
    """
    piece = piece_of(things, name)
    add_counts(edition["lost"].setdefault(where or piece["stage"], {}), {cause: 1})
    _undeclare(edition, piece, by=-1)
    _set_state(edition, piece, "lost")
    piece |= {"lost_at": entry.at, "cause": cause, "evidence": entry.body.get("evidence")}
    things.put("piece", name, piece)
    _set_number(things, edition, piece, "owed")


def _undeclare(edition: Doc, piece: Doc, *, by: int) -> None:
    """Keep count of living surplus pieces of which nobody has said what becomes of them."""
    if piece["kind"] == "surplus" and piece["declared"] is None and piece["state"] == "here":
        edition["undeclared"] = edition.get("undeclared", 0) + by


def piece_marked(things: Things, entry: Entry) -> str:
    """Take in ``piece-marked``: pieces are marked."""
    edition, body = edition_of(things, entry), entry.body
    kind, stage, made = body["kind"], body["stage"], body["made"]
    numbers: list[int | None] = list(body.get("numbers", ())) or [None] * len(made)
    edition["ware"][stage] -= len(made)
    edition["named"][stage] += len(made)
    edition["marked_in_all"] += len(made)
    add_counts(edition["piece_states"], {"here": len(made)})
    edition["frozen"] |= kind == "numbered"
    edition["proofs_frozen"] |= kind == "proof"
    for name, number in zip(made, numbers, strict=True):
        piece = _new_piece(edition, entry, kind, stage)
        if number is not None:
            _bear(things, edition, piece, name, number)
        things.put("piece", name, piece)
        _undeclare(edition, piece, by=1)
    things.put("edition", body["edition"], edition)
    if kind not in WITH_NUMBER:
        return f"{many(len(made), kind + ' piece')} marked: {listed(made)}."
    return f"{listed(number_name(edition, kind, one) for one in numbers if one)} marked: {listed(made)}."


def _new_piece(edition: Doc, entry: Entry, kind: str, stage: str) -> Doc:
    return {
        "edition": edition["edition"], "kind": kind, "number": None, "state": "here",
        "stage": stage, "load": None, "firings": [], "marked_at": entry.at, "replaces": None,
        "mold": entry.body.get("mold"), "sold": None, "given": False, "returned": 0,
        "cause": None, "evidence": None, "photos": [], "declared": None,
    }  # fmt: skip


def _bear(things: Things, edition: Doc, piece: Doc, name: str, number: int) -> None:
    """Let a new piece bear a number; an earlier bearer stays listed before it."""
    key = number_id(edition, piece["kind"], number)
    doc = things.get("number", key) or {
        "edition": edition["edition"], "kind": piece["kind"], "n": number, "bearers": [],
        "living": None, "status": None,
    }  # fmt: skip
    piece["number"] = key
    piece["replaces"] = doc["bearers"][-1] if doc["bearers"] else None
    _count_number(edition, piece["kind"], doc["status"], "living")
    doc |= {"bearers": [*doc["bearers"], name], "living": name, "status": "living"}
    things.put("number", key, doc)


def _each_piece(things: Things, entry: Entry, change: Callable[[Doc, Doc], None], said: str) -> str:
    edition, body = edition_of(things, entry), entry.body
    called = []
    for name in body["pieces"]:
        piece = piece_of(things, name)
        called.append(piece_called(things, name, piece))
        change(edition, piece)
        things.put("piece", name, piece)
    things.put("edition", body["edition"], edition)
    return f"{listed(called)} {said}."


def piece_sold(things: Things, entry: Entry) -> str:
    """Take in ``piece-sold``: pieces are sold."""
    body = entry.body
    sale = {"at": entry.at, "price": body.get("price"), "reference": body.get("reference")}

    def sell(_: Doc, piece: Doc) -> None:
        piece["sold"] = sale

    return _each_piece(things, entry, sell, "sold")


def piece_shipped(things: Things, entry: Entry) -> str:
    """Take in ``piece-shipped``: pieces have left the studio."""
    return _each_piece(
        things, entry, lambda edition, piece: _away(edition, piece, entry), "shipped"
    )


def piece_given(things: Things, entry: Entry) -> str:
    """Take in ``piece-given``: pieces are given away and have left the studio."""

    def give(edition: Doc, piece: Doc) -> None:
        piece["given"] = True
        _away(edition, piece, entry)

    return _each_piece(things, entry, give, "given")


def _away(edition: Doc, piece: Doc, entry: Entry) -> None:
    _undeclare(edition, piece, by=-1)
    _set_state(edition, piece, "away")
    piece["away_at"] = entry.at
    edition["last_away"] = max(edition["last_away"] or "", day_of(entry))


def piece_returned(things: Things, entry: Entry) -> str:
    """Take in ``piece-returned``: pieces have come back to the studio."""

    def come_back(edition: Doc, piece: Doc) -> None:
        _set_state(edition, piece, "here")
        piece |= {"sold": None, "given": False, "returned": piece["returned"] + 1}
        _undeclare(edition, piece, by=1)

    return _each_piece(things, entry, come_back, "returned")


def piece_broken(things: Things, entry: Entry) -> str:
    """Break pieces: one that is here is owed again, one that is away was made all the same."""

    def smash(edition: Doc, piece: Doc) -> None:
        status = "gone" if piece["state"] == "away" else "owed"
        _undeclare(edition, piece, by=-1)
        _set_state(edition, piece, "broken")
        piece |= {"lost_at": entry.at, "evidence": entry.body.get("evidence")}
        _set_number(things, edition, piece, status)

    return _each_piece(things, entry, smash, "broken")


def number_settled(things: Things, entry: Entry) -> str:
    """Take in ``number-settled``: a number whose piece was lost will never be made again."""
    edition, body = edition_of(things, entry), entry.body
    for number in body["numbers"]:
        key = number_id(edition, body["kind"], number)
        doc = things.get("number", key)
        assert doc is not None  # noqa: S101 - rule_settled_number_is_owed
        _count_number(edition, body["kind"], doc["status"], "settled")
        doc |= {"status": "settled", "why": body["why"], "settled_at": entry.at}
        things.put("number", key, doc)
    things.put("edition", body["edition"], edition)
    told = listed(number_name(edition, body["kind"], one) for one in body["numbers"])
    return f"{told} settled: {body['why']}."


def surplus_declared(things: Things, entry: Entry) -> str:
    """Take in ``surplus-declared``: what becomes of good ware beyond the edition."""
    edition, body = edition_of(things, entry), entry.body
    fate, count = body["fate"], body.get("count", 0)
    if count:
        edition["ware"][body["stage"]] -= count
        add_counts(edition["surplus"], {fate: count})
    for name in body.get("pieces", ()):
        piece = piece_of(things, name)
        _undeclare(edition, piece, by=-1)
        piece["declared"] = fate
        if fate == "destroyed":
            _set_state(edition, piece, "destroyed")
        things.put("piece", name, piece)
    things.put("edition", body["edition"], edition)
    return f"Surplus {fate}: {many(count + len(body.get('pieces', ())), 'piece')}."


APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "piece-marked": piece_marked,
    "piece-sold": piece_sold,
    "piece-shipped": piece_shipped,
    "piece-given": piece_given,
    "piece-returned": piece_returned,
    "piece-broken": piece_broken,
    "number-settled": number_settled,
    "surplus-declared": surplus_declared,
}
"""What each kind does."""
