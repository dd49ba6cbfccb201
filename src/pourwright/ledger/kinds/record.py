"""Kinds of entries about lots and readings, stocktakes, notes, photos, corrections and clocks."""

from __future__ import annotations

from pourwright.ledger.kinds.edition import NOTE
from pourwright.ledger.kinds.fields import Field, Kind
from pourwright.ledger.stages import STAGES

LOT_LETTERS = "SGBRC"
LOTS = ("slip", "glaze", "plaster", "rubber", "clay")
ABOUT = Field(
    name="about", kind="text", high=60, example="M-007",
    meaning="What it is about: a label, or a number such as 7.",
)  # fmt: skip

RECORD_KINDS = (
    Kind(
        verb="mix-lot", kind="lot-mixed", scope="studio",
        meaning="A lot is mixed or opened: slip, glaze, plaster, rubber or clay.",
        fields=(
            Field(name="what", kind="choice", required=True, choices=LOTS, example="slip", meaning="What it is."),
            Field(name="name", kind="text", high=80, example="white stoneware, May", meaning="What the bag or the bucket says."),
            Field(name="mass", kind="quantity", dimension="mass", low=0.001, high=10_000, example="25 kg", meaning="How much, dry."),
            Field(name="water", kind="quantity", dimension="mass", low=0, high=10_000, example="9.8 kg", meaning="Water."),
            NOTE,
        ),
        example={"do": "mix-lot", "id": "e-1", "what": "slip", "name": "white stoneware, May"},
    ),
    Kind(
        verb="read-lot", kind="lot-read", scope="studio",
        meaning="A lot is read before use: liter weight, flow, temperature.",
        fields=(
            Field(name="lot", kind="label", letter=LOT_LETTERS, required=True, example="S-003", meaning="Which lot."),
            Field(
                name="liter_weight", kind="quantity", dimension="liter weight", low=1000, high=2600, example="1750 g/l",
                meaning="What a liter weighs.",
            ),
            Field(name="flow", kind="quantity", dimension="duration", low=0.01, high=30, example="42 s", meaning="How long the cup runs."),
            Field(
                name="temperature", kind="quantity", dimension="temperature", low=0, high=60, example="20 C", meaning="Its temperature.",
            ),
            NOTE,
        ),
        example={"do": "read-lot", "id": "e-2", "lot": "S-003", "liter_weight": "1750 g/l", "flow": "42 s"},
    ),
    Kind(
        verb="log-thermometer", kind="thermometer-logged", scope="edition",
        meaning="A thermometer in the middle of a setting part was read from time to time.",
        fields=(
            Field(
                name="readings", kind="readings", required=True, example="3 min 21.5 C; 6 min 24 C",
                meaning="A time and a temperature on each line, counted from plaster meeting water in minutes or by the "
                "clock; pasted columns too, with a first line such as min,F. A curve needs six or more, the last past the hottest.",
            ),
            Field(
                name="thickness", kind="quantity", required=True, dimension="length", low=5, high=400, example="60 mm",
                meaning="Thickness of the part that the thermometer stood in the middle of.",
            ),
            Field(name="batch", kind="text", high=60, example="batch 4: 2 molds", meaning="Which batch, as the bench calls it."),
            Field(name="mold", kind="label", letter="M", example="M-007", meaning="Or the mold that was poured."),
            Field(name="spare", kind="label", letter="T", example="T-001", meaning="Or the spare part that was poured."),
            Field(
                name="contact", kind="time of day", example="14:02", meaning="When plaster met water, for readings by the clock.",
            ),
            Field(
                name="poured", kind="quantity", dimension="duration", low=0, high=120, example="7 min",
                source="as the bench timed it", meaning="From plaster meeting water until it was poured.",
            ),
            Field(name="lot", kind="label", letter="B", example="B-001", meaning="The plaster's lot."),
            Field(
                name="consistency", kind="whole", low=25, high=120, example=70, source="the studio's",
                meaning="Parts of water to 100 parts of plaster, by mass.",
            ),
            Field(
                name="mix_temperature", kind="quantity", dimension="temperature", low=2, high=45, example="20 C",
                source="the first reading, if it is of the first ten minutes", meaning="Temperature of the mix as it was poured.",
            ),
            Field(
                name="room_temperature", kind="quantity", dimension="temperature", low=2, high=45, example="18 C",
                source="20 C", meaning="Temperature of the room.",
            ),
            Field(
                name="one_face", kind="yes or no", example=True, source="no",
                meaning="Whether one side lay on rubber or board, so that only the other lost heat.",
            ),
            NOTE,
        ),
        example={
            "do": "log-thermometer", "id": "e-10", "edition": "tide-cup", "batch": "batch 4: 2 molds",
            "readings": "5 min 20.2 C; 10 min 22 C; 15 min 26.1 C; 20 min 33 C; 25 min 40.4 C; 30 min 46.7 C; 35 min 49.3 C; 40 min 48.6 C",
            "thickness": "60 mm",
        },
    ),
    Kind(
        verb="count-stock", kind="stock-counted", scope="edition",
        meaning="A stocktake: what is really there, compared with the book and changing nothing.",
        fields=(
            Field(
                name="counts", kind="counts", required=True, choices=(*STAGES, "molds"), example="8 greenware, 3 bisque",
                meaning="What was counted at each stage, marked pieces among them.",
            ),
            NOTE,
        ),
        example={"do": "count-stock", "id": "e-3", "edition": "tide-cup", "counts": "8 greenware, 3 bisque"},
    ),
    Kind(
        verb="note", kind="note-made", scope="either",
        meaning="A note about anything.",
        fields=(ABOUT, Field(name="text", kind="long text", required=True, high=4000, example="slip thicker than last week", meaning="The note.")),
        example={"do": "note", "id": "e-4", "about": "M-007", "text": "a chip beside the key"},
    ),
    Kind(
        verb="photo", kind="photo-kept", scope="either",
        meaning="A photo is kept; the book holds only its digest, so that it can be erased.",
        fields=(
            ABOUT,
            Field(
                name="digest", kind="digest", required=True, example="0" * 64,
                meaning="SHA-256 of the photo as it is kept.",
            ),
        ),
        example={"do": "photo", "id": "e-5", "edition": "tide-cup", "about": "P-00007", "digest": "ab" * 32},
    ),
    Kind(
        verb="erase-photo", kind="photo-erased", scope="either",
        meaning="A photo is erased; its digest stays.",
        fields=(
            Field(name="digest", kind="digest", required=True, example="0" * 64, meaning="SHA-256 of the photo."),
            Field(name="why", kind="text", high=300, example="a person is in it", meaning="Why."),
        ),
        example={"do": "erase-photo", "id": "e-6", "edition": "tide-cup", "digest": "ab" * 32, "why": "a person is in it"},
    ),
    Kind(
        verb="correct", kind="entry-corrected", scope="either",
        meaning="An earlier entry was wrong; it stays visible, and what follows is worked out again.",
        fields=(
            Field(name="entry", kind="entry", required=True, example=412, meaning="The entry that was wrong."),
            Field(name="void", kind="yes or no", example=True, source="no", meaning="Whether it did not happen at all."),
            Field(name="changes", kind="changes", example={"good": 7}, meaning="Its fields that were wrong, as they should be."),
            Field(name="why", kind="text", high=300, example="counted again", meaning="Why."),
        ),
        example={"do": "correct", "id": "e-7", "entry": 412, "changes": {"good": 7}},
    ),
    Kind(
        verb="start-step", kind="step-started", scope="edition",
        meaning="The bench clock starts a step.",
        fields=(
            Field(name="what", kind="text", required=True, high=60, example="M-007", meaning="What is timed: a batch or a mold."),
            Field(name="step", kind="text", required=True, high=40, example="soak", meaning="The step."),
            Field(name="target", kind="quantity", dimension="duration", low=0, high=10_080, example="2 min", meaning="How long it should take."),
        ),
        example={"do": "start-step", "id": "e-8", "edition": "tide-cup", "what": "batch 1", "step": "soak"},
    ),
    Kind(
        verb="end-step", kind="step-ended", scope="edition",
        meaning="The bench clock ends a step.",
        fields=(
            Field(name="what", kind="text", required=True, high=60, example="M-007", meaning="What is timed."),
            Field(name="step", kind="text", required=True, high=40, example="soak", meaning="The step."),
        ),
        example={"do": "end-step", "id": "e-9", "edition": "tide-cup", "what": "batch 1", "step": "soak"},
    ),
)  # fmt: skip
