"""Kinds of entries about marked pieces, numbers and surplus."""

from __future__ import annotations

from pourwright.ledger.kinds.edition import NOTE
from pourwright.ledger.kinds.fields import BookField, Kind
from pourwright.ledger.kinds.ware import COUNT, EVIDENCE, WHICH
from pourwright.ledger.stages import STAGES

PIECE_TYPES = ("numbered", "proof", "surplus", "second", "sample")
FATES = ("destroyed", "seconds", "kept unsigned")
PIECES = BookField(
    name="pieces",
    kind="pieces",
    required=True,
    example="7, AP 2",
    meaning="Marked pieces, by the numbers on their feet.",
)
REFERENCE = BookField(
    name="reference",
    kind="text",
    high=80,
    example="order 2027-14",
    meaning="Your own order number; not a person's name, because the book is never erased.",
)

PIECE_KINDS = (
    Kind(
        verb="mark",
        kind="piece-marked",
        scope="edition",
        meaning="Pieces are marked: from here on each is known by itself.",
        fields=(
            BookField(
                name="numbers",
                kind="numbers",
                example="1-12",
                meaning="The numbers, for numbered pieces and proofs.",
            ),
            BookField(
                name="kind",
                kind="choice",
                choices=PIECE_TYPES,
                example="proof",
                source="numbered",
                meaning="What they are marked as.",
            ),
            BookField(
                name="count",
                kind="whole",
                low=1,
                high=1000,
                example=3,
                meaning="How many, for those without numbers.",
            ),
            BookField(
                name="stage",
                kind="choice",
                choices=STAGES,
                example="greenware",
                source="as the brief says",
                meaning="Where they stand.",
            ),
            BookField(
                name="evidence",
                kind="text",
                high=300,
                example="shard in box 2",
                meaning="The photo or shard of the piece whose number is given again, if the loss did not name it.",
            ),
            BookField(
                name="mold",
                kind="label",
                letter="M",
                example="M-007",
                meaning="The mold they came from, if known.",
            ),
            NOTE,
        ),
        example={"do": "mark", "id": "d-1", "edition": "tide-cup", "numbers": "1-12"},
    ),
    Kind(
        verb="sell",
        kind="piece-sold",
        scope="edition",
        meaning="Pieces are sold; they are still here until they are shipped.",
        fields=(
            PIECES,
            BookField(
                name="price", kind="money", example="420.00 DKK", meaning="What each was sold for."
            ),
            REFERENCE,
        ),
        example={"do": "sell", "id": "d-2", "edition": "tide-cup", "pieces": "7"},
    ),
    Kind(
        verb="ship",
        kind="piece-shipped",
        scope="edition",
        meaning="Pieces have left the studio: sent, or handed over.",
        fields=(PIECES, REFERENCE),
        example={"do": "ship", "id": "d-3", "edition": "tide-cup", "pieces": "7"},
    ),
    Kind(
        verb="give",
        kind="piece-given",
        scope="edition",
        meaning="Pieces are given away and have left the studio.",
        fields=(PIECES, REFERENCE),
        example={"do": "give", "id": "d-4", "edition": "tide-cup", "pieces": "AP 2"},
    ),
    Kind(
        verb="return",
        kind="piece-returned",
        scope="edition",
        meaning="Pieces have come back to the studio.",
        fields=(PIECES, NOTE),
        example={"do": "return", "id": "d-5", "edition": "tide-cup", "pieces": "7"},
    ),
    Kind(
        verb="break",
        kind="piece-broken",
        scope="edition",
        meaning="Finished pieces are broken, here or where they were sent.",
        fields=(PIECES, EVIDENCE, NOTE),
        example={
            "do": "break",
            "id": "d-6",
            "edition": "tide-cup",
            "pieces": "7",
            "evidence": "shard in box 2",
        },
    ),
    Kind(
        verb="settle",
        kind="number-settled",
        scope="edition",
        meaning="A number whose piece was lost will never be made again.",
        fields=(
            BookField(
                name="numbers", kind="numbers", required=True, example="7", meaning="The numbers."
            ),
            BookField(
                name="kind",
                kind="choice",
                choices=("numbered", "proof"),
                example="proof",
                source="numbered",
                meaning="Of which kind.",
            ),
            BookField(
                name="why",
                kind="text",
                required=True,
                high=300,
                example="the buyer chose another",
                meaning="Why.",
            ),
        ),
        example={
            "do": "settle",
            "id": "d-7",
            "edition": "tide-cup",
            "numbers": "7",
            "why": "the molds are worn out",
        },
    ),
    Kind(
        verb="surplus",
        kind="surplus-declared",
        scope="edition",
        meaning="What becomes of good ware beyond the edition; a proof that nobody likes is destroyed so, and owed to nobody.",
        fields=(
            BookField(
                name="fate",
                kind="choice",
                required=True,
                choices=FATES,
                example="destroyed",
                meaning="What becomes of it.",
            ),
            BookField(
                name="stage",
                kind="choice",
                choices=STAGES,
                example="finished",
                source="finished",
                meaning="Where unmarked ware stands.",
            ),
            COUNT,
            WHICH,
            NOTE,
        ),
        example={
            "do": "surplus",
            "id": "d-8",
            "edition": "tide-cup",
            "fate": "destroyed",
            "count": 3,
        },
    ),
)
