"""The first run: a few questions to a brief, a studio's file and an edition in the book."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from pourwright.briefs.editing import for_form, text_of
from pourwright.briefs.first_questions import (
    FURTHER,
    QUESTIONS,
    Answers,
    FirstQuestion,
    brief_texts,
    checked,
    deadline_on,
    other_currency,
)
from pourwright.briefs.folder import brief_path, briefs
from pourwright.briefs.read_field import country_code
from pourwright.briefs.reading import read_begun_brief
from pourwright.briefs.studio_file import STUDIO_FILE, read_studio
from pourwright.briefs.toml_file import LARGEST_FILE_BYTES, load
from pourwright.errors import BadInput, Complaint, StudioError, as_written
from pourwright.files import write_whole
from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.file.stored_things import stored_answer
from pourwright.ledger.file.transaction import Reading
from pourwright.ledger.things import Things
from pourwright.report.saying import day

_PROMISE = [one for one in FURTHER if one.key in ("proofs", "deadline")]
ASKED = (QUESTIONS[0], *_PROMISE, *QUESTIONS[1:])
"""What is asked before a plan: what is promised in front."""
NAME_LONGEST = 80
_FIELD_OF = {"the mold": "water", "dry mass of a mold": "dry_mass"}
_STUDIO_KEYS = ("name", "country", "zone")
_ROOM = [one for one in FURTHER if one.key in ("kiln", "hour")]
"""Asked of a new studio, beside what it is called."""
_BY_FIELD = (*_PROMISE, *_ROOM)
"""Questions whose answers are told by the field's path."""


@dataclass(frozen=True, slots=True)
class Example:
    """Answers to start from, of our own invention."""

    key: str
    words: str
    answers: Mapping[str, Mapping[str, str]]


def _example(key: str, words: str, metric: dict[str, str], **us: str) -> Example:
    return Example(key, words, {"metric": metric, "us": metric | us})


EXAMPLES = (
    _example(
        "cup",
        "A cup from a mold of one part",
        {
            "name": "Sparrow cup",
            "pieces": "24",
            "dry_mass": "2.1 kg",
            "glaze_load": "20",
            "loads_a_week": "2",
            "life": "don't know",
        },
        dry_mass="4 lb 10 oz",
    ),
    _example(
        "bowl",
        "A footed bowl from two parts",
        {
            "name": "Otter bowl",
            "pieces": "48",
            "water": "3.4 l; 620 ml",
            "glaze_load": "18",
            "loads_a_week": "3",
            "life": "40",
        },
        water="3.6 qt; 0.65 qt",
    ),
    _example(
        "pitcher",
        "A pitcher from three parts",
        {
            "name": "Rook pitcher",
            "pieces": "36",
            "water": "2.45 l; 2.4 l; 850 ml",
            "glaze_load": "11",
            "loads_a_week": "2",
            "life": "25",
        },
        water="2.6 qt; 2.5 qt; 0.9 qt",
    ),
)
"""Three to start from: each answer can be changed before anything is written."""


@dataclass(frozen=True, slots=True)
class Begun:
    """An edition that is begun: its id, the command for the book, and the files that were written."""

    edition: str
    command: dict[str, object]
    files: tuple[Path, ...]


def begin(folder: Path, things: Things, typed: Mapping[str, str], units: str, today: date) -> Begun:
    """Write the brief, and the studio's file if there is none, and return what the book is told.

    Parameters
    ----------
    folder : Path
        The studio's.
    things : Things
        The book's documents, for a name that is free.
    typed : mapping of str
        The edition's ``name``, the answers by the question's key and, for a new studio,
        ``studio_name``, ``country``, ``zone``, ``kiln`` and ``hour``.
    units : {"metric", "us"}
        The studio's units.
    today : date
        The day it is.

    Raises
    ------
    BadInput
        With a complaint for each answer that cannot be used, named by its field.
    """
    is_new = not (folder / STUDIO_FILE).exists()
    loads = "" if is_new else str(read_studio(folder / STUDIO_FILE, today).kiln.loads_a_week)
    known = {"loads_a_week": loads} if loads else {}
    answers, name, promised = _answers({**typed, **known}, units, today)
    edition = free_id(folder, things, name)
    more: dict[str, object] = {
        f"studio.{key}": typed.get("studio_name" if key == "name" else key) or None
        for key in _STUDIO_KEYS
    }
    if typed.get("country"):
        more["studio.country"] = country_code(typed["country"])
    more |= {"studio": "../studio.toml", "edition.name": name, **promised}
    brief, studio = brief_texts(answers, edition_id=edition, units=units, more=more)
    path = folder / "editions" / f"{edition}.toml"
    files = [path]
    if is_new:
        files.append(folder / STUDIO_FILE)
        _write_checked_studio(folder / STUDIO_FILE, studio, today)
    write_whole(path, brief)
    try:
        return Begun(edition, plan_edition_command(path, today), tuple(files))
    except BadInput as wrong:  # what is wrong with each answer is told before; this is of several
        path.unlink()
        raise BadInput(
            for_form(one, one.path.rpartition(".")[2]) for one in wrong.complaints
        ) from None


