"""The shape of what a plan says of the book it went on from; part of the plan's JSON Schema."""

from __future__ import annotations

from pourwright.plan.schema_parts import (
    COUNT,
    DATE,
    DAYS,
    FROM_ONE,
    TEXT,
    YES_NO,
    Schema,
    choice,
    list_of,
    of,
    or_null,
    record,
)


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
