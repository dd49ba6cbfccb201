"""An edition as it stands: every number by its state, ware in work, losses, money, what comes next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from urllib.parse import urlencode

from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.said import listed, many
from pourwright.ledger.stages import last_stage, stage_when_marked
from pourwright.ledger.things import Doc, Things
from pourwright.money import Money
from pourwright.plan.standing_from_book import day_of, edition_doc, need_of
from pourwright.report.saying import count, day
from pourwright.studio.answers import findings, owed, stages, yields
from pourwright.studio.editions import known_editions

Fact = tuple[str, str, str]

AT_ONCE = 12
"""Trays on one page."""

NOT_MADE = ("none", "to make")
_ON_ITS_WAY = {
    "greenware": ("raw", "raw"),
    "bisque": ("half", "bisque"),
    "fired": ("half", "fired"),
    "third-fired": ("half", "fired"),
    "finished": ("done", "here"),
}
_NO_LIVING = {
    "owed": ("lost", "owed"),
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
    "left": "sent or handed over",
    "given": "given away",
    "owed": "lost: the number is owed",
    "gone": "broken after it left",
    "settled": "never made again, by decision",
    "to make": "not made yet",
}
"""Every word of the tray, and what it means."""


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
    """

    label: str
    key: str
    shape: str
    word: str


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
    docs = known_editions(reading)[begin : begin + AT_ONCE]
    things = reading.things
    return tuple(_card(things, doc, zone) for doc in docs)


def _card(things: Things, doc: Doc, zone: str) -> EditionCard:
    mark, word = state_mark(doc)
    edition = doc["edition"]
    return EditionCard(
        edition=edition, name=doc["name"], state=doc["state"], mark=mark, word=word,
        words=standing_words(things, edition, zone), feet=feet(things, edition, "numbered"),
    )  # fmt: skip


def edition_shown(things: Things, edition: str, zone: str) -> dict[str, Any]:
    """Return what the book says of an edition, as its page shows it; not to be changed.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    zone : str
        The studio's time zone.
    """
    doc = edition_doc(things, edition)
    numbers, proofs = (feet(things, edition, one) for one in ("numbered", "proof"))
    return {
        "edition": edition, "name": doc["name"], "state": doc["state"], "mark": state_mark(doc),
        "words": standing_words(things, edition, zone), "numbers": numbers, "proofs": proofs,
        "key": key_of((*numbers, *proofs)), "steps": next_steps(things, edition),
        "facts": edition_facts(things, edition, zone), "in_work": in_work(things, edition),
        "surplus": surplus_facts(things, edition), "money": money_facts(things, edition),
        "stage_yields": yield_rows(things, edition, "stage"),
        "cause_yields": yield_rows(things, edition, "cause"),
        "odd": odd_lines(things, edition, zone),
    }  # fmt: skip


def state_mark(doc: Doc) -> tuple[str, str]:
    """Return the shape and the word of an edition's state."""
    marks = {"planned": ("raw", "Planned"), "declared": ("half", "Declared"), "closed": ("done", "Closed")}  # fmt: skip
    return marks[doc["state"]]


def standing_words(things: Things, edition: str, zone: str) -> str:
    """Return in one sentence how far an edition is."""
    doc = edition_doc(things, edition)
    if doc["closed"] is not None:
        closed = doc["closed"]
        on = day(day_of(closed["at"], zone))
        return f"Closed at {closed['made']} of {closed['of']} on {on}."
    numbers = owed(things, edition)["numbers"]
    told = f"{numbers['living'] + numbers['gone']} of {numbers['of']} numbered"
    if numbers["owed"]:
        told += f", {numbers['owed']} owed"
    in_work = sum(doc["ware"].values()) + doc["loaded"]
    return f"{told}, {many(in_work, 'unmarked piece')} in work." if in_work else f"{told}."


def feet(things: Things, edition: str, kind: str) -> tuple[Foot, ...]:
    """Return a foot for each number of an edition, or for each proof.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    kind : {"numbered", "proof"}
        Which.
    """
    return tuple(_feet(things, edition, kind))


def _feet(things: Things, edition: str, kind: str) -> Iterator[Foot]:
    doc = edition_doc(things, edition)
    letters = doc["proof_kind"] if kind == "proof" else ""
    borne = {one["n"]: one for _, one in things.of("number", edition) if one["kind"] == kind}
    pieces = dict(things.of("piece", edition)) if borne else {}
    for n in range(1, (doc["proofs"] if letters else doc["pieces"]) + 1):
        shape, word = _state(pieces, borne.get(n))
        yield Foot(f"{letters} {n}".strip(), f"{letters}{n}", shape, word)


