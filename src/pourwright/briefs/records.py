"""What a brief and a studio say, read and resolved.

Every value is in its house unit, which its name ends in; None stands for what
was not given and has no default. ``origins`` says of every field's path where
its value came from. The field table (``pourwright.briefs.fields``) and these
records hold the same fields; a test compares them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from pourwright.money import Money

OriginKind = Literal["brief", "studio", "default", "worked out", "book"]
Preparation = Literal["nothing", "original", "block mold", "approved", "masters"]
Route = Literal["bisque and glaze", "once", "bisque, glaze and third"]
Prefer = Literal["cheapest", "soonest", "fewest molds"]
ToldAs = Literal["water", "volume", "box", "dry mass", "recipe"]


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a value came from.

    Parameters
    ----------
    kind : str
        The brief, the studio's file, a default, or worked out from others.
    typed : str or None
        What was written, as it was written; None if nothing was.
    source : str
        For a default, its source; for what was worked out, from what.
    """

    kind: OriginKind
    typed: str | None
    source: str


@dataclass(frozen=True, slots=True)
class DaysOff:
    """Days without work, the first and the last included."""

    first: date
    last: date


@dataclass(frozen=True, slots=True)
class YearlyDaysOff:
    """Days without work every year; may run over the new year.

    ``first`` and ``last`` are (month, day), both included.
    """

    first: tuple[int, int]
    last: tuple[int, int]


@dataclass(frozen=True, slots=True)
class About:
    """Whose room it is, where, and how it writes quantities."""

    name: str
    country: str | None
    region: str | None
    zone: str
    currency: str
    units: Literal["metric", "us"]


@dataclass(frozen=True, slots=True)
class WorkTime:
    """When people work; ``working_days`` holds weekdays, Monday being 0.

    ``minutes_a_day`` is one person's hands-on time.
    """

    working_days: tuple[int, ...]
    people: int
    minutes_a_day: float
    public_holidays: bool
    off: tuple[DaysOff | YearlyDaysOff, ...]


@dataclass(frozen=True, slots=True)
class PlasterStock:
    """The plaster, and what mixes it.

    ``consistency`` is parts of water to 100 of plaster by mass;
    ``spare`` is a share added to a batch.
    """

    name: str
    consistency: float
    bag_kg: float
    bag_price: Money | None
    bucket_l: float
    mixer_kg: float | None
    scale_step_kg: float
    spare: float
    yield_l_per_kg: float | None


@dataclass(frozen=True, slots=True)
class Pouring:
    """A pouring session and its round."""

    session_min: float
    setup_min: float
    mix_and_pour_min: float
    working_time_min: float
    set_min: float
    turnaround_min: float


@dataclass(frozen=True, slots=True)
class MoldDrying:
    """How long a mold dries in this room, as a range, and how many molds and pieces there is room for."""

    days_low: int
    days_high: int
    room_l: float | None
    air_changes: float
    mold_places: int | None
    rack: int | None


@dataclass(frozen=True, slots=True)
class Kiln:
    """The kiln; ``*_days`` is a firing from load to unload."""

    volume_l: float | None
    power_kw: float | None
    loads_a_week: float
    bisque_days: int
    glaze_days: int
    third_days: int
    handling_min: float
    energy_price_per_kwh: Money | None
    furniture_kg: float | None
    spoiled_loads: float


@dataclass(frozen=True, slots=True)
class SlipStock:
    """The casting slip; ``solids_density`` is in kg/l."""

    liter_weight_g_per_l: float
    solids_density_kg_per_l: float
    price_per_l: Money | None


@dataclass(frozen=True, slots=True)
class Shop:
    """What is bought at a time: a pail of slip, a kit of rubber, a bag of glaze."""

    slip_l: float
    rubber_kg: float
    glaze_kg: float


@dataclass(frozen=True, slots=True)
class Prices:
    """What things cost; what has no price is said to have none."""

    rubber_per_kg: Money | None
    glaze_per_kg: Money | None
    packing_per_piece: Money | None
    labor_per_h: Money | None
    master: Money | None


@dataclass(frozen=True, slots=True)
class Studio:
    """The room, the kiln, the people and the calendar that editions share."""

    studio: About
    time: WorkTime
    plaster: PlasterStock
    pouring: Pouring
    drying: MoldDrying
    kiln: Kiln
    slip: SlipStock
    shop: Shop
    prices: Prices
    origins: Mapping[str, Origin]


@dataclass(frozen=True, slots=True)
class EditionTerms:
    """What is declared and wished."""

    id: str
    name: str
    pieces: int
    proofs: int
    sizes: tuple[int, ...]
    start: date
    deadline: date | None
    casting_weeks: int | None
    molds_at_most: int | None
    molds: int | None
    confidence: float
    prefer: Prefer | None = None
    week_saved: float = 0.02


