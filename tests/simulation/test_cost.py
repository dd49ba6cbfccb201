"""Cost: lines that add up by hand, coins that the standard names, nothing counted as nothing."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.errors import NotDoable, OutOfRange
from pourwright.money import Money
from pourwright.simulation.cost import (
    Cost,
    CostItem,
    Needs,
    UnitPrices,
    bags_needed,
    cost_of,
    edition_items,
)
from tests.ledger.toy import rounds

# ISO 4217, list one (SIX, published 2026): decimals of the minor unit.
MINOR_UNITS = {"USD": 2, "EUR": 2, "JPY": 0, "BHD": 3, "JOD": 3}


def euros(amount: str) -> Money:
    """Return an amount in euros."""
    return Money(Decimal(amount), "EUR")


def half_up(exact: Fraction, decimals: int) -> Fraction:
    """Return a fraction on the coin, half a coin up, without the decimal library."""
    coins = exact * 10**decimals
    return Fraction(math.floor(coins + Fraction(1, 2)), 10**decimals)


items = st.builds(
    CostItem,
    name=st.sampled_from(["plaster", "slip", "rubber", "labor: casting"]),
    quantity=st.none() | st.integers(0, 500) | st.floats(0, 5000),
    unit=st.sampled_from(["kg", "l", "h"]),
    price=st.none()
    | st.builds(
        Money,
        amount=st.decimals(0, 900, places=2) | st.decimals(0, 900, places=7),
        currency=st.just("EUR"),
    ),
)
lists = st.lists(items, max_size=8)


def worked_out(of: list[CostItem], pieces: int = 7) -> Cost:
    """Return the cost for some pieces."""
    return cost_of(of, pieces=pieces, currency="EUR")


@pytest.mark.rounds
@given(lists, st.integers(1, 500))
@settings(max_examples=rounds(60, 200))
def test_lines_add_up_to_the_total_and_the_total_to_the_pieces(
    of: list[CostItem], pieces: int
) -> None:
    """In fractions, which have no rounding of their own."""
    cost = worked_out(of, pieces)

    if cost.total is None or cost.per_piece is None:
        assert cost.lines == ()
        return
    for line in cost.lines:
        exact = Fraction(line.quantity) * Fraction(line.price)
        assert Fraction(line.amount) == half_up(exact, 2)
    assert Fraction(cost.total) == sum(Fraction(line.amount) for line in cost.lines)
    assert Fraction(cost.per_piece) == half_up(Fraction(cost.total) / pieces, 2)


@pytest.mark.rounds
@given(lists)
@settings(max_examples=rounds(30, 100))
def test_rounding_moves_a_total_by_no_more_than_its_lines_may(of: list[CostItem]) -> None:
    """Half a coin a line, and what a thousandth of a unit and a hundredth of a coin are worth."""
    cost = worked_out(of)
    priced = [item for item in of if item.quantity and item.price]

    exact = sum(Fraction(item.quantity) * Fraction(item.price.amount) for item in priced)  # type: ignore[union-attr]
    slack = sum(
        Fraction(1, 200)
        + Fraction(1, 2000) * (Fraction(item.price.amount) + 1)  # type: ignore[union-attr]
        + Fraction(1, 20000) * Fraction(item.quantity)
        for item in priced
    )
    assert abs(Fraction(cost.total or 0) - exact) <= slack


@pytest.mark.rounds
@given(lists)
@settings(max_examples=rounds(30, 100))
def test_every_item_is_priced_or_named(of: list[CostItem]) -> None:
    """Nothing that is needed is passed over in silence, and nothing counts as zero."""
    cost = worked_out(of)
    needed = [item for item in of if item.quantity != 0]

    assert len(cost.lines) + len(cost.not_priced) == len(needed)
    assert all(line.quantity >= 0 for line in cost.lines)


@given(lists, st.randoms(use_true_random=False))
@settings(max_examples=50)
def test_the_order_of_the_lines_changes_no_sum(of: list[CostItem], chance: object) -> None:
    """Whatever is bought first."""
    shuffled = list(of)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]

    assert worked_out(shuffled).total == worked_out(of).total


@pytest.mark.rounds
@given(lists, items)
@settings(max_examples=rounds(30, 100))
def test_a_further_item_never_makes_it_cheaper(of: list[CostItem], more: CostItem) -> None:
    """Prices are not negative."""
    assert (worked_out([*of, more]).total or 0) >= (worked_out(of).total or 0)


@pytest.mark.parametrize("currency", MINOR_UNITS)
def test_amounts_stand_on_the_coin_of_the_standard(currency: str) -> None:
    """ISO 4217, list one: no decimals in Japan, three in Bahrain and Jordan."""
    price = Money(Decimal("3.14159"), currency)

    cost = cost_of([CostItem("slip", 7.3, "l", price)], pieces=3, currency=currency)

    assert cost.total is not None
    assert -cost.total.as_tuple().exponent == MINOR_UNITS[currency]
    assert -cost.per_piece.as_tuple().exponent == MINOR_UNITS[currency]


@pytest.mark.parametrize(
    ("currency", "total"), [("JPY", "23"), ("EUR", "22.93"), ("BHD", "22.934")]
)
def test_a_price_in_three_currencies(currency: str, total: str) -> None:
    """By hand: 7.3 * 3.14159, the price first to a hundredth of the coin."""
    price = Money(Decimal("3.14159"), currency)

    cost = cost_of([CostItem("slip", 7.3, "l", price)], pieces=1, currency=currency)

    assert str(cost.total) == total


def test_half_a_coin_is_rounded_up() -> None:
    """1.5 kg at 0.33 are 0.495; 2.5 at 0.01 are 0.025. Floats and bankers say otherwise."""
    lines = worked_out(
        [CostItem("a", 1.5, "kg", euros("0.33")), CostItem("b", 2.5, "kg", euros("0.01"))]
    ).lines

    assert [str(line.amount) for line in lines] == ["0.50", "0.03"]


def test_a_small_edition_adds_up_as_on_paper() -> None:
    """
    By hand: 4 bags at 24.50 = 98.00; 2 masters at 85 = 170.00; 31.25 l of slip at 1.60 = 50.00;
    410 kWh at 0.31 = 127.10; 9.75 h and 41.5 h at 18.00 = 175.50 and 747.00; 30 boxes at
    2.20 = 66.00. Together 1433.60, 47.79 a piece of 30.
    """
    needs = Needs(
        plaster_bags=4,
        masters=2,
        rubber_kg=0.0,
        slip_l=31.25,
        glaze_kg=None,
        energy_kwh=410,
        packed=30,
        labor_h={"pouring sessions": 9.75, "casting": 41.5},
    )
    prices = UnitPrices(
        plaster_per_bag=euros("24.50"),
        per_master=euros("85"),
        slip_per_l=euros("1.60"),
        glaze_per_kg=euros("12"),
        energy_per_kwh=euros("0.31"),
        packing_per_piece=euros("2.20"),
        labor_per_h=euros("18.00"),
    )

    cost = cost_of(edition_items(needs, prices), pieces=30, currency="EUR")

    assert [(line.name, str(line.amount)) for line in cost.lines] == [
        ("plaster", "98.00"),
        ("masters", "170.00"),
        ("slip", "50.00"),
        ("kiln energy", "127.10"),
        ("labor: pouring sessions", "175.50"),
        ("labor: casting", "747.00"),
        ("packing", "66.00"),
    ]
    assert (str(cost.total), str(cost.per_piece)) == ("1433.60", "47.79")
    assert cost.not_priced == ("glaze, dry: how much it takes is not known",)


def test_a_price_for_a_kilogram_keeps_what_a_price_for_a_pound_says() -> None:
    """18 USD for a pound of 0.45359237 kg are 39.6832 for a kilogram."""
    price = Money(Decimal(18) / Decimal("0.45359237"), "USD")

    line = cost_of([CostItem("rubber", 4.5359237, "kg", price)], pieces=1, currency="USD").lines[0]

    assert (str(line.price), str(line.quantity), str(line.amount)) == ("39.6832", "4.536", "180.00")


def test_without_any_price_there_is_no_total() -> None:
    """Not even a zero."""
    cost = cost_of(edition_items(Needs(plaster_bags=3), UnitPrices()), pieces=5, currency="EUR")

    assert cost.total is None
    assert cost.per_piece is None
    assert "plaster: no price is given" in cost.not_priced
    assert "slip: how much it takes is not known" in cost.not_priced


def test_something_free_is_a_line_of_zero() -> None:
    """A price of nothing is a price."""
    cost = worked_out([CostItem("packing", 12, "piece", euros("0"))])

    assert str(cost.total) == "0.00"
    assert cost.not_priced == ()


def test_twice_the_work_costs_twice_the_money() -> None:
    """With prices and quantities on whole coins nothing is lost to rounding."""
    one = worked_out([CostItem("slip", 12.5, "l", euros("1.60"))])
    two = worked_out([CostItem("slip", 25.0, "l", euros("1.60"))])

    assert two.total == 2 * (one.total or 0)


def test_another_currency_is_refused() -> None:
    """There are no exchange rates here."""
    with pytest.raises(NotDoable, match="in JPY and the studio counts in EUR"):
        worked_out([CostItem("slip", 1, "l", Money(Decimal(3), "JPY"))])


@pytest.mark.parametrize("quantity", [-1, math.nan, math.inf, 1e12])
def test_quantities_that_cannot_be_are_refused(quantity: float) -> None:
    """Nothing but our own errors leaves the module."""
    with pytest.raises(OutOfRange):
        worked_out([CostItem("slip", quantity, "l", euros("1"))])


@pytest.mark.parametrize("price", ["-1", "NaN", "Infinity"])
def test_prices_that_cannot_be_are_refused(price: str) -> None:
    """Nothing but our own errors leaves the module."""
    with pytest.raises(OutOfRange):
        worked_out([CostItem("slip", 1, "l", euros(price))])


def test_a_cost_for_no_pieces_is_refused() -> None:
    """Nothing shares it."""
    with pytest.raises(OutOfRange):
        worked_out([], pieces=0)


@pytest.mark.parametrize(
    ("plaster_kg", "bags"), [(0.0, 0), (0.1, 1), (25.0, 1), (25.1, 2), (0.1 * 3 * 250, 3)]
)
def test_bags_are_bought_whole(plaster_kg: float, bags: int) -> None:
    """0.1 * 3 * 250 is a little more than 75 in floats; it is three bags."""
    assert bags_needed(plaster_kg, 25.0) == bags


@pytest.mark.parametrize(
    ("plaster_kg", "bag_kg"), [(-1, 25), (1, 0), (math.nan, 25), (1, math.nan)]
)
def test_bags_that_cannot_be_are_refused(plaster_kg: float, bag_kg: float) -> None:
    """Nothing but our own errors leaves the module."""
    with pytest.raises(OutOfRange):
        bags_needed(plaster_kg, bag_kg)
