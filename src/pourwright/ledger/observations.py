"""Taps as observations: what a cast, a batch or a load is now, from the set of all that was seen of it.

Phones tap without wifi, come back late and in any order, take a tap back, and see the same thing
at moments of their own. So a tap is never refused: it is an observation, merging is union, an undo
is an observation that names another by its id, and what is true follows from the set alone. Any
order and any repetition of the same observations gives the same state.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

IN_THE_MOLD = ("fill", "drain", "stiffen", "open")
"""The stages of a cast, in physical order."""
OFF, OPENED = "off", "opened"
IN_THE_KILN = (OFF, OPENED)
"""The stages of a load after it was closed, in physical order."""
FAILED = "failed: "
"""What a step of a batch begins with that says why it came to nothing."""
WALL = "wall "
"""What a step of a cast begins with that says the wall that was found in a cut spare, and whose spare."""
LOST = "lost"
"""What is seen of a piece that comes out of a load and is not good."""
APART = timedelta(minutes=2)
"""Beyond this two devices disagree about one stage; our own choice: two thumbs at one bench."""
_CAST = re.compile(r"(M-[0-9]+) cast ([0-9]{1,6})")
BATCH = re.compile(r"batch ([0-9]{1,5}): (.+)")
"""How a batch is called."""
_BLOCK = re.compile(r"block mold(?:, ([0-9]{1,3}) of ([0-9]{1,3}))?")
"""What a batch of a block mold holds: all of it, or which share of how many."""
_OF_LOAD = re.compile(r"(L-[0-9]+)(?:, (P-[0-9]+|unmarked [0-9]{1,5}))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """What one device saw.

    Parameters
    ----------
    id : str
        Its own, never given twice.
    thing : str
        What it is of, such as ``"M-007 cast 8"``.
    stage : str
        What began, such as ``"drain"``; of an undo, that of the observation it takes back.
    at : datetime
        When.
    device : str
        Who saw it.
    number : int
        Its place among what that device saw. [-]
    undoes : str
        The id of the observation that it takes back; empty if it is none that does.
    cause : str
        Of a lost piece, why; else empty.
    """

    id: str
    thing: str
    stage: str
    at: datetime
    device: str
    number: int = 0
    undoes: str = ""
    cause: str = ""


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two devices that saw one stage at moments further apart than thumbs explain, or another cause.

    Parameters
    ----------
    first, other : Observation
        The earlier, which counts, and the other device's earliest.
    """

    first: Observation
    other: Observation


@dataclass(frozen=True, slots=True)
class State:
    """What is true of one cast, batch, load or piece of a load.

    Parameters
    ----------
    stage : str
        The farthest that was seen; empty before the first.
    began : mapping of str to Observation
        The earliest of each stage that was seen.
    implied : tuple of str
        Earlier stages that nobody saw and that must have been.
    things : tuple of str
        What it was called; two names of one cast if two phones filled it under two.
    disagreements : tuple of Disagreement
        What is news to somebody.
    """

    stage: str
    began: Mapping[str, Observation]
    implied: tuple[str, ...]
    things: tuple[str, ...]
    disagreements: tuple[Disagreement, ...]


def standing(observations: Iterable[Observation]) -> list[Observation]:
    """Return the observations that nothing took back, undos left out; an undo may be undone.

    Examples
    --------
    >>> at = datetime(2027, 3, 1, 9, 30)
    >>> fill = Observation(id="a", thing="M-001 cast 1", stage="fill", at=at, device="wheel room")
    >>> undo = Observation(id="b", thing="M-001 cast 1", stage="fill", at=at, device="kiln", undoes="a")
    >>> standing([undo, fill, undo]), len(standing([fill, fill]))
    ([], 1)
    """
    by_id = {one.id: one for one in observations}
    undos: dict[str, list[str]] = {}
    for one in by_id.values():
        if one.undoes:
            undos.setdefault(one.undoes, []).append(one.id)

    def stands(key: str, above: frozenset[str]) -> bool:
        # an undo of itself, round any corner, is no undo
        later = (other for other in undos.get(key, ()) if other not in above)
        return not any(stands(other, above | {other}) for other in later)

    return [one for key, one in by_id.items() if not one.undoes and stands(key, frozenset({key}))]


