"""Three phones that tap over the network, some away for a while: the bench shows what the model says."""

import random
import re
from datetime import UTC, datetime, timedelta

import pytest

from pourwright.ledger.documents import EditionDoc, LoadDoc
from pourwright.ledger.observations import Observation, load_seen
from pourwright.studio.bench.clocks import steps_of
from pourwright.studio.bench.slip import slip_cards
from tests.bench_studio import EDITION
from tests.ledger.test_observations import Studio, a_day
from tests.web.bench_fixtures import bench as bench
from tests.web.pages import Page
from tests.web.test_bench import press

DAYS = 100
SHORT_DAYS = 14
PHONES = ("glaze room", "kiln", "wheel room")


class Served(Studio):
    """The same three phones; what they deliver goes to a studio that is served."""

    def __init__(self, draw, bench, mold):
        super().__init__(draw, datetime.now(UTC) - timedelta(days=2))
        self.bench, self.mold = bench, mold

    def deliver(self, phone):
        kept = [self.command(one) | {"by": phone} for one in self.kept[phone]]
        if kept:
            answers = self.bench.post("/api/commands", json=kept).json()
            assert [one for one in answers if not one["ok"] and "already" not in one] == []
        super().deliver(phone)

    def command(self, one):
        base = {"edition": EDITION}
        if isinstance(one, tuple):
            number, at = one
            command = {"do": "cast", "id": f"{self.mold} {number} {at} {self.count} {id(one)}",
                       "molds": self.mold, "cast": number, "at": at.isoformat(), "go_on": True}  # fmt: skip
        else:
            command = {"do": "undo-step" if one.undoes else "start-step", "id": f"{self.mold} {one.id}",
                       "what": one.thing, "step": one.stage, "at": one.at.isoformat()}  # fmt: skip
            command |= (
                {"undoes": f"{self.mold} {one.undoes}"} if one.undoes else {"tap": one.number}
            )
        return base | command


@pytest.mark.whole
def test_a_hundred_days_of_three_phones_are_as_the_model_has_them(bench):
    bench.do("pour", edition=EDITION, count=DAYS, at="2026-01-06", go_on=True)
    bench.do("dry", edition=EDITION, molds="all", go_on=True)
    days = {}
    for n in range(DAYS):
        mold = f"M-{n + 4:03d}"
        days[mold] = a_day(n, lambda draw, mold=mold: Served(draw, bench, mold), most=16)
    desk = bench.app.state.desk
    with desk.book.reading() as reading:
        cards = slip_cards(
            reading.things, EDITION, steps_of(reading.things, EDITION), None, desk.now()
        )
    shown = {card.label: card for card in cards}
    stages = set()
    for mold, day in days.items():
        casts, card = day.casts(), shown[mold]
        assert card.phase == (casts[-1].stage if casts else "idle"), mold
        assert card.here.press, mold
        stages.add(card.phase)
        if casts:
            began = casts[-1].began[card.phase].at
            assert card.here.start_ms == began.timestamp() * 1000, mold
            assert bool(card.unsaid) == (len(casts) > 1)
    assert stages == {"idle", "fill", "drain", "stiffen", "open"}
    assert desk.book.verify() == []


class Shown:
    """A page as three phones know it: what each heard last, what it tapped since, whether it is away."""

    def __init__(self, name, draw, bench, path):
        self.name, self.draw, self.bench, self.path = name, draw, bench, path
        self.at = datetime.now(UTC) - timedelta(hours=6)
        self.kept = {one: [] for one in PHONES}
        self.heard = {one: bench.get(path).text for one in PHONES}
        self.away, self.count = set(), 0

    def go_on(self):
        """Let some minutes pass, and the wifi come and go."""
        self.at += timedelta(minutes=self.draw.choice((0.1, 1, 4, 15)))
        self.away ^= {phone for phone in PHONES if self.draw.random() < 0.2}

    def keep(self, phone, verb, **fields):
        """Keep a tap on a phone; those that are not away deliver what they kept."""
        self.count += 1
        skew = timedelta(minutes=PHONES.index(phone))
        self.kept[phone].append({
            "do": verb, "id": f"{self.name} {self.count}", "edition": EDITION,
            "at": (self.at + skew).isoformat(), "by": phone, **fields,
        })  # fmt: skip
        for one in PHONES:
            if one not in self.away:
                self.deliver(one)

    def deliver(self, phone):
        """Write down what a phone kept: nothing is refused because another one was sooner."""
        if self.kept[phone]:
            answers = self.bench.post("/api/commands", json=self.kept[phone]).json()
            refused = [
                one for one in answers if not (one["ok"] or "already" in one or "asks" in one)
            ]
            # ware that another phone has seen lost meanwhile cannot be loaded or glazed
            assert [one for one in refused if "unmarked at" not in one["refused"][0]] == []
        self.kept[phone] = []
        self.heard[phone] = self.bench.get(self.path).text


