"""What must not happen to casts and ware, by counts and by pieces."""

from __future__ import annotations

from pourwright.ledger.documents import EditionDoc, LoadDoc, PieceDoc, or_none, present
from pourwright.ledger.entry import Body
from pourwright.ledger.rules.edition import Refusals, edition_named
from pourwright.ledger.said import many, names_said, piece_called
from pourwright.ledger.stages import (
    FIRINGS,
    firings_of,
    last_stage,
    stage_after,
    stage_before,
    stages_of,
)
from pourwright.ledger.state.casts import casts_of, new_casts
from pourwright.ledger.state.molds import mold_of
from pourwright.ledger.things import Things, told_day


def rule_no_more_good_than_cast(things: Things, body: Body) -> Refusals:
    """Hold that good, lost and thrown away casts together are no more than were cast."""
    names = [body["mold"]] if "casts" in body else body["molds"]
    molds = {name: mold_of(things, name) for name in names}
    tally = casts_of(edition_named(things, body), molds, new_casts(molds, body), body)
    told = tally.good + sum(tally.lost.values()) + tally.thrown
    if told > tally.casts or tally.good < 0:
        count = max(told, tally.thrown + sum(tally.lost.values()))
        thrown = f", {tally.thrown} of them thrown away as first casts" if tally.thrown else ""
        yield (
            f"{many(tally.casts, 'new cast')}{thrown}, and {count} are told as good, lost or "
            "thrown away; lower good or lost, or write conditioned 0 if none was thrown away: the "
            "first casts of a new mold are, unless that is told."
        )


def rule_cast_is_not_written_yet(things: Things, body: Body) -> Refusals:
    """Hold that a cast which the bench has named is written down once, whichever phone was first."""
    number = int(body.get("cast", 0))
    for name in body["molds"] if number else ():
        mold = mold_of(things, name)
        if number <= mold.casts:
            last = f", the last on {told_day(things, mold.last_cast)}" if mold.last_cast else ""
            yield f"Cast {number} of {name} is written down already: the book has {mold.casts}{last}."


def rule_lost_molds_were_cast(_: Things, body: Body) -> Refusals:
    """Hold that a lost cast came from a mold that was cast, and no more are named than were lost."""
    named = body.get("lost_molds", [])
    others = [one for one in named if one not in body["molds"]]
    if others:
        yield f"lost_molds names {names_said(others)}, not among the molds that were cast."
    lost = (
        len(body["molds"]) * body.get("each", 1)
        if "good" in body
        else sum(body.get("lost", {}).values())
    )
    if len(named) > lost:
        yield f"lost_molds names {many(len(named), 'mold')}, and {many(lost, 'cast')} told as lost."


def rule_something_is_counted(things: Things, body: Body) -> Refusals:
    """Hold that an entry about ware says how many, or which."""
    if (
        not body.get("count")
        and not body.get("pieces")
        and not body.get("lost")
        and not body.get("lost_pieces")
    ):
        yield f"Neither count nor pieces are told; {_waiting(things, body)}write how many, or which pieces."


def _waiting(things: Things, body: Body) -> str:
    """Return how many wait for a firing, nothing where the entry is of no firing."""
    edition = edition_named(things, body)
    if body.get("firing") not in firings_of(edition.route):
        return ""
    stage, _ = _taken_from(edition.route, body)
    held = edition.ware.get(stage, 0)
    return f"{many(held, 'piece')} without a number {'waits' if held == 1 else 'wait'} for it: "


def rule_something_stands_before_it(things: Things, body: Body) -> Refusals:
    """Hold that what is finished without a count is there: all that stand before it were meant."""
    if list(rule_something_is_counted(things, body)):
        edition = edition_named(things, body)
        stage = last_stage(edition.route)
        yield f"None of {edition.name} is at {stage}; {_missing_step(things, edition, stage)}."