@dataclass(frozen=True, slots=True)
class PreparationTerms:
    """What there is already, and the working days each step before molds takes."""

    have: Preparation
    original_days: int
    block_mold_days: int
    test_casts: int  # working days
    approval_days: int
    masters_days: int
    refused: float
    original_min: float | None = None
    block_mold_min: float | None = None
    masters_min: float | None = None
    rubber_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One plaster piece of a mold, told in one of five ways.

    ``told_as`` says which of the others is given: the water that fills its
    master, its volume, a box less what the original takes up in it, its dry
    mass, or a recipe, ``batches`` of ``mix_water_kg`` with the spare in them,
    which gives ``volume_l``.
    """

    name: str
    masters: int
    told_as: ToldAs
    water_kg: float | None
    volume_l: float | None
    box_mm: tuple[float, float, float] | None
    displaced_l: float | None
    dry_mass_kg: float | None
    open_min: float | None = None
    reset_min: float | None = None
    mix_water_kg: float | None = None
    batches: float | None = None

    @property
    def mixes(self) -> int:
        """How many batches of its own recipe are mixed for it, one after the other; 0 where it shares one."""
        batches = self.batches or 1.0
        return math.ceil(batches) if self.told_as == "recipe" and batches >= 1 else 0


@dataclass(frozen=True, slots=True)
class MoldTerms:
    """The mold and its life.

    ``dry_mass_kg`` is that of one complete mold, or ``mix_water_kg`` and
    ``batches`` its recipe, given when its parts are not: ``parts`` then holds one
    part, the whole mold. ``shape`` names the file of a shape that told the parts.
    ``life`` is None when the brief says ``"unknown"``.
    """

    dry_mass_kg: float | None
    parts: tuple[Part, ...]
    life: int | None
    conditioning: int
    casts_a_day: int
    accident: float
    mix_water_kg: float | None = None
    batches: float | None = None
    straps: int = 2
    shape: str | None = None


@dataclass(frozen=True, slots=True)
class CastTest:
    """A wall that a test cast of this slip in this mold gave, and when."""

    wall_mm: float
    time_min: float


@dataclass(frozen=True, slots=True)
class CastingTerms:
    """What the cast is; ``cast_moisture`` is water in its whole mass.

    ``stiffen_min`` passes from pouring the slip off until the mold is opened.
    """

    fill_l: float | None
    drained_l: float | None
    wall_mm: float | None
    area_m2: float | None
    test: CastTest | None
    stiffen_min: float | None
    cast_moisture: float


@dataclass(frozen=True, slots=True)
class WorkTerms:
    """Hands' minutes for one piece."""

    cast_min: float
    fettle_min: float
    glaze_min: float
    third_min: float
    mark_and_pack_min: float


@dataclass(frozen=True, slots=True)
class LossTerms:
    """Share lost at each step [-], counted over ``from_casts`` of the studio's own casts."""

    casting: float
    drying: float
    bisque: float
    glaze: float
    third: float
    from_casts: int


@dataclass(frozen=True, slots=True)
class FiringTerms:
    """The firings of a piece; a ``*_load`` is how many pieces a load holds."""

    route: Route
    glaze_load: int
    bisque_load: int
    third_load: int
    bisque_cone: str
    glaze_cone: str
    third_cone: str
    ware_dry_days: int
    glaze_gate: bool


@dataclass(frozen=True, slots=True)
class GlazeTerms:
    """What is coated, and how heavily."""

    area_m2: float | None
    coat_g_per_m2: float | None
    slurry_g_per_l: float | None


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """What a shrinkage test gave, as shares of the earlier length.

    ``fired`` counts from the length that ``fired_on`` names; ``"total"`` is from
    wet to fired, the drying included.
    """

    dry: float
    fired: float
    fired_on: Literal["dry", "wet", "total"]


@dataclass(frozen=True, slots=True)
class DimensionTerms:
    """The original's size, and what each copy of it does to the size."""

    height_mm: float | None
    width_mm: float | None
    depth_mm: float | None
    shrinkage: Shrinkage | None
    rubber_shrinkage: float
    plaster_expansion: float


@dataclass(frozen=True, slots=True)
class NumberTerms:
    """When a piece gets its number, and what proofs are called."""

    marked: Literal["leather-hard", "before glaze", "end"]
    proof_kind: str


@dataclass(frozen=True, slots=True)
class SurplusTerms:
    """What becomes of good pieces beyond the edition."""

    fate: Literal["destroy", "seconds", "keep unsigned"]


@dataclass(frozen=True, slots=True)
class SaleTerms:
    """What a piece is sold for."""

    price: Money | None


@dataclass(frozen=True, slots=True)
class Brief:
    """One edition, as its brief tells it."""

    edition: EditionTerms
    preparation: PreparationTerms
    mold: MoldTerms
    casting: CastingTerms
    work: WorkTerms
    losses: LossTerms
    firing: FiringTerms
    glaze: GlazeTerms
    dimensions: DimensionTerms
    numbers: NumberTerms
    surplus: SurplusTerms
    sale: SaleTerms
    origins: Mapping[str, Origin]
