"""How large units are: against the registry of Pint, a general-purpose library of units."""

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright import units
from pourwright.calculators.rates import _US
from pourwright.unit_sizes import _DEGREES, _SIZES, convert

BASES = {
    "mass": "kilogram", "volume": "meter**3", "length": "meter", "time": "second", "power": "watt",
    "energy": "joule", "pressure": "pascal", "fraction": "",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("name", _SIZES)
def test_a_size_is_that_of_the_registry_to_the_last_digit(name, registry):
    kind, size = _SIZES[name]

    assert size == Fraction(registry.Quantity(Fraction(1), name).to(BASES[kind]).magnitude)


@given(st.fractions(-400, 3000), st.sampled_from(sorted(_DEGREES)), st.sampled_from(sorted(_DEGREES)))  # fmt: skip
def test_degrees_are_those_of_the_registry(value, one, other):
    registry = pint.get_application_registry()
    told = registry.Quantity(float(value), one).to(other).magnitude

    assert float(convert(value, one, other)) == pytest.approx(told, abs=1e-9)


def test_every_unit_that_is_read_converts_into_its_house_unit(registry):
    houses = {one.kind: one.house for one in units.DIMENSIONS.values()}
    read = [(kind, name) for kind, names in units._WORDS.items() for name in names]
    for name in dict.fromkeys(units._LIQUID_WORDS):
        read += [("volume", name)] + ([("volume", f"imperial_{name}")] if name != "cup" else [])
    for kind, name in read:
        told = registry.Quantity(Fraction(3), name).to(houses[kind]).magnitude
        assert convert(Fraction(3), name, houses[kind]) == Fraction(told), name


@pytest.mark.parametrize(("metric", "us"), [one[1:] for one in _US.values()])
def test_what_is_only_shown_converts_as_the_registry_converts(metric, us, registry):
    told = registry.Quantity(Fraction(1), metric).to(us).magnitude

    assert convert(Fraction(1), metric, us) == Fraction(told)


@pytest.mark.parametrize(
    ("unit", "house", "why"),
    [
        ("pound", "liter", "pound is mass, and liter is volume"),
        ("degC", "kilogram", "no unit is called degC"),
        ("stone", "kilogram", "no unit is called stone"),
        ("pound**2", "meter**2", r"no unit is called pound\*\*2"),
        ("gram/liter", "gram", "gram/liter is mass/volume, and gram is mass"),
    ],
)
def test_two_different_things_are_refused(unit, house, why):
    with pytest.raises(ValueError, match=why):
        convert(Fraction(1), unit, house)
