"""What is written into the book of the batches of plaster that are done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from pourwright.ledger.file.stored_things import stored_answer
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.kinds.table import BY_KIND
from pourwright.ledger.observations import FAILED, block_share
from pourwright.ledger.replaying import CORRECTED, effective
from pourwright.studio.bench.plaster import PlasterBench, PlasterCard
from pourwright.studio.bench.pour_day import number_of

MOST_NOTED = 2000
"""Characters of a note that tells the masses of many batches. [-]"""


def written_down(bench: PlasterBench, typed: Mapping[str, object]) -> list[dict[str, object]]:
    """Return the commands that write the batches that are done into the book, and end their clocks.

    Sent twice, they write once: their ids are those of the batches.

    Parameters
    ----------
    bench : PlasterBench
        The edition's bench.
    typed : mapping
        ``lot``, ``water_temperature`` and ``note``; ``came-4``, the complete molds that came out of
        batch 4, if fewer than it was poured for; ``go_on`` if the book asked and it is to be
        written all the same.

    Returns
    -------
    list of dict
        ``pour`` for a batch of whole molds, one for the molds that several batches fill together,
        ``pour-part`` for what is left over, and ``make-form`` for a block mold; then ``end-step``
        for each batch.
    """
    every = bench.to_write
    blocks = [card for card in every if block_share(card.what)]
    done = [card for card in every if card not in blocks]
    base: dict[str, object] = {"edition": bench.edition}
    base |= {key: typed[key] for key in ("lot", "water_temperature", "go_on") if typed.get(key)}
    note = str(typed.get("note") or "")
    whole = [card for card in done if card.failed or card.batch is None or card.batch.whole_molds]
    commands = [
        {"do": "pour", **base, **_came_out(card, typed), **_timed_of(card, note)} for card in whole
    ]
    commands += _of_parts(bench, [card for card in done if card not in whole], base, note)
    commands += [_failed_block(card) for card in blocks if card.failed]
    commands += _of_block([card for card in blocks if not card.failed], typed)
    commands += [
        {
            "do": "end-step",
            "edition": bench.edition,
            "what": card.what,
            "step": f"{FAILED}{card.failed}" if card.failed else card.phase,
            "id": f"end of {card.key}{', again ' * bool(n)}{n or ''}",
        }
        for card in every
        for n in (card.times_written,)
    ]
    return commands


def _failed_block(card: PlasterCard) -> dict[str, object]:
    """Return a note of why a batch of a block mold failed."""
    told: dict[str, object] = {"edition": card.edition, "id": card.key}
    told |= {"at": card.poured_at} if card.poured_at else {}
    said = f"{card.what} failed: {card.failed}"
    return {"do": "note", **told, "about": "block mold", "text": said}


def _of_block(
    cards: Sequence[PlasterCard], typed: Mapping[str, object]
) -> Iterator[dict[str, object]]:
    """Yield the block mold that batches make together, with the masses of each; it is whole with the last."""
    for made in (card for card in cards if card.makes_block):
        told: dict[str, object] = {"edition": made.edition, "id": made.key}
        poured_at = max(card.poured_at for card in cards)
        told |= {"at": poured_at} if poured_at else {}
        rest = [f"plaster {typed['lot']}" if typed.get("lot") else ""]
        rest += [f"water at {typed['water_temperature']}" if typed.get("water_temperature") else ""]
        said = [_weights_said(card) for card in cards]
        note = "; ".join(filter(None, [*said, *rest, str(typed.get("note") or "")]))
        yield {"do": "make-form", **told, "what": "block mold", "note": note[:MOST_NOTED]}


def as_before(
    reading: Reading, commands: Sequence[Mapping[str, object]]
) -> Iterator[Mapping[str, object]]:
    """Yield the commands of :func:`written_down`, put right for what was written down and taken back.

    Its entry stands again, with what is told now: so its molds keep the labels that are
    scratched into them.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    commands : sequence of mapping
        What is to be written down.
    """
    answers = reading.answers_of([str(one["id"]) for one in commands if one["do"] != "end-step"])
    for command in commands:
        text = answers.get(str(command["id"]))
        yield _stands_again(reading, stored_answer(text).seq, command) if text else command


def _stands_again(
    reading: Reading, seq: int, command: Mapping[str, object]
) -> Mapping[str, object]:
    entry = reading.entry(seq)
    assert entry is not None  # noqa: S101 - its answer names it
    told = [entry, *reading.entries(entry.scope, seq, (CORRECTED,))]
    if any(one.id == entry.id for one in effective(told)):
        return command  # nobody took it back: the book answers as before
    fields = [one.name for one in BY_KIND[entry.kind].fields]
    changes = {one: command.get(one) for one in fields if one in command or one in entry.body}
    times = sum(one.corrects == entry.id for one in told)
    return {"do": "correct", "id": f"{command['id']}, {times}", "entry": seq, "changes": changes}


def _came_out(card: PlasterCard, typed: Mapping[str, object]) -> dict[str, object]:
    """Return how many molds came out of a batch, and what was lost."""
    molds = card.batch.whole_molds or 1 if card.batch else 1
    if card.failed:
        return {"count": 0, "lost": f"{molds} failed batch"}
    return {"count": typed.get(f"came-{number_of(card.what)}") or molds}


def _timed_of(card: PlasterCard, note: str) -> dict[str, object]:
    """Return what a batch was weighed and timed at, and the id of its entry."""
    told: dict[str, object] = {"note": _note_of([card], note)}
    told |= {"id": card.key, "batches": 1}
    told |= {"scratched_in": ", ".join(card.labels)} if card.labels else {}
    told |= {name: f"{round(60 * minutes)} s" for name, minutes in card.minutes.items()}
    told |= {"at": card.poured_at} if card.poured_at else {}
    return told | _weighed([card])


def _weighed(cards: Sequence[PlasterCard]) -> dict[str, object]:
    """Return the masses of a batch, if all of them were the same."""
    weights = {(one.batch.water_kg, one.batch.plaster_kg) for one in cards if one.batch}
    if len(weights) != 1:
        return {}
    ((water_kg, plaster_kg),) = weights
    return {"water": f"{water_kg:g} kg", "plaster": f"{plaster_kg:g} kg"}


def _note_of(cards: Sequence[PlasterCard], note: str) -> str:
    """Return which batches an entry is of, with their masses where they differ, and the maker's note."""
    said = []
    for card in cards:
        one = card.short if _weighed(cards) else _weights_said(card)
        said.append(f"{one} failed: {card.failed}" if card.failed else one)
    return "; ".join([*said, *([note] if note else [])])