@pytest.mark.whole
def test_no_batch_is_jammed_whatever_three_phones_tap(bench):
    """Each goes on from the phase that it showed last; in the end every batch is in the book."""
    for seed in range(SHORT_DAYS):
        draw = random.Random(seed)
        bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
        day = Shown(f"pour day {seed}", draw, bench, "/bench/plaster")
        for _ in range(draw.randrange(4, 14)):
            day.go_on()
            phone = draw.choice(PHONES)
            taps = re.findall(r'name="what" value="(batch [^"]+)">\s*<input type="hidden" name="step" value="(\w+)"',
                              day.heard[phone])  # fmt: skip
            mine = [one for one in day.kept[phone] if one["do"] == "start-step"]
            what, step = draw.choice([*taps, (mine[-1]["what"], "open")] if mine else taps)
            if mine and draw.random() < 0.2:
                day.keep(phone, "undo-step", what=mine[-1]["what"], step=mine[-1]["step"], undoes=mine[-1]["id"])  # fmt: skip
            elif draw.random() < 0.1:
                day.keep(phone, "start-step", what=what, step="failed: leaked")
            else:
                day.keep(phone, "start-step", what=what, step=step)
        for phone in draw.sample(PHONES, 3):
            day.deliver(phone)
        for _ in range(8):  # press what is shown until nothing is
            cards = re.findall(r'data-card="batch-[^"]+" .*?data-phase="(\w+)"', bench.get("/bench/plaster").text)  # fmt: skip
            if not cards:
                break
            day.at = datetime.now(UTC)
            if set(cards) <= {"open", "failed"}:
                form = {"edition": EDITION, "writing": "yes"}
                answer = bench.post("/bench/plaster/write", form)
                assert answer.status_code == 303, re.findall(
                    r"""class="(?:error|faults)".*?</""", answer.text, re.DOTALL
                )
                continue
            page = bench.get("/bench/plaster").text
            for card in re.findall(r'<article class="mold" id="card-(batch-[^"]+)".*?data-phase="(?!open|failed)\w+"', page):  # fmt: skip
                press(bench, card, path="/bench/plaster")
        else:
            raise AssertionError(f"{cards} are jammed, seed {seed}")
    assert bench.app.state.desk.book.verify() == []


@pytest.mark.whole
def test_no_load_is_closed_twice_or_jammed_whatever_three_phones_tap(bench):
    """A load that two phones close is one, and is counted once by what all of them saw of it."""
    desk, cast, late, taken_back = bench.app.state.desk, 0, 0, 0
    for seed in range(SHORT_DAYS):
        draw = random.Random(seed)
        each = draw.choice((4, 5, 6))
        made = bench.do("cast", edition=EDITION, molds="all", each=each, at=f"2026-03-{seed + 1:02d}", go_on=True)  # fmt: skip
        assert made.ok
        cast += 3 * each
        bench.do("load", edition=EDITION, firing="bisque", count=3, go_on=True)
        day = Shown(f"kiln {seed}", draw, bench, "/kiln")
        for _ in range(draw.randrange(3, 12)):
            day.go_on()
            phone = draw.choice(PHONES)
            loads = [form.standing() for form in Page(day.heard[phone]).forms if form.action == "/do/load"]  # fmt: skip
            closed = re.findall(r'href="/kiln/(L-\d+)"', day.heard[phone])
            if closed and draw.random() < 0.7:
                at_the_kiln(day, draw, phone, draw.choice(closed))
            elif loads:
                fields = draw.choice(loads)
                told = {"count": fields["count"], "go_on": draw.random() < 0.5}
                if fields["load.firing"] == "glaze" and draw.random() < 0.4:
                    day.keep(phone, "glaze", **told)
                else:
                    day.keep(phone, "load", firing=fields["load.firing"], **told)
        for phone in draw.sample(PHONES, 3):
            day.deliver(phone)
        while closed := re.findall(r'href="/kiln/(L-\d+)"', bench.get("/kiln").text):
            assert bench.post(f"/kiln/{closed[0]}", {"id": f"{seed} last {closed[0]}"}).status_code == 303  # fmt: skip
        for label in set(re.findall(r'action="/kiln/(L-\d+)/late"', bench.get("/kiln").text)):
            late += 1
            for good in ("", "yes"):  # what a later load stands against is taken back
                told = {"id": f"{seed} {label} {good}", "good": good}
                assert bench.post(f"/kiln/{label}/late", told).status_code == 303
        assert "not counted" not in bench.get("/kiln").text
        with desk.book.reading() as reading:
            doc = reading.things.get(EditionDoc, EDITION)
            loads = dict(reading.things.of(LoadDoc, EDITION))
            seen = [observed(one) for one in reading.entries(EDITION, kinds=SEEN)]
        assert sum(doc.ware.values()) + doc.lost_unnamed == cast
        assert {one.state for one in loads.values()} <= {"opened"}
        for label, load in loads.items():
            of_it = [one for one in seen if one.thing.startswith(f"{label},")]
            lost = len(load_seen(draw.sample(of_it, len(of_it)), label).lost)
            taken_back += any(one.undoes for one in of_it)
            # what was taken back after it was counted is told, and stays as it was written down
            assert lost <= sum(load.lost.values()) <= len({one.thing for one in of_it})
            if not any(one.undoes for one in of_it):
                assert lost == sum(load.lost.values()), label
    assert len(loads) > 10
    assert late > 2
    assert taken_back > 2
    assert desk.book.verify() == []


def at_the_kiln(day, draw, phone, label):
    """See a piece lost, take that back, say that the kiln is off, or write the load down."""
    mine = [one for one in day.kept[phone] if one["do"] == "start-step"]
    act = draw.random()
    if act < 0.15:
        day.keep(phone, "start-step", what=label, step="off")
    elif act < 0.3 and mine:
        last = mine[-1]
        day.keep(phone, "undo-step", what=last["what"], step=last["step"], undoes=last["id"])
    elif act < 0.65:
        what, cause = f"{label}, unmarked {draw.randrange(1, 4)}", draw.choice(("crack", "dunt"))
        day.keep(phone, "start-step", what=what, step="lost", cause=cause)
    else:
        day.keep(phone, "unload", load=label, go_on=True)


SEEN = ("step-started", "step-voided")


def observed(entry):
    """Return what an entry says was seen."""
    body = entry.body
    return Observation(
        id=entry.command_id,
        thing=body["what"],
        stage=body["step"],
        at=datetime.fromisoformat(entry.at),
        device=entry.by,
        undoes=body.get("undoes", ""),
        cause=body.get("cause", ""),
    )
