"""What entries about an edition and its forms do to the state."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import UNSET

from pourwright.ledger.documents import (
    Approval,
    Closing,
    EditionDoc,
    FormDoc,
    Keeping,
    MoldDoc,
    RemakingDoc,
    SpareDoc,
    as_quantity,
)
from pourwright.ledger.entry import Body, Entry
from pourwright.ledger.said import many, names_said
from pourwright.ledger.stages import stages_of
from pourwright.ledger.state.casts import add_counts
from pourwright.ledger.things import Things

ONLY_PART = "mold"
"""What the only part of a mold is called, if the brief names none."""


def edition_of(things: Things, entry: Entry) -> EditionDoc:
    """Return an entry's edition, which the rules have seen to be there."""
    found = things.get(EditionDoc, entry.body["edition"])
    assert found is not None  # noqa: S101 - rule_edition_is_known
    return found


def edition_planned(things: Things, entry: Entry) -> str:
    """Take in ``edition-planned``: an edition is planned."""
    edition = new_edition(entry.body, entry.at)
    things.put(edition.edition, edition)
    return (
        f"{edition.name} is planned: {many(edition.pieces, 'piece')}, "
        f"{many(edition.proofs, 'proof')}."
    )


def new_edition(body: Body, at: str) -> EditionDoc:
    """Return an edition as it is planned, of which nothing is made yet."""
    name = body["edition"]
    route = body.get("route", "bisque and glaze")
    stages = stages_of(route)
    return EditionDoc(
        edition=name,
        name=body.get("name", name),
        planned_at=at,
        pieces=body["pieces"],
        proofs=body.get("proofs", 0),
        proof_kind=body.get("proof_kind", "AP"),
        route=route,
        marked=body.get("marked", "end"),
        conditioning=body.get("conditioning", 1),
        life=body.get("life"),
        parts=body.get("parts", [ONLY_PART]),
        masters=body.get("masters", UNSET),
        molds_planned=body.get("molds"),
        claim_days=body.get("claim_days", 0),
        fate=body.get("fate", "destroy"),
        ware=dict.fromkeys(stages, 0),
        named=dict.fromkeys(stages, 0),
    )


def edition_declared(things: Things, entry: Entry) -> str:
    """Take in ``edition-declared``: the edition is declared."""
    edition = edition_of(things, entry)
    edition.state = "declared"
    edition.declared_at = entry.at
    _size(edition, entry.body)
    things.put(edition.edition, edition)
    return f"{edition.name} is declared: {_size_said(edition)}."


def edition_resized(things: Things, entry: Entry) -> str:
    """Take in ``edition-resized``: n or the proofs change."""
    edition = edition_of(things, entry)
    _size(edition, entry.body)
    things.put(edition.edition, edition)
    return f"{edition.name} is now {_size_said(edition)}."


def _size(edition: EditionDoc, body: Body) -> None:
    edition.pieces = body.get("pieces", edition.pieces)
    edition.proofs = body.get("proofs", edition.proofs)


def _size_said(edition: EditionDoc) -> str:
    return f"{many(edition.pieces, 'numbered piece')} and {many(edition.proofs, 'proof')}"


def edition_closed(things: Things, entry: Entry) -> str:
    """Take in ``edition-closed``: the edition is closed."""
    edition = edition_of(things, entry)
    made, of = made_of(edition), edition.pieces
    edition.state = "closed"
    edition.closed = Closing(at=entry.at, made=made, of=of, short=made < of)
    things.put(edition.edition, edition)
    return f"{edition.name} is closed at {made} of {of}."


def made_of(edition: EditionDoc) -> int:
    """Return how many numbers have been made good: a living piece, or one broken after it left."""
    return edition.numbers.get("living", 0) + edition.numbers.get("gone", 0)


