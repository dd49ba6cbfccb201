"""The end of an edition in one place: what is open, what could remake the form, what was destroyed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from pourwright.ledger.documents import (
    EditionDoc,
    FormDoc,
    MoldDoc,
    PhotoDoc,
    Quantity,
    RemakingDoc,
    SpareDoc,
    or_none,
    present,
)
from pourwright.ledger.rules.table import refusals
from pourwright.ledger.said import names_said, numbers_said
from pourwright.ledger.state.edition import could_remake
from pourwright.ledger.state.promise import open_numbers, open_said, unshipped
from pourwright.ledger.things import Things
from pourwright.plan.standing_from_book import day_of, edition_doc
from pourwright.report.saying import count, day

REMAKING: tuple[type[RemakingDoc], ...] = (FormDoc, MoldDoc, SpareDoc)


@dataclass(frozen=True, slots=True)
class Remaking:
    """Something that could remake the form: its label, and what it is."""

    label: str
    what: str


@dataclass(frozen=True, slots=True)
class Destroyed:
    """Something that was destroyed: what it was, when and how, and whether a photo since then shows it."""

    label: str
    what: str
    day: date
    how: str
    has_photo: bool


@dataclass(frozen=True, slots=True)
class Kept:
    """Something that is declared kept: what it is, where and why."""

    label: str
    what: str
    where: str
    why: str


@dataclass(frozen=True, slots=True)
class Against:
    """What still stands against closing an edition, and the page where it is done."""

    words: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """How far an edition is from its end.

    Parameters
    ----------
    edition, name, state : str
        Which one, and whether it is planned, declared or closed.
    open : tuple of str
        The numbers for which the form may still be needed, and why.
    unshipped : tuple of int
        Numbers whose piece has not left the studio, those of a closed edition among them.
    claim_days : int
        Days after the last delivery in which a piece is made again. [days]
    claim_ends : date or None
        The last day on which a piece may be claimed; None before one has left.
    claims_over : bool
        Whether that day has passed, or nobody can claim.
    could_remake : tuple of Remaking
        What could remake the form, neither destroyed nor declared kept.
    knows_masters : bool
        Whether a master was ever entered; molds come from one.
    may_be_destroyed : bool
        Whether all of it may be destroyed now.
    kept : tuple of Kept
        What is declared kept.
    destroyed : tuple of Destroyed
        What can make nothing any more.
    filler_kg : Decimal
        Rubber that goes on as filler. [kg]
    filler : tuple of (str, str)
        The same as it was typed, with the form that it was told of.
    closed_at : str or None
        At how many of how many, and when; None while it is open.
    against_closing : tuple of Against
        What still stands against closing it.
    """

    edition: str
    name: str
    state: str
    open: tuple[str, ...]
    unshipped: tuple[int, ...]
    claim_days: int
    claim_ends: date | None
    claims_over: bool
    could_remake: tuple[Remaking, ...]
    knows_masters: bool
    may_be_destroyed: bool
    kept: tuple[Kept, ...]
    destroyed: tuple[Destroyed, ...]
    filler_kg: Decimal
    filler: tuple[tuple[str, str], ...]
    closed_at: str | None
    against_closing: tuple[Against, ...]

    @property
    def without_photo(self) -> tuple[str, ...]:
        """Labels of what was destroyed and of which no photo shows it."""
        return tuple(one.label for one in self.destroyed if not one.has_photo)


def ending_of(things: Things, edition: str, today: date, zone: str) -> Ending:
    """Return how far an edition is from its end on a day."""
    doc = edition_doc(things, edition)
    still = open_numbers(things, doc, today.isoformat())
    ends = date.fromisoformat(still.claim_ends) if still.claim_ends else None
    told = open_said(doc, still)
    all_of_it = [(name, one) for kind in REMAKING for name, one in things.of(kind, edition)]
    shredded = [
        (name, form.filler)
        for name, form in things.of(FormDoc, edition)
        if isinstance(form.filler, Quantity)
    ]
    left = could_remake(things, edition)
    return Ending(
        edition=edition,
        name=doc.name,
        state=doc.state,
        open=tuple(told),
        unshipped=unshipped(things, edition),
        claim_days=doc.claim_days,
        claim_ends=ends,
        claims_over=not doc.claim_days or (ends is not None and today > ends),
        could_remake=tuple(Remaking(name, _what(one)) for name, one in left),
        knows_masters=any(
            isinstance(one, FormDoc) and one.what == "master" for _, one in all_of_it
        ),
        may_be_destroyed=bool(left) and not told,
        kept=tuple(_kept(all_of_it)),
        destroyed=tuple(_destroyed(things, edition, all_of_it, zone)),
        filler_kg=sum((Decimal(one.value) for _, one in shredded), Decimal(0)),
        filler=tuple((name, one.typed) for name, one in shredded),
        closed_at=_closed(doc, zone),
        against_closing=tuple(_against(things, doc)),
    )


def _what(doc: RemakingDoc) -> str:
    if isinstance(doc, FormDoc):
        part = f" of the {doc.part}" if doc.part and doc.part not in doc.name else ""
        if doc.what in doc.name:  # "master of the left half" needs no "master" before it
            return f"{doc.name}{part}"
        return f"{doc.what}{part}, {doc.name}"
    if isinstance(doc, SpareDoc):
        return f"spare {doc.part}"
    return "mold, retired" if doc.state == "retired" else "mold"


def _kept(all_of_it: list[tuple[str, RemakingDoc]]) -> Iterator[Kept]:
    for name, doc in all_of_it:
        if doc.kept and doc.state != "destroyed":
            yield Kept(name, _what(doc), doc.kept.where, doc.kept.why or "")


def _destroyed(
    things: Things, edition: str, all_of_it: list[tuple[str, RemakingDoc]], zone: str
) -> Iterator[Destroyed]:
    photos: dict[str, date] = {}
    for _, photo in things.of(PhotoDoc, edition):
        taken = day_of(photo.at, zone)
        for about in photo.shows if not photo.erased else ():
            photos[about] = max(taken, photos.get(about, taken))
    for name, doc in all_of_it:
        if doc.state == "destroyed":
            when = day_of(present(doc.destroyed_at), zone)
            has_photo = name in photos and photos[name] >= when
            yield Destroyed(name, _what(doc), when, or_none(doc.how) or "", has_photo)


def _closed(doc: EditionDoc, zone: str) -> str | None:
    closed = doc.closed
    if closed is None:
        return None
    return f"{closed.made} of {closed.of} on {day(day_of(closed.at, zone))}"


_DONE_AT = {
    "rule_closing_edition_is_declared": "/do/declare?edition={0}",
    "rule_every_number_is_made": "/do/close?edition={0}&short=yes",
    "rule_no_load_is_in_the_kiln": "/kiln",
    "rule_no_surplus_is_undeclared": "/do/surplus?edition={0}",
    "rule_every_number_is_finished": "/kiln",
    "rule_every_form_is_told": "/do/keep-form?edition={0}",
}
"""Where what a rule asks for is done; all else is done at the tray."""


def _against(things: Things, doc: EditionDoc) -> Iterator[Against]:
    if doc.closed is None:
        body = {"edition": doc.edition, "nothing_else": True}
        for rule, said in refusals(things, "edition-closed", body):
            yield Against(said, _DONE_AT.get(rule, "/editions/{0}").format(doc.edition))


def ending_facts(end: Ending) -> list[tuple[str, str, str]]:
    """Return the end of an edition as facts: what, how it stands, and what goes with it."""
    return [
        ("Numbers", *_numbers(end)),
        ("Claims", *_claims(end)),
        ("Could remake the form", *_remaking(end)),
        ("Destroyed", *_gone(end)),
        *_filler(end),
        ("Declared kept", *_kept_words(end)),
        ("Closing", *_closing(end)),
    ]


def _numbers(end: Ending) -> tuple[str, str]:
    if end.open:
        return "; ".join(end.open), ""
    here = f"not sent yet: {numbers_said(end.unshipped)}" if end.unshipped else ""
    if end.closed_at:
        return "nothing more is made of it", here
    return "every number is made, sent and past its claims, or settled", ""


def _claims(end: Ending) -> tuple[str, str]:
    if not end.claim_days:
        return "none was promised", ""
    if end.claim_ends is None:
        return f"{count(end.claim_days, 'day')} from the last delivery", "no piece has left yet"
    over = "over since" if end.claims_over else "until"
    return f"{over} {day(end.claim_ends)}", f"{count(end.claim_days, 'day')} from the last delivery"


def _remaking(end: Ending) -> tuple[str, str]:
    if not end.could_remake:
        return "nothing that the book knows", ""
    told = ", ".join(f"{one.label} ({one.what})" for one in end.could_remake)
    note = "none of it may be destroyed yet: numbers are open"
    if end.may_be_destroyed:
        note = "all of it may be destroyed now, or declared kept"
    if not end.knows_masters:
        note += "; no master is in the book, enter what there is"
    return told, note


def _gone(end: Ending) -> tuple[str, str]:
    if not end.destroyed:
        return "nothing yet", ""
    told = ", ".join(f"{one.label} ({one.how or one.what})" for one in end.destroyed)
    bare = end.without_photo
    if not bare:
        return told, "each with a photo"
    return told, f"a photo that it cannot be used again is missing of {names_said(bare)}"


def _filler(end: Ending) -> Iterator[tuple[str, str, str]]:
    if end.filler:
        told = ", ".join(f"{typed} told of {label}" for label, typed in end.filler)
        yield "Rubber for filler", told, ""


def _kept_words(end: Ending) -> tuple[str, str]:
    told = [
        f"{one.label} ({one.what}): {one.where}{f', {one.why}' if one.why else ''}"
        for one in end.kept
    ]
    return "; ".join(told) or "nothing", ""


def _closing(end: Ending) -> tuple[str, str]:
    if end.closed_at:
        return f"closed at {end.closed_at}", ""
    if end.against_closing:
        return "cannot be closed yet", " ".join(one.words for one in end.against_closing)
    return "can be closed now", "" if end.claims_over else "its claims are not over"


def ending_text(end: Ending) -> str:
    """Return the end of an edition as lines for a terminal, with the commands that go on from here."""
    lines = [f"{end.name}, {end.state}"]
    for name, told, note in ending_facts(end):
        lines.append(f"{name}: {told}{f' ({note})' if note else ''}")
    if commands := list(_commands(end)):
        lines += ["Next:", *(f"  pourwright book {one}" for one in commands)]
    return "\n".join(lines) + "\n"


def _commands(end: Ending) -> Iterator[str]:
    to = f"--edition {end.edition}"
    if end.may_be_destroyed:
        names = [one.label for one in end.could_remake]
        forms = [one for one in names if one[0] == "F"]
        if molds := [one for one in names if one[0] == "M"]:
            yield f'destroy {to} --molds "{", ".join(molds)}" --how "broken up"'
        if spares := [one for one in names if one[0] == "T"]:
            yield f'destroy {to} --spares "{", ".join(spares)}" --how "broken up"'
        if forms:
            yield f'destroy-form {to} --forms "{", ".join(forms)}" --how "shredded" --filler "2 kg"'
            yield f'keep-form {to} --forms "{forms[0]}" --where "archive shelf"'
    for label in end.without_photo[:3]:
        yield f"keep-photo FILE {to} --about {label}"
    if end.closed_at is None and not end.against_closing:
        yield f"close {to} --nothing-else yes"
