"""Money: an exact decimal amount and its currency, ISO 4217.

There is no exchange rate here: one studio, one currency.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from pourwright.errors import BadInput, as_written
from pourwright.unit_sizes import convert
from pourwright.units import find_unit

CURRENCIES = frozenset(
    """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD
    CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS
    GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW
    KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR
    MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR
    SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX
    USD UYU UZS VED VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG
    """.split()
)
"""Codes that people pay with: ISO 4217 list one without funds, metals and tests."""

_NO_MINOR = frozenset("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF".split())
_THOUSANDTHS = frozenset("BHD IQD JOD KWD LYD OMR TND".split())

_SIGNS = {"$": "USD", "€": "EUR", "£": "GBP", "¥": "JPY"}
_AMOUNT = re.compile(r"([-+]?[0-9]+(?:\.[0-9]+)?) *([A-Za-z]{3})(?: *(?:/| per ) *(.+))?")

LARGEST = Decimal(10_000_000)
"""No price in a pottery is larger; a longer number is a slip of the hand."""


@dataclass(frozen=True, slots=True)
class Money:
    """An amount of money, exact, and the three letters of its currency. [currency]"""

    amount: Decimal
    currency: str

    def __str__(self) -> str:
        """Return the amount rounded to the currency's coin, and the code."""
        return show_money(self)

    def times(self, count: float | Decimal) -> Money:
        """Return so many times the amount, not rounded."""
        factor = count if isinstance(count, Decimal) else Decimal(repr(count))
        return Money(self.amount * factor, self.currency)


def decimals_of(currency: str) -> int:
    """Return how many decimals a currency's coins have.

    Examples
    --------
    >>> decimals_of("EUR"), decimals_of("JPY"), decimals_of("KWD")
    (2, 0, 3)
    """
    return 0 if currency in _NO_MINOR else 3 if currency in _THOUSANDTHS else 2


def rounded(amount: Decimal, currency: str) -> Decimal:
    """Return an amount on the currency's smallest coin, half a coin rounded up."""
    coin = Decimal(1).scaleb(-decimals_of(currency))
    return amount.quantize(coin, rounding=ROUND_HALF_UP)


def show_money(money: Money) -> str:
    """Return money as it is shown and as it is read back.

    Examples
    --------
    >>> show_money(Money(Decimal("12.4"), "GBP"))
    '12.40 GBP'
    """
    return f"{rounded(money.amount, money.currency)} {money.currency}"


def read_money(
    value: object, currency: str, *, per: str = "", prefer: str | None = None, path: str = ""
) -> Money:
    """Return a price for one house unit, such as one kg.

    Parameters
    ----------
    value : str
        Such as ``"24.50 EUR"``, ``"18 USD/lb"`` or ``"0.31 EUR per kWh"``.
    currency : str
        The studio's currency; another one is refused.
    per : str, optional
        What the price is for: a house unit (``"kg"``, ``"l"``, ``"kWh"``,
        ``"h"``) or a word (``"piece"``); empty for a plain amount.
    prefer : {"us", "imperial"}, optional
        Whose pint or gallon a price is for, if it does not say.
    path : str, optional
        The field, for the sentence of a refusal.

    Returns
    -------
    Money
        [currency / per]

    Raises
    ------
    BadInput
        If it cannot be read, is negative, or is in another currency.

    Examples
    --------
    >>> read_money("0.31 EUR per kWh", "EUR", per="kWh")
    Money(amount=Decimal('0.31'), currency='EUR')
    """
    typed = _Price(as_written(value), currency, per, prefer, path)
    if not isinstance(value, str) or len(value) > 60:
        raise typed.refusal(typed.right)
    text = " ".join(value.split())
    found = _AMOUNT.fullmatch(text)
    if found is None:
        raise typed.refusal(typed.right, _sign_hint(text))
    amount, code, unit = Decimal(found[1]), found[2].upper(), found[3] or ""
    if code not in CURRENCIES:
        raise typed.refusal(f"{code} is not a currency's code (ISO 4217); {typed.right}")
    if code != currency:
        raise typed.refusal(
            f"the studio's currency is {currency} and there are no exchange rates here; {typed.right}"
        )
    if not 0 <= amount <= LARGEST:
        raise typed.refusal(f"it must be between 0 and {LARGEST} {currency}")
    return Money(_for_one(amount, unit, typed), code)


@dataclass(frozen=True, slots=True)
class _Price:
    """What was typed where a price belongs, and what is expected of it."""

    written: str
    currency: str
    per: str
    prefer: str | None
    path: str

    @property
    def right(self) -> str:
        per = f"/{self.per}" if self.per else ""
        return f'write an amount and its currency, such as "12.40 {self.currency}{per}"'

    def refusal(self, right: str, hint: str = "") -> BadInput:
        return BadInput.one(self.path, self.written, right, hint)


def _sign_hint(text: str) -> str:
    for sign, code in _SIGNS.items():
        if sign in text:
            return f"Write the code instead of the sign, such as {code} for {sign}."
    return "Write the decimals after a point." if "," in text else ""


def _for_one(amount: Decimal, unit: str, typed: _Price) -> Decimal:
    """Return the price of one house unit."""
    if unit.rstrip("s") == typed.per or (typed.per == "piece" and unit == "each"):
        return amount
    given, house = find_unit(unit, typed.prefer), find_unit(typed.per)
    if given is None or house is None or given.kind != house.kind:
        what = f"for one {typed.per}" if typed.per else "a plain amount"
        raise typed.refusal(f"the price must be {what}; {typed.right}")
    of_house = convert(Fraction(1), given.name, house.name)
    return amount * Decimal(of_house.denominator) / Decimal(of_house.numerator)
