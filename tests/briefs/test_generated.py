"""No file whatever, right, half right or noise, raises anything but our errors."""

from __future__ import annotations

import dataclasses
import json
import math
import tempfile
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.fields import FileField
from pourwright.briefs.reading import read_brief
from pourwright.errors import BadInput
from pourwright.quantities import show
from pourwright.units import _LIQUIDS, _UNITS
from tests.ledger.toy import rounds

TODAY = date(2031, 3, 3)
Data = dict[str, Any]


# --- TOML out of anything


def toml(data: Data) -> str:
    """Return tables as TOML: the plain values first, then every table inline."""
    return "".join(f"{json.dumps(str(key))} = {value_text(value)}\n" for key, value in data.items())


def value_text(value: object) -> str:
    if isinstance(value, dict):
        inside = ", ".join(
            f"{json.dumps(str(key))} = {value_text(one)}" for key, one in value.items()
        )
        return f"{{{inside}}}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(value_text(one) for one in value)}]"
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return json.dumps(value).replace("\x7f", "\\u007f")


def outcome(edition: str | bytes, studio: str | bytes) -> object:
    """Read the two files; return the records, or the error if it is one of ours."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in (("edition.toml", edition), ("studio.toml", studio)):
            data = text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
            (Path(folder) / name).write_bytes(data)
        try:
            return read_brief(Path(folder) / "edition.toml", TODAY)
        except BadInput as error:
            return error


def assert_sound(result: object) -> None:
    """Whatever was read is finite all through, and whatever is wrong is told in sentences."""
    if isinstance(result, BadInput):
        sentences = str(result).split("\n")
        assert len(sentences) == len(result.complaints)
        assert all(one.isprintable() and one.endswith((".", "?")) for one in sentences)
        return
    for record in result if isinstance(result, tuple) else (result,):
        if dataclasses.is_dataclass(record):
            assert_sound(tuple(getattr(record, one.name) for one in dataclasses.fields(record)))
        elif isinstance(record, tuple):
            assert_sound(record)
        elif isinstance(record, float):
            assert math.isfinite(record)


# --- what may be written


scalars = st.one_of(
    st.integers(-3, 200),
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.booleans(),
    st.text(max_size=12),
    st.dates(),
    st.datetimes(),
    st.sampled_from(
        ["today", "in 26 weeks", "unknown", "once", "6 lb 3 oz", "2,5 l", "100 %", "EUR", "24 EUR"]
    ),
)
anything = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=8,
)
quantities = st.builds(
    "{} {}".format,
    st.one_of(
        st.integers(-5, 5000),
        st.floats(0, 1e4),
        st.sampled_from(["1/2", "1 1/2", "2,5", "", "1e9"]),
    ),
    st.sampled_from(sorted([*_UNITS, *_LIQUIDS, "g/l", "oz/US pint", "EUR", "EUR/kg", "furlong"])),
)


def right_values(spec: FileField) -> st.SearchStrategy[Any]:
    """Return values that this field alone takes."""
    if spec.kind == "quantity" and spec.low is not None:
        high = spec.high if spec.high is not None else (spec.below or 1) * 0.9
        return st.floats(spec.low, high).map(lambda value: show(value, spec.dimension))
    if spec.kind in ("whole", "life") and not spec.many and spec.low is not None:
        return st.integers(int(spec.low), int(spec.high or 100))
    if spec.kind == "number":
        return st.floats(spec.low, spec.high)
    if spec.choices:
        return st.sampled_from(spec.choices)
    return st.sampled_from([one for one in (spec.example, spec.default) if one is not None])


def files(fields: tuple[FileField, ...], *, wild: bool) -> st.SearchStrategy[Data]:
    """Return tables with some of the fields set, to right values or to any."""
    plain = [one for one in fields if "[]" not in one.name]
    parts = [one for one in fields if "[]" in one.name]

    @st.composite
    def build(draw: st.DrawFn) -> Data:
        data: Data = {}
        chosen = draw(st.lists(st.sampled_from(plain), max_size=14, unique_by=lambda one: one.name))
        for spec in [*(one for one in plain if one.required), *chosen]:
            *tables, key = spec.name.split(".")
            here = data
            for table in tables:
                here = here.setdefault(table, {})
            right = right_values(spec)
            here[key] = draw(st.one_of(right, right, quantities, anything) if wild else right)
        if parts and draw(st.booleans()):
            entry = st.fixed_dictionaries(
                {},
                optional={
                    one.key: right_values(one) | anything if wild else right_values(one)
                    for one in parts
                },
            )
            data.setdefault("mold", {})["parts"] = draw(st.lists(entry, max_size=3))
        if wild and draw(st.booleans()):
            data[draw(st.text(max_size=6))] = draw(anything)
        return data

    return build()


# Fields that may be right alone and wrong beside another; they are left out where all must be read.
ENTANGLED = {
    "studio", "studio.region", "studio.currency", "time.public_holidays", "plaster.consistency",
    "plaster.yield_l_per_kg", "plaster.bucket", "plaster.mixer", "plaster.spare", "pouring.session",
    "pouring.setup", "pouring.mix_and_pour", "drying.days_low", "drying.days_high", "edition.proofs",
    "edition.molds", "edition.molds_at_most", "mold.shape", "mold.dry_mass", "mold.mix_water", "mold.batches", "mold.life", "mold.conditioning",
    "casting.fill", "casting.drained", "casting.test.wall", "casting.test.time",
    "dimensions.shrinkage.dry", "dimensions.shrinkage.fired", "dimensions.shrinkage.fired_on",
    "kiln.loads_a_week", "losses.casting", "losses.drying", "losses.bisque", "losses.glaze", "losses.third",
}  # fmt: skip


def untangled(fields: tuple[FileField, ...]) -> tuple[FileField, ...]:
    return tuple(
        one
        for one in fields
        if one.name not in ENTANGLED and one.kind != "money" and "[]" not in one.name
    )


@pytest.mark.rounds
@settings(max_examples=rounds(30, 100))
@given(
    files(untangled(edition_fields.FIELDS), wild=False),
    files(untangled(studio_fields.FIELDS), wild=False),
    st.floats(0.05, 9.0),
)
def test_right_files_are_read(edition, studio, dry_kg):
    edition["version"] = studio["version"] = 1
    edition.setdefault("mold", {})["dry_mass"] = show(dry_kg, "mass", step=0.001)
    studio.setdefault("kiln", {})["loads_a_week"] = 1

    result = outcome(toml(edition), toml(studio))

    assert isinstance(result, tuple), str(result)
    assert_sound(result)
    brief, room = result
    assert brief.edition.pieces == edition["edition"]["pieces"]
    assert abs(brief.mold.dry_mass_kg - dry_kg) <= 0.0005 * (1 + 1e-9)
    for data, origins, kind in (
        (edition, brief.origins, "brief"),
        (studio, room.origins, "studio"),
    ):
        for table, inside in data.items():
            if isinstance(inside, dict):
                assert {origins[f"{table}.{key}"].kind for key in inside} <= {kind}


@pytest.mark.rounds
@settings(max_examples=rounds(30, 100))
@given(files(edition_fields.FIELDS, wild=False), files(studio_fields.FIELDS, wild=False))
def test_right_values_are_read_or_the_conflict_is_told(edition, studio):
    edition["version"] = studio["version"] = 1
    edition.pop("studio", None)

    assert_sound(outcome(toml(edition), toml(studio)))


@pytest.mark.rounds
@settings(max_examples=rounds(30, 100))
@given(files(edition_fields.FIELDS, wild=True), files(studio_fields.FIELDS, wild=True))
def test_half_right_files_are_read_or_refused(edition, studio):
    assert_sound(outcome(toml(edition), toml(studio)))


@pytest.mark.rounds
@settings(max_examples=rounds(30, 100))
@given(st.dictionaries(st.text(max_size=8), anything, max_size=5))
@example({"edition": {"id": 3}, "mold": [{"parts": 1}], "studio": ["studio.toml"]})
@example({"version": 1, "mold": {"parts": [[]]}, "casting": {"test": 3}})
def test_any_tables_are_refused_in_our_words(data):
    result = outcome(toml(data), toml(data))

    assert isinstance(result, BadInput)
    assert_sound(result)


@pytest.mark.rounds
@settings(max_examples=rounds(30, 100))
@given(st.text(max_size=200))
@example("a" + ".a" * 5000 + " = 1")
@example("a = " + "{a = " * 400)
def test_any_text_is_refused_in_our_words(text):
    result = outcome(text, text)

    assert isinstance(result, BadInput)
    assert_sound(result)


@given(st.binary(max_size=200))
def test_any_bytes_are_refused_in_our_words(noise):
    assert isinstance(outcome(noise, noise), BadInput)
