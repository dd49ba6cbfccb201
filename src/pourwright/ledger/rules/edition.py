"""What must not happen to an edition and its forms: each rule yields why it refuses."""

from __future__ import annotations

import re
from collections.abc import Iterator

from pourwright.ledger.commands.known import unknown
from pourwright.ledger.documents import EditionDoc, FormDoc, PieceDoc, or_zero, present
from pourwright.ledger.entry import Body
from pourwright.ledger.said import many, names_said, piece_called
from pourwright.ledger.state.edition import could_remake, made_of
from pourwright.ledger.things import Things, told_day

Refusals = Iterator[str]
RESERVED = ("studio", "book")


def edition_named(things: Things, body: Body) -> EditionDoc:
    """Return the edition of a body, which :func:`rule_edition_is_known` has seen."""
    found = things.get(EditionDoc, body["edition"])
    assert found is not None  # noqa: S101 - rule_edition_is_known comes first
    return found


def rule_edition_is_known(things: Things, body: Body) -> Refusals:
    """Hold that an entry of an edition needs the edition."""
    if things.get(EditionDoc, body["edition"]) is None:
        yield f"There is no edition {body['edition']} in the book; plan it first."


def rule_edition_is_open(things: Things, body: Body) -> Refusals:
    """Hold that nothing more is made of a closed edition."""
    edition = edition_named(things, body)
    closed = edition.closed
    if closed is not None:
        day = told_day(things, closed.at)
        yield f"{edition.name} was closed on {day} at {closed.made} of {closed.of}; nothing more is made of it."


def rule_edition_is_new(things: Things, body: Body) -> Refusals:
    """Hold that one name, one edition, for ever."""
    if body["edition"] in RESERVED:
        yield f"edition is {body['edition']}; the book uses that word itself, choose another."
    if things.get(EditionDoc, body["edition"]) is not None:
        yield f"{body['edition']} is in the book already; change its size, or declare it."


def rule_proof_letters_are_letters(_: Things, body: Body) -> Refusals:
    """Hold that a proof's letters must not be mistaken for a piece's label."""
    letters = body.get("proof_kind", "AP")
    if not re.fullmatch(r"[A-Za-z]{1,6}", letters) or letters.upper() == "P":
        yield f"proof_kind is {letters}; write one to six letters such as AP, and not P, which labels pieces."


def rule_edition_is_declared_once(things: Things, body: Body) -> Refusals:
    """Hold that a declaration is made once; N may change after it until a number is marked."""
    edition = edition_named(things, body)
    if edition.state == "declared":
        day = told_day(things, present(edition.declared_at))
        yield f"{edition.name} was declared on {day}; its size can be changed while no number is marked."


def rule_size_is_told(_: Things, body: Body) -> Refusals:
    """Hold that a change of size says what it changes."""
    if "pieces" not in body and "proofs" not in body:
        yield "pieces and proofs are both missing; write the one that changes."


def rule_size_is_free(things: Things, body: Body) -> Refusals:
    """Hold that N is frozen once a piece bearing /N is marked, and so are the proofs."""
    edition = edition_named(things, body)
    for key, now, frozen, mark in (
        ("pieces", edition.pieces, edition.frozen, "/"),
        ("proofs", edition.proofs, edition.proofs_frozen, "proof /"),
    ):
        if frozen and body.get(key, now) != now:
            yield f"{key} is {body[key]}; a piece bearing {mark}{now} is marked, so it stays {now}."


# --- closing


def rule_closing_edition_is_declared(things: Things, body: Body) -> Refusals:
    """Hold that only what was declared can be closed."""
    edition = edition_named(things, body)
    if edition.state == "planned":
        yield f"{edition.name} is planned and not declared; declare it first."


def rule_nothing_is_owed(things: Things, body: Body) -> Refusals:
    """Hold that no number is left whose piece was lost."""
    edition = edition_named(things, body)
    for counts, word in ((edition.numbers, "number"), (edition.proof_numbers, "proof")):
        owed = counts.get("owed", 0)
        if owed:
            are, them = ("is", "it") if owed == 1 else ("are", "them")
            yield f"{many(owed, word)} of {edition.name} {are} owed: make {them} again or settle {them}."


