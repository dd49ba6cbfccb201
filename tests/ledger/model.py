"""The rules of the book a second time, small and by itself: counts, numbers and molds.

It shares no code with the book. The state machine sends both the same commands.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

AFTER = {"bisque": "bisque", "glaze": "fired", "third": "third-fired"}
FIRINGS = {
    "once": ["glaze"],
    "bisque and glaze": ["bisque", "glaze"],
    "bisque, glaze and third": ["bisque", "glaze", "third"],
}


DRY_DAYS = 1
"""How soon a mold is dry in the machine's studio."""
TWICE_WITHIN = timedelta(minutes=10)
LAST_LOOKED_AT = 30
NEVER_TWICE = ("sell", "ship", "give", "return", "break", "settle")


def _days(before: str, after: str) -> int:
    return (date.fromisoformat(after) - date.fromisoformat(before)).days if before else -1


class No(Exception):
    """The model refuses."""


def need(truth: object) -> None:
    if not truth:
        raise No


def stage_told(command: dict[str, Any]) -> str | None:
    """Return the stage that a command tells: whatever it is told for, the route must have it."""
    return command.get("stage")


@dataclass
class Mold:
    parts: dict[str, bool]
    state: str = "in use"
    casts: int = 0
    kept: bool = False
    poured_first: str = ""
    dry: bool = False
    spares: dict[str, str] = field(default_factory=dict)

    @property
    def poured(self) -> str:
        """The day on which its last part was poured."""
        return max([self.poured_first, *self.spares.values()])


@dataclass
class Piece:
    kind: str
    number: int | None
    stage: str
    state: str = "here"
    load: str | None = None
    sold: bool = False
    given: bool = False
    shown: bool = False
    declared: bool = False


@dataclass
class Load:
    firing: str
    count: int
    pieces: list[str]
    open: bool = False


