"""What the book asks: nothing is written until the command says to go on, and then it stays found."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from pourwright.errors import Asks
from pourwright.ledger.replaying import replay
from pourwright.ledger.rules.questions import QUESTIONS
from pourwright.studio.answers import today_lists
from tests.ledger.desk import (
    NO_MASTER,
    Desk,
    docs_of,
    findings_said,
    planned,
    with_finished,
    with_molds,
    with_ware,
)
from tests.ledger.test_findings import sent
from tests.ledger.test_rules import E, c

MASTERS = [c("make-form", **E, what="master", part=part) for part in ("left half", "right half")]
GONE = [*MASTERS, c("destroy-form", forms="2", go_on=True, how="shredded")]
ALL_MADE = [c("change-size", pieces=3), c("mark", numbers="1-3"), c("surplus", fate="destroyed", count=6)]  # fmt: skip
SENT = [*ALL_MADE, c("ship", pieces="1-3")]
KEPT = [*SENT, c("destroy", molds="2, 3"), c("keep-form", molds="1", where="archive shelf")]
CLOSED = [*KEPT, c("close", **E, nothing_else=True)]


def quick_room(folder: Path) -> Desk:
    """Return a desk in a studio whose molds dry in six days at the soonest."""
    desk = with_molds(folder)
    desk.book.dry_days = 6
    return desk


def in_parts(folder: Path) -> Desk:
    return planned(folder, parts="left half, right half")


def with_claims(folder: Path) -> Desk:
    return with_finished(folder, claim_days=30)


# The question, where it begins, what is done before, what is asked about, and the sentence.
CASES = [
    (
        "asks_before_the_form_is_lost", with_finished, [c("mark", numbers="1-3"), c("lose", pieces="2", cause="chip")],
        c("destroy", molds="1"),
        "M-001 could still make tide-cup: 4-12 of 12 are not made; 2 of 12 is owed; 1 and 3 of 12 have not left the studio.",
    ),
    (
        "asks_before_the_form_is_lost", with_molds, [*MASTERS, c("make-form", **E, what="model file")],
        c("destroy-form", forms="1, 3"),
        "F-001 and F-003 could still make tide-cup: 1-12 of 12 are not made.",
    ),
    (
        "asks_before_the_form_is_lost", with_claims, [c("pour-part", **E, part="left half"), *SENT],
        c("destroy", spares="1", at="2027-03-31"),
        "T-001 could still make tide-cup: 1-3 of 3 may be claimed until 31 Mar 2027.",
    ),
    (
        "asks_before_the_form_is_lost", with_finished,
        [*ALL_MADE, c("ship", pieces="1-3"), c("return", pieces="2"), c("break", pieces="2")],
        c("destroy", molds="all"),
        "M-001, M-002 and M-003 could still make tide-cup: 2 of 3 is owed.",
    ),
    (
        "asks_after_closing", with_finished, CLOSED,
        c("destroy", molds="1"),
        "M-001 was declared kept (archive shelf) when tide-cup was closed on 1 Mar 2027.",
    ),
    (
        "asks_for_a_living_master", with_molds, GONE,
        c("pour", **E, count=2),
        "right half has no master: F-002 was destroyed on 1 Mar 2027.",
    ),
    (
        "asks_for_a_living_master", with_molds, MASTERS[:1],
        c("pour-part", **E, part="right half"),
        "right half has no master: none of it is in the book; enter it if it was made.",
    ),
    (
        "asks_for_a_living_master", in_parts, [c("make-form", **E, what="block mold"), c("pour", **E, count=0, lost="1 failed batch")],
        c("pour", **E, count=2),
        NO_MASTER,
    ),
    (
        "asks_before_it_can_be_dry", quick_room, [c("pour", count=2)],
        c("dry", molds="4, 5"),
        "M-004 and M-005 were poured on 1 Mar 2027, the same day, and molds dry in 6 days here at the soonest; a mold is dry when two weighings a day apart are the same.",
    ),
]  # fmt: skip
NOT_ASKED = [
    ("all numbers are sent", with_finished, SENT, c("destroy", molds="all")),
    ("the claims are over", lambda p: with_claims(p), [*SENT, c("note", text="april")], c("destroy", molds="1", late=32)),
    ("settled for ever", with_finished, [*ALL_MADE, c("ship", pieces="1, 2"), c("lose", pieces="3", cause="chip"), c("settle", numbers="3", why="none is left")], c("destroy", molds="1")),
    ("no master was ever entered, and that was asked", with_molds, [], c("pour", **E, count=1)),
    ("the masters were there", lambda p: planned(p, parts="left half, right half", masters=True), [], c("pour", **E, count=1)),
    ("no parts are known", planned, [], c("pour", **E, count=1)),
    ("parts that were never told have their masters", planned, MASTERS, c("pour", **E, count=1)),
    ("no mold came out", in_parts, [], c("pour", **E, count=0, lost="1 failed batch")),
    ("every part has its master", with_molds, MASTERS, c("pour", **E, count=1)),
    ("a master that names no part", with_molds, [c("make-form", **E, what="master"), *GONE[:-1], c("destroy-form", forms="3", go_on=True)], c("pour", **E, count=1)),
    ("the other part is poured", with_molds, GONE, c("pour-part", **E, part="left half")),
    ("six days on", quick_room, [c("pour", count=1)], c("dry", molds="4", late=6)),
    ("weighed dry", quick_room, [c("pour", count=1), c("weigh", mold=4, mass="6.41 kg"), c("weigh", mold=4, mass="6.40 kg", late=1)], c("dry", molds="4")),
]  # fmt: skip


def did(desk: Desk, command: dict[str, object]) -> dict[str, object]:
    """Send a command, some days later if it says so."""
    desk.now += timedelta(days=int(str(command.get("late", 0))))
    return sent(desk, {key: value for key, value in command.items() if key != "late"})


@pytest.mark.parametrize(
    ("question", "start", "before", "command", "said"), CASES, ids=[one[4][:40] for one in CASES]
)
def test_the_book_asks_and_what_was_asked_is_a_finding_for_ever(
    tmp_path, question, start, before, command, said
):
    desk = start(tmp_path)
    for one in before:
        did(desk, one)
    fields = {key: value for key, value in command.items() if key != "do"}
    if "at" in fields:  # what is dated in a month is typed in then
        desk.now = desk.now.replace(month=3, day=31)
        del fields["at"]

    refused = desk.refused(command["do"], **fields)
    assert isinstance(refused, Asks)
    assert (refused.rules, refused.sentences) == ((question,), (said,))

    answer = desk.do(command["do"], **fields, go_on=True)
    assert answer["findings"] == [said]
    kept = [doc for _, doc in docs_of(desk, "finding") if doc["entry"] == answer["entry"]]
    assert [(one["what"], one["said"]) for one in kept] == [("gone_on_when_asked", said)]
    assert desk.book.verify() == []


@pytest.mark.parametrize(
    ("why", "start", "before", "command"), NOT_ASKED, ids=[one[0] for one in NOT_ASKED]
)
def test_what_harms_nobody_is_not_asked(tmp_path, why, start, before, command):
    desk = start(tmp_path)
    for one in before:
        did(desk, one)

    assert did(desk, command)["findings"] == []


def test_every_question_has_a_test():
    asked = {one.__name__ for table in QUESTIONS.values() for one in table}

    assert asked == {one[0] for one in CASES}


def test_a_book_from_before_the_questions_is_replayed_and_corrected_unasked(tmp_path):
    """Its entries carry no answer; none is refused, and a correction judges none of them anew."""
    desk = with_finished(tmp_path)
    cast = desk.do("cast", molds="1", good=1)
    desk.do("destroy", molds="1-3", go_on=True)
    with desk.book.reading() as reading:
        entries = [
            entry for entry in reading.entries() if not entry.body.pop("asked", None) or True
        ]
    things = replay(entries)

    assert [row for row in things.rows() if row[0] == "finding"] == []
    desk.do("correct", entry=cast["seq"], changes={"good": 0})
    assert desk.book.verify() == []


def test_what_was_asked_stays_found_when_the_entry_is_corrected(tmp_path):
    desk = with_finished(tmp_path)
    told = desk.do("destroy", molds="1", go_on=True, how="dropped")
    desk.do("correct", entry=told["seq"], changes={"how": "broken up"})

    assert findings_said(desk) == [NO_MASTER, *told["findings"]]
    assert desk.get("mold", "M-001")["how"] == "broken up"
    assert desk.book.verify() == []


def test_the_answer_to_a_question_is_no_other_command(tmp_path):
    """The first press was asked, the second went on, and the first comes again from a slow phone."""
    desk = with_finished(tmp_path)
    first = {"do": "destroy", "id": "phone-1", "molds": "1"}
    with pytest.raises(Asks):
        desk.send(first)
    gone_on = desk.send({**first, "go_on": True})

    assert desk.send(first) == gone_on


# --- what is asked because a hand may have slipped, and of which nothing is kept


def test_the_same_twice_within_minutes_is_asked_about(tmp_path):
    desk = with_molds(tmp_path)
    desk.do("pour", count=2, lot="B-001")
    asked = desk.refused("pour", lot="B-001", count="2")
    assert isinstance(asked, Asks)
    assert asked.sentences == (
        "The same was written down at 09:07, entry 7 (M-004 and M-005). Did it happen twice?",
    )

    assert desk.do("pour", count=2, lot="B-001", go_on=True)["findings"] == []


@pytest.mark.parametrize(
    ("why", "late", "fields"),
    [
        ("eleven minutes later", timedelta(minutes=11), {}),
        ("another count", timedelta(), {"count": 3}),
        ("of another day", timedelta(), {"at": "2027-02-28"}),
        ("a tap of an hour before", timedelta(), {"age_s": 3600}),
    ],
)
def test_what_only_looks_alike_is_not_asked_about(tmp_path, why, late, fields):
    desk = with_molds(tmp_path)
    desk.do("pour", count=2)
    desk.now += late

    desk.do("pour", **{"count": 2, **fields})


def test_a_tap_that_comes_back_late_is_asked_about_by_when_it_was_made(tmp_path):
    """One phone closed a load at four to, the other at once; the first had no wifi for an hour."""
    desk = with_ware(tmp_path)
    desk.do("load", firing="bisque", count=4)
    made = desk.now - timedelta(minutes=4)
    desk.now += timedelta(minutes=60)
    asked = desk.refused("load", firing="bisque", count=4, at=made.isoformat())

    assert isinstance(asked, Asks)
    assert "(L-001). Did it happen twice?" in asked.sentences[0]


def test_a_round_whose_casts_were_written_down_one_by_one_is_asked_about(tmp_path):
    desk = with_molds(tmp_path)
    desk.do("dry", molds="1-3", go_on=True)
    desk.do("cast", molds="1")
    desk.do("cast", molds="2")
    taken_back = desk.do("cast", molds="3")
    desk.do("correct", entry=taken_back["entry"], void=True)
    assert desk.refused("cast", molds="1-3").sentences == (
        "M-001 and M-002 were written down as cast just now. Did each give a second cast since?",
    )

    desk.now += timedelta(minutes=11)
    desk.do("cast", molds="1-3")


def test_what_was_taken_back_is_written_anew_unasked(tmp_path):
    desk = with_molds(tmp_path)
    told = desk.do("pour", count=2)
    desk.do("correct", entry=told["seq"], void=True)

    assert desk.do("pour", count=2)["made"] == ["M-006", "M-007"]


def test_a_note_that_is_sent_twice_is_asked_about(tmp_path):
    desk = with_molds(tmp_path)
    desk.do("note", about="M-001", text="a chip beside the key")

    desk.refused("note", about="M-001", text="a chip beside the key")
    desk.do("note", about="M-002", text="a chip beside the key")


def test_a_cause_of_the_studio_is_asked_about_once_and_known_from_then_on(tmp_path):
    desk = with_ware(tmp_path)
    asked = desk.refused("lose", stage="greenware", lost="1 handle crak")
    assert asked.rules == ("asks_about_a_new_cause",)
    assert asked.sentences[0].endswith("Did you mean handle crack?")

    for said, meant in (("1 plain crack", "crack"), ("2 casts broken", "break")):
        asked = desk.refused("lose", stage="greenware", lost=said)
        assert asked.sentences[0].endswith(f"if you go on. Did you mean {meant}?")

    added = desk.do("lose", stage="greenware", lost="1 glaze drip", go_on=True)
    desk.do("correct", entry=added["seq"], void=True)
    desk.do("lose", stage="greenware", lost="2 Glaze  drip")

    assert desk.edition()["lost"]["greenware"] == {"glaze drip": 2}
    assert findings_said(desk) == [NO_MASTER]
    assert desk.book.verify() == []


def test_a_mold_that_breaks_with_a_cast_in_it_is_asked_about(tmp_path):
    desk = with_molds(tmp_path)
    cast = c("start-step", **E, what="M-001 cast 1", step="fill")
    did(desk, cast)
    broken = {"mold": 1, "part": "left half"}
    asked = desk.refused("break-part", **broken)

    assert asked.rules == ("asks_about_the_cast_in_it",)
    assert asked.sentences[0].startswith("A cast of M-001, begun at ")
    desk.do("cast", molds="1")
    desk.do("break-part", **broken)


def test_a_mold_that_breaks_whole_is_asked_about_once(tmp_path):
    desk = with_molds(tmp_path)
    did(desk, c("start-step", **E, what="M-001 cast 1", step="fill"))
    whole = {"mold": 1, "part": "Whole mold", "how": "the shelf came down"}
    assert desk.refused("break-part", **whole).rules == ("asks_about_the_cast_in_it",)
    broke = desk.do("break-part", **whole, go_on=True)
    assert broke["said"] == "M-001 is broken, all of it."
    assert all(part["broken"] for part in desk.get("mold", "M-001")["parts"].values())
    assert desk.get("mold", "M-001")["state"] == "destroyed"  # gone, as one broken on purpose
    assert desk.refused("break-part", **whole).sentences[0] == "M-001 was destroyed on 1 Mar 2027."
    assert desk.refused("swap-part", mold=1, part="left half").sentences
    desk.do("correct", entry=broke["seq"], void=True)
    assert desk.get("mold", "M-001")["state"] == "in use"


@pytest.mark.parametrize(
    ("said", "meant"),
    [("2 broken", {"break": 2}), ("1 crack, 1 dunted", {"crack": 1, "dunt": 1}), ("1 failed batch", {"failed batch": 1}), ("3 chips", {"chip": 3})],
)  # fmt: skip
def test_causes_are_said_as_makers_say_them(tmp_path, said, meant):
    desk = with_ware(tmp_path)
    desk.do("lose", stage="greenware", lost=said)

    assert desk.edition()["lost"]["greenware"] == meant


def test_a_piece_is_lost_to_a_cause_of_the_studio(tmp_path):
    desk = with_ware(tmp_path)
    desk.do("mark", numbers="1, 2", stage="greenware")
    desk.do("load", firing="bisque", pieces="1, 2")
    desk.do("unload", lost_pieces="1 glaze drip, P-00002 cracked", go_on=True)

    assert desk.get("piece", "P-00001")["cause"] == "glaze drip"
    assert desk.get("piece", "P-00002")["cause"] == "crack"


def test_a_master_of_a_part_that_the_mold_does_not_have_is_asked_about(tmp_path):
    """It would be missed at the first pour, as if it had never been made."""
    desk = in_parts(tmp_path)
    refused = desk.refused("make-form", **E, what="master", part="left hlaf")
    assert refused.sentences == (
        (
            "left hlaf is no part of tide-cup's mold, which has left half and right half. "
            "Did you mean left half?"
        ),
    )
    assert desk.do("make-form", **E, what="master", part="left half")["said"] == (
        "F-001: master of left half."
    )
    assert desk.do("make-form", **E, what="master", part="lid", go_on=True)["made"] == ["F-002"]


def test_several_molds_are_weighed_at_once(tmp_path):
    desk = with_molds(tmp_path)
    told = desk.do("weigh", masses="1 6.41 kg, M-2: 6.38 kg; 3 = 14 lb 1 oz")
    assert told["said"] == "M-001 weighs 6.41 kg, M-002 weighs 6.38 kg, M-003 weighs 14 lb 1 oz."
    desk.refused("weigh", masses="1 6.4 kg, 9 6 kg")

    assert desk.get("mold", "M-002")["weighings"][0]["mass"]["value"] == "6.38"
    desk.do("correct", entry=told["seq"], changes={"masses": "1 6.40 kg"})
    assert desk.get("mold", "M-002")["weighings"] == []
    assert desk.book.verify() == []


def test_a_mold_that_gained_water_or_dried_at_once_is_asked_about(tmp_path):
    """6.20 - 5.93 is 0.27 kg; a cast or a fresh part wets a mold, and a loss may take days."""
    desk = with_molds(tmp_path)
    desk.now += timedelta(days=10)
    desk.do("weigh", mold=1, mass="5.93 kg")
    desk.now += timedelta(days=1)
    for mass, said in (
        ("6.20 kg", "270 g more; a mold gains no water by itself."),
        ("6200 grams", "270 g more; a mold gains no water by itself."),
        ("13 lb 11 oz", "9.8 oz more; a mold gains no water by itself."),
        ("4.90 kg", "1.03 kg less; no mold dries that fast."),
    ):
        asked = desk.refused("weigh", mold=1, mass=mass)
        assert isinstance(asked, Asks)
        assert str(asked).endswith(f"{mass} is {said} Read the scale again, or keep it.")
    part = {**E, "part": "left half"}
    for days, mass, *before in (
        (0, "5.97 kg"),
        (1, "5.20 kg"),
        (1, "5.50 kg", c("cast", molds="1")),
        (1, "5.90 kg", c("pour-part", **part), c("swap-part", mold=1, part="left half")),
        (3, "4.00 kg"),
    ):
        for one in before:
            did(desk, one)
        desk.now += timedelta(days=days)
        desk.do("weigh", mold=1, mass=mass)


def test_all_molds_means_those_that_were_called_dry(tmp_path):
    desk = with_molds(tmp_path)
    desk.do("pour", count=2)

    assert desk.do("cast", molds="all")["said"] == "3 casts: 0 good, 3 thrown away as first casts."
    desk.do("break-part", mold=1, part="left half")
    desk.do("pour-part", **E, part="left half")
    desk.do("swap-part", mold=1, part="left half")
    assert desk.do("cast", molds="all")["said"] == "2 casts: 2 good."
    asked = desk.refused("cast", molds="2, 4")
    assert isinstance(asked, Asks)
    assert str(asked) == (
        "Nobody has called M-004 dry; a mold is dry when two weighings a day apart are the same. "
        "Say first that it is dry, if it is."
    )
    told = desk.do("cast", molds="4", go_on=True)
    assert told["findings"] == ["M-004 is cast, and no entry says dry."]


def test_a_mold_that_was_cast_wet_is_not_dry_for_it(tmp_path):
    desk = with_molds(tmp_path)
    desk.do("pour", count=1)
    desk.do("cast", molds="4", go_on=True)

    with desk.book.reading() as reading:
        lists = today_lists(reading.things, "tide-cup", desk.now.date() + timedelta(days=1), "UTC")
    assert (lists.ready, [one.label for one in lists.drying]) == (
        ("M-001", "M-002", "M-003"),
        ["M-004"],
    )
    assert desk.do("cast", molds="all")["said"].startswith("3 casts")
    desk.now += timedelta(days=1)
    desk.refused("cast", molds="4")
    assert desk.book.verify() == []


def test_a_mold_that_stopped_losing_weight_is_cast_unasked(tmp_path):
    desk = with_molds(tmp_path)
    desk.do("pour", count=1)
    desk.do("weigh", mold=4, mass="6.41 kg")
    desk.now += timedelta(days=1)
    desk.do("weigh", mold=4, mass="6.40 kg")

    assert desk.do("cast", molds="4")["findings"] == ["M-004 is cast, and no entry says dry."]


def test_a_batch_that_failed_gives_no_mold(tmp_path):
    desk = with_molds(tmp_path)
    told = desk.do("pour", count=0, lost="2 failed batch")

    assert (told["said"], told["made"]) == ("0 molds poured, lost 2 failed batch.", [])
    assert desk.edition()["molds"] == 3
    assert desk.book.verify() == []
