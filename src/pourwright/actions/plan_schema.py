"""The shape of ``plan.json``, as JSON Schema 2020-12; ``docs/plan.schema.json`` is made of it.

``python -m pourwright.actions.plan_schema`` prints it. The names end in their
units; a null stands for what is not known.
"""

from __future__ import annotations

import json
from typing import Any, TypeAlias

Schema: TypeAlias = dict[str, Any]


def _of(kind: str, about: str = "", **more: Any) -> Schema:
    """Return the schema of one kind of value."""
    return {"type": kind, **({"description": about} if about else {}), **more}


def _or_null(schema: Schema) -> Schema:
    """Return a schema that allows null, for what is not known."""
    return {**schema, "type": [schema["type"], "null"]}


def _record(about: str, /, *optional: str, **fields: Schema) -> Schema:
    """Return the schema of an object that holds these fields and no others."""
    required = [name for name in fields if name not in optional]
    return _of("object", about, properties=fields, required=required, additionalProperties=False)


def _list(items: Schema, about: str = "", least: int = 0) -> Schema:
    """Return the schema of a list."""
    return _of("array", about, items=items, **({"minItems": least} if least else {}))


def _choice(*values: str) -> Schema:
    """Return the schema of one of a few words."""
    return _of("string", enum=list(values))


TEXT = _of("string")
YES_NO = _of("boolean")
COUNT = _of("integer", minimum=0)
FROM_ONE = _of("integer", minimum=1)
AMOUNT = _of("number", minimum=0)
DAYS = _of("integer", "Days; negative when it comes sooner.")
DATE = _of("string", "A day, ISO 8601.", format="date", pattern=r"^\d{4}-\d{2}-\d{2}$")
MONEY = _of("string", "An exact amount of the plan's currency.", pattern=r"^-?\d+(\.\d+)?$")


def _identity() -> dict[str, Schema]:
    """Return what the plan is of."""
    return {
        "version": _of("integer", "Version of this format.", const=1),
        "as_of": DATE,
        "edition": _record(
            "",
            id=_of("string", "The edition's id in the brief.", pattern="^[a-z0-9-]{3,}$"),
            name=TEXT,
            pieces=FROM_ONE,
            proofs=COUNT,
        ),
        "studio": _record(
            "",
            name=TEXT,
            units=_choice("metric", "us"),
            currency=_of("string", "ISO 4217.", pattern="^[A-Z]{3}$"),
        ),
    }


def _answer() -> Schema:
    """Return the answer at the top of the plan."""
    return _record(
        "The answer in one look.",
        molds=_of("integer", "Molds in use at once.", minimum=1),
        molds_poured=_of("integer", "Molds poured over the edition.", minimum=1),
        casts=_of("integer", "Casts to start, conditioning casts not among them.", minimum=1),
        conditioning_casts=COUNT,
        first_pour=DATE,
        first_cast=DATE,
        finish=DATE,
        deadline=_or_null(DATE),
        deadline_met=_or_null(YES_NO),
        last_safe_pour=_or_null(DATE),
        limited_by=_choice("molds", "kiln", "hours", "drying", "preparation"),
        relief=_list(
            _record("", what=TEXT, days_gained=DAYS), "What would bring the finish forward."
        ),
        cost_per_piece=_or_null(MONEY),
        currency=TEXT,
        best_found=_record(
            "How good the plan is among all plans.", bound=_or_null(DATE), proved=YES_NO
        ),
    )


def _how_many() -> dict[str, Schema]:
    """Return the tables over molds, steps, sizes and lives."""
    return {
        "molds": _list(
            _record(
                "",
                count=FROM_ONE,
                finish=DATE,
                working_days=COUNT,
                casts_per_mold=AMOUNT,
                life=FROM_ONE,
                replaced=COUNT,
                sessions=COUNT,
                meets_deadline=_or_null(YES_NO),
                chosen=YES_NO,
                cost=_or_null(MONEY),
            ),
            "One plan for each number of molds in use.",
            least=1,
        ),
        "ladder": _list(
            _record("", step=TEXT, finish=DATE, days_added=DAYS),
            "From the bare arithmetic of the trade to this plan.",
        ),
        "sizes": _list(
            _record(
                "",
                pieces=FROM_ONE,
                molds=FROM_ONE,
                casts=FROM_ONE,
                finish=DATE,
                cost=_or_null(MONEY),
            ),
            "The plan for other sizes of the edition.",
        ),
        "lives": _list(
            _record("", life=FROM_ONE, molds=FROM_ONE, replaced=COUNT, finish=DATE),
            "The plan for other lives of a mold; empty when the life is known.",
        ),
    }


def _plaster() -> Schema:
    """Return parts, batches, sessions and totals."""
    return _record(
        "Parts, batches, sessions and totals.",
        consistency=_of("number", "Parts of water to 100 of plaster, by mass."),
        wet_kg_per_l=AMOUNT,
        dry_kg_per_l=AMOUNT,
        parts=_list(
            _record(
                "",
                name=TEXT,
                volume_l=AMOUNT,
                told_as=_choice("water", "volume", "box", "dry mass"),
                plaster_kg=AMOUNT,
                water_kg=AMOUNT,
                masters=FROM_ONE,
            ),
            "The parts of one mold.",
            least=1,
        ),
        per_mold=_record("", volume_l=AMOUNT, plaster_kg=AMOUNT, water_kg=AMOUNT),
        batches=_list(
            _record(
                "",
                session=FROM_ONE,
                number=FROM_ONE,
                parts=_list(_record("", mold=FROM_ONE, part=TEXT), least=1),
                volume_l=AMOUNT,
                water_kg=AMOUNT,
                plaster_kg=AMOUNT,
                leftover_l=AMOUNT,
                starts_min=_of("number", "Minutes after the session began.", minimum=0),
            ),
            "The pour list; weights are on the scale's step.",
            least=1,
        ),
        sessions=FROM_ONE,
        session_list=_list(
            _record("", number=FROM_ONE, date=DATE, molds=COUNT, batches=FROM_ONE), least=1
        ),
        batches_bound=_of("integer", "No pour list has fewer batches.", minimum=1),
        proved=YES_NO,
        round_min=AMOUNT,
        total_plaster_kg=AMOUNT,
        total_water_kg=AMOUNT,
        bags=FROM_ONE,
        bag_kg=AMOUNT,
        scale_step_kg=_of("number", "Weights of batches are multiples of it.", exclusiveMinimum=0),
    )


