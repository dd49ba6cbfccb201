"""The verbs of the book, as a page needs them to make a form of any."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from pourwright.errors import StudioError
from pourwright.ledger.answer import BookAnswer, BookRefusal
from pourwright.ledger.book import Book as Book
from pourwright.ledger.book import refusal_of
from pourwright.ledger.causes import CAUSES
from pourwright.ledger.documents import EditionDoc, MoldDoc, StepDoc
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.trouble import BookTrouble
from pourwright.ledger.kinds.fields import ENVELOPE
from pourwright.ledger.kinds.fields import BookField as BookField
from pourwright.ledger.kinds.fields import Kind as Kind
from pourwright.ledger.kinds.molds import ALL_PARTS, PART
from pourwright.ledger.kinds.table import GROUPS, KINDS, kind_of
from pourwright.ledger.observations import Observation, is_same_act, standing
from pourwright.ledger.said import names_said
from pourwright.ledger.state.record import step_id
from pourwright.studio.book import BOOK_FILE
from pourwright.studio.editions import known_editions


def verbs() -> tuple[Kind, ...]:
    """Return every verb, in the order of the guide."""
    return KINDS


def verb_groups() -> tuple[tuple[str, tuple[Kind, ...]], ...]:
    """Return every verb in the order of the guide, each group under what it is about."""
    return GROUPS


def verb(name: str) -> Kind:
    """Return one verb.

    Raises
    ------
    BadInput
        If there is none of that name.
    """
    return kind_of(name)


def answered(
    book: Book, command: object, usual: Mapping[str, object], now: datetime
) -> BookAnswer | BookRefusal:
    """Return what the book answers to a command, or why it was refused.

    Parameters
    ----------
    book : Book
        The book.
    command : object
        As it was sent.
    usual : mapping
        Fields that hold where the command does not say otherwise.
    now : datetime
        The instant.

    Raises
    ------
    BookTrouble
        If the file cannot be used: that is no refusal, and the command may be sent again.
    """
    try:
        named = {**usual, **command} if isinstance(command, dict) else command
        return do_as_one_act(book, named, now)
    except BookTrouble:
        raise
    except StudioError as refused:
        return refusal_of(command, refused)


AT_ONCE_S = 10
"""An undo that took longer to come was made out of step with the studio: it takes back its own tap alone. [s]"""


def do_as_one_act(book: Book, command: object, now: datetime) -> BookAnswer:
    """Return what the book answers; what takes a tap back takes back the same act of other devices.

    Two thumbs that pressed the same within two minutes did one thing, and one undo is enough for it.
    Each tap is taken back by an undo of its own, so that the state still follows from the set alone.

    Parameters
    ----------
    book : Book
        The book.
    command : object
        As it was sent.
    now : datetime
        The instant.

    Raises
    ------
    StudioError
        If the command cannot be read, or the book refuses it.
    """
    if not isinstance(command, dict):
        return book.do(command, now)
    others = _same_act(book, command)
    answer = book.do(command, now)
    for n, one in enumerate(others, 1):
        told = {
            name: command[name]
            for name in ("edition", "what", "step", "by", "zone")
            if name in command
        }
        book.do({"do": "undo-step", **told, "undoes": one.id, "id": f"{command['id']}, {n}"}, now)
    if not others:
        return answer
    whose = names_said(dict.fromkeys(one.device for one in others))
    return replace(answer, said=f"{answer.said} The same tap by {whose} is taken back with it.")


def _same_act(book: Book, command: Mapping[str, Any]) -> list[Observation]:
    """Return the taps of other devices that say the same as the one that a command takes back."""
    named = {
        name: str(command.get(name, "")) for name in ("id", "edition", "what", "step", "undoes")
    }
    age = command.get("age_s", 0)
    is_late = "at" in command or not isinstance(age, int) or age > AT_ONCE_S
    if command.get("do") != "undo-step" or is_late or not all(named.values()):
        return []
    with book.reading() as reading:
        step = reading.things.get(StepDoc, step_id(named))
        is_known = bool(reading.answers_of([named["id"]]))  # it was sent before
    seen = step.observations() if step and not is_known else []
    mine = next((one for one in seen if one.id == named["undoes"]), None)
    return [one for one in standing(seen) if mine and is_same_act(one, mine)]


def open_studio_book(folder: Path, *, anew: bool = False) -> Book:
    """Return the book of a studio's folder, made if there is none.

    Parameters
    ----------
    folder : Path
        The studio's.
    anew : bool, optional
        Whether a new book is meant although there was one before.

    Raises
    ------
    BookGone
        If the file is not there, and was.
    StudioError
        If the file is there and is no book that can be used.
    """
    return Book(Store.open(folder / BOOK_FILE, anew=anew))


MOST_CHOICES = 40
"""Editions that a form offers; more are no choice but a list."""


@dataclass(frozen=True, slots=True)
class OfferedEditions:
    """Ids and names of the editions that a form offers, what is said of others, whether one is open."""

    choices: list[tuple[str, str]]
    words: str
    only: bool


def offered_editions(book: Book, meant: str = "") -> OfferedEditions:
    """Return the editions that a form offers.

    Those that are open come first, the newest in front. One is offered in any case: the one that
    the address or the form means.
    """
    with book.reading() as reading:
        known = known_editions(reading)
        offered = list(known[:MOST_CHOICES])
        if meant not in {one.edition for one in offered}:
            offered += [one for one in known[MOST_CHOICES:] if one.edition == meant]
    words = ""
    if len(known) > len(offered):
        words = (
            f"The {len(offered)} offered here are the open ones and the newest of {len(known)}. "
            "For an older one begin at its page under Editions."
        )
    choices = [(one.edition, one.name) for one in offered]
    return OfferedEditions(choices, words, sum(one.state != "closed" for one in known) < 2)


def parts_offered(book: Book, kind: Kind, typed: Mapping[str, object]) -> tuple[str, ...]:
    """Return the parts of the mold that a form is about, if its verb is told one of them; all can break.

    Parameters
    ----------
    book : Book
        The book.
    kind : Kind
        The form's verb.
    typed : mapping
        What is known: a mold or an edition.
    """
    if PART not in kind.fields:
        return ()
    with book.reading() as reading:
        mold = reading.things.get(MoldDoc, str(typed.get("mold", "")))
        name = mold.edition if mold else str(typed.get("edition", ""))
        edition = reading.things.get(EditionDoc, name)
        parts = tuple(edition.parts) if edition else ()
    return (*parts, ALL_PARTS) if kind.verb == "break-part" and len(parts) > 1 else parts


# --- the shape of a line of ``pourwright book run`` and of its answer, as JSON Schema 2020-12

Schema = dict[str, Any]
_TEXT: Schema = {"type": "string"}
_LIST: Schema = {"type": ["string", "integer", "array", "object"]}
_COUNTS: Schema = {
    "anyOf": [_TEXT, {"type": "object", "additionalProperties": {"type": "integer"}}]
}
_TYPES: dict[str, Schema] = {
    "cause": _TEXT,
    "causes": _COUNTS,
    "changes": {"type": "object", "minProperties": 1},
    "counts": _COUNTS,
    "date": _TEXT,
    "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
    "entry": {"type": ["string", "integer"]},
    "id": {"type": "string", "pattern": "^[a-z0-9]([a-z0-9-]{0,38}[a-z0-9])?$"},
    "label": {"type": ["string", "integer"]},
    "labels": _LIST,
    "long text": _TEXT,
    "masses": {"type": ["string", "object"]},
    "money": _TEXT,
    "names": {"type": ["string", "array"]},
    "numbers": _LIST,
    "piece": {"type": ["string", "integer"]},
    "piece causes": {"type": ["string", "object"]},
    "pieces": _LIST,
    "quantity": _TEXT,
    "readings": {"anyOf": [_TEXT, {"type": "array", "items": _TEXT}]},
    "selection": _LIST,
    "text": _TEXT,
    "time of day": _TEXT,
    "yes or no": {"type": ["boolean", "string"]},
}


def book_schema() -> Schema:
    """Return the schema: a command in, an answer out."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A line for pourwright book run, and its answer",
        "description": "A command is one of the verbs. Nothing is written if any part of it is refused.",
        "anyOf": [
            {"$ref": "#/$defs/command"},
            {"$ref": "#/$defs/answer"},
            {"$ref": "#/$defs/refusal"},
        ],
        "$defs": {
            "command": {"oneOf": [{"$ref": f"#/$defs/{kind.verb}"} for kind in KINDS]},
            "answer": _answer(),
            "refusal": _refusal(),
            **{kind.verb: _command(kind) for kind in KINDS},
        },
    }


