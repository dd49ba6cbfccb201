"""The shopping list: what the plan has, in the shop's units, up to a day if one is told."""

from datetime import date

import pytest

from pourwright.errors import NotDoable
from pourwright.paper.shopping import shopping_sheet
from tests.plans import as_data, as_plan, sample_plan


def to_buy(what, by, count, **more):
    row = {"what": what, "by": by, "need": 33.7, "there": 0, "unit": "kg", "holds": 25, "shop_unit": "bag", "count": count}  # fmt: skip
    return row | more


def plan_with(*rows):
    data = as_data(sample_plan())
    data["to_buy"] = list(rows)
    return as_plan(data)


PLASTER = to_buy("plaster", "2026-08-10", 2, there=4)
GLAZE = to_buy("glaze", "2026-09-10", 1)
THERE = to_buy("rubber", "2026-08-04", 0, there=40)


def test_what_is_there_already_is_not_bought():
    sheet = shopping_sheet(plan_with(THERE, PLASTER, GLAZE))

    assert [(row.buy, row.need, row.there, row.by) for row in sheet.rows] == [
        ("2 bags of plaster, 25 kg each", "33.7 kg", "4 kg", "Mon 10 Aug 2026"),
        ("1 bag of glaze, 25 kg", "33.7 kg", "", "Thu 10 Sep 2026"),
    ]


def test_up_to_a_day_only_what_is_used_by_then():
    assert len(shopping_sheet(plan_with(PLASTER, GLAZE), date(2026, 9, 9)).rows) == 1
    with pytest.raises(NotDoable, match="Nothing is to be bought for Harbor cup until Sun 9 Aug"):
        shopping_sheet(plan_with(PLASTER, GLAZE), date(2026, 8, 9))
