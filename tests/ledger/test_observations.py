"""Taps as observations: any order and any repetition gives one state, and no mold is ever jammed."""

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from pourwright.ledger.documents import LoadDoc, StepDoc
from pourwright.ledger.observations import (
    APART,
    IN_THE_KILN,
    IN_THE_MOLD,
    LOST,
    Observation,
    casts_in,
    load_seen,
    standing,
    state_of,
)
from pourwright.ledger.state.loads import as_told, not_counted
from tests.ledger.desk import with_molds, with_ware
from tests.ledger.toy import rounds

NOON = datetime(2027, 3, 1, 12, tzinfo=UTC)
PHONES = ("glaze room", "kiln", "wheel room")
NEXT = {"": "fill", "fill": "drain", "drain": "open", "stiffen": "open"}


def seen(stage, minutes, device="kiln", *, thing="M-004 cast 8", undoes="", **more):
    """Return what a device saw some minutes after noon."""
    name = more.pop("id", f"{device} {stage} {minutes} {thing} {undoes}")
    at = NOON + timedelta(minutes=minutes)
    return Observation(id=name, thing=thing, stage=stage, at=at, device=device, undoes=undoes, **more)  # fmt: skip


def stages(observations, written=7, written_at=None):
    """Return the stage of each cast that is not in the book yet, and when it began after noon. [min]"""
    return [
        (cast.stage, (cast.began[cast.stage].at - NOON).total_seconds() / 60)
        for cast in casts_in(observations, written, written_at)
    ]


# --- what two phones make of one mold


def test_the_phone_that_comes_back_late_drained_it_first():
    """It was away from the filling on; the other one drained four minutes after it, and was told."""
    fill = seen("fill", 0, "kiln")
    late = [seen("drain", 14, "kiln"), seen("stiffen", 17.9, "kiln")]
    other = [seen("drain", 18, "wheel room")]
    (cast,) = casts_in([*other, fill, *late], 7, None)

    assert (cast.stage, cast.began["drain"].at) == ("stiffen", NOON + timedelta(minutes=14))
    ((told),) = cast.disagreements
    assert (told.first.device, told.other.device) == ("kiln", "wheel room")
    assert (
        casts_in([fill, *late, seen("drain", 15.9, "wheel room")], 7, None)[0].disagreements == ()
    )


def test_a_mold_that_is_filled_again_by_a_phone_that_was_away_stands_full():
    """It calls the next cast by the name of the one that the other phone has written down."""
    before = [seen("fill", 0), seen("drain", 12), seen("open", 40)]
    again = [seen("fill", 60, "wheel room"), seen("drain", 73, "wheel room")]

    assert stages([*before, *again], written=8) == [("drain", 73)]
    assert stages(before, written=8) == []
    assert stages([*before, seen("drain", 45, "wheel room")], written=8) == []  # pressed too late
    written_at = NOON + timedelta(minutes=41)
    assert stages([*before[:2], *again], 8, written_at) == [("drain", 73)]  # nobody tapped open


def test_two_fills_with_no_opening_between_are_one_cast_under_two_names():
    two = [seen("fill", 0), seen("fill", 20, "wheel room", thing="M-004 cast 9")]
    (cast,) = casts_in(two, 7, None)
    assert cast.things == ("M-004 cast 8", "M-004 cast 9")
    assert (cast.stage, cast.began["fill"].at) == ("fill", NOON)

    says_otherwise = seen("open", 15)
    assert stages([*two, says_otherwise]) == [("open", 15), ("fill", 20)]


def test_what_nobody_saw_is_implied_and_ties_are_broken_by_stage_device_number_and_id():
    (cast,) = casts_in([seen("open", 30)], 7, None)
    assert cast.implied == ("fill", "drain", "stiffen")

    taps = [seen("fill", 0, device, number=n, id=name)
            for device, n, name in (("wheel room", 1, "a"), ("kiln", 2, "b"), ("kiln", 2, "a2"), ("kiln", 9, "0"))]  # fmt: skip
    assert state_of(taps, IN_THE_MOLD).began["fill"].id == "a2"


