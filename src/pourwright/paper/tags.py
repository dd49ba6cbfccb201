"""Tags for molds, masters and lots: the name large, casts to tick, a QR code that opens the thing."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

import segno
from msgspec import Struct

from pourwright.errors import BadInput, NotDoable, as_written
from pourwright.ledger.documents import EditionDoc, FormDoc, LotDoc, MoldDoc
from pourwright.ledger.state.molds import stopped_losing
from pourwright.materials.plaster.volumes import dry_mass
from pourwright.paper.at_hand import AtHand
from pourwright.paper.printing import Sheet
from pourwright.plan.case import LIFE_IF_UNKNOWN, plaster_of
from pourwright.plan.standing_from_book import day_of
from pourwright.report.saying import count, day
from pourwright.studio.deliveries import mold_volume_l

SCRATCH = (
    "Paper comes off: scratch each name into the plaster as well while it is soft. Print at 100 %."
)
PLAIN_MM = (95.0, 54.0)
"""A tag on plain paper, two beside one another. [mm]"""


class Tag(Struct, frozen=True, kw_only=True):
    """What stands on a tag.

    Parameters
    ----------
    label : str
        Its name, as it is scratched in.
    of : str
        The edition, or what the lot is.
    part : str
        How many parts, or which one the master is of.
    mass, day : str
        What it weighs dry or is made of, and the day it was made; may be empty.
    given, boxes : int
        Casts given already, and how many boxes there are in all; 0 of what is not cast. [-]
    qr : str
        The code as an SVG; empty where no phone can open the studio.
    opens_said : str
        The address that the code holds.
    """

    label: str
    of: str
    part: str
    mass: str
    day: str
    given: int = 0
    boxes: int = 0
    qr: str = ""
    opens_said: str = ""


class TagSheet(Sheet, frozen=True, kw_only=True):
    """Tags on label sheets, or on plain paper with lines to cut along.

    Parameters
    ----------
    width_mm, height_mm : float
        A tag's size. [mm]
    cut : bool
        Whether lines to cut along are printed.
    note : str
        What is said at the foot of plain paper.
    tags : tuple of Tag
        One a thing.
    """

    width_mm: float
    height_mm: float
    cut: bool
    note: str
    tags: tuple[Tag, ...]


def tag_sheet(at: AtHand) -> TagSheet:
    """Return tags for some molds, masters and lots, or for all molds of open editions.

    Raises
    ------
    BadInput
        If a label is of nothing that gets a tag.
    NotDoable
        If there is nothing to tag.
    """
    tags = tuple(_asked(at) if at.of else _molds(at))
    if not tags:
        raise NotDoable("No mold of an open edition is in use, so there is nothing to tag.")
    width, height = PLAIN_MM if at.labels is None else (at.labels.width_mm, at.labels.height_mm)
    return TagSheet(
        title=f"Tags: {tags[0].label}" + (f" and {len(tags) - 1} more" if len(tags) > 1 else ""),
        of="Tags",
        foot=at.foot,
        width_mm=width,
        height_mm=height,
        cut=at.labels is None,
        note=SCRATCH,
        tags=tags,
    )


def _molds(at: AtHand) -> Iterator[Tag]:
    for doc, _ in at.editions():
        for label, mold in at.reading.things.of(MoldDoc, doc.edition):
            if mold.state == "in use":
                yield _mold(at, label, mold)


def _asked(at: AtHand) -> Iterator[Tag]:
    things = at.reading.things
    for typed in at.of:
        label = typed.strip().upper()
        if mold := things.get(MoldDoc, label):
            yield _mold(at, label, mold)
        elif form := things.get(FormDoc, label):
            yield _form(at, label, form)
        elif lot := things.get(LotDoc, label):
            yield _lot(at, label, lot)
        else:
            right = "name a mold, a master or a lot by its label, such as M-007, F-002 or S-003"
            raise BadInput.one("the thing to tag", as_written(typed), right)


def _mold(at: AtHand, label: str, mold: MoldDoc) -> Tag:
    edition = at.reading.things.get(EditionDoc, mold.edition)
    life = edition.life if edition else None
    return Tag(
        label=label,
        of=edition.name if edition else mold.edition,
        part=f"mold of {count(len(mold.parts), 'part')}",
        mass=_dry(at, mold),
        day=f"poured {_day(at, mold.poured_at)}",
        given=mold.casts,
        boxes=max(life or LIFE_IF_UNKNOWN, mold.casts),
        qr=_code(at, f"/shelf/{label}"),
        opens_said=f"A code that opens {label} in the studio.",
    )


def _dry(at: AtHand, mold: MoldDoc) -> str:
    """Return what a mold weighs dry: as it was weighed, or by its mix, or a blank to fill in."""
    if stopped_losing(at.reading.things, mold, at.zone):
        return f"dry {at.show(float(mold.weighings[-1].mass.value), 'mass')}, weighed"
    here = at.brief(mold.edition)
    if here is None or here.brief is None or here.studio is None:
        return "dry ________"
    dry_kg = dry_mass(mold_volume_l(here.brief, here.studio), plaster_of(here.studio))
    return f"dry about {at.show(float(dry_kg), 'mass')}; weighed\u00a0________"


def _form(at: AtHand, label: str, form: FormDoc) -> Tag:
    edition = at.reading.things.get(EditionDoc, form.edition)
    return Tag(
        label=label,
        of=edition.name if edition else form.edition,
        part=form_part(form),
        mass=f"of lot {form.lot}" if form.lot else "",
        day=f"made {_day(at, form.made_at)}",
        qr=_code(at, f"/records?about={label}"),
        opens_said=f"A code that opens {label} in the studio.",
    )


def form_part(form: FormDoc) -> str:
    """Return what a form is and of which part, once where it is called after what it is.

    Parameters
    ----------
    form : FormDoc
        An original, a block mold, a master, or whatever else can make the form.
    """
    named = form.part or form.name
    return form.what if named == form.what else f"{form.what}: {named}"


def _lot(at: AtHand, label: str, lot: LotDoc) -> Tag:
    return Tag(
        label=label,
        of=lot.name,
        part=lot.what,
        mass="",
        day=f"mixed or opened {_day(at, lot.at)}",
        qr=_code(at, f"/lots/{label}"),
        opens_said=f"A code that opens {label} in the studio.",
    )


def _day(at: AtHand, instant: str) -> str:
    return day(day_of(instant, at.zone), weekday=False, units=at.units)


def _code(at: AtHand, path: str) -> str:
    """Return the code of a page of the studio; empty where no phone can open it."""
    return qr_svg(at.address + path) if at.address else ""


def qr_svg(address: str) -> str:
    """Return an address as a QR code in an SVG, readable with a quarter of it smeared (level Q)."""
    drawn = BytesIO()
    segno.make_qr(address, error="q", boost_error=False).save(
        drawn, kind="svg", border=4, xmldecl=False, svgns=True, light="#fff"
    )
    return drawn.getvalue().decode()
