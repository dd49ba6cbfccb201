"""Lots of slip, glaze, plaster, rubber and clay: what they were made of, how they read, what they became."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from urllib.parse import urlencode

from msgspec import UNSET, Struct

from pourwright.calculators.table import ask, find_question
from pourwright.calculators.words import as_sections
from pourwright.errors import BadInput
from pourwright.ledger.documents import (
    EditionDoc,
    FormDoc,
    LastReading,
    LotDoc,
    MoldDoc,
    ReadingDoc,
    TallyDoc,
    or_zero,
)
from pourwright.ledger.entry import STUDIO
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.record import LETTER_OF_LOT, LOTS
from pourwright.ledger.labels import label
from pourwright.ledger.said import many, names_said, with_unit
from pourwright.ledger.state.apply import counters
from pourwright.ledger.things import Things
from pourwright.plan.standing_from_book import day_of
from pourwright.report.blocks import Section
from pourwright.report.saying import day
from pourwright.studio.edition import Fact
from pourwright.studio.editions import known_editions

MOST_EDITIONS = 8
"""Editions that are looked through for what became of a lot, the newest first."""
READ = ("slip", "glaze")
"""What is read before use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCard:
    """A lot as it stands: a bucket, a bag or a can."""

    label: str
    what: str
    name: str
    mixed: str
    last: str
    used: str


def lots(reading: Reading, zone: str) -> tuple[tuple[str, tuple[LotCard, ...]], ...]:
    """Return the last lots of each kind, the newest first."""
    uses = _uses(reading)
    return tuple(
        (what, tuple(_lot(uses, *one, zone) for one in last_lots(reading.things, what)))
        for what in LOTS
    )


def _lot(uses: Mapping[str, list[Made]], label: str, lot: LotDoc, zone: str) -> LotCard:
    return LotCard(
        label=label,
        what=lot.what,
        name=lot.name,
        mixed=day(day_of(lot.at, zone)),
        last=", ".join(filter(None, _typed(lot.last))) if lot.last else "",
        used=_used_words(uses.get(label, ())),
    )


def _typed(reading: LastReading | ReadingDoc) -> tuple[str, str, str]:
    """Return liter weight, flow and temperature as they were typed, empty where one was not read."""
    weight, flow, temperature = (
        "" if one is UNSET else with_unit(one)
        for one in (reading.liter_weight, reading.flow, reading.temperature)
    )
    return weight, flow, temperature


class Made(Struct, frozen=True):
    """What was made of a lot: a mold or a form by its label, or a count of casts or of glazed pieces.

    ``kind`` is ``mold``, ``form``, ``cast`` or ``glazed``; ``to`` is the address of its page.
    """

    kind: str
    words: str
    edition: str
    to: str


def _uses(reading: Reading) -> dict[str, list[Made]]:
    """Return what became of each lot in the editions that were planned last."""
    used: dict[str, list[Made]] = {}
    for edition in known_editions(reading)[:MOST_EDITIONS]:
        for lot, made in _made_in(reading.things, edition):
            used.setdefault(lot, []).append(made)
    return used


def _made_in(things: Things, edition: EditionDoc) -> Iterator[tuple[str, Made]]:
    """Yield what became of each lot in one edition, with the lot."""
    name, to = edition.name, f"/editions/{edition.edition}"
    prefix = f"{edition.edition}/lot/"
    for key, tally in things.of(TallyDoc, edition.edition):
        if not key.startswith(prefix):
            continue
        lot = key.removeprefix(prefix)
        if cast := or_zero(tally.cast):
            said = f"{many(cast, 'cast')} of {name}, {or_zero(tally.good)} good"
            yield lot, Made("cast", said, name, to)
        if glazed := or_zero(tally.glazed):
            yield lot, Made("glazed", f"{many(glazed, 'piece')} of {name} glazed", name, to)
    for made, mold in things.of(MoldDoc, edition.edition):
        for lot in sorted({part.lot for part in mold.parts.values() if part.lot}):
            yield lot, Made("mold", made, name, f"/shelf/{made}")
    for made, form in things.of(FormDoc, edition.edition):
        if form.lot:
            about = urlencode({"about": made, "edition": edition.edition})
            yield form.lot, Made("form", made, name, f"/photos?{about}")


def _used_words(made: Sequence[Made]) -> str:
    """Return what became of a lot in words: counts first, then labels by their edition."""
    counted = [one.words for one in made if one.kind in ("cast", "glazed")]
    labels: dict[str, list[str]] = {}
    for one in made:
        if one.kind in ("mold", "form"):
            labels.setdefault(one.edition, []).append(one.words)
    told = [f"{names_said(names)} of {edition}" for edition, names in labels.items()]
    return "; ".join([*counted, *told])


