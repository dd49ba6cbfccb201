"""An edition as it stands: every number by its state, ware in work, losses, money, what comes next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from urllib.parse import urlencode

from msgspec import UNSET, Struct

from pourwright.ledger.documents import (
    EditionDoc,
    FormDoc,
    MoldDoc,
    NumberDoc,
    PieceDoc,
    SpareDoc,
)
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.said import many, names_said
from pourwright.ledger.stages import last_stage, stage_when_marked
from pourwright.ledger.state.edition import could_remake
from pourwright.ledger.state.numbers import WITH_NUMBER
from pourwright.ledger.state.promise import may_be_claimed
from pourwright.ledger.things import Things
from pourwright.money import Money
from pourwright.plan.standing_from_book import day_of, edition_doc, need_of
from pourwright.report.saying import count, day
from pourwright.studio.answers import (
    findings,
    owed,
    pieces_at,
    stages,
    unmarked_in_work,
    yields,
)
from pourwright.studio.editions import known_editions
from pourwright.studio.lines import EntryLine

Fact = tuple[str, str, str]

AT_ONCE = 8
"""Trays on one page."""

MOST_OWED = 3
"""Owed numbers that are named among what is to be done; the tray shows all."""
NOT_MADE = ("none", "to make")
_ON_ITS_WAY = {
    "greenware": ("raw", "raw"),
    "bisque": ("half", "bisque"),
    "fired": ("fired", "fired"),
    "third-fired": ("fired", "fired"),
    "finished": ("done", "here"),
}
_NO_LIVING = {
    "owed": ("lost", "to make again"),
    "gone": ("gone", "gone"),
    "settled": ("settled", "settled"),
}
KEY = {
    "raw": "marked and raw",
    "bisque": "through the bisque",
    "in kiln": "in the kiln",
    "fired": "glazed and fired, not inspected",
    "here": "finished and here",
    "sold": "sold and still here",
    "shipped": "sent or handed over",
    "given": "given away",
    "to make again": "lost, and to be made again",
    "gone": "broken after it left",
    "settled": "never made again, by decision",
    "to make": "not made yet",
}
"""Every word of the tray, and what it means."""
_PIECE_LEFT = ("return", "break away", "photo")
ACTS: dict[str, tuple[str, ...]] = {
    "raw": ("lose", "photo"),
    "bisque": ("lose", "photo"),
    "in kiln": ("photo",),
    "fired": ("finish", "lose", "photo"),
    "here": ("sell", "ship", "unsold", "give", "break", "photo"),
    "sold": ("ship", "break", "photo"),
    "shipped": _PIECE_LEFT,
    "given": _PIECE_LEFT,
    "to make again": ("settle",),
}
"""What can be done with a number, by its word; of marking and making again more must be known.