def _state(pieces: Mapping[str, Doc], number: Doc | None) -> tuple[str, str]:
    if number is None:
        return NOT_MADE
    if number["living"] is None:
        return _NO_LIVING[number["status"]]
    piece = pieces[number["living"]]
    if piece["state"] == "away":
        return "away", "given" if piece["given"] else "left"
    if piece["load"]:
        return "half", "in kiln"
    shape, word = _ON_ITS_WAY[piece["stage"]]
    return (shape, "sold") if shape == "done" and piece["sold"] else (shape, word)


def key_of(all_feet: Iterable[Foot]) -> list[tuple[str, str, str, int]]:
    """Return shape, word, meaning and count of each state that is in the tray."""
    counts = Counter((one.shape, one.word) for one in all_feet)
    order = {word: at for at, word in enumerate(KEY)}
    found = sorted(counts.items(), key=lambda item: order[item[0][1]])
    return [(shape, word, KEY[word], number) for (shape, word), number in found]


def in_work(things: Things, edition: str) -> list[tuple[str, str, str]]:
    """Return each stage with unmarked and marked pieces, and the loads that are closed."""
    told = stages(things, edition)
    rows = [(one["stage"], str(one["unmarked"]), str(one["marked"])) for one in told["stages"]]
    loads = [(f"in the kiln, {one['firing']} ({one['load']})", str(one["pieces"]), "") for one in told["in_the_kiln"]]  # fmt: skip
    return rows + [(stage, pieces, "not opened") for stage, pieces, _ in loads]


def surplus_facts(things: Things, edition: str) -> list[Fact]:
    """Return what there is beyond the edition: unmarked, marked as surplus, and what was declared."""
    doc = edition_doc(things, edition)
    pieces = Counter(
        one["kind"] for _, one in things.of("piece", edition)
        if one["kind"] not in ("numbered", "proof") and one["state"] == "here"
    )  # fmt: skip
    wanted = owed(things, edition)
    to_make = wanted["numbers"]["to_make"] + wanted["proofs"]["to_make"]
    over = max(wanted["ware"] - to_make, 0)
    facts = [("In work beyond what is owed", many(over, "piece"), "if nothing more is lost")]
    facts += [(f"Marked as {kind}", many(number, "piece"), "") for kind, number in pieces.items()]
    facts += [(f"Declared: {fate}", many(number, "piece"), "") for fate, number in doc["surplus"].items()]  # fmt: skip
    return facts


def yield_rows(things: Things, edition: str, by: str) -> list[tuple[str, str, str, str]]:
    """Return rows of name, count of how many, share and the interval of nineteen in twenty.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.
    by : str
        As for :func:`pourwright.studio.answers.yields`.
    """
    counted = "lost" if by == "cause" else "good"
    return [
        (
            str(one[by]), f"{one[counted]} of {one['of']}",
            "" if one["share"] is None else f"{100 * one['share']:.0f} %",
            f"{100 * one['low']:.0f} to {100 * one['high']:.0f} %",
        )
        for one in yields(things, edition, by)
    ]  # fmt: skip


def money_facts(things: Things, edition: str) -> list[Fact]:
    """Return what was sold, each currency by itself."""
    pieces = [one for _, one in things.of("piece", edition) if one["sold"]]
    prices = [one["sold"]["price"] for one in pieces if one["sold"]["price"]]
    sums: dict[str, Decimal] = {}
    for price in prices:
        currency = price["currency"]
        sums[currency] = sums.get(currency, Decimal(0)) + Decimal(price["value"])
    untold = len(pieces) - len(prices)
    note = f"{many(untold, 'piece')} sold without a price in the book" if untold else ""
    facts = [("Sold for", str(Money(amount, currency)), "") for currency, amount in sums.items()]
    return [("Pieces sold", str(len(pieces)), note), *facts]


def odd_lines(things: Things, edition: str, zone: str) -> list[dict[str, str]]:
    """Return what is odd about an edition, the newest first, each leading to its entry."""
    return [
        {
            "words": one["said"],
            "note": day(day_of(one["at"], zone)),
            "to": f"/records/{one['seq']}",
            "kind": "odd",
            "word": "Odd",
        }
        for one in reversed(findings(things, edition))
    ]


def edition_facts(things: Things, edition: str, zone: str) -> list[Fact]:
    """Return what an edition is: its size, route, molds, casts and terms."""
    doc = edition_doc(things, edition)
    declared = day(day_of(doc["declared_at"], zone)) if "declared_at" in doc else "not yet"
    ware = f"{doc['cast']} casts, {doc['thrown']} to condition molds, {doc['good']} good"
    return [
        ("Edition", count(doc["pieces"], "numbered piece"), f"and {count(doc['proofs'], 'proof')} ({doc['proof_kind']})"),
        ("Declared", declared, "" if doc["frozen"] else "its size may still change"),
        ("To be made in all", str(need_of(doc)), ""),
        ("Molds poured", str(doc["molds"]), f"{doc['molds_planned']} planned" if doc["molds_planned"] else ""),
        ("Cast so far", str(doc["cast"]), ware if doc["cast"] else ""),
        ("Firings", doc["route"], f"numbers are marked: {doc['marked']}"),
    ]  # fmt: skip


