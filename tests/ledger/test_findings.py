"""Each finding, by name: the entry is kept, and the book says what is odd."""

from __future__ import annotations

from typing import Any

import pytest

from pourwright.ledger.findings import FINDINGS, OF_ALL, OF_CASTS
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
from tests.ledger.test_rules import Commands, E, Start, c

CLOSE = [c("surplus", fate="destroyed", count=8), c("destroy", molds="all", go_on=True)]
LOST_FOOT = {"what": "L-001, unmarked 1", "step": "lost"}

CASES: list[tuple[str, Start, Commands, dict[str, Any], str]] = [
    ("finding_retired_mold_is_cast", with_ware, [c("retire", molds="1")], c("cast", molds="1"), "M-001 was retired on 1 Mar 2027 and is cast."),
    ("finding_mold_is_cast_before_dry", with_molds, [c("pour", count=2)], c("cast", molds="4, 5", go_on=True), "M-004 and M-005 are cast, and no entry says dry."),
    ("finding_mold_is_past_its_life", lambda p: with_molds(p, life=2), [], c("cast", molds="1", each=3), "M-001 is past its planned 2 casts; hold a cast beside the reference piece."),
    ("finding_cast_is_dated_before_the_mold", with_molds, [], c("cast", molds="1", at="2027-02-20"), "M-001 was poured on 1 Mar 2027 and is cast on 20 Feb 2027."),
    ("finding_count_shrank", with_ware, [], c("count-casts", mold=1, casts=3), "M-001: 3 casts told, and the book has 4; the book's count stays. Correct the entry that is wrong."),
    (
        "finding_plaster_lots_are_mixed", with_molds, [c("mix-lot", what="plaster", name="new"), c("pour-part", **E, part="left half", lot="B-002")],
        c("swap-part", mold=1, part="left half"), "M-001 has parts of B-001 and B-002: mixed plaster wears and drinks unevenly.",
    ),
    ("finding_lot_is_not_entered", with_molds, [], c("cast", molds="1", lot="S-009"), "S-009 is used and not in the book; enter the lot."),
    ("finding_stocktake_differs", with_ware, [], c("count-stock", counts="8 greenware, 3 molds"), "greenware: 8 counted, 9 in the book."),
    ("finding_master_is_made_before_approval", planned, [], c("make-form", **E, what="master"), "A master is made, and no test casts have been approved."),
    ("finding_rubber_did_not_cure", planned, [], c("make-form", **E, what="master", cure_test=False), "The test patch did not cure, and a master is made."),
    ("finding_marked_at_another_stage", with_ware, [], c("mark", numbers="1", stage="greenware"), "Marked at greenware; the brief says end, which is finished."),
    (
        "finding_devices_disagree", planned, [c("start-step", what="b", step="soak", by="kiln phone"), c("note", text="a minute"), c("note", text="and one more")],
        c("start-step", what="b", step="soak", by="wheel room phone"), "soak of b: kiln phone wrote it at 09:02, wheel room phone at 09:05; the earlier counts.",
    ),
    (
        "finding_mold_was_filled_twice", with_molds, [c("start-step", what="M-001 cast 1", step="fill")], c("start-step", what="M-001 cast 2", step="fill"),
        "M-001 was filled at 09:07 as cast 1, and nobody opened it: it is one cast until an opening between is told.",
    ),
    (
        "finding_devices_disagree", with_ware, [c("load", firing="bisque", count=2), c("start-step", **LOST_FOOT, cause="dunt", by="kiln phone")],
        c("start-step", **LOST_FOOT, cause="cracked", by="wheel room phone"),
        "L-001, an unmarked piece, lost: kiln phone wrote dunt at 09:10, wheel room phone crack at 09:11; the earlier counts.",
    ),
    (
        "finding_load_was_written_down", with_ware, [c("load", firing="bisque", count=2), c("unload")],
        c("start-step", **LOST_FOOT, cause="dunt"), "L-001 was written down on 1 Mar 2027 without an unmarked piece, seen lost; the kiln's page counts it in.",
    ),
    (
        "finding_load_was_written_down", with_ware, [c("load", firing="bisque", count=2), c("start-step", **LOST_FOOT, cause="dunt", id="lost"), c("unload")],
        c("undo-step", **LOST_FOOT, undoes="lost"), "L-001 was written down on 1 Mar 2027 with an unmarked piece as lost; the kiln's page counts it good.",
    ),
    ("finding_step_was_not_started", planned, [], c("end-step", what="b", step="soak"), "soak of b is ended, and nobody started it."),
    ("finding_gone_on_when_asked", with_molds, [], c("destroy", molds="1", go_on=True), "M-001 could still make tide-cup: 1-12 of 12 are not made."),
    (
        "finding_closed_within_the_claim_days", lambda p: with_finished(p, claim_days=30), [c("mark", numbers="1"), c("ship", pieces="1"), *CLOSE],
        c("close", short=True, nothing_else=True), "The last piece left on 1 Mar 2027 and its claim window ends on 31 Mar 2027; the edition is closed before.",
    ),
]  # fmt: skip


def sent(desk: Desk, command: dict[str, Any]) -> dict[str, Any]:
    return desk.do(command["do"], **{key: value for key, value in command.items() if key != "do"})


@pytest.mark.parametrize(
    ("name", "start", "before", "command", "said"), CASES, ids=[one[0] for one in CASES]
)
def test_the_finding_is_told_and_kept_and_blocks_nothing(
    tmp_path, name, start, before, command, said
):
    desk = start(tmp_path)
    for one in before:
        sent(desk, one)

    answer = sent(desk, command)

    assert answer["ok"]
    assert said in answer["findings"]
    kept = [doc for _, doc in docs_of(desk, "finding") if doc["said"] == said]
    assert [(one["entry"], one["what"]) for one in kept] == [
        (answer["entry"], name.removeprefix("finding_"))
    ]
    assert desk.book.verify() == []


def test_every_finding_has_a_test():
    assert {one.__name__ for table in (OF_CASTS, *FINDINGS.values(), OF_ALL) for one in table} == {
        one[0] for one in CASES
    }


def test_work_that_goes_as_it_should_finds_nothing(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="1-9")
    desk.do("ship", pieces="1-9")

    assert findings_said(desk) == [NO_MASTER]


def test_a_voided_entry_takes_its_findings_with_it(tmp_path):
    desk = with_ware(tmp_path)
    desk.do("retire", molds="1")
    cast = desk.do("cast", molds="1")
    desk.do("correct", entry=cast["seq"], void=True)

    assert findings_said(desk) == [NO_MASTER]


def test_a_stocktake_is_found_in_one_order_whatever_is_counted_first(tmp_path):
    """A replay reads the counts in the order of their names; the book must say the same."""
    desk = with_ware(tmp_path)
    desk.do("count-stock", counts="8 greenware, 1 bisque")

    assert desk.book.verify([]) == []
