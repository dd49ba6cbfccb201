"""Every field of a file, of a calculator and of the book: what it says, and what it reads."""

from __future__ import annotations

import dataclasses
import json
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

import pytest

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.read_field import OWN, read_file_value
from pourwright.calculators.question import Question
from pourwright.calculators.reading import OWN_KINDS
from pourwright.calculators.schema import json_text
from pourwright.calculators.table import all_questions, ask
from pourwright.errors import BadInput, StudioError
from pourwright.fields import Field
from pourwright.ledger.commands import reading as book
from pourwright.ledger.kinds.table import KINDS
from pourwright.reading import READERS, Sheet, read_one

TODAY = date(2031, 3, 3)
NUMBERS = ("quantity", "number", "whole", "loads a week", "slip weight", "water")


@dataclass(frozen=True)
class Table:
    """Some fields that are told together, how one is read, and how it is told beside the rest."""

    name: str
    fields: Sequence[Field]
    read: Callable[[Field, object, str], object]
    told: Callable[[Field, object], object]
    kinds: frozenset[str]


def file_table(name: str, fields: Sequence[Field]) -> Table:
    def read(one: Field, raw: object, units: str = "metric") -> object:
        country, currency = {"us": ("US", "USD")}.get(units, ("CH", "DKK"))
        if one.kind == "region" and raw == one.example_for(units):
            raw = {"CH": "ZH", "US": "VT"}[country]
        return read_file_value(raw, one, one.name, Sheet(name, TODAY, units, currency, country))

    return Table(name, fields, read, read, frozenset({*READERS, *OWN}))


def calculator_table(question: Question) -> Table:
    def read(one: Field, raw: object, units: str) -> object:
        return read_one(
            raw, one, one.option, Sheet("", TODAY, units, example_units=units), OWN_KINDS
        )

    def told(one: Field, raw: object) -> object:
        example: dict[str, object] = dict(question.examples[0])
        for group in (*question.one_of, *question.at_most_one):
            names = {other.name for other in group}
            if one.name in names:
                example = {name: value for name, value in example.items() if name not in names}
        given, answer = ask(question.id, example | {one.name: raw}, today=TODAY)
        return json.loads(json_text(question, given, answer))

    return Table(question.id, question.asks, read, told, frozenset({*READERS, *OWN_KINDS}))


def book_table(name: str, fields: Sequence[Field]) -> Table:
    def read(one: Field, raw: object, units: str = "") -> object:
        value = book.read_value(one, raw)
        assert not isinstance(value, float | tuple), "an entry holds decimal strings and lists"
        return json.loads(json.dumps(value, allow_nan=False))

    return Table(name, fields, read, read, frozenset({*READERS, *book.OWN}))


TABLES = [
    file_table("edition.toml", edition_fields.FIELDS),
    file_table("studio.toml", studio_fields.FIELDS),
    *map(calculator_table, all_questions()),
    *(book_table(kind.verb, kind.fields) for kind in KINDS),
]
every_table = pytest.mark.parametrize("table", TABLES, ids=lambda one: one.name)


@every_table
def test_a_field_says_what_it_is_and_what_holds_without_it(table):
    assert len({one.name for one in table.fields}) == len(table.fields)
    for one in table.fields:
        assert re.fullmatch(r"(?:[a-z_]+(?:\[\])?\.)*[a-z][a-z0-9_]*", one.name)
        assert re.fullmatch(r"[A-Z].{2,}\.", one.meaning), one.meaning
        assert one.kind in table.kinds
        assert one.source or one.default in (None, []), f"{one.name}: a default has a source"
        if one.kind in NUMBERS and one.name != "version":
            assert one.low is not None, f"{one.name} has no limits"
            assert one.low < (one.high or one.below or math.inf)
        assert bool(one.choices) == (one.kind in ("choice", "counts"))
        assert bool(one.dimension) == (one.kind in ("quantity", "box", "slip weight", "water"))


@every_table
@pytest.mark.parametrize("units", ["metric", "us"])
def test_examples_and_defaults_can_be_read(table, units):
    for one in table.fields:
        for value in (one.example_for(units), one.default_for(units)):
            if value is not None:
                table.read(one, value, units)


