"""What a command names, looked up: "all except 3 and 7" becomes labels, and new labels are given.

The resolved body is what is kept. A rule then judges it.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import count as count_from
from itertools import islice
from typing import Any

from pourwright.errors import BadInput, Refused, did_you_mean
from pourwright.ledger.commands.known import DOCS_OF_LETTERS, labels_in, unknown
from pourwright.ledger.commands.reading import Fields
from pourwright.ledger.documents import EditionDoc, LoadDoc, MoldDoc, NumberDoc, PieceDoc, SpareDoc
from pourwright.ledger.entry import Body
from pourwright.ledger.kinds.fields import Kind
from pourwright.ledger.kinds.molds import ALL_PARTS
from pourwright.ledger.labels import LETTERS, WIDTHS, label, read_label, read_piece
from pourwright.ledger.said import names_said
from pourwright.ledger.stages import last_stage, stage_when_marked
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.loads import as_told, seen_lost
from pourwright.ledger.state.molds import is_called_dry, is_complete
from pourwright.ledger.state.numbers import WITH_NUMBER, number_id
from pourwright.ledger.things import Things


def resolve(things: Things, kind: Kind, read: Body, made: list[str] | None = None) -> Fields:
    """Return the body that is kept: names looked up, defaults worked out, labels given.

    Parameters
    ----------
    things : Things
        The state before the entry.
    kind : Kind
        The kind of entry.
    read : mapping
        The fields that were read, and ``edition`` if it was told.
    made : list of str, optional
        Labels that the entry has given before, when it is corrected: they stay.

    Raises
    ------
    Refused
        If something that is named is not in the book.
    BadInput
        If it is not told which edition is meant.
    """
    body = dict(read)
    if "about" in body:
        body["about"] = _as_label(body["about"])
    if kind.kind == "edition-planned":  # its edition is not in the book yet
        if "edition" not in body:
            raise BadInput.one("edition", None, "write a short name for it, such as tide-cup")
        return body
    edition = _edition(things, kind, body)
    if edition is not None:
        body["edition"] = edition.edition
        _look_up(things, kind, body, edition)
        work_out = _WORK_OUT.get(kind.kind)
        if work_out is not None:
            work_out(things, body, edition)
    if kind.kind == "load-opened" and made is None:  # a correction says what it says
        _lose_what_was_seen(things, body)
    _give_labels(things, kind, body, made or [])
    return body


def _as_label(about: object) -> str:
    """Return "m-7" as the label M-007, and any other text as it is."""
    found = (read_label(about, letter) for letter in WIDTHS if not str(about).isdigit())
    return next((one for one in found if one is not None), str(about))


def _edition(things: Things, kind: Kind, body: Fields) -> EditionDoc | None:
    """Return the edition that is meant; None if the entry belongs to none."""
    if kind.scope == "studio":
        return None
    name = body.get("edition") or _edition_of_what_is_named(things, kind, body)
    if name is None and kind.scope == "either":
        return None
    if name is None:
        name = _only_edition(things)
    found = things.get(EditionDoc, str(name))
    if found is None:
        raise Refused([_no_edition(things, str(name))], ["rule_edition_is_known"])
    return found


def _no_edition(things: Things, name: str) -> str:
    known = counters(things).editions
    hint = did_you_mean(name, known) if known else "Plan it first."
    return f"There is no edition {name} in the book. {hint}".rstrip()


def _edition_of_what_is_named(things: Things, kind: Kind, body: Fields) -> str | None:
    missing: list[str] = []
    for name in labels_in(kind, body):
        doc_kind = DOCS_OF_LETTERS.get(name[:1])
        doc = things.get(doc_kind, name) if doc_kind else None
        if doc is not None:
            return doc.edition
        missing += unknown(things, name, "")
    if missing and kind.scope == "edition":
        raise Refused(missing, ["rule_what_is_named_is_known"])
    return None


def _only_edition(things: Things) -> str:
    docs = [things.get(EditionDoc, one) for one in counters(things).editions]
    known = [one.edition for one in docs if one]
    still_open = [one.edition for one in docs if one and one.state != "closed"]
    for only in (still_open, known):
        if len(only) == 1:
            return only[0]
    if not known:
        raise Refused(
            ["There is no edition in the book yet; plan one first."], ["rule_edition_is_known"]
        )
    raise BadInput.one("edition", None, f"write which one: {names_said(still_open or known)}")


def _look_up(things: Things, kind: Kind, body: Fields, edition: EditionDoc) -> None:
    """Turn selections and pieces into labels that the book has, in place."""
    wrong: list[str] = []
    for field in kind.fields:
        value: Any = body.get(field.name)
        if value is None:
            continue
        if field.kind == "selection" and isinstance(value, dict):
            body[field.name] = _molds(things, kind.kind, value, edition, wrong)
        elif field.kind == "pieces":
            pieces = [_piece(things, edition, one, wrong) for one in value]
            body[field.name] = list(dict.fromkeys(pieces))
        elif field.name == "about":
            body["about"] = _about(things, edition, value)
        elif field.kind == "piece causes":
            body[field.name] = {
                _piece(things, edition, one, wrong): cause for one, cause in value.items()
            }
    if wrong:
        raise Refused(dict.fromkeys(wrong), ["rule_what_is_named_is_known"])


def _molds(
    things: Things, kind: str, told: dict[str, list[str]], edition: EditionDoc, wrong: list[str]
) -> list[str]:
    """Return the molds that are meant: "all" means those that the step can be done to."""
    if "some" in told:
        return list(told["some"])
    for name in told["all_except"]:
        wrong += unknown(things, name, edition.edition)
    is_meant = _IS_MEANT.get(kind, _is_there)
    molds = things.of(MoldDoc, edition.edition)
    chosen = [name for name, mold in molds if is_meant(mold) and name not in told["all_except"]]
    if not chosen and not wrong:
        why = (
            "called dry, whole and in use" if kind == "casts-made" else "of which that can be said"
        )
        wrong.append(f"{edition.name} has no mold {why}; name those that are meant.")
    return chosen


def _is_there(mold: MoldDoc) -> bool:
    return mold.state != "destroyed"


_IS_MEANT: dict[str, Callable[[MoldDoc], bool]] = {
    # what nobody has called dry is cast only by name
    "casts-made": lambda mold: mold.state == "in use" and is_complete(mold) and is_called_dry(mold),
    "mold-retired": lambda mold: mold.state == "in use",
}


def _piece(things: Things, edition: EditionDoc, told: str, wrong: list[str]) -> str:
    """Return the label of a piece told by label, by number or as a proof."""
    if told.startswith("P-"):
        return told
    letters, _, digits = told.rpartition(" ")
    if letters and letters != edition.proof_kind.upper():
        wrong.append(f"{told} is no piece of {edition.name}; its proofs are {edition.proof_kind}.")
        return told
    kind = "proof" if letters else "numbered"
    number = things.get(NumberDoc, number_id(edition, kind, int(digits)))
    if number is None:
        last = edition.proofs if letters else edition.pieces
        hint = "; mark it first" if int(digits) <= last else ""
        wrong.append(f"No piece of {edition.name} bears {told}{hint}.")
        return told
    return number.living or number.bearers[-1]


def _about(things: Things, edition: EditionDoc, told: str) -> str:
    """Return the label of the piece that a number means, or the text as it is."""
    number = read_piece(told)
    found: list[str] = []
    piece = _piece(things, edition, number, found) if number else told
    return told if found else piece


# --- what is worked out for some kinds


def _part(_: Things, body: Fields, edition: EditionDoc) -> None:
    parts = edition.parts
    if "part" not in body:
        if len(parts) > 1:
            raise BadInput.one("part", None, f"write which part: {names_said(parts)}")
        body["part"] = parts[0]
    found = next((one for one in parts if one.lower() == str(body["part"]).lower()), None)
    if found is None:
        raise Refused(
            [f"part is {body['part']}; the parts of {edition.name} are {names_said(parts)}."],
            ["rule_part_is_one_of_the_molds"],
        )
    body["part"] = found


def _broken(things: Things, body: Fields, edition: EditionDoc) -> None:
    if str(body.get("part")).lower() == ALL_PARTS:
        body["part"] = ALL_PARTS
    else:
        _part(things, body, edition)


def _swap(things: Things, body: Fields, edition: EditionDoc) -> None:
    _part(things, body, edition)
    if "spare" in body:
        return
    spares = [
        name
        for name, spare in things.of(SpareDoc, edition.edition)
        if spare.state == "spare" and spare.part == body["part"]
    ]
    if not spares:
        raise Refused(
            [f"There is no spare {body['part']} of {edition.name}; pour one first."],
            ["rule_spare_is_free"],
        )
    body["spare"] = spares[0]


def _lose(things: Things, body: Fields, _: EditionDoc) -> None:
    if "count" in body and "cause" in body:
        lost: Any = body.setdefault("lost", {})
        lost[body["cause"]] = lost.get(body["cause"], 0) + body.pop("count")
    if not body.get("pieces"):
        body.pop("cause", None)


def _unload(things: Things, body: Fields, edition: EditionDoc) -> None:
    if "load" in body:
        return
    loads = things.of(LoadDoc, edition.edition)
    closed = [name for name, load in loads if load.state == "closed"]
    if len(closed) != 1:
        told = f"{names_said(closed)} are closed" if closed else "no load is closed"
        raise Refused([f"load is missing; {told}."], ["rule_load_is_closed"])
    body["load"] = closed[0]


def _lose_what_was_seen(things: Things, body: Fields) -> None:
    """Take as lost what was seen lost at the kiln, if nothing is told."""
    label = str(body["load"])
    load = things.get(LoadDoc, label)
    if load is None or load.state != "closed" or body.get("lost") or body.get("lost_pieces"):
        return
    unmarked, marked = as_told(seen_lost(things, label, load))
    body |= {"lost": unmarked} if unmarked else {}
    body |= {"lost_pieces": marked} if marked else {}


def _finish(things: Things, body: Fields, edition: EditionDoc) -> None:
    """Take all that stand before it, marked or not, if nothing is told."""
    if any(body.get(one) for one in ("count", "pieces", "lost", "lost_pieces")):
        return
    stage = last_stage(edition.route)
    count = edition.ware[stage]
    pieces = [
        name
        for name, piece in things.of(PieceDoc, edition.edition)
        if piece.state == "here" and piece.stage == stage and not piece.load
    ]
    body |= {"count": count} if count else {}
    body |= {"pieces": pieces} if pieces else {}


def _mark(_: Things, body: Fields, edition: EditionDoc) -> None:
    body.setdefault("kind", "numbered")
    body.setdefault("stage", stage_when_marked(edition))
    if body["kind"] not in WITH_NUMBER:
        body.setdefault("count", 1)


def _settle(_: Things, body: Fields, __: EditionDoc) -> None:
    body.setdefault("kind", "numbered")


def _surplus(_: Things, body: Fields, __: EditionDoc) -> None:
    if "count" in body:
        body.setdefault("stage", "finished")


def _stock(things: Things, body: Fields, edition: EditionDoc) -> None:
    """Put beside what was counted what the book says at that moment."""
    book: dict[str, int] = {}
    counts: Any = body["counts"]
    for key in counts:
        if key == "molds":
            book[key] = sum(_is_there(mold) for _, mold in things.of(MoldDoc, edition.edition))
        else:
            book[key] = edition.ware.get(key, 0) + edition.named.get(key, 0)
    body["book"] = book


_WORK_OUT: dict[str, Callable[[Things, Fields, EditionDoc], None]] = {
    "part-poured": _part,
    "part-broken": _broken,
    "part-swapped": _swap,
    "ware-lost": _lose,
    "load-opened": _unload,
    "ware-finished": _finish,
    "piece-marked": _mark,
    "number-settled": _settle,
    "surplus-declared": _surplus,
    "stock-counted": _stock,
}


# --- labels


def _give_labels(things: Things, kind: Kind, body: Fields, before: list[str]) -> None:
    needed = _needed(kind.kind, body)
    if needed is None:
        return
    letter, count = needed
    told: Any = before or body.get("scratched_in", ())
    kept = [one for one in told if one[0] == letter][:count]
    following = (label(letter, n) for n in count_from(counters(things).highest(letter) + 1))
    free = (one for one in following if one not in kept)
    body["made"] = kept + list(islice(free, count - len(kept)))


def _needed(kind: str, body: Body) -> tuple[str, int] | None:
    """Return letter and count of the labels that an entry gives."""
    if kind == "lot-mixed":
        return LETTERS[body["what"]], 1
    if kind == "piece-marked":
        by_number = body["kind"] in WITH_NUMBER
        return "P", len(body.get("numbers", ())) if by_number else body["count"]
    letter = _LETTER_OF_WHAT_IS_MADE.get(kind)
    return None if letter is None else (letter, body.get("count", 1) if letter in "MT" else 1)


_LETTER_OF_WHAT_IS_MADE = {
    "form-made": "F",
    "molds-poured": "M",
    "part-poured": "T",
    "load-closed": "L",
    "load-fired": "L",
}
"""Molds and spare parts are made some at a time, the others one at a time."""
