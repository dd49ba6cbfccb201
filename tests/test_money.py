"""Prices are exact, in one currency, for one house unit."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from pourwright.errors import BadInput, StudioError
from pourwright.money import CURRENCIES, Money, decimals_of, read_money, rounded, show_money


@pytest.mark.parametrize(
    ("text", "per", "amount"),
    [
        ("24 EUR", "", "24"),
        ("24.50 EUR", "", "24.50"),
        ("0.2875 EUR/kWh", "kWh", "0.2875"),
        ("0.2875 eur per kWh", "kWh", "0.2875"),
        ("12 EUR/kg", "kg", "12"),
        ("0.012 EUR/g", "kg", "12"),
        ("18 EUR/h", "h", "18"),
        ("18 EUR/hour", "h", "18"),
        ("2 EUR/piece", "piece", "2"),
        ("2 EUR/pieces", "piece", "2"),
        ("2 EUR/each", "piece", "2"),
        ("4 EUR/l", "l", "4"),
    ],
)
def test_a_price_is_read_for_one_house_unit(text, per, amount):
    assert read_money(text, "EUR", per=per) == Money(Decimal(amount), "EUR")


def test_a_price_a_pound_or_a_gallon_is_turned_into_one_a_kilogram_or_a_liter():
    """0.45359237 kg (1959 agreement) and 3.785411784 l (231 cubic inches)."""
    assert float(read_money("5.20 USD/lb", "USD", per="kg").amount) == approx(
        5.20 / 0.45359237, rel=1e-12
    )
    a_liter = read_money("16.50 USD/gallon", "USD", per="l", prefer="us").amount
    assert float(a_liter) == approx(16.50 / 3.785411784, rel=1e-12)
    with pytest.raises(BadInput):
        read_money("16.50 EUR/gallon", "EUR", per="l")


@pytest.mark.parametrize(
    ("value", "per", "says"),
    [
        ("24", "", "12.40 EUR"),
        ("1.2 EUR/100g", "kg", "for one kg"),
        ("2 EUR each", "piece", "12.40 EUR/piece"),
        (24, "", "12.40 EUR"),
        (24.5, "", "12.40 EUR"),
        ("24 USD", "", "currency is EUR"),
        ("24 XQX", "", "not a currency's code"),
        ("€24", "", "EUR for €"),
        ("24 $", "", "USD for $"),
        ("24,50 EUR", "", "after a point"),
        ("-3 EUR", "", "between 0 and"),
        ("99999999999 EUR", "", "between 0 and"),
        ("24 EUR/kg", "", "a plain amount"),
        ("24 EUR", "kg", "for one kg"),
        ("24 EUR/l", "kg", "for one kg"),
        ("24 EUR/kg", "piece", "for one piece"),
        ("", "", "12.40 EUR"),
        ("9" * 100 + " EUR", "", "12.40 EUR"),
        (None, "", "12.40 EUR"),
    ],
)
def test_what_is_no_price_here_is_refused(value, per, says):
    with pytest.raises(BadInput) as caught:
        read_money(value, "EUR", per=per, path="prices.thing")

    assert str(caught.value).startswith("prices.thing is ")
    assert says in str(caught.value)


def test_coins_are_those_of_iso_4217():
    """ISO 4217:2015, list one, minor units: 2 mostly, 0 for JPY and ISK, 3 for KWD and TND."""
    assert [decimals_of(code) for code in ("EUR", "USD", "DKK", "JPY", "ISK", "KWD", "TND")] == [
        2,
        2,
        2,
        0,
        0,
        3,
        3,
    ]
    assert all(len(code) == 3 and code.isupper() for code in CURRENCIES)


def test_money_is_shown_on_its_coin_half_a_coin_up():
    assert show_money(Money(Decimal("12.4"), "GBP")) == "12.40 GBP"
    assert str(Money(Decimal("12.345"), "GBP")) == "12.35 GBP"
    assert str(Money(Decimal("12.5"), "JPY")) == "13 JPY"
    assert rounded(Decimal("0.2875"), "EUR") == Decimal("0.29")


def test_a_multiple_is_exact():
    assert Money(Decimal("0.1"), "EUR").times(3) == Money(Decimal("0.3"), "EUR")
    assert Money(Decimal("0.31"), "EUR").times(Decimal("12.5")).amount == Decimal("3.875")


@given(st.decimals(0, 10_000_000, places=2), st.sampled_from(sorted(CURRENCIES)))
def test_what_is_shown_is_read_back(amount, currency):
    money = Money(rounded(amount, currency), currency)

    assert read_money(show_money(money), currency) == money


@given(st.text(max_size=40), st.sampled_from(["", "kg", "kWh", "piece"]))
def test_any_text_is_read_or_refused(text, per):
    try:
        money = read_money(text, "EUR", per=per)
    except StudioError:
        return
    assert money.amount >= 0


@given(st.integers(1, 10**6))
def test_a_price_survives_its_unit(cents):
    amount = Decimal(cents) / 100
    a_kilogram = read_money(f"{amount} EUR/lb", "EUR", per="kg").amount

    assert float(Fraction(a_kilogram) * Fraction("0.45359237")) == approx(float(amount), rel=1e-12)
