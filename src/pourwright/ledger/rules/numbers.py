"""What must not happen to numbers and marked pieces: the promise of n/N."""

from __future__ import annotations

from pourwright.ledger.documents import MoldDoc, NumberDoc, PieceDoc, present
from pourwright.ledger.entry import Body
from pourwright.ledger.rules.edition import Refusals, edition_named
from pourwright.ledger.said import many, names_said, number_name, piece_called
from pourwright.ledger.state.numbers import WITH_NUMBER, number_id
from pourwright.ledger.things import Things, told_day


def rule_numbers_or_count_are_told(_: Things, body: Body) -> Refusals:
    """Hold that numbered pieces and proofs have numbers; others are counted."""
    by_number = body["kind"] in WITH_NUMBER
    if by_number and "numbers" not in body:
        yield f'numbers is missing; write which, such as "1-12", for pieces marked as {body["kind"]}.'
    if by_number and "count" in body:
        yield "count is for pieces without a number; write numbers alone."
    if not by_number and "numbers" in body:
        yield f"numbers are for numbered pieces and proofs; write count for {body['kind']} pieces."


def rule_marked_edition_is_declared(things: Things, body: Body) -> Refusals:
    """Hold that no /N is marked before N is declared."""
    edition = edition_named(things, body)
    if body["kind"] in WITH_NUMBER and edition.state == "planned":
        yield f"{edition.name} is not declared yet; declare its N before a number is marked."


def rule_number_is_within_the_edition(things: Things, body: Body) -> Refusals:
    """Hold that no number is above N, and no proof above the declared count."""
    edition = edition_named(things, body)
    for kind, most, word in (
        ("numbered", edition.pieces, "number"),
        ("proof", edition.proofs, "proof"),
    ):
        above = [one for one in body.get("numbers", ()) if one > most]
        if body["kind"] == kind and above:
            yield f"{word} {names_said(above)}: above the {most} of {edition.name}."


def _numbers(things: Things, body: Body) -> list[tuple[str, NumberDoc]]:
    """Return names and documents of the numbers that somebody has borne."""
    edition, kind = edition_named(things, body), body["kind"]
    found = []
    for n in body.get("numbers", ()) if kind in WITH_NUMBER else ():
        number = things.get(NumberDoc, number_id(edition, kind, n))
        if number is not None:
            found.append((number_name(edition, kind, n), number))
    return found


def rule_no_two_living_bear_one_number(things: Things, body: Body) -> Refusals:
    """Hold that a number has one living piece."""
    for name, number in _numbers(things, body):
        if number.status == "living":
            yield f"A piece bears {name}; record its loss before the number is given again."


def rule_number_is_not_settled(things: Things, body: Body) -> Refusals:
    """Hold that a settled number is never made again."""
    for name, number in _numbers(things, body):
        if number.status == "settled":
            day = told_day(things, present(number.settled_at))
            yield f"{name} was settled on {day}: it is never made again."


def rule_replacement_has_evidence(things: Things, body: Body) -> Refusals:
    """Hold that a number is given again only when a photo or a shard shows the loss."""
    for name, number in _numbers(things, body):
        if number.status not in ("owed", "gone") or body.get("evidence"):
            continue
        bearer = number.bearers[-1]
        lost = things.get(PieceDoc, bearer)
        if lost and not lost.evidence and not lost.photos:
            yield f"{name} was borne by {bearer}, and no photo or shard shows its loss; write evidence."


def rule_mold_of_the_piece_fits(things: Things, body: Body) -> Refusals:
    """Hold that a piece comes from a mold that has been cast."""
    mold = things.get(MoldDoc, body["mold"]) if "mold" in body else None
    if mold is not None and not mold.casts:
        yield f"{body['mold']} has not been cast; write the mold that the piece came from."


def _pieces(things: Things, body: Body) -> list[tuple[str, PieceDoc]]:
    found = [(name, things.get(PieceDoc, name)) for name in body.get("pieces", ())]
    return [(name, piece) for name, piece in found if piece is not None]


def rule_piece_is_living(things: Things, body: Body) -> Refusals:
    """Hold that nothing more happens to a lost, broken or destroyed piece."""
    for name, piece in _pieces(things, body):
        if piece.state not in ("here", "away"):
            yield f"{piece_called(things, name, piece)} is {piece.state}; it stays in the book, but nothing more happens to it."


def rule_piece_is_not_sold_twice(things: Things, body: Body) -> Refusals:
    """Hold that a piece is sold once until it comes back, and not after it was given."""
    for name, piece in _pieces(things, body):
        if piece.sold:
            day = told_day(things, piece.sold.at)
            yield f"{piece_called(things, name, piece)} was sold on {day} already."
        elif piece.given:
            day = told_day(things, present(piece.away_at))
            yield f"{piece_called(things, name, piece)} was given away on {day}."


def rule_piece_that_leaves_is_finished(things: Things, body: Body) -> Refusals:
    """Hold that only a finished piece leaves the studio."""
    for name, piece in _pieces(things, body):
        if piece.state == "here" and piece.stage != "finished":
            yield f"{piece_called(things, name, piece)} stands at {piece.stage}; finish it before it leaves."


def rule_given_piece_is_not_sold(things: Things, body: Body) -> Refusals:
    """Hold that what is sold is not given to another."""
    for name, piece in _pieces(things, body):
        if piece.sold:
            day = told_day(things, piece.sold.at)
            yield f"{piece_called(things, name, piece)} was sold on {day}; ship it, or correct the sale."


def rule_returned_piece_is_away(things: Things, body: Body) -> Refusals:
    """Hold that only what is away comes back."""
    for name, piece in _pieces(things, body):
        if piece.state != "away":
            yield f"{piece_called(things, name, piece)} is {piece.state}; only a piece that is away comes back."


def rule_settled_number_is_owed(things: Things, body: Body) -> Refusals:
    """Hold that only a number whose piece was lost is settled."""
    edition = edition_named(things, body)
    for n in body["numbers"]:
        number = things.get(NumberDoc, number_id(edition, body["kind"], n))
        if number is None or number.status != "owed":
            now = "was never marked" if number is None else f"is {number.status}"
            yield f"{number_name(edition, body['kind'], n)} {now}; only a number whose piece was lost is settled."


def rule_surplus_bears_no_number(things: Things, body: Body) -> Refusals:
    """Hold that a piece that bears a number is no surplus; a proof may be destroyed all the same."""
    for name, piece in _pieces(things, body):
        if piece.kind == "proof" and body["fate"] == "destroyed":
            if piece.sold:
                day = told_day(things, piece.sold.at)
                yield f"{piece_called(things, name, piece)} was sold on {day}; correct the sale first."
            continue
        if piece.number:
            bears = piece.number.partition("/")[2].replace("/", " ")
            yield f"{name} bears {bears}; it is no surplus."
        elif piece.declared:
            called = piece_called(things, name, piece)
            yield f"{called} was declared already: {piece.declared}."


def rule_surplus_is_finished_or_destroyed(things: Things, body: Body) -> Refusals:
    """Hold that what is sold as seconds or kept has been finished."""
    if body["fate"] == "destroyed":
        return
    count, stage = body.get("count"), body.get("stage", "finished")
    if count and stage != "finished":
        yield f"{many(count, 'piece')} at {stage}; finish before it becomes {body['fate']}."
    for name, piece in _pieces(things, body):
        if piece.stage != "finished":
            called = piece_called(things, name, piece)
            yield f"{called} stands at {piece.stage}; finish it before it becomes {body['fate']}."