NONSENSE: tuple[Any, ...] = (
    b"x", object(), True, 0, -1, 1.5, -1e5, 10**400, -(10**400), math.nan, math.inf, [], [[]], [None], {}, {"": None},
    {"all": True}, ["x", "x"], ["1 kg", 2], TODAY, datetime(2031, 3, 3, 12, tzinfo=UTC), *"0 x ; % -- ٣ ½ \x00 \ud800 \u202e".split(),
    "", " ", "\n", "nan", "inf", "-inf", "NaN kg", "1e999 kg", "-1", "-3 kg", "-2.5 l", "0 kg", "0 l", "9" * 60,
    "9" * 60 + " kg", "0." + "0" * 60 + "1 kg", "x" * 100_000, "1/0 kg", "2,5 l", "1,000", "½ kg", "1 1/2 l", "true",
    "None", "[]", "5 mm in 12 min", "3 kg fills nan l", "2027-13-45", "0000-00-00", "in 9999 weeks", "1 %", "100 %",
    "-40 F", "1000 C", "1 kg in 2 l", "2027-03-01 25:00 3 kg", "70", "1750 g/l", "28 oz/pint", "180 g/l", "1 K", "1e5",
    "1e400", "0x10", "٣ kg", "1 day", "1 min", "5 mm", "20 C", "45 %", "420 XYZ", "-4 EUR", "all except", "9-1",
    "1-999999999", "a\x1b[2Jb", "M-1'; DROP TABLE entry;--", "../../etc/passwd", "Ünïcödé",
)  # fmt: skip


@every_table
def test_nonsense_is_refused_in_a_sentence_or_read_as_something_sound(table):
    """Nothing but our own errors leaves a field, and no number that is none enters."""
    for one in table.fields:
        for raw in NONSENSE:
            try:
                assert_sound(table.told(one, raw))
            except BadInput as error:
                for said in error.complaints:
                    assert said.sentence().isprintable(), (one.name, raw)
                    assert re.search(r"[.?]$", said.sentence()), (one.name, raw)
            except StudioError:
                pass  # the number is read, and a law says why it cannot be


def assert_sound(value: object) -> None:
    if isinstance(value, float):
        assert math.isfinite(value)
    elif dataclasses.is_dataclass(value):
        assert_sound([getattr(value, one.name) for one in dataclasses.fields(value)])
    elif isinstance(value, list | tuple):
        for one in value:
            assert_sound(one)
    elif isinstance(value, dict):
        json.dumps(value, allow_nan=False)


@every_table
def test_what_is_no_number_is_refused_by_its_name(table):
    kinds = (*NUMBERS, "rate", "row", "date", "money", "choice", "cone")
    for one in (one for one in table.fields if one.kind in kinds):
        for raw in ("nan", "inf", "", "-1e5", "1e400", math.nan, math.inf):
            with pytest.raises(BadInput) as refused:
                table.read(one, [raw] if one.many else raw, "metric")
            assert refused.value.complaints[0].path.startswith((one.name, one.option))


@pytest.mark.parametrize(
    ("kind", "raw", "right"),
    [
        ("whole", "many", "it must be a whole number( from [0-9]+ to [0-9]+)?, such as "),
        ("number", "many", "it must be a number alone, such as "),
        ("quantity", "heaps", "write a[a-z ]+ as a number and its unit, such as "),
        ("quantity", "-999 C", "(that is a temperature, and |it must be between )"),
        ("choice", "gold", 'it must be one of "'),
        ("text", "a\x07b", "it must be one line of 1 to [0-9]+ letters, such as "),
        ("yes or no", "ja", 'it must be ("yes" or "no"|true or false, without quotes)'),
        ("date", "soon", 'write a date such as "2027-03-01"'),
        ("money", "420", "write an amount and its currency, such as "),
    ],
)
def test_one_mistake_has_one_sentence_in_every_room(kind, raw, right):
    fields = [(table, one) for table in TABLES for one in table.fields if one.kind == kind]

    assert fields
    for table, one in fields:
        with pytest.raises(BadInput) as refused:
            table.read(one, [raw] if one.many else raw, "metric")
        assert re.match(right, refused.value.complaints[0].right), (table.name, one.name)


@every_table
@pytest.mark.parametrize("units", ["metric", "us"])
def test_what_a_sentence_says_to_write_is_then_read(table, units):
    kinds = ("quantity", "slip weight", "water")
    for one in (one for one in table.fields if one.kind in kinds and not one.many):
        commas = "1,7" if one.dimension == "liter weight" else "4,8"
        for typed in (commas, "0,5", "1,234,567", "480", "480.5", "heaps"):
            with pytest.raises(BadInput) as refused:
                table.read(one, typed, units)
            (told,) = refused.value.complaints
            for text in re.findall(r'"([^"]+)"', f"{told.right} {told.hint}"):
                again = why_refused(table, one, text, units)
                # what is more or less than the field takes is read all the same
                is_read = again is None or ("it must be" in again and "such as" not in told.right)
                assert is_read, (one.name, told.sentence(), again)


def why_refused(table: Table, field: Field, text: str, units: str) -> str | None:
    try:
        table.read(field, text, units)
    except BadInput as error:
        return error.complaints[0].right
    return None