def test_an_undo_takes_back_what_it_names_whenever_it_comes_and_may_be_taken_back():
    fill = seen("fill", 0, id="tap")
    undo = seen("fill", 1, id="undo", undoes="tap")
    again = seen("fill", 2, id="undo of the undo", undoes="undo")

    assert standing([undo, fill]) == []
    assert standing([again, undo, fill]) == [fill]
    assert standing([fill, replace(fill, id="loop", undoes="loop")]) == [fill]


# --- the book keeps them all


def test_the_book_refuses_no_tap_and_takes_one_back_before_it_comes(tmp_path):
    desk = with_molds(tmp_path)
    tap = {"what": "M-001 cast 1", "step": "drain"}
    at = {one: f"2027-03-01T09:0{one}:00Z" for one in range(8)}
    desk.do("start-step", **tap, by="wheel room", at=at[4])
    late = desk.do("start-step", **tap, by="kiln", at=at[1], target="12 min", tap=17)
    desk.do("undo-step", **tap, undoes="never came")
    with desk.book.reading() as reading:
        step = reading.things.get(StepDoc, "tide-cup/M-001 cast 1/drain")
    assert (step.started, step.target.value) == (at[1], "12")
    assert late["findings"] == [
        "drain of M-001 cast 1: kiln wrote it at 09:01, wheel room at 09:04; the earlier counts."
    ]

    desk.do("undo-step", **tap, undoes=late["id"])
    gone = desk.send({"do": "start-step", **tap, "id": "never came", "at": at[0]})
    assert gone["ok"]
    with desk.book.reading() as reading:
        step = reading.things.get(StepDoc, "tide-cup/M-001 cast 1/drain")
    assert (step.started, step.target) == (at[4], None)
    assert desk.book.rebuild() == []


def test_what_is_ended_may_be_started_again_but_not_by_a_thumb_that_was_late(tmp_path):
    desk = with_molds(tmp_path)
    tap = {"what": "batch 1", "step": "soak"}
    desk.do("start-step", **tap, at="2027-03-01T09:00:00Z")
    desk.do("end-step", **tap, at="2027-03-01T09:02:00Z")
    desk.do("start-step", **tap, at="2027-03-01T09:03:00Z")
    with desk.book.reading() as reading:
        assert reading.things.get(StepDoc, "tide-cup/batch 1/soak").ended
    desk.do("start-step", **tap, at="2027-03-01T09:05:00Z")
    with desk.book.reading() as reading:
        step = reading.things.get(StepDoc, "tide-cup/batch 1/soak")
    assert (step.started, step.ended, step.was_ended) == ("2027-03-01T09:05:00Z", None, True)


# --- two phones at one kiln


def lost(piece, minutes, cause, device="kiln", **more):
    """Return that a device saw a piece of L-001 lost."""
    return seen(LOST, minutes, device, thing=f"L-001, {piece}", cause=cause, **more)


def causes(now):
    return {piece: one.cause for piece, one in now.lost.items()}


def test_two_phones_at_one_kiln_see_one_load():
    """One was away: what it saw first counts, and a piece that both saw is lost once."""
    late = [lost("P-00007", 14, "dunt"), lost("P-00008", 15, "crawl")]
    other = [
        seen("off", 0, "wheel room", thing="L-001"),
        lost("P-00007", 18, "crack", "wheel room"),
    ]
    now = load_seen([*other, *late], "L-001")

    assert causes(now) == {"P-00007": "dunt", "P-00008": "crawl"}
    assert (now.load.stage, now.load.began["opened"].at) == ("opened", NOON + timedelta(minutes=14))
    ((told),) = now.disagreements
    assert (told.first.cause, told.other.cause) == ("dunt", "crack")
    undo = seen(LOST, 20, "wheel room", thing="L-001, P-00007", undoes=late[0].id)
    assert causes(load_seen([undo, *other, *late], "L-001"))["P-00007"] == "crack"
    assert load_seen(late, "L-002").load.stage == ""