def state_of(observations: Iterable[Observation], stages: Sequence[str]) -> State:
    """Return what is true of one thing.

    Parameters
    ----------
    observations : iterable of Observation
        All that was seen of it, in any order, however often told.
    stages : sequence of str
        Its stages in physical order; what is none of them is passed over.
    """
    mine = sorted(
        (one for one in standing(observations) if one.stage in stages),
        key=lambda one: _order(one, stages),
    )
    began: dict[str, Observation] = {}
    apart: dict[tuple[str, str], Disagreement] = {}
    for one in mine:
        first = began.setdefault(one.stage, one)
        if one.device != first.device and (one.at - first.at > APART or one.cause != first.cause):
            apart.setdefault((one.stage, one.device), Disagreement(first, one))
    stage = max(began, key=stages.index, default="")
    before = stages[: stages.index(stage)] if stage else ()
    return State(
        stage=stage,
        began={name: began[name] for name in stages if name in began},
        implied=tuple(name for name in before if name not in began),
        things=tuple(sorted({one.thing for one in mine}, key=lambda name: (len(name), name))),
        disagreements=tuple(apart.values()),
    )


def is_same_act(one: Observation, other: Observation) -> bool:
    """Return whether two devices saw one act: the same of the same thing, within what thumbs explain.

    Examples
    --------
    >>> at = datetime(2027, 3, 1, 9, 30)
    >>> one = Observation(id="a", thing="M-001 cast 1", stage="fill", at=at, device="wheel room")
    >>> is_same_act(one, replace(one, id="b", device="kiln", at=at + APART)), is_same_act(one, one)
    (True, False)
    """
    said = (one.thing, one.stage, one.cause) == (other.thing, other.stage, other.cause)
    return said and one.device != other.device and abs(one.at - other.at) <= APART


def _order(one: Observation, stages: Sequence[str]) -> tuple[datetime, int, str, int, str]:
    """Return what ties are broken by: time, stage, device, the device's number, id."""
    return one.at, stages.index(one.stage), *told_order(one)[1:]


def told_order(one: Observation) -> tuple[datetime, str, int, str]:
    """Return what observations of one stage are ordered by."""
    return one.at, one.device, one.number, one.id


def casts_in(
    observations: Iterable[Observation], written: int, written_at: datetime | None
) -> tuple[State, ...]:
    """Return the casts of one mold that are not in the book yet, the one filled last at the end.

    Usually there is one, or none. A name alone does not make a cast: two fills with no opening
    between are one cast under two names. And a phone that was away calls the next cast by the name
    of the one before; it is the next one if that was open by then.

    Parameters
    ----------
    observations : iterable of Observation
        All that was seen of the mold's casts.
    written : int
        How many of them the book has: a decision of the server, no observation. [-]
    written_at : datetime or None
        When it wrote the last.
    """
    numbered = _numbered(observations, written, written_at)
    ended = _opened(numbered.pop(written, [])) or written_at
    casts: list[list[Observation]] = []
    for number in sorted(one for one in numbered if one > written):
        # what was seen before the last one in the book was open was seen of that one
        mine = [one for one in numbered[number] if not ended or one.at >= ended - APART]
        if not mine:
            continue
        opened = _opened(casts[-1]) if casts else None
        if not casts or (opened and opened - mine[0].at <= APART):
            casts.append([])
        casts[-1] += mine
    return tuple(state_of(one, IN_THE_MOLD) for one in casts)


def _numbered(
    observations: Iterable[Observation], written: int, written_at: datetime | None
) -> dict[int, list[Observation]]:
    """Return what was seen by the cast it was seen of: a fill behind an opening is of the next one."""
    seen = [one for one in standing(observations) if one.stage in IN_THE_MOLD]
    found: dict[int, list[Observation]] = {}
    for name in {one.thing for one in seen}:
        number, opened = cast_number(name), None
        mine = sorted(
            (one for one in seen if one.thing == name), key=lambda one: _order(one, IN_THE_MOLD)
        )
        if number == written and _opened(mine) is None:  # written down without that tap
            opened = written_at
        for one in mine:
            if one.stage == "fill" and opened and one.at - opened > APART:
                number, opened = number + 1, None
            if one.stage == "open" and opened is None:
                opened = one.at
            found.setdefault(number, []).append(one)
    for cast in found.values():
        cast.sort(key=lambda one: _order(one, IN_THE_MOLD))
    return found


