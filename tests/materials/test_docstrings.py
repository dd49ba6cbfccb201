"""The docstring is the manual page: its parameters and units are those of the signature."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from typing import Any

import pytest

import pourwright.materials

UNITS = {
    "_kg": "kg",
    "_g": "g",
    "_l": "l",
    "_m3": "m3",
    "_m2": "m2",
    "_mm": "mm",
    "_um": "um",
    "_m": "m",
    "_min": "min",
    "_h": "h",
    "_s": "s",
    "_days": "days",
    "_c": "degC",
    "_degc": "degC",
    "_k": "K",
    "_pa": "Pa",
    "_kw": "kW",
    "_kwh": "kWh",
    "_w": "W",
    "_mpa": "MPa",
    "_kg_per_l": "kg/l",
    "_l_per_kg": "l/kg",
    "_g_per_l": "g/l",
    "_g_per_m2": "g/m2",
    "_kg_per_m2": "kg/m2",
    "_w_per_m2_k": "W/(m2 K)",
    "_w_per_m_k": "W/(m K)",
    "_j_per_g": "J/g",
    "_j_per_m2": "J/m2",
    "_j_per_kg_k": "J/(kg K)",
    "_kj_per_mol": "kJ/mol",
    "_m_per_s": "m/s",
    "_m2_per_s": "m2/s",
    "_kg_per_day": "kg/day",
    "_per_h": "1/h",
    "_g_per_h": "g/h",
    "_m3_per_h": "m3/h",
    "_g_per_m2_h": "g/(m2 h)",
    "_mm2_per_min": "mm2/min",
    "_mm2_per_s": "mm2/s",
    "_degc_per_h": "degC/h",
}
"""The unit that a name ends in, and how it is written in brackets; the longest end wins."""
NUMBER = re.compile(r"\b(float|int|array|Range|sequence of float)\b")

WORDS = re.compile(r"\b(str|bool)\b")


def public() -> list[Any]:
    """Return every public function and record of the part."""
    found: list[Any] = []
    for info in pkgutil.iter_modules(pourwright.materials.__path__):
        module = importlib.import_module(f"pourwright.materials.{info.name}")
        for name, value in vars(module).items():
            mine = getattr(value, "__module__", "") == module.__name__
            if (
                mine
                and not name.startswith("_")
                and (inspect.isfunction(value) or is_dataclass(value))
            ):
                found.append(value)
    return found


MODULES = [info.name for info in pkgutil.iter_modules(pourwright.materials.__path__)]
PUBLIC = public()
FUNCTIONS = [value for value in PUBLIC if inspect.isfunction(value)]
RECORDS = [value for value in PUBLIC if is_dataclass(value)]


def name_of(value: Any) -> str:
    return f"{value.__module__.rpartition('.')[2]}.{value.__name__}"


def section(text: str, heading: str) -> str:
    """Return what stands under a heading of a NumPy-style docstring."""
    found = re.search(rf"\n{heading}\n-+\n(.*?)(?=\n\n?[A-Z]\w+\n-+\n|\Z)", text, re.DOTALL)
    return found[1] if found else ""


def entries(text: str) -> dict[str, tuple[str, str]]:
    """Return the type and the words of each name under Parameters."""
    told: dict[str, tuple[str, str]] = {}
    pattern = re.compile(r"^([*\w][\w, *]*?) : ([^\n]*)\n((?:[ \t]+[^\n]*\n?|\n)*)", re.MULTILINE)
    for names, kind, words in pattern.findall(text + "\n"):
        for name in names.split(","):
            told[name.strip(" *")] = (kind, words)
    return told


def unit_of(name: str) -> str | None:
    """Return the unit that a name ends in, or None."""
    ends = [end for end in UNITS if name.endswith(end) or name == end[1:]]
    return UNITS[max(ends, key=len)] if ends else None


def wrong_units(told: dict[str, tuple[str, str]]) -> list[str]:
    """Return the names whose brackets do not hold the unit that they end in."""
    found = []
    for name, (kind, words) in told.items():
        unit = unit_of(name)
        brackets = re.findall(r"\[([^\]]*)\](?!_)", words)
        if unit and not any(unit in written.split(", ") for written in brackets):
            found.append(f"{name} ends in {unit} and tells {brackets}")
        elif not unit and NUMBER.search(kind) and not WORDS.search(kind) and not brackets:
            found.append(f"{name} is a number and tells no unit")
    return found


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_parameters_are_those_of_the_signature_in_their_order(function: Callable[..., Any]) -> None:
    told = list(entries(section(inspect.getdoc(function) or "", "Parameters")))

    assert told == list(inspect.signature(function).parameters)


@pytest.mark.parametrize("record", RECORDS, ids=name_of)
def test_a_records_fields_are_told_in_their_order(record: Any) -> None:
    text = inspect.getdoc(record) or ""
    told = [*entries(section(text, "Parameters")), *entries(section(text, "Attributes"))]

    assert told == [field.name for field in fields(record)]


@pytest.mark.parametrize("value", PUBLIC, ids=name_of)
def test_units_in_brackets_are_those_in_the_names(value: Any) -> None:
    text = inspect.getdoc(value) or ""
    told = entries(section(text, "Parameters")) | entries(section(text, "Attributes"))

    assert wrong_units(told) == []


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_a_number_that_is_returned_has_its_unit(function: Callable[..., Any]) -> None:
    returns = section(inspect.getdoc(function) or "", "Returns")

    if NUMBER.search(returns.partition("\n")[0]):
        assert re.search(r"\[[^\]]+\](?!_)", returns), returns


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_every_law_shows_an_example(function: Callable[..., Any]) -> None:
    """It runs with the doctests."""
    text = inspect.getdoc(function) or ""
    returns_nothing = inspect.signature(function).return_annotation in {None, "None"}

    assert ">>> " in text or returns_nothing


@pytest.mark.parametrize("function", FUNCTIONS, ids=name_of)
def test_references_are_numbered_and_used(function: Callable[..., Any]) -> None:
    text = inspect.getdoc(function) or ""
    listed = re.findall(r"^\.\. \[(\d+)\]", section(text, "References"), re.MULTILINE)
    used = set(re.findall(r"\[(\d+)\]_", text))

    assert listed == [str(number) for number in range(1, len(listed) + 1)]
    assert used <= set(listed)


@pytest.mark.parametrize("name", [one for one in MODULES if one != "ranges"])  # holds no law
def test_each_module_of_laws_says_what_it_leaves_out(name: str) -> None:
    told = inspect.getdoc(importlib.import_module(f"pourwright.materials.{name}")) or ""
    without = " ".join(told.split()).partition("What this page leaves out")[2]

    assert len(without) > 20, "write a paragraph 'What this page leaves out: ...'"


# --- the checks themselves


def test_a_wrong_unit_is_found() -> None:
    text = (
        "wall_mm : float\n    The wall. [m]\nshare : float\n    A share.\nname : str\n    A name."
    )

    assert wrong_units(entries(text)) == [
        "wall_mm ends in mm and tells ['m']",
        "share is a number and tells no unit",
    ]


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("dry_kg_per_l", "kg/l"),
        ("water_kg", "kg"),
        ("volume_l", "l"),
        ("share", None),
        ("kg", "kg"),
    ],
)
def test_the_longest_end_of_a_name_is_its_unit(name: str, unit: str | None) -> None:
    assert unit_of(name) == unit


def test_many_laws_are_looked_at() -> None:
    assert len(FUNCTIONS) > 60
    assert len(RECORDS) > 20