def test_a_load_is_counted_once_by_all_that_was_seen_of_it(tmp_path):
    """A phone that comes back later is told, and what it saw is counted in by a correction."""
    desk = with_ware(tmp_path)
    desk.do("mark", numbers="1", stage="greenware")
    desk.do("load", firing="bisque", count=3, pieces="1")

    def see(piece, cause, by):
        return desk.do("start-step", what=f"L-001, {piece}", step="lost", cause=cause, by=by)

    see("unmarked 1", "dunt", "kiln")
    see("unmarked 1", "crack", "wheel room")
    gone = see("unmarked 2", "warp", "wheel room")
    desk.do("undo-step", what="L-001, unmarked 2", step="lost", undoes=gone["id"])
    opened = desk.do("unload")
    assert opened["said"] == "L-001: 3 of 4 pieces good, bisque firing; 1 dunt."
    assert desk.refused("unload", load=1).rules == ("rule_load_is_closed",)

    see("unmarked 3", "crack", "glaze room")
    see("P-00001", "warp", "glaze room")
    with desk.book.reading() as reading:
        load = reading.things.get(LoadDoc, "L-001")
        late = not_counted(reading.things, "L-001", load)
    assert as_told(late) == ({"crack": 1}, {"P-00001": "warp"})
    changes = {"lost": {"dunt": 1, "crack": 1}, "lost_pieces": {"P-00001": "warp"}}
    desk.do("correct", entry=opened["seq"], changes=changes)
    with desk.book.reading() as reading:
        load = reading.things.get(LoadDoc, "L-001")
        assert not_counted(reading.things, "L-001", load) == {}
    desk.do("correct", entry=opened["seq"], changes={"lost": None, "lost_pieces": None})
    assert desk.get("load", "L-001")["lost"] == {}  # a correction says what it says
    assert desk.book.verify() == []


# --- three phones, any order


class Studio:
    """Three phones with clocks of their own at one mold; each knows what it tapped and what it heard."""

    mold = "M-004"

    def __init__(self, draw, noon=NOON):
        self.draw, self.noon, self.minute, self.count = draw, noon, 0.0, 0
        self.book, self.written, self.written_at = [], 0, None
        self.skew = {one: draw.choice((0, 0, draw.uniform(-4, 4))) for one in PHONES}
        self.kept = {one: [] for one in PHONES}
        self.heard = {one: ([], 0, None) for one in PHONES}

    def at(self, phone):
        at = self.noon + timedelta(minutes=self.minute + self.skew[phone])
        return at.replace(microsecond=0)  # as the book keeps it

    def tap(self, phone):
        """Press the button that the phone shows, or take its last tap back."""
        heard, written, written_at = self.heard[phone]
        mine = [one for one in self.kept[phone] if isinstance(one, Observation)]
        casts = casts_in([*heard, *mine], written, written_at)
        stage = casts[-1].stage if casts else ""
        self.count += 1
        known = {"id": f"{phone}-{self.count}", "at": self.at(phone), "device": phone,
                 "number": self.count, "thing": f"{self.mold} cast {written + 1}"}  # fmt: skip
        if mine and self.draw.random() < 0.2:
            last = mine[-1]
            self.kept[phone].append(Observation(**known, stage=last.stage, undoes=last.id))
        elif stage == "open":
            self.kept[phone].append((written + 1, self.at(phone)))
        else:
            after = NEXT[stage] if stage != "drain" else self.draw.choice(("stiffen", "open"))
            self.kept[phone].append(Observation(**known, stage=after))

    def deliver(self, phone):
        """Write down what the phone kept, in its order; a cast is counted once, by its number."""
        for one in self.kept[phone]:
            if isinstance(one, Observation):
                self.book.append(one)
            elif one[0] > self.written:
                self.written, self.written_at = self.written + 1, one[1]
        self.kept[phone] = []
        self.heard[phone] = (list(self.book), self.written, self.written_at)

    def casts(self, book=None):
        return casts_in(self.book if book is None else book, self.written, self.written_at)


class Kiln(Studio):
    """The same three phones at one kiln: each marks pieces lost, says that it is off, takes taps back."""

    label = "L-001"
    causes = ("crack", "crawl", "dunt")

    def __init__(self, draw, noon=NOON, pieces=("P-00001", "P-00002", "unmarked 1", "unmarked 2")):
        super().__init__(draw, noon)
        self.pieces = pieces

    def tap(self, phone):
        """Mark a piece, say that the kiln is off or open, or take any tap back that the phone knows."""
        known = [*self.heard[phone][0], *self.kept[phone]]
        self.count += 1
        what = {"id": f"{phone}-{self.count}", "at": self.at(phone), "device": phone, "number": self.count}  # fmt: skip
        if known and self.draw.random() < 0.25:
            of = self.draw.choice(known)
            tap = Observation(**what, thing=of.thing, stage=of.stage, undoes=of.id)
        elif self.draw.random() < 0.5:
            stage = self.draw.choice(("off", "off", "off", "opened"))
            tap = Observation(**what, thing=self.label, stage=stage)
        else:
            thing = f"{self.label}, {self.draw.choice(self.pieces)}"
            tap = Observation(**what, thing=thing, stage=LOST, cause=self.draw.choice(self.causes))
        self.kept[phone].append(tap)

    def now(self, book=None):
        return load_seen(self.book if book is None else book, self.label)


