"""The end of an edition in one place: what is open, what may be destroyed, what is missing."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from pourwright.studio.ending import Ending, ending_of, ending_text
from tests.ledger.desk import Desk, with_finished

E = {"edition": "tide-cup"}


def ending(desk: Desk, days: int = 0) -> Ending:
    today = desk.now.date() + timedelta(days=days)
    with desk.book.reading() as reading:
        return ending_of(reading.things, "tide-cup", today, "UTC")


def half_way(folder: Path) -> Desk:
    """Return a desk with masters and molds, three numbers of three made, and nothing sent."""
    desk = with_finished(folder, claim_days=30)
    desk.do("make-form", **E, what="original")
    for part in ("left half", "right half"):
        desk.do("make-form", **E, what="master", part=part)
    desk.do("pour-part", **E, part="left half")
    desk.do("change-size", pieces=3)
    desk.do("mark", numbers="1-3")
    desk.do("surplus", fate="destroyed", count=6)
    return desk


def test_nothing_may_be_destroyed_while_a_number_is_open(tmp_path):
    end = ending(half_way(tmp_path))

    assert end.open == ("1-3 of 3 have not left the studio",)
    assert end.unshipped == (1, 2, 3)
    assert [one.label for one in end.could_remake] == [
        "F-001", "F-002", "F-003", "M-001", "M-002", "M-003", "T-001",
    ]  # fmt: skip
    assert end.could_remake[1].what == "master of the left half"
    assert not end.may_be_destroyed
    assert not end.claims_over
    assert end.claim_ends is None
    assert "none of it may be destroyed yet" in ending_text(end)


def test_masters_that_were_never_entered_are_asked_for(tmp_path):
    assert "no master is in the book" in ending_text(ending(with_finished(tmp_path)))


def test_a_claim_window_ends_on_its_day(tmp_path):
    desk = half_way(tmp_path)
    desk.do("ship", pieces="1-3")

    assert ending(desk, 30).open == ("1-3 of 3 may be claimed until 31 Mar 2027",)
    assert ending(desk, 31).open == ()
    assert ending(desk, 31).claim_ends == date(2027, 3, 31)
    assert ending(desk, 31).claims_over
    assert ending(desk, 31).may_be_destroyed


def test_the_way_to_the_end_is_told_step_by_step(tmp_path):
    desk = half_way(tmp_path)
    desk.do("ship", pieces="1-3")
    desk.now += timedelta(days=31)
    told = ending_text(ending(desk))
    assert "all of it may be destroyed now" in told
    assert '  pourwright book destroy --edition tide-cup --molds "M-001, M-002, M-003"' in told
    assert "cannot be closed yet" in told

    for command in (
        {"do": "destroy", "molds": "all", "spares": "1", "how": "broken up"},
        {"do": "destroy-form", "forms": "2, 3", "how": "shredded", "filler": "2.4 kg"},
        {"do": "keep-form", "forms": "1", "where": "archive shelf", "why": "shown"},
        {"do": "photo", **E, "about": "M-001", "digest": "ab" * 32},
    ):
        answer = desk.do(command.pop("do"), **command)
        assert answer["findings"] == []
    end = ending(desk)
    assert end.could_remake == ()
    assert [(one.label, one.has_photo) for one in end.destroyed] == [
        ("F-002", False), ("F-003", False), ("M-001", True), ("M-002", False), ("M-003", False), ("T-001", False),
    ]  # fmt: skip
    assert (str(end.filler_kg), end.filler) == ("2.4", (("F-002", "2.4 kg"),))
    assert [(one.label, one.where) for one in end.kept] == [("F-001", "archive shelf")]
    assert end.against_closing == ()
    told = ending_text(end)
    assert "a photo that it cannot be used again is missing of F-002, F-003" in told
    assert "  pourwright book close --edition tide-cup --nothing-else yes" in told

    desk.do("close", **E, nothing_else=True)
    assert "Numbers: nothing more is made of it\n" in ending_text(ending(desk))
    assert "Closing: closed at 3 of 3 on" in ending_text(ending(desk))


def test_a_photo_from_before_it_was_destroyed_shows_nothing(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("photo", **E, about="M-001", digest="ab" * 32)
    desk.now += timedelta(days=1)
    desk.do("destroy", molds="1", go_on=True)

    assert ending(desk).without_photo == ("M-001",)


def test_a_disliked_proof_that_is_destroyed_is_owed_to_nobody(tmp_path):
    desk = half_way(tmp_path)
    desk.do("cast", molds="1", each=1)
    desk.do("fire", firing="bisque", count=1)
    desk.do("fire", firing="glaze", count=1)
    desk.do("finish", count=1)
    desk.do("mark", numbers="1", kind="proof")
    desk.do("ship", pieces="1-3")

    desk.do("surplus", fate="destroyed", pieces="AP 1", note="the foot is heavy")

    assert desk.edition()["proof_numbers"] == {"living": 0, "settled": 1}
    assert desk.get("number", "tide-cup/AP/1")["status"] == "settled"
    assert ending(desk, 31).open == ()
    assert not [one for one in ending(desk).against_closing if "owed" in one.words]
    desk.refused("mark", numbers="1", kind="proof")
    assert desk.book.verify() == []


def test_a_proof_that_is_sold_is_not_destroyed_as_surplus(tmp_path):
    desk = with_finished(tmp_path)
    desk.do("mark", numbers="1", kind="proof")
    desk.do("sell", pieces="AP 1")

    refused = desk.refused("surplus", fate="destroyed", pieces="AP 1")
    assert "was sold on 1 Mar 2027" in refused.sentences[0]