def begun_before(reading: Reading, command_id: str) -> str | None:
    """Return the edition that a command has begun already, None if it is new."""
    known = reading.answer_of(command_id)
    entry = reading.entry(stored_answer(known[1]).seq) if known else None
    return entry.scope if entry else None


def _write_checked_studio(path: Path, text: str, today: date) -> None:
    """Write a new studio's file, if it can be read."""
    fresh = path.with_suffix(".trial")
    try:
        fresh.write_text(text, encoding="utf-8")
        read_studio(fresh, today)
    except BadInput as wrong:
        renamed = {f"studio.{key}": "studio_name" if key == "name" else key for key in _STUDIO_KEYS}
        raise BadInput(
            for_form(one, renamed.get(one.path, one.path)) for one in wrong.complaints
        ) from None
    finally:
        fresh.unlink(missing_ok=True)
    write_whole(path, text)


def _answers(
    typed: Mapping[str, str], units: str, today: date
) -> tuple[Answers, str, dict[str, object]]:
    """Return the answers, the name, and what is promised by the field's path.

    Every complaint names the field of the form.
    """
    found: dict[str, Any] = {}
    complaints = list(_name_complaints(typed.get("name", "")))
    for question in (*ASKED, *_ROOM):
        text = typed.get(question.key, "")
        if not text.strip() and not question.optional:
            complaints.append(
                Complaint(question.key, None, f"write it, such as {question.example[units]}")
            )
            continue
        try:
            found[question.key] = _answer(question, text, units, today)
        except BadInput as wrong:
            complaints += [for_form(one, question.key) for one in wrong.complaints]
    promised: dict[str, object] = {}
    for question in _BY_FIELD:
        told = found.pop(question.key, {})
        complaints += other_currency(promised, told, question.key, typed.get(question.key, ""))
        promised |= told
    if not complaints:
        try:
            return checked(Answers(**found)), typed["name"].strip(), promised
        except BadInput as wrong:
            complaints += [replace(one, path=_FIELD_OF[one.path]) for one in wrong.complaints]
    raise BadInput(complaints)


def _answer(question: FirstQuestion, text: str, units: str, today: date) -> object:
    """Return an answer; one about the promise or the room by the field's path, its date the same tomorrow."""
    if question not in _BY_FIELD:
        return question.parse(text, units)
    if not text.strip():
        return {}
    if question.key != "deadline":
        return question.parse(text, units)
    return {"edition.deadline": deadline_on(text, today, units).isoformat()}


def read_back(key: str, text: str, units: str, today: date) -> str:
    """Return how one answer is understood, where that is not as it was typed: the date of "in 6 months".

    Raises
    ------
    BadInput
        With a complaint named by the question's key, if the answer cannot be used.
    """
    question = next(one for one in ASKED if one.key == key)
    if not text.strip():
        return ""
    try:
        _answer(question, text, units, today)
    except BadInput as wrong:
        raise BadInput(for_form(one, key) for one in wrong.complaints) from None
    return day(deadline_on(text, today, units), units=units) if key == "deadline" else ""


def _name_complaints(name: str) -> tuple[Complaint, ...]:
    right = f"write one line of at most {NAME_LONGEST} letters, such as Tide cup"
    if not name.strip():
        return (Complaint("name", None, right),)
    if len(name.strip()) > NAME_LONGEST or not name.strip().isprintable():
        return (Complaint("name", as_written(name), right),)
    return ()


