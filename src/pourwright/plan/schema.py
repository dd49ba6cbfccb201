"""The shape of ``plan.json``, as JSON Schema 2020-12; ``pourwright schema plan`` prints it.

The names end in their units; a null stands for what is not known.
"""

from __future__ import annotations

from typing import Any, TypeAlias

Schema: TypeAlias = dict[str, Any]


def of(kind: str, about: str = "", **more: Any) -> Schema:
    """Return the schema of one kind of value."""
    return {"type": kind, **({"description": about} if about else {}), **more}


def or_null(schema: Schema) -> Schema:
    """Return a schema that allows null, for what is not known."""
    return {**schema, "type": [schema["type"], "null"]}


def record(about: str, /, *optional: str, **fields: Schema) -> Schema:
    """Return the schema of an object that holds these fields and no others."""
    required = [name for name in fields if name not in optional]
    return of("object", about, properties=fields, required=required, additionalProperties=False)


def list_of(items: Schema, about: str = "", least: int = 0) -> Schema:
    """Return the schema of a list."""
    return of("array", about, items=items, **({"minItems": least} if least else {}))


def choice(*values: str) -> Schema:
    """Return the schema of one of a few words."""
    return of("string", enum=list(values))


TEXT = of("string")
YES_NO = of("boolean")
COUNT = of("integer", minimum=0)
FROM_ONE = of("integer", minimum=1)
AMOUNT = of("number", minimum=0)
DAYS = of("integer", "Days; negative when it comes sooner.")
DATE = of("string", "A day, ISO 8601.", format="date", pattern=r"^\d{4}-\d{2}-\d{2}$")
MONEY = of("string", "An exact amount of the plan's currency.", pattern=r"^-?\d+(\.\d+)?$")


def book_schema() -> Schema:
    """Return the schema of a plan's ``book``; a plan made without one has none."""
    outlook = record(
        "The expected finish, and the range of eight runs in ten.",
        as_of=DATE,
        finish=DATE,
        p10=DATE,
        p50=DATE,
        p90=DATE,
        word=or_null(of("string", "Likely, tight or unlikely; null without a deadline.")),
    )
    return record(
        "What the book says is true, and the first plan beside this one.",
        entries=FROM_ONE,
        head=of("string", "Digest of the last entry.", pattern="^[0-9a-f]{64}$"),
        state=choice("planned", "declared"),
        have=TEXT,
        molds=list_of(
            record("", label=TEXT, casts=COUNT, poured=DATE, dry=YES_NO), "Molds in use."
        ),
        stages=list_of(
            record("", stage=TEXT, count=COUNT), "Ware by stage, the kiln's not counted."
        ),
        load=or_null(
            record("This edition's load in the kiln.", firing=TEXT, pieces=COUNT, since=DATE)
        ),
        finished=COUNT,
        wanted=of("integer", "Pieces wanted beyond all that is in work or finished.", minimum=0),
        own=list_of(
            record("", field=TEXT, value=TEXT, source=TEXT), "Figures that the studio has counted."
        ),
        first_plan=or_null(outlook),
        now=outlook,
        days_later=or_null(DAYS),
    )


CHANCE = of("number", "A chance.", minimum=0, maximum=1)


def odds_schema() -> Schema:
    """Return the schema of the odds."""
    return record(
        "What may be promised, over many runs of chance.",
        runs=FROM_ONE,
        seed=COUNT,
        own_casts=of("integer", "Casts of the studio's own behind the losses.", minimum=0),
        confidence=CHANCE,
        word=or_null(of("string", "Likely, tight or unlikely; null without a deadline.")),
        chance=or_null(CHANCE),
        finish=record("", p10=DATE, p50=DATE, p90=DATE),
        expected_finish=DATE,
        carried_by=list_of(TEXT, "The assumptions that carry the range."),
        molds_for_chance=_molds(),
        replacements=list_of(_replacement(), "When replacement molds are poured, if they are."),
        safe_to_offer=record(
            "Numbered pieces that may be promised.",
            confidence=CHANCE,
            by_date=list_of(record("", date=DATE, pieces=COUNT)),
            today=COUNT,
        ),
        casts=_casts(),
        risks=list_of(_risk(), "What moves the finish, the most first."),
        fan=list_of(
            record("", date=DATE, p10=COUNT, p25=COUNT, p50=COUNT, p75=COUNT, p90=COUNT),
            "Finished pieces by date.",
        ),
        molds_in_use=list_of(
            record("", date=DATE, p10=COUNT, p50=COUNT, p90=COUNT, worn_p50=COUNT),
            "Molds that can still be cast, and molds worn out, by date.",
        ),
        bias_days=of("number", "Days that the dates were put later by, on average."),
        bias_note=TEXT,
    )


def _molds() -> Schema:
    row = record(
        "",
        molds=FROM_ONE,
        chance=or_null(CHANCE),
        p10=DATE,
        p50=DATE,
        p90=DATE,
        cost=or_null(MONEY),
        added_cost=or_null(MONEY),
        least=YES_NO,
    )
    return record(
        "The fewest molds for the confidence asked.",
        confidence=CHANCE,
        molds=or_null(FROM_ONE),
        limit=or_null(of("string", "What limits when no number of molds does.")),
        help=list_of(record("", what=TEXT, chance=CHANCE)),
        rows=list_of(row, least=1),
    )


