"""What plaster is to be bought, for all editions in work together."""

from datetime import UTC, datetime

import pytest
from pytest import approx

from pourwright.briefs.reading import read_brief
from pourwright.ledger.documents import EditionDoc
from pourwright.studio.commands import open_studio_book
from pourwright.studio.deliveries import (
    EditionToPour,
    left_of_plaster,
    plaster_need,
    plaster_of_a_mold_kg,
    there_by_the_book,
)
from tests.bench_studio import BRIEF, lay_out, planned

NOW = datetime(2031, 5, 6, 12, 0, tzinfo=UTC)
SPARE = 1.05
"""The studio mixes 5 % to spare."""


@pytest.fixture
def studio(tmp_path):
    """Yield two editions of one brief in one studio: its book, and what pours."""
    folder = lay_out(tmp_path)
    other = BRIEF.replace("reed-bowl", "fen-bowl").replace("Reed bowl", "Fen bowl")
    (folder / "editions" / "fen-bowl.toml").write_text(other, encoding="utf-8")
    book = open_studio_book(folder)
    for edition, name in (("reed-bowl", "Reed bowl"), ("fen-bowl", "Fen bowl")):
        book.do(planned() | {"id": f"plan-{edition}", "edition": edition, "name": name}, NOW)
    yield folder, book
    book.store.close()


def need(studio):
    """Return what is to be bought."""
    folder, book = studio
    with book.reading() as reading:
        pouring = [
            EditionToPour(
                reading.things.get(EditionDoc, name),
                *read_brief(folder / "editions" / f"{name}.toml", NOW.date()),
            )
            for name in ("reed-bowl", "fen-bowl")
        ]
        return plaster_need(reading.things, pouring)


def test_two_editions_need_what_each_of_them_needs(studio):
    found = need(studio)
    folder, _ = studio
    a_mold_kg = plaster_of_a_mold_kg(
        *read_brief(folder / "editions" / "reed-bowl.toml", NOW.date())
    )

    # Villavecchia, Treatise on Applied Analytical Chemistry 1, p. 176: a liter of the powder
    # weighs 2.68 kg, so that a kilogram with 0.7 l of water makes 0.7 + 1 / 2.68 l of mix.
    assert a_mold_kg == approx(3.2 / (0.7 + 1 / 2.68), rel=0.005)
    assert found.molds == (("Reed bowl", 6), ("Fen bowl", 6))
    assert found.need_kg == approx(12 * a_mold_kg * SPARE)
    assert (found.there_kg, found.bag_kg, found.bags) == (0, 25, 2)


def test_a_lot_that_is_enough_for_both_is_enough(studio):
    _, book = studio
    book.do({"do": "mix-lot", "id": "lot", "what": "plaster", "mass": "50 kg"}, NOW)

    assert need(studio) is None  # twelve molds of some three kilograms each


def test_what_the_other_edition_took_is_missed(studio):
    folder, book = studio
    told = read_brief(folder / "editions" / "reed-bowl.toml", NOW.date())
    a_mold_kg = SPARE * plaster_of_a_mold_kg(*told)
    book.do({"do": "mix-lot", "id": "lot", "what": "plaster", "mass": "25 kg"}, NOW)
    book.do(
        {"do": "pour", "id": "p", "edition": "fen-bowl", "count": 6, "lot": "B-001", "go_on": True},
        NOW,
    )
    found = need(studio)

    assert found.molds == (("Reed bowl", 6),)
    assert found.there_kg == approx(25 - 6 * a_mold_kg)
    assert found.need_kg == approx(6 * a_mold_kg)
    assert found.bags == 1


def test_nothing_is_bought_when_all_molds_are_poured(studio):
    _, book = studio
    for edition in ("reed-bowl", "fen-bowl"):
        book.do(
            {"do": "pour", "id": f"p-{edition}", "edition": edition, "count": 6, "go_on": True}, NOW
        )

    assert need(studio) is None


def test_a_plan_buys_less_by_the_plaster_and_the_rubber_that_lie_there(studio):
    """Of a lot of 25 kg the edition's own six molds are taken off; a kit of rubber is whole."""
    folder, book = studio
    told = read_brief(folder / "editions" / "reed-bowl.toml", NOW.date())
    taken_kg = 6 * SPARE * plaster_of_a_mold_kg(*told)
    book.do({"do": "mix-lot", "id": "bag", "what": "plaster", "mass": "25 kg"}, NOW)
    book.do({"do": "mix-lot", "id": "kit", "what": "rubber", "mass": "4 kg"}, NOW)
    book.do(
        {
            "do": "pour",
            "id": "p",
            "edition": "reed-bowl",
            "count": 6,
            "lot": "B-001",
            "go_on": True,
        },
        NOW,
    )
    with book.reading() as reading:
        there = there_by_the_book(reading.things, "reed-bowl", *told)

    assert there == {"plaster": approx(25 - taken_kg), "rubber": 4.0}


def test_what_is_left_of_a_lot_is_told_by_its_molds_or_not_at_all(studio):
    """Of 25 kg four molds are taken off; an edition whose brief is not at hand tells nothing."""
    folder, book = studio
    told = read_brief(folder / "editions" / "reed-bowl.toml", NOW.date())
    book.do({"do": "mix-lot", "id": "bag", "what": "plaster", "mass": "25 kg"}, NOW)
    book.do({"do": "mix-lot", "id": "scoop", "what": "plaster"}, NOW)
    pour = {"do": "pour", "lot": "B-001", "go_on": True}
    book.do(pour | {"id": "p", "edition": "reed-bowl", "count": 4}, NOW)
    both = ["reed-bowl", "fen-bowl"]
    with book.reading() as reading:
        things = reading.things
        reed = EditionToPour(things.get(EditionDoc, "reed-bowl"), *told)
        left = left_of_plaster(things, "B-001", [reed], both)
        assert left_of_plaster(things, "B-002", [reed], both) is None  # of no known mass
    assert left.held_kg == 25
    assert left.left_kg == approx(25 - 4 * SPARE * plaster_of_a_mold_kg(*told))
    book.do(pour | {"id": "q", "edition": "fen-bowl", "count": 1}, NOW)
    with book.reading() as reading:
        assert left_of_plaster(reading.things, "B-001", [reed], both) is None
