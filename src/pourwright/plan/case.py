"""From a brief and a studio to what the planner is asked.

Everything that the planning parts need is worked out here once: the calendar, the
mix, what a pouring session gives, the days before the first pour, and the edition
as counts, minutes and days.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

import numpy as np

from pourwright.briefs.records import Brief, Part, Studio
from pourwright.errors import NotDoable, StudioError
from pourwright.materials.casting.water import (
    WaterBalance,
    balance_of_kept_slip,
    cast_volume_l,
    water_balance,
)
from pourwright.materials.drying.dryness import drying_days, water_to_lose
from pourwright.materials.drying.together import DryingRoom, carried_off_kg_per_day
from pourwright.materials.kiln.cones import cone_temperature
from pourwright.materials.kiln.energy import energy_by_volume
from pourwright.materials.plaster.mix import Plaster, wet_density
from pourwright.materials.plaster.volumes import (
    volume_from_box,
    volume_from_dry_mass,
    volume_from_water_fill,
)
from pourwright.plan.before import Before, before_pouring
from pourwright.plan.calendar import studio_calendar
from pourwright.plan.standing import (
    Learned,
    Prior,
    Standing,
    already_of,
    brief_from_here,
    in_order,
    studio_from_here,
)
from pourwright.simulation.calendar import Calendar, Days
from pourwright.simulation.draws import Draws, casts_to_start, expected_draws
from pourwright.simulation.pours import Mix, largest_mix_l, usable_l
from pourwright.simulation.problem import (
    NEVER,
    NOTHING_YET,
    Already,
    Edition,
    Firing,
    Ints,
    Policy,
    Workshop,
)
from pourwright.simulation.rounds import PourTimes
from pourwright.simulation.sessions import SessionCapacity, sets_in_a_session

STUDIO_FILE = "the studio file"
LIFE_IF_UNKNOWN = 30
LIVES_IF_UNKNOWN = (15, 30, 60)
"""Casts a mold may give when the maker does not know; common practice, no source."""
GATE_WITHOUT_PROOFS = 4
"""Pieces at least that go through the glaze first when the edition has no proofs; common practice, no source."""
MINUTES_STEP = 15
LIFE_SPREAD, UNKNOWN_LIFE_SPREAD = 0.2, 0.45
"""Spread of the mean life, as a share of it, where the maker knows it and where not."""
YIELD_EXPERIENCE = 60.0
"""Casts that a loss in the brief is worth as experience, until the studio counts its own."""
SPOILED_LOAD_KEEPS = 0.2
"""Share of a spoiled load that can still be sold as good; an assumption, no source."""
KILN_RATE_DEGC_PER_H = 60.0
"""Heating rate over the last 100 degrees that cone temperatures are read at; stated beside them."""
_MOST_YEARS = 10
_ROUTES = {
    "bisque and glaze": ("bisque", "glaze"),
    "once": ("glaze",),
    "bisque, glaze and third": ("bisque", "glaze", "third"),
}


@dataclass(frozen=True, slots=True)
class ToPlan:
    """An edition to plan: its brief, its studio, and what is true of it by the book, all read before.

    ``file`` is what its brief is called, for a sentence about it.
    """

    brief: Brief
    studio: Studio
    standing: Standing | None = None
    file: str = ""


@dataclass(frozen=True, slots=True)
class Neighbor:
    """An edition in the same studio that has the first claim on kiln and hands."""

    case: Case
    policy: Policy
    finish: int


@dataclass(frozen=True, slots=True)
class Case:
    """One edition, ready to be planned.

    ``balance`` is what one cast keeps of its slip, ``load_kwh`` the range of one load's
    electricity by its firing; None where the files do not tell it. [kWh]
    """

    brief: Brief
    studio: Studio
    as_of: date
    calendar: Calendar
    plaster: Plaster
    mix: Mix
    part_volumes_l: tuple[float, ...]
    session: SessionCapacity
    before: Before
    balance: WaterBalance | None
    load_kwh: Mapping[str, tuple[float, float] | None]
    edition: Edition
    workshop: Workshop
    draws: Draws
    target: int
    neighbors: tuple[Neighbor, ...] = ()
    standing: Standing | None = None
    learned: Learned | None = None

    def mold_label(self, number: int) -> str:
        """Return what is scratched into a mold: its label in the book, or the next ones."""
        if self.standing is None:
            return mold_label(number)
        there = in_order(self.standing)
        if number < len(there):
            return there[number].label
        return mold_label(self.standing.labels_given + number - len(there))

    def to_pour(self, molds: int) -> int:
        """Return how many of so many molds are still to be poured."""
        return max(molds - len(self.edition.already.molds), 0)

    @property
    def block_volumes_l(self) -> dict[str, float]:
        """The parts of a block mold that are still to be poured, which takes what one mold does. [l]"""
        names = [part.name for part in self.brief.mold.parts]
        volumes = dict(zip(names, self.part_volumes_l, strict=True))
        return {name: volumes[name] for name in self.before.block_parts}

    @property
    def settled(self) -> list[tuple[Policy, Draws]]:
        """What is settled for the editions with the first claim."""
        return [(neighbor.policy, neighbor.case.draws) for neighbor in self.neighbors]

    @property
    def day_minutes(self) -> int:
        """Hands' minutes on a working day, in whole quarters of an hour."""
        return int(self.workshop.minutes.max())

    def day(self, number: int) -> date:
        """Return the date of a day of the plan."""
        return self.calendar.day(number)

    def with_edition(self, edition: Edition) -> Case:
        """Return the case with the edition changed, in the same room."""
        draws, target = _expected(edition)
        return replace(
            self, edition=edition, workshop=self.room(edition), draws=draws, target=target
        )

    def room(self, edition: Edition, workshop: Workshop | None = None) -> Workshop:
        """Return the room with its editions, those with the first claim first."""
        before = tuple(neighbor.case.edition for neighbor in self.neighbors)
        return replace(workshop or self.workshop, editions=(*before, edition))


