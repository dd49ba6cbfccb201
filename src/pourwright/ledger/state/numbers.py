"""What entries about marked pieces and numbers do to the state."""

from __future__ import annotations

from collections.abc import Callable

from pourwright.ledger.documents import (
    EditionDoc,
    NumberDoc,
    PieceDoc,
    Sale,
    or_zero,
    price_or_none,
)
from pourwright.ledger.entry import Entry, day_of_entry
from pourwright.ledger.said import many, names_said, number_name, piece_called
from pourwright.ledger.state.casts import add_counts
from pourwright.ledger.state.edition import edition_of
from pourwright.ledger.things import Things

WITH_NUMBER = ("numbered", "proof")
DISLIKED = "destroyed, and owed to nobody"
"""Why a proof that was destroyed as surplus is settled."""


def number_id(edition: EditionDoc, kind: str, number: int) -> str:
    """Return the id of a number's document, or of a proof's."""
    if kind == "proof":
        return f"{edition.edition}/{edition.proof_kind}/{number}"
    return f"{edition.edition}/{number}"


def piece_of(things: Things, name: str) -> PieceDoc:
    """Return a piece, which the rules have seen to be there."""
    piece = things.get(PieceDoc, name)
    assert piece is not None  # noqa: S101 - rule_what_is_named_is_known
    return piece


def _number_of(things: Things, key: str) -> NumberDoc:
    number = things.get(NumberDoc, key)
    assert number is not None  # noqa: S101 - made with the piece; rule_settled_number_is_owed
    return number


def _count_number(edition: EditionDoc, kind: str, before: str | None, after: str) -> None:
    counts = edition.proof_numbers if kind == "proof" else edition.numbers
    add_counts(counts, {before: -1, after: 1} if before else {after: 1})


def _set_number(things: Things, edition: EditionDoc, piece: PieceDoc, status: str) -> None:
    """Give the number that a piece bears another standing: owed, gone or living."""
    if piece.number is None:
        return
    number = _number_of(things, piece.number)
    _count_number(edition, number.kind, number.status, status)
    number.status = status
    number.living = number.living if status == "living" else None
    things.put(piece.number, number)


def _set_state(edition: EditionDoc, piece: PieceDoc, state: str) -> None:
    """Give a piece another state, and keep the counts of the edition."""
    add_counts(edition.piece_states, {piece.state: -1, state: 1})
    edition.named[piece.stage] += (state == "here") - (piece.state == "here")
    piece.state = state


