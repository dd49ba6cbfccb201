"""The kiln load sheet: what goes in, the cone, a log of the firing, what was lost when it is opened."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from pourwright.errors import BadInput, NotDoable, as_written
from pourwright.ledger.causes import FIRING_CAUSES
from pourwright.ledger.documents import LoadDoc
from pourwright.ledger.said import many
from pourwright.paper.at_hand import AtHand
from pourwright.paper.printing import Care, Sheet
from pourwright.studio.kiln import Build, LoadPieces, builds, load_pieces


class LoadToFire(Struct, frozen=True):
    """A load.

    Parameters
    ----------
    title : str
        Its firing, and its label once it has one.
    name : str
        Whose ware it is.
    words, note : str
        What goes in; what is to be known of it.
    cone : str
        The cone that the brief asks for; empty if it does not tell.
    marked : tuple of str
        The marked pieces, as they are written.
    full, holds : int
        Pieces that go in, and places that are drawn. [-]
    places_said : str
        The drawing in a sentence.
    is_third : bool
        Whether it is the third firing, of decals or lusters.
    """

    title: str
    name: str
    words: str
    note: str
    cone: str
    marked: tuple[str, ...]
    full: int
    holds: int
    places_said: str
    is_third: bool


class KilnSheet(Sheet, frozen=True, kw_only=True):
    """What stands on the kiln load sheet.

    Parameters
    ----------
    loads : tuple of LoadToFire
        A page each.
    causes : tuple of str
        Why a piece may be lost in a firing, as the book takes it.
    cautions : tuple of Care
        What can hurt.
    """

    loads: tuple[LoadToFire, ...]
    causes: tuple[str, ...]
    cautions: tuple[Care, ...]


def kiln_sheet(at: AtHand) -> KilnSheet:
    """Return the sheet of some loads by their labels, or of those that could be built.

    Raises
    ------
    BadInput
        If a label is of no load.
    NotDoable
        If no load could be built.
    """
    loads = tuple(_asked(at) if at.of else _to_build(at))
    if not loads:
        raise NotDoable(
            f"No ware waits for a firing on {at.day_said}, so there is no load to print."
        )
    return KilnSheet(
        title=f"Kiln loads: {at.day_said}",
        of=f"Kiln load sheet · {at.day_said}",
        foot=at.foot,
        loads=loads,
        causes=FIRING_CAUSES,
        cautions=at.cautions("bisque", *(["third"] if any(one.is_third for one in loads) else [])),
    )


def _to_build(at: AtHand) -> Iterator[LoadToFire]:
    for one in builds(at.reading, at.folder, at.day):
        dry = one.ready - one.damp
        if dry > 0:
            yield _built(one, min(dry, one.holds or dry))


def _built(one: Build, full: int) -> LoadToFire:
    holds = one.holds or full
    return LoadToFire(
        title=f"{one.firing.capitalize()} load",
        name=one.name,
        words=one.words,
        note=one.note,
        cone=one.cone,
        marked=(),
        full=full,
        holds=holds,
        places_said=f"A shelf of {many(holds, 'place')}, {full} of them filled.",
        is_third=one.firing == "third",
    )


def _asked(at: AtHand) -> Iterator[LoadToFire]:
    for typed in at.of:
        label = typed.strip().upper()
        load = load_pieces(at.reading.things, label, at.zone)
        doc = at.reading.things.get(LoadDoc, label)
        if load is None or doc is None:
            right = "name a load by its label, such as L-001"
            raise BadInput.one("the load", as_written(typed), right)
        yield _in_kiln(at, load, doc)


def _in_kiln(at: AtHand, load: LoadPieces, doc: LoadDoc) -> LoadToFire:
    here = at.brief(load.edition)
    terms = here.brief.firing if here and here.brief else None
    size = len(load.feet)
    return LoadToFire(
        title=f"{load.label} · {doc.firing}{' again' if doc.refire else ''}",
        name=load.name,
        words=many(size, "piece"),
        note=load.words,
        cone=getattr(terms, f"{doc.firing}_cone") if terms else "",
        marked=load.marked,
        full=size,
        holds=size,
        places_said=f"A shelf with {many(size, 'piece')}, the marked ones by their numbers.",
        is_third=doc.firing == "third",
    )