def _command(kind: Kind) -> Schema:
    own = {field.name: _field(field) for field in kind.fields}
    usual = {one.name: _field(one) for one in ENVELOPE if one.name != "do"}
    if kind.scope == "studio":
        del usual["edition"]
    return {
        "type": "object",
        "description": kind.meaning,
        "properties": {"do": {"const": kind.verb}, **usual, **own},
        "required": ["do", "id", *(field.name for field in kind.fields if field.required)],
        "additionalProperties": False,
        "examples": [kind.example],
    }


def _field(field: BookField) -> Schema:
    about = field.meaning + (f" Without it: {field.source}." if field.source else "")
    if field.kind == "whole":
        bounds = {"minimum": field.low, "maximum": field.high}
        whole = {"type": "integer", **{k: v for k, v in bounds.items() if v is not None}}
        typed = {"type": "string", "pattern": "^ *[0-9]{1,9} *$"}
        return {"description": about, "anyOf": [whole, typed]}
    if field.kind == "choice":
        return {"description": about, "enum": list(field.choices)}
    shape: Schema = {"description": about, **_TYPES[field.kind]}
    if field.kind in ("cause", "causes", "piece causes"):
        shape["description"] += f" Causes: {', '.join(CAUSES)}."
    if field.kind == "quantity":
        shape["description"] += f" A {field.dimension} with its unit."
    return shape | ({"examples": [field.example]} if field.example != "" else {})


