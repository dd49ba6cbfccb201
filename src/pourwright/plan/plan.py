"""The plan of one edition as records, one a section, and ``plan.json`` with its schema.

Names end in their units. None stands for what is not known; what has a default is left out
of ``plan.json`` while it has nothing to say.
"""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

import msgspec
from msgspec import Meta

from pourwright.briefs.records import OriginKind, Preparation, ToldAs


def about(meaning: str) -> Meta:
    """Return what a field means, for the schema."""
    return Meta(description=meaning)


Count: TypeAlias = Annotated[int, Meta(ge=0)]
FromOne: TypeAlias = Annotated[int, Meta(ge=1)]
Amount: TypeAlias = Annotated[float, Meta(ge=0)]
Chance: TypeAlias = Annotated[float, Meta(ge=0, le=1, description="A chance.")]
Days: TypeAlias = Annotated[int, about("Days; negative when it comes sooner.")]
Day: TypeAlias = Annotated[
    date,
    Meta(
        description="A day, ISO 8601.",
        extra_json_schema={"pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    ),
]
EvenOddsBy: TypeAlias = Annotated[
    Day, about("The day by which half of all ways it may go are finished.")
]
AverageFinish: TypeAlias = Annotated[
    Day, about("The average of all ways it may go; it may be a day off.")
]
Money: TypeAlias = Annotated[
    Decimal,
    Meta(
        description="An exact amount of the plan's currency.",
        extra_json_schema={"pattern": r"^-?[0-9]+(\.[0-9]+)?$"},
    ),
]
Word: TypeAlias = Literal["likely", "tight", "unlikely", "cannot"]
DateWord: TypeAlias = Annotated[
    Word | None, about("Likely, tight, unlikely or cannot; null without a deadline.")
]
Limit: TypeAlias = Literal["molds", "kiln", "hours", "drying", "preparation"]
Marked: TypeAlias = Literal["leather-hard", "before glaze", "end"]
PartFull: TypeAlias = Literal[
    "proofs first",
    "a few first to see the glaze",
    "the last of them",
    "evened out",
    "the rack is full",
    "for the days it saves",
]
Fate: TypeAlias = Literal["destroy", "seconds", "keep unsigned"]


NOT_GIVEN = "not given"
"""The value of a field that nobody wrote and that has no default."""
NO_CHANCE = 0.005
"""A chance below which a date cannot be kept: fewer than one run in two hundred."""
EVEN_CHANCE = 0.5
"""A chance below which a date is unlikely."""
WORTH_CHASING = 0.25
"""The best chance of any plan below which a date is given up, and money decides: our own choice."""
SAME_COST = 0.005
"""Share of a cost by which two plans must differ before one is called cheaper: less is luck."""


def word_for(chance: float, confidence: float) -> Word:
    """Return the word for a chance of keeping the deadline.

    Examples
    --------
    >>> word_for(0.93, 0.9), word_for(0.6, 0.9), word_for(0.2, 0.9), word_for(0.001, 0.9)
    ('likely', 'tight', 'unlikely', 'cannot')
    """
    if chance >= confidence:
        return "likely"
    if chance < NO_CHANCE:
        return "cannot"
    return "tight" if chance >= EVEN_CHANCE else "unlikely"


def same_cost(one: float | Decimal, other: float | Decimal) -> bool:
    """Return whether two plans cost the same, as far as their runs can tell.

    Examples
    --------
    >>> same_cost(13_255.0, 13_307.0), same_cost(13_255.0, 13_915.0)
    (True, False)
    """
    return abs(float(one) - float(other)) <= SAME_COST * max(float(one), float(other))


class Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A part of a plan."""


class PlannedEdition(Record, frozen=True):
    """What the plan is of."""

    id: Annotated[
        str, Meta(pattern="^[a-z0-9-]{3,}$", description="The edition's id in the brief.")
    ]
    name: str
    pieces: FromOne
    proofs: Count


class PlannedStudio(Record, frozen=True):
    """Where it is made."""

    name: str
    units: Literal["metric", "us"]
    currency: Annotated[str, Meta(pattern="^[A-Z]{3}$", description="ISO 4217.")]


class FirstClaim(Record, frozen=True):
    """An edition that has the first claim on kiln and hands.

    ``alone`` is when it would end without this edition.
    """

    id: str
    name: str
    finish: Day
    alone: Day


class Relief(Record, frozen=True):
    """What would bring the finish forward, and what it adds to the cost; below 0 it saves."""

    what: str
    days_gained: Days
    limit: Annotated[Limit, about("Which limit it loosens.")]
    added_cost: Money | None


class Break(Record, frozen=True):
    """What it takes if the only one of its kind breaks."""

    what: Annotated[str, about("Such as: the one mold.")]
    chance: Annotated[Chance, about("That it happens before the edition is done.")]
    days: Annotated[Count, about("Days until there is another.")]


class BestFound(Record, frozen=True):
    """How good the plan is among all plans."""

    bound: Day | None
    proved: bool


class PlanAnswer(Record, frozen=True):
    """The answer in one look."""

    molds: Annotated[FromOne, about("Molds in use at once.")]
    molds_poured: Annotated[
        Count, about("Molds to pour over the edition; from now on with a book.")
    ]
    casts: Annotated[Count, about("Casts to start, conditioning casts not among them.")]
    conditioning_casts: Count
    first_pour: Day | None
    first_cast: Day | None
    finish: Day
    deadline: Day | None
    deadline_met: bool | None
    last_safe_pour: Day | None
    limited_by: Limit
    relief: tuple[Relief, ...]
    breaks: tuple[Break, ...]
    cost_per_piece: Money | None
    currency: str
    best_found: BestFound


class MoldCount(Record, frozen=True):
    """The plan for one number of molds in use."""

    count: FromOne
    finish: EvenOddsBy
    working_days: Count
    casts_per_mold: Count
    life: FromOne
    replaced: Count
    sessions: Count
    meets_deadline: bool | None
    chosen: bool
    cost: Money | None


class FinishRange(Record, frozen=True):
    """Days by which 10, 50 and 90 of a hundred runs are finished."""

    p10: Day
    p50: Day
    p90: Day


class PlanWay(Record, frozen=True):
    """One of the plans that no other beats, and what it is best at."""

    names: Annotated[
        tuple[Literal["cheapest", "soonest", "fewest molds"], ...],
        about("Of those that keep the date at the confidence asked, where any does."),
    ]
    molds: Annotated[FromOne, about("Molds in use at once.")]
    molds_poured: Annotated[Count, about("Molds to pour in the expected course.")]
    loads: Annotated[Count, about("Kiln loads of all firings in that course.")]
    finish: FinishRange
    chance: Chance | None
    cost: Money | None
    recommended: bool
    hands_h: Annotated[
        Amount, about("Hours of hands; plans are compared by them where these have no price.")
    ]


class LadderStep(Record, frozen=True):
    """A step from the bare arithmetic of the trade to this plan."""

    step: str
    finish: Day
    days_added: Days


class OtherSize(Record, frozen=True):
    """The plan for a size of the edition."""

    pieces: FromOne
    molds: Annotated[FromOne, about("Molds in use at once.")]
    molds_poured: Annotated[Count, about("Molds to pour over the edition.")]
    casts: FromOne
    finish: EvenOddsBy
    cost: Money | None


class TwoSteps(Record, frozen=True):
    """What it takes to make this edition now and leave a larger one open.

    ``decide_by`` is the last day to decide, None where the larger one does not keep
    the date; until then masters are kept and nothing is numbered.
    """

    pieces: FromOne
    decide_by: Day | None
    molds: Annotated[Count, about("Molds to pour then, beyond those of this edition.")]
    too_few: Annotated[
        Chance, about("That these together, and no more, do not give numbers and proofs.")
    ]


class OtherLife(Record, frozen=True):
    """The plan for a life of a mold."""

    life: FromOne
    molds: FromOne
    replaced: Count
    finish: EvenOddsBy


class HelpRow(Record, frozen=True):
    """What would raise the chance of the date, alone, with the molds that come nearest."""

    what: str
    chance: Chance


class MoldsRow(Record, frozen=True):
    """The odds with one number of molds."""

    molds: FromOne
    chance: Chance | None
    p10: Day
    p50: Day
    p90: Day
    cost: Money | None
    added_cost: Money | None
    least: bool


class MoldsForChance(Record, frozen=True):
    """The fewest molds for the confidence asked."""

    confidence: Chance
    molds: FromOne | None
    limit: Annotated[Limit | None, about("What limits when no number of molds does.")]
    help_molds: Annotated[
        FromOne | None,
        about("The number of molds that comes nearest then, beside which help is told."),
    ]
    help: tuple[HelpRow, ...]
    rows: Annotated[tuple[MoldsRow, ...], Meta(min_length=1)]


class Replacement(Record, frozen=True):
    """When replacement molds are poured, if they are."""

    molds: FromOne
    pour_p10: Day
    pour_p50: Day
    pour_p90: Day
    chance_poured: Chance
    session_cost: Money | None


class FurtherMolds(Record, frozen=True):
    """Molds that may be poured beyond those of the plan: where they are, half of the time so many or fewer.

    They are poured in time, while those there may still do: more often than they are needed.
    """

    molds: FromOne
    chance: Annotated[Chance, about("That more are poured.")]
    too_few: Annotated[
        Chance, about("That the plan's molds, and no more, do not give numbers and proofs.")
    ]


class OfferBy(Record, frozen=True):
    """Pieces that may be promised by a date."""

    date: Day
    pieces: Count


class SafeToOffer(Record, frozen=True):
    """Numbered pieces that may be promised."""

    confidence: Chance
    by_date: tuple[OfferBy, ...]
    today: Count


class FromMolds(Record, frozen=True):
    """What so many molds, and no more, allow to declare."""

    molds_poured: FromOne
    pieces: Annotated[Count, about("Numbered pieces, proofs kept back, at the confidence asked.")]


class CastsToPromise(Record, frozen=True):
    """Casts to start at once so that numbers and proofs come out."""

    confidence: Chance
    to_start: Count
    conditioning: Count
    surplus_p50: Count
    surplus_p90: Count
    fate: Fate


class RiskRow(Record, frozen=True):
    """One input over its plausible range, the others left to chance."""

    what: str
    field: str
    low: str
    high: str
    finish_low: AverageFinish
    finish_high: AverageFinish
    days: Annotated[Count, about("Days between the two.")]
    cost_low: Money | None
    cost_high: Money | None
    measure: str


class FanDay(Record, frozen=True):
    """Finished pieces by a date, of which so many of a hundred runs have no more."""

    date: Day
    p10: Count
    p25: Count
    p50: Count
    p75: Count
    p90: Count


class MoldsDay(Record, frozen=True):
    """Molds that can still be cast, and molds worn out, by a date."""

    date: Day
    p10: Count
    p50: Count
    p90: Count
    worn_p50: Count


class Odds(Record, frozen=True):
    """What may be promised, over many runs of chance."""

    runs: FromOne
    seed: Count
    own_casts: Annotated[Count, about("Casts of the studio's own behind the losses.")]
    confidence: Chance
    word: DateWord
    chance: Chance | None
    finish: FinishRange
    average_finish: AverageFinish
    surely: Annotated[Day, about("The day that so great a share of the runs keeps as is asked.")]
    first_date: Annotated[
        Day | None, about("The first date that can be kept, where the one wished for cannot.")
    ]
    first_date_molds: Annotated[FromOne | None, about("The fewest molds in use that keep it.")]
    expected_finish: Day
    carried_by: Annotated[tuple[str, ...], about("The assumptions that carry the range.")]
    molds_for_chance: MoldsForChance
    replacements: tuple[Replacement, ...]
    safe_to_offer: SafeToOffer
    casts: CastsToPromise
    from_molds: tuple[FromMolds, ...]
    risks: Annotated[tuple[RiskRow, ...], about("What moves the finish, the most first.")]
    fan: tuple[FanDay, ...]
    molds_in_use: tuple[MoldsDay, ...]
    bias_days: Annotated[float, about("Days that the dates were put later by, on average.")]
    bias_note: str
    ten_ways: Annotated[
        tuple[Day, ...],
        Meta(
            min_length=10,
            max_length=10,
            description="Finish of ten equally likely ways it may go, the soonest first.",
        ),
    ]
    apart: Annotated[
        str, about("Why the calendar ends more than two days from the middle of the runs.")
    ] = ""
    further_molds: Annotated[
        FurtherMolds | None, about("Where some runs pour more molds than the plan does.")
    ] = None


class MoldPart(Record, frozen=True):
    """A part of one mold."""

    name: str
    volume_l: Amount
    told_as: ToldAs
    plaster_kg: Amount
    water_kg: Amount
    masters: FromOne


class PerMold(Record, frozen=True):
    """What one mold takes."""

    volume_l: Amount
    plaster_kg: Amount
    water_kg: Amount


Mixes: TypeAlias = Annotated[
    FromOne,
    about(
        "In how many mixes of equal weight it is made, one after the other; the weights are those of all."
    ),
]


class BatchPart(Record, frozen=True):
    """A part that a batch fills."""

    mold: FromOne
    part: str


class PourBatch(Record, frozen=True):
    """A batch of the pour list; weights are on the scale's step."""

    session: FromOne
    number: FromOne
    parts: Annotated[tuple[BatchPart, ...], Meta(min_length=1)]
    volume_l: Amount
    water_kg: Amount
    plaster_kg: Amount
    leftover_l: Amount
    starts_min: Annotated[Amount, about("Minutes after the session began.")]
    mixes: Mixes = 1


class BlockBatch(Record, frozen=True):
    """A batch for a part of the block mold; weights are on the scale's step and hold the spare."""

    part: str
    date: Day
    water_kg: Amount
    plaster_kg: Amount
    mixes: Mixes = 1


class BlockPour(Record, frozen=True):
    """The block mold, poured part by part, which is taken to need what one mold does."""

    date: Day
    batches: Annotated[tuple[BlockBatch, ...], Meta(min_length=1)]


class PourSession(Record, frozen=True):
    """A pouring session."""

    number: FromOne
    date: Day
    molds: Count
    batches: FromOne
    length_min: Annotated[Amount, about("Minutes from its beginning until the last batch has set.")]


class PlasterPlan(Record, frozen=True):
    """Parts, batches, sessions and totals."""

    consistency: Annotated[float, about("Parts of water to 100 of plaster, by mass.")]
    wet_kg_per_l: Amount
    dry_kg_per_l: Amount
    parts: Annotated[tuple[MoldPart, ...], Meta(min_length=1)]
    per_mold: PerMold
    batches: Annotated[
        tuple[PourBatch, ...], about("The pour list. Empty if no mold is still to be poured.")
    ]
    sessions: Count
    session_list: tuple[PourSession, ...]
    batches_bound: Annotated[Count, about("No pour list has fewer batches.")]
    proved: bool
    round_min: Amount
    idle_masters: Annotated[
        tuple[str, ...],
        about("Parts with a master that gains nothing while the other parts have no more."),
    ]
    total_plaster_kg: Annotated[Amount, about("With that of the block mold.")]
    total_water_kg: Annotated[Amount, about("With that of the block mold.")]
    bags: Count
    bag_kg: Amount
    scale_step_kg: Annotated[
        float, Meta(gt=0, description="Weights of batches are multiples of it.")
    ]
    block_mold: Annotated[BlockPour | None, about("Where a block mold is still to be poured.")] = (
        None
    )


class MoldDrying(Record, frozen=True):
    """How one mold dries."""

    water_to_lose_kg: Amount
    days_low: Amount
    days_high: Amount
    wet_kg: Amount
    dry_kg: Amount
    beside_days: Annotated[
        Amount,
        about("Days more for each other mold that is wet in the room; 0 where none is told."),
    ] = 0.0


class CastingPlan(Record, frozen=True):
    """One cast, and the slip of the edition."""

    fill_l: Amount | None
    kept_l: Amount | None
    drained_l: Amount | None
    water_to_mold_kg: Amount | None
    slip_for_edition_l: Amount | None
    minutes: Amount | None
    minutes_low: Amount | None
    minutes_high: Amount | None
    wall_mm: Amount | None
    note: str


class Stage(Record, frozen=True):
    """One stretch of the work, first and last day included."""

    name: str
    starts: Day
    ends: Day
    note: str


class Doing(Record, frozen=True, omit_defaults=True):
    """One thing done on a day: how many, of how many, in which molds, and why a load is not full.

    ``of`` is what a load that comes out held, and what would fit into one that goes in.
    """

    stage: str
    count: Count
    of: Count | None = None
    molds: tuple[str, ...] = ()
    why: Annotated[PartFull | None, about("Why a load is fired part full.")] = None


class PlanDay(Record, frozen=True, omit_defaults=True):
    """A day of the calendar."""

    date: Day
    open: bool
    minutes: Count
    used_min: Count
    doing: tuple[Doing, ...]
    why: Annotated[str, about("Why a day is closed, such as a holiday.")] = ""


class FiringPlan(Record, frozen=True):
    """One firing of the route, all its loads."""

    name: str
    cone: str
    temperature_c: Amount | None
    capacity: FromOne
    loads: Count
    pieces: Count
    energy_kwh_low: Amount | None
    energy_kwh_high: Amount | None


class KilnPlan(Record, frozen=True):
    """The kiln's work."""

    firings: Annotated[tuple[FiringPlan, ...], Meta(min_length=1)]
    energy_kwh: Amount | None


class GlazePlan(Record, frozen=True):
    """Glaze for all pieces that are glazed."""

    dry_kg: Amount | None
    slurry_l: Amount | None
    note: str


class NumbersPlan(Record, frozen=True):
    """The numbers and proofs that are promised."""

    first: str
    last: str
    proofs: Count
    kind: str
    marked: Marked


class Surplus(Record, frozen=True):
    """Good pieces beyond the numbers and the proofs."""

    expected: Amount
    fate: Fate


class PricedLine(Record, frozen=True):
    """What something costs: ``amount`` is ``quantity`` times ``price`` on the coin."""

    name: str
    quantity: Decimal
    unit: str
    price: Money
    amount: Money


class UsedUp(Record, frozen=True):
    """What the ways it may go use up on average, spoiled loads and molds that wear early among it."""

    casts: Annotated[Amount, about("Conditioning casts not among them.")]
    molds: Annotated[Amount, about("Molds to pour.")]
    loads: Amount


class CostPlan(Record, frozen=True):
    """What the edition costs on average; of one that has begun, what is still to be spent.

    ``by_calendar`` is the same by the counts of the calendar, where nothing is made again;
    ``p10`` and ``p90`` are what 10 and 90 of a hundred ways it may go cost at most.
    """

    currency: str
    lines: tuple[PricedLine, ...]
    not_priced: Annotated[tuple[str, ...], about("What has no price; it is not in the total.")]
    total: Money | None
    per_piece: Money | None
    used_up: UsedUp
    by_calendar: Money | None
    p10: Annotated[Money | None, about("By how many casts, molds, sessions and loads it takes.")]
    p90: Money | None


class SizeStep(Record, frozen=True, omit_defaults=True):
    """The sizes at a step from the original to the fired piece; only those that are given."""

    name: str
    factor: Amount
    height_mm: Amount | None = None
    width_mm: Amount | None = None
    depth_mm: Amount | None = None


class Dimensions(Record, frozen=True):
    """The sizes from the original to the fired piece, or why there are none."""

    given: bool
    steps: tuple[SizeStep, ...]
    note: str


class PlanCaution(Record, frozen=True):
    """What can hurt, at the step where it can."""

    step: str
    title: str
    text: str
    source: str


class NumberSource(Record, frozen=True):
    """Where a number came from."""

    field: str
    value: str
    kind: OriginKind
    source: str


class StandingMold(Record, frozen=True, omit_defaults=True):
    """A whole mold in use: its label, casts given, the day it was poured, and whether it may be cast.

    Where its weighings tell, it is ready to cast between two days, eight times in ten.
    """

    label: str
    casts: Count
    poured: Day
    dry: bool
    ready_from: Day | None = None
    ready_by: Day | None = None


class StandingLoad(Record, frozen=True):
    """A load of this edition that is in the kiln, and since when."""

    firing: str
    pieces: Count
    since: Day


class StandingWare(Record, frozen=True):
    """Ware at a stage, the kiln's not counted."""

    stage: str
    count: Count


class OwnFigure(Record, frozen=True):
    """A figure that the studio has counted."""

    field: str
    value: str
    source: str


class Forecast(Record, frozen=True):
    """The expected finish, and the range of eight runs in ten."""

    as_of: Day
    finish: Day
    p10: Day
    p50: Day
    p90: Day
    word: DateWord


class FromBook(Record, frozen=True):
    """What the book says is true, and the first plan beside this one."""

    entries: FromOne
    head: Annotated[str, Meta(pattern="^[0-9a-f]{64}$", description="Digest of the last entry.")]
    state: Literal["planned", "declared"]
    have: Preparation
    molds: Annotated[tuple[StandingMold, ...], about("Molds in use.")]
    stages: tuple[StandingWare, ...]
    load: StandingLoad | None
    finished: Count
    wanted: Annotated[Count, about("Pieces wanted beyond all that is in work or finished.")]
    own: tuple[OwnFigure, ...]
    first_plan: Forecast | None
    now: Forecast
    days_later: Days | None
    from_brief: Annotated[
        tuple[str, ...], about("What the book does not tell and the brief does.")
    ] = ()
    unapproved: Annotated[
        Literal["", "molds", "masters"],
        about("What was made before any test cast was approved; the plan has no test casts then."),
    ] = ""
    put_off: Annotated[
        tuple[str, ...], about("What is not done today although the plan counts on it.")
    ] = ()
    marked: Annotated[
        Count, about("Pieces that wait for glazing, or for packing, and bear their number already.")
    ] = 0


class ToBuy(Record, frozen=True):
    """Something to buy: what is needed of it, what is there, and how many bags, pails or pieces."""

    what: str
    by: Annotated[Day, about("The day on which it is first used.")]
    need: Annotated[Amount, about("In the unit.")]
    there: Annotated[Amount, about("What the book says is there, in the unit.")]
    unit: Annotated[str, about("kg, l, or nothing for pieces.")]
    holds: Annotated[float, Meta(gt=0, description="What one of the shop's units holds.")]
    shop_unit: Annotated[str, about("What it is sold in, such as a bag.")]
    count: Annotated[Count, about("How many of the shop's units to buy.")]


class Plan(Record, frozen=True, omit_defaults=True):
    """The plan of one edition. Quantities are in the unit that their name ends in."""

    version: Annotated[Literal[1], about("Version of this format.")]
    as_of: Day
    edition: PlannedEdition
    studio: PlannedStudio
    beside: tuple[FirstClaim, ...]
    answer: PlanAnswer
    molds: Annotated[
        tuple[MoldCount, ...],
        Meta(min_length=1, description="One plan for each number of molds in use."),
    ]
    ways: Annotated[tuple[PlanWay, ...], Meta(min_length=1)]
    ladder: tuple[LadderStep, ...]
    sizes: tuple[OtherSize, ...]
    two_steps: tuple[TwoSteps, ...]
    lives: Annotated[tuple[OtherLife, ...], about("Empty when the life of a mold is known.")]
    odds: Odds
    plaster: PlasterPlan
    drying: MoldDrying
    casting: CastingPlan
    stages: Annotated[tuple[Stage, ...], Meta(min_length=1)]
    calendar: Annotated[
        tuple[PlanDay, ...],
        Meta(min_length=1, description="Every day from the first to the finish."),
    ]
    kiln: KilnPlan
    glaze: GlazePlan
    numbers: NumbersPlan
    surplus: Surplus
    cost: CostPlan
    dimensions: Dimensions
    to_buy: Annotated[tuple[ToBuy, ...], about("The soonest first.")]
    cautions: Annotated[tuple[PlanCaution, ...], Meta(min_length=1)]
    sources: Annotated[tuple[NumberSource, ...], Meta(min_length=1)]
    violations: Annotated[
        tuple[str, ...],
        Meta(
            max_length=0, description="Rules that the plan breaks; a plan with one is never shown."
        ),
    ]
    book: FromBook | None = None

    @property
    def awaits_approval(self) -> bool:
        """Whether the test casts are still to be approved: until then nothing is promised to buyers.

        Molds that were poured all the same approve nothing, though the plan goes on with them.
        """
        skipped = self.book is not None and self.book.unapproved != ""
        return skipped or any(one.name == "approval" for one in self.stages)


def plan_json(plan: Plan) -> str:
    """Return a plan as the text of ``plan.json``, the same for the same plan.

    Raises
    ------
    ValueError
        If a number is not finite.
    """
    # msgspec would write a number that is not finite as null, "not known".
    data = msgspec.to_builtins(plan)
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def plan_schema() -> dict[str, object]:
    """Return the JSON Schema of ``plan.json``; ``pourwright schema plan`` prints it."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "plan.json",
        **msgspec.json.schema(Plan),
    }