``unsold`` is no act: what is shipped so leaves unsold, which is said beside the press.
"""


@dataclass(frozen=True, slots=True)
class Foot:
    """A number as it lies in the tray, its foot up.

    Parameters
    ----------
    label : str
        What stands on it: ``7`` or ``AP 2``.
    key : str
        What its address ends in.
    shape, word : str
        Its state: the shape first, and always a word.
    acts : tuple of str
        What can be done with it now, of `ACTS`.
    is_sold : bool
        Whether a piece that bears it was sold, however far on it is.
    """

    label: str
    key: str
    shape: str
    word: str
    acts: tuple[str, ...] = ()
    is_sold: bool = False

    @property
    def is_borne(self) -> bool:
        """Whether a piece bears it, so that what is done is done to the piece."""
        return self.word not in ("to make", "to make again", "gone", "settled")

    @property
    def named(self) -> str:
        """What a command calls it: a piece as it is written, a number that nobody bears by its figures."""
        return self.label if self.is_borne else self.label.rpartition(" ")[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class EditionCard:
    """An edition in the list of all."""

    edition: str
    name: str
    state: str
    mark: str
    word: str
    words: str
    feet: tuple[Foot, ...]


def edition_cards(reading: Reading, zone: str, begin: int = 0) -> tuple[EditionCard, ...]:
    """Return some editions, those that are open first.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    zone : str
        The studio's time zone.
    begin : int
        How many of them to pass over; there are at most `AT_ONCE`. [-]
    """
    shown = known_editions(reading)[begin : begin + AT_ONCE]
    return tuple(_card(reading.things, one, zone) for one in shown)


def _card(things: Things, doc: EditionDoc, zone: str) -> EditionCard:
    mark, word = state_mark(doc)
    return EditionCard(
        edition=doc.edition,
        name=doc.name,
        state=doc.state,
        mark=mark,
        word=word,
        words=standing_words(things, doc.edition, zone),
        feet=feet(things, doc.edition, "numbered"),
    )


class EditionShown(Struct, kw_only=True, frozen=True):
    """What the book says of an edition, as its page shows it.

    Parameters
    ----------
    edition, name, state, words : str
        Its id and name, how it stands, and the same in a sentence.
    mark : tuple of (str, str)
        Shape and word of its state.
    numbers, proofs : tuple of Foot
        Its trays.
    key, proof_key : list of (str, str, str, int)
        What the states of each tray mean, and how many there are of each.
    not_again : str
        What is missing to make a lost number again; empty if nothing is.
    marks : list of (str, dict of str to str)
        What can be marked at once: words, and the command's fields.
    price : Money or None
        What a piece was last sold for.
    steps : list of (str, str, str)
        As :func:`next_steps` has them.
    facts, surplus, money : list of Fact
        What it is, what there is beyond it, and what was sold.
    in_work : list of (str, str, str)
        Ware by stage.
    stage_yields, cause_yields : list of (str, str, str, str)
        As :func:`yield_rows` has them.
    odd : list of EntryLine
        What was odd.
    """

    edition: str
    name: str
    state: str
    mark: tuple[str, str]
    words: str
    numbers: tuple[Foot, ...]
    proofs: tuple[Foot, ...]
    key: list[tuple[str, str, str, int]]
    proof_key: list[tuple[str, str, str, int]]
    not_again: str
    marks: list[tuple[str, dict[str, str]]]
    price: Money | None
    steps: list[tuple[str, str, str]]
    facts: list[Fact]
    in_work: list[tuple[str, str, str]]
    surplus: list[Fact]
    money: list[Fact]
    stage_yields: list[tuple[str, str, str, str]]
    cause_yields: list[tuple[str, str, str, str]]
    odd: list[EntryLine]


def edition_shown(things: Things, edition: str, zone: str, today: date) -> EditionShown:
    """Return what the book says of an edition, as its page shows it on a day."""
    doc = edition_doc(things, edition)
    numbers, proofs = (feet(things, edition, one, today) for one in ("numbered", "proof"))
    return EditionShown(
        edition=edition,
        name=doc.name,
        state=doc.state,
        mark=state_mark(doc),
        words=standing_words(things, edition, zone),
        numbers=numbers,
        proofs=proofs,
        key=key_of(numbers),
        proof_key=key_of(proofs),
        not_again=not_again(doc, (*numbers, *proofs)),
        marks=marks(doc, numbers, proofs),
        price=last_price(things, edition),
        steps=next_steps(things, edition),
        facts=edition_facts(things, edition, zone),
        in_work=ware_rows(things, edition),
        surplus=surplus_facts(things, edition),
        money=money_facts(things, edition),
        stage_yields=yield_rows(things, edition, "stage"),
        cause_yields=yield_rows(things, edition, "cause"),
        odd=odd_lines(things, edition, zone),
    )


_MARKS = {
    "planned": ("raw", "Planned"),
    "declared": ("half", "Declared"),
    "closed": ("done", "Closed"),
}


def state_mark(doc: EditionDoc) -> tuple[str, str]:
    """Return the shape and the word of an edition's state."""
    return _MARKS[doc.state]


def standing_words(things: Things, edition: str, zone: str) -> str:
    """Return in one sentence how far an edition is."""
    doc = edition_doc(things, edition)
    closed = doc.closed
    if closed is not None:
        return f"Closed at {closed.made} of {closed.of} on {day(day_of(closed.at, zone))}."
    numbers = owed(things, edition).numbers
    told = f"{numbers.living + numbers.gone} of {numbers.of} numbered"
    if numbers.owed:
        told += f", {numbers.owed} lost and to be made again"
    in_work = unmarked_in_work(doc)
    return f"{told}, {many(in_work, 'unmarked piece')} in work." if in_work else f"{told}."


