"""Kinds of entries about casts and ware, told by counts or by pieces."""

from __future__ import annotations

from dataclasses import replace

from pourwright.ledger.kinds.edition import NOTE
from pourwright.ledger.kinds.fields import BookField, Kind
from pourwright.ledger.kinds.molds import mold, molds
from pourwright.ledger.stages import FIRINGS, STAGES

COUNT = BookField(
    name="count",
    kind="whole",
    low=1,
    high=10_000,
    example=8,
    meaning="How many that bear no number.",
)
WHICH = BookField(
    name="pieces",
    kind="pieces",
    example="7, 9-12, AP 2",
    meaning="Marked pieces, by the numbers on their feet.",
)
LOST = BookField(
    name="lost",
    kind="causes",
    example="1 stuck, 1 warp",
    meaning="Lost ones that bear no number, by cause.",
)
LOST_PIECES = BookField(
    name="lost_pieces",
    kind="piece causes",
    example="7 warp, AP 2 crawl",
    meaning="Marked pieces that are lost, with the cause.",
)
EVIDENCE = BookField(
    name="evidence",
    kind="text",
    high=300,
    example="shard in box 2",
    meaning="The photo or shard that shows the loss; without it a number is not given again.",
)
SLIP = BookField(
    name="lot",
    kind="label",
    letter="S",
    example="S-003",
    meaning="Which lot of slip, by the label of its bucket.",
)
CONES = BookField(
    name="cones",
    kind="text",
    high=80,
    example="6 down, 7 soft",
    meaning="The cones as they were seen.",
)
_CASTS = (
    BookField(
        name="good",
        kind="whole",
        low=0,
        high=10_000,
        example=8,
        source="all that were neither lost nor thrown away",
        meaning="Good casts.",
    ),
    LOST,
    BookField(
        name="lost_molds",
        kind="labels",
        letter="M",
        example="3, 7",
        source="not told",
        meaning="The molds whose cast was lost, once for each.",
    ),
    BookField(
        name="conditioned",
        kind="whole",
        low=0,
        high=10_000,
        example=1,
        source="the first casts of each new mold, as the brief says",
        meaning="First casts of new molds, thrown away.",
    ),
    SLIP,
)
_FIRING = BookField(
    name="firing",
    kind="choice",
    required=True,
    choices=FIRINGS,
    example="glaze",
    meaning="Which firing.",
)
_LOAD = (
    _FIRING,
    COUNT,
    WHICH,
    BookField(
        name="refire",
        kind="yes or no",
        example=True,
        source="no",
        meaning="Whether the ware has had this firing already.",
    ),
    BookField(name="kiln", kind="text", high=60, example="the big kiln", meaning="Which kiln."),
)
_OPENED = (LOST, LOST_PIECES, CONES, EVIDENCE)

WARE_KINDS = (
    Kind(
        verb="cast",
        kind="casts-made",
        scope="edition",
        meaning="Molds are cast.",
        fields=(
            molds("Which molds were cast."),
            BookField(
                name="each",
                kind="whole",
                low=1,
                high=6,
                example=2,
                source="1",
                meaning="Casts from each.",
            ),
            BookField(
                name="cast",
                kind="whole",
                low=1,
                high=10_000,
                example=8,
                meaning="Which cast of the mold it is, as the bench counts; it is written down once.",
            ),
            *_CASTS,
            NOTE,
        ),
        example={
            "do": "cast",
            "id": "c-1",
            "edition": "tide-cup",
            "molds": "all except 3 and 7",
            "good": 8,
            "lot": "S-003",
        },
    ),
    Kind(
        verb="count-casts",
        kind="casts-counted",
        scope="edition",
        meaning="How many casts a mold has given so far; the difference is worked out.",
        fields=(
            mold("The mold."),
            BookField(
                name="casts",
                kind="whole",
                required=True,
                low=0,
                high=10_000,
                example=14,
                meaning="Casts so far, all in all.",
            ),
            *(one for one in _CASTS if one.name != "lost_molds"),
        ),
        example={"do": "count-casts", "id": "c-2", "mold": 7, "casts": 14},
    ),
    Kind(
        verb="lose",
        kind="ware-lost",
        scope="edition",
        meaning="Ware is lost at the stage where it stands.",
        fields=(
            WHICH,
            BookField(
                name="stage",
                kind="choice",
                choices=STAGES,
                example="greenware",
                source="where the pieces stand",
                meaning="Where it stood.",
            ),
            LOST,
            COUNT,
            BookField(
                name="cause",
                kind="cause",
                example="warp",
                meaning="The cause, with count or pieces.",
            ),
            EVIDENCE,
            SLIP,
            NOTE,
        ),
        example={
            "do": "lose",
            "id": "c-3",
            "edition": "tide-cup",
            "stage": "greenware",
            "lost": "2 warp, 1 handle crack",
        },
    ),
    Kind(
        verb="glaze",
        kind="ware-glazed",
        scope="edition",
        meaning="Ware is glazed; it may be left out.",
        fields=(
            COUNT,
            WHICH,
            BookField(
                name="lot",
                kind="label",
                letter="G",
                example="G-001",
                meaning="Which lot of glaze, by the label of its bucket.",
            ),
            NOTE,
        ),
        example={"do": "glaze", "id": "c-4", "edition": "tide-cup", "count": 18, "lot": "G-001"},
    ),
    Kind(
        verb="decorate",
        kind="ware-decorated",
        scope="edition",
        meaning="Ware is decorated for the third firing; it may be left out.",
        fields=(COUNT, WHICH, NOTE),
        example={"do": "decorate", "id": "c-10", "edition": "tide-cup", "count": 6},
    ),
    Kind(
        verb="load",
        kind="load-closed",
        scope="edition",
        meaning="A kiln load is closed.",
        fields=(*_LOAD, NOTE),
        example={"do": "load", "id": "c-5", "edition": "tide-cup", "firing": "bisque", "count": 24},
    ),
    Kind(
        verb="unload",
        kind="load-opened",
        scope="edition",
        meaning="A load is opened: what was lost in it, if nothing is told what phones saw lost, and the cones.",
        fields=(
            BookField(
                name="load",
                kind="label",
                letter="L",
                example="L-001",
                source="the only load that is closed",
                meaning="Which load.",
            ),
            *_OPENED,
            NOTE,
        ),
        example={
            "do": "unload",
            "id": "c-6",
            "load": "L-001",
            "lost": "1 bisque crack",
            "cones": "04 down",
        },
    ),
    Kind(
        verb="fire",
        kind="load-fired",
        scope="edition",
        meaning="A load, closed and opened, in one entry.",
        fields=(*_LOAD, *_OPENED, NOTE),
        example={
            "do": "fire",
            "id": "c-7",
            "edition": "tide-cup",
            "firing": "glaze",
            "count": 18,
            "lost": "1 crawl",
        },
    ),
    Kind(
        verb="finish",
        kind="ware-finished",
        scope="edition",
        meaning="Fired ware is inspected, found good and packed.",
        fields=(
            replace(COUNT, source="all that stand before it, if nothing else is told"),
            WHICH,
            LOST,
            LOST_PIECES,
            EVIDENCE,
            NOTE,
        ),
        example={"do": "finish", "id": "c-8", "edition": "tide-cup", "count": 17, "lost": "1 chip"},
    ),
)