def form_made(things: Things, entry: Entry) -> str:
    """Take in ``form-made``: a thing that can make the form."""
    body = entry.body
    name = body["made"][0]
    form = FormDoc(
        edition=body["edition"],
        what=body["what"],
        name=body.get("name", body["what"]),
        part=body.get("part"),
        lot=body.get("lot"),
        cure_test=body.get("cure_test"),
        made_at=entry.at,
    )
    things.put(name, form)
    of = f" of {form.part}" if form.part and form.part not in form.name else ""
    return f"{name}: {form.name}{of}."


def casts_tested(things: Things, entry: Entry) -> str:
    """Take in ``casts-tested``: test casts from the block mold."""
    body, form = entry.body, _form(things, entry.body["form"])
    lost = dict(body.get("lost", {}))
    rest = body["count"] - sum(lost.values())
    good = body.get("good", rest)
    if rest > good:
        add_counts(lost, {"other": rest - good})
    form.tests.casts += body["count"]
    form.tests.good += good
    add_counts(form.tests.lost, lost)
    things.put(body["form"], form)
    return f"{many(body['count'], 'test cast')} from {body['form']}, {good} good."


def form_approved(things: Things, entry: Entry) -> str:
    """Take in ``form-approved``: the fired test casts are judged good."""
    body, form = entry.body, _form(things, entry.body["form"])
    measured = {key: as_quantity(body[key]) for key in ("height", "wall") if key in body}
    form.approved = Approval(at=entry.at, **measured)
    things.put(body["form"], form)
    return f"{body['form']} ({form.what}) is approved."


def form_destroyed(things: Things, entry: Entry) -> str:
    """Take in ``form-destroyed``: a form is destroyed."""
    body = entry.body
    for name in body["forms"]:
        form = _form(things, name)
        destroy(form, entry)
        if "filler" in body and name == body["forms"][0]:  # weighed together, so counted once
            form.filler = as_quantity(body["filler"])
        things.put(name, form)
    filler = f", {body['filler']['typed']} of rubber go on as filler" if "filler" in body else ""
    return f"{names_said(body['forms'])} destroyed{filler}."


def destroy(doc: RemakingDoc, entry: Entry) -> None:
    """Let a form, a mold or a spare part be destroyed; the caller puts it."""
    doc.state = "destroyed"
    doc.destroyed_at = entry.at
    doc.how = entry.body.get("how")


def form_kept(things: Things, entry: Entry) -> str:
    """Take in ``form-kept``: what could remake the form is declared kept, with where and why."""
    body = entry.body
    kept = Keeping(at=entry.at, where=body["where"], why=body.get("why"))
    named: dict[str, type[RemakingDoc]] = {"forms": FormDoc, "molds": MoldDoc, "spares": SpareDoc}
    for key, kind in named.items():
        for name in body.get(key, ()):
            doc = things.get(kind, name)
            assert doc is not None  # noqa: S101 - rule_what_is_named_is_known
            doc.kept = kept
            things.put(name, doc)
    names = [name for key in named for name in body.get(key, ())]
    return f"{names_said(names)} declared kept: {body['where']}."


def could_remake(things: Things, edition: str) -> list[tuple[str, RemakingDoc]]:
    """Return what could remake the form, neither destroyed nor declared kept: forms, molds, spares.

    A spare part that was swapped into a mold goes with that mold.
    """
    kinds: tuple[type[RemakingDoc], ...] = (FormDoc, MoldDoc, SpareDoc)
    return [
        (name, doc)
        for kind in kinds
        for name, doc in things.of(kind, edition)
        if doc.state != "destroyed" and not doc.kept
        if not (isinstance(doc, SpareDoc) and doc.state == "in use")
    ]


def _form(things: Things, name: str) -> FormDoc:
    form = things.get(FormDoc, name)
    assert form is not None  # noqa: S101 - rule_what_is_named_is_known
    return form


APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "edition-planned": edition_planned,
    "edition-declared": edition_declared,
    "edition-resized": edition_resized,
    "edition-closed": edition_closed,
    "form-made": form_made,
    "casts-tested": casts_tested,
    "form-approved": form_approved,
    "form-destroyed": form_destroyed,
    "form-kept": form_kept,
}
"""What each kind does."""