def feet(things: Things, edition: str, kind: str, today: date | None = None) -> tuple[Foot, ...]:
    """Return a foot for each number of an edition ("numbered"), or for each proof ("proof").

    Parameters
    ----------
    things : Things
        The state.
    edition, kind : str
        Whose numbers, and which.
    today : date or None
        The day on which something may be done with them, for what can be claimed only for so
        long; None where nothing is.
    """
    return tuple(_feet(things, edition, kind, today))


def _feet(things: Things, edition: str, kind: str, today: date | None) -> Iterator[Foot]:
    doc = edition_doc(things, edition)
    is_claimed = kind == "numbered" and today is not None and may_be_claimed(doc, today.isoformat())
    again = ("to make again", "gone") if is_claimed else ("to make again",)
    letters = doc.proof_kind if kind == "proof" else ""
    borne = {one.n: one for _, one in things.of(NumberDoc, edition) if one.kind == kind}
    pieces = dict(things.of(PieceDoc, edition)) if borne else {}
    for n in range(1, (doc.proofs if letters else doc.pieces) + 1):
        number = borne.get(n)
        shape, word = _state(pieces, number)
        acts = tuple(_acts(doc, word, kind, _last_bearer(pieces, number), again))
        is_sold = number is not None and any(pieces[one].sold for one in number.bearers)
        yield Foot(f"{letters} {n}".strip(), f"{letters}{n}", shape, word, acts, is_sold)


def not_again(doc: EditionDoc, all_feet: Iterable[Foot]) -> str:
    """Return what is missing where a lost number cannot be made again now; empty if nothing is."""
    owing = [one for one in all_feet if one.word == "to make again"]
    if not owing or any("again shown" in one.acts for one in owing):
        return ""
    if doc.state == "closed":
        return "The edition is closed, so that nothing is made again."
    return f"No unmarked {stage_when_marked(doc)} piece is free; once one is, it can be made again."


def _last_bearer(pieces: Mapping[str, PieceDoc], number: NumberDoc | None) -> PieceDoc | None:
    return pieces.get(number.bearers[-1]) if number and number.bearers else None


def _acts(
    doc: EditionDoc, word: str, kind: str, last: PieceDoc | None, again: tuple[str, ...]
) -> Iterator[str]:
    """Yield what can be done with a number; marking takes an unmarked piece where it is marked.

    ``again`` are the words of the numbers that are made again.
    """
    may_mark = doc.state == "declared" and doc.ware[stage_when_marked(doc)] > 0
    if word == "to make" and may_mark:
        yield "mark"
    if word in again and may_mark:
        yield "again shown"
        if last and (last.evidence or last.photos):
            yield "again"
    yield from ACTS.get(word, ())
    if word == "shipped" and last and not last.sold:
        yield "sell"
    if word == "here" and kind == "proof":
        yield "destroy"


def _state(pieces: Mapping[str, PieceDoc], number: NumberDoc | None) -> tuple[str, str]:
    if number is None or number.status is None:
        return NOT_MADE
    if number.living is None:
        return _NO_LIVING[number.status]
    piece = pieces[number.living]
    if piece.state == "away":
        return ("given", "given") if piece.given else ("away", "shipped")
    if piece.load:
        return "kiln", "in kiln"
    shape, word = _ON_ITS_WAY[piece.stage]
    return ("sold", "sold") if shape == "done" and piece.sold else (shape, word)


def key_of(all_feet: Iterable[Foot]) -> list[tuple[str, str, str, int]]:
    """Return shape, word, meaning and count of each state that is in a tray."""
    counts = Counter((one.shape, one.word) for one in all_feet)
    order = {word: at for at, word in enumerate(KEY)}
    found = sorted(counts.items(), key=lambda item: order[item[0][1]])
    return [(shape, word, KEY[word], number) for (shape, word), number in found]


def ware_rows(things: Things, edition: str) -> list[tuple[str, str, str]]:
    """Return each stage with unmarked and marked pieces, and the loads that are closed."""
    told = stages(things, edition)
    ware = [(one.stage, str(one.unmarked), str(one.marked)) for one in told.stages]
    loads = [
        (f"in the kiln, {load.firing} ({load.load})", str(load.pieces), "not opened")
        for load in told.in_the_kiln
    ]
    return ware + loads