def rule_every_number_is_made(things: Things, body: Body) -> Refusals:
    """Hold that every number was made, unless it closes short."""
    edition = edition_named(things, body)
    standings = ("living", "owed", "settled", "gone")
    unmade = edition.pieces - sum(edition.numbers.get(one, 0) for one in standings)
    made, of = made_of(edition), edition.pieces
    if made < of and not body.get("short"):
        why = f"{many(unmade, 'number')} were never marked" if unmade else "some are settled"
        yield f"{made} of {of} are made and {why}; close it short to end at {made} of {of}."


def rule_no_unmarked_ware_is_left(things: Things, body: Body) -> Refusals:
    """Hold that no unmarked ware is left of which nobody has said what becomes of it."""
    edition = edition_named(things, body)
    ware = {stage: count for stage, count in edition.ware.items() if count}
    if ware:
        told = ", ".join(f"{count} at {stage}" for stage, count in ware.items())
        yield f"Unmarked ware is left: {told}; mark it, lose it or declare it surplus."


def rule_no_load_is_in_the_kiln(things: Things, body: Body) -> Refusals:
    """Hold that no piece is in a load that was closed and not opened."""
    edition = edition_named(things, body)
    if edition.loaded or edition.loaded_named:
        loaded = many(edition.loaded + edition.loaded_named, "piece")
        yield f"{loaded} are in a closed load; unload it first."


def rule_no_surplus_is_undeclared(things: Things, body: Body) -> Refusals:
    """Hold that of every surplus piece it is told what becomes of it."""
    if undeclared := or_zero(edition_named(things, body).undeclared):
        pieces = many(undeclared, "surplus piece")
        yield f"{pieces} are here and undeclared; say with surplus what becomes of them."


def rule_every_number_is_finished(things: Things, body: Body) -> Refusals:
    """Hold that a numbered piece or a proof that is here is a finished one."""
    unfinished = [
        piece_called(things, name, piece)
        for name, piece in things.of(PieceDoc, body["edition"])
        if piece.state == "here" and piece.number and piece.stage != "finished"
    ]
    if unfinished:
        yield f"Not finished: {names_said(unfinished)}; finish them or record their loss."


def rule_every_form_is_told(things: Things, body: Body) -> Refusals:
    """Hold that whatever could remake the form is destroyed or declared kept."""
    left = [name for name, _ in could_remake(things, body["edition"])]
    if left:
        yield f"{names_said(left)} could remake the form; destroy each or declare it kept."


def rule_nothing_else_could_remake_it(_: Things, body: Body) -> Refusals:
    """Hold that the maker says that the book knows everything that could remake the form."""
    if not body["nothing_else"]:
        yield "nothing_else is no; enter what else could remake the form, and destroy it or declare it kept."


# --- forms


def rule_what_is_named_is_known(things: Things, body: Body) -> Refusals:
    """Hold that every label that is named is in the book and of this edition."""
    named: list[str] = []
    for key in _ONE:
        named += [body[key]] if key in body else []
    for key in _SOME:
        value = body.get(key, ())
        named += () if isinstance(value, int) else value  # N is called pieces too
    for name in dict.fromkeys(named):
        yield from unknown(things, name, body["edition"])


_ONE = ("mold", "form", "spare", "load")
_SOME = ("molds", "lost_molds", "masses", "forms", "spares", "pieces", "lost_pieces")
"""Fields that name things by label; their names mean the same in every kind."""


def rule_form_is_here(things: Things, body: Body) -> Refusals:
    """Hold that a destroyed form can be neither used, destroyed again nor kept."""
    for name in [body["form"]] if "form" in body else body.get("forms", ()):
        form = things.get(FormDoc, name)
        if form and form.state == "destroyed":
            yield f"{name} was destroyed on {told_day(things, present(form.destroyed_at))}."


def rule_test_casts_come_from_a_block_mold(things: Things, body: Body) -> Refusals:
    """Hold that test casts are cast in plaster: the block mold."""
    form = things.get(FormDoc, body["form"])
    if form and form.what != "block mold":
        yield f"{body['form']} is the {form.what}; test casts come from the block mold."


def rule_no_more_good_tests_than_cast(_: Things, body: Body) -> Refusals:
    """Hold that good and lost test casts are not more than were cast."""
    told = body.get("good", 0) + sum(body.get("lost", {}).values())
    if told > body["count"]:
        yield f"{told} test casts are told as good or lost, and {body['count']} were cast."


def rule_something_is_named(_: Things, body: Body) -> Refusals:
    """Hold that what is kept or destroyed is named."""
    if not any(body.get(key) for key in ("forms", "molds", "spares")):
        yield "Nothing is named; write the labels, such as M-007, F-002 or T-001."