def rule_stage_is_on_the_route(things: Things, body: Body) -> Refusals:
    """Hold that ware stands only where its route leads."""
    edition = edition_named(things, body)
    stages = stages_of(edition.route)
    told = [body["stage"]] if "stage" in body else body.get("counts", ())
    for stage in told:
        if stage not in (*stages, "molds"):
            yield f"stage is {stage}; {edition.name} goes {edition.route}: {', '.join(stages)}."


def rule_stage_is_told(_: Things, body: Body) -> Refusals:
    """Hold that lost ware without a number says where it stood, and a lost piece why."""
    if body.get("lost") and "stage" not in body:
        yield "stage is missing; write where the lost ware stood, such as greenware."
    if body.get("pieces") and "cause" not in body:
        yield "cause is missing; write why the pieces were lost, such as warp."
    if "count" in body:
        yield "cause is missing; write why they were lost, such as warp."


def rule_firing_is_on_the_route(things: Things, body: Body) -> Refusals:
    """Hold that a firing is one of those that the brief has."""
    edition = edition_named(things, body)
    route = edition.route
    if body["firing"] not in firings_of(route):
        yield f"firing is {body['firing']}; {edition.name} goes {route}: its firings are {', '.join(firings_of(route))}."


def rule_stage_holds_enough(things: Things, body: Body) -> Refusals:
    """Hold that no more ware moves on than stands there: never more good than cast."""
    edition = edition_named(things, body)
    stage, count = _taken_from(edition.route, body)
    held = edition.ware.get(stage, 0)
    if count > held and stage in edition.ware:
        told = f"{many(count, 'piece')} told, and {held}" if held else f"None of {edition.name} is"
        yield f"{told} unmarked at {stage}; {_missing_step(things, edition, stage)}."


def _missing_step(things: Things, edition: EditionDoc, stage: str) -> str:
    """Return where ware stands before a stage, and what is to be written so that it moves on."""
    stages = stages_of(edition.route)
    before = stages[: stages.index(stage)] if stage in stages else ()
    inside = [
        (name, load)
        for name, load in things.of(LoadDoc, edition.edition)
        if load.state == "closed" and load.count
    ]
    for here in reversed(before):
        to = stages[stages.index(here) + 1]
        for name, load in inside:
            if stage_after(load.firing) == to:
                return f"{load.count} are in {name}: write unload first"
        held = edition.ware[here]
        if held:
            step = "finish" if to == "finished" else f"load ({_firing_to(to)}) and unload"
            return f"{held} {'stands' if held == 1 else 'stand'} at {here}: write {step} first"
    return "count again, or write down what is missing"


def _firing_to(stage: str) -> str:
    return next(one for one in FIRINGS if stage_after(one) == stage)


def _taken_from(route: str, body: Body) -> tuple[str, int]:
    """Return the stage that an entry takes unmarked ware from, and how much."""
    lost = sum(body.get("lost", {}).values())
    if "firing" in body:
        again = body.get("refire", False)
        return stage_before(route, body["firing"], again=again) or "", body.get("count", 0)
    if "kind" in body:  # marked ware
        return body["stage"], len(body["made"])
    if "stage" in body:
        return body["stage"], body.get("count", 0) + lost
    return last_stage(route), body.get("count", 0) + lost


def rule_glazed_ware_waits_for_it(things: Things, body: Body) -> Refusals:
    """Hold that only ware that the glaze firing would take is glazed."""
    edition = edition_named(things, body)
    stage = stage_before(edition.route, "glaze", again=False) or ""
    held = edition.ware[stage] + edition.ware["fired"]  # a second coat goes on fired ware
    if body.get("count", 0) > held:
        yield f"{many(body['count'], 'piece')} told, and {held} unmarked at {stage} and fired; {_missing_step(things, edition, stage)}."


def rule_decorated_ware_waits_for_it(things: Things, body: Body) -> Refusals:
    """Hold that only ware that a third firing would take is decorated."""
    edition = edition_named(things, body)
    stage = stage_before(edition.route, "third", again=False)
    if stage is None:
        yield f"{edition.name} has no third firing to decorate for; its firings are {', '.join(firings_of(edition.route))}."
    elif body.get("count", 0) > edition.ware[stage]:
        yield f"{many(body['count'], 'piece')} told, and {edition.ware[stage]} unmarked at {stage}; {_missing_step(things, edition, stage)}."