def surplus_facts(things: Things, edition: str) -> list[Fact]:
    """Return what there is beyond the edition: unmarked, marked as surplus, and what was declared."""
    doc = edition_doc(things, edition)
    marked = Counter(
        piece.kind
        for _, piece in things.of(PieceDoc, edition)
        if piece.kind not in WITH_NUMBER and piece.state == "here"
    )
    wanted = owed(things, edition)
    over = max(wanted.ware - wanted.numbers.to_make - wanted.proofs.to_make, 0)
    facts = [("More in work than are to make", many(over, "piece"), "if nothing more is lost")]
    facts += [(f"Marked as {kind}", many(pieces, "piece"), "") for kind, pieces in marked.items()]
    for fate, pieces in doc.surplus.items():
        facts.append((f"Declared: {fate}", many(pieces, "piece"), ""))
    return facts


def yield_rows(things: Things, edition: str, by: str) -> list[tuple[str, str, str, str]]:
    """Return rows of name, count of how many, share and the interval of nineteen in twenty."""
    return [
        (
            one.name,
            f"{one.counted} of {one.of}",
            "" if one.share is None else f"{100 * one.share:.0f} %",
            f"{100 * one.low:.0f} to {100 * one.high:.0f} %",
        )
        for one in yields(things, edition, by)
    ]


def money_facts(things: Things, edition: str) -> list[Fact]:
    """Return what was sold, each currency by itself."""
    sales = [piece.sold for _, piece in things.of(PieceDoc, edition) if piece.sold]
    prices = [sale.price for sale in sales if sale.price]
    sums: dict[str, Decimal] = {}
    for price in prices:
        sums[price.currency] = sums.get(price.currency, Decimal(0)) + Decimal(price.value)
    untold = len(sales) - len(prices)
    note = f"{many(untold, 'piece')} sold without a price in the book" if untold else ""
    facts = [("Sold for", str(Money(amount, currency)), "") for currency, amount in sums.items()]
    return [("Pieces sold", str(len(sales)), note), *facts]


def last_price(things: Things, edition: str) -> Money | None:
    """Return what a piece of an edition was last sold for, None if no price was told."""
    sales = [piece.sold for _, piece in things.of(PieceDoc, edition) if piece.sold]
    last = max((one for one in sales if one.price), key=lambda one: one.at, default=None)
    return Money(Decimal(last.price.value), last.price.currency) if last and last.price else None


def odd_lines(things: Things, edition: str, zone: str) -> list[EntryLine]:
    """Return what is odd about an edition, the newest first, each leading to its entry."""
    return [
        EntryLine(
            words=one.said,
            note=day(day_of(one.at, zone)),
            to=f"/records/{one.seq}",
            kind="odd",
            word="Odd",
        )
        for one in reversed(findings(things, edition))
    ]


def edition_facts(things: Things, edition: str, zone: str) -> list[Fact]:
    """Return what an edition is: its size, route, molds, casts and terms."""
    doc = edition_doc(things, edition)
    proofs = f"and {count(doc.proofs, 'proof')} ({doc.proof_kind})"
    declared = "not yet" if doc.declared_at is UNSET else day(day_of(doc.declared_at, zone))
    planned = f"{doc.molds_planned} planned" if doc.molds_planned else ""
    ware = f"{doc.cast} casts, {doc.thrown} thrown away as first casts, {doc.good} good"
    return [
        ("Edition", count(doc.pieces, "numbered piece"), proofs),
        ("Declared", declared, "" if doc.frozen else "its size may still change"),
        ("To be made in all", str(need_of(doc)), ""),
        ("Molds poured", str(doc.molds), planned),
        ("Cast so far", str(doc.cast), ware if doc.cast else ""),
        ("Firings", doc.route, f"numbers are marked: {doc.marked}"),
    ]


# --- what can be done with an edition now, each step leading to the form that writes it down

_KEPT_OFTEN = ("original", "model file")


