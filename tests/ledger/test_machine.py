"""The book against a second, independent set of rules, step by step and in any order."""

from __future__ import annotations

import shutil
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from pourwright.errors import Refused, StudioError
from pourwright.ledger.documents import MoldDoc, NumberDoc
from tests.ledger.desk import START, Desk, held
from tests.ledger.model import DRY_DAYS, FIRINGS, Edition, Model
from tests.ledger.toy import rounds

STEPS = 50
RUNS = rounds(usual=20, soak=500)
AT_LEAST = rounds(usual=800, soak=20_000)

pytestmark = pytest.mark.rounds

TIDE, REED, MOTH = "tide-cup", "reed-cup", "moth-cup"
BRIEFS: dict[str, dict[str, Any]] = {
    TIDE: {
        "pieces": 6,
        "proofs": 2,
        "route": "bisque and glaze",
        "conditioning": 1,
        "claim_days": 2,
    },
    REED: {"pieces": 4, "proofs": 1, "route": "once", "conditioning": 2},
    MOTH: {"pieces": 3, "proofs": 0, "route": "bisque, glaze and third", "conditioning": 0},
}
PARTS = ["left half", "foot"]
CAUSES = ["stuck", "warp", "chip"]
STAGES = ["greenware", "bisque", "fired", "third-fired", "finished"]

names = st.sampled_from([TIDE, TIDE, REED, MOTH])
few = st.integers(1, 4)
losses = st.dictionaries(st.sampled_from(CAUSES), st.integers(1, 2), max_size=2)
maybe = st.booleans()
wild = st.integers(0, 7).map(lambda n: n == 7)  # now and then, what cannot be
picks = st.lists(st.integers(0, 30), min_size=1, max_size=3)
taken = {"steps": 0, "kept": 0, "refused": 0}


