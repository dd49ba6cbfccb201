"""The forecast equals, run by run, a second engine written from its rules in words.

1,000 runs in all, over ten rooms that between them use every rule of docs/science/forecast.md;
400 of them in `make test`.
The second engine is tests/reference/simpy_day.py: SimPy processes, an object a piece.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pytest

from pourwright.simulation.chance import Belief, Chance
from pourwright.simulation.draws import Draws, casts_to_start, expected_draws
from pourwright.simulation.forecast import forecast
from pourwright.simulation.outcome import Outcome
from pourwright.simulation.problem import NEVER, Edition, Firing, Policy, Workshop
from tests.ledger.toy import rounds
from tests.reference.simpy_day import DayRun, run_days

RUNS = rounds(40, 100)
SHORTEST_ROOM_MIN = 240
"""The day of the room with the fewest hours: no work is drawn longer, so that every run ends."""
FIGURES = "finish casts conditioning molds sessions last_pour last_cast good".split()
BY_FIRING = ("loads", "largest_load")
BY_DAY = ("finished_by_day", "molds_by_day", "worn_by_day")


@dataclass(frozen=True)
class Setting:
    """A room, its editions, and what is decided; the luck is drawn or expected."""

    workshop: Workshop
    policies: tuple[Policy, ...]
    draws: Callable[[], list[Draws]]


def open_days(
    days: int, minutes: int, first_weekday: int = 0, closed: tuple[int, ...] = ()
) -> np.ndarray:
    """Return Monday to Friday, some holidays out."""
    at = np.arange(days)
    open_day = ((at + first_weekday) % 7 < 5) & ~np.isin(at, closed)
    return np.where(open_day, minutes, 0)


BISQUE = Firing("bisque", 24, 2, 0.97, handling_min=45)
GLAZE = Firing("glaze", 16, 2, 0.92, prep_min=8, handling_min=45, gate=4)
BOWL = Edition(
    "bowl", 60, (BISQUE, GLAZE), life=18, conditioning=1, cast_passed=0.94, dry_passed=0.97,
    ware_dry_days=5, mold_dry_days=10, cast_min=12, fettle_min=20, finish_min=10, setup_min=180,
    set_min=40, sets_a_session=3, pour_from=4,
)  # fmt: skip
CUP = Edition(
    "cup", 35, (replace(GLAZE, capacity=30, passed=0.9, gate=0, spoiled_chance=0.15, spoiled_passed=0.2),),
    life=12, conditioning=2, casts_a_day=2, cast_passed=0.9, dry_passed=0.95, ware_dry_days=3,
    mold_dry_days=7, cast_min=10, fettle_min=15, finish_min=6, setup_min=120, set_min=25, sets_a_session=2,
)  # fmt: skip
LUSTER = replace(
    BOWL,
    name="luster",
    need=24,
    firings=(
        replace(BISQUE, spoiled_chance=0.05, spoiled_passed=0.5),
        replace(GLAZE, gate=3),
        Firing(
            "third",
            10,
            1,
            0.95,
            prep_min=8,
            handling_min=30,
            spoiled_chance=0.1,
            spoiled_passed=0.3,
        ),
    ),
    conditioning=0,
)


def drawn(
    *editions: Edition, pieces: int = 260, molds: int = 60, belief: Belief | None = None
) -> Callable[[], list[Draws]]:
    def tables() -> list[Draws]:
        chances = [
            Chance(e, belief or Belief(), seed=11, line=k, longest_day_min=SHORTEST_ROOM_MIN)
            for k, e in enumerate(editions)
        ]
        return [chance.draws(0, RUNS, pieces, molds) for chance in chances]

    return tables


def room(
    *editions: Edition,
    minutes: int = 360,
    loads: int = 3,
    weekday: int = 0,
    closed: tuple[int, ...] = (),
) -> Workshop:
    return Workshop(open_days(700, minutes, weekday, closed), weekday, loads, editions)


WITH_PROOFS = replace(BOWL, name="with proofs", need=40, proofs=5)
TALL_GATE = replace(BOWL, firings=(replace(BISQUE, prep_min=2, gate=6), replace(GLAZE, gate=12)))
PLAIN = replace(
    BOWL, name="plain", need=30, casts_a_day=2, conditioning=0, cast_min=0, fettle_min=0, finish_min=0,
    setup_min=0, set_min=0, ware_dry_days=0, mold_dry_days=0, pour_from=0,
    firings=(Firing("bisque", 12, 0, 0.97), Firing("glaze", 12, 1, 0.92)),
)  # fmt: skip
EXPECTED = replace(BOWL, name="expected", need=50)
EXPECTED_TABLES = expected_draws(EXPECTED, 300, 60)


def expected_setting() -> Setting:
    """A hundred policies on the tables of expected values, as the search tries them."""
    rng = np.random.default_rng(5)
    policy = Policy(
        molds=rng.integers(1, 9, RUNS),
        target=np.full(RUNS, casts_to_start(EXPECTED_TABLES, EXPECTED.need))
        + rng.integers(0, 3, RUNS),
        part_load_wait=rng.choice([0, 1, 4, NEVER], RUNS),
        lead=rng.integers(0, 20, RUNS),
        eagerness=rng.choice([1.0, 1.25, 4.0], RUNS),
        capacity_limits=(rng.integers(8, 30, RUNS), rng.integers(5, 20, RUNS)),
        minutes_limit=rng.choice([240, 300, NEVER], RUNS),
        life_limit=rng.choice([9, 14, NEVER], RUNS),
        hold_from=rng.integers(1, 9, RUNS),
        hold_day=rng.integers(0, 60, RUNS),
        give_up=rng.choice([80, 150, NEVER], RUNS),
    )
    return Setting(room(EXPECTED), (policy,), lambda: [EXPECTED_TABLES])


def several_policies() -> Setting:
    """Each run with other decisions, the casts counted again every day."""
    rng = np.random.default_rng(6)
    policy = Policy(
        molds=rng.integers(1, 12, RUNS),
        safety=rng.uniform(-0.5, 1.5, RUNS),
        part_load_wait=rng.choice([0, 1, 3, 8, NEVER], RUNS),
        least_fill=rng.choice([0.0, 0.3, 0.5, 1.0], RUNS),
        lead=rng.integers(0, 14, RUNS),
        eagerness=rng.uniform(0.8, 2.0, RUNS),
        life_limit=rng.choice([8, 13, NEVER], RUNS),
        hold_from=rng.integers(1, 12, RUNS),
        hold_day=rng.integers(0, 50, RUNS),
    )
    return Setting(room(BOWL, weekday=3), (policy,), drawn(BOWL))


HOLIDAYS = (*range(20, 35), 47, 60, *range(101, 109))
SETTINGS = {
    "one edition, gate, replacements": Setting(room(BOWL), (Policy(molds=4, lead=9),), drawn(BOWL)),
    "closed days and a short week": Setting(
        room(replace(BOWL, conditioning=2), loads=2, weekday=5, closed=HOLIDAYS),
        (Policy(molds=5, lead=12, part_load_wait=4),),
        drawn(replace(BOWL, conditioning=2)),
    ),
    "once-fired, two casts a day, spoiled loads": Setting(
        room(CUP, loads=2), (Policy(molds=3, lead=6, eagerness=1.25, safety=1.0),), drawn(CUP)
    ),
    "a third firing, spoiled loads": Setting(
        room(LUSTER, loads=2, weekday=3),
        (Policy(molds=3, part_load_wait=6, lead=4),),
        drawn(LUSTER),
    ),
    "two editions share kiln and hands": Setting(
        room(replace(BOWL, beside_days=0.4), replace(CUP, beside_days=0.6), minutes=420),
        (Policy(molds=4, lead=9, part_load_wait=5), Policy(molds=3, lead=5, minutes_limit=375)),
        drawn(BOWL, CUP),
    ),
    "three editions, few hands": Setting(
        room(LUSTER, CUP, BOWL, minutes=300, loads=2, closed=HOLIDAYS),
        (
            Policy(molds=2, lead=3, part_load_wait=3),
            Policy(molds=4, part_load_wait=2),
            Policy(molds=3, lead=9),
        ),
        drawn(LUSTER, CUP, BOWL),
    ),
    "five proofs that need not come": Setting(
        room(WITH_PROOFS), (Policy(molds=4, lead=9, least_fill=0.4),), drawn(WITH_PROOFS)
    ),
    "gates on two firings, hands scarce": Setting(
        room(TALL_GATE, minutes=240, loads=5),
        (Policy(molds=6, lead=9, safety=0.0),),
        drawn(TALL_GATE),
    ),
    "no minutes, no drying, many casts": Setting(
        room(PLAIN, loads=7), (Policy(molds=3, part_load_wait=1),), drawn(PLAIN)
    ),
    "a rack smaller than a load, one mold dries at a time": Setting(
        replace(room(BOWL), rack=13, mold_places=1), (Policy(molds=4, lead=9),), drawn(BOWL)
    ),
    "two editions share a rack and places to dry": Setting(
        replace(room(BOWL, CUP, minutes=420), rack=20, mold_places=2),
        (Policy(molds=4, lead=9), Policy(molds=3, lead=6, part_load_wait=4)),
        drawn(BOWL, CUP),
    ),
    "expected values, a policy a run": expected_setting(),
    "chance, a policy a run": several_policies(),
}


def of_run(policy: Policy, run: int) -> Policy:
    """Return the policy of one run, every value a number."""

    def one(value: object) -> object:
        if isinstance(value, tuple):
            return tuple(one(v) for v in value)
        return value[run].item() if isinstance(value, np.ndarray) else value

    return Policy(**{name: one(getattr(policy, name)) for name in Policy.__dataclass_fields__})


def ours_told(ours: Outcome, run: int, days: int) -> dict[str, object]:
    """Return everything the forecast tells of a run that ended after so many days."""
    told: dict[str, object] = {"busiest_min": int(ours.busiest_min[run])}
    for number, line in enumerate(ours.lines):
        figures = {name: int(getattr(line, name)[run]) for name in FIGURES}
        figures |= {name: getattr(line, name)[:, run].tolist() for name in BY_FIRING}
        figures |= {name: getattr(line, name)[run, :days].tolist() for name in BY_DAY}
        told |= {f"{name} of edition {number}": value for name, value in figures.items()}
    return told


def theirs_told(run: DayRun) -> dict[str, object]:
    """Return the same of the second engine."""
    told: dict[str, object] = {"busiest_min": run.busiest_min}
    for number, line in enumerate(run.lines):
        names = (*FIGURES, *BY_FIRING, *BY_DAY)
        told |= {f"{name} of edition {number}": getattr(line, name) for name in names}
    return told


def differences(ours: Outcome, run: int, theirs: DayRun) -> dict[str, tuple[object, object]]:
    """Return what the two engines tell differently of a run."""
    a, b = ours_told(ours, run, theirs.ended + 1), theirs_told(theirs)
    return {name: (a[name], b[name]) for name in a if a[name] != b[name]}


@pytest.mark.rounds
@pytest.mark.parametrize("name", SETTINGS)
def test_a_second_engine_tells_the_same_of_every_run(name: str) -> None:
    setting = SETTINGS[name]
    draws = setting.draws()
    ours = forecast(setting.workshop, setting.policies, draws, RUNS, curves=True)
    assert not any(line.out_of_tables.any() for line in ours.lines)

    told = {}
    for run in range(RUNS):
        policies = [of_run(policy, run) for policy in setting.policies]
        told[run] = differences(ours, run, run_days(setting.workshop, policies, draws, run))

    assert {run: found for run, found in told.items() if found} == {}


def test_the_settings_use_every_rule() -> None:
    """Each rule matters in some of them."""
    editions = [e for s in SETTINGS.values() for e in s.workshop.editions]
    assert {len(e.firings) for e in editions} == {1, 2, 3}
    assert {e.conditioning for e in editions} == {0, 1, 2}
    assert {e.casts_a_day for e in editions} == {1, 2}
    assert {bool(f.gate) for e in editions for f in e.firings} == {True, False}
    assert {bool(f.spoiled_chance) for e in editions for f in e.firings} == {True, False}
    assert {len(s.workshop.editions) for s in SETTINGS.values()} == {1, 2, 3}
    assert {s.workshop.rack < NEVER for s in SETTINGS.values()} == {True, False}
    assert {s.workshop.mold_places < NEVER for s in SETTINGS.values()} == {True, False}


def test_hands_are_slow_and_quick_in_the_settings() -> None:
    """All that hands do takes other minutes in other runs, or both engines could be wrong alike."""
    bowl = drawn(BOWL)()[0]
    tables = (bowl.prep_min[:, 1], bowl.handling_min[:, 0], bowl.setup_min, bowl.set_min)

    assert all(len(set(table.tolist())) > 3 for table in tables)
