"""How a plan's numbers, dates and lists are said in the studio's words and units."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from pourwright.plan.plan import Plan
from pourwright.quantities import show
from pourwright.reading import WEEKDAYS_SHORT, day_and_month
from pourwright.reading import day as day

NOT_SAID = "not known"
RARE = 0.05
"""A chance below which something is not told as one time in ten."""


GALLON_L = 3.785411784
"""A US gallon, by definition."""


def _plain(text: str) -> str:
    """Return an amount without the noughts that only tell its rounding."""
    number, _, unit = text.partition(" ")
    return f"{number.rstrip('0').rstrip('.')} {unit}" if "." in number else text


@dataclass(frozen=True, slots=True)
class Say:
    """The studio's units and currency; each method turns one number into words.

    Nothing known (None) is said as such.
    """

    units: Literal["metric", "us"]
    currency: str

    @classmethod
    def of(cls, plan: Plan) -> Say:
        """Return the voice of a plan's studio."""
        return cls(plan.studio.units, plan.studio.currency)

    def quantity(self, value: float | None, dimension: str, step: float | None = None) -> str:
        """Return a quantity given in its house unit, rounded to a step of it. [any]"""
        return NOT_SAID if value is None else show(value, dimension, self.units, step)

    def mass(self, mass_kg: float | None, step_kg: float | None = None) -> str:
        """Return a mass, on a scale's step if one is given. [kg]"""
        return self.quantity(mass_kg, "mass", step_kg)

    def volume(self, volume_l: float | None) -> str:
        """Return a volume. [l]"""
        return self.quantity(volume_l, "volume")

    def bulk(self, volume_l: float) -> str:
        """Return a volume as it is bought: in gallons from one on in a US studio. [l]"""
        gallons = volume_l / GALLON_L
        if self.units != "us" or gallons < 1:
            return _plain(self.volume(volume_l))
        return f"{round(gallons, 1):g} gal"

    def bought(self, mass_kg: float) -> str:
        """Return a mass as it is bought, without the noughts that only tell its rounding. [kg]"""
        return _plain(self.mass(mass_kg))

    def water(self, water_kg: float, step_kg: float | None = None) -> str:
        """Return mixing water by weight, and as it is measured: a kilogram a liter. [kg]"""
        return f"{self.mass(water_kg, step_kg)} ({self.volume(water_kg)})"

    def duration(self, duration_min: float | None) -> str:
        """Return a length of time. [min]"""
        return self.quantity(duration_min, "duration")

    def day(self, when: date, *, weekday: bool = True) -> str:
        """Return a date, the month first in a US studio."""
        return day(when, weekday=weekday, units=self.units)

    def day_in_week(self, when: date, *, month: bool = True) -> str:
        """Return a date without its year."""
        return day_in_week(when, month=month, units=self.units)

    def span(self, first: date, last: date) -> str:
        """Return a first and a last date, the year told once where it is the same."""
        low, high = self.day(first, weekday=False), self.day(last, weekday=False)
        return f"{low[:-5].rstrip(',') if first.year == last.year else low} to {high}"

    def money(self, amount: Decimal | None) -> str:
        """Return an amount of the studio's money. [currency]"""
        return priced_at(amount) if amount is None else f"{amount} {self.currency}"


def priced_at(amount: Decimal | None) -> str:
    """Return an amount of money, or that there is none."""
    return "not priced" if amount is None else str(amount)


def priced_about(amount: Decimal | None) -> str:
    """Return an amount that is a mean over runs, to the three figures that runs can tell.

    Examples
    --------
    >>> priced_about(Decimal("6613.27")), priced_about(Decimal("52.481"))
    ('6610', '52.5')
    """
    if not amount:
        return priced_at(amount)
    step = Decimal(1).scaleb(max(amount.adjusted() - 2, -2))
    return f"{(amount / step).quantize(Decimal(1)) * step:f}"


def day_in_week(when: date, *, month: bool = True, units: str = "metric") -> str:
    """Return a date without its year.

    Examples
    --------
    >>> day_in_week(date(2036, 8, 5)), day_in_week(date(2036, 8, 5), month=False)
    ('Tue 5 Aug', 'Tue 5')
    """
    text = day_and_month(when, units) if month else str(when.day)
    return f"{WEEKDAYS_SHORT[when.weekday()]} {text}"


def count(number: float, one: str, many: str = "") -> str:
    """Return a number with its noun.

    Examples
    --------
    >>> count(1, "mold"), count(3, "mold"), count(2, "box", "boxes")
    ('1 mold', '3 molds', '2 boxes')
    """
    noun = one if number == 1 else many or f"{one}s"
    return f"{number:g} {noun}"


def in_ten(chance: float) -> str:
    """Return how often something is, in tens; what may or may not be is once at least, and nine times at most.

    Examples
    --------
    >>> in_ten(0.31), in_ten(0.02), in_ten(0.98)
    ('3 times in 10', '1 time in 10', '9 times in 10')
    """
    times = min(max(round(10 * chance), 1), 9)
    return f"{count(times, 'time')} in 10"


def listed(items: Iterable[str], last: str = "and") -> str:
    """Return a list as it is said.

    Examples
    --------
    >>> listed(["bags", "rubber", "glaze"])
    'bags, rubber and glaze'
    """
    words = list(items)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def range_of(numbers: Sequence[int]) -> str:
    """Return whole numbers with runs closed up.

    Examples
    --------
    >>> range_of([1, 2, 3, 5])
    '1 to 3, 5'
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(_run(run) for run in runs)


def _run(run: list[int]) -> str:
    """Return one run of numbers."""
    if len(run) > 2:
        return f"{run[0]} to {run[-1]}"
    return ", ".join(str(number) for number in run)


def sentence(text: str) -> str:
    """Return text that starts with a capital and ends with a period.

    Examples
    --------
    >>> sentence("one more mold gains 4 days")
    'One more mold gains 4 days.'
    """
    text = text.strip()
    return text if not text else text[0].upper() + text[1:] + ("" if text[-1] in ".?" else ".")


_LOOSE = re.compile(
    r"(?<=\d) (?=(?:kg|g|lb|oz|l|ml|qt|pt|fl|gal|mm|cm|m|in|ft|°C|°F|kWh|MB|h|min|days?|[A-Z]{3})\b"
    r"|(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b|%)"
    r"|(?<=Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) (?=\d)|(?<=\d,) (?=\d{4}\b)"
    r"|(?<=\d lb) (?=[\d.]+ oz\b)|(?<=\d h) (?=\d+ min\b)|(?<=\d fl) (?=oz\b)|(?<=\d) (?=of \d)|(?<=of) (?=\d)"
    r"|(?<=Mon|Tue|Wed|Thu|Fri|Sat|Sun) (?=\d|(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b)"
)


def tight(text: str) -> str:
    r"""Return text in which a number keeps its unit, and a date its parts, on one line.

    Examples
    --------
    >>> tight("1.35 kg on Tue 5 Aug 2036").split(" ")
    ['1.35\xa0kg', 'on', 'Tue\xa05\xa0Aug\xa02036']
    >>> tight("12 lb 9.5 oz after 1 h 40 min").split(" ")
    ['12\xa0lb\xa09.5\xa0oz', 'after', '1\xa0h\xa040\xa0min']
    """
    return _LOOSE.sub("\N{NO-BREAK SPACE}", text)