class BookAgainstModel(RuleBasedStateMachine):
    """Send commands to the book and to the model: both keep them, or both refuse them."""

    def begin(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.desk = Desk(self.folder)
        self.desk.book.dry_days = DRY_DAYS
        self.model = Model()
        self.sent: list[tuple[dict[str, Any], dict[str, Any]]] = []
        for name, brief in BRIEFS.items():
            self.desk.do("plan-edition", edition=name, parts=PARTS, **brief)
            model = Edition(brief["pieces"], brief["proofs"], brief["route"], brief["conditioning"], PARTS, claim_days=brief.get("claim_days", 0))  # fmt: skip
            self.model.plan(name, model)
            self.send("pour", edition=name, count=2, go_on=True)
            for part in PARTS:
                self.send("make-form", edition=name, what="master", part=part)
        for name in (TIDE, REED):
            self.send("declare", edition=name)
            molds = list(self.model.now[name].molds)
            self.send("dry", edition=name, molds=molds, go_on=True)
            self.send("cast", edition=name, molds=molds, each=6)

    @initialize(firings=st.integers(0, 2), marked=st.integers(0, 3), lost=st.integers(0, 2))
    def begin_in_the_middle(self, firings: int, marked: int, lost: int) -> None:
        """Take some ware on, mark and lose some pieces, so that the late stages are met too."""
        self.begin()
        for firing in FIRINGS[BRIEFS[TIDE]["route"]][:firings]:
            self.send("fire", edition=TIDE, firing=firing, count=6)
        if firings == 2:
            self.send("finish", edition=TIDE, count=5)
        stage = ("greenware", "bisque", "finished")[firings]
        if marked:
            self.send(
                "mark",
                edition=TIDE,
                kind="numbered",
                numbers=list(range(1, marked + 1)),
                stage=stage,
            )
            self.send("mark", edition=TIDE, kind="surplus", count=1, stage=stage)
        for label in list(self.model.now[TIDE].pieces)[:lost]:
            self.send(
                "lose",
                edition=TIDE,
                pieces=[label],
                cause="chip",
                **({"evidence": "shard"} if lost == 2 else {}),
            )

    def send(self, verb: str, **fields: Any) -> None:
        """Let both judge one command; the book's answer must be the model's."""
        taken["steps"] += 1
        command = {"do": verb, **fields}
        before = self.desk.picture()
        head = before[0].seq
        self.desk.count += 1
        self.desk.now += timedelta(minutes=1)
        whole = {"id": f"desk-{self.desk.count}", **command}
        answer, refused = self._sent(whole)
        command["day"] = self.desk.now.date().isoformat()
        if answer is None:
            made = [f"X-{i}" for i in range(_needed(command))]
            assert self.model.after(command, made, self.desk.now, head) is None, (
                f"{command} was refused: {refused}"
            )
            assert self.desk.picture() == before
            taken["refused"] += 1
            return
        edition = self.model.after(command, answer["made"], self.desk.now, head)
        assert edition is not None, f"{command} was kept: {answer['said']}"
        self.model.take(command, answer["made"], answer["seq"], edition, self.desk.now)
        self.sent.append((whole, answer))
        taken["kept"] += 1

    def _sent(self, command: dict[str, Any]) -> tuple[dict[str, Any] | None, Refused | None]:
        try:
            return self.desk.send(command), None
        except Refused as refused:
            return None, refused

    # --- what to name: mostly what is there, now and then what is not

    def some(self, known: Any, which: list[int]) -> list[str]:
        labels = list(known)
        return list(dict.fromkeys(labels[i % len(labels)] for i in which)) if labels else []

    def molds(self, name: str, which: list[int]) -> list[str]:
        molds = self.model.now[name].molds
        usable = [label for label, one in molds.items() if one.state != "destroyed"]
        return self.some(usable if which[0] % 8 else molds, which) or ["M-999"]

    def pieces(self, name: str, which: list[int]) -> list[str]:
        return self.some(self.model.now[name].pieces, which) or ["P-00999"]

    def stage(self, name: str, stage: str, is_wild: bool) -> str:
        """Return a stage at which there is ware, the one asked for if it has any."""
        ware = self.model.now[name].ware
        full = [one for one in ware if ware[one]]
        return stage if is_wild or stage in full or not full else full[len(stage) % len(full)]

    def up_to(self, name: str, stage: str, count: int, is_wild: bool) -> int:
        held = self.model.now[name].ware.get(stage, 0)
        return count if is_wild or not held else min(count, held)

    def within(self, losses: dict[str, int], count: int, is_wild: bool) -> dict[str, Any]:
        """Return losses that come to no more than a count."""
        if not is_wild:
            left = max(0, count)
            for cause in list(losses):
                losses[cause] = min(losses[cause], left)
                left -= losses[cause]
        return {"lost": {key: n for key, n in losses.items() if n}} if any(losses.values()) else {}

    # --- editions

    @rule(name=names, size=st.integers(1, 7), proofs=st.none() | st.integers(0, 3))
    def declare(self, name: str, size: int, proofs: int | None) -> None:
        told = {"proofs": proofs} if proofs is not None else {}
        self.send("declare", edition=name, pieces=size, **told)

    @rule(name=names, size=st.none() | st.integers(1, 7), proofs=st.none() | st.integers(0, 3))
    def change_size(self, name: str, size: int | None, proofs: int | None) -> None:
        told = {
            key: value for key, value in (("pieces", size), ("proofs", proofs)) if value is not None
        }
        self.send("change-size", edition=name, **told)

    @precondition(lambda self: self.desk.count % 4 == 0)
    @rule(name=names, short=maybe, nothing_else=maybe)
    def close(self, name: str, short: bool, nothing_else: bool) -> None:
        self.send("close", edition=name, short=short, nothing_else=nothing_else)

    @precondition(lambda self: self.desk.count % 2 == 1)
    @rule(name=names)
    def clear_up_and_close(self, name: str) -> None:
        """Do what closing needs, so that closed editions are met at all."""
        model = self.model.now[name]
        for stage, count in list(model.ware.items()):
            if count and model.state == "declared":
                self.send("surplus", edition=name, fate="destroyed", stage=stage, count=count)
        for label, mold in list(self.model.now[name].molds.items()):
            if mold.state != "destroyed":
                self.send("destroy", edition=name, molds=[label], go_on=True)
        for label, (_, state) in list(self.model.now[name].masters.items()):
            if state == "here":
                self.send("destroy-form", edition=name, forms=[label], go_on=True)
        self.send("close", edition=name, short=True, nothing_else=True)

    # --- molds

    @rule(name=names, count=st.integers(1, 2), go_on=maybe)
    def pour(self, name: str, count: int, go_on: bool) -> None:
        self.send("pour", edition=name, count=count, go_on=go_on)

    @rule(name=names, part=st.sampled_from(PARTS), go_on=maybe)
    def pour_part(self, name: str, part: str, go_on: bool) -> None:
        self.send("pour-part", edition=name, part=part, count=1, go_on=go_on)

    @precondition(lambda self: self.desk.count % 3 == 1)
    @rule(name=names, part=st.sampled_from([*PARTS, None]))
    def make_master(self, name: str, part: str | None) -> None:
        told = {"part": part} if part else {}
        self.send("make-form", edition=name, what="master", **told)

    @rule(name=names, which=picks, go_on=maybe)
    def destroy_master(self, name: str, which: list[int], go_on: bool) -> None:
        known = self.model.now[name].masters
        living = [label for label, (_, state) in known.items() if state == "here"]
        masters = self.some(living or known, which[:1]) or ["F-999"]
        self.send("destroy-form", edition=name, forms=masters, go_on=go_on)

    @rule(name=names, which=picks, part=st.sampled_from([*PARTS, "whole mold"]))
    def break_part(self, name: str, which: list[int], part: str) -> None:
        self.send("break-part", edition=name, mold=self.molds(name, which)[0], part=part)

    @rule(name=names, which=picks, part=st.sampled_from(PARTS))
    def swap_part(self, name: str, which: list[int], part: str) -> None:
        spares = self.model.now[name].spares
        ready = [label for label, (_, state, _) in spares.items() if state == "spare"]
        spare = (self.some(ready or spares, which) or ["T-999"])[0]
        if spare in spares and which[0] % 4:
            part = spares[spare][0]
        self.send(
            "swap-part", edition=name, mold=self.molds(name, which)[0], part=part, spare=spare
        )

    @rule(name=names, which=picks, go_on=maybe)
    def dry(self, name: str, which: list[int], go_on: bool) -> None:
        self.send("dry", edition=name, molds=self.molds(name, which), go_on=go_on)

    @precondition(lambda self: self.desk.count % 3 == 0)
    @rule(name=names, which=picks)
    def retire(self, name: str, which: list[int]) -> None:
        self.send("retire", edition=name, molds=self.molds(name, which)[:1])

    @precondition(lambda self: self.desk.count % 4 == 2)
    @rule(name=names, which=picks, is_spare=maybe, go_on=maybe)
    def destroy(self, name: str, which: list[int], is_spare: bool, go_on: bool) -> None:
        spares = self.some(self.model.now[name].spares, which) if is_spare else []
        named = {"spares": spares} if spares else {"molds": self.molds(name, which)[:1]}
        self.send("destroy", edition=name, **named, go_on=go_on)

    @rule(name=names, which=picks)
    def keep(self, name: str, which: list[int]) -> None:
        self.send("keep-form", edition=name, molds=self.molds(name, which), where="archive shelf")

    # --- casts and ware

    @rule(
        name=names,
        which=picks,
        each=st.integers(1, 3),
        lost=losses,
        good=st.none() | st.integers(0, 6),
        thrown=st.none() | st.integers(0, 2),
    )
    def cast(self, name: str, which: list[int], each: int, lost: dict[str, int], good: int | None, thrown: int | None) -> None:  # fmt: skip
        self.send(
            "cast",
            edition=name,
            molds=self.molds(name, which),
            each=each,
            **_told(lost, good, thrown),
        )

    @rule(name=names, which=picks, go_on=maybe)
    def cast_well(self, name: str, which: list[int], go_on: bool) -> None:
        self.send("cast", edition=name, molds=self.molds(name, which), each=3, go_on=go_on)

    @rule(
        name=names,
        which=picks,
        more=st.integers(-3, 5),
        lost=losses,
        good=st.none() | st.integers(0, 4),
        is_wild=wild,
    )
    def count_casts(self, name: str, which: list[int], more: int, lost: dict[str, int], good: int | None, is_wild: bool) -> None:  # fmt: skip
        label = self.molds(name, which)[0]
        known = self.model.now[name].molds.get(label)
        casts = max(0, (known.casts if known else 0) + more)
        told = _told(lost, good, None) if is_wild else self.within(lost, max(0, more), False)
        self.send("count-casts", edition=name, mold=label, casts=casts, **told)

    @rule(name=names, stage=st.sampled_from(STAGES), lost=losses, is_wild=wild)
    def lose(self, name: str, stage: str, lost: dict[str, int], is_wild: bool) -> None:
        stage = self.stage(name, stage, is_wild)
        held = self.model.now[name].ware.get(stage, 0)
        self.send(
            "lose", edition=name, stage=stage, **self.within(lost or {"warp": 1}, held, is_wild)
        )

    @rule(name=names, which=picks, shown=maybe)
    def lose_pieces(self, name: str, which: list[int], shown: bool) -> None:
        told = {"evidence": "shard"} if shown else {}
        self.send("lose", edition=name, pieces=self.pieces(name, which), cause="chip", **told)

    def firing(self, name: str, firing: str, refire: bool, is_wild: bool) -> tuple[str, str]:
        """Return a firing that has something to fire, and the stage it takes from."""
        stages = self.model.now[name].stages
        firings = FIRINGS[BRIEFS[name]["route"]]
        sources = {one: stages[i + refire] for i, one in enumerate(firings)}
        ready = [one for one in firings if self.model.now[name].ware[sources[one]]]
        if not is_wild and firing not in ready and ready:
            firing = ready[len(firing) % len(ready)]
        return firing, sources.get(firing, "")

    @rule(
        name=names,
        firing=st.sampled_from(["bisque", "glaze", "third"]),
        count=st.integers(0, 5),
        which=picks,
        named=maybe,
        refire=st.sampled_from([False, False, False, True]),
        is_wild=wild,
    )
    def load(self, name: str, firing: str, count: int, which: list[int], named: bool, refire: bool, is_wild: bool) -> None:  # fmt: skip
        firing, stage = self.firing(name, firing, refire, is_wild)
        count = self.up_to(name, stage, count, is_wild)
        told = self._in_load(name, count, which, named, "" if is_wild else stage)
        self.send("load", edition=name, firing=firing, refire=refire, **told)

    def _in_load(
        self, name: str, count: int, which: list[int], named: bool, stage: str = ""
    ) -> dict[str, Any]:
        told: dict[str, Any] = {"count": count} if count else {}
        pieces = self.model.now[name].pieces
        fit = [
            label
            for label, one in pieces.items()
            if stage in ("", one.stage) and one.state == "here"
        ]
        known = self.some(fit if stage else pieces, which)
        return {**told, "pieces": known} if named and known else told

    @rule(name=names, which=picks, lost=losses, broken=maybe, is_wild=wild)
    def unload(self, name: str, which: list[int], lost: dict[str, int], broken: bool, is_wild: bool) -> None:  # fmt: skip
        loads = self.model.now[name].loads
        closed = [label for label, load in loads.items() if not load.open] or list(loads)
        label = (self.some(closed, which) or ["L-999"])[0]
        told = self.within(lost, loads[label].count if label in loads else 0, is_wild)
        if broken and label in loads and loads[label].pieces:
            told |= {"lost_pieces": {loads[label].pieces[0]: "warp"}, "evidence": "shard"}
        self.send("unload", edition=name, load=label, **told)

    @rule(
        name=names,
        firing=st.sampled_from(["bisque", "glaze", "third"]),
        count=st.integers(0, 4),
        which=picks,
        named=maybe,
        lost=losses,
        is_wild=wild,
    )
    def fire(self, name: str, firing: str, count: int, which: list[int], named: bool, lost: dict[str, int], is_wild: bool) -> None:  # fmt: skip
        firing, stage = self.firing(name, firing, False, is_wild)
        count = self.up_to(name, stage, count, is_wild)
        told = self._in_load(name, count, which, named, "" if is_wild else stage)
        self.send("fire", edition=name, firing=firing, **told, **self.within(lost, count, is_wild))

    @rule(name=names, which=picks)
    def fire_all_and_finish(self, name: str, which: list[int]) -> None:
        """Take everything on, so that finished pieces are met at all."""
        stages = {"bisque": "bisque", "glaze": "fired", "third": "third-fired"}
        before = "greenware"
        for firing in FIRINGS[BRIEFS[name]["route"]]:
            model = self.model.now[name]
            if model.state != "closed" and model.ware[before]:
                self.send("fire", edition=name, firing=firing, count=model.ware[before])
            before = stages[firing]
        self.send("finish", edition=name, count=max(1, self.model.now[name].ware[before]))

    @rule(name=names, count=st.integers(0, 3), which=picks, named=maybe, lost=losses, is_wild=wild)
    def finish(self, name: str, count: int, which: list[int], named: bool, lost: dict[str, int], is_wild: bool) -> None:  # fmt: skip
        stage = self.model.now[name].stages[-2]
        count = self.up_to(name, stage, count, is_wild)
        told = self._in_load(name, count, which, named, "" if is_wild else stage)
        rest = self.model.now[name].ware[stage] - count
        told |= self.within(lost, rest, is_wild)
        if told:  # what is told of nothing takes all, which has a test of its own
            self.send("finish", edition=name, **told)

    # --- pieces and numbers

    @rule(
        name=names,
        numbers=st.lists(st.integers(1, 8), min_size=1, max_size=3, unique=True),
        kind=st.sampled_from(["numbered", "numbered", "proof"]),
        stage=st.sampled_from(STAGES + ["finished"] * 4),
        shown=maybe,
        is_wild=wild,
    )
    def mark(self, name: str, numbers: list[int], kind: str, stage: str, shown: bool, is_wild: bool) -> None:  # fmt: skip
        told = {"evidence": "shard"} if shown else {}
        stage, model = self.stage(name, stage, is_wild), self.model.now[name]
        if not is_wild:
            top = model.size if kind == "numbered" else max(1, model.proofs)
            numbers = list(dict.fromkeys(1 + n % top for n in numbers))[
                : max(1, model.ware.get(stage, 0))
            ]
        self.send("mark", edition=name, numbers=numbers, kind=kind, stage=stage, **told)

    @rule(name=names, number=st.integers(0, 5), shown=maybe)
    def mark_again(self, name: str, number: int, shown: bool) -> None:
        """Give a number again that somebody has borne: with evidence or without, lost or living."""
        model = self.model.now[name]
        borne = list(model.bearers)
        kind, again = borne[number % len(borne)] if borne else ("numbered", 1)
        told = {"evidence": "shard"} if shown else {}
        stage = self.stage(name, "finished", False)
        self.send("mark", edition=name, numbers=[again], kind=kind, stage=stage, **told)

    @rule(
        name=names,
        kind=st.sampled_from(["surplus", "second", "sample"]),
        count=st.integers(1, 2),
        stage=st.sampled_from(["greenware", "finished"]),
    )
    def mark_without_number(self, name: str, kind: str, count: int, stage: str) -> None:
        stage = self.stage(name, stage, False)
        self.send("mark", edition=name, kind=kind, count=count, stage=stage)

    @rule(
        name=names,
        verb=st.sampled_from(["sell", "ship", "ship", "give", "return", "break"]),
        which=picks,
        shown=maybe,
        is_wild=wild,
    )
    def piece(self, name: str, verb: str, which: list[int], shown: bool, is_wild: bool) -> None:
        told = {"evidence": "shard"} if verb == "break" and shown else {}
        states = {"sell": ("here", "away"), "return": ("away",), "break": ("here", "away")}.get(
            verb, ("here",)
        )
        pieces = self.model.now[name].pieces
        leaves = verb in ("ship", "give")
        fit = [
            label for label, one in pieces.items()
            if one.state in states and (not leaves or one.stage == "finished")
        ]  # fmt: skip
        named = self.some(pieces if is_wild else fit, which)[:2] or ["P-00999"]
        self.send(verb, edition=name, pieces=named, **told)

    @rule(which=st.integers(0, 9), settled=maybe)
    def a_number_is_lost_for_ever(self, which: int, settled: bool) -> None:
        """Lose a piece, settle its number, try to mark it again."""
        numbered = [k for k, one in self.model.now[TIDE].pieces.items() if one.number is not None]
        for label in self.some(numbered, [which]):
            piece = self.model.now[TIDE].pieces[label]
            told = {"edition": TIDE, "kind": piece.kind, "numbers": [piece.number]}
            self.send("lose", edition=TIDE, pieces=[label], cause="warp")
            if settled:
                self.send("settle", **told, why="the molds are worn out")
            self.send("mark", **told, stage=self.stage(TIDE, "finished", False), evidence="shard")

    @rule(which=st.integers(0, 9), broken=st.sampled_from(["away", "back", ""]), shown=maybe)
    def a_piece_goes_and_comes_back(self, which: int, broken: str, shown: bool) -> None:
        """Sell, ship, return, break: the whole way of one piece, as far as it can go."""
        pieces = self.model.now[TIDE].pieces
        fit = [k for k, one in pieces.items() if one.state == "here" and one.stage == "finished"]
        for label in self.some(fit, [which]):
            told = {"edition": TIDE, "pieces": [label]}
            seen = {"evidence": "shard"} if shown else {}
            self.send("sell", **told)
            self.send("give", **told)
            self.send("ship", **told)
            if broken == "away":
                self.send("break", **told, **seen)
            self.send("return", **told)
            if broken == "back":
                self.send("break", **told, **seen)

    @rule(
        name=names,
        number=st.integers(1, 7),
        kind=st.sampled_from(["numbered", "proof"]),
        is_wild=wild,
    )
    def settle(self, name: str, number: int, kind: str, is_wild: bool) -> None:
        model = self.model.now[name]
        owed = [key for key in model.bearers if model.standing(*key) == "owed"]
        if owed and not is_wild:
            kind, number = owed[number % len(owed)]
        self.send("settle", edition=name, numbers=[number], kind=kind, why="the molds are worn out")

    @rule(
        name=names,
        fate=st.sampled_from(["destroyed", "seconds"]),
        stage=st.sampled_from(STAGES),
        count=st.integers(0, 3),
        which=picks,
        named=maybe,
        is_wild=wild,
    )
    def surplus(self, name: str, fate: str, stage: str, count: int, which: list[int], named: bool, is_wild: bool) -> None:  # fmt: skip
        stage = self.stage(name, stage, is_wild)
        count = self.up_to(name, stage, count, is_wild)
        told = self._in_load(name, count, which, False)
        pieces = self.model.now[name].pieces
        fit = [label for label, one in pieces.items() if one.kind != "numbered"]
        told |= {"pieces": self.some(fit, which)} if named and fit else {}
        self.send("surplus", edition=name, fate=fate, stage=stage, **told)

    # --- the record itself

    @rule(which=st.integers(0, 200))
    def send_again(self, which: int) -> None:
        """Send an old command a second time: the same answer, and nothing is written."""
        command, answer = self.sent[which % len(self.sent)]
        before = self.desk.picture()

        assert self.desk.send(command) == answer
        assert self.desk.picture() == before

    @rule(which=st.integers(0, 200))
    def send_another_with_its_id(self, which: int) -> None:
        command, _ = self.sent[which % len(self.sent)]
        before = self.desk.picture()
        answer, refused = self._sent({**command, "by": "somebody else"})

        assert answer is None
        assert refused is not None
        assert refused.rules == ("rule_one_id_one_command",)
        assert self.desk.picture() == before

    @rule(hours=st.integers(-72, 72))
    def set_the_clock(self, hours: int) -> None:
        self.desk.now = max(START, self.desk.now + timedelta(hours=hours))

    @rule(name=names, back=st.sampled_from([0, 0, 0, 1, 2, 5, 20]))
    def void(self, name: str, back: int) -> None:
        """Say that an earlier entry did not happen: both refuse, or both work it out again."""
        taken["steps"] += 1
        log = self.model.log[name]
        if not log:
            return
        seq = log[max(0, len(log) - 1 - back)][2]
        after = self.model.without(name, seq)
        before = self.desk.picture()
        self.desk.count += 1
        command = {"do": "correct", "id": f"desk-{self.desk.count}", "entry": seq, "void": True}
        answer, refused = self._sent(command)
        if answer is None:
            assert after is None, f"entry {seq} could be voided: {refused}"
            assert self.desk.picture() == before
            return
        assert after is not None, f"entry {seq} was voided, and a later one cannot stand"
        self.model.void(name, seq, after)

    # --- what always holds

    @invariant()
    def every_cast_is_accounted_for(self) -> None:
        for name in BRIEFS:
            edition, model = self.desk.edition(name), self.model.now[name]
            assert edition["cast"] == held(edition) == model.cast
            loaded = sum(load.count for load in model.loads.values() if not load.open)
            assert model.cast == (
                model.thrown + model.lost + model.gone + loaded
                + sum(model.ware.values()) + len(model.pieces)
            )  # fmt: skip
            assert edition["ware"] == model.ware
            assert edition["lost_unnamed"] == model.lost
            assert edition["loaded"] == loaded

    @invariant()
    def every_piece_and_number_is_as_the_model_has_it(self) -> None:
        for name in BRIEFS:
            edition, model = self.desk.edition(name), self.model.now[name]
            assert edition["state"] == model.state
            assert (edition["pieces"], edition["proofs"]) == (model.size, model.proofs)
            for key, kind in (("numbers", "numbered"), ("proof_numbers", "proof")):
                assert {k: n for k, n in edition[key].items() if n} == model.numbers(kind)
            here = [one for one in model.pieces.values() if one.state == "here"]
            counted = dict.fromkeys(model.stages, 0)
            for one in here:
                counted[one.stage] += one.load is None
            assert edition["named"] == counted
            assert edition["loaded_named"] == sum(one.load is not None for one in here)
            assert edition.get("undeclared", 0) == sum(
                one.kind == "surplus" and not one.declared for one in here
            )
            assert sum(edition["piece_states"].values()) == len(model.pieces)

    def teardown(self) -> None:
        """Work everything out from nothing: the same documents, byte for byte."""
        if not hasattr(self, "desk"):
            return
        try:
            assert self.desk.book.verify() == []
            assert self.desk.book.rebuild() == []
            with self.desk.book.reading() as reading:
                entries = list(reading.entries())
                for name, model in self.model.now.items():
                    molds = dict(reading.things.of(MoldDoc, name))
                    assert {key: doc.casts for key, doc in molds.items()} == {
                        key: mold.casts for key, mold in model.molds.items()
                    }
                    numbers = {
                        (doc.kind, doc.n): doc for _, doc in reading.things.of(NumberDoc, name)
                    }
                    assert {key: doc.bearers for key, doc in numbers.items()} == model.bearers
                    assert all(doc.status == model.standing(*key) for key, doc in numbers.items())
            assert [one.seq for one in entries] == list(range(1, len(entries) + 1))
            recorded = [one.recorded for one in entries]
            assert recorded == sorted(recorded)
        finally:
            self.desk.book.store.close()
            shutil.rmtree(self.folder)


def _needed(command: dict[str, Any]) -> int:
    """Return how many labels a command would have given."""
    if command["do"] == "mark":
        return len(command.get("numbers", ())) or command.get("count", 1)
    return command.get("count", 1) if command["do"].startswith("pour") else 1


def _told(lost: dict[str, int], good: int | None, thrown: int | None) -> dict[str, Any]:
    told: dict[str, Any] = {"lost": lost} if lost else {}
    told |= {} if good is None else {"good": good}
    return told | ({} if thrown is None else {"conditioned": thrown})


BookAgainstModel.TestCase.settings = settings(
    max_examples=RUNS,
    stateful_step_count=STEPS,
    suppress_health_check=list(HealthCheck),
)
TestBookAgainstModel = BookAgainstModel.TestCase


def test_as_many_steps_were_taken_as_are_asked_for():
    """Stands behind the machine; a search that is cut short would be found here."""
    if not taken["steps"]:
        BookAgainstModel.TestCase("runTest").runTest()

    assert taken["steps"] >= AT_LEAST
    assert taken["kept"] > 0.3 * taken["steps"], taken
    assert taken["refused"] > 0.1 * taken["steps"], taken
    assert issubclass(Refused, StudioError)
