"""Every field of an edition's brief, ``edition.toml``."""

from __future__ import annotations

from pourwright.briefs.fields import COMMON, NO_COST, Field, Section, liter_weight_hint

SECTIONS = (
    Section("edition", "What is declared, and by when."),
    Section(
        "preparation", "What there is already, and the working days of each step before the molds."
    ),
    Section("mold", "The mold and how long it lasts."),
    Section(
        "mold.parts[]",
        "One plaster piece of the mold, once for each; instead of mold.dry_mass. "
        "Tell it in one way: water, volume, box with displaced, or dry_mass.",
    ),
    Section("casting", "The cast."),
    Section("casting.test", "A test cast of this slip in this mold; casting times need one."),
    Section("work", "Hands-on time for one piece."),
    Section("losses", "Share of the pieces lost at each step."),
    Section("firing", "The firings of a piece, and what a load holds."),
    Section("glaze", "What is coated, and how heavily."),
    Section("dimensions", "The original's size. Fired sizes need a shrinkage test."),
    Section("dimensions.shrinkage", "What a shrinkage test of this body gave."),
    Section("numbers", "Numbers and proofs."),
    Section("surplus", "Good pieces beyond the edition."),
    Section("sale", "What a piece is sold for."),
)

HAVE = ("nothing", "original", "block mold", "approved", "masters")
ROUTES = ("bisque and glaze", "once", "bisque, glaze and third")
NEVER_DEFAULT = "not given: it is never assumed; one test gives it"
TOLD = "not given: the part is told in another way"


def _minutes(key: str, default: str, example: str, meaning: str) -> Field:
    return Field(
        name=f"work.{key}", kind="quantity", dimension="duration", default=default, low=0, high=1440,
        example=example, meaning=meaning, source=COMMON,
    )  # fmt: skip


def _loss(key: str, default: str, example: str, meaning: str, source: str = COMMON) -> Field:
    return Field(
        name=f"losses.{key}", kind="quantity", dimension="fraction", default=default, low=0, below=1,
        example=example, meaning=meaning, source=source,
    )  # fmt: skip