class LotShown(Struct, kw_only=True, frozen=True):
    """What the page of a lot shows.

    Parameters
    ----------
    lot : LotCard
        The lot.
    facts : tuple of Fact
        What it was made of and what it became.
    readings : tuple of (str, str, str, str)
        Day, liter weight, flow and temperature, the last one first.
    weight : str
        What it last weighed, as it was typed; empty if it was never weighed.
    held : str
        The mass it had at first, as it was typed; empty if the book does not know it.
    made : tuple of Made
        What was made of it.
    figures : tuple of (str, str)
        Questions at the bench: words and address.
    """

    lot: LotCard
    facts: tuple[Fact, ...]
    readings: tuple[tuple[str, str, str, str], ...]
    weight: str
    held: str
    made: tuple[Made, ...]
    figures: tuple[tuple[str, str], ...]


def lot_shown(reading: Reading, label: str, zone: str) -> LotShown | None:
    """Return what the page of a lot such as ``S-003`` shows, None if there is no such lot."""
    lot = reading.things.get(LotDoc, label)
    if lot is None:
        return None
    uses = _uses(reading)
    card = _lot(uses, label, lot, zone)
    told = reading.latest(AT_ONCE, scope=STUDIO, kinds=("lot-read",), words=(f"lot {label} ",))
    # a correction may have changed a reading, or taken it away; a note may name another lot
    docs = (reading.things.get(ReadingDoc, one.id) for one in told)
    newest_first = [one for one in docs if one is not None and one.lot == label]
    rows = tuple((day(day_of(one.at, zone)), *_typed(one)) for one in newest_first)
    weight, flow = (next((row[at] for row in rows if row[at]), "") for at in (1, 2))
    return LotShown(
        lot=card,
        facts=tuple(_facts(lot, card)),
        readings=rows,
        weight=weight,
        held=lot.mass.typed if lot.mass else "",
        made=tuple(uses.get(label, ())),
        figures=tuple(_figures(lot.what, weight, flow)),
    )


def _facts(lot: LotDoc, card: LotCard) -> Iterator[Fact]:
    yield "What", lot.what, lot.name
    yield "Mixed or opened", card.mixed, ""
    if lot.mass:
        yield "Dry", lot.mass.typed, ""
    if lot.water:
        yield "Water", lot.water.typed, ""
    yield "Became", card.used or "nothing yet", ""


def _figures(what: str, weight: str, flow: str) -> Iterator[tuple[str, str]]:
    """Yield the questions at the bench that a lot leads to, with what was read filled in."""
    asked: dict[str, tuple[tuple[str, str, dict[str, str]], ...]] = {
        "slip": (
            ("What it holds, and what goes in to change it", "slip", {"liter_weight": weight}),
            ("The flow cup", "cup", {"drained": flow}),
            ("The deflocculant's series", "dose", {}),
        ),
        "glaze": (("Coat, and how much is left", "glaze", {"liter_weight": weight}),),
        "plaster": (("Plaster and water", "plaster", {}),),
        "rubber": (("Rubber of a master", "rubber", {}),),
        "clay": (("Slip made of it", "slip", {}),),
    }
    for words, subject, fields in asked[what]:
        read = urlencode({name: typed for name, typed in fields.items() if typed})
        yield words, f"/figures/{subject}?{read}".rstrip("?")


def adjustment(
    lot: str, weight: str, typed: Mapping[str, str], units: str, today: date, studio: Path | None
) -> tuple[Section, ...]:
    """Return what goes into a slip so that it weighs what it should, with the arithmetic.

    Parameters
    ----------
    lot : str
        The lot.
    weight : str
        What it was last read to weigh, as it was typed.
    typed : mapping
        ``volume`` there is and, if it is not the studio's own, the ``target``.
    units : {"metric", "us"}
        What the answer is shown in.
    today : date
        The day it is.
    studio : Path or None
        The studio's file.

    Raises
    ------
    StudioError
        If the lot was never weighed, or the figures cannot be worked with.
    """
    if not weight:
        raise BadInput.one("the weight", None, f"read {lot} first: weigh a liter or a pint of it")
    asked = {name: typed[name] for name in ("volume", "target") if typed.get(name)}
    asked["liter_weight"] = weight
    given, answer = ask(
        "slip", asked, "us" if units == "us" else "metric", today=today, studio=studio
    )
    return as_sections(find_question("slip"), given, answer)


# --- the last lots of a kind: ten years leave more than a thousand, and a day needs the newest

AT_ONCE = 12
"""Lots of a kind that are looked at."""


def last_lots(things: Things, what: str) -> tuple[tuple[str, LotDoc], ...]:
    """Return labels and documents of the last lots of a kind such as "slip", the newest first."""
    return tuple(_newest(things, LETTER_OF_LOT[what]))


def _newest(things: Things, letter: str) -> Iterator[tuple[str, LotDoc]]:
    """Yield them by their labels, which are given in order."""
    highest = counters(things).highest(letter)
    for number in range(highest, max(highest - AT_ONCE, 0), -1):
        lot = things.get(LotDoc, label(letter, number))
        if lot is not None:
            yield label(letter, number), lot