def build_case(
    brief: Brief,
    studio: Studio,
    as_of: date,
    *,
    pieces: int | None = None,
    life: int | None = None,
    first: date | None = None,
    neighbors: tuple[Neighbor, ...] = (),
    standing: Standing | None = None,
) -> Case:
    """Return the case of a brief, for its own or another number of pieces or life of a mold.

    ``first`` is day 0 where that is not the edition's own start; ``standing`` is
    what is true of it by the book.

    Raises
    ------
    StudioError
        If a part, a session or a load does not fit into the studio at all.
    """
    learned, already = None, NOTHING_YET
    if standing is not None:
        brief, studio, learned = from_here(brief, studio, standing)
        already = _already(brief, studio, standing)
    start = first or brief.edition.start
    calendar = studio_calendar(studio, start)
    plaster = plaster_of(studio)
    mix = mix_of(studio, plaster)
    volumes = tuple(part_volume_l(part, plaster) for part in brief.mold.parts)
    minutes = _day_minutes(studio)
    session = session_of(brief, studio, volumes, mix, minutes)
    before = before_pouring(brief, studio, calendar, route_of(brief), standing)
    pour_from = calendar.number(before.pour_from)
    edition = _edition(brief, studio, session, pour_from, pieces or brief.edition.pieces, life)
    edition = _gone_on(edition, already, standing)
    if standing is None or not standing.own.mold_days:  # what was timed was timed beside others
        beside_days = beside_days_of(studio, sum(volumes), plaster)
        edition = replace(edition, beside_days=beside_days)
    _check_hands(edition, minutes)
    _check_preparation(brief, minutes)
    draws, target = _expected(edition)
    editions = (*(neighbor.case.edition for neighbor in neighbors), edition)
    workshop = _workshop(studio, calendar, minutes, editions, standing)
    return Case(
        brief,
        studio,
        as_of,
        calendar,
        plaster,
        mix,
        volumes,
        session,
        before,
        _balance(brief, studio),
        {name: _load_kwh(brief, studio, name) for name in route_of(brief)},
        edition,
        workshop,
        draws,
        target,
        neighbors,
        standing,
        learned,
    )


def _workshop(
    studio: Studio,
    calendar: Calendar,
    minutes: int,
    editions: tuple[Edition, ...],
    standing: Standing | None,
) -> Workshop:
    """Return the room of some editions, with its hands, its kiln and what there is room for to dry."""
    return Workshop(
        minutes=_minutes_by_day(calendar.working[: _MOST_YEARS * 366], minutes, editions),
        first_weekday=calendar.first.weekday(),
        loads_a_week=studio.kiln.loads_a_week,
        editions=editions,
        kiln_free_on=_kiln_free_on(standing, calendar.first),
        week_loads=standing.week_loads if standing else 0,
        mold_places=studio.drying.mold_places or NEVER,
        rack=studio.drying.rack or NEVER,
    )


