"""Kinds of entries about plaster: molds and their parts."""

from __future__ import annotations

from dataclasses import replace

from pourwright.ledger.kinds.edition import HOW, NOTE
from pourwright.ledger.kinds.fields import BookField, Kind


def molds(meaning: str, *, required: bool = True) -> BookField:
    """Return the field that names some molds."""
    return BookField(
        name="molds",
        kind="selection",
        letter="M",
        required=required,
        example="all except 3 and 7",
        meaning=meaning,
    )


def mold(meaning: str) -> BookField:
    """Return the field that names one mold."""
    return BookField(
        name="mold", kind="label", letter="M", required=True, example=7, meaning=meaning
    )


PART = BookField(
    name="part",
    kind="text",
    high=60,
    example="left half",
    source="the only part",
    meaning="Which part of the mold.",
)
ALL_PARTS = "whole mold"
"""What broke where all parts of a mold did."""
SCRATCHED_IN = BookField(
    name="scratched_in",
    kind="labels",
    letter="M",
    is_new=True,
    example="M-004, M-005",
    source="the next labels",
    meaning="What is scratched into the molds.",
)
PLASTER = BookField(
    name="lot",
    kind="label",
    letter="B",
    example="B-001",
    meaning="Which lot of plaster, by the label of its bag.",
)


def _time(name: str, meaning: str, example: str = "3 min") -> BookField:
    return BookField(
        name=name,
        kind="quantity",
        dimension="duration",
        low=0,
        high=1440,
        example=example,
        meaning=meaning,
    )


OFF_PLAN = (
    BookField(
        name="batches", kind="whole", low=1, high=100, example=2, meaning="Batches that were mixed."
    ),
    BookField(
        name="water",
        kind="quantity",
        dimension="mass",
        low=0.005,
        high=500,
        example="2.1 kg",
        meaning="Water of a batch, if off plan.",
    ),
    BookField(
        name="plaster",
        kind="quantity",
        dimension="mass",
        low=0.005,
        high=700,
        example="3 kg",
        meaning="Plaster of a batch, if off plan.",
    ),
    BookField(
        name="water_temperature",
        kind="quantity",
        dimension="temperature",
        low=0,
        high=60,
        example="20 C",
        meaning="Temperature of the water, if taken.",
    ),
    _time("soak", "Soaking, if timed.", "2 min"),
    _time("mix", "Mixing, if timed."),
    _time("set", "From pour to set, if timed.", "18 min"),
)

