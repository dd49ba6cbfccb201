"""A wrong entry stays visible; what followed is worked out and judged again."""

from __future__ import annotations

import pytest

from pourwright.errors import BadInput
from pourwright.ledger.replaying import effective, replay
from tests.ledger.desk import Desk, held, planned, with_finished, with_molds, with_ware


def test_a_voided_entry_stays_in_the_book_and_changes_what_is_true(tmp_path):
    desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all", each=3)
    assert desk.edition()["ware"]["greenware"] == 6

    answer = desk.do("correct", entry=cast["entry"], void=True, why="it was the other shelf")

    assert answer["said"] == f"Entry {cast['seq']} (cast) did not happen."
    assert desk.edition()["cast"] == 0
    assert desk.get("mold", "M-001")["first_cast"] is None
    entries = list(desk.book.entries())
    assert entries[cast["seq"] - 1].id == cast["entry"]
    assert entries[-1].corrects == cast["entry"]
    assert entries[-1].body["why"] == "it was the other shelf"
    assert desk.book.verify() == []


def test_a_changed_field_is_judged_at_its_own_place(tmp_path):
    desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all", each=3, good=6)
    desk.do("fire", firing="bisque", count=5)

    desk.do("correct", entry=cast["seq"], changes={"good": 5, "lost": "1 torn opening"})

    assert desk.edition()["lost"] == {"casting": {"torn opening": 1}}
    assert desk.edition()["ware"] == {"greenware": 0, "bisque": 5, "fired": 0, "finished": 0}
    refused = desk.refused("correct", entry=cast["seq"], changes={"good": 4, "lost": None})
    assert refused.sentences[0].startswith(
        "Entry 8 (fire, 1 Mar 2027) could then not stand: 5 pieces told"
    )


def test_a_count_so_far_is_worked_out_again(tmp_path):
    """ "14 so far" stays true when an entry before it was one too many."""
    desk = with_molds(tmp_path)
    first = desk.do("cast", molds="1", each=5)
    desk.do("count-casts", mold=1, casts=14)
    assert desk.edition()["cast"] == 14

    desk.do("correct", entry=first["seq"], changes={"each": 4})

    assert desk.get("mold", "M-001")["casts"] == 14
    assert desk.edition()["cast"] == 14 == held(desk.edition())


def test_all_is_resolved_again_only_when_it_is_typed_again(tmp_path):
    desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all except 3")
    desk.do("pour", count=1)

    desk.do("correct", entry=cast["seq"], changes={"molds": "all"})

    casts = [desk.get("mold", f"M-00{n}")["casts"] for n in (1, 2, 3, 4)]
    assert casts == [1, 1, 1, 0], "the fourth mold was poured later"


def test_labels_are_never_given_twice(tmp_path):
    desk = planned(tmp_path)
    poured = desk.do("pour", count=3)
    desk.do("correct", entry=poured["seq"], void=True)

    assert desk.do("pour", count=1)["made"] == ["M-004"]
    more = desk.do("pour", count=2)
    desk.do("correct", entry=more["seq"], changes={"count": 3})
    assert desk.get("mold", "M-007")["state"] == "in use", "two labels stay and one is new"
    desk.do("correct", entry=more["seq"], changes={"count": 1})
    assert desk.do("pour", count=1, go_on=True)["made"] == ["M-008"]
    assert desk.book.verify() == []


