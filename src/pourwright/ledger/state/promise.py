"""What an edition still owes to somebody: numbers to make, to send, or to make again on a claim."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from pourwright.ledger.documents import EditionDoc, NumberDoc, PieceDoc
from pourwright.ledger.entry import day_said
from pourwright.ledger.said import numbers_said
from pourwright.ledger.things import Things


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenNumbers:
    """The numbers for which the form may still be needed.

    Parameters
    ----------
    unmade : tuple of int
        Never marked.
    owed, owed_proofs : tuple of int
        Numbers and proofs whose piece was lost.
    here : tuple of int
        Their piece has not left the studio.
    claimable : tuple of int
        Their piece has left, and its buyer may still claim another.
    claim_ends : str or None
        The last day of the claim window, once a piece has left and where there is one.
    """

    unmade: tuple[int, ...]
    owed: tuple[int, ...]
    owed_proofs: tuple[int, ...]
    here: tuple[int, ...]
    claimable: tuple[int, ...]
    claim_ends: str | None


def claim_ends(edition: EditionDoc) -> str | None:
    """Return the last day of an edition's claim window; None without one, or before a piece left."""
    if not edition.last_away or not edition.claim_days:
        return None
    last = date.fromisoformat(edition.last_away)
    return (last + timedelta(days=edition.claim_days)).isoformat()


def may_be_claimed(edition: EditionDoc, day: str) -> bool:
    """Return whether buyers may still claim another piece on a day."""
    ends = claim_ends(edition)
    return ends is not None and day <= ends


def open_numbers(things: Things, edition: EditionDoc, day: str) -> OpenNumbers:
    """Return the numbers for which the form may still be needed on a day.

    Nothing more is made of a closed edition, so it has none.
    """
    ends = claim_ends(edition)
    if edition.state == "closed":
        return OpenNumbers(
            unmade=(), owed=(), owed_proofs=(), here=(), claimable=(), claim_ends=ends
        )
    all_borne = [number for _, number in things.of(NumberDoc, edition.edition)]
    borne = [number for number in all_borne if number.kind == "numbered"]
    here = unshipped(things, edition.edition)
    standing = {one.n: one.status for one in borne}
    gone = [n for n, status in standing.items() if status in ("living", "gone") and n not in here]
    return OpenNumbers(
        unmade=tuple(n for n in range(1, edition.pieces + 1) if n not in standing),
        owed=tuple(sorted(n for n, status in standing.items() if status == "owed")),
        owed_proofs=tuple(
            sorted(one.n for one in all_borne if one.kind == "proof" and one.status == "owed")
        ),
        here=here,
        claimable=tuple(sorted(gone)) if may_be_claimed(edition, day) else (),
        claim_ends=ends,
    )


def unshipped(things: Things, edition: str) -> tuple[int, ...]:
    """Return the numbers whose piece has not left the studio, in a closed edition too."""
    pieces = dict(things.of(PieceDoc, edition))
    numbers = [number for _, number in things.of(NumberDoc, edition) if number.kind == "numbered"]
    living = [(one.n, pieces[one.living]) for one in numbers if one.living]
    return tuple(sorted(n for n, piece in living if piece.state == "here"))


def open_said(edition: EditionDoc, still: OpenNumbers) -> list[str]:
    """Return which numbers are open and why, each a part of a sentence; empty if none is.

    Examples
    --------
    >>> from pourwright.ledger.state.edition import new_edition
    >>> cup = new_edition({"edition": "tide-cup", "pieces": 12}, "2027-03-01")
    >>> open_said(cup, OpenNumbers(unmade=tuple(range(3, 13)), owed=(1,), owed_proofs=(),
    ...                            here=(2,), claimable=(), claim_ends=None))
    ['3-12 of 12 are not made', '1 of 12 is owed', '2 of 12 has not left the studio']
    """
    of = f" of {edition.pieces}"
    proofs = f" of {edition.proofs}"
    ends = day_said(still.claim_ends) if still.claim_ends else ""
    told = (
        (still.unmade, "", of, ("is not made", "are not made")),
        (still.owed, "", of, ("is owed", "are owed")),
        (still.owed_proofs, f"{edition.proof_kind} ", proofs, ("is owed", "are owed")),
        (still.here, "", of, ("has not left the studio", "have not left the studio")),
        (still.claimable, "", of, (f"may be claimed until {ends}",) * 2),
    )
    return [
        f"{before}{numbers_said(numbers)}{behind} {verbs[len(numbers) > 1]}"
        for numbers, before, behind, verbs in told
        if numbers
    ]