def _opened(cast: Sequence[Observation]) -> datetime | None:
    return min((one.at for one in cast if one.stage == "open"), default=None)


def cast_number(thing: str) -> int:
    """Return which cast of its mold a name means, 0 if it is none.

    Examples
    --------
    >>> cast_number("M-007 cast 8"), cast_number("batch 4: 2 molds")
    (8, 0)
    """
    found = _CAST.fullmatch(thing)
    return int(found[2]) if found else 0


def mold_of_cast(thing: str) -> str:
    """Return the mold that a name means, empty if it is no cast.

    Examples
    --------
    >>> mold_of_cast("M-007 cast 8")
    'M-007'
    """
    found = _CAST.fullmatch(thing)
    return found[1] if found else ""


def block_share(what: str) -> tuple[int, int] | None:
    """Return which batch of a block mold's a name tells, and of how many; None if of none.

    Examples
    --------
    >>> block_share("batch 2: block mold"), block_share("batch 3: block mold, 1 of 2")
    ((1, 1), (1, 2))
    >>> block_share("batch 4: 2 molds") is None
    True
    """
    batch = BATCH.fullmatch(what)
    found = _BLOCK.fullmatch(batch[2]) if batch else None
    return (int(found[1] or 1), int(found[2] or 1)) if found else None


@dataclass(frozen=True, slots=True)
class LoadSeen:
    """What was seen of one load since it was closed.

    Parameters
    ----------
    load : State
        The load itself; a piece that was seen lost implies that it was opened.
    lost : dict of str to Observation
        The earliest of each piece that was seen lost, by its label or its place, such as
        ``"P-00007"`` or ``"unmarked 3"``; what was seen first comes first.
    disagreements : tuple of Disagreement
        What is news to somebody about a piece.
    """

    load: State
    lost: dict[str, Observation]
    disagreements: tuple[Disagreement, ...]


def load_seen(observations: Iterable[Observation], label: str) -> LoadSeen:
    """Return what was seen of one load.

    Parameters
    ----------
    observations : iterable of Observation
        All that was seen of it and its pieces, in any order, however often told.
    label : str
        The load's.

    Examples
    --------
    >>> at = datetime(2027, 3, 1, 9, 30)
    >>> one = Observation(id="a", thing="L-001, P-00007", stage=LOST, at=at, device="kiln", cause="dunt")
    >>> seen = load_seen([one], "L-001")
    >>> seen.load.stage, seen.load.implied, seen.lost["P-00007"].cause
    ('opened', ('off',), 'dunt')
    """
    of_load: list[Observation] = []
    of_piece: dict[str, list[Observation]] = {}
    for one in standing(one for one in observations if load_named(one.thing)[0] == label):
        piece = load_named(one.thing)[1]
        (of_piece.setdefault(piece, []) if piece else of_load).append(one)
    pieces = {piece: state_of(mine, (LOST,)) for piece, mine in sorted(of_piece.items())}
    first = {piece: state.began[LOST] for piece, state in pieces.items() if state.stage}
    lost = dict(sorted(first.items(), key=lambda one: told_order(one[1])))
    of_load += [replace(one, stage=OPENED) for one in [*lost.values()][:1]]
    apart = tuple(two for state in pieces.values() for two in state.disagreements)
    return LoadSeen(state_of(of_load, IN_THE_KILN), lost, apart)


def load_named(thing: str) -> tuple[str, str]:
    """Return the load that a name means and which of its pieces; empty if it is none.

    Examples
    --------
    >>> load_named("L-012, unmarked 3"), load_named("L-012"), load_named("M-007 cast 8")
    (('L-012', 'unmarked 3'), ('L-012', ''), ('', ''))
    """
    found = _OF_LOAD.fullmatch(thing)
    return (found[1], found[2] or "") if found else ("", "")
