"""Days are told by the calendar of the studio, whatever day it is in UTC."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from pourwright.cli.main import run
from pourwright.ledger.entry import day_in, day_said
from pourwright.studio.answers import findings, stages, today_lists
from pourwright.studio.book_words import findings_text, stages_text
from pourwright.studio.photos import photos_of
from tests.ledger import desk as desks
from tests.ledger.desk import Desk, docs_of, planned, with_finished, with_molds, with_ware

PHOTO = "ab" * 32


class Denver(Desk):
    """A studio that works in the evening of March 1, which is the second in UTC."""

    zone, hour = "America/Denver", datetime(2027, 3, 2, 3, tzinfo=UTC)
    in_utc = "2027-03-02"
    closing, after = datetime(2027, 4, 1, 3, tzinfo=UTC), datetime(2027, 4, 1, 15, tzinfo=UTC)

    def __init__(self, folder: Path, name: str = "book.db") -> None:
        super().__init__(folder, name)
        self.book.zone, self.now = self.zone, self.hour


class Auckland(Denver):
    """A studio that works in the morning of March 1, which is the last of February in UTC."""

    zone, hour = "Pacific/Auckland", datetime(2027, 2, 28, 20, tzinfo=UTC)
    in_utc = "2027-02-28"
    closing, after = datetime(2027, 3, 30, 20, tzinfo=UTC), datetime(2027, 3, 31, 20, tzinfo=UTC)


@pytest.fixture(params=[Denver, Auckland])
def studio(request, monkeypatch):
    """Let the desks of this module stand in a studio far from UTC."""
    monkeypatch.setattr(desks, "Desk", request.param)
    return request.param


@pytest.fixture
def auckland(monkeypatch):
    monkeypatch.setattr(desks, "Desk", Auckland)


def said(desk: Desk) -> list[str]:
    return [doc["said"] for _, doc in docs_of(desk, "finding")]


def test_a_date_alone_is_that_day_in_every_zone(studio):
    at = studio.hour.isoformat().replace("+00:00", "Z")

    assert day_in(at, studio.zone) == "2027-03-01" == day_in("2027-03-01", studio.zone)
    assert day_in(at, "UTC") == studio.in_utc


# --- what is refused


def test_a_destroyed_mold_is_refused_with_the_day_of_the_studio(tmp_path, studio):
    desk = with_molds(tmp_path)
    desk.do("destroy", molds="1", go_on=True)

    assert desk.refused("cast", molds="1").sentences == ("M-001 was destroyed on 1 Mar 2027.",)


def test_each_who_asks_is_told_the_day_in_his_own_zone(tmp_path, studio):
    desk = with_molds(tmp_path)
    desk.do("destroy", molds="1", go_on=True)
    abroad = desk.refused("cast", molds="1", zone="UTC")

    assert abroad.sentences == (f"M-001 was destroyed on {day_said(studio.in_utc)}.",)
    assert desk.refused("cast", molds="1").sentences == ("M-001 was destroyed on 1 Mar 2027.",)
    with desk.book.reading() as reading:
        assert reading.things.zone == "UTC", "what readers share is left with nobody's zone"


def test_every_other_rule_that_names_a_day_names_that_of_the_studio(tmp_path, studio):
    desk = with_finished(tmp_path)
    desk.do("retire", molds="1")
    desk.do("mark", numbers="1-4")
    desk.do("sell", pieces="1")
    desk.do("give", pieces="2")
    desk.do("break", pieces="3")
    desk.do("settle", numbers="3", why="the buyer was paid")
    desk.do("photo", edition="tide-cup", digest=PHOTO)
    told = [
        desk.refused("retire", molds="1"),
        desk.refused("declare"),
        desk.refused("unload", load="1"),
        desk.refused("sell", pieces="1"),
        desk.refused("give", pieces="1"),
        desk.refused("sell", pieces="2"),
        desk.refused("ship", pieces="2"),
        desk.refused("mark", numbers="3", evidence="a shard"),
        desk.refused("photo", edition="tide-cup", digest=PHOTO),
    ]
    desk.do("erase-photo", edition="tide-cup", digest=PHOTO)
    told += [desk.refused("erase-photo", edition="tide-cup", digest=PHOTO)]

    assert [one for one in told if "1 Mar 2027" not in " ".join(one.sentences)] == []
    assert [one for one in told if day_said(studio.in_utc) in " ".join(one.sentences)] == []


def test_a_closed_edition_and_a_destroyed_form_are_told_with_the_day_of_the_studio(
    tmp_path, studio
):
    desk = planned(tmp_path)
    desk.do("make-form", edition="tide-cup", what="block mold")
    desk.do("destroy-form", forms="1", go_on=True)
    desk.do("declare")
    desk.do("close", short=True, nothing_else=True)

    assert "destroyed on 1 Mar 2027." in desk.refused("destroy-form", forms="1").sentences[0]
    assert "closed on 1 Mar 2027 at" in desk.refused("pour", count=1).sentences[0]


def test_a_correction_names_the_local_day_of_a_later_entry(tmp_path, studio):
    desk = with_molds(tmp_path)
    cast = desk.do("cast", molds="all", each=3, good=6)
    fired = desk.do("fire", firing="bisque", count=5)

    refused = desk.refused("correct", entry=cast["seq"], changes={"good": 4, "lost": "2 stuck"})
    lead = f"Entry {fired['seq']} (fire, 1 Mar 2027) could then not stand: "
    assert refused.sentences[0].startswith(lead)


def test_a_correction_judges_each_entry_in_its_own_zone(tmp_path, studio):
    desk = with_molds(tmp_path)
    desk.do("destroy", molds="1", go_on=True)
    here, abroad = desk.do("cast", molds="2"), desk.do("cast", molds="2", zone="UTC", go_on=True)

    for cast, day in ((here, "2027-03-01"), (abroad, studio.in_utc)):
        refused = desk.refused("correct", entry=cast["seq"], changes={"molds": "1"})
        assert refused.sentences == (
            f"As corrected it cannot stand: M-001 was destroyed on {day_said(day)}.",
        )


def test_another_devices_tap_is_told_with_the_time_of_day_of_the_studio(tmp_path, studio):
    desk = planned(tmp_path)
    desk.do("start-step", what="batch 1", step="soak", by="kiln phone")
    for n in range(3):
        desk.do("note", text=f"minute {n} goes by")

    second = desk.do("start-step", what="batch 1", step="soak", by="wheel room phone")
    first, later = ("20:02", "20:06") if studio is Denver else ("09:02", "09:06")
    assert second["findings"] == [
        f"soak of batch 1: kiln phone wrote it at {first}, wheel room phone at {later}; the earlier counts."
    ]


# --- what is odd


def test_a_mold_poured_by_date_and_cast_the_same_morning_is_not_odd(tmp_path, auckland):
    desk = planned(tmp_path)
    desk.do("pour", count=2, at="2027-03-01")
    desk.do("dry", molds="all")

    assert desk.do("cast", molds="1")["findings"] == []
    before = desk.do("cast", molds="2", at="2027-02-28T09:00")
    assert before["findings"] == ["M-002 was poured on 1 Mar 2027 and is cast on 28 Feb 2027."]
    assert desk.book.verify() == []


def test_a_mold_poured_in_the_evening_and_cast_by_date_is_not_odd(tmp_path, studio):
    desk = with_molds(tmp_path)

    assert desk.do("cast", molds="1", at="2027-03-01", lot="S-001")["findings"] == []
    before = desk.do("cast", molds="2", at="2027-02-28", lot="S-001")
    assert before["findings"] == ["M-002 was poured on 1 Mar 2027 and is cast on 28 Feb 2027."]


def test_a_retired_mold_that_is_cast_is_told_with_the_day_of_the_studio(tmp_path, studio):
    desk = with_ware(tmp_path)
    desk.do("retire", molds="1")

    assert desk.do("cast", molds="1")["findings"] == [
        "M-001 was retired on 1 Mar 2027 and is cast."
    ]


def away(tmp_path: Path) -> Desk:
    """Return a desk whose only piece has left it, and that may be closed."""
    desk = with_finished(tmp_path, claim_days=30)
    desk.do("mark", numbers="1")
    desk.do("ship", pieces="1")
    desk.do("surplus", fate="destroyed", count=8)
    desk.do("destroy", molds="all", go_on=True)
    return desk


def test_the_last_piece_left_on_the_day_of_the_studio(tmp_path, studio):
    desk = away(tmp_path)

    assert desk.edition()["last_away"] == "2027-03-01"
    assert desk.book.verify() == []


def test_the_claim_window_lasts_to_the_end_of_the_last_local_day(tmp_path, studio):
    desk = away(tmp_path)
    desk.now = studio.closing

    desk.do("close", short=True, nothing_else=True)

    assert [one for one in said(desk) if "its claim window ends" in one] == [
        "The last piece left on 1 Mar 2027 and its claim window ends on 31 Mar 2027; the edition is closed before."
    ]


def test_the_claim_window_is_over_on_the_next_local_day(tmp_path, studio):
    desk = away(tmp_path)
    desk.now = studio.after

    desk.do("close", short=True, nothing_else=True)

    assert not [one for one in said(desk) if "its claim window ends" in one]


# --- what is read


def test_findings_stages_and_photos_are_told_with_the_day_of_the_studio(tmp_path, studio):
    desk = with_ware(tmp_path)
    desk.do("load", firing="bisque", count=2)
    cast = desk.do("cast", molds="1", lot="S-009")
    desk.do("photo", edition="tide-cup", about="M-001", digest=PHOTO)

    with desk.book.reading() as reading:
        odd = findings_text(findings(reading.things, "tide-cup"), studio.zone)
        stand = stages_text(stages(reading.things, "tide-cup"), studio.zone)
        photos = photos_of(reading.things, "tide-cup", "M-001", zone=studio.zone)
    assert f"2027-03-01, entry {cast['seq']}: S-009 is used" in odd
    assert "in the kiln since 2027-03-01: 2" in stand
    assert [one.day for one in photos] == ["1 Mar 2027"]


def test_a_mold_dries_from_the_later_local_day(tmp_path, monkeypatch):
    """A part poured by date on the second is fresher than a mold poured in the evening before."""
    monkeypatch.setattr(desks, "Desk", Denver)
    desk = with_molds(tmp_path)
    desk.now = datetime(2027, 3, 3, 18, tzinfo=UTC)
    desk.do("pour-part", edition="tide-cup", part="left half", at="2027-03-02")
    desk.do("swap-part", mold=1, part="left half", spare=1)

    with desk.book.reading() as reading:
        lists = today_lists(reading.things, "tide-cup", date(2027, 3, 3), Denver.zone)
    assert [(one.label, one.days) for one in lists.drying] == [("M-001", 1)]


@pytest.mark.parametrize("question", ["findings", "stages"])
def test_the_command_line_tells_the_day_of_the_studio(tmp_path, studio, question, capsysbinary):
    (tmp_path / "studio.toml").write_text(
        f'version = 1\n[studio]\nzone = "{studio.zone}"\n[kiln]\nloads_a_week = 2\n'
    )
    desk = with_ware(tmp_path)
    desk.do("load", firing="bisque", count=2)
    desk.do("cast", molds="1", lot="S-009")
    desk.book.store.close()

    assert run(["book", "show", question, "--folder", str(tmp_path)]) == 0
    told = capsysbinary.readouterr().out.decode()
    assert "2027-03-01" in told
    assert studio.in_utc not in told


def test_no_day_is_cut_out_of_an_instant(root):
    cut = [
        path.name
        for ending in ("*.py", "*.html")
        for path in (root / "src").rglob(ending)
        if "[:10]" in path.read_text(encoding="utf-8")
    ]

    assert cut == []
