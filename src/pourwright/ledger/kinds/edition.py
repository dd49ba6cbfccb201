"""Kinds of entries about an edition as a whole, and about the things that make its form."""

from __future__ import annotations

from pourwright.ledger.kinds.fields import BookField, Kind
from pourwright.ledger.stages import ROUTES

PIECES = BookField(
    name="pieces",
    kind="whole",
    low=1,
    high=10_000,
    example=48,
    meaning="Numbered pieces: so many, and never one more.",
)
PROOFS = BookField(
    name="proofs",
    kind="whole",
    low=0,
    high=1000,
    example=4,
    meaning="Proofs beyond the numbers.",
)
NOTE = BookField(
    name="note",
    kind="long text",
    high=2000,
    example="the spout leaned",
    meaning="Anything else.",
)
HOW = BookField(
    name="how",
    kind="text",
    high=300,
    example="broken up, gypsum waste",
    meaning="How it was done.",
)
FORMS = ("original", "block mold", "master", "jacket", "printed form", "model file", "stamp")


def form_field(meaning: str) -> BookField:
    """Return the field that names one form."""
    return BookField(
        name="form", kind="label", letter="F", required=True, example="F-002", meaning=meaning
    )


EDITION_KINDS = (
    Kind(
        verb="plan-edition",
        kind="edition-planned",
        scope="edition",
        meaning="An edition is planned; nothing is promised yet.",
        fields=(
            BookField(
                name="name",
                kind="text",
                high=80,
                example="Tide cup",
                source="its id",
                meaning="What it is called.",
            ),
            BookField(
                name="brief",
                kind="long text",
                high=40_000,
                example="version = 1 ...",
                meaning="The brief as it stood, kept as text.",
            ),
            BookField(
                name="pieces",
                kind="whole",
                required=True,
                low=1,
                high=10_000,
                example=48,
                meaning="Numbered pieces: so many, and never one more.",
            ),
            PROOFS,
            BookField(
                name="proof_kind",
                kind="text",
                high=6,
                example="AP",
                source="AP",
                meaning="Letters that mark a proof.",
            ),
            BookField(
                name="route",
                kind="choice",
                choices=ROUTES,
                example="once",
                source="bisque and glaze",
                meaning="The firings of a piece.",
            ),
            BookField(
                name="marked",
                kind="choice",
                choices=("leather-hard", "before glaze", "end"),
                example="end",
                source="end",
                meaning="When a piece gets its number.",
            ),
            BookField(
                name="conditioning",
                kind="whole",
                low=0,
                high=20,
                example=2,
                source="1",
                meaning="First casts of a new mold that are thrown away.",
            ),
            BookField(
                name="life",
                kind="whole",
                low=1,
                high=500,
                example=25,
                source="not known",
                meaning="Casts a mold is planned to give.",
            ),
            BookField(
                name="parts",
                kind="names",
                example="left half, right half, foot",
                source="one part, called mold",
                meaning="The plaster parts of one mold.",
            ),
            BookField(
                name="molds",
                kind="whole",
                low=1,
                high=500,
                example=4,
                meaning="Molds the plan pours.",
            ),
            BookField(
                name="claim_days",
                kind="whole",
                low=0,
                high=3650,
                example=90,
                source="0",
                meaning="Days after the last delivery in which a broken piece is made again.",
            ),
            BookField(
                name="fate",
                kind="choice",
                choices=("destroy", "seconds", "keep unsigned"),
                example="seconds",
                source="destroy",
                meaning="What becomes of good pieces beyond the edition.",
            ),
        ),
        example={
            "do": "plan-edition",
            "id": "a-1",
            "edition": "tide-cup",
            "pieces": 48,
            "proofs": 4,
            "parts": "left half, right half",
        },
    ),
    Kind(
        verb="declare",
        kind="edition-declared",
        scope="edition",
        meaning="The edition is declared: its N, its proofs and its terms.",
        fields=(
            PIECES,
            PROOFS,
            BookField(
                name="kinds",
                kind="names",
                example="numbered, AP",
                meaning="The kinds of pieces that will be made.",
            ),
            BookField(
                name="terms",
                kind="long text",
                high=10_000,
                example="no further casts after closing",
                meaning="What is promised.",
            ),
        ),
        example={"do": "declare", "id": "a-2", "edition": "tide-cup", "pieces": 48},
    ),
    Kind(
        verb="change-size",
        kind="edition-resized",
        scope="edition",
        meaning="N or the proofs change; refused once a piece bearing /N is marked.",
        fields=(PIECES, PROOFS, NOTE),
        example={"do": "change-size", "id": "a-3", "edition": "tide-cup", "pieces": 36},
    ),
    Kind(
        verb="close",
        kind="edition-closed",
        scope="edition",
        meaning="The edition is closed: nothing more is made of it.",
        fields=(
            BookField(
                name="short",
                kind="yes or no",
                example=True,
                source="no",
                meaning="Whether it closes with fewer pieces than N.",
            ),
            BookField(
                name="nothing_else",
                kind="yes or no",
                required=True,
                example=True,
                meaning="Whether nothing else could remake the form: no original, mold, master, file or stamp that the book does not know.",
            ),
            NOTE,
        ),
        example={"do": "close", "id": "a-4", "edition": "tide-cup", "nothing_else": True},
    ),
)