def _replacement() -> Schema:
    return record(
        "",
        molds=FROM_ONE,
        pour_p10=DATE,
        pour_p50=DATE,
        pour_p90=DATE,
        chance_needed=CHANCE,
        session_cost=or_null(MONEY),
    )


def _casts() -> Schema:
    return record(
        "Casts to start at once so that numbers and proofs come out.",
        confidence=CHANCE,
        to_start=COUNT,
        conditioning=COUNT,
        surplus_p50=COUNT,
        surplus_p90=COUNT,
        fate=choice("destroy", "seconds", "keep unsigned"),
    )


def _risk() -> Schema:
    return record(
        "One input over its plausible range, the others left to chance.",
        what=TEXT,
        field=TEXT,
        low=TEXT,
        high=TEXT,
        finish_low=DATE,
        finish_high=DATE,
        days=AMOUNT,
        cost_low=or_null(MONEY),
        cost_high=or_null(MONEY),
        measure=TEXT,
    )


def _identity() -> dict[str, Schema]:
    """Return what the plan is of."""
    return {
        "version": of("integer", "Version of this format.", const=1),
        "as_of": DATE,
        "edition": record(
            "",
            id=of("string", "The edition's id in the brief.", pattern="^[a-z0-9-]{3,}$"),
            name=TEXT,
            pieces=FROM_ONE,
            proofs=COUNT,
        ),
        "studio": record(
            "",
            name=TEXT,
            units=choice("metric", "us"),
            currency=of("string", "ISO 4217.", pattern="^[A-Z]{3}$"),
        ),
    }


def _answer() -> Schema:
    """Return the answer at the top of the plan."""
    return record(
        "The answer in one look.",
        molds=of("integer", "Molds in use at once.", minimum=1),
        molds_poured=of(
            "integer", "Molds to pour over the edition; from now on with a book.", minimum=0
        ),
        casts=of("integer", "Casts to start, conditioning casts not among them.", minimum=0),
        conditioning_casts=COUNT,
        first_pour=or_null(DATE),
        first_cast=or_null(DATE),
        finish=DATE,
        deadline=or_null(DATE),
        deadline_met=or_null(YES_NO),
        last_safe_pour=or_null(DATE),
        limited_by=choice("molds", "kiln", "hours", "drying", "preparation"),
        relief=list_of(
            record("", what=TEXT, days_gained=DAYS), "What would bring the finish forward."
        ),
        cost_per_piece=or_null(MONEY),
        currency=TEXT,
        best_found=record(
            "How good the plan is among all plans.", bound=or_null(DATE), proved=YES_NO
        ),
    )


def _how_many() -> dict[str, Schema]:
    """Return the tables over molds, steps, sizes and lives."""
    return {
        "molds": list_of(
            record(
                "",
                count=FROM_ONE,
                finish=DATE,
                working_days=COUNT,
                casts_per_mold=AMOUNT,
                life=FROM_ONE,
                replaced=COUNT,
                sessions=COUNT,
                meets_deadline=or_null(YES_NO),
                chosen=YES_NO,
                cost=or_null(MONEY),
            ),
            "One plan for each number of molds in use.",
            least=1,
        ),
        "ladder": list_of(
            record("", step=TEXT, finish=DATE, days_added=DAYS),
            "From the bare arithmetic of the trade to this plan.",
        ),
        "sizes": list_of(
            record(
                "",
                pieces=FROM_ONE,
                molds=FROM_ONE,
                casts=FROM_ONE,
                finish=DATE,
                cost=or_null(MONEY),
            ),
            "The plan for other sizes of the edition.",
        ),
        "lives": list_of(
            record("", life=FROM_ONE, molds=FROM_ONE, replaced=COUNT, finish=DATE),
            "The plan for other lives of a mold; empty when the life is known.",
        ),
    }


def _plaster() -> Schema:
    """Return parts, batches, sessions and totals."""
    return record(
        "Parts, batches, sessions and totals.",
        consistency=of("number", "Parts of water to 100 of plaster, by mass."),
        wet_kg_per_l=AMOUNT,
        dry_kg_per_l=AMOUNT,
        parts=list_of(
            record(
                "",
                name=TEXT,
                volume_l=AMOUNT,
                told_as=choice("water", "volume", "box", "dry mass"),
                plaster_kg=AMOUNT,
                water_kg=AMOUNT,
                masters=FROM_ONE,
            ),
            "The parts of one mold.",
            least=1,
        ),
        per_mold=record("", volume_l=AMOUNT, plaster_kg=AMOUNT, water_kg=AMOUNT),
        batches=list_of(
            record(
                "",
                session=FROM_ONE,
                number=FROM_ONE,
                parts=list_of(record("", mold=FROM_ONE, part=TEXT), least=1),
                volume_l=AMOUNT,
                water_kg=AMOUNT,
                plaster_kg=AMOUNT,
                leftover_l=AMOUNT,
                starts_min=of("number", "Minutes after the session began.", minimum=0),
            ),
            "The pour list; weights are on the scale's step. Empty if no mold is still to be poured.",
        ),
        sessions=COUNT,
        session_list=list_of(record("", number=FROM_ONE, date=DATE, molds=COUNT, batches=FROM_ONE)),
        batches_bound=of("integer", "No pour list has fewer batches.", minimum=0),
        proved=YES_NO,
        round_min=AMOUNT,
        total_plaster_kg=AMOUNT,
        total_water_kg=AMOUNT,
        bags=COUNT,
        bag_kg=AMOUNT,
        scale_step_kg=of("number", "Weights of batches are multiples of it.", exclusiveMinimum=0),
    )


