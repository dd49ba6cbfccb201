"""What was seen of a load, and what of that the book has not counted: a count is decided once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from pourwright.ledger.documents import LoadDoc, PieceDoc, StepDoc
from pourwright.ledger.observations import (
    IN_THE_KILN,
    LOST,
    Observation,
    load_seen,
    standing,
)
from pourwright.ledger.things import Things


def feet_of(load: LoadDoc) -> list[str]:
    """Return every piece of a load: the marked ones by label, the others by place."""
    return [*load.pieces, *(f"unmarked {n}" for n in range(1, load.count + 1))]


def stands_of_load(things: Things, label: str, load: LoadDoc) -> list[Observation]:
    """Return what was seen of a load and of the pieces in it, and was not taken back."""
    steps = [(label, stage) for stage in IN_THE_KILN]
    steps += [(f"{label}, {piece}", LOST) for piece in feet_of(load)]
    docs = (things.get(StepDoc, f"{load.edition}/{what}/{step}") for what, step in steps)
    return standing(one for doc in docs if doc for one in doc.observations())


def seen_lost(things: Things, label: str, load: LoadDoc) -> dict[str, Observation]:
    """Return the pieces of a load that were seen lost, as they were seen first, in that order."""
    return load_seen(stands_of_load(things, label, load), label).lost


def as_told(lost: Mapping[str, Observation]) -> tuple[dict[str, int], dict[str, str]]:
    """Return lost pieces as an opening tells them: unmarked ones by cause, marked ones by label."""
    unmarked = Counter(one.cause for piece, one in lost.items() if not piece.startswith("P-"))
    marked = {piece: one.cause for piece, one in lost.items() if piece.startswith("P-")}
    return dict(unmarked), marked


def good_again(things: Things, label: str, load: LoadDoc) -> dict[str, str]:
    """Return the pieces that a load was written down with as lost, and whose marks were taken back.

    By each its cause. An unmarked piece is one that more of its cause were counted than are seen.
    """
    if load.state == "closed":
        return {}
    lost = seen_lost(things, label, load)
    over = Counter(load.lost)
    over.subtract(one.cause for piece, one in lost.items() if piece not in load.pieces)
    found = {}
    for piece in feet_of(load):
        doc = things.get(StepDoc, f"{load.edition}/{label}, {piece}/{LOST}")
        causes = [one.cause for one in doc.observations() if not one.undoes] if doc else []
        if piece in lost or not causes:
            continue
        if piece in load.lost_pieces:
            found[piece] = load.lost_pieces[piece]
        elif piece not in load.pieces and over[causes[-1]] > 0:
            over[causes[-1]] -= 1
            found[piece] = causes[-1]
    return found


def not_counted(things: Things, label: str, load: LoadDoc) -> dict[str, Observation]:
    """Return the pieces that were seen lost of a load that was written down without them.

    Unmarked pieces that were counted have no place: first they are those of the same cause, then
    whichever were seen first.
    """
    if load.state == "closed":
        return {}
    lost = seen_lost(things, label, load)
    counted, others, late = Counter(load.lost), [], []
    for piece, one in lost.items():
        if piece in load.pieces:
            marked = things.get(PieceDoc, piece)
            late += [piece] if marked and marked.state != "lost" else []
        elif counted[one.cause]:
            counted[one.cause] -= 1
        else:
            others.append(piece)
    return {piece: lost[piece] for piece in [*late, *others[counted.total() :]]}