def lose_piece(
    things: Things, edition: EditionDoc, entry: Entry, name: str, cause: str, where: str
) -> None:
    """Lose a marked piece: its number is owed, and the piece stays in the book for ever.

    Parameters
    ----------
    things : Things
        The state.
    edition : EditionDoc
        Changed in place and put by the caller.
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
    add_counts(edition.lost.setdefault(where or piece.stage, {}), {cause: 1})
    _count_undeclared(edition, piece, by=-1)
    _set_state(edition, piece, "lost")
    piece.lost_at, piece.cause = entry.at, cause
    piece.evidence = entry.body.get("evidence")
    things.put(name, piece)
    _set_number(things, edition, piece, "owed")


def _count_undeclared(edition: EditionDoc, piece: PieceDoc, *, by: int) -> None:
    """Keep count of surplus pieces here of which nobody has said what becomes of them.

    It asks whether the piece is here, so it comes before what takes it away and after what
    brings it back.
    """
    if piece.kind == "surplus" and piece.declared is None and piece.state == "here":
        edition.undeclared = or_zero(edition.undeclared) + by


def piece_marked(things: Things, entry: Entry) -> str:
    """Take in ``piece-marked``: pieces are marked."""
    edition, body = edition_of(things, entry), entry.body
    kind, stage, made = body["kind"], body["stage"], body["made"]
    numbers: list[int | None] = list(body.get("numbers", ())) or [None] * len(made)
    edition.ware[stage] -= len(made)
    edition.named[stage] += len(made)
    edition.marked_in_all += len(made)
    add_counts(edition.piece_states, {"here": len(made)})
    edition.frozen |= kind == "numbered"
    edition.proofs_frozen |= kind == "proof"
    for name, number in zip(made, numbers, strict=True):
        piece = PieceDoc(
            edition=edition.edition,
            kind=kind,
            stage=stage,
            marked_at=entry.at,
            mold=body.get("mold"),
        )
        if number is not None:
            _bear(things, edition, piece, name, number)
        things.put(name, piece)
        _count_undeclared(edition, piece, by=1)
    things.put(edition.edition, edition)
    if kind not in WITH_NUMBER:
        return f"{many(len(made), kind + ' piece')} marked: {names_said(made)}."
    called = names_said(number_name(edition, kind, one) for one in numbers if one)
    return f"{called} marked."


def _bear(things: Things, edition: EditionDoc, piece: PieceDoc, name: str, n: int) -> None:
    """Let a new piece bear a number; an earlier bearer stays listed before it."""
    key = number_id(edition, piece.kind, n)
    number = things.get(NumberDoc, key)
    if number is None:
        number = NumberDoc(edition=edition.edition, kind=piece.kind, n=n)
    piece.number = key
    piece.replaces = number.bearers[-1] if number.bearers else None
    _count_number(edition, piece.kind, number.status, "living")
    number.bearers = [*number.bearers, name]
    number.living, number.status = name, "living"
    things.put(key, number)


def _each_piece(
    things: Things, entry: Entry, change: Callable[[EditionDoc, PieceDoc], None], said: str
) -> str:
    edition, body = edition_of(things, entry), entry.body
    called = []
    for name in body["pieces"]:
        piece = piece_of(things, name)
        called.append(piece_called(things, name, piece))
        change(edition, piece)
        things.put(name, piece)
    things.put(edition.edition, edition)
    return f"{names_said(called)} {said}."


def piece_sold(things: Things, entry: Entry) -> str:
    """Take in ``piece-sold``: pieces are sold."""
    body = entry.body
    price = price_or_none(body.get("price"))
    sale = Sale(at=entry.at, price=price, reference=body.get("reference"))

    def sell(_: EditionDoc, piece: PieceDoc) -> None:
        piece.sold = sale

    return _each_piece(things, entry, sell, "sold")


def piece_shipped(things: Things, entry: Entry) -> str:
    """Take in ``piece-shipped``: pieces have left the studio."""

    def ship(edition: EditionDoc, piece: PieceDoc) -> None:
        _away(edition, piece, entry)

    return _each_piece(things, entry, ship, "shipped")


def piece_given(things: Things, entry: Entry) -> str:
    """Take in ``piece-given``: pieces are given away and have left the studio."""

    def give(edition: EditionDoc, piece: PieceDoc) -> None:
        piece.given = True
        _away(edition, piece, entry)

    return _each_piece(things, entry, give, "given")


def _away(edition: EditionDoc, piece: PieceDoc, entry: Entry) -> None:
    _count_undeclared(edition, piece, by=-1)
    _set_state(edition, piece, "away")
    piece.away_at = entry.at
    edition.last_away = max(edition.last_away or "", day_of_entry(entry))


def piece_returned(things: Things, entry: Entry) -> str:
    """Take in ``piece-returned``: pieces have come back to the studio."""

    def come_back(edition: EditionDoc, piece: PieceDoc) -> None:
        _set_state(edition, piece, "here")
        piece.sold, piece.given = None, False
        piece.returned += 1
        _count_undeclared(edition, piece, by=1)

    return _each_piece(things, entry, come_back, "returned")


def piece_broken(things: Things, entry: Entry) -> str:
    """Break pieces: one that is here is owed again, one that is away was made all the same."""

    def smash(edition: EditionDoc, piece: PieceDoc) -> None:
        status = "gone" if piece.state == "away" else "owed"
        _count_undeclared(edition, piece, by=-1)
        _set_state(edition, piece, "broken")
        piece.lost_at, piece.evidence = entry.at, entry.body.get("evidence")
        _set_number(things, edition, piece, status)

    return _each_piece(things, entry, smash, "broken")


def number_settled(things: Things, entry: Entry) -> str:
    """Take in ``number-settled``: a number whose piece was lost will never be made again."""
    edition, body = edition_of(things, entry), entry.body
    for n in body["numbers"]:
        _settle(things, edition, number_id(edition, body["kind"], n), body["why"], entry.at)
    things.put(edition.edition, edition)
    told = names_said(number_name(edition, body["kind"], n) for n in body["numbers"])
    return f"{told} settled: {body['why']}."


def _settle(things: Things, edition: EditionDoc, key: str, why: str, at: str) -> None:
    """Let a number be owed to nobody, for ever; the edition changes in place."""
    number = _number_of(things, key)
    _count_number(edition, number.kind, number.status, "settled")
    number.living, number.status, number.why, number.settled_at = None, "settled", why, at
    things.put(key, number)


def surplus_declared(things: Things, entry: Entry) -> str:
    """Take in ``surplus-declared``: what becomes of good ware beyond the edition."""
    edition, body = edition_of(things, entry), entry.body
    fate, count = body["fate"], body.get("count", 0)
    if count:
        edition.ware[body["stage"]] -= count
        add_counts(edition.surplus, {fate: count})
    for name in body.get("pieces", ()):
        piece = piece_of(things, name)
        _count_undeclared(edition, piece, by=-1)
        piece.declared = fate
        if fate == "destroyed":
            _set_state(edition, piece, "destroyed")
        if piece.number:  # a proof that nobody likes
            _settle(things, edition, piece.number, DISLIKED, entry.at)
        things.put(name, piece)
    things.put(edition.edition, edition)
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