def mold_label(number: int) -> str:
    """Return what is scratched into a mold: its number, counted from 1.

    Examples
    --------
    >>> mold_label(0)
    'M-001'
    """
    return f"M-{number + 1:03d}"


def from_here(brief: Brief, studio: Studio, standing: Standing) -> tuple[Brief, Studio, Learned]:
    """Return brief and studio with what is true now and what the studio has counted itself."""
    prior = Prior(
        life=LIFE_IF_UNKNOWN,
        life_spread=LIFE_SPREAD,
        unknown_life_spread=UNKNOWN_LIFE_SPREAD,
        experience=YIELD_EXPERIENCE,
        spoiled_chance=studio.kiln.spoiled_loads,
        spoiled_passed=SPOILED_LOAD_KEEPS,
    )
    brief, learned = brief_from_here(brief, standing, route_of(brief), prior)
    studio, learned = studio_from_here(studio, learned, standing)
    return brief, studio, learned


def _already(brief: Brief, studio: Studio, standing: Standing) -> Already:
    route = route_of(brief)
    days = {name: getattr(studio.kiln, f"{name}_days") for name in route}
    return already_of(standing, route, days, brief.firing.ware_dry_days)


def _gone_on(edition: Edition, already: Already, standing: Standing | None) -> Edition:
    """Return the edition with what is there; a gate that something has been through is open.

    Proofs that are there already can no longer be what is missing in the end.
    """
    if standing is None:
        return edition
    firings = tuple(
        replace(f, gate=0 if standing.through.get(f.name) else f.gate) for f in edition.firings
    )
    proofs = edition.proofs - min(standing.proofs_made, edition.proofs)
    return replace(edition, already=already, firings=firings, proofs=proofs)


def _minutes_by_day(is_working: Days, minutes: int, editions: Sequence[Edition]) -> Ints:
    """Return what hands can still do on each day, less the session that is begun on day 0. [min]

    A day of which that leaves nothing is an open one yet: the kiln is unloaded.
    """
    found = np.where(is_working, minutes, 0).astype(np.int64)
    poured = [one for one in editions if one.poured_today]
    spent = sum(one.setup_min + one.poured_today * one.set_min for one in poured)
    if found[0]:
        found[0] = max(found[0] - spent, 1)
    return found


def _kiln_free_on(standing: Standing | None, start: date) -> int:
    if standing is None or standing.kiln_free_on is None:
        return 0
    return max((standing.kiln_free_on - start).days, 0)


def plaster_of(studio: Studio) -> Plaster:
    """Return the studio's plaster, with the yield of its own weighed batch if there is one."""
    stock = studio.plaster
    return Plaster(
        name=stock.name,
        consistency=stock.consistency,
        source=STUDIO_FILE,
        yield_l_per_kg=stock.yield_l_per_kg,
    )


def mix_of(studio: Studio, plaster: Plaster) -> Mix:
    """Return the mix as the weighing needs it."""
    stock, wet = studio.plaster, float(wet_density(plaster))
    return Mix(
        consistency=stock.consistency,
        wet_kg_per_l=wet,
        spare=stock.spare,
        step_kg=stock.scale_step_kg,
        limit_l=largest_mix_l(wet, bucket_l=stock.bucket_l, mixer_kg=stock.mixer_kg),
    )


def part_volume_l(part: Part, plaster: Plaster) -> float:
    """Return a part's volume, from whichever way the brief tells it. [l]"""
    if part.water_kg is not None:
        return float(volume_from_water_fill(part.water_kg))
    if part.volume_l is not None:
        return part.volume_l
    if part.dry_mass_kg is not None:
        return float(volume_from_dry_mass(part.dry_mass_kg, plaster))
    length, width, height = part.box_mm or (
        0.0,
        0.0,
        0.0,
    )  # the reader has let one of four ways pass
    return float(volume_from_box(length, width, height, part.displaced_l or 0.0))


def planned_mold_days(studio: Studio) -> int:
    """Return the days a mold is planned to dry: the middle of the range as a factor. [days]"""
    span = drying_days(studio.drying.days_low, studio.drying.days_high)
    return math.ceil(span.likely - 1e-9)


def beside_days_of(studio: Studio, volume_l: float, plaster: Plaster) -> float:
    """Return the days that a mold dries longer for each other that is wet in the room, 0 where no room is told. [days]"""
    drying = studio.drying
    if drying.room_l is None:
        return 0.0
    room = DryingRoom(drying.room_l / 1000, drying.air_changes)
    return float(water_to_lose(volume_l, plaster)) / carried_off_kg_per_day(room)


