"""An entry was wrong: a further entry says so, and what followed is worked out and judged again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from pourwright.errors import BadInput, Complaint, Refused, as_written
from pourwright.ledger.commands.moments import read_at
from pourwright.ledger.commands.reading import Fields, read_value
from pourwright.ledger.commands.resolve import resolve
from pourwright.ledger.documents import PieceDoc
from pourwright.ledger.entry import Body, Entry, day_of_entry, day_said
from pourwright.ledger.kinds.fields import Kind
from pourwright.ledger.kinds.table import BY_KIND
from pourwright.ledger.replaying import (
    CORRECTED,
    QuickThings,
    corrected,
    effective,
    replay_scope,
)
from pourwright.ledger.rules.table import refusals
from pourwright.ledger.said import names_said, piece_typed
from pourwright.ledger.things import Things

SOLD = "piece-sold"
WORKED_OUT = ("made", "book")
"""What the book adds to a body; it is worked out again."""


def corrected_lead(target: Entry) -> str:
    """Return what the book's answer to a correction begins with; what the entry now says follows."""
    return f"Entry {target.seq} ({BY_KIND[target.kind].verb}) is corrected: "


def rule_correction_says_one_thing(body: Body) -> None:
    """Hold that a correction voids an entry, or says what its fields should be."""
    if bool(body.get("void")) == ("changes" in body):
        raise Refused(
            ["Write void yes if it did not happen, or changes with the fields as they should be."],
            ["rule_correction_says_one_thing"],
        )


def rule_corrected_entry_is_known(target: Entry | None, ref: object) -> Entry:
    """Hold that a correction names an entry of this book."""
    if target is None:
        raise Refused([f"There is no entry {ref} in the book."], ["rule_corrected_entry_is_known"])
    return target


def rule_correction_is_only_voided(target: Entry, body: Body) -> None:
    """Hold that a correction is corrected by voiding it; its entry can then be corrected anew."""
    if target.kind == CORRECTED and not body.get("void"):
        original = target.body["entry"]
        said = (
            f"Entry {target.seq} is a correction of entry {original}: correct entry {original} "
            f"itself again, or say of entry {target.seq} that it did not happen."
        )
        raise Refused([said], ["rule_correction_is_only_voided"])


def shipped_and_here(
    things: Things, target: Entry, entries: list[Entry]
) -> tuple[list[str], list[str]]:
    """Return the labels of a sale's pieces: those that have left since, and the others; none if no sale."""
    sale = next((one for one in effective(entries) if one.id == target.id), None)
    if sale is None or sale.kind != SOLD:
        return [], []
    shipped: list[str] = []
    here: list[str] = []
    for name in sale.body["pieces"]:
        piece = things.get(PieceDoc, name)
        has_left = piece and piece.state == "away" and piece.sold and piece.sold.at == sale.at
        (shipped if has_left else here).append(name)
    return shipped, here


def asks_what_is_shipped(
    things: Things, target: Entry, entries: list[Entry], body: Body
) -> list[str]:
    """Ask before a sale is taken back of which a piece is shipped: it would be away and not sold."""
    shipped, here = shipped_and_here(things, target, entries) if body.get("void") else ([], [])
    if not shipped:
        return []
    gone, rest = (names_said(piece_typed(things, one) for one in some) for some in (shipped, here))
    are = "is" if len(shipped) == 1 else "are"
    asked = f"take back only {rest}?" if here else "take the sale back all the same?"
    return [f"{gone} {are} shipped: {asked} Without the sale {gone} {are} shipped and not sold."]


