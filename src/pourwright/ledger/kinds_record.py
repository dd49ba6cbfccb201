"""Kinds of entries about lots and readings, stocktakes, notes, photos, corrections and clocks."""

from __future__ import annotations

from pourwright.ledger.fields import Field, Kind
from pourwright.ledger.kinds_edition import NOTE
from pourwright.ledger.stages import STAGES

LOT_LETTERS = "SGBRC"
LOTS = ("slip", "glaze", "plaster", "rubber", "clay")
ABOUT = Field(
    name="about", type="text", high=60, example="M-007",
    meaning="What it is about: a label, or a number such as 7.",
)  # fmt: skip

RECORD_KINDS = (
    Kind(
        verb="mix-lot", kind="lot-mixed", scope="studio",
        meaning="A lot is mixed or opened: slip, glaze, plaster, rubber or clay.",
        fields=(
            Field(name="what", type="choice", required=True, choices=LOTS, example="slip", meaning="What it is."),
            Field(name="name", type="text", high=80, example="white stoneware, May", meaning="What the bag or the bucket says."),
            Field(name="mass", type="quantity", dimension="mass", low=0.001, high=10_000, example="25 kg", meaning="How much, dry."),
            Field(name="water", type="quantity", dimension="mass", low=0, high=10_000, example="9.8 kg", meaning="Water."),
            NOTE,
        ),
        example={"do": "mix-lot", "id": "e-1", "what": "slip", "name": "white stoneware, May"},
    ),
    Kind(
        verb="read-lot", kind="lot-read", scope="studio",
        meaning="A lot is read before use: liter weight, flow, temperature.",
        fields=(
            Field(name="lot", type="label", letter=LOT_LETTERS, required=True, example="S-003", meaning="Which lot."),
            Field(
                name="liter_weight", type="quantity", dimension="liter weight", low=1000, high=2600, example="1750 g/l",
                meaning="What a liter weighs.",
            ),
            Field(name="flow", type="quantity", dimension="duration", low=0.01, high=30, example="42 s", meaning="How long the cup runs."),
            Field(
                name="temperature", type="quantity", dimension="temperature", low=0, high=60, example="20 C", meaning="Its temperature.",
            ),
            NOTE,
        ),
        example={"do": "read-lot", "id": "e-2", "lot": "S-003", "liter_weight": "1750 g/l", "flow": "42 s"},
    ),
    Kind(
        verb="count-stock", kind="stock-counted", scope="edition",
        meaning="A stocktake: what is really there, compared with the book and changing nothing.",
        fields=(
            Field(
                name="counts", type="counts", required=True, choices=(*STAGES, "molds"), example="8 greenware, 3 bisque",
                meaning="What was counted at each stage, marked pieces among them.",
            ),
            NOTE,
        ),
        example={"do": "count-stock", "id": "e-3", "edition": "tide-cup", "counts": "8 greenware, 3 bisque"},
    ),
    Kind(
        verb="note", kind="note-made", scope="either",
        meaning="A note about anything.",
        fields=(ABOUT, Field(name="text", type="long text", required=True, high=4000, example="slip thicker than last week", meaning="The note.")),
        example={"do": "note", "id": "e-4", "about": "M-007", "text": "a chip beside the key"},
    ),
    Kind(
        verb="photo", kind="photo-kept", scope="either",
        meaning="A photo is kept; the book holds only its digest, so that it can be erased.",
        fields=(
            ABOUT,
            Field(
                name="digest", type="digest", required=True, example="0" * 64,
                meaning="SHA-256 of the photo as it is kept.",
            ),
        ),
        example={"do": "photo", "id": "e-5", "edition": "tide-cup", "about": "P-00007", "digest": "ab" * 32},
    ),
    Kind(
        verb="erase-photo", kind="photo-erased", scope="either",
        meaning="A photo is erased; its digest stays.",
        fields=(
            Field(name="digest", type="digest", required=True, example="0" * 64, meaning="SHA-256 of the photo."),
            Field(name="why", type="text", high=300, example="a person is in it", meaning="Why."),
        ),
        example={"do": "erase-photo", "id": "e-6", "edition": "tide-cup", "digest": "ab" * 32, "why": "a person is in it"},
    ),
    Kind(
        verb="correct", kind="entry-corrected", scope="either",
        meaning="An earlier entry was wrong; it stays visible, and what follows is worked out again.",
        fields=(
            Field(name="entry", type="entry", required=True, example=412, meaning="The entry that was wrong."),
            Field(name="void", type="yes or no", example=True, default="no", meaning="Whether it did not happen at all."),
            Field(name="changes", type="changes", example={"good": 7}, meaning="Its fields that were wrong, as they should be."),
            Field(name="why", type="text", high=300, example="counted again", meaning="Why."),
        ),
        example={"do": "correct", "id": "e-7", "entry": 412, "changes": {"good": 7}},
    ),
    Kind(
        verb="start-step", kind="step-started", scope="edition",
        meaning="The bench clock starts a step.",
        fields=(
            Field(name="what", type="text", required=True, high=60, example="M-007", meaning="What is timed: a batch or a mold."),
            Field(name="step", type="text", required=True, high=40, example="soak", meaning="The step."),
            Field(name="target", type="quantity", dimension="duration", low=0, high=10_080, example="2 min", meaning="How long it should take."),
        ),
        example={"do": "start-step", "id": "e-8", "edition": "tide-cup", "what": "batch 1", "step": "soak"},
    ),
    Kind(
        verb="end-step", kind="step-ended", scope="edition",
        meaning="The bench clock ends a step.",
        fields=(
            Field(name="what", type="text", required=True, high=60, example="M-007", meaning="What is timed."),
            Field(name="step", type="text", required=True, high=40, example="soak", meaning="The step."),
        ),
        example={"do": "end-step", "id": "e-9", "edition": "tide-cup", "what": "batch 1", "step": "soak"},
    ),
)  # fmt: skip