MOLD_KINDS = (
    Kind(
        verb="pour",
        kind="molds-poured",
        scope="edition",
        meaning="Molds are poured in a session; weights only if they were off the plan.",
        fields=(
            BookField(
                name="count",
                kind="whole",
                required=True,
                low=0,
                high=100,
                example=3,
                meaning="Complete molds that came out.",
            ),
            BookField(
                name="lost",
                kind="causes",
                example="1 failed batch",
                meaning="Molds that did not come out, by cause.",
            ),
            PLASTER,
            SCRATCHED_IN,
            *OFF_PLAN,
            NOTE,
        ),
        example={"do": "pour", "id": "b-1", "edition": "tide-cup", "count": 3, "lot": "B-001"},
    ),
    Kind(
        verb="pour-part",
        words="Pour a spare part",
        kind="part-poured",
        scope="edition",
        meaning="Spare parts are poured.",
        fields=(
            PART,
            BookField(
                name="count",
                kind="whole",
                low=1,
                high=100,
                example=1,
                source="1",
                meaning="Spare parts.",
            ),
            PLASTER,
            *OFF_PLAN,
            NOTE,
        ),
        example={"do": "pour-part", "id": "b-2", "edition": "tide-cup", "part": "left half"},
    ),
    Kind(
        verb="swap-part",
        words="Swap a part",
        kind="part-swapped",
        scope="edition",
        meaning="A worn or broken part of a mold is replaced by a spare one.",
        fields=(
            mold("The mold."),
            PART,
            BookField(
                name="spare",
                kind="label",
                letter="T",
                example="T-001",
                source="the oldest spare of that part",
                meaning="The spare.",
            ),
            NOTE,
        ),
        example={"do": "swap-part", "id": "b-3", "mold": 7, "part": "left half"},
    ),
    Kind(
        verb="break-part",
        words="A part broke",
        kind="part-broken",
        scope="edition",
        meaning="A part is broken, and the mold incomplete until it is swapped; or the whole mold, which is gone then.",
        fields=(mold("The mold."), PART, replace(HOW, example="dropped", meaning="How it broke.")),
        example={"do": "break-part", "id": "b-4", "mold": 7, "part": "left half", "how": "dropped"},
    ),
    Kind(
        verb="weigh",
        kind="mold-weighed",
        scope="edition",
        meaning="Strapped molds are weighed whole: one with mold and mass, several with masses.",
        fields=(
            BookField(name="mold", kind="label", letter="M", example=7, meaning="The mold."),
            BookField(
                name="mass",
                kind="quantity",
                dimension="mass",
                low=0.01,
                high=500,
                example="6.4 kg",
                meaning="What the scale shows.",
            ),
            BookField(
                name="masses",
                kind="masses",
                letter="M",
                low=0.01,
                high=500,
                example="4 6.41 kg, 5 6.38 kg",
                meaning="Several molds, and what the scale shows for each.",
            ),
            BookField(
                name="strapped",
                kind="yes or no",
                example=True,
                source="yes",
                meaning="Whether its strap was on.",
            ),
        ),
        example={"do": "weigh", "id": "b-5", "mold": 7, "mass": "6.4 kg"},
    ),
    Kind(
        verb="dry",
        words="Molds are dry",
        kind="mold-dried",
        scope="edition",
        meaning="Molds are dry enough to cast: they have stopped losing weight.",
        fields=(molds("Which molds."), NOTE),
        example={"do": "dry", "id": "b-6", "molds": "1-3"},
    ),
    Kind(
        verb="tag",
        words="Tag a strap",
        kind="straps-tagged",
        scope="edition",
        meaning="A mold's strap gets its tag.",
        fields=(
            mold("The mold."),
            BookField(
                name="tag",
                kind="text",
                required=True,
                high=40,
                example="blue 7",
                meaning="What the tag says.",
            ),
        ),
        example={"do": "tag", "id": "b-7", "mold": 7, "tag": "blue 7"},
    ),
    Kind(
        verb="judge",
        words="Judge wear",
        kind="mold-judged",
        scope="edition",
        meaning="Wear is judged against the reference piece.",
        fields=(
            molds("Which molds."),
            BookField(
                name="verdict",
                kind="choice",
                required=True,
                choices=("same", "softer", "retire"),
                example="softer",
                meaning="The cast beside the reference piece.",
            ),
            BookField(
                name="reference",
                kind="text",
                high=80,
                example="the first proof",
                meaning="What it was held beside.",
            ),
        ),
        example={"do": "judge", "id": "b-8", "molds": "7", "verdict": "softer"},
    ),
    Kind(
        verb="retire",
        kind="mold-retired",
        scope="edition",
        meaning="Molds are retired: kept against breakage, not cast any more.",
        fields=(
            molds("Which molds."),
            BookField(name="why", kind="text", high=300, example="seam is soft", meaning="Why."),
        ),
        example={"do": "retire", "id": "b-9", "molds": "7", "why": "seam is soft"},
    ),
    Kind(
        verb="destroy",
        kind="mold-destroyed",
        scope="edition",
        meaning="Molds or spare parts are destroyed and can never be cast again.",
        fields=(
            molds("Which molds.", required=False),
            BookField(
                name="spares",
                kind="labels",
                letter="T",
                example="T-001",
                meaning="Which spare parts.",
            ),
            HOW,
        ),
        example={"do": "destroy", "id": "b-10", "edition": "tide-cup", "molds": "all"},
    ),
)