FORM_KINDS = (
    Kind(
        verb="make-form",
        kind="form-made",
        scope="edition",
        meaning="A thing that can make the form: original, block mold, master, jacket, printed form, model file or stamp.",
        fields=(
            BookField(
                name="what",
                kind="choice",
                required=True,
                choices=FORMS,
                example="master",
                meaning="What it is.",
            ),
            BookField(
                name="name",
                kind="text",
                high=80,
                example="master of the left half",
                meaning="What you call it.",
            ),
            BookField(
                name="part",
                kind="text",
                high=60,
                example="left half",
                meaning="The part of the mold that it makes.",
            ),
            BookField(
                name="lot",
                kind="label",
                letter="R",
                example="R-001",
                meaning="A master's batch of rubber.",
            ),
            BookField(
                name="cure_test",
                kind="yes or no",
                example=True,
                meaning="Whether the test patch cured.",
            ),
            NOTE,
        ),
        example={"do": "make-form", "id": "a-5", "edition": "tide-cup", "what": "block mold"},
    ),
    Kind(
        verb="test-cast",
        kind="casts-tested",
        scope="edition",
        meaning="Test casts from the block mold; they are no pieces of the edition.",
        fields=(
            form_field("The block mold."),
            BookField(
                name="count",
                kind="whole",
                required=True,
                low=1,
                high=100,
                example=3,
                meaning="Test casts.",
            ),
            BookField(
                name="good",
                kind="whole",
                low=0,
                high=100,
                example=2,
                meaning="How many came out well.",
            ),
            BookField(
                name="lost",
                kind="causes",
                example="1 torn opening",
                meaning="What went wrong, by cause.",
            ),
            BookField(
                name="wall",
                kind="quantity",
                dimension="length",
                low=0.3,
                high=60,
                example="4 mm",
                meaning="The wall, wet.",
            ),
            NOTE,
        ),
        example={"do": "test-cast", "id": "a-6", "form": "F-001", "count": 3},
    ),
    Kind(
        verb="approve",
        kind="form-approved",
        scope="edition",
        meaning="The fired test casts are judged good: masters may be made.",
        fields=(
            form_field("What is approved."),
            BookField(
                name="height",
                kind="quantity",
                dimension="length",
                low=3,
                high=3000,
                example="109 mm",
                meaning="Fired height.",
            ),
            BookField(
                name="wall",
                kind="quantity",
                dimension="length",
                low=0.3,
                high=60,
                example="3.6 mm",
                meaning="Fired wall.",
            ),
            NOTE,
        ),
        example={"do": "approve", "id": "a-7", "form": "F-001", "height": "109 mm"},
    ),
    Kind(
        verb="destroy-form",
        kind="form-destroyed",
        scope="edition",
        meaning="A form is destroyed; shredding rubber for filler counts.",
        fields=(
            BookField(
                name="forms",
                kind="labels",
                letter="F",
                required=True,
                example="F-002, F-003",
                meaning="What is destroyed.",
            ),
            HOW,
            BookField(
                name="filler",
                kind="quantity",
                dimension="mass",
                low=0.001,
                high=500,
                example="2.4 kg",
                meaning="Rubber that goes on as filler, of all that is named together.",
            ),
        ),
        example={"do": "destroy-form", "id": "a-8", "forms": "F-002", "how": "shredded for filler"},
    ),
    Kind(
        verb="keep-form",
        kind="form-kept",
        scope="edition",
        meaning="What could remake the form is declared kept, with where and why.",
        fields=(
            BookField(
                name="forms",
                kind="labels",
                letter="F",
                example="F-001",
                meaning="Forms that are kept.",
            ),
            BookField(
                name="molds",
                kind="selection",
                letter="M",
                example="M-007",
                meaning="Molds that are kept.",
            ),
            BookField(
                name="spares",
                kind="labels",
                letter="T",
                example="T-001",
                meaning="Spare parts that are kept.",
            ),
            BookField(
                name="where",
                kind="text",
                required=True,
                high=200,
                example="archive shelf",
                meaning="Where it is kept.",
            ),
            BookField(
                name="why",
                kind="text",
                high=300,
                example="shown beside piece 1",
                meaning="Why it is kept.",
            ),
        ),
        example={"do": "keep-form", "id": "a-9", "forms": "F-001", "where": "archive shelf"},
    ),
)
