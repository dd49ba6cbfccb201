"""The sample studio: on any day there is one edition closed, one half way and one planned."""

from datetime import UTC, datetime

import pytest

from pourwright.briefs.folder import brief_here, briefs
from pourwright.errors import BadInput
from pourwright.ledger.documents import MoldDoc
from pourwright.studio.answers import owed, planned_editions, stages
from pourwright.studio.book import open_book, verify_book
from pourwright.studio.sample import ZONE, in_days, lay_out_sample
from pourwright.studio.shelf import drying_of, weighed_of

DAYS = ["2026-11-25", "2032-02-29", "2036-01-01", "2036-08-03"]


def laid_out(folder, day):
    now = datetime.fromisoformat(day).replace(hour=9, tzinfo=UTC)
    lay_out_sample(folder, now)
    return now


@pytest.fixture(scope="module", params=DAYS)
def studio(request, tmp_path_factory):
    """Return a studio that is only read, and the time it was laid out for."""
    folder = tmp_path_factory.mktemp("sample") / "studio"
    return folder, laid_out(folder, request.param)


def test_one_is_closed_one_is_half_way_and_one_is_planned(studio):
    folder, now = studio
    book = open_book(folder, create=False)
    with book.store, book.reading() as reading:
        states = {one.edition: one.state for one in planned_editions(reading.things)}
        jug = owed(reading.things, "fern-jug")
        ware = stages(reading.things, "fern-jug")
        last = max(one.at for one in reading.entries())
        assert verify_book(book).faults == ()

    assert states == {"moth-dish": "closed", "fern-jug": "declared", "gale-flask": "planned"}
    assert 0 < jug.numbers.to_make < jug.numbers.of
    assert jug.numbers.which == (4, 9)
    assert all(one.count for one in ware.stages)
    assert ware.in_the_kiln
    assert last < now.isoformat()


def test_its_briefs_can_be_read(studio):
    folder, now = studio
    for path in briefs(folder):
        here = brief_here(folder, path.stem, now.date())

        assert here.fault == ""
        assert here.brief.edition.id == path.stem
        assert here.studio.studio.name == "Seven Gulls Loft"


def test_its_weighings_are_those_of_its_briefs_molds(studio):
    """Between wet and dry by volume and mix; one that stopped losing water is dry by its mix."""
    folder, now = studio
    book = open_book(folder, create=False)
    with book.store, book.reading() as reading:
        for edition, label, is_dry in (("moth-dish", "M-001", True), ("fern-jug", "M-004", True), ("fern-jug", "M-007", False)):  # fmt: skip
            here = brief_here(folder, edition, now.date())
            rows = weighed_of(reading, edition, label, ZONE)
            told = drying_of(rows, here, "metric", ZONE, stopped=is_dry)
            assert told.wet_kg > rows[0].mass_kg > rows[-1].mass_kg >= told.dry_kg
            assert (rows[-1].mass_kg < 1.01 * told.dry_kg) == is_dry
            assert "its mix says" not in told.says


def test_no_more_than_ten_molds_and_not_two_hundred_pieces(studio):
    book = open_book(studio[0], create=False)
    with book.store, book.reading() as reading:
        known = planned_editions(reading.things)
        molds = [len(reading.things.of(MoldDoc, one.edition)) for one in known]

    assert sum(molds) < 10
    assert sum(one.pieces for one in known) < 200


def test_a_studio_that_is_there_stays_as_it_is(tmp_path):
    folder = tmp_path / "studio"
    now = laid_out(folder, DAYS[0])
    (folder / "studio.toml").write_text("version = 1\n", encoding="utf-8")

    assert lay_out_sample(folder, now) == 0
    assert (folder / "studio.toml").read_text(encoding="utf-8") == "version = 1\n"


def test_a_folder_with_something_else_in_it_is_refused(tmp_path):
    (tmp_path / "letters.txt").write_text("dear", encoding="utf-8")

    with pytest.raises(BadInput, match="write a folder that is empty"):
        lay_out_sample(tmp_path, datetime(2026, 11, 25, 9, tzinfo=UTC))
    assert [one.name for one in tmp_path.iterdir()] == ["letters.txt"]


def test_days_are_counted_over_weekends():
    """2036-03-03 is a Monday (ISO 8601 week 10 of 2036)."""
    monday = datetime(2036, 3, 3, tzinfo=UTC).date()

    assert in_days("{1} {5} {6} {-1} {-5}", monday) == (
        "2036-02-29 2036-02-25 2036-02-22 2036-03-04 2036-03-10"
    )
