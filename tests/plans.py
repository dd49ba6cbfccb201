"""Plans for tests of words and pages: one made up by hand, with variations, and the examples'."""

import json
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import msgspec

from pourwright.briefs.reading import open_brief
from pourwright.plan.case import ToPlan
from pourwright.plan.plan import Plan, plan_json
from pourwright.plan.standing import Standing

FIXTURES = Path(__file__).parent / "fixtures"


def as_data(plan: Plan) -> dict[str, Any]:
    """Return a plan as its JSON holds it, to be changed."""
    data: dict[str, Any] = json.loads(plan_json(plan))
    return data


def as_plan(data: dict[str, Any]) -> Plan:
    """Return the plan that is written in JSON."""
    return msgspec.convert(data, Plan)


def sample_plan(**changes: dict[str, Any]) -> Plan:
    """Return the hand-made plan; each keyword replaces fields of that section."""
    return as_plan(_sample(changes))


def _sample(changes: dict[str, dict[str, Any]]) -> dict[str, Any]:
    plan: dict[str, Any] = json.loads((FIXTURES / "sample_plan.json").read_text(encoding="utf-8"))
    for section, fields in changes.items():
        plan[section].update(fields)
    return plan


def block_mold_plan(days: dict[str, date], poured: tuple[str, ...] = ()) -> Plan:
    """Return the hand-made plan with a block mold, of which each part is poured on its day but some that are."""
    data = _sample({})["plaster"]
    batches = [
        {"part": part, "date": f"{day}", "water_kg": 2.0, "plaster_kg": 3.0}
        for part, day in days.items()
        if part not in poured
    ]
    block = {"date": batches[0]["date"], "batches": batches}
    parts = [data["parts"][0] | {"name": part} for part in days]
    return sample_plan(plaster={"block_mold": block, "parts": parts})


def late_us_plan() -> Plan:
    """Return the plan of a studio in US units that misses its date and knows its shrinkage."""
    plan = as_data(
        sample_plan(
            studio={"units": "us", "currency": "USD", "name": "Kettle Hill pottery"},
            answer={"deadline": "2026-10-01", "deadline_met": False, "limited_by": "kiln"},
            dimensions={
                "given": True,
                "steps": [
                    {"name": "original", "factor": 1.0, "height_mm": 104.2, "width_mm": 92.4},
                    {"name": "wet cast", "factor": 1.002, "height_mm": 104.4, "width_mm": 92.6},
                    {"name": "fired", "factor": 0.88, "height_mm": 91.9, "width_mm": 81.5},
                ],
            },
            odds={"word": "unlikely", "chance": 0.12},
            casting={"minutes": 14.0, "minutes_low": 12.0, "minutes_high": 17.0, "wall_mm": 5.0},
            glaze={"dry_kg": 2.4, "slurry_l": 3.1},
            kiln={"energy_kwh": 310.0},
            cost={
                "lines": [],
                "total": None,
                "per_piece": None,
                "not_priced": ["plaster", "slip", "hands"],
            },
        )
    )
    plan["answer"]["cost_per_piece"] = None
    plan["lives"] = [
        {"life": life, "molds": 3, "replaced": replaced, "finish": "2026-10-21"}
        for life, replaced in ((15, 1), (20, 0), (60, 0))
    ]
    for row in plan["molds"]:
        row["meets_deadline"], row["cost"] = False, None
    return as_plan(plan)


def undated_plan() -> Plan:
    """Return the plan of an edition without a date, without masters to make, without slip given."""
    nothing = dict.fromkeys(
        ("fill_l", "kept_l", "drained_l", "water_to_mold_kg", "slip_for_edition_l")
    )
    plan = as_data(
        sample_plan(
            answer={"deadline": None, "deadline_met": None, "relief": [], "last_safe_pour": None},
            casting=nothing,
            odds={"word": None, "chance": None},
            edition={"proofs": 0},
            numbers={"proofs": 0},
        )
    )
    plan["stages"] = [s for s in plan["stages"] if s["name"] not in ("approval", "masters")]
    plan["sizes"] = plan["sizes"][1:2]
    for row in plan["molds"]:
        row["meets_deadline"] = None
    for row in plan["odds"]["molds_for_chance"]["rows"]:
        row["chance"] = None
    return as_plan(plan)


EXAMPLES = ("us-pitcher", "metric-bowl", "tight-cup")

AS_OF = date(2026, 8, 3)
RUNS = 400
"""Runs of chance where only words and looks are in question."""


def brief_of(example: str) -> Path:
    """Return the path of an example's brief."""
    return Path(__file__).parents[1] / "examples" / example / "edition.toml"


@cache
def example_plan(example: str) -> Plan:
    """Return the plan of an example as of a fixed day, made once."""
    from pourwright.plan.make import make_plan

    return make_plan(to_plan(brief_of(example), AS_OF), AS_OF, RUNS)


def to_plan(path: Path, today: date, standing: Standing | None = None) -> ToPlan:
    """Return an edition to plan, read from its brief."""
    file = open_brief(path)
    day = today if standing is None else standing.planned_on
    return ToPlan(*file.read(day), standing, path.name)
