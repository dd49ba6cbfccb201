"""What must not happen to molds and their parts: each rule yields why it refuses."""

from __future__ import annotations

from pourwright.ledger.documents import EditionDoc, MoldDoc, SpareDoc, present
from pourwright.ledger.entry import Body
from pourwright.ledger.kinds.molds import ALL_PARTS
from pourwright.ledger.rules.edition import Refusals
from pourwright.ledger.state.molds import is_complete, mold_of
from pourwright.ledger.things import Things, told_day


def _molds(body: Body) -> list[str]:
    return [body["mold"]] if "mold" in body else list(body.get("molds") or body.get("masses", ()))


def rule_something_is_poured(_: Things, body: Body) -> Refusals:
    """Hold that a pour gives molds, or says what was lost."""
    if not body["count"] and not body.get("lost"):
        yield "No mold is told; write count, or lost if none came out, such as 1 failed batch."


def rule_label_is_free(things: Things, body: Body) -> Refusals:
    """Hold that a label is scratched into one mold alone."""
    for name in body.get("made", ()):
        if things.get(MoldDoc, name) is not None:
            yield f"{name} is in the book already; scratch another label into the new mold."


def rule_weighing_is_whole(_: Things, body: Body) -> Refusals:
    """Hold that a weighing tells one mold and its mass, or several with theirs."""
    told = ["masses" in body, "mold" in body, "mass" in body]
    if told not in ([True, False, False], [False, True, True]):
        yield "Write mold and mass for one mold, or masses for several, such as 4 6.41 kg, 5 6.38 kg."


def rule_mold_is_not_destroyed(things: Things, body: Body) -> Refusals:
    """Hold that nothing more happens to a destroyed mold; above all it is not cast."""
    for name in _molds(body):
        mold = mold_of(things, name)
        if mold.state == "destroyed":
            yield f"{name} was destroyed on {told_day(things, present(mold.destroyed_at))}."


def rule_cast_mold_is_complete(things: Things, body: Body) -> Refusals:
    """Hold that a mold with a broken part cannot be cast."""
    for name in _molds(body):
        mold = mold_of(things, name)
        if not is_complete(mold):
            broken = [name for name, part in mold.parts.items() if part.broken]
            yield f"{name} is incomplete: {broken[0]} is broken; swap it first."


def rule_mold_is_not_retired_yet(things: Things, body: Body) -> Refusals:
    """Hold that a mold is retired once."""
    for name in _molds(body):
        mold = mold_of(things, name)
        if mold.state == "retired":
            day = told_day(things, present(mold.retired_at))
            yield f"{name} was retired on {day} already."


def rule_part_is_one_of_the_molds(things: Things, body: Body) -> Refusals:
    """Hold that a part is one of those that the brief names; what broke may be the whole mold."""
    edition = things.get(EditionDoc, body["edition"])
    if edition and body["part"] not in (*edition.parts, ALL_PARTS):
        yield f"part is {body['part']}; the parts of {edition.name} are {', '.join(edition.parts)}."


def rule_part_is_not_broken_yet(things: Things, body: Body) -> Refusals:
    """Hold that a part is broken once, until another is swapped in."""
    parts = mold_of(things, body["mold"]).parts
    told = [part for name, part in parts.items() if body["part"] in (name, ALL_PARTS)]
    if told and all(part.broken for part in told):
        yield f"{body['part']} of {body['mold']} is broken already."


def rule_spare_is_free(things: Things, body: Body) -> Refusals:
    """Hold that a spare part is used once, and never after it was destroyed."""
    for name in [body["spare"]] if "spare" in body else body.get("spares", ()):
        spare = things.get(SpareDoc, name)
        if spare and spare.state == "destroyed":
            yield f"{name} was destroyed on {told_day(things, present(spare.destroyed_at))}."
        elif spare and spare.state == "in use":
            yield f"{name} is in {spare.mold} already."


def rule_spare_fits(things: Things, body: Body) -> Refusals:
    """Hold that a spare part takes the place of the same part."""
    spare = things.get(SpareDoc, body["spare"])
    if spare and spare.part != body["part"]:
        yield f"{body['spare']} is a {spare.part}, not a {body['part']}."