FIELDS = (
    Field(
        name="version", kind="whole", required=True, example=1,
        meaning="The version of this file's format.", source="this program writes version 1",
    ),
    Field(
        name="studio", kind="text", high=300, default="studio.toml", example="../studio.toml",
        meaning="The studio's file, as seen from this one.", source="our own choice",
    ),
    # edition
    Field(
        name="edition.id", kind="id", low=3, high=60, required=True, example="tide-cup",
        meaning="A short name that never changes: small letters, digits, hyphens.", source="asked: you choose it",
    ),
    Field(
        name="edition.name", kind="text", example="Tide cup",
        meaning="What the edition is called.", source="not given: the id",
    ),
    Field(
        name="edition.pieces", kind="whole", required=True, low=1, high=10_000, example=48,
        meaning="Numbered pieces, the N of n/N.", source="asked: you declare it",
    ),
    Field(
        name="edition.proofs", kind="whole", default=0, low=0, high=1000, example=4,
        meaning="Proofs beyond the numbers.", source="our own choice",
    ),
    Field(
        name="edition.sizes", kind="whole", many=True, default=[], low=1, high=10_000, example=[36, 60],
        meaning="Other edition sizes to compare before declaring.", source="not given: no comparison",
    ),
    Field(
        name="edition.start", kind="date", default="today", example="in 2 weeks",
        meaning='First day of work: a date, "today" or "in 3 weeks".', source="our own choice",
    ),
    Field(
        name="edition.deadline", kind="date", example="in 26 weeks",
        meaning="Day by which the last piece must be packed.", source="not given: no deadline",
    ),
    Field(
        name="edition.casting_weeks", kind="whole", low=1, high=260, example=8,
        meaning="Weeks in which the casting should be done, if you wish a pace.", source="not given: no wished pace",
    ),
    Field(
        name="edition.molds_at_most", kind="whole", low=1, high=500, example=6,
        meaning="Most molds in use at once.", source="not given: the plan chooses",
    ),
    Field(
        name="edition.molds", kind="whole", low=1, high=500, example=4,
        meaning="Molds in use at once, exactly.", source="not given: the plan chooses",
    ),
    Field(
        name="edition.confidence", kind="quantity", dimension="fraction", default="90 %", low=0.5, high=0.99,
        example="80 %", meaning="How sure the date, the molds and the casts should be.", source="our own choice",
    ),
    # preparation
    Field(
        name="preparation.have", kind="choice", choices=HAVE, default="original", example="block mold",
        meaning="The furthest thing that is there already.", source="our own choice",
    ),
    Field(
        name="preparation.original_days", kind="whole", default=10, low=0, high=500, example=15,
        meaning="Working days to make the original.", source=COMMON,
    ),
    Field(
        name="preparation.block_mold_days", kind="whole", default=2, low=0, high=100, example=3,
        meaning="Working days to make the block mold from the original.", source=COMMON,
    ),
    Field(
        name="preparation.test_casts", kind="whole", default=4, low=0, high=50, example=3,
        meaning="Test casts from the block mold, fired before rubber is bought.",
        source="three to five: " + COMMON,
    ),
    Field(
        name="preparation.approval_days", kind="whole", default=2, low=0, high=200, example=5,
        meaning="Working days to judge the fired test casts.", source=COMMON,
    ),
    Field(
        name="preparation.masters_days", kind="whole", default=5, low=0, high=200, example=8,
        meaning="Working days to make the masters and their jackets.", source=COMMON,
    ),
    # mold
    Field(
        name="mold.dry_mass", kind="quantity", dimension="mass", low=0.05, high=200,
        example="6.4 kg", example_us="14 lb", meaning="Dry mass of one complete mold, if its parts are not told.",
        source="not given: the parts are told",
    ),
    Field(
        name="mold.life", kind="life", default="unknown", low=1, high=500, example=25,
        meaning='Casts a mold gives before it is retired, or "unknown".',
        source='"unknown": 15, 30 and 60 are shown and 30 is planned with; ' + COMMON,
    ),
    Field(
        name="mold.conditioning", kind="whole", default=1, low=0, high=20, example=2,
        meaning="First casts of a new mold that are thrown away; they use its life.", source="one or two: " + COMMON,
    ),
    Field(
        name="mold.casts_a_day", kind="whole", default=1, low=1, high=6, example=2,
        meaning="Casts from one mold on a working day.",
        source="one: " + COMMON + "; industrial drain casting takes two or fewer in 8 hours (EP 0211653, background)",
    ),
    # parts
    Field(
        name="mold.parts[].name", kind="text", example="left half",
        meaning="What the part is called.", source="not given: its place in the list",
    ),
    Field(
        name="mold.parts[].masters", kind="whole", default=1, low=1, high=50, example=2,
        meaning="Masters of this part, so parts that can be poured at once.", source="our own choice",
    ),
    Field(
        name="mold.parts[].water", kind="quantity", dimension="mass", low=0.005, high=150,
        example="1.9 kg", example_us="4 lb 3 oz", meaning="Mass of the water that fills its master.", source=TOLD,
    ),
    Field(
        name="mold.parts[].volume", kind="quantity", dimension="volume", low=0.005, high=150,
        example="1.9 l", example_us="2 qt", meaning="Its volume.", source=TOLD,
    ),
    Field(
        name="mold.parts[].box", kind="box", dimension="length", low=5, high=2000,
        example=["220 mm", "180 mm", "90 mm"], example_us=["9 in", "7 in", "3 1/2 in"], attr="box_mm",
        meaning="Inside of the pouring frame: length, width, height of plaster.", source=TOLD,
    ),
    Field(
        name="mold.parts[].displaced", kind="quantity", dimension="volume", low=0, high=1000,
        example="0.8 l", example_us="28 fl oz", meaning="What stands in the frame and takes up plaster.",
        source="not given: nothing stands in it",
    ),
    Field(
        name="mold.parts[].dry_mass", kind="quantity", dimension="mass", low=0.005, high=150,
        example="2.1 kg", example_us="4 lb 10 oz", meaning="Its mass when dry.", source=TOLD,
    ),
    # casting
    Field(
        name="casting.fill", kind="quantity", dimension="volume", low=0.005, high=200,
        example="0.85 l", example_us="29 fl oz", meaning="Slip that fills one mold, spare included.",
        source="not given: slip is not forecast",
    ),
    Field(
        name="casting.drained", kind="quantity", dimension="volume", low=0, high=200,
        example="0.6 l", example_us="20 fl oz", meaning="Slip that is drained back.",
        source="not given: worked out from wall and area if those are",
    ),
    Field(
        name="casting.wall", kind="quantity", dimension="length", low=0.5, high=60,
        example="4 mm", example_us="3/16 in", meaning="Wall of the cast, wet.",
        source="not given: no casting time",
    ),
    Field(
        name="casting.area", kind="quantity", dimension="area", low=0.0001, high=5,
        example="420 cm2", example_us="65 sq in", meaning="Surface of the mold that the cast covers.",
        source="not given: slip kept is what is not drained",
    ),
    Field(
        name="casting.test.wall", kind="quantity", dimension="length", low=0.3, high=60,
        example="3.5 mm", example_us="1/8 in", meaning="Wall the test cast had.", source=NEVER_DEFAULT,
    ),
    Field(
        name="casting.test.time", kind="quantity", dimension="duration", low=0.5, high=2880,
        example="14 min", meaning="Time from full to drained.", source=NEVER_DEFAULT,
    ),
    Field(
        name="casting.cast_moisture", kind="quantity", dimension="fraction", default="20 %", low=0.05, high=0.4, example="21 %",
        meaning="Water in a cast as it leaves the mold, of its whole mass.",
        source="18 to 22 %: " + COMMON + "; a ball-clay producer's booklet has plastic bodies at 19 to 21 %",
    ),
    # work
    _minutes("cast", "12 min", "10 min", "Fill, top up, drain and open."),
    _minutes("fettle", "20 min", "25 min", "Fettle and sponge."),
    _minutes("glaze", "8 min", "6 min", "Wipe and glaze."),
    _minutes("third", "8 min", "15 min", "Decal or luster."),
    _minutes("mark_and_pack", "10 min", "12 min", "Number, enter and pack."),
    # losses
    _loss(
        "casting", "6 %", "8 %", "Lost in casting and fettling.",
        COMMON + "; the defaults together leave about 0.8 of the casts",
    ),
    _loss("drying", "3 %", "2 %", "Lost in drying."),
    _loss("bisque", "3 %", "4 %", "Lost in the bisque."),
    _loss("glaze", "8 %", "10 %", "Lost in the glaze firing."),
    _loss("third", "3 %", "5 %", "Lost in the third firing."),
    Field(
        name="losses.from_casts", kind="whole", default=0, low=0, high=100_000, example=140,
        meaning="How many of your own casts these losses were counted over.", source="not given: not counted yet",
    ),
    # firing
    Field(
        name="firing.route", kind="choice", choices=ROUTES, default="bisque and glaze", example="once",
        meaning="The firings of a piece.", source=COMMON,
    ),
    Field(
        name="firing.glaze_load", kind="whole", required=True, low=1, high=5000, example=18,
        meaning="Pieces that a glaze load holds (any load, when fired once).", source="asked: only you know it",
    ),
    Field(
        name="firing.bisque_load", kind="whole", low=1, high=10_000, example=30,
        meaning="Pieces that a bisque load holds.", source="one and a half times the glaze load: " + COMMON,
    ),
    Field(
        name="firing.third_load", kind="whole", low=1, high=5000, example=18,
        meaning="Pieces that a load of the third firing holds.", source="as many as a glaze load: " + COMMON,
    ),
    Field(
        name="firing.bisque_cone", kind="cone", default="04", example="06",
        meaning="Cone of the bisque.", source=COMMON,
    ),
    Field(
        name="firing.glaze_cone", kind="cone", default="6", example="9",
        meaning="Cone of the glaze firing.", source=COMMON,
    ),
    Field(
        name="firing.third_cone", kind="cone", default="018", example="019",
        meaning="Cone of the third firing.", source=COMMON,
    ),
    Field(
        name="firing.ware_dry_days", kind="whole", default=5, low=0, high=60, example=7,
        meaning="Days that ware dries before its first firing.", source=COMMON,
    ),
    Field(
        name="firing.glaze_gate", kind="yes or no", default=True, example=False,
        meaning="Whether a first load of proofs or test pieces must come out before the rest is glazed.",
        source=COMMON,
    ),
    # glaze
    Field(
        name="glaze.area", kind="quantity", dimension="area", low=0.0001, high=5, example="780 cm2",
        example_us="120 sq in", meaning="Glazed surface of one piece.", source="not given: glaze is not forecast",
    ),
    Field(
        name="glaze.coat", kind="quantity", dimension="coat", low=20, high=5000, example="900 g/m2",
        example_us="3 oz/sq ft", meaning="Dry glaze on the surface: weigh a test tile before and after.",
        source=NEVER_DEFAULT,
    ),
    Field(
        name="glaze.slurry", kind="quantity", dimension="liter weight", low=1050, high=2200, hint=liter_weight_hint,
        example="1450 g/l", example_us="24 oz/US pint", meaning="What a liter (or pint) of the glaze in the bucket weighs.",
        source="not given: glaze is told dry",
    ),
    # dimensions
    Field(
        name="dimensions.height", kind="quantity", dimension="length", low=3, high=3000, example="124 mm",
        example_us="4 7/8 in", meaning="Height of the original.", source="not given",
    ),
    Field(
        name="dimensions.width", kind="quantity", dimension="length", low=3, high=3000, example="96 mm",
        example_us="3 3/4 in", meaning="Width of the original.", source="not given",
    ),
    Field(
        name="dimensions.depth", kind="quantity", dimension="length", low=3, high=3000, example="96 mm",
        example_us="3 3/4 in", meaning="Depth of the original.", source="not given",
    ),
    Field(
        name="dimensions.shrinkage.dry", kind="quantity", dimension="fraction", low=0, below=0.2, example="4 %",
        meaning="Shrinkage from wet to dry.", source=NEVER_DEFAULT,
    ),
    Field(
        name="dimensions.shrinkage.fired", kind="quantity", dimension="fraction", low=0, below=0.3, example="8.5 %",
        meaning="Shrinkage in the fire.", source=NEVER_DEFAULT,
    ),
    Field(
        name="dimensions.shrinkage.fired_on", kind="choice", choices=("dry", "wet", "total"), example="dry",
        meaning="The length that the fired shrinkage counts from; \"total\" if it has the drying in it.",
        source="not given: suppliers mean one or the other, so ask yours",
    ),
    Field(
        name="dimensions.rubber_shrinkage", kind="quantity", dimension="fraction", default="0 %", low=0, high=0.03,
        example="0.3 %", meaning="Linear shrinkage of the master's rubber; its data sheet says it.",
        source="our own choice: none until the data sheet is read",
    ),
    Field(
        name="dimensions.plaster_expansion", kind="quantity", dimension="fraction", default="0.2 %", low=0, high=0.01,
        example="0.16 %", meaning="Linear expansion of the plaster as it sets.",
        source="plaster makers' data sheets: 0.15 to 0.30 % between consistency 65 and 75",
    ),
    # numbers
    Field(
        name="numbers.marked", kind="choice", choices=("leather-hard", "before glaze", "end"), default="end",
        example="leather-hard", meaning="When a piece gets its number.", source="our own choice",
    ),
    Field(
        name="numbers.proof_kind", kind="text", default="AP", example="EP",
        meaning="Letters that mark a proof.", source="print trade's custom, AP for artist's proof: " + COMMON,
    ),
    # surplus
    Field(
        name="surplus.fate", kind="choice", choices=("destroy", "seconds", "keep unsigned"), default="destroy",
        example="seconds", meaning="What becomes of good pieces beyond the edition.",
        source="our own choice: the edition stays what it was declared to be",
    ),
    # sale
    Field(
        name="sale.price", kind="money", example="420.00 DKK", example_us="68.00 USD", attr="price",
        meaning="What a piece is sold for.", source=NO_COST.replace("the cost", "the plan"),
    ),
)  # fmt: skip
