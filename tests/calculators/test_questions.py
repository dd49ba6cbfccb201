"""Every question at the bench: read, answered, drawn, written as JSON."""

import json
import re
import subprocess
import sys
from datetime import date
from functools import cache
from typing import get_args

import jsonschema
import pytest

from pourwright.calculators import plaster, shared
from pourwright.calculators.guide import THE_DAY
from pourwright.calculators.question import Ask
from pourwright.calculators.reading import OWN_KINDS
from pourwright.calculators.schema import (
    as_json,
    figure_schema,
    json_text,
)
from pourwright.calculators.table import SUBJECTS, ask, find_question
from pourwright.calculators.words import as_sections, figure_text
from pourwright.errors import BadInput, StudioError
from pourwright.fields import HOUSE_UNIT
from pourwright.materials.casting.shapes import Shape, Solid
from pourwright.materials.kiln.cones import Chart, Kind
from pourwright.materials.ware.shrinkage import FiredOn
from pourwright.reading import Sheet, read_one

QUESTIONS = [find_question(one) for one in SUBJECTS]
each_question = pytest.mark.parametrize("question", QUESTIONS, ids=SUBJECTS)
UNITS = ("metric", "us")
HEAVY = ("numpy", "scipy", "pint", "holidays", "rich")


def told(question, example, **more):
    return ask(question.id, example, today=THE_DAY, **more)


@cache
def answers(subject):
    """Return every example of a question with its units, what was told and the answer."""
    question = find_question(subject)
    return [
        (example, units, *told(question, example, units=units))
        for example in question.examples
        for units in UNITS
    ]


# --- the tables


@each_question
def test_a_question_has_examples_and_its_groups_name_asks(question):
    names = {one.name for one in question.asks}

    assert len(names) == len(question.asks)
    assert question.examples
    assert question.words.endswith(".")
    for group in (*question.one_of, *question.at_most_one, *question.together):
        assert {one.name for one in group} <= names


LAWS_CHOICES = {"Kind": Kind, "Chart": Chart, "Shape": Shape, "Solid": Solid, "FiredOn": FiredOn}


def spelled(value, *, many=False):
    """Return the type of a value as an ask's annotation spells it."""
    if many:
        return f"tuple[{spelled(value[0])}, ...]"
    if isinstance(value, tuple):
        return f"tuple[{', '.join(map(spelled, value))}]"
    return type(value).__name__


@each_question
def test_what_an_ask_reads_is_of_the_type_it_is_given_out_as(question):
    """The checker of types takes an ask's word for it; a whole number told as a float would pass."""
    module = sys.modules[f"pourwright.calculators.{question.id}"]
    types = shared.__annotations__ | module.__annotations__
    asks = {name: one for name, one in vars(module).items() if isinstance(one, Ask)}

    assert sorted(one.name for one in asks.values()) == sorted(one.name for one in question.asks)
    for name, one in asks.items():
        sheet = Sheet("", THE_DAY, "metric", example_units="metric")
        raw = "yes" if one.kind == "yes or no" else one.example
        value = read_one(raw, one, one.option, sheet, OWN_KINDS)
        told = types[name].removeprefix("Ask[").removesuffix("]")
        if told in LAWS_CHOICES:
            assert set(get_args(LAWS_CHOICES[told])) == set(one.choices)
        else:
            assert told == spelled(value, many=one.many), name


