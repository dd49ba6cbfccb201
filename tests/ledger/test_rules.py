"""Each rule of the book, by name: refused with its sentence, and nothing is written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pourwright.errors import StudioError
from pourwright.ledger import corrections
from pourwright.ledger.kinds.table import KINDS
from pourwright.ledger.rules.table import FIRST, RULES
from tests.ledger.desk import Desk, planned, with_finished, with_molds, with_ware

Start = Callable[[Path], Desk]
Commands = list[dict[str, Any]]


def c(do: str, **fields: Any) -> dict[str, Any]:
    return {"do": do, **fields}


E = {"edition": "tide-cup"}
SPARE = [c("pour-part", **E, part="left half", lot="B-001")]
MARKED = [c("mark", numbers="1-3")]
LOST = [*MARKED, c("lose", pieces="3", cause="chip")]
FORM = [c("make-form", what="block mold", **E)]
CLOSE = c("close", **E, short=True, nothing_else=True)
CLEARED = [c("destroy", molds="all", go_on=True, **E)]
CLOSED = [c("surplus", fate="destroyed", count=9), *CLEARED, CLOSE]

SIX = "3 min 21.5 C; 6 min 24 C"
# The rule, where it begins, what is done before, what is refused, a word of the sentence.
CASES: list[tuple[str, Start, Commands, dict[str, Any], str]] = [
    ("rule_edition_is_known", planned, [], c("pour", edition="reed-cup", count=1), "no edition reed-cup"),
    ("rule_what_is_named_is_known", with_molds, [], c("cast", molds="9"), "no mold M-009"),
    ("rule_edition_is_new", planned, [], c("plan-edition", **E, pieces=3), "already"),
    ("rule_proof_letters_are_letters", planned, [], c("plan-edition", edition="b", pieces=3, proof_kind="A-1"), "letters"),
    ("rule_edition_is_open", with_finished, CLOSED, c("pour", **E, count=1), "was closed"),
    ("rule_edition_is_declared_once", with_molds, [], c("declare", **E), "was declared"),
    ("rule_size_is_told", planned, [], c("change-size", **E), "both missing"),
    ("rule_size_is_free", with_finished, MARKED, c("change-size", **E, pieces=13), "stays 12"),
    ("rule_closing_edition_is_declared", planned, [], CLOSE, "not declared"),
    ("rule_nothing_is_owed", with_finished, [*LOST, c("surplus", fate="destroyed", count=6), *CLEARED], CLOSE, "1 number of tide-cup is owed"),
    ("rule_every_number_is_made", with_finished, CLEARED, {**CLOSE, "short": False}, "close it short"),
    ("rule_no_unmarked_ware_is_left", with_finished, CLEARED, CLOSE, "9 at finished"),
    ("rule_no_load_is_in_the_kiln", with_ware, [c("load", firing="bisque", count=2)], CLOSE, "2 pieces are in a closed load"),
    ("rule_no_surplus_is_undeclared", with_finished, [c("mark", kind="surplus", count=9)], CLOSE, "9 surplus pieces are here"),
    (
        "rule_every_number_is_finished", with_finished,
        [c("cast", molds="1", **E), c("mark", stage="greenware", numbers="1"), c("surplus", fate="destroyed", count=9), *CLEARED],
        CLOSE, "Not finished: ",
    ),
    ("rule_every_form_is_told", with_finished, [c("surplus", fate="destroyed", count=9)], CLOSE, "M-001, M-002 and M-003"),
    ("rule_nothing_else_could_remake_it", planned, [c("declare", **E)], {**CLOSE, "nothing_else": False}, "enter what else"),
    ("rule_form_is_here", planned, [*FORM, c("destroy-form", forms="1", go_on=True)], c("approve", form=1), "was destroyed"),
    ("rule_test_casts_come_from_a_block_mold", planned, [c("make-form", what="original", **E)], c("test-cast", form=1, count=1), "is the original"),
    ("rule_no_more_good_tests_than_cast", planned, FORM, c("test-cast", form=1, count=2, good=1, lost="2 stuck"), "2 were cast"),
    ("rule_something_is_named", planned, [], c("destroy", **E), "Nothing is named"),
    ("rule_mold_is_not_destroyed", with_molds, [c("destroy", molds="1", go_on=True)], c("cast", molds="1"), "was destroyed"),
    ("rule_cast_mold_is_complete", with_molds, [c("break-part", mold=1, part="left half")], c("cast", molds="1"), "incomplete"),
    ("rule_mold_is_not_retired_yet", with_molds, [c("retire", molds="1")], c("retire", molds="1"), "already"),
    ("rule_part_is_one_of_the_molds", with_molds, [], c("pour-part", **E, part="lid"), "left half"),
    ("rule_part_is_not_broken_yet", with_molds, [c("break-part", mold=1, part="left half")], c("break-part", mold=1, part="left half"), "already"),
    ("rule_spare_is_free", with_molds, [*SPARE, c("swap-part", mold=1, part="left half")], c("swap-part", mold=2, part="left half", spare=1), "in M-001"),
    ("rule_spare_fits", with_molds, SPARE, c("swap-part", mold=1, part="right half", spare=1), "not a right half"),
    ("rule_no_more_good_than_cast", with_molds, [], c("cast", molds="all", good=1), "conditioned 0"),
    ("rule_lost_molds_were_cast", with_ware, [], c("cast", molds="1", lost="1 stuck", lost_molds="2"), "not among"),
    ("rule_something_is_counted", with_ware, [], c("load", firing="bisque"), "Neither"),
    ("rule_something_stands_before_it", with_ware, [], c("finish", **E), "None of tide-cup is at fired; 9 stand at greenware: write load (bisque) and unload first."),
    ("rule_stage_is_on_the_route", with_ware, [], c("lose", stage="third-fired", lost="1 chip"), "greenware, bisque"),
    ("rule_stage_is_told", with_ware, [], c("lose", lost="1 chip"), "stage is missing"),
    ("rule_firing_is_on_the_route", with_ware, [], c("load", firing="third", count=1), "its firings"),
    ("rule_stage_holds_enough", with_ware, [], c("load", firing="bisque", count=10), "9 unmarked"),
    ("rule_glazed_ware_waits_for_it", with_ware, [], c("glaze", count=1), "0 unmarked"),
    ("rule_decorated_ware_waits_for_it", with_ware, [], c("decorate", count=1), "no third firing to decorate for; its firings are bisque, glaze."),
    ("rule_pieces_are_here", with_finished, LOST, c("ship", pieces="3"), "is lost"),
    (
        "rule_pieces_are_in_no_load", with_ware, [c("mark", stage="greenware", numbers="1-2"), c("load", firing="bisque", pieces="1-2")],
        c("load", firing="bisque", pieces="2"), "is in L-001",
    ),
    ("rule_pieces_stand_where_it_begins", with_ware, [c("mark", stage="greenware", numbers="1")], c("fire", firing="glaze", pieces="1"), "stands at greenware"),
    ("rule_load_is_not_closed_yet", with_ware, [c("load", firing="bisque", count=8)], c("load", firing="bisque", count=8), "L-001 is closed already, since"),
    ("rule_load_is_closed", with_finished, [], c("unload", load=1), "already"),
    ("rule_no_more_lost_than_loaded", with_ware, [c("load", firing="bisque", count=2)], c("unload", lost="3 warp"), "3 told as lost"),
    (
        "rule_no_piece_is_both_finished_and_lost", with_ware,
        [c("mark", stage="greenware", numbers="1"), c("fire", firing="bisque", pieces="1"), c("fire", firing="glaze", pieces="1")],
        c("finish", pieces="1", lost_pieces="1 chip"), "each once",
    ),
    ("rule_numbers_or_count_are_told", with_finished, [], c("mark", kind="proof"), "numbers is missing"),
    ("rule_marked_edition_is_declared", planned, [c("pour", **E, count=1), c("cast", molds="1", conditioned=0, go_on=True)], c("mark", stage="greenware", numbers="1"), "declare"),
    ("rule_number_is_within_the_edition", with_finished, [], c("mark", numbers="13"), "above the 12"),
    ("rule_no_two_living_bear_one_number", with_finished, MARKED, c("mark", numbers="3"), "A piece bears 3/"),
    ("rule_number_is_not_settled", with_finished, [*LOST, c("settle", numbers="3", why="worn out")], c("mark", numbers="3", evidence="x"), "never made again"),
    ("rule_replacement_has_evidence", with_finished, LOST, c("mark", numbers="3"), "photo or shard"),
    ("rule_mold_of_the_piece_fits", with_finished, [c("pour", count=1)], c("mark", numbers="1", mold=4), "has not been cast"),
    ("rule_piece_is_living", with_finished, LOST, c("sell", pieces="3"), "stays in the book"),
    ("rule_piece_is_not_sold_twice", with_finished, [*MARKED, c("sell", pieces="1")], c("sell", pieces="1"), "was sold"),
    ("rule_piece_that_leaves_is_finished", with_ware, [c("mark", stage="greenware", numbers="1")], c("ship", pieces="1"), "finish it"),
    ("rule_given_piece_is_not_sold", with_finished, [*MARKED, c("sell", pieces="1")], c("give", pieces="1"), "was sold"),
    ("rule_returned_piece_is_away", with_finished, MARKED, c("return", pieces="1"), "is here"),
    ("rule_settled_number_is_owed", with_finished, MARKED, c("settle", numbers="1", why="x"), "is living"),
    ("rule_surplus_bears_no_number", with_finished, MARKED, c("surplus", fate="destroyed", pieces="1"), "no surplus"),
    ("rule_surplus_is_finished_or_destroyed", with_ware, [], c("surplus", fate="seconds", stage="greenware", count=1), "finish"),
    ("rule_lot_is_known", planned, [], c("read-lot", lot="S-004", flow="40 s"), "no lot S-004"),
    ("rule_something_is_read", with_molds, [], c("read-lot", lot="S-001"), "Nothing was read"),
    ("rule_thermometer_stood_in_something", planned, [], c("log-thermometer", **E, readings=SIX, thickness="60 mm"), "write batch, mold or spare"),
    ("rule_clock_readings_have_a_start", planned, [], c("log-thermometer", **E, readings="14:05 21.5 C; 14:08 24 C", thickness="60 mm", batch="b"), "write contact"),
    ("rule_photo_is_new", planned, [c("photo", **E, digest="ab" * 32)], c("photo", **E, digest="ab" * 32), "already"),
    ("rule_photo_is_new", planned, [c("photo", **E, digest="ab" * 32), c("erase-photo", **E, digest="ab" * 32)], c("photo", **E, digest="ab" * 32, about="M-001"), "already"),
    ("rule_label_is_free", with_molds, [], c("pour", **E, count=1, scratched_in="M-001"), "in the book already"),
    ("rule_something_is_poured", planned, [], c("pour", **E, count=0), "No mold is told"),
    ("rule_weighing_is_whole", with_molds, [], c("weigh", **E, mold=1), "mold and mass"),
    ("rule_weighing_is_whole", with_molds, [], c("weigh", mold=1, mass="6 kg", masses="2 6.1 kg"), "mold and mass"),
    ("rule_photo_is_known", planned, [], c("erase-photo", **E, digest="ab" * 32), "no photo"),
    ("rule_cast_is_not_written_yet", with_molds, [c("cast", molds="1", cast=1)], c("cast", molds="1", cast=1, lost="1 stuck"), "Cast 1 of M-001 is written down already: the book has 1"),
    ("rule_correction_says_one_thing", planned, [], c("correct", entry=1), "void yes"),
    ("rule_corrected_entry_is_known", planned, [], c("correct", entry=9, void=True), "no entry 9"),
    ("rule_correction_is_only_voided", planned, [c("correct", entry=1, changes={"pieces": 9})], c("correct", entry=2, changes={"pieces": 8}), "correct entry 1 itself"),
    ("rule_one_id_one_command", planned, [], c("note", text="x", id="desk-1"), "another command"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "start", "before", "command", "said"), CASES, ids=[one[0] for one in CASES]
)
def test_the_rule_refuses(tmp_path, rule, start, before, command, said):
    desk = start(tmp_path)
    for one in before:
        desk.do(one["do"], **{key: value for key, value in one.items() if key != "do"})

    refused = desk.refused(
        command["do"], **{key: value for key, value in command.items() if key != "do"}
    )

    assert rule in refused.rules
    assert any(said in sentence for sentence in refused.sentences)
    assert all(sentence[-1] in ".?" for sentence in refused.sentences)
    assert desk.book.verify() == []


@pytest.mark.parametrize(
    ("before", "command", "said"),
    [
        ([], c("mark", numbers="1"), "None of tide-cup is unmarked at finished; 9 stand at greenware: write load (bisque) and unload first."),
        ([c("load", **E, firing="bisque", count=8)], c("mark", numbers="1"), "None of tide-cup is unmarked at finished; 8 are in L-001: write unload first."),
        ([c("fire", **E, firing="bisque", count=8)], c("glaze", **E, count=9), "9 pieces told, and 8 unmarked at bisque and fired; 1 stands at greenware: write load (bisque) and unload first."),
        ([c("fire", **E, firing="bisque", count=8), c("fire", **E, firing="glaze", count=8)], c("mark", numbers="1"), "None of tide-cup is unmarked at finished; 8 stand at fired: write finish first."),
        ([], c("load", **E, firing="bisque", count=10), "10 pieces told, and 9 unmarked at greenware; count again, or write down what is missing."),
        ([], c("sell", **E, pieces="3"), "No piece of tide-cup bears 3; mark it first."),
        ([], c("sell", **E, pieces="13"), "No piece of tide-cup bears 13."),
    ],
)  # fmt: skip
def test_a_step_that_is_missing_is_named(tmp_path, before, command, said):
    desk = with_ware(tmp_path)
    for one in (*before, command):
        fields = {key: value for key, value in one.items() if key != "do"}
        if one is command:
            assert str(desk.refused(one["do"], **fields)) == said
        else:
            desk.do(one["do"], **fields)


def test_every_rule_has_a_test_and_every_kind_its_rules():
    rules = {rule.__name__ for table in (FIRST, *RULES.values()) for rule in table}
    rules |= {name for name in dir(corrections) if name.startswith("rule_")}

    assert rules | {"rule_one_id_one_command"} == {one[0] for one in CASES}
    assert set(RULES) | {"entry-corrected"} == {kind.kind for kind in KINDS}


@pytest.mark.parametrize(("rule", "start", "before", "command", "said"), CASES[:1])
def test_a_refusal_is_one_of_our_errors(tmp_path, rule, start, before, command, said):
    with pytest.raises(StudioError, match=said):
        start(tmp_path).do("pour", edition="reed-cup", count=1)


# --- the promise of the number


def test_both_bearers_of_a_replaced_number_stay_visible(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="1-3")
    desk.do("break", pieces="3", evidence="shard in box 2")
    assert desk.edition()["numbers"] == {"living": 2, "owed": 1}

    made = desk.do("mark", numbers="3")["made"]

    assert desk.get("number", "tide-cup/3")["bearers"] == ["P-00003", *made]
    assert desk.get("piece", "P-00003")["state"] == "broken"
    assert desk.get("piece", made[0])["replaces"] == "P-00003"
    desk.refused("mark", numbers="3")


def test_a_photo_of_the_lost_piece_is_evidence(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="3")
    desk.do("lose", pieces="3", cause="warp")
    desk.refused("mark", numbers="3")
    desk.do("photo", about="P-00001", digest="cd" * 32)

    assert desk.do("mark", numbers="3")["made"] == ["P-00002"]


def test_one_photo_shows_two_pieces(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="1-3")
    desk.do("lose", pieces="1, 2", cause="break")
    desk.do("photo", about="1", digest="cd" * 32, **E)
    desk.do("photo", about="2", digest="cd" * 32, **E)
    desk.refused("photo", about="2", digest="cd" * 32, **E)

    assert desk.do("mark", numbers="1, 2")["made"] == ["P-00004", "P-00005"]
    assert desk.get("photo", f"tide-cup/{'cd' * 32}")["also"] == ["P-00002"]
    assert desk.book.verify() == []


def test_n_is_free_until_the_first_number_is_marked(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("change-size", pieces=36)
    desk.do("mark", numbers="1", kind="proof")
    desk.do("change-size", pieces=24)
    desk.refused("change-size", proofs=5)
    marked = desk.do("mark", numbers="24")
    desk.refused("change-size", pieces=25)

    desk.do("correct", entry=marked["seq"], void=True)

    desk.do("change-size", pieces=25)
    assert desk.edition()["pieces"] == 25


def test_an_edition_closes_short_and_says_so(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="1-7")
    desk.do("surplus", fate="seconds", count=2)
    desk.do("keep-form", molds="M-001", where="archive shelf", why="shown beside piece 1")
    desk.do("destroy", molds="2, 3", go_on=True)
    desk.refused("close", nothing_else=True)

    assert (
        desk.do("close", nothing_else=True, short=True)["said"] == "tide-cup is closed at 7 of 12."
    )
    assert desk.edition()["closed"]["short"] is True
    desk.do("sell", pieces="1-7", price="420.00 DKK")
    desk.do("ship", pieces="1-7")


def test_a_piece_broken_where_it_was_sent_was_made_all_the_same(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="1")
    desk.do("ship", pieces="1")
    desk.do("break", pieces="1", evidence="the buyer's photo")

    assert desk.edition()["numbers"] == {"living": 0, "gone": 1}
    desk.do("mark", numbers="1")  # the buyer claims, and it is made again
    assert desk.edition()["numbers"]["living"] == 1


def test_a_returned_piece_that_breaks_is_owed(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="1")
    desk.do("sell", pieces="1")
    desk.do("ship", pieces="1")
    desk.do("return", pieces="1")
    desk.do("break", pieces="1", evidence="shard")

    assert desk.edition()["numbers"] == {"living": 0, "owed": 1}


def test_undeclared_surplus_pieces_hold_the_closing(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", kind="surplus", count=9)
    desk.do("destroy", molds="all", go_on=True)
    refused = desk.refused("close", nothing_else=True, short=True)
    assert any("9 surplus pieces" in one for one in refused.sentences)
    desk.do("surplus", fate="kept unsigned", pieces="P-00001, P-00002, P-00003, P-00004, P-00005")
    desk.do("surplus", fate="destroyed", pieces=["P-00006", "P-00007", "P-00008"])
    desk.do("lose", pieces="P-00009", cause="chip")

    assert desk.edition()["undeclared"] == 0
    desk.do("close", nothing_else=True, short=True)
