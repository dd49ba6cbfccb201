"""The shape of a plan's odds; part of the plan's JSON Schema."""

from __future__ import annotations

from pourwright.plan.schema_parts import (
    AMOUNT,
    COUNT,
    DATE,
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