def rule_pieces_are_here(things: Things, body: Body) -> Refusals:
    """Hold that a lost or broken piece, or one that is away, is not in the studio's hands."""
    for name in _pieces(body):
        piece = things.get(PieceDoc, name)
        if piece and piece.state != "here":
            when = or_none(piece.away_at if piece.state == "away" else piece.lost_at)
            since = f" since {told_day(things, when)}" if when else ""
            yield f"{piece_called(things, name, piece)} is {piece.state}{since}."


def _pieces(body: Body) -> list[str]:
    return [*body.get("pieces", ()), *body.get("lost_pieces", {})]


def rule_pieces_are_in_no_load(things: Things, body: Body) -> Refusals:
    """Hold that a piece is in one load at a time."""
    for name in _pieces(body):
        piece = things.get(PieceDoc, name)
        if piece and piece.load:
            yield f"{piece_called(things, name, piece)} is in {piece.load}, which is closed; unload that first."


def rule_pieces_stand_where_it_begins(things: Things, body: Body) -> Refusals:
    """Hold that pieces are fired and finished in the order of the brief."""
    route = edition_named(things, body).route
    if "firing" in body:
        stage = stage_before(route, body["firing"], again=body.get("refire", False))
        what = f"the {body['firing']} firing takes what stands at {stage}"
    else:
        stage = last_stage(route)
        what = f"what is finished stands at {stage}"
    if stage is None:
        return
    for name in body.get("pieces", ()) if "firing" in body else _pieces(body):
        piece = things.get(PieceDoc, name)
        if piece and piece.state == "here" and piece.stage != stage:
            called, hint = piece_called(things, name, piece), _refire_hint(piece.stage, body)
            yield f"{called} stands at {piece.stage}; {what}. {hint}".rstrip()


def _refire_hint(stage: str, body: Body) -> str:
    is_again = "firing" in body and stage == stage_after(body["firing"])
    return "Write refire yes if it is fired again." if is_again else ""


def rule_load_is_not_closed_yet(things: Things, body: Body) -> Refusals:
    """Hold that ware which stands in the kiln is not loaded once more, whichever phone was first."""
    lacks = [*rule_stage_holds_enough(things, body), *rule_pieces_are_in_no_load(things, body)]
    if not lacks:
        return
    told = body["firing"], body.get("count", 0), body.get("pieces", [])
    for name, load in things.of(LoadDoc, body["edition"]):
        if load.state == "closed" and (load.firing, load.count, load.pieces) == told:
            since = told_day(things, load.closed_at)
            yield f"{name} is closed already, since {since}: {load.firing}, {many(load.size, 'piece')}."


def rule_load_is_closed(things: Things, body: Body) -> Refusals:
    """Hold that a load is opened once."""
    load = things.get(LoadDoc, body["load"])
    if load and load.state != "closed":
        yield f"{body['load']} was opened on {told_day(things, present(load.opened_at))} already."


def rule_no_more_lost_than_loaded(things: Things, body: Body) -> Refusals:
    """Hold that what is lost in a load was in it."""
    count, pieces = body.get("count", 0), body.get("pieces", ())
    if "load" in body:
        load = things.get(LoadDoc, body["load"])
        if load is None:
            return
        count, pieces = load.count, load.pieces
    lost = sum(body.get("lost", {}).values())
    if lost > count:
        yield f"{lost} told as lost, and {many(count, 'piece')} without a number in the load."
    others = [one for one in body.get("lost_pieces", {}) if one not in pieces]
    if others:
        yield f"Not in the load: {names_said(others)}."


def rule_no_piece_is_both_finished_and_lost(_: Things, body: Body) -> Refusals:
    """Hold that a piece is good or lost."""
    both = [one for one in body.get("pieces", ()) if one in body.get("lost_pieces", {})]
    if both:
        yield f"{names_said(both)} are told as finished and as lost; write each once."