def _drying_and_casting() -> dict[str, Schema]:
    """Return drying and casting."""
    return {
        "drying": _record(
            "One mold.",
            water_to_lose_kg=AMOUNT,
            days_low=AMOUNT,
            days_high=AMOUNT,
            wet_kg=AMOUNT,
            dry_kg=AMOUNT,
        ),
        "casting": _record(
            "One cast, and the slip of the edition.",
            fill_l=_or_null(AMOUNT),
            kept_l=_or_null(AMOUNT),
            drained_l=_or_null(AMOUNT),
            water_to_mold_kg=_or_null(AMOUNT),
            slip_for_edition_l=_or_null(AMOUNT),
            minutes=_or_null(AMOUNT),
            minutes_low=_or_null(AMOUNT),
            minutes_high=_or_null(AMOUNT),
            wall_mm=_or_null(AMOUNT),
            note=TEXT,
        ),
    }


def _days() -> dict[str, Schema]:
    """Return stages and calendar."""
    doing = _record(
        "",
        "of",
        "molds",
        stage=TEXT,
        count=COUNT,
        of=COUNT,
        molds=_list({"type": ["string", "integer"]}),
    )
    return {
        "stages": _list(_record("", name=TEXT, starts=DATE, ends=DATE, note=TEXT), least=1),
        "calendar": _list(
            _record(
                "",
                "why",
                date=DATE,
                open=YES_NO,
                minutes=COUNT,
                used_min=COUNT,
                doing=_list(doing),
                why=_of("string", "Why a day is closed, such as a holiday."),
            ),
            "Every day from the first to the finish.",
            least=1,
        ),
    }


def _fire_and_after() -> dict[str, Schema]:
    """Return kiln, glaze, numbers and surplus."""
    return {
        "kiln": _record(
            "",
            firings=_list(
                _record(
                    "",
                    name=TEXT,
                    cone=TEXT,
                    temperature_c=_or_null(AMOUNT),
                    capacity=FROM_ONE,
                    loads=COUNT,
                    pieces=COUNT,
                    energy_kwh_low=_or_null(AMOUNT),
                    energy_kwh_high=_or_null(AMOUNT),
                ),
                least=1,
            ),
            energy_kwh=_or_null(AMOUNT),
        ),
        "glaze": _record("", dry_kg=_or_null(AMOUNT), slurry_l=_or_null(AMOUNT), note=TEXT),
        "numbers": _record(
            "",
            first=TEXT,
            last=TEXT,
            proofs=COUNT,
            kind=TEXT,
            marked=_choice("leather-hard", "before glaze", "end"),
        ),
        "surplus": _record(
            "Good pieces beyond the numbers and the proofs.",
            expected=AMOUNT,
            fate=_choice("destroy", "seconds", "keep unsigned"),
        ),
    }


def _cost_and_size() -> dict[str, Schema]:
    """Return cost and dimensions."""
    return {
        "cost": _record(
            "",
            currency=TEXT,
            lines=_list(
                _record("", name=TEXT, quantity=TEXT, unit=TEXT, price=MONEY, amount=MONEY)
            ),
            not_priced=_list(TEXT, "What has no price; it is not in the total."),
            total=_or_null(MONEY),
            per_piece=_or_null(MONEY),
        ),
        "dimensions": _record(
            "",
            given=YES_NO,
            steps=_list(
                _record(
                    "",
                    "height_mm",
                    "width_mm",
                    "depth_mm",
                    name=TEXT,
                    factor=AMOUNT,
                    height_mm=AMOUNT,
                    width_mm=AMOUNT,
                    depth_mm=AMOUNT,
                )
            ),
            note=TEXT,
        ),
    }


def _proof() -> dict[str, Schema]:
    """Return cautions, sources and violations."""
    return {
        "cautions": _list(
            _record("", "title", "source", step=TEXT, title=TEXT, text=TEXT, source=TEXT), least=1
        ),
        "sources": _list(
            _record(
                "",
                field=TEXT,
                value=TEXT,
                kind=_choice("brief", "studio", "default", "worked out"),
                source=TEXT,
            ),
            "Where each number came from.",
            least=1,
        ),
        "violations": _list(TEXT, "Rules that the plan breaks; a plan with one is never shown.")
        | {"maxItems": 0},
    }


def plan_schema() -> Schema:
    """Return the schema of a whole plan."""
    whole = _record(
        "The plan of one edition. Quantities are in the unit that their name ends in.",
        **_identity(),
        answer=_answer(),
        **_how_many(),
        plaster=_plaster(),
        **_drying_and_casting(),
        **_days(),
        **_fire_and_after(),
        **_cost_and_size(),
        **_proof(),
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "plan.json",
        **whole,
    }


def schema_text() -> str:
    """Return the schema as the text of ``docs/plan.schema.json``."""
    return json.dumps(plan_schema(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    print(schema_text(), end="")  # noqa: T201
