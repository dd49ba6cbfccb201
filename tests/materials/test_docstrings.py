"""The docstring is the manual page: its parameters and units are those of the signature."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
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


MODULES = [
    info.name.removeprefix("pourwright.materials.")
    for info in pkgutil.walk_packages(pourwright.materials.__path__, "pourwright.materials.")
    if not info.ispkg
]


def public() -> list[Any]:
    """Return every public function and record of the part."""
    found: list[Any] = []
    for part in MODULES:
        module = importlib.import_module(f"pourwright.materials.{part}")
        for name, value in vars(module).items():
            mine = getattr(value, "__module__", "") == module.__name__
            if (
                mine
                and not name.startswith("_")
                and (inspect.isfunction(value) or is_dataclass(value))
            ):
                found.append(value)
    return found


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


def text_of(value: Any) -> str:
    return inspect.getdoc(value) or ""


def numbering(text: str) -> tuple[list[str], set[str]]:
    """Return the numbers of the listed references, and those that the text uses."""
    listed = re.findall(r"^\.\. \[(\d+)\]", section(text, "References"), re.MULTILINE)
    return listed, set(re.findall(r"\[(\d+)\]_", text))


def returns_without_unit(text: str) -> bool:
    """Return whether a number comes back and no brackets tell its unit."""
    returns = section(text, "Returns")
    is_number = NUMBER.search(returns.partition("\n")[0])
    return bool(is_number) and not re.search(r"\[[^\]]+\](?!_)", returns)


def test_parameters_are_those_of_the_signature_in_their_order() -> None:
    told = {name_of(one): list(entries(section(text_of(one), "Parameters"))) for one in FUNCTIONS}

    assert told == {name_of(one): list(inspect.signature(one).parameters) for one in FUNCTIONS}


def test_a_records_fields_are_told_in_their_order() -> None:
    headings = ("Parameters", "Attributes")
    told = {
        name_of(one): [name for each in headings for name in entries(section(text_of(one), each))]
        for one in RECORDS
    }

    assert told == {name_of(one): [field.name for field in fields(one)] for one in RECORDS}


def test_units_in_brackets_are_those_in_the_names() -> None:
    wrong = {}
    for one in PUBLIC:
        text = text_of(one)
        told = entries(section(text, "Parameters")) | entries(section(text, "Attributes"))
        wrong[name_of(one)] = wrong_units(told)

    assert {name: units for name, units in wrong.items() if units} == {}


def test_a_number_that_is_returned_has_its_unit() -> None:
    assert [name_of(one) for one in FUNCTIONS if returns_without_unit(text_of(one))] == []


def test_every_law_shows_an_example() -> None:
    """It runs with the doctests."""
    without = [
        name_of(one)
        for one in FUNCTIONS
        if ">>> " not in text_of(one)
        and inspect.signature(one).return_annotation not in {None, "None"}
    ]

    assert without == []


def test_references_are_numbered_and_used() -> None:
    wrong = []
    for one in FUNCTIONS:
        listed, used = numbering(text_of(one))
        in_order = [str(number) for number in range(1, len(listed) + 1)]
        if listed != in_order or not used <= set(listed):
            wrong.append((name_of(one), listed, sorted(used)))

    assert wrong == []


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