def test_the_tables_load_nothing_heavy():
    code = (
        "import sys; from pourwright.calculators.table import all_questions; list(all_questions());"
        f"print([n for n in {HEAVY!r} if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"


# --- answers


@each_question
def test_an_answer_has_words_ranges_and_sources_and_fits_the_schema(question):
    schema = jsonschema.Draft202012Validator(figure_schema())
    for example, _, given, answer in answers(question.id):
        data = json.loads(json_text(question, given, answer))

        schema.validate(data)
        assert data == as_json(question, given, answer), example
        assert answer.says.strip().endswith((".", "?")), example
        assert answer.sources, example
        assert answer.ranges, example
        assert [one["typed"] for one in data["given"] if one["from"] == "typed"], example


@each_question
def test_a_figure_ends_in_its_unit_and_lies_in_its_range(question):
    for example, _, _, answer in answers(question.id):
        names = [one.name for one in answer.figures]

        assert len(set(names)) == len(names), example
        for one in answer.figures:
            if one.dimension in ENDS:
                assert one.name.endswith(ENDS[one.dimension]), one.name
                assert one.unit == HOUSE_UNIT[one.dimension], one.name
            if isinstance(one.value, float) and one.low is not None:
                assert one.low <= one.value * (1 + 1e-9) + 1e-12, (one.name, example)
                assert one.value <= one.high * (1 + 1e-9) + 1e-12, (one.name, example)


ENDS = {
    "mass": "_kg", "volume": "_l", "length": "_mm", "area": "_m2", "duration": "_min",
    "days": "_days", "temperature": "_c", "power": "_kw", "energy": "_kwh",
    "liter weight": "_g_per_l", "density": "_kg_per_l", "coat": "_g_per_m2",
}  # fmt: skip


@each_question
def test_an_answer_is_drawn(question):
    for example, units, given, answer in answers(question.id):
        sections = as_sections(question, given, answer)

        assert [one.id for one in sections][:2] == ["answer", "rests-on"], example
        assert all(figure_text(one, units) for one in answer.figures), example
        assert "nan" not in repr(sections).lower().split(), example


METRIC = r"\d ?(?:kg|g|l|ml|mm|cm|m2|m3)\b(?!/kg)|: [0-9]+ °C|\b(?:liter|kilogram)\b"


@each_question
def test_a_us_answer_reads_us(question):
    """Weights, volumes, sizes and degrees; where a law holds, and others' limits, are in theirs."""
    for example, units, _, answer in answers(question.id):
        if units == "us" and question.id != "limits":
            shown = [f"{one.label}: {figure_text(one, units)}" for one in answer.figures]
            for text in (answer.says, *answer.notes, *shown):
                assert not re.search(METRIC, text), (example, text)


@each_question
def test_an_answer_never_calls_anything_safe_to_touch(question):
    for _, _, given, answer in answers(question.id):
        text = json_text(question, given, answer).lower()

        assert not re.search(r"(?<!call )safe to (?:touch|handle)", text)


# --- bad input


@pytest.mark.parametrize(
    ("question_id", "typed", "said"),
    [
        ("plaster", {}, "--volume, --water-fill, --plaster-left, --dry-mass or --mix-water is missing; give one of them."),
        ("plaster", {"volume": "2 l", "dry_mass": "3 kg"}, "--volume is told beside --dry-mass; give one of"),
        ("plaster", {"volume": "2"}, '--volume is "2"; a number alone does not say which unit'),
        ("plaster", {"volume": "2 pt"}, 'say which: "2 US pt" or "2 imperial pt"'),
        ("plaster", {"volume": "2,5 l"}, 'a comma can be read in two ways; write "2.5 l" or "2500 l"'),
        ("plaster", {"volume": "2 kg"}, "that is a mass, and a volume belongs here"),
        ("plaster", {"volum": "2 l"}, 'volum is "2 l"; nothing of that name is asked. Did you mean volume?'),
        ("plaster", {"volume": "-2 l"}, '--volume is "-2 l"; it must be between 5 ml and 5000 l.'),
        ("plaster", {"volume": "2 l", "consistency": "0.7"}, "A ratio of 0.7 is written 70."),
        ("plaster", {"volume": "2 l", "consistency": "70,5"}, "Write 70.5 or 705, whichever is meant."),
        ("plaster", {"volume": "2 l", "own_batch": ["3 kg"]}, 'write it such as "3 kg fills 3.3 l"'),
        ("plaster", {"volume": "2 l", "own_batch": ["3 kg fills 3 l", "3 kg fills nan l"]}, "--own-batch[2]"),
        ("plaster", {"volume": "2 l", "yield": "2.4"}, "It is liters of mix from a kilogram of plaster"),
        ("plastr", {}, 'the subject is "plastr"; it must be one of'),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_a_sentence_that_can_be_acted_on(question_id, typed, said):
    with pytest.raises(StudioError, match=re.escape(said)):
        ask(question_id, typed, today=THE_DAY)


def test_everything_wrong_is_told_at_once():
    with pytest.raises(BadInput) as refused:
        ask("plaster", {"volume": "x", "spare": "-1 %", "color": "red"}, today=THE_DAY)

    assert len(refused.value.complaints) == 3


# --- where a value came from


@pytest.fixture
def studio(tmp_path):
    path = tmp_path / "studio.toml"
    path.write_text(
        'version = 1\n[studio]\nunits = "us"\n[plaster]\nconsistency = 75\nscale_step = "1 oz"\n'
        "[kiln]\nloads_a_week = 2\n"
    )
    return path


def test_a_studio_tells_what_was_not_typed_and_whose_pint_it_is(studio):
    given, _ = ask("plaster", {"volume": "2 qt"}, today=THE_DAY, studio=studio)

    assert given[plaster.CONSISTENCY] == 75
    assert given.told["consistency"].by == "studio"
    assert given[plaster.VOLUME] == pytest.approx(1.892706, abs=1e-6)
    assert given.units == "us"


def test_what_is_typed_goes_before_the_studio(studio):
    given, _ = ask(
        "plaster", {"volume": "2 l", "consistency": "68"}, "metric", today=THE_DAY, studio=studio
    )

    assert given[plaster.CONSISTENCY] == 68
    assert given.told["consistency"].by == "typed"
    assert given.told["spare"].by == "default"
    assert given.units == "metric"


@pytest.mark.parametrize(
    ("typed", "units"), [("2 US qt", "us"), ("3.2 l", "metric"), ("3 imperial pt", "metric")]
)
def test_the_answer_is_shown_in_the_units_that_were_typed(typed, units):
    given, _ = ask("plaster", {"volume": typed}, today=THE_DAY)

    assert given.units == units


def test_a_bare_pint_is_never_taken_for_a_us_one_because_of_a_pound_beside_it():
    with pytest.raises(BadInput, match="say which"):
        ask("plaster", {"volume": "2 pt", "scale_step": "1 oz"}, today=THE_DAY)


# --- readers


def one_ask(kind, **more):
    return Ask(name="it", kind=kind, meaning="It.", example="1", **more)


@pytest.mark.parametrize(
    ("one", "typed", "value"),
    [
        (one_ask("row", row=("length", "in", "duration")), "5 mm in 12 min", (5.0, 12.0)),
        (one_ask("row", row=("length", "in", "duration")), "1/4 in in 12 min", (6.35, 12.0)),
        (one_ask("row", row=("when", "mass")), "2026-11-20 3.41 kg", None),
        (one_ask("row", row=("fraction", "gives", "duration")), "0.25 % gives 45 s", (0.0025, 0.75)),
        (one_ask("row", row=("whole", "at", "number")), "3 at 2.5", (3, 2.5)),
        (one_ask("yes or no"), "yes", True),
        (one_ask("whole"), "12", 12),
        (one_ask("date"), "2027-02-14", date(2027, 2, 14)),
        (one_ask("cone"), "06", "06"),
        (one_ask("number", many=True), "1; 2.5", (1.0, 2.5)),
    ],
)  # fmt: skip
def test_each_kind_is_read(one, typed, value):
    read = read_one(typed, one, one.option, Sheet("", THE_DAY), OWN_KINDS)
    if value is None:
        assert (read[0].isoformat(), read[1]) == ("2026-11-20T12:00:00", 3.41)
    else:
        assert read == pytest.approx(value) if isinstance(value, tuple) else read == value


# --- numbers that are shown


@pytest.mark.parametrize(
    ("value", "unit", "shown_as"),
    [
        (16.547, "MPa", "2400 psi"),  # a US supplier prints 2400 psi, its maker 16.5 MPa
        (1.699, "m3/h", "1.00 cu ft/min"),
        (2326.0, "kJ/kg of water", "1000 Btu/lb of water"),
        (2.0864, "l/kg", "1.00 qt/lb"),
        (1000.0, "hPa", "1000 hPa"),
    ],
)
def test_a_number_without_a_dimension_is_shown_in_us_units_too(value, unit, shown_as):
    """Definitions of the inch, pound, US quart and international Btu."""
    from pourwright.calculators.rates import show_number

    digits = 4 if value > 1000 else 2 if unit == "MPa" else 3
    assert show_number(value, unit, "us", digits) == shown_as