def _weights_said(card: PlasterCard) -> str:
    """Return which batch it is, and what was weighed for it."""
    if card.batch is None:
        return card.short
    return f"{card.short}: {card.batch.water_kg:g} kg water, {card.batch.plaster_kg:g} kg plaster"


def _of_parts(
    bench: PlasterBench, cards: Sequence[PlasterCard], base: Mapping[str, object], note: str
) -> list[dict[str, object]]:
    """Return the molds that batches of parts make together, and the parts that are left over."""
    brief = bench.here.brief if bench.here else None
    if not cards or brief is None:
        return []
    names = [part.name for part in brief.mold.parts]
    counts = dict.fromkeys(names, 0)
    for card in cards:
        for name, count in card.batch.parts if card.batch else ():
            counts[name] += count
    told = {**base, "at": cards[0].poured_at} if cards[0].poured_at else dict(base)
    told |= {"note": _note_of(cards, note)[:MOST_NOTED], "batches": len(cards), **_weighed(cards)}
    molds = min(counts.values())
    key = cards[-1].key
    found: list[dict[str, object]] = []
    if molds:
        found.append({"do": "pour", **told, "count": molds, "id": key})
    found += [
        {
            "do": "pour-part",
            **told,
            "part": name,
            "count": count - molds,
            "id": f"{names.index(name) + 1} {key}",
        }
        for name, count in counts.items()
        if count > molds
    ]
    return found