# --- what can be done with an edition now, each step leading to the form that writes it down

_KEPT_OFTEN = ("original", "model file")


def next_steps(things: Things, edition: str) -> list[tuple[str, str, str]]:
    """Return what can be done with an edition now: words, address and how strongly it is shown.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.

    Returns
    -------
    list of (str, str, str)
        The last is ``""``, ``"quiet"`` or ``"grave"``.
    """
    doc = edition_doc(things, edition)
    if doc["state"] == "closed":
        which = owed(things, edition)["numbers"]["which"]
        settle = [(f"Settle {n}", _to("settle", edition, numbers=n), "quiet") for n in which[:3]]
        return [*_of_pieces(edition, doc), *settle]
    if doc["state"] == "planned":
        size = {"pieces": doc["pieces"], "proofs": doc["proofs"]}
        return [
            ("Declare it", _to("declare", edition, **size), ""),
            ("Change its size", _to("change-size", edition, **size), "quiet"),
        ]
    return [
        *_of_numbers(things, doc), *_of_pieces(edition, doc), ("Surplus", _to("surplus", edition), "quiet"),
        *_of_the_form(things, doc), ("Close it", _to("close", edition), "grave"),
    ]  # fmt: skip


def _of_numbers(things: Things, doc: Doc) -> Iterator[tuple[str, str, str]]:
    edition = doc["edition"]
    there = doc["ware"][stage_when_marked(doc)]
    numbers, proofs = (_to_make(things, edition, kind) for kind in ("numbered", "proof"))
    if numbers and there:
        run = _run(numbers[:there])
        yield f"Mark {run}", _to("mark", edition, numbers=run), ""
    if proofs and there > len(numbers):
        run = _run([one.rpartition(" ")[2] for one in proofs[: there - len(numbers)]])
        to = _to("mark", edition, numbers=run, kind="proof")
        yield f"Mark {doc['proof_kind']} {run}", to, "quiet" if numbers else ""
    for n in owed(things, edition)["numbers"]["which"][:3]:
        yield f"Replace {n}", _to("mark", edition, numbers=n, evidence=_evidence(things, edition, n)), "quiet"  # fmt: skip
    if doc["ware"][last_stage(doc["route"])] or doc["named"][last_stage(doc["route"])]:
        yield "Inspect and finish", _to("finish", edition), "quiet"


def _to_make(things: Things, edition: str, kind: str) -> list[str]:
    return [foot.label for foot in feet(things, edition, kind) if foot.word == "to make"]


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


def _of_the_form(things: Things, doc: Doc) -> Iterator[tuple[str, str, str]]:
    """Yield what is left to do with all that could remake the form, once every number is made."""
    edition = doc["edition"]
    if any(_to_make(things, edition, kind) for kind in ("numbered", "proof")):
        return

    def left(kind: str) -> list[tuple[str, Doc]]:
        gone = ("destroyed", "in use") if kind == "part" else ("destroyed",)
        found = things.of(kind, edition)
        return [(name, one) for name, one in found if one["state"] not in gone and not one["kept"]]

    molds, spares = (", ".join(name for name, _ in left(kind)) for kind in ("mold", "part"))
    if molds or spares:
        yield "Destroy the molds", _to("destroy", edition, molds=molds, spares=spares), "quiet"
    forms = [name for name, one in left("form") if one["what"] not in _KEPT_OFTEN]
    if forms:
        to = _to("destroy-form", edition, forms=", ".join(forms))
        yield f"Destroy {listed(forms)}", to, "quiet"
    rest = [name for name, one in left("form") if one["what"] in _KEPT_OFTEN]
    if rest:
        yield f"Declare {listed(rest)} kept", _to("keep-form", edition, forms=", ".join(rest)), "quiet"  # fmt: skip


def _evidence(things: Things, edition: str, n: int) -> str:
    """Return what showed the loss of the number's last bearer, if it was told."""
    number = things.get("number", f"{edition}/{n}") or {"bearers": []}
    piece = things.get("piece", number["bearers"][-1]) if number["bearers"] else None
    return str((piece or {}).get("evidence") or "")


def _of_pieces(edition: str, doc: Doc) -> Iterator[tuple[str, str, str]]:
    if doc["piece_states"].get("here"):
        yield "Sell", _to("sell", edition), "quiet"
        yield "Ship", _to("ship", edition), "quiet"
        yield "A piece broke", _to("break", edition), "quiet"


def _to(verb: str, edition: str, **fields: object) -> str:
    told = {name: value for name, value in fields.items() if value != ""}
    return f"/do/{verb}?{urlencode({'edition': edition, **told, 'back': f'/editions/{edition}'})}"