@dataclass
class Edition:
    size: int
    proofs: int
    route: str
    conditioning: int
    parts: list[str]
    state: str = "planned"
    ware: dict[str, int] = field(default_factory=dict)
    cast: int = 0
    thrown: int = 0
    lost: int = 0
    gone: int = 0
    molds: dict[str, Mold] = field(default_factory=dict)
    spares: dict[str, list[str]] = field(default_factory=dict)
    loads: dict[str, Load] = field(default_factory=dict)
    pieces: dict[str, Piece] = field(default_factory=dict)
    bearers: dict[tuple[str, int], list[str]] = field(default_factory=dict)
    settled: set[tuple[str, int]] = field(default_factory=set)
    masters: dict[str, list[Any]] = field(default_factory=dict)
    claim_days: int = 0
    last_away: str = ""

    def __post_init__(self) -> None:
        self.ware = dict.fromkeys(self.stages, 0)

    @property
    def stages(self) -> list[str]:
        return ["greenware", *(AFTER[one] for one in FIRINGS[self.route]), "finished"]

    def standing(self, kind: str, number: int) -> str:
        """Return what a number is: free, living, owed, gone or settled."""
        if (kind, number) in self.settled:
            return "settled"
        bearers = self.bearers.get((kind, number))
        if not bearers:
            return "free"
        last = self.pieces[bearers[-1]].state
        return {"here": "living", "away": "living", "broken away": "gone"}.get(last, "owed")

    def numbers(self, kind: str) -> dict[str, int]:
        found: dict[str, int] = {}
        for its_kind, number in self.bearers:
            if its_kind == kind:
                now = self.standing(kind, number)
                found[now] = found.get(now, 0) + 1
        return found

    # --- commands

    def do(self, command: dict[str, Any], made: list[str]) -> None:
        need(stage_told(command) in (None, *self.stages))
        getattr(self, "do_" + command["do"].replace("-", "_"))(command, made)

    def is_open(self) -> None:
        need(self.state != "closed")

    def do_declare(self, c: dict[str, Any], _: list[str]) -> None:
        need(self.state == "planned")
        self.resize(c)
        self.state = "declared"

    def do_change_size(self, c: dict[str, Any], _: list[str]) -> None:
        self.is_open()
        need("pieces" in c or "proofs" in c)
        self.resize(c)

    def resize(self, c: dict[str, Any]) -> None:
        kinds = {piece.kind for piece in self.pieces.values()}
        size, proofs = c.get("pieces", self.size), c.get("proofs", self.proofs)
        need(size == self.size or "numbered" not in kinds)
        need(proofs == self.proofs or "proof" not in kinds)
        self.size, self.proofs = size, proofs

    def do_close(self, c: dict[str, Any], _: list[str]) -> None:
        need(self.state == "declared" and c["nothing_else"])
        numbers, proofs = self.numbers("numbered"), self.numbers("proof")
        need(not numbers.get("owed") and not proofs.get("owed"))
        made = numbers.get("living", 0) + numbers.get("gone", 0)
        need(made == self.size or c.get("short"))
        need(not any(self.ware.values()))
        need(all(load.open for load in self.loads.values()))
        for piece in self.pieces.values():
            if piece.state == "here":
                need(piece.number is None or piece.stage == "finished")
                need(piece.kind != "surplus" or piece.declared)
        need(all(mold.state == "destroyed" or mold.kept for mold in self.molds.values()))
        need(all(spare[1] != "spare" for spare in self.spares.values()))
        need(all(master[1] != "here" for master in self.masters.values()))
        self.state = "closed"

    # --- what is asked of a command before it is kept, and of no command that is kept already

    def asks(self, c: dict[str, Any]) -> bool:
        """Return whether the book asks before it keeps a command."""
        if c["do"] in ("destroy", "destroy-form"):
            return self.state == "closed" or self.form_is_needed(c["day"])
        if c["do"] in ("pour", "pour-part") and not self.masters:
            return not self.molds and not self.spares and c.get("count", 1) > 0
        if c["do"] in ("pour", "pour-part"):
            living = [part for part, state in self.masters.values() if state == "here"]
            parts = [c["part"]] if "part" in c else self.parts
            return None not in living and not set(parts) <= set(living)
        if c["do"] == "dry":
            days = [_days(self.molds[label].poured, c["day"]) for label in c["molds"] if label in self.molds]  # fmt: skip
            return any(0 <= one < DRY_DAYS for one in days)
        if c["do"] == "cast":
            return any(not self.molds[label].dry for label in c["molds"] if label in self.molds)
        return False

    def form_is_needed(self, day: str) -> bool:
        """Return whether a number is unmade, lost, here, or away within its claim days."""
        for number in range(1, self.size + 1):
            standing = self.standing("numbered", number)
            if standing in ("free", "owed"):
                return True
            away = standing == "gone"
            if standing == "living":
                piece = self.pieces[self.bearers["numbered", number][-1]]
                if piece.state == "here":
                    return True
                away = True
            ends = self.claim_days and _days(self.last_away, day) <= self.claim_days
            if away and self.claim_days and ends:
                return True
        return any(self.standing(*key) == "owed" for key in self.bearers if key[0] == "proof")

    def do_make_form(self, c: dict[str, Any], made: list[str]) -> None:
        self.is_open()
        self.masters[made[0]] = [c.get("part"), "here"]

    def do_destroy_form(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["forms"]:
            need(self.masters.get(label, [None, "none"])[1] == "here")
        for label in c["forms"]:
            self.masters[label][1] = "destroyed"

    def do_pour(self, c: dict[str, Any], made: list[str]) -> None:
        self.is_open()
        for label in made:
            self.molds[label] = Mold(dict.fromkeys(self.parts, True), poured_first=c["day"])

    def mold(self, label: str) -> Mold:
        need(label in self.molds and self.molds[label].state != "destroyed")
        return self.molds[label]

    def do_pour_part(self, c: dict[str, Any], made: list[str]) -> None:
        self.is_open()
        for label in made:
            self.spares[label] = [c["part"], "spare", c["day"]]

    def do_break_part(self, c: dict[str, Any], _: list[str]) -> None:
        mold = self.mold(c["mold"])
        told = list(mold.parts) if c["part"] == "whole mold" else [c["part"]]
        need(any(mold.parts[one] for one in told))
        mold.parts.update(dict.fromkeys(told, False))
        if c["part"] == "whole mold":
            mold.state = "destroyed"

    def do_swap_part(self, c: dict[str, Any], _: list[str]) -> None:
        self.is_open()
        mold = self.mold(c["mold"])
        need(self.spares.get(c["spare"], [])[:2] == [c["part"], "spare"])
        self.spares[c["spare"]][1] = "in use"
        mold.spares[c["part"]] = self.spares[c["spare"]][2]
        mold.parts[c["part"]] = True
        mold.dry = False

    def do_dry(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["molds"]:
            self.mold(label)
        for label in c["molds"]:
            self.molds[label].dry = True

    def do_retire(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["molds"]:
            need(self.mold(label).state == "in use")
        for label in c["molds"]:
            self.molds[label].state = "retired"

    def do_destroy(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c.get("molds", []):
            self.mold(label)
        for label in c.get("spares", []):
            need(label in self.spares and self.spares[label][1] == "spare")
        for label in c.get("molds", []):
            self.molds[label].state = "destroyed"
        for label in c.get("spares", []):
            self.spares[label][1] = "destroyed"

    def do_keep_form(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["molds"]:
            self.mold(label).kept = True

    def do_cast(self, c: dict[str, Any], _: list[str]) -> None:
        self.take_casts({label: c.get("each", 1) for label in c["molds"]}, c)

    def do_count_casts(self, c: dict[str, Any], _: list[str]) -> None:
        mold = self.mold(c["mold"])
        self.take_casts({c["mold"]: max(0, c["casts"] - mold.casts)}, c)

    def take_casts(self, new: dict[str, int], c: dict[str, Any]) -> None:
        self.is_open()
        first = 0
        for label, count in new.items():
            mold = self.mold(label)
            need(all(mold.parts.values()))
            first += len(
                [n for n in range(mold.casts, mold.casts + count) if n < self.conditioning]
            )
        thrown = c.get("conditioned", first)
        rest = sum(new.values()) - thrown - sum(c.get("lost", {}).values())
        good = c.get("good", rest)
        need(0 <= good <= rest)
        for label, count in new.items():
            self.molds[label].casts += count
        self.cast += sum(new.values())
        self.thrown += thrown
        self.lost += sum(new.values()) - thrown - good
        self.ware["greenware"] += good

    # --- ware

    def take(self, stage: str, count: int) -> None:
        need(self.ware.get(stage, -1) >= count)
        self.ware[stage] -= count

    def free(self, label: str, stage: str | None = None) -> Piece:
        """Return a piece that is here, in no load, and at the stage."""
        need(label in self.pieces)
        piece = self.pieces[label]
        need(piece.state == "here" and piece.load is None and stage in (None, piece.stage))
        return piece

    def do_lose(self, c: dict[str, Any], _: list[str]) -> None:
        self.is_open()
        lost = sum(c.get("lost", {}).values())
        need(lost or c.get("pieces"))
        if lost:
            self.take(c["stage"], lost)
            self.lost += lost
        for label in c.get("pieces", []):
            piece = self.free(label)
            piece.state, piece.shown = "lost", "evidence" in c

    def source(self, c: dict[str, Any]) -> str:
        need(c["firing"] in FIRINGS[self.route])
        if c.get("refire"):
            return AFTER[c["firing"]]
        return self.stages[self.stages.index(AFTER[c["firing"]]) - 1]

    def do_load(self, c: dict[str, Any], made: list[str]) -> None:
        self.is_open()
        need(c.get("count") or c.get("pieces"))
        stage = self.source(c)
        for label in c.get("pieces", []):
            self.free(label, stage).load = made[0]
        self.take(stage, c.get("count", 0))
        self.loads[made[0]] = Load(c["firing"], c.get("count", 0), list(c.get("pieces", [])))

    def do_unload(self, c: dict[str, Any], _: list[str]) -> None:
        self.is_open()
        need(c["load"] in self.loads and not self.loads[c["load"]].open)
        load = self.loads[c["load"]]
        lost = sum(c.get("lost", {}).values())
        need(lost <= load.count and set(c.get("lost_pieces", {})) <= set(load.pieces))
        load.open = True
        self.ware[AFTER[load.firing]] += load.count - lost
        self.lost += lost
        for label in load.pieces:
            piece = self.pieces[label]
            piece.load, piece.stage = None, AFTER[load.firing]
            if label in c.get("lost_pieces", {}):
                piece.state, piece.shown = "lost", "evidence" in c

    def do_fire(self, c: dict[str, Any], made: list[str]) -> None:
        self.do_load(c, made)
        self.do_unload({**c, "load": made[0]}, made)

    def do_finish(self, c: dict[str, Any], _: list[str]) -> None:
        self.is_open()
        lost, stage = sum(c.get("lost", {}).values()), self.stages[-2]
        need(c.get("count") or c.get("pieces") or lost)
        pieces = [self.free(label, stage) for label in c.get("pieces", [])]
        self.take(stage, c.get("count", 0) + lost)
        self.ware["finished"] += c.get("count", 0)
        self.lost += lost
        for piece in pieces:
            piece.stage = "finished"

    # --- pieces

    def do_mark(self, c: dict[str, Any], made: list[str]) -> None:
        self.is_open()
        kind = c["kind"]
        if kind in ("numbered", "proof"):
            need(self.state == "declared")
            for number in c["numbers"]:
                need(number <= (self.size if kind == "numbered" else self.proofs))
                now = self.standing(kind, number)
                need(now in ("free", "owed", "gone"))
                if now != "free":
                    last = self.pieces[self.bearers[kind, number][-1]]
                    need(last.shown or "evidence" in c)
        numbers = c.get("numbers") or [None] * c["count"]
        self.take(c["stage"], len(numbers))
        for label, number in zip(made, numbers, strict=True):
            self.pieces[label] = Piece(kind, number, c["stage"])
            if number is not None:
                self.bearers.setdefault((kind, number), []).append(label)

    def living(self, label: str) -> Piece:
        need(label in self.pieces)
        need(self.pieces[label].state in ("here", "away"))
        return self.pieces[label]

    def do_sell(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["pieces"]:
            piece = self.living(label)
            need(not piece.sold and not piece.given)
            piece.sold = True

    def do_ship(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["pieces"]:
            self.free(label, "finished").state = "away"
        self.last_away = max(self.last_away, c["day"])

    def do_give(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["pieces"]:
            piece = self.free(label, "finished")
            need(not piece.sold)
            piece.state, piece.given = "away", True
        self.last_away = max(self.last_away, c["day"])

    def do_return(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["pieces"]:
            need(label in self.pieces)
            piece = self.pieces[label]
            need(piece.state == "away")
            piece.state, piece.sold, piece.given = "here", False, False

    def do_break(self, c: dict[str, Any], _: list[str]) -> None:
        for label in c["pieces"]:
            piece = self.living(label)
            need(piece.load is None)
            piece.state = "broken away" if piece.state == "away" else "broken"
            piece.shown = "evidence" in c

    def do_settle(self, c: dict[str, Any], _: list[str]) -> None:
        for number in c["numbers"]:
            need(self.standing(c["kind"], number) == "owed")
        self.settled |= {(c["kind"], number) for number in c["numbers"]}

    def do_surplus(self, c: dict[str, Any], _: list[str]) -> None:
        need(c.get("count") or c.get("pieces"))
        for label in c.get("pieces", []):
            piece = self.free(label)
            disliked = piece.kind == "proof" and c["fate"] == "destroyed" and not piece.sold
            need((piece.number is None or disliked) and not piece.declared)
            need(c["fate"] == "destroyed" or piece.stage == "finished")
            piece.declared = True
            piece.state = "destroyed" if c["fate"] == "destroyed" else "here"
            if piece.number is not None:
                self.settled.add((piece.kind, piece.number))
        if c.get("count"):
            need(c["fate"] == "destroyed" or c["stage"] == "finished")
            self.take(c["stage"], c["count"])
            self.gone += c["count"]


class Model:
    """Every edition, and what was done to each, so that a correction can be judged."""

    def __init__(self) -> None:
        self.fresh: dict[str, Edition] = {}
        self.now: dict[str, Edition] = {}
        self.log: dict[str, list[list[Any]]] = {}
        self.recent: dict[int, tuple[datetime, dict[str, Any]]] = {}

    def asks_twice(self, command: dict[str, Any], now: datetime, head: int) -> bool:
        """Return whether the same, or a part of a round, was said within minutes, among the book's last entries."""
        if command["do"] in NEVER_TWICE or "numbers" in command:
            return False
        lately = [
            told
            for seq, (when, told) in self.recent.items()
            if seq > head - LAST_LOOKED_AT and abs(now - when) <= TWICE_WITHIN
        ]
        return any(
            _said(told) == _said(command) or _is_part_of_round(told, command) for told in lately
        )

    def plan(self, name: str, edition: Edition) -> None:
        self.fresh[name] = edition
        self.now[name] = copy.deepcopy(edition)
        self.log[name] = []

    def after(
        self, command: dict[str, Any], made: list[str], now: datetime, head: int
    ) -> Edition | None:
        """Return the edition after a command, or None if it is refused or asked about."""
        edition = copy.deepcopy(self.now[command["edition"]])
        asks = edition.asks(command) or self.asks_twice(command, now, head)
        if asks and not command.get("go_on"):
            return None
        return edition if _taken(edition, [[command, made]]) else None

    def take(
        self, command: dict[str, Any], made: list[str], seq: int, edition: Edition, now: datetime
    ) -> None:
        self.now[command["edition"]] = edition
        self.recent[seq] = now, command
        self.log[command["edition"]].append([command, made, seq])

    def without(self, name: str, seq: int) -> Edition | None:
        """Return the edition as if an entry had not been, or None if another then cannot be."""
        edition = copy.deepcopy(self.fresh[name])
        kept = [one for one in self.log[name] if one[2] != seq]
        return edition if _taken(edition, kept) else None

    def void(self, name: str, seq: int, edition: Edition) -> None:
        self.now[name] = edition
        self.recent.pop(seq)
        self.log[name] = [one for one in self.log[name] if one[2] != seq]


def _is_part_of_round(told: dict[str, Any], command: dict[str, Any]) -> bool:
    """Return whether some of a round's molds were cast already, and not all."""
    if told["do"] != "cast" or command["do"] != "cast":
        return False
    return set(told["molds"]) < set(command["molds"])


def _said(command: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in command.items() if key not in ("go_on", "day")}


def _taken(edition: Edition, commands: list[list[Any]]) -> bool:
    try:
        for one in commands:
            edition.do(one[0], one[1])
    except No:
        return False
    return True
