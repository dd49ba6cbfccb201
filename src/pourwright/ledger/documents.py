"""What is true now, as records: a document for each mold, piece, load and so on.

A document is kept as JSON. A field that is ``UNSET`` is not in that JSON: it comes in with the
entry that first tells it. Every book is compared with what its entries lead to, to the byte.
Quantities are decimal strings, as in the entries, and instants are as an entry's ``at`` has them.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from typing import ClassVar, TypeVar

import msgspec
from msgspec import UNSET, Struct, UnsetType, field

from pourwright.ledger.observations import APART, Observation, standing, told_order

T = TypeVar("T")


class Document(Struct, kw_only=True):
    """One thing of the book; ``state`` changes a copy of its own, and puts it back."""

    KIND: ClassVar[str]
    """What the book calls such documents."""

    edition: str
    """Its scope: an edition's id, "studio" or "book"."""


D = TypeVar("D", bound=Document)

_ENCODE = msgspec.json.Encoder(order="sorted").encode


def doc_text(doc: Document) -> str:
    """Return a document as it is kept: compact JSON, keys in order."""
    return _ENCODE(doc).decode()


def doc_of(kind: type[D], text: str) -> D:
    """Return the document that a kept text tells."""
    return msgspec.json.decode(text, type=kind)


def present(value: T | UnsetType | None) -> T:
    """Return a value that must be there, as the document's state tells: a destroyed mold's day."""
    assert value is not None  # noqa: S101 - what is in that state was told when
    assert value is not UNSET  # noqa: S101
    return value


def or_none(value: T | UnsetType | None) -> T | None:
    """Return a value, or None if nothing has told it yet."""
    return None if value is UNSET else value


def or_zero(count: int | UnsetType) -> int:
    """Return a count; nothing counted yet is 0."""
    return 0 if count is UNSET else count


# --- details of documents, never changed: a new one takes the old one's place


class Detail(Struct, kw_only=True, frozen=True):
    """Something that a document tells of itself."""


class Quantity(Detail, kw_only=True, frozen=True):
    """A quantity as an entry's body has it: a decimal string of a house unit, and what was typed."""

    value: str
    unit: str
    typed: str


class Price(Detail, kw_only=True, frozen=True):
    """A sum of money as an entry's body has it."""

    value: str
    currency: str
    typed: str


class Closing(Detail, kw_only=True, frozen=True):
    """How an edition was closed: at how many of how many numbers, and whether that is short."""

    at: str
    made: int
    of: int
    short: bool


class Keeping(Detail, kw_only=True, frozen=True):
    """Where something that could remake the form is declared kept, and why."""

    at: str
    where: str
    why: str | None


class Approval(Detail, kw_only=True, frozen=True):
    """When fired test casts were judged good, and what they measured."""

    at: str
    height: Quantity | UnsetType = UNSET
    wall: Quantity | UnsetType = UNSET


class PartInMold(Detail, kw_only=True, frozen=True):
    """A plaster part of a mold: its plaster's lot, and the spare part that it is, if it is no first one."""

    lot: str | None
    spare: str | None = field(name="from")
    broken: bool


class MoldWeighing(Detail, kw_only=True, frozen=True):
    """A mold on the scale."""

    at: str
    mass: Quantity
    strapped: bool


class Verdict(Detail, kw_only=True, frozen=True):
    """What was last said of a mold's wear: the word, and after how many casts."""

    at: str
    word: str = field(name="is")
    casts: int


class Sale(Detail, kw_only=True, frozen=True):
    """When a piece was sold, for how much and on which reference."""

    at: str
    price: Price | None
    reference: str | None


class LastReading(Detail, kw_only=True, frozen=True):
    """How a lot read last."""

    at: str
    liter_weight: Quantity | UnsetType = UNSET
    flow: Quantity | UnsetType = UNSET
    temperature: Quantity | UnsetType = UNSET


class TestedCasts(Struct, kw_only=True):
    """What test casts from a form came to, added up."""

    casts: int = 0
    good: int = 0
    lost: dict[str, int] = field(default_factory=dict)


# --- the documents