def test_a_correction_is_corrected_by_voiding_it(tmp_path):
    desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all", each=3)
    correction = desk.do("correct", entry=cast["seq"], void=True)

    refused = desk.refused("correct", entry=correction["seq"], changes={"each": 2})
    assert refused.sentences == (
        (
            f"Entry {correction['seq']} is a correction of entry {cast['seq']}: correct entry "
            f"{cast['seq']} itself again, or say of entry {correction['seq']} that it did not happen."
        ),
    )
    back = desk.do("correct", entry=correction["seq"], void=True)

    assert back["said"] == (
        f"Entry {correction['seq']} (correct) did not happen. "
        f"Entry {cast['seq']} says again: 9 casts: 6 good, 3 thrown away as first casts."
    )
    assert desk.edition()["cast"] == 9
    again = desk.do("correct", entry=cast["seq"], changes={"each": 2})
    assert desk.edition()["cast"] == 6
    desk.do("correct", entry=again["seq"], void=True)
    assert desk.edition()["cast"] == 9
    assert desk.book.verify() == []


def test_a_later_correction_begins_at_the_earlier_one(tmp_path):
    desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all", each=3)
    desk.do("correct", entry=cast["seq"], changes={"each": 2})
    desk.do("correct", entry=cast["seq"], changes={"lot": "S-001"})

    assert desk.edition()["cast"] == 6
    assert desk.get("tally", "tide-cup/lot/S-001")["cast"] == 6


def test_a_day_is_corrected(tmp_path):
    desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all")
    desk.do("correct", entry=cast["seq"], changes={"at": "2027-02-27"})

    assert desk.get("mold", "M-001")["last_cast"] == "2027-02-27"
    assert desk.get("tally", "tide-cup/day/2027-02-27")["cast"] == 3
    with pytest.raises(BadInput, match="to today"):
        desk.do("correct", entry=cast["seq"], changes={"at": "2036-01-01"})


def test_one_edition_is_worked_out_again_without_the_others(tmp_path):
    desk = with_ware(tmp_path)
    desk.do("plan-edition", edition="reed-cup", pieces=4)
    desk.do("pour", edition="reed-cup", count=1)
    desk.do("dry", molds="M-004")
    cast = desk.do("cast", molds="M-004", each=2)
    before = [row for row in desk.picture()[1] if row[2] == "tide-cup"]

    desk.do("correct", entry=cast["seq"], changes={"each": 5})

    assert [row for row in desk.picture()[1] if row[2] == "tide-cup"] == before
    assert desk.edition("reed-cup")["cast"] == 5


def test_a_studios_entry_is_corrected_too(tmp_path):
    desk = planned(tmp_path)
    mixed = desk.do("mix-lot", what="slip", name="white")
    desk.do("read-lot", lot="S-001", liter_weight="1750 g/l")
    desk.do("correct", entry=mixed["seq"], changes={"name": "white stoneware"})

    assert desk.get("lot", "S-001")["name"] == "white stoneware"
    refused = desk.refused("correct", entry=mixed["seq"], void=True)
    assert "no lot S-001" in refused.sentences[0]


def test_a_brief_may_be_corrected_as_long_as_the_rest_can_stand(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("correct", entry=1, changes={"name": "Tide beaker"})

    assert desk.edition()["name"] == "Tide beaker"
    refused = desk.refused("correct", entry=1, changes={"route": "once"})
    assert "its firings are glaze" in refused.sentences[0]
    refused = desk.refused("correct", entry=1, changes={"conditioning": 2})
    assert "could then not stand" in refused.sentences[0]


def test_undo_of_the_last_tap_is_a_correction(tmp_path):
    desk = with_finished(tmp_path)
    before = [row for row in desk.picture()[1] if row[2] == "tide-cup"]
    tap = desk.do("mark", numbers="1")

    desk.do("correct", entry=tap["entry"], void=True)

    assert [row for row in desk.picture()[1] if row[2] == "tide-cup"] == before


def test_effective_entries_are_those_that_count(tmp_path):
    desk: Desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all")
    desk.do("correct", entry=cast["seq"], void=True)
    entries = list(desk.book.entries("tide-cup"))

    assert cast["entry"] not in {one.id for one in effective(entries)}
    assert {one.kind for one in effective(entries)}.isdisjoint({"entry-corrected"})
    again = replay(desk.book.entries())
    assert sorted(again.rows()) == desk.picture()[1]