def route_of(brief: Brief) -> tuple[str, ...]:
    """Return the firings' names, first to last."""
    return _ROUTES[brief.firing.route]


def _balance(brief: Brief, studio: Studio) -> WaterBalance | None:
    """Return what one cast keeps of its slip, if the brief tells enough."""
    casting, slip = brief.casting, studio.slip
    weights = (slip.liter_weight_g_per_l, casting.cast_moisture, slip.solids_density_kg_per_l)
    if casting.fill_l is not None and casting.drained_l is not None:
        return balance_of_kept_slip(casting.fill_l - casting.drained_l, *weights)
    if casting.area_m2 is not None and casting.wall_mm is not None:
        return water_balance(cast_volume_l(casting.area_m2, casting.wall_mm), *weights)
    return None


def _load_kwh(brief: Brief, studio: Studio, firing: str) -> tuple[float, float] | None:
    """Return the range of one load's electricity, if the kiln's volume and the cone tell it. [kWh]"""
    temperature = cone_degc(getattr(brief.firing, f"{firing}_cone"))
    if studio.kiln.volume_l is None or temperature is None:
        return None
    try:
        energy = energy_by_volume(studio.kiln.volume_l, temperature)
    except StudioError:  # beyond what was ever metered there is no figure, and the plan says so
        return None
    return float(energy.low_kwh), float(energy.high_kwh)


def cone_degc(cone: str) -> float | None:
    """Return a self-supporting cone's temperature at the reference rate, if it is charted."""
    try:
        return round(float(cone_temperature(cone, KILN_RATE_DEGC_PER_H).temperature_degc))
    except StudioError:  # not every cone has a charted figure at this rate
        return None