class CountersDoc(Document, kw_only=True):
    """The highest number of each label's letter, and the editions in the order they were planned.

    It belongs to no edition and is never worked out again: no label is given twice.
    """

    KIND = "counter"

    editions: list[str] = field(default_factory=list)
    causes: list[str] | UnsetType = UNSET
    """Causes of loss that the studio has added."""
    M: int | UnsetType = UNSET
    P: int | UnsetType = UNSET
    L: int | UnsetType = UNSET
    F: int | UnsetType = UNSET
    T: int | UnsetType = UNSET
    S: int | UnsetType = UNSET
    G: int | UnsetType = UNSET
    B: int | UnsetType = UNSET
    R: int | UnsetType = UNSET
    C: int | UnsetType = UNSET

    def highest(self, letter: str) -> int:
        """Return the highest number that was given with a letter, 0 if none was."""
        return or_zero(getattr(self, letter))

    def count_up(self, letter: str, number: int) -> None:
        """Take in a number that was given with a letter."""
        setattr(self, letter, max(self.highest(letter), number))


class EditionDoc(Document, kw_only=True):
    """An edition: what was planned and declared, and every count of its casts and ware."""

    KIND = "edition"

    name: str
    state: str = "planned"
    """``planned``, ``declared`` or ``closed``."""
    planned_at: str
    declared_at: str | UnsetType = UNSET
    pieces: int
    proofs: int
    proof_kind: str
    route: str
    marked: str
    conditioning: int
    life: int | None
    parts: list[str]
    masters: bool | UnsetType = UNSET
    """Whether the masters were there before the book began."""
    molds_planned: int | None
    claim_days: int
    fate: str
    frozen: bool = False
    """Whether a piece bearing /N is marked, so that N stays."""
    proofs_frozen: bool = False
    closed: Closing | None = None
    molds: int = 0
    cast: int = 0
    thrown: int = 0
    good: int = 0
    lost: dict[str, dict[str, int]] = field(default_factory=dict)
    """By where they were lost, then by cause."""
    lost_unnamed: int = 0
    tried: dict[str, int] = field(default_factory=dict)
    """How many went into each step."""
    ware: dict[str, int]
    """Unmarked ware by stage."""
    named: dict[str, int]
    """Marked pieces by stage."""
    loaded: int = 0
    loaded_named: int = 0
    glazed: int | UnsetType = UNSET
    decorated: int | UnsetType = UNSET
    surplus: dict[str, int] = field(default_factory=dict)
    """Unmarked ware that was declared surplus, by what becomes of it."""
    undeclared: int | UnsetType = UNSET
    """Marked surplus pieces that are here and of which nobody has said what becomes of them."""
    marked_in_all: int = 0
    piece_states: dict[str, int] = field(default_factory=dict)
    numbers: dict[str, int] = field(default_factory=dict)
    """By standing: ``living``, ``owed``, ``gone`` or ``settled``."""
    proof_numbers: dict[str, int] = field(default_factory=dict)
    last_away: str | None = None
    """The day on which the last piece left."""


class RemakingDoc(Document, kw_only=True):
    """What could remake the form: in the end it is destroyed or declared kept."""

    state: str
    kept: Keeping | None = None
    destroyed_at: str | UnsetType = UNSET
    how: str | UnsetType | None = UNSET


class FormDoc(RemakingDoc, kw_only=True):
    """An original, block mold, master, jacket, printed form, model file or stamp."""

    KIND = "form"

    state: str = "here"
    what: str
    name: str
    part: str | None
    lot: str | None
    cure_test: bool | None
    made_at: str
    filler: Quantity | UnsetType = UNSET
    """Its rubber that went on as filler, and that of what was shredded with it."""
    approved: Approval | None = None
    tests: TestedCasts = field(default_factory=TestedCasts)


class MoldDoc(RemakingDoc, kw_only=True):
    """A mold."""

    KIND = "mold"

    state: str = "in use"
    """``in use``, ``retired`` or ``destroyed``."""
    poured_at: str
    parts: dict[str, PartInMold]
    casts: int = 0
    thrown: int = 0
    lost: int = 0
    dry_at: str | None = None
    wet: bool = True
    weighings: list[MoldWeighing] = field(default_factory=list)
    tag: str | None = None
    verdict: Verdict | None = None
    first_cast: str | None = None
    last_cast: str | None = None
    retired_at: str | UnsetType = UNSET
    why: str | UnsetType | None = UNSET
    """Why it was retired."""


