"""The shape of ``plan.json``, as JSON Schema 2020-12; ``pourwright schema plan`` prints it.

The names end in their units; a null stands for what is not known.
"""

from __future__ import annotations

from pourwright.plan.book_schema import book_schema
from pourwright.plan.odds_schema import odds_schema
from pourwright.plan.schema_parts import (
    AMOUNT,
    COUNT,
    DATE,
    DAYS,
    FROM_ONE,
    MONEY,
    TEXT,
    YES_NO,
    Schema,
    choice,
    list_of,
    of,
    or_null,
    record,
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