def _day_minutes(studio: Studio) -> int:
    whole = studio.time.people * studio.time.minutes_a_day
    return int(whole // MINUTES_STEP) * MINUTES_STEP


def pour_times(brief: Brief, studio: Studio) -> PourTimes:
    """Return what a batch takes in this studio, by part where the brief tells it."""
    pouring, parts = studio.pouring, brief.mold.parts
    by_part: tuple[float, ...] = ()
    if any(part.open_min is not None or part.reset_min is not None for part in parts):
        by_part = tuple(_turnaround_min(part, studio) for part in parts)
    return PourTimes(
        pouring.mix_and_pour_min,
        pouring.set_min,
        pouring.turnaround_min,
        part_turnaround_min=by_part,
        hands=studio.time.people,
        part_mixes=part_mixes_of(brief),
    )


def part_mixes_of(brief: Brief) -> tuple[int, ...]:
    """Return how many batches of its own recipe each part takes, 0 where it may share one. [-]"""
    return tuple(part.mixes for part in brief.mold.parts)


def _turnaround_min(part: Part, studio: Studio) -> float:
    """Return how long hands open and reset a part's master. [min]"""
    if part.open_min is None and part.reset_min is None:
        return studio.pouring.turnaround_min
    return (part.open_min or 0.0) + (part.reset_min or 0.0)


def session_of(
    brief: Brief, studio: Studio, volumes: tuple[float, ...], mix: Mix, minutes: int
) -> SessionCapacity:
    """Return the most that one session gives, hands and clock both kept."""
    pouring = studio.pouring
    times = pour_times(brief, studio)
    masters = [part.masters for part in brief.mold.parts]
    names = [part.name for part in brief.mold.parts]

    @cache
    def at_most(wanted: int) -> SessionCapacity:
        return sets_in_a_session(
            volumes,
            masters,
            usable_l(mix),
            session_min=pouring.session_min,
            setup_min=pouring.setup_min,
            times=times,
            at_most=wanted,
            names=names,
        )

    session = at_most(60)
    while session.timetable.hands_min > minutes and session.sets > 1:
        session = at_most(session.sets - 1)
    if session.timetable.hands_min > minutes:
        raise NotDoable(
            f"Pouring one mold takes {session.timetable.hands_min:.0f} min of hands in a session, and a day "
            f"has {minutes} min. Give the day more hours or people (time.hours_a_day, time.people), or "
            "shorten pouring.setup."
        )
    return session


def _edition(
    brief: Brief,
    studio: Studio,
    session: SessionCapacity,
    pour_from: int,
    pieces: int,
    life: int | None,
) -> Edition:
    need = pieces + brief.edition.proofs
    work, losses, pouring = brief.work, brief.losses, studio.pouring
    whole_life = life or brief.mold.life or LIFE_IF_UNKNOWN
    return Edition(
        name=brief.edition.id,
        need=need,
        firings=tuple(_firing(name, brief, studio, need) for name in route_of(brief)),
        life=whole_life,
        conditioning=min(brief.mold.conditioning, whole_life - 1),
        casts_a_day=brief.mold.casts_a_day,
        cast_passed=1 - losses.casting,
        dry_passed=1 - losses.drying,
        ware_dry_days=brief.firing.ware_dry_days,
        mold_dry_days=planned_mold_days(studio),
        cast_min=math.ceil(work.cast_min),
        fettle_min=math.ceil(work.fettle_min),
        finish_min=math.ceil(work.mark_and_pack_min),
        setup_min=math.ceil(pouring.setup_min),
        set_min=session.set_min(pouring.setup_min),
        sets_a_session=session.sets,
        pour_from=pour_from,
        proofs=brief.edition.proofs,
    )


def _firing(name: str, brief: Brief, studio: Studio, need: int) -> Firing:
    terms, kiln = brief.firing, studio.kiln
    prep = {"bisque": 0.0, "glaze": brief.work.glaze_min, "third": brief.work.third_min}
    return Firing(
        name=name,
        capacity=getattr(terms, f"{name}_load"),
        cycle_days=getattr(kiln, f"{name}_days"),
        passed=1 - getattr(brief.losses, name),
        prep_min=math.ceil(prep[name]),
        handling_min=math.ceil(kiln.handling_min),
        gate=_gate(brief, need) if name == "glaze" and terms.glaze_gate else 0,
    )


def _gate(brief: Brief, need: int) -> int:
    """Return how many pieces go through the glaze first: the proofs, or a few.

    The few are what full loads would leave over, where that is no more than half a load:
    33 pieces for loads of 14 go as 5, 14 and 14, and not as 4, 14, 14 and 1.
    """
    load = brief.firing.glaze_load
    left_over = math.ceil(need / (1 - brief.losses.glaze)) % load
    few = max(GATE_WITHOUT_PROOFS, left_over if 2 * left_over <= load else 0)
    return min(brief.edition.proofs or few, need, load)


def _check_hands(edition: Edition, minutes: int) -> None:
    """Refuse a day too short for a single piece or load."""
    tasks = [
        ("work.cast and work.fettle together", edition.cast_min + edition.fettle_min),
        ("work.mark_and_pack", edition.finish_min),
        ("kiln.handling", max(f.handling_min for f in edition.firings)),
        ("work.glaze or work.third", max(f.prep_min for f in edition.firings)),
    ]
    for field, needed in tasks:
        if needed > minutes:
            raise NotDoable(
                f"{field} takes {needed} min and a day has {minutes} min of hands. Give the day more hours "
                "or people (time.hours_a_day, time.people), or a shorter time."
            )


def _check_preparation(brief: Brief, minutes: int) -> None:
    """Refuse more hands before the first pour than their days have."""
    terms = brief.preparation
    for what in ("original", "block_mold", "masters"):
        days, spent = getattr(terms, f"{what}_days"), getattr(terms, f"{what}_min") or 0.0
        if spent > days * minutes:
            raise NotDoable(
                f"preparation.{what}_hours is {spent / 60:g} h and preparation.{what}_days is {days}: a day has "
                f"{minutes / 60:g} h of hands. Write preparation.{what}_days = {math.ceil(spent / minutes)} or more."
            )


def _expected(edition: Edition) -> tuple[Draws, int]:
    """Return the tables of the expected course, and the casts it takes to start.

    The tables are made long enough by a guess with room to spare (whole pieces are lost at
    each step, a search tries many molds) and longer until the edition comes out. Once the
    first casts are started, casts are made up for numbers only.
    """
    already = edition.already
    pieces = math.ceil(edition.need / edition.passed) + 4 * (len(edition.firings) + 3)
    pieces += already.ware
    while True:
        molds = 64 + 4 * math.ceil(pieces / max(edition.life - edition.conditioning, 1))
        molds += len(already.molds)
        draws = expected_draws(edition, pieces, molds)
        target = casts_to_start(draws, edition.need, already)
        if target >= 0:
            numbers = casts_to_start(draws, edition.need - edition.proofs, already)
            return draws, max(numbers, min(target, edition.first_casts))
        pieces += math.ceil(4 / edition.passed)