def next_steps(things: Things, edition: str) -> list[tuple[str, str, str]]:
    """Return what can be done with an edition now: words, address and the thing that stands for it."""
    doc = edition_doc(things, edition)
    closing = "How it ended" if doc.state == "closed" else "Close it, destroy the molds"
    end = (closing, f"/editions/{edition}/end", "end")
    which = owed(things, edition).numbers.which
    owing = [
        (f"{n} is lost: make it again", f"/editions/{edition}/numbers/{n}", "losses")
        for n in which[:MOST_OWED]
    ]
    if rest := which[MOST_OWED:]:
        words = f"and {len(rest)} more: {names_said([str(n) for n in rest])}"
        owing.append((words, f"/editions/{edition}#tray-numbered", "losses"))
    if doc.state == "closed":
        return [*owing, end]
    if doc.state == "planned":
        size = {"pieces": doc.pieces, "proofs": doc.proofs}
        return [
            ("Declare it", _to("declare", edition, **size), "edition"),
            ("Change its size", _to("change-size", edition, **size), "numbers"),
            end,
        ]
    inspect = [("Inspect and pack", _to("finish", edition), "box")]
    fired = pieces_at(doc, last_stage(doc.route))
    return [
        *owing,
        *(inspect if fired else []),
        ("Surplus", _to("surplus", edition), "surplus"),
        end,
    ]


def marks(
    doc: EditionDoc, numbers: Sequence[Foot], proofs: Sequence[Foot]
) -> list[tuple[str, dict[str, str]]]:
    """Return what can be marked at once, numbers first: words, and the fields of the command.

    Pieces that lost numbers wait for are left to them.
    """
    owing = sum(one.word == "to make again" for one in (*numbers, *proofs))
    there = max(doc.ware[stage_when_marked(doc)] - owing, 0)
    to_make = [one.named for one in numbers if "mark" in one.acts]
    fields = {"edition": doc.edition}
    found = []
    if to_make[:there]:
        run = _run(to_make[:there])
        found.append((f"Mark {run} on the next feet", fields | {"numbers": run}))
    to_make_proofs = [one.named for one in proofs if "mark" in one.acts]
    rest = max(there - len(to_make), 0)
    if to_make_proofs[:rest]:
        run = _run(to_make_proofs[:rest])
        words = f"Mark {doc.proof_kind} {run} on the next feet"
        found.append((words, fields | {"numbers": run, "kind": "proof"}))
    return found


def _run(numbers: list[str]) -> str:
    """Return numbers as they are typed: the first and the last of each unbroken run.

    Examples
    --------
    >>> _run(["3"]), _run(["1", "2", "5", "7", "8"])
    ('3', '1-2, 5, 7-8')
    """
    runs: list[list[str]] = []
    for one in numbers:
        if runs and int(runs[-1][-1]) + 1 == int(one):
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else run[0] for run in runs)


def end_steps(
    things: Things, edition: str, *, may_destroy: bool, may_close: bool
) -> list[tuple[str, str, str]]:
    """Return what leads an edition to its end: words, address and how strongly it is shown.

    The last is ``"quiet"`` or ``"grave"``.
    """
    form = _of_the_form(things, edition) if may_destroy else ()
    close = (
        [("Close it", _to_end("close", edition, nothing_else="yes"), "grave")] if may_close else []
    )
    return [*form, *close]


def _of_the_form(things: Things, edition: str) -> Iterator[tuple[str, str, str]]:
    """Yield what is left to do with all that could remake the form."""
    left = could_remake(things, edition)
    molds = [name for name, one in left if isinstance(one, MoldDoc)]
    spares = [name for name, one in left if isinstance(one, SpareDoc)]
    if molds or spares:
        to = _to_end("destroy", edition, molds=", ".join(molds), spares=", ".join(spares))
        yield "Destroy the molds", to, "quiet"
    forms = [(name, one.what in _KEPT_OFTEN) for name, one in left if isinstance(one, FormDoc)]
    to_destroy = [name for name, is_kept_often in forms if not is_kept_often]
    if to_destroy:
        to = _to_end("destroy-form", edition, forms=", ".join(to_destroy))
        yield f"Destroy {names_said(to_destroy)}", to, "quiet"
    to_keep = [name for name, is_kept_often in forms if is_kept_often]
    if to_keep:
        to = _to_end("keep-form", edition, forms=", ".join(to_keep))
        yield f"Declare {names_said(to_keep)} kept", to, "quiet"


def _to(verb: str, edition: str, **fields: object) -> str:
    return _address(verb, edition, fields, back=f"/editions/{edition}")


def _to_end(verb: str, edition: str, **fields: object) -> str:
    return _address(verb, edition, fields, back=f"/editions/{edition}/end")


def _address(verb: str, edition: str, fields: Mapping[str, object], back: str) -> str:
    told = {name: value for name, value in fields.items() if value != ""}
    return f"/do/{verb}?{urlencode({'edition': edition, **told, 'back': back})}"