def _answer() -> Schema:
    fields: Schema = {
        "ok": {"const": True},
        "id": _TEXT | {"description": "The command's id."},
        "entry": _TEXT | {"description": "The entry's own id."},
        "seq": {"type": "integer", "minimum": 1, "description": "Its place in the book."},
        "kind": {"enum": [*(kind.kind for kind in KINDS)]},
        "said": _TEXT | {"description": "What the book now says."},
        "made": {"type": "array", "items": _TEXT, "description": "Labels that were given."},
        "late": {
            "type": "boolean",
            "description": "Typed in more than 12 hours after it happened.",
        },
        "findings": {"type": "array", "items": _TEXT, "description": "What is odd, and was kept."},
    }
    return _object_of(fields)


def _refusal() -> Schema:
    fields: Schema = {
        "ok": {"const": False},
        "id": {"type": ["string", "null"]},
        "refused": {"type": "array", "items": _TEXT, "minItems": 1},
        "line": {"type": "integer", "minimum": 1, "description": "The line of the file."},
        "asks": {
            "const": True,
            "description": "It is a question: sent again with go_on, the command is written.",
        },
        "already": {
            "const": True,
            "description": "A cast that somebody else has written down before.",
        },
    }
    return _object_of(fields) | {"required": ["ok", "id", "refused"]}


def _object_of(fields: Schema) -> Schema:
    return {
        "type": "object",
        "properties": fields,
        "required": list(fields),
        "additionalProperties": False,
    }