def _drying_and_casting() -> dict[str, Schema]:
    """Return drying and casting."""
    return {
        "drying": record(
            "One mold.",
            water_to_lose_kg=AMOUNT,
            days_low=AMOUNT,
            days_high=AMOUNT,
            wet_kg=AMOUNT,
            dry_kg=AMOUNT,
        ),
        "casting": record(
            "One cast, and the slip of the edition.",
            fill_l=or_null(AMOUNT),
            kept_l=or_null(AMOUNT),
            drained_l=or_null(AMOUNT),
            water_to_mold_kg=or_null(AMOUNT),
            slip_for_edition_l=or_null(AMOUNT),
            minutes=or_null(AMOUNT),
            minutes_low=or_null(AMOUNT),
            minutes_high=or_null(AMOUNT),
            wall_mm=or_null(AMOUNT),
            note=TEXT,
        ),
    }


def _days() -> dict[str, Schema]:
    """Return stages and calendar."""
    doing = record(
        "",
        "of",
        "molds",
        stage=TEXT,
        count=COUNT,
        of=COUNT,
        molds=list_of({"type": ["string", "integer"]}),
    )
    return {
        "stages": list_of(record("", name=TEXT, starts=DATE, ends=DATE, note=TEXT), least=1),
        "calendar": list_of(
            record(
                "",
                "why",
                date=DATE,
                open=YES_NO,
                minutes=COUNT,
                used_min=COUNT,
                doing=list_of(doing),
                why=of("string", "Why a day is closed, such as a holiday."),
            ),
            "Every day from the first to the finish.",
            least=1,
        ),
    }


def _fire_and_after() -> dict[str, Schema]:
    """Return kiln, glaze, numbers and surplus."""
    return {
        "kiln": record(
            "",
            firings=list_of(
                record(
                    "",
                    name=TEXT,
                    cone=TEXT,
                    temperature_c=or_null(AMOUNT),
                    capacity=FROM_ONE,
                    loads=COUNT,
                    pieces=COUNT,
                    energy_kwh_low=or_null(AMOUNT),
                    energy_kwh_high=or_null(AMOUNT),
                ),
                least=1,
            ),
            energy_kwh=or_null(AMOUNT),
        ),
        "glaze": record("", dry_kg=or_null(AMOUNT), slurry_l=or_null(AMOUNT), note=TEXT),
        "numbers": record(
            "",
            first=TEXT,
            last=TEXT,
            proofs=COUNT,
            kind=TEXT,
            marked=choice("leather-hard", "before glaze", "end"),
        ),
        "surplus": record(
            "Good pieces beyond the numbers and the proofs.",
            expected=AMOUNT,
            fate=choice("destroy", "seconds", "keep unsigned"),
        ),
    }


def _cost_and_size() -> dict[str, Schema]:
    """Return cost and dimensions."""
    return {
        "cost": record(
            "",
            currency=TEXT,
            lines=list_of(
                record("", name=TEXT, quantity=TEXT, unit=TEXT, price=MONEY, amount=MONEY)
            ),
            not_priced=list_of(TEXT, "What has no price; it is not in the total."),
            total=or_null(MONEY),
            per_piece=or_null(MONEY),
        ),
        "dimensions": record(
            "",
            given=YES_NO,
            steps=list_of(
                record(
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
        "cautions": list_of(
            record("", "title", "source", step=TEXT, title=TEXT, text=TEXT, source=TEXT), least=1
        ),
        "sources": list_of(
            record(
                "",
                field=TEXT,
                value=TEXT,
                kind=choice("brief", "studio", "default", "worked out", "book"),
                source=TEXT,
            ),
            "Where each number came from.",
            least=1,
        ),
        "violations": list_of(TEXT, "Rules that the plan breaks; a plan with one is never shown.")
        | {"maxItems": 0},
    }


def plan_schema() -> Schema:
    """Return the schema of a whole plan."""
    whole = record(
        "The plan of one edition. Quantities are in the unit that their name ends in.",
        "book",
        **_identity(),
        beside=list_of(
            record("", id=TEXT, name=TEXT, finish=DATE, alone=DATE),
            "Editions that have the first claim on kiln and hands.",
        ),
        book=book_schema(),
        answer=_answer(),
        **_how_many(),
        odds=odds_schema(),
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
