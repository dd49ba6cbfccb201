"""What is done before the first pour, held against days counted by pencil."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pourwright.briefs.reading import read_brief
from pourwright.plan.before import FIRE_TESTS, before_pouring
from pourwright.plan.calendar import studio_calendar
from pourwright.plan.case import route_of
from pourwright.plan.standing import Standing
from tests.plans import brief_of

MONDAY = date(2026, 11, 30)


def test_of_a_block_mold_the_parts_that_are_poured_are_not_poured_again():
    """By pencil: three parts on three days, one poured on Monday; the others are left for Tuesday and Wednesday."""
    brief, studio = read_brief(brief_of("metric-bowl"), MONDAY)
    (part, *_), tuesday = brief.mold.parts, MONDAY + timedelta(1)
    parts = tuple(replace(part, name=name) for name in ("left", "right", "foot"))
    terms = replace(brief.preparation, have="original", block_mold_days=3, block_mold_min=90.0)
    brief = replace(brief, mold=replace(brief.mold, parts=parts), preparation=terms)
    there = Standing(tuesday, MONDAY, "original", 36, 3, block_parts=("left",))
    brief = replace(brief, edition=replace(brief.edition, start=tuesday))
    days = studio_calendar(studio, tuesday)
    before = before_pouring(brief, studio, days, route_of(brief), there)

    assert before.block_parts == ("right", "foot")
    block = [task for task in before.tasks if task.what == "block mold"]
    assert [(task.day, task.minutes) for task in block] == [
        (tuesday, 30),
        (tuesday + timedelta(1), 30),
    ]
    begun = before_pouring(brief, studio, days, route_of(brief))
    assert begun.minutes_of("block mold") == 90
    assert before.again == begun.again  # one that is refused is made anew, all of it


@pytest.mark.parametrize(
    ("loads_a_week", "second"),
    [(2, date(2026, 12, 30)), (1, date(2027, 1, 4)), (0.5, date(2027, 1, 11))],
)
def test_test_casts_are_fired_no_more_often_than_the_kiln_fires(loads_a_week, second):
    """
    By pencil, of an original that is there, every weekday worked: block mold 30 Nov and 1 Dec, dry after
    14 days, four test casts 16 to 21 Dec, dry on 28 Dec: the bisque load goes in. It is out on 30 Dec. With one
    load a week the glaze load goes in on Monday 4 Jan, with half a load a week one Monday later.
    """
    brief, studio = read_brief(brief_of("metric-bowl"), MONDAY)
    brief = replace(
        brief,
        edition=replace(brief.edition, start=MONDAY),
        preparation=replace(brief.preparation, have="original", block_mold_days=2, test_casts=4),
        firing=replace(brief.firing, ware_dry_days=6),
    )
    studio = replace(
        studio,
        time=replace(studio.time, working_days=(0, 1, 2, 3, 4), public_holidays=False, off=()),
        drying=replace(studio.drying, days_high=14),
        kiln=replace(studio.kiln, loads_a_week=loads_a_week, bisque_days=2, glaze_days=2),
    )
    before = before_pouring(brief, studio, studio_calendar(studio, MONDAY), route_of(brief))

    assert [task.day for task in before.tasks if task.what == FIRE_TESTS] == [
        date(2026, 12, 28),
        second,
    ]