def free_id(folder: Path, things: Things, name: str) -> str:
    """Return an edition's id made of its name, which neither book nor folder has yet."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:50].strip("-")
    is_whole = len(plain) >= 3 and plain not in ("studio", "book")
    stem = plain if is_whole else f"edition-{plain}".strip("-")
    tries = (stem if number == 1 else f"{stem}-{number}" for number in range(1, 10_000))
    return next(one for one in tries if _is_free(folder, things, one))


def _is_free(folder: Path, things: Things, edition: str) -> bool:
    taken = things.get(EditionDoc, edition) is not None or brief_path(folder, edition) is not None
    return not taken and not (folder / "editions" / f"{edition}.toml").exists()


def plan_edition_command(path: Path, today: date) -> dict[str, object]:
    """Return the command that plans an edition in the book as its brief has it.

    Raises
    ------
    BadInput
        If the brief cannot be read.
    """
    brief, _ = read_begun_brief(path, today)
    terms, mold = brief.edition, brief.mold
    fields: dict[str, object] = {
        "edition": terms.id,
        "name": terms.name,
        "brief": text_of(path),
        "pieces": terms.pieces,
        "proofs": terms.proofs,
        "proof_kind": brief.numbers.proof_kind,
        "route": brief.firing.route,
        "marked": brief.numbers.marked,
        "conditioning": mold.conditioning,
        "life": mold.life,
        "masters": brief.preparation.have == "masters" or None,
        "molds": terms.molds,
        "fate": brief.surplus.fate,
    }
    if len(mold.parts) > 1:
        fields["parts"] = [one.name for one in mold.parts]
    told = {name: value for name, value in fields.items() if value is not None}
    return {"do": "plan-edition", **told}


_TOLD_OF = ("pieces", "proofs", "route", "marked", "conditioning", "life", "molds", "fate", "parts")


def filled_from_brief(
    told: Mapping[str, object], folder: Path, today: date
) -> tuple[dict[str, object], str]:
    """Return what plans an edition, with what it does not tell taken from the brief, and that in words.

    Parameters
    ----------
    told : mapping
        The fields of ``plan-edition`` as they were typed; ``brief`` may be a file's name or its
        text. Without one the brief of the edition in the folder is taken, or the only one there.
    folder : Path
        The studio's.
    today : date
        The day it is.
    """
    given = str(told.get("brief", ""))
    text = given if "\n" in given else ""
    path = folder / ".brief.trial" if text else _brief_meant(given, told.get("edition"), folder)
    if path is None:
        return dict(told), ""
    name = "the brief" if text else path.name
    try:
        if text:
            path.write_text(text, encoding="utf-8")
        found = plan_edition_command(path, today)
    except StudioError as fault:  # the edition can be planned all the same, by what is typed
        kept = {} if text or not path.is_file() else {"brief": text_of(path)}
        return {**told, **kept}, f"Nothing is taken from {name}: {fault}"
    finally:
        if text:
            path.unlink(missing_ok=True)
    taken = {key: found[key] for key in _TOLD_OF if key in found and key not in told}
    words = ", ".join(f"{key} {_in_words(value)}" for key, value in taken.items())
    filled = {**found, **told, "brief": found["brief"]}
    return filled, f"Taken from {name}: {words}." if words else ""


def _in_words(value: object) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _brief_meant(given: str, edition: object, folder: Path) -> Path | None:
    """Return the file of the brief that is meant, None if there is none."""
    if given:
        return next((one for one in (Path(given), folder / given) if one.is_file()), None)
    if edition:
        return brief_path(folder, str(edition))
    there = briefs(folder)
    return there[0] if len(there) == 1 else None


# --- files from elsewhere


def take_in_file(folder: Path, data: bytes, today: date) -> tuple[str, str]:
    """Put a brief or a studio's file that was made elsewhere into the studio's folder.

    It is kept to the byte, unless a brief names a studio file that is not this one.

    Returns
    -------
    tuple of (str, str)
        "studio" and its name, or "edition" and its id.

    Raises
    ------
    BadInput
        If it is no such file, has faults, or one of that name is there already.
    """
    if len(data) > LARGEST_FILE_BYTES:
        raise BadInput.one("file", "larger than 1 MB", "a brief or a studio is a small text file")
    trial = folder / ".import.trial"
    try:
        trial.write_bytes(data)
        told = load(trial)
    except BadInput as wrong:
        raise BadInput(replace(one, file="") for one in wrong.complaints) from None
    finally:
        trial.unlink(missing_ok=True)
    if "edition" in told:
        return "edition", _take_brief(folder, data.decode("utf-8-sig"), told, today)
    if "studio" in told or set(told) & {"kiln", "plaster", "time", "prices"}:
        return "studio", _take_studio(folder, data.decode("utf-8-sig"), today)
    raise BadInput.one(
        "file", "neither", "a brief has a table [edition], a studio's file a table [studio]"
    )


def _take_studio(folder: Path, text: str, today: date) -> str:
    path = folder / STUDIO_FILE
    if path.exists():
        raise BadInput.one(
            "file",
            "a studio's file",
            "this studio has one already, and it is never overwritten; change it under Settings",
        )
    _write_checked_studio(path, text, today)
    return read_studio(path, today).studio.name


def _take_brief(folder: Path, text: str, told: dict[str, Any], today: date) -> str:
    terms = told["edition"]
    edition = terms.get("id") if isinstance(terms, dict) else None
    if isinstance(edition, str) and brief_path(folder, edition) is not None:
        raise BadInput.one(
            "file", edition, "a brief of that edition is here already, and is never overwritten"
        )
    where, text = _beside_studio(folder, text, told)
    fresh = where / ".import.trial"
    where.mkdir(exist_ok=True)
    try:
        fresh.write_text(text, encoding="utf-8", newline="")
        brief, _ = read_begun_brief(fresh, today)
    except BadInput as wrong:
        raise BadInput(
            replace(one, file="") if one.file == fresh.name else one for one in wrong.complaints
        ) from None
    finally:
        fresh.unlink(missing_ok=True)
    write_whole(where / f"{brief.edition.id}.toml", text)
    return brief.edition.id


def _beside_studio(folder: Path, text: str, told: dict[str, Any]) -> tuple[Path, str]:
    """Return where a brief lies so that the studio it names is this one, and its text."""
    written = told.get("studio", STUDIO_FILE)
    if written == f"../{STUDIO_FILE}":
        return folder / "editions", text
    if written == STUDIO_FILE:
        return folder, text
    import tomlkit

    document = tomlkit.parse(text)
    document["studio"] = STUDIO_FILE
    return folder, tomlkit.dumps(document)