def new_body(
    things: Things,
    target: Entry,
    entries: list[Entry],
    changes: Mapping[str, object],
    now: datetime,
    prefer: str | None,
) -> tuple[Fields, str | None]:
    """Return the body, and the time if it changes, that an entry should have had.

    Parameters
    ----------
    things : Things
        The state now.
    target : Entry
        The entry that was wrong, as it was written.
    entries : list of Entry
        Every entry of its scope.
    changes : mapping
        The fields as they should be; null takes a field away.
    now : datetime
        The studio's clock.
    prefer : {"us", "imperial"} or None
        Whose pint a pint is.

    Raises
    ------
    BadInput, Refused
        If the changes cannot be read, or what they name is not in the book.
    """
    kind = BY_KIND[target.kind]
    history = effective(entries)
    is_now = next((one for one in history if one.id == target.id), target)
    fields = {key: value for key, value in is_now.body.items() if key not in WORKED_OUT}
    gone = [key for key, value in changes.items() if value is None]
    fields |= _read_changes(kind, changes, prefer)
    fields = {key: value for key, value in fields.items() if key not in gone}
    _still_complete(kind, fields)
    before = replay_scope(things, target.scope, [one for one in history if one.seq < target.seq])
    body = resolve(before, kind, fields, list(is_now.body.get("made", ())))
    if target.kind == "edition-planned":
        body["edition"] = target.body["edition"]
    when = read_at({"at": changes["at"]}, now, target.zone) if "at" in changes else None
    return body, when or (is_now.at if is_now.at != target.at else None)


def _read_changes(kind: Kind, changes: Mapping[str, object], prefer: str | None) -> Fields:
    read: Fields = {}
    complaints: list[Complaint] = []
    for name, value in changes.items():
        field = kind.field(name)
        if field is None and name == "at":
            continue
        if field is None:
            names = ", ".join(one.name for one in kind.fields)
            complaints.append(
                Complaint(
                    f"changes.{as_written(name)[1:-1]}",
                    as_written(value),
                    f"{kind.verb} has {names} and at",
                )
            )
        elif value is not None:
            try:
                read[name] = read_value(field, value, prefer)
            except BadInput as wrong:
                complaints += [one.at(f"changes.{name}") for one in wrong.complaints]
    if complaints:
        raise BadInput(complaints)
    return read


def _still_complete(kind: Kind, fields: Mapping[str, object]) -> None:
    missing = [one.name for one in kind.fields if one.required and one.name not in fields]
    if missing:
        raise BadInput(
            Complaint(f"changes.{name}", None, f"{kind.verb} needs it") for name in missing
        )


def scope_corrected(
    things: Things, target: Entry, entries: list[Entry], word: Body
) -> tuple[QuickThings, str]:
    """Return the documents of a scope with one more correction, and what the entry now says.

    What is taken back says nothing; where a correction is, its entry speaks again.

    Raises
    ------
    Refused
        If the entry as corrected, or a later one, would then be impossible; it is named.
    """
    history = _with(entries, target, word)
    first = _first_touched(entries, target)

    def judge(before: Things, entry: Entry) -> None:
        if entry.seq < first:
            return
        against = refusals(before, entry.kind, entry.body)
        if against:
            verb = BY_KIND[entry.kind].verb
            lead = (
                "As corrected it cannot stand: "
                if entry.seq == target.seq
                else f"Entry {entry.seq} ({verb}, {day_said(day_of_entry(entry))}) could then not stand: "
            )
            told = against if entry.seq == target.seq else against[:1]  # one is reason enough
            raise Refused([lead + said for _, said in told], [name for name, _ in told])

    said: dict[str, str] = {}
    corrected_things = replay_scope(
        things, target.scope, history, judge, lambda entry, now: said.update({entry.id: now})
    )
    return corrected_things, said.get(target.corrects or target.id, "")


def _first_touched(entries: list[Entry], target: Entry) -> int:
    """Return the place from which the scope's history changes."""
    by_id = {one.id: one for one in entries}
    while target.kind == CORRECTED:
        target = by_id[str(target.corrects)]
    return target.seq


def _with(entries: list[Entry], target: Entry, word: Body) -> list[Entry]:
    """Return the effective entries with one more correction, which has no place yet."""
    if target.kind == CORRECTED:
        return effective(one for one in entries if one.id != target.id)
    kept = {one.id: one for one in effective(entries)}
    kept.pop(target.id, None)
    if not word["void"]:
        kept[target.id] = corrected(target, word)
    return sorted(kept.values(), key=lambda one: one.seq)