def a_day(seed, studio_of=Studio, most=40):
    """Let three phones tap for some hours, with spans in which some are away; deliver all in the end."""
    draw = random.Random(seed)
    studio, away = studio_of(draw), set()
    for _ in range(draw.randrange(5, most)):
        studio.minute += draw.choice((0.0, 0.02, 0.1, 3, 12, 25))
        away ^= {phone for phone in PHONES if draw.random() < 0.15}
        phone = draw.choice(PHONES)
        studio.tap(phone)
        for one in PHONES:
            if one not in away:
                studio.deliver(one)
    for phone in draw.sample(PHONES, 3):
        studio.deliver(phone)
    return studio


@pytest.mark.rounds
def test_any_order_gives_one_state_and_from_every_state_a_button_leads_on():
    told_apart = renamed = 0
    for seed in range(rounds(300, 5_000)):
        studio = a_day(seed)
        draw, casts = studio.draw, studio.casts()
        for _ in range(3):
            again = [*studio.book, *draw.choices(studio.book, k=5)]
            draw.shuffle(again)
            assert studio.casts(again) == casts, seed
        left = standing(studio.book)
        for cast in casts:
            assert cast.stage == max(cast.began, key=IN_THE_MOLD.index)
            assert all(one in left for one in cast.began.values())
            assert set(cast.implied).isdisjoint(cast.began)
            apart = [two.other.at - two.first.at > APART for two in cast.disagreements]
            assert all(apart), seed
            told_apart += len(apart)
            renamed += len(cast.things) > 1
        leads_on(studio, seed)
    assert told_apart > 10
    assert renamed > 0


@pytest.mark.rounds
def test_any_order_gives_one_state_of_a_load_whose_pieces_are_lost_once_at_the_earliest():
    stages, told_apart = set(), 0
    for seed in range(rounds(300, 5_000)):
        kiln = a_day(seed, Kiln, most=6 + seed % 30)
        draw, now = kiln.draw, kiln.now()
        for _ in range(3):
            again = [*kiln.book, *draw.choices(kiln.book, k=5)]
            draw.shuffle(again)
            assert kiln.now(again) == now, seed
        left = [one for one in standing(kiln.book) if one.stage == LOST]
        assert {one.thing for one in left} == {f"L-001, {piece}" for piece in now.lost}
        for piece, first in now.lost.items():
            assert first.at == min(one.at for one in left if one.thing == f"L-001, {piece}"), seed
        for two in now.disagreements:
            assert two.other.at - two.first.at > APART or two.other.cause != two.first.cause
        told_apart += len(now.disagreements)
        assert not left or now.load.began["opened"].at <= min(one.at for one in left)
        stages.add(now.load.stage)
    assert stages >= set(IN_THE_KILN)
    assert told_apart > 10


def leads_on(studio, seed):
    """Press what is shown until all is in the book: the mold is filled, drained, opened and free again."""
    studio.minute += 600  # the next morning, whatever the clocks say
    phone = "kiln"
    studio.skew[phone] = 0
    before = studio.written
    for _ in range(12):
        studio.deliver(phone)
        if not studio.casts() and studio.written > before:
            return
        studio.minute += 5
        casts = studio.casts()
        if casts and casts[-1].stage == "open":
            studio.kept[phone].append((studio.written + 1, studio.at(phone)))
        else:
            stage = NEXT[casts[-1].stage if casts else ""]
            studio.count += 1
            thing = f"M-004 cast {studio.written + 1}"
            one = seen(stage, studio.minute, phone, thing=thing, id=f"next {studio.count}")
            studio.kept[phone].append(one)
    raise AssertionError(f"the mold is jammed at {studio.casts()} of seed {seed}")
