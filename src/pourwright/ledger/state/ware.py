"""What entries about casts and ware do to the state, by counts and by pieces."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from pourwright.ledger.documents import EditionDoc, LoadDoc, MoldDoc, TallyDoc, or_none, or_zero
from pourwright.ledger.entry import Entry, day_of_entry
from pourwright.ledger.said import called, causes, many, names_said
from pourwright.ledger.stages import last_stage, stage_after, stage_before
from pourwright.ledger.state.casts import (
    CastTally,
    add_counts,
    casts_of,
    conditioning_casts,
    new_casts,
)
from pourwright.ledger.state.edition import edition_of
from pourwright.ledger.state.molds import molds_cast
from pourwright.ledger.state.numbers import lose_piece, piece_of
from pourwright.ledger.things import Things


def casts_made(things: Things, entry: Entry) -> str:
    """Take in ``casts-made``: molds are cast."""
    return _cast(things, entry, molds_cast(things, entry))


def casts_counted(things: Things, entry: Entry) -> str:
    """Take in ``casts-counted``: how many casts a mold has given so far."""
    name = entry.body["mold"]
    molds = molds_cast(things, entry)
    said = _cast(things, entry, molds)
    return f"{name} has given {many(molds[name].casts, 'cast')}. {said}"


def _cast(things: Things, entry: Entry, molds: dict[str, MoldDoc]) -> str:
    edition, body = edition_of(things, entry), entry.body
    new = new_casts(molds, body)
    tally = casts_of(edition, molds, new, body)
    if not tally.casts:
        return "No new casts."
    _count_on_molds(things, entry, molds, new, edition.conditioning, tally)
    edition.cast += tally.casts
    edition.thrown += tally.thrown
    edition.good += tally.good
    edition.ware["greenware"] += tally.good
    add_counts(edition.tried, {"casting": tally.casts - tally.thrown})
    lose_count(edition, "casting", tally.lost)
    things.put(edition.edition, edition)
    _count_by(things, edition.edition, f"day/{day_of_entry(entry)}", tally)
    if "lot" in body:
        _count_by(things, edition.edition, f"lot/{body['lot']}", tally)
    return _cast_said(tally, next(iter(molds)) if len(molds) == 1 and "molds" in body else "")


def _cast_said(tally: CastTally, mold: str) -> str:
    of = f" of {mold}" if mold else ""
    said = [f"{many(tally.casts, 'cast')}{of}: {tally.good} good"]
    said += [f"{tally.thrown} thrown away as first casts"] if tally.thrown else []
    said += [f"lost {causes(tally.lost)}"] if tally.lost else []
    return ", ".join(said) + "."


def _count_on_molds(
    things: Things,
    entry: Entry,
    molds: dict[str, MoldDoc],
    new: dict[str, int],
    conditioning: int,
    tally: CastTally,
) -> None:
    body, left = entry.body, tally.thrown
    lost = dict.fromkeys(body.get("lost_molds", ()), 1)
    if len(molds) == 1:
        lost = dict.fromkeys(molds, sum(tally.lost.values()))
    for name, mold in molds.items():
        if left:
            told = "conditioned" in body
            usual = conditioning_casts(mold.casts, new[name], conditioning)
            thrown = min(new[name] if told else usual, left)
            mold.thrown += thrown
            left -= thrown
        mold.lost += lost.get(name, 0)
        mold.casts += new[name]
        mold.first_cast = mold.first_cast or entry.at
        mold.last_cast = entry.at
        mold.wet = False  # said once, when it was cast before it was dry
        things.put(name, mold)


def _tally_of(things: Things, key: str, edition: str) -> TallyDoc:
    """Return the tally of casts of a day or a lot; one that begins says so with zeros."""
    found = things.get(TallyDoc, key)
    return found or TallyDoc(edition=edition, cast=0, thrown=0, good=0, lost={})


def _count_by(things: Things, edition: str, what: str, casts: CastTally) -> None:
    key = f"{edition}/{what}"
    tally = _tally_of(things, key, edition)
    tally.cast = or_zero(tally.cast) + casts.casts
    tally.thrown = or_zero(tally.thrown) + casts.thrown
    tally.good = or_zero(tally.good) + casts.good
    lost = or_none(tally.lost) or {}
    add_counts(lost, casts.lost)
    tally.lost = lost
    things.put(key, tally)


def lose_count(edition: EditionDoc, where: str, lost: Mapping[str, int]) -> None:
    """Add lost ware that bears no number, by cause, to an edition at one of ``LOSSES``."""
    if any(lost.values()):
        add_counts(edition.lost.setdefault(where, {}), lost)
        edition.lost_unnamed += sum(lost.values())


def ware_lost(things: Things, entry: Entry) -> str:
    """Take in ``ware-lost``: ware is lost at the stage where it stands."""
    edition, body = edition_of(things, entry), entry.body
    lost = body.get("lost", {})
    count = sum(lost.values())
    if count:
        edition.ware[body["stage"]] -= count
        lose_count(edition, body["stage"], lost)
    if count and "lot" in body:
        key = f"{edition.edition}/lot/{body['lot']}"
        tally = _tally_of(things, key, edition.edition)
        later = or_none(tally.lost_later) or {}
        add_counts(later, lost)
        tally.lost_later = later
        things.put(key, tally)
    pieces = body.get("pieces", ())
    for name in pieces:
        lose_piece(things, edition, entry, name, body["cause"], "")
    things.put(edition.edition, edition)
    told = [causes(lost)] if count else []
    names = names_said(called(things, one) for one in pieces)
    told += [f"{names}, {body['cause']}"] if pieces else []
    return f"Lost: {'; '.join(told)}."


def ware_glazed(things: Things, entry: Entry) -> str:
    """Take in ``ware-glazed``: ware is glazed."""
    edition, body = edition_of(things, entry), entry.body
    count = body.get("count", 0) + len(body.get("pieces", ()))
    edition.glazed = or_zero(edition.glazed) + count
    things.put(edition.edition, edition)
    if "lot" in body:
        key = f"{edition.edition}/lot/{body['lot']}"
        tally = things.get(TallyDoc, key) or TallyDoc(edition=edition.edition)
        tally.glazed = or_zero(tally.glazed) + count
        things.put(key, tally)
    return f"{many(count, 'piece')} glazed."


def ware_decorated(things: Things, entry: Entry) -> str:
    """Take in ``ware-decorated``: ware is decorated for the third firing."""
    edition, body = edition_of(things, entry), entry.body
    count = body.get("count", 0) + len(body.get("pieces", ()))
    edition.decorated = or_zero(edition.decorated) + count
    things.put(edition.edition, edition)
    return f"{many(count, 'piece')} decorated."


def load_closed(things: Things, entry: Entry) -> str:
    """Take in ``load-closed``: a kiln load is closed."""
    edition, name = edition_of(things, entry), entry.body["made"][0]
    load = _close(things, entry, edition, name)
    things.put(name, load)
    things.put(edition.edition, edition)
    return f"{name}: {load.firing} load of {many(load.size, 'piece')} closed."


def load_opened(things: Things, entry: Entry) -> str:
    """Take in ``load-opened``: a load is opened."""
    edition, name = edition_of(things, entry), entry.body["load"]
    load = things.get(LoadDoc, name)
    assert load is not None  # noqa: S101 - rule_what_is_named_is_known
    return _open(things, entry, edition, name, load)


def load_fired(things: Things, entry: Entry) -> str:
    """Take in ``load-fired``: a load, closed and opened, in one entry."""
    edition, name = edition_of(things, entry), entry.body["made"][0]
    return _open(things, entry, edition, name, _close(things, entry, edition, name))


def _close(things: Things, entry: Entry, edition: EditionDoc, name: str) -> LoadDoc:
    """Take ware from where it stands into a load; the edition changes in place."""
    body = entry.body
    again = body.get("refire", False)
    stage = stage_before(edition.route, body["firing"], again=again)
    assert stage is not None  # noqa: S101 - rule_firing_is_on_the_route
    count, pieces = body.get("count", 0), list(body.get("pieces", ()))
    edition.ware[stage] -= count
    edition.loaded += count
    edition.named[stage] -= len(pieces)
    edition.loaded_named += len(pieces)
    for label in pieces:
        piece = piece_of(things, label)
        piece.load = name
        things.put(label, piece)
    return LoadDoc(
        edition=edition.edition,
        firing=body["firing"],
        refire=again,
        kiln=body.get("kiln"),
        from_stage=stage,
        count=count,
        pieces=pieces,
        closed_at=entry.at,
    )


def _open(things: Things, entry: Entry, edition: EditionDoc, name: str, load: LoadDoc) -> str:
    body = entry.body
    lost, lost_pieces = body.get("lost", {}), body.get("lost_pieces", {})
    stage, step = stage_after(load.firing), f"{load.firing} firing"
    edition.loaded -= load.count
    edition.ware[stage] += load.count - sum(lost.values())
    edition.loaded_named -= len(load.pieces)
    edition.named[stage] += len(load.pieces)
    add_counts(edition.tried, {step: load.size})
    lose_count(edition, step, lost)
    for label in load.pieces:
        piece = piece_of(things, label)
        piece.load, piece.stage = None, stage
        piece.firings = [*piece.firings, load.firing]
        things.put(label, piece)
        if label in lost_pieces:
            lose_piece(things, edition, entry, label, lost_pieces[label], step)
    load.state, load.opened_at = "opened", entry.at
    load.lost, load.lost_pieces = dict(lost), dict(lost_pieces)
    load.cones = body.get("cones")
    things.put(name, load)
    things.put(edition.edition, edition)
    out = load.size - sum(lost.values()) - len(lost_pieces)
    bad = [causes(lost)] if lost else []
    bad += [f"{called(things, label)}: {cause}" for label, cause in lost_pieces.items()]
    good = f"{out} of {many(load.size, 'piece')} good, {step}"
    return f"{name}: {'; '.join([good, *bad])}."


def ware_finished(things: Things, entry: Entry) -> str:
    """Take in ``ware-finished``: fired ware is inspected, found good and packed."""
    edition, body = edition_of(things, entry), entry.body
    stage = last_stage(edition.route)
    count, lost = body.get("count", 0), body.get("lost", {})
    pieces, lost_pieces = list(body.get("pieces", ())), body.get("lost_pieces", {})
    unmarked = count + sum(lost.values())
    edition.ware[stage] -= unmarked
    edition.ware["finished"] += count
    add_counts(edition.tried, {"finish": unmarked + len(pieces) + len(lost_pieces)})
    lose_count(edition, stage, lost)
    for label, cause in lost_pieces.items():
        lose_piece(things, edition, entry, label, cause, "")
    for label in pieces:
        piece = piece_of(things, label)
        piece.stage = "finished"
        things.put(label, piece)
    edition.named[stage] -= len(pieces)
    edition.named["finished"] += len(pieces)
    things.put(edition.edition, edition)
    left = edition.ware[stage] + edition.named[stage]
    all_of_it = "" if left else f", all that stood at {stage}"
    return f"{many(count + len(pieces), 'piece')} inspected and packed{all_of_it}."


APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "casts-made": casts_made,
    "casts-counted": casts_counted,
    "ware-lost": ware_lost,
    "ware-glazed": ware_glazed,
    "ware-decorated": ware_decorated,
    "load-closed": load_closed,
    "load-opened": load_opened,
    "load-fired": load_fired,
    "ware-finished": ware_finished,
}
"""What each kind does."""