class SpareDoc(RemakingDoc, kw_only=True):
    """A spare part of a mold."""

    KIND = "part"

    state: str = "spare"
    """``spare``, ``in use`` or ``destroyed``."""
    part: str
    lot: str | None
    poured_at: str
    mold: str | None = None


class PieceDoc(Document, kw_only=True):
    """A marked piece; it stays in the book for ever."""

    KIND = "piece"

    kind: str
    """``numbered``, ``proof``, ``surplus``, ``second`` or ``sample``."""
    number: str | None = None
    """The id of the number that it bears."""
    state: str = "here"
    """``here``, ``away``, ``lost``, ``broken`` or ``destroyed``."""
    stage: str
    load: str | None = None
    firings: list[str] = field(default_factory=list)
    marked_at: str
    replaces: str | None = None
    mold: str | None
    sold: Sale | None = None
    given: bool = False
    away_at: str | UnsetType = UNSET
    returned: int = 0
    lost_at: str | UnsetType = UNSET
    cause: str | None = None
    evidence: str | None = None
    photos: list[str] = field(default_factory=list)
    declared: str | None = None
    """What becomes of it, if it is surplus."""


class NumberDoc(Document, kw_only=True):
    """A number or a proof's number: who has borne it, and how it stands."""

    KIND = "number"

    kind: str
    n: int
    bearers: list[str] = field(default_factory=list)
    living: str | None = None
    status: str | None = None
    """``living``, ``owed``, ``gone`` or ``settled``."""
    why: str | UnsetType = UNSET
    """Why it was settled."""
    settled_at: str | UnsetType = UNSET


class LoadDoc(Document, kw_only=True):
    """A kiln load."""

    KIND = "load"

    firing: str
    refire: bool
    kiln: str | None
    state: str = "closed"
    """``closed`` while it is in the kiln, then ``opened``."""
    from_stage: str = field(name="from")
    count: int
    """Ware in it that bears no number."""
    pieces: list[str]
    closed_at: str
    opened_at: str | None = None
    lost: dict[str, int] = field(default_factory=dict)
    lost_pieces: dict[str, str] = field(default_factory=dict)
    """Causes by the pieces' labels."""
    cones: str | None = None

    @property
    def size(self) -> int:
        """How many pieces are in it, marked or not."""
        return self.count + len(self.pieces)


class TallyDoc(Document, kw_only=True):
    """What one day's casts came to, or the casts and the glazing of one lot."""

    KIND = "tally"

    cast: int | UnsetType = UNSET
    thrown: int | UnsetType = UNSET
    good: int | UnsetType = UNSET
    lost: dict[str, int] | UnsetType = UNSET
    lost_later: dict[str, int] | UnsetType = UNSET
    glazed: int | UnsetType = UNSET


class LotDoc(Document, kw_only=True):
    """A lot of slip, glaze, plaster, rubber or clay."""

    KIND = "lot"

    what: str
    name: str
    at: str
    mass: Quantity | None
    water: Quantity | None
    readings: int = 0
    last: LastReading | None = None


class ReadingDoc(Document, kw_only=True):
    """How a lot read once."""

    KIND = "reading"

    lot: str
    at: str
    liter_weight: Quantity | UnsetType = UNSET
    flow: Quantity | UnsetType = UNSET
    temperature: Quantity | UnsetType = UNSET


class ThermometerDoc(Document, kw_only=True):
    """What a thermometer in a setting part read, counted from plaster meeting water."""

    KIND = "heat"

    at: str
    degc: list[str]
    after_min: list[str]
    batch: str | None
    mold: str | None
    spare: str | None
    lot: str | None
    consistency: int | None
    contact: str | None
    thickness: Quantity
    one_face: bool | None
    mix_temperature: Quantity | None
    room_temperature: Quantity | None
    poured: Quantity | None


class StocktakeDoc(Document, kw_only=True):
    """What was counted, and what the book said at that moment."""

    KIND = "stocktake"

    at: str
    counts: dict[str, int]
    book: dict[str, int]


class NoteDoc(Document, kw_only=True):
    """A note about anything."""

    KIND = "note"

    at: str
    about: str | None
    text: str


