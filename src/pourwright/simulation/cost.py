"""What an edition costs, line by line.

Each line is a quantity times a price, rounded to the currency's smallest coin,
half a coin up; the total is the sum of the lines as they stand, so that the
list adds up by hand. What has no price, or of which nobody knows how much it
takes, is named instead of counted as nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal

from pourwright.errors import NotDoable, OutOfRange
from pourwright.money import Money, decimals_of, rounded

_QUANTITY_STEP = Decimal("0.001")  # a gram, a milliliter, 3.6 s
_PRICE_DIGITS = 2  # a price for one house unit keeps so many digits beyond the coin
_LARGEST_QUANTITY = 1e9


@dataclass(frozen=True, slots=True)
class CostItem:
    """Something that is used up or paid for.

    Parameters
    ----------
    name : str
        What it is.
    quantity : float or None
        How much of it; None if that is not known. [unit]
    unit : str
        What the price is for.
    price : Money or None
        For one unit; None if no price is given. [currency / unit]
    """

    name: str
    quantity: float | None
    unit: str
    price: Money | None


@dataclass(frozen=True, slots=True)
class CostLine:
    """One line of a cost: ``amount`` is ``quantity`` times ``price`` on the coin.

    Parameters
    ----------
    name : str
        What is paid for.
    quantity : Decimal
        To a thousandth. [unit]
    unit : str
        What the price is for.
    price : Decimal
        To a hundredth of the coin. [currency / unit]
    amount : Decimal
        [currency]
    """

    name: str
    quantity: Decimal
    unit: str
    price: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Cost:
    """The cost of an edition, as far as prices are given.

    Parameters
    ----------
    currency : str
        ISO 4217.
    lines : tuple of CostLine
        What is priced.
    not_priced : tuple of str
        What is not in the total, and why.
    total : Decimal or None
        The sum of the lines; None if there are none. [currency]
    per_piece : Decimal or None
        The total over the pieces, on the coin. [currency]
    """

    currency: str
    lines: tuple[CostLine, ...]
    not_priced: tuple[str, ...]
    total: Decimal | None
    per_piece: Decimal | None


@dataclass(frozen=True, slots=True)
class Needs:
    """How much an edition takes; None where nobody knows yet.

    Parameters
    ----------
    plaster_bags : float or None
        Bags, by what is used of them. [-]
    masters : int or None
        Masters to make. [-]
    rubber_kg, slip_l, glaze_kg, energy_kwh : float or None
        Rubber, casting slip, dry glaze, electricity. [kg], [l], [kg], [kWh]
    packed : int or None
        Pieces to pack. [-]
    labor_h : mapping of str to float
        Hours of hands by what they do, such as ``"pouring sessions"``. [h]
    """

    plaster_bags: float | None = None
    masters: int | None = None
    rubber_kg: float | None = None
    slip_l: float | None = None
    glaze_kg: float | None = None
    energy_kwh: float | None = None
    packed: int | None = None
    labor_h: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class UnitPrices:
    """What one of each costs; None where no price is given.

    Parameters
    ----------
    plaster_per_bag, per_master, rubber_per_kg, slip_per_l, glaze_per_kg,
    energy_per_kwh, packing_per_piece, labor_per_h : Money or None
        All in one currency. [currency / unit]
    """

    plaster_per_bag: Money | None = None
    per_master: Money | None = None
    rubber_per_kg: Money | None = None
    slip_per_l: Money | None = None
    glaze_per_kg: Money | None = None
    energy_per_kwh: Money | None = None
    packing_per_piece: Money | None = None
    labor_per_h: Money | None = None


def edition_items(needs: Needs, prices: UnitPrices) -> tuple[CostItem, ...]:
    """Return the lines of an edition's cost before they are worked out.

    Parameters
    ----------
    needs : Needs
        How much it takes.
    prices : UnitPrices
        What one of each costs.

    Returns
    -------
    tuple of CostItem
        In the order of the work: molds, ware, hands, packing.
    """
    return (
        CostItem("plaster", needs.plaster_bags, "bag", prices.plaster_per_bag),
        CostItem("masters", needs.masters, "piece", prices.per_master),
        CostItem("rubber", needs.rubber_kg, "kg", prices.rubber_per_kg),
        CostItem("slip", needs.slip_l, "l", prices.slip_per_l),
        CostItem("glaze, dry", needs.glaze_kg, "kg", prices.glaze_per_kg),
        CostItem("kiln energy", needs.energy_kwh, "kWh", prices.energy_per_kwh),
        *(
            CostItem(f"labor: {what}", hours, "h", prices.labor_per_h)
            for what, hours in needs.labor_h.items()
        ),
        CostItem("packing", needs.packed, "piece", prices.packing_per_piece),
    )


def cost_of(items: Iterable[CostItem], *, pieces: int, currency: str) -> Cost:
    """Return what items cost together and for each piece.

    Parameters
    ----------
    items : iterable of CostItem
        What is used up or paid for. Of what none is needed nothing is said.
    pieces : int
        Pieces that share the cost. [-]
    currency : str
        The studio's, ISO 4217.

    Returns
    -------
    Cost
        Its lines add up to its total exactly. The price for a piece times the
        pieces may differ from the total by half a coin a piece.

    Raises
    ------
    OutOfRange
        If a quantity, a price or the number of pieces cannot be one.
    NotDoable
        If a price is in another currency.

    Examples
    --------
    >>> plaster = CostItem("plaster", 4, "bag", Money(Decimal("24.50"), "EUR"))
    >>> glaze = CostItem("glaze, dry", 2.4, "kg", None)
    >>> cost = cost_of([plaster, glaze], pieces=30, currency="EUR")
    >>> print(cost.total, cost.per_piece, cost.not_priced)
    98.00 3.27 ('glaze, dry: no price is given',)
    """
    if pieces < 1:
        raise OutOfRange("the pieces that share the cost", pieces, "", "1 or more")
    wanted = [item for item in items if item.quantity != 0]
    lines = tuple(line for item in wanted if (line := _line(item, currency)) is not None)
    total = sum((line.amount for line in lines), Decimal(0)) if lines else None
    return Cost(
        currency=currency,
        lines=lines,
        not_priced=tuple(why for item in wanted if (why := _why_not_priced(item))),
        total=total,
        per_piece=None if total is None else rounded(total / pieces, currency),
    )


def _why_not_priced(item: CostItem) -> str:
    if item.quantity is None:
        return f"{item.name}: how much it takes is not known"
    return f"{item.name}: no price is given" if item.price is None else ""


def _line(item: CostItem, currency: str) -> CostLine | None:
    """Return the line of an item, or None if it cannot be priced."""
    if item.quantity is None or item.price is None:
        return None
    if not 0 < item.quantity < _LARGEST_QUANTITY:  # also refuses nan
        raise OutOfRange(f"the quantity of {item.name}", item.quantity, item.unit, "0 or more")
    if item.price.currency != currency:
        raise NotDoable(
            f"The price of {item.name} is in {item.price.currency} and the studio counts in "
            f"{currency}; there are no exchange rates here."
        )
    quantity, price = _quantity(item.quantity), _price(item, currency)
    return CostLine(item.name, quantity, item.unit, price, rounded(quantity * price, currency))


def _quantity(quantity: float) -> Decimal:
    """Return a quantity to a thousandth, without zeros at its end."""
    exact = Decimal(repr(quantity)).quantize(_QUANTITY_STEP, rounding=ROUND_HALF_UP)
    whole = exact.to_integral_value()
    return whole if exact == whole else exact.normalize()


def _price(item: CostItem, currency: str) -> Decimal:
    """Return a price to a hundredth of the coin, on the coin where that is the same."""
    amount = item.price.amount if item.price else Decimal("nan")
    if not amount.is_finite() or amount < 0:
        raise OutOfRange(f"the price of {item.name}", float(amount), currency, "0 or more")
    finest = Decimal(1).scaleb(-decimals_of(currency) - _PRICE_DIGITS)
    price, on_coin = amount.quantize(finest, rounding=ROUND_HALF_UP), rounded(amount, currency)
    return on_coin if on_coin == price else price


def bags_needed(plaster_kg: float, bag_kg: float) -> int:
    """Return the whole bags that hold so much plaster.

    Parameters
    ----------
    plaster_kg : float
        Plaster to weigh out. [kg]
    bag_kg : float
        What a bag holds. [kg]

    Returns
    -------
    int
        Whole bags. [-]

    Raises
    ------
    OutOfRange
        If a bag holds nothing or the plaster is less than nothing.

    Examples
    --------
    >>> bags_needed(75.0, 25.0), bags_needed(75.01, 25.0)
    (3, 4)
    """
    if not 0 < bag_kg < math.inf:
        raise OutOfRange("what a bag holds", bag_kg, "kg", "more than 0")
    if not 0 <= plaster_kg < math.inf:
        raise OutOfRange("the plaster to buy", plaster_kg, "kg", "0 or more")
    return math.ceil(plaster_kg / bag_kg - 1e-9)