class PhotoDoc(Document, kw_only=True):
    """A photo that was kept, by the digest of its file."""

    KIND = "photo"

    at: str
    about: str | None
    also: list[str] | UnsetType = UNSET
    """What else it shows, by later entries."""
    erased: str | None = None
    why: str | UnsetType | None = UNSET
    """Why it was erased."""

    @property
    def shows(self) -> list[str]:
        """Everything that it is of."""
        return [*([self.about] if self.about else []), *(or_none(self.also) or [])]


class Seen(Struct, kw_only=True):
    """What one device saw of a step: that it began, or that it ended."""

    id: str
    """The id of the command."""
    at: str
    by: str
    tap: int | UnsetType = UNSET
    """Its place among the device's taps."""
    ended: bool | UnsetType = UNSET
    target: Quantity | UnsetType = UNSET
    cause: str | UnsetType = UNSET
    """Why a piece of a load is lost."""
    scratched_in: list[str] | UnsetType = UNSET
    """The labels of the molds that a batch was poured for."""


class StepDoc(Document, kw_only=True):
    """A step at the bench or the kiln: all that was seen of it, and what of that was taken back."""

    KIND = "step"

    what: str
    step: str
    seen: list[Seen]
    undone: dict[str, str]
    """By the id of each undo, the id of what it takes back."""

    @property
    def begun(self) -> Seen | None:
        """The earliest that stands of those that saw it begin, since it was ended last."""
        return next((one for one in self._since_its_end() if one.ended is UNSET), None)

    @property
    def started(self) -> str:
        """When it began, empty if nobody says so."""
        return self.begun.at if self.begun else ""

    @property
    def ended(self) -> str | None:
        """When it ended by itself, None if it did not, or was started again."""
        return next((one.at for one in self._since_its_end() if one.ended is True), None)

    @property
    def was_ended(self) -> bool:
        """Whether anybody ever saw it end."""
        if not self.undone:
            return any(one.ended is True for one in self.seen)
        return any(one.stage != self.step for one in standing(self.observations()))

    @property
    def target(self) -> Quantity | None:
        """How long it should take, as who saw it begin has it."""
        return or_none(self.begun.target) if self.begun else None

    def _since_its_end(self) -> list[Seen]:
        """Return what stands, from its last beginning on: what was ended may be started again."""
        if len(self.seen) == 1 and not self.undone:  # as nearly all are, thousands in ten years
            return self.seen
        by_id = {one.id: one for one in self.seen}
        lately: list[Observation] = []
        for one in sorted(standing(self.observations()), key=told_order):
            ends = [other.at for other in lately if other.stage != self.step]
            if ends and one.stage == self.step and one.at - ends[0] > APART:
                lately = []
            lately.append(one)
        return [by_id[one.id] for one in lately]

    def observations(self) -> list[Observation]:
        """Return what was seen of it, and what takes that back, as observations."""
        found = [
            Observation(
                id=one.id,
                thing=self.what,
                stage=self.step if one.ended is UNSET else f"{self.step} ended",
                at=datetime.fromisoformat(one.at)
                if len(one.at) > len("2027-03-01")
                else _midnight(one.at),
                device=one.by,
                number=or_zero(one.tap),
                cause=or_none(one.cause) or "",
            )
            for one in self.seen
        ]
        return found + [
            Observation(
                id=key, thing=self.what, stage=self.step, at=_LONG_AGO, device="", undoes=of
            )
            for key, of in self.undone.items()
        ]


_LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)


def _midnight(day: str) -> datetime:
    """Return the first moment of a day: of what was typed with a day alone only the order counts."""
    return datetime.combine(date.fromisoformat(day), time(), UTC)


class FindingDoc(Document, kw_only=True):
    """What is odd about an entry; ``thing`` is what was timed or seen in it, empty where nothing was."""

    KIND = "finding"

    entry: str
    seq: int
    at: str
    what: str
    said: str
    thing: str = ""


# --- quantities and prices of an entry's body, as documents have them


def as_quantity(told: Mapping[str, str]) -> Quantity:
    """Return a quantity as a document has it."""
    return msgspec.convert(told, Quantity)


def quantity_or_none(told: Mapping[str, str] | None) -> Quantity | None:
    """Return a quantity as a document has it, None if it was not told."""
    return None if told is None else as_quantity(told)


def price_or_none(told: Mapping[str, str] | None) -> Price | None:
    """Return a price as a document has it, None if it was not told."""
    return None if told is None else msgspec.convert(told, Price)
