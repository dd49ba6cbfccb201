"""The four first questions, five more that may be skipped, and the two files that they make.

A page and a command ask the same questions: each has its words, its help, and a
function that reads what was typed. :func:`write_brief` then writes
``studio.toml`` and ``edition.toml`` with what was told and the fields that a maker
sets next; :func:`brief_texts` has every field, most commented out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from types import ModuleType
from typing import TypeAlias

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.fields import FileField
from pourwright.briefs.read_field import FORMAT_VERSION, country_code, read_file_value
from pourwright.briefs.text import file_text
from pourwright.errors import BadInput, Complaint, as_written
from pourwright.quantities import measures
from pourwright.reading import Sheet, read_day, span_of, why_past

UNKNOWN = "don't know"
_UNKNOWN_WORDS = frozenset(("don't know", "dont know", "do not know", "unknown", "?", ""))
_SPEC: dict[str, FileField] = {
    one.name: one for one in (*studio_fields.FIELDS, *edition_fields.FIELDS)
}
_HOW_TO_SET = "A line such as #name = ... is left out; take its # away to set it."
_HOW_TO_SEE_ALL = "Every field, with what holds without it: pourwright ask --every-field"
FIRST_FIELDS = frozenset(
    (
        "version",
        "edition.id",
        "edition.name",
        "edition.pieces",
        "edition.proofs",
        "edition.deadline",
        "preparation.have",
        "mold.life",
        "mold.parts[].name",
        "mold.parts[].water",
        "casting.fill",
        "casting.wall",
        "firing.glaze_load",
        "firing.bisque_load",
        "studio.name",
        "studio.country",
        "studio.units",
        "studio.currency",
        "time.working_days",
        "time.people",
        "time.hours_a_day",
        "plaster.consistency",
        "plaster.bag",
        "plaster.bag_price",
        "plaster.bucket",
        "plaster.scale_step",
        "pouring.session",
        "drying.days_low",
        "drying.days_high",
        "kiln.loads_a_week",
        "kiln.volume",
        "kiln.power",
        "slip.liter_weight",
        "prices.labor",
    )
)
"""What a maker tells first, or sets next; what the brief holds without being told stays out of sight."""
_ANY_DAY = date.min  # no answer depends on the day


@dataclass(frozen=True, slots=True)
class Answers:
    """What the maker answered; quantities stay as they were typed.

    Parameters
    ----------
    pieces : int
        Numbered pieces.
    glaze_load, loads_a_week : float
        Pieces in a glaze load, and loads of any kind a week.
    water : tuple of str
        Mass or volume of the water that fills each master, one a part.
    dry_mass : str or None
        Dry mass of one complete mold, if the water was not weighed.
    life : int, str or None
        Casts from a mold; a range stays as it was typed; None for "don't know".
    have : str or None
        The furthest thing that is there already, None where it was not told.
    """

    pieces: int
    glaze_load: int
    loads_a_week: float
    water: tuple[str, ...] = ()
    dry_mass: str | None = None
    life: int | str | None = None
    have: str | None = None


@dataclass(frozen=True, slots=True)
class FirstQuestion:
    """One thing to ask.

    Parameters
    ----------
    key : str
        The field of :class:`Answers` it fills.
    number : int
        Which of the four questions it belongs to.
    text, help : str
        The question, and what helps to answer it.
    example : dict of str
        An answer, for "metric" and for "us" units.
    parse : callable
        Takes what was typed and the units; returns the answer or raises
        ``BadInput``.
    optional : bool
        Whether an empty answer is one.
    """

    key: str
    number: int
    text: str
    help: str
    example: Mapping[str, str]
    parse: Callable[[str, str], object]
    optional: bool = False


def _sheet(units: str) -> Sheet:
    return Sheet("", _ANY_DAY, units)


def _whole(path: str, name: str) -> Callable[[str, str], int]:
    """Return what reads a number of what the name begins with; that word may stand behind it."""
    counted = name.split()[0]

    def parse(text: str, units: str) -> int:
        number, _, word = text.strip().partition(" ")
        alone = number if word.strip().lower() in (counted, counted.removesuffix("s")) else text
        value = read_file_value(alone, _SPEC[path], name, _sheet(units))
        assert isinstance(value, int)  # noqa: S101 - what a whole field reads as
        return value

    return parse


def _loads(text: str, units: str) -> float:
    value = read_file_value(text, _SPEC["kiln.loads_a_week"], "loads a week", _sheet(units))
    assert isinstance(value, (int, float))  # noqa: S101 - what loads a week read as
    return value


def _measured(text: str, path: str, name: str, units: str) -> str:
    """Return what was typed, if it can be read; of a number alone the likely unit is told where that can be."""
    typed = text.strip()
    try:
        read_file_value(typed, _SPEC[path], name, _sheet(units))
    except BadInput as wrong:
        unit = {"metric": "kg", "us": "lb"}[units]
        if not re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", typed):
            raise
        read_file_value(f"{typed} {unit}", _SPEC[path], name, _sheet(units))
        hint = f'For {unit} write "{typed} {unit}".'
        if path.endswith(".water"):
            jug = {"metric": "l", "us": "qt"}[units]
            hint += f' For {jug} write "{typed} {jug}".'
        raise BadInput(replace(one, hint=hint) for one in wrong.complaints) from None
    return typed


_AFTER_A_UNIT = r"(?<=[A-Za-z]) *, *(?=[0-9.])"
"""A comma that can be no decimal comma."""
_POUNDS_AND_OUNCES = re.compile(r"(?:lbs?|pounds?) *, *[0-9][0-9./ ]*(?:oz|ounces?)", re.IGNORECASE)
"""May be one part or two."""


def _water(text: str, units: str) -> tuple[str, ...]:
    between = r"[;\n]" if _POUNDS_AND_OUNCES.search(text) else rf"[;\n]|{_AFTER_A_UNIT}"
    entries = [one for one in re.split(between, text) if one.strip()]
    try:
        return tuple(
            _measured(one, f"mold.parts[].{_part_field(one)}", f"water of part {number}", units)
            for number, one in enumerate(entries, 1)
        )
    except BadInput as wrong:
        several = {"metric": '"1.9 kg; 640 g"', "us": '"4 lb 3 oz; 1 lb 6 oz"'}[units]
        hint = f"Put a semicolon between the parts: {several}." if "," in text else ""
        raise BadInput(replace(one, hint=one.hint or hint) for one in wrong.complaints) from None


def _part_field(water: str) -> str:
    """Return the field of a mold's part that its water tells: measured in a jug, it is the part's volume."""
    return "volume" if measures(water, "volume") else "water"


def _dry_mass(text: str, units: str) -> str | None:
    return _measured(text, "mold.dry_mass", "dry mass of a mold", units) if text.strip() else None


def _life(text: str, units: str) -> int | str | None:
    if text.strip().lower().replace("\u2019", "'") in _UNKNOWN_WORDS:
        return None
    if span_of(text):
        read_file_value(text, _SPEC["mold.life"], "casts from a mold", _sheet(units))
        return text.strip()
    return _whole("mold.life", "casts from a mold")(text, units)


def _have(text: str, units: str) -> str | None:
    """Return the furthest of what is named as there, None where nothing is."""
    named = [one.strip() for one in re.split(r"[,;]|\band\b", text.lower())]
    spec = _SPEC["preparation.have"]
    found = [
        str(read_file_value(one, spec, "what is there", _sheet(units))) for one in named if one
    ]
    return max(found, key=edition_fields.HAVE.index, default=None)


Lists: TypeAlias = Mapping[str, Sequence[Mapping[str, object]]]
Told: TypeAlias = dict[str, object]
"""What an answer tells, by the field's path."""

OR_DRY_MASS = "Leave it empty to give the dry mass of one mold instead."

QUESTIONS: tuple[FirstQuestion, ...] = (
    FirstQuestion(
        "pieces",
        1,
        "How many pieces?",
        "The numbered pieces, proofs not among them.",
        {"metric": "36", "us": "36"},
        _whole("edition.pieces", "pieces"),
    ),
    FirstQuestion(
        "have",
        2,
        "What is there already?",
        "The furthest of: nothing, original, block mold, approved (the test casts are), masters. "
        "The plan goes on from there; empty is the original.",
        {"metric": "masters", "us": "masters"},
        _have,
        optional=True,
    ),
    FirstQuestion(
        "water",
        2,
        "How much water fills each master?",
        "Weigh or measure the water that fills each rubber master level, and put a semicolon between "
        "the parts. Before there are masters, the plaster that each part will take, in liters or quarts. "
        f"{OR_DRY_MASS}",
        {"metric": "1.9 kg; 1.85 kg; 640 g", "us": "4 lb 3 oz; 4 lb 1 oz; 1 lb 6 oz"},
        _water,
        optional=True,
    ),
    FirstQuestion(
        "dry_mass",
        2,
        "What does one complete mold weigh, dry?",
        "Only if the water was not weighed. Weigh all parts of a dry mold together.",
        {"metric": "4.8 kg", "us": "10 lb 9 oz"},
        _dry_mass,
        optional=True,
    ),
    FirstQuestion(
        "glaze_load",
        3,
        "How many pieces does a glaze load hold?",
        "Glazed pieces must not touch.",
        {"metric": "18", "us": "18"},
        _whole("firing.glaze_load", "pieces in a glaze load"),
    ),
    FirstQuestion(
        "loads_a_week",
        3,
        "How many loads does the kiln fire in a week?",
        "Loads of any kind that you would fire for this edition, bisque and glaze together.",
        {"metric": "2", "us": "2"},
        _loads,
    ),
    FirstQuestion(
        "life",
        4,
        "How many casts does a mold give?",
        f'Until detail or seam is too worn. "{UNKNOWN}" is an answer: 15, 30 and 60 are then shown.',
        {"metric": UNKNOWN, "us": UNKNOWN},
        _life,
        optional=True,
    ),
)


def _such(*paths: str) -> dict[str, str]:
    """Return the examples of some fields as one answer, for "metric" and for "us" units."""
    examples = [_SPEC[path] for path in paths]
    return {
        units: ", ".join(str(one.example_for(units)) for one in examples)
        for units in ("metric", "us")
    }


def _name(text: str, units: str) -> Told:
    return {"edition.name": read_file_value(text, _SPEC["edition.name"], "name", _sheet(units))}


def _proofs(text: str, units: str) -> Told:
    return {"edition.proofs": _whole("edition.proofs", "proofs")(text, units)}


def _country(text: str, units: str) -> Told:
    code = read_file_value(country_code(text), _SPEC["studio.country"], "country", _sheet(units))
    return {"studio.country": code}


def _deadline(text: str, units: str) -> Told:
    read_file_value(text, _SPEC["edition.deadline"], "date", _sheet(units))
    return {"edition.deadline": text}


_BETWEEN = re.compile(r",(?![0-9])|(?<![0-9]),|;| and ")
"""What stands between a kiln's figures; a comma between digits is that of a decimal."""


def _kiln(text: str, units: str) -> Told:
    """Return the kiln's space, its power and the price of a kilowatt hour, whichever was told."""
    told: Told = {}
    for entry in filter(None, (one.strip() for one in _BETWEEN.split(text))):
        if per := re.search(r"(?:/|\b(?:a|per) )? *kwh\b", entry, re.IGNORECASE):
            before = entry[: per.start()].strip()
            told |= _price(before, "kiln.energy_price", "price of a kilowatt hour", units)
            continue
        path = "kiln.volume" if measures(entry, "volume") else "kiln.power"
        read_file_value(entry, _SPEC[path], "kiln", _sheet(units))
        told[path] = entry
    return told


_SIGN = {"$": "USD", "\u20ac": "EUR", "\u00a3": "GBP"}


def _hour(text: str, units: str) -> Told:
    """Return the price of an hour, and the currency of all prices with it."""
    return _price(text, "prices.labor", "price of an hour", units)


def _price(text: str, path: str, name: str, units: str) -> Told:
    """Return a price by its field, and the currency of all prices with it."""
    found = re.search(r"\b[A-Za-z]{3}\b", text)
    code = found[0].upper() if found else next((_SIGN[one] for one in _SIGN if one in text), "")
    numbers = re.findall(r"-?[0-9](?:[0-9.,]*[0-9])?", text)
    price = f"{numbers[0]} {code}/{_SPEC[path].per}" if len(numbers) == 1 and code else text
    sheet = Sheet("", _ANY_DAY, units, code or "EUR")
    read_file_value(price, _SPEC[path], name, sheet)
    return {_CURRENCY: code, path: price}


_CURRENCY = "studio.currency"


FURTHER: tuple[FirstQuestion, ...] = (
    FirstQuestion(
        "name",
        5,
        "What is the edition called?",
        "Its name on the plan and the papers.",
        {"metric": "Tide cup", "us": "Tide cup"},
        _name,
        optional=True,
    ),
    FirstQuestion(
        "proofs",
        5,
        "How many proofs?",
        "Beyond the numbers; they go through the glaze first.",
        {"metric": "4", "us": "4"},
        _proofs,
        optional=True,
    ),
    FirstQuestion(
        "deadline",
        6,
        "By when must the last piece be packed?",
        "A date, or how far ahead.",
        {"metric": "30 Sep 2027, or in 6 months", "us": "Sep 30, 2027, or in 6 months"},
        _deadline,
        optional=True,
    ),
    FirstQuestion(
        "country",
        7,
        "In which country do you work?",
        "Its name or its two letters, for its public holidays.",
        {"metric": "DK", "us": "US"},
        _country,
        optional=True,
    ),
    FirstQuestion(
        "kiln",
        8,
        "How large is the kiln, what does it draw, and what does a kilowatt hour cost?",
        "For the energy of a firing and its cost: any of the three.",
        _such("kiln.volume", "kiln.power", "kiln.energy_price"),
        _kiln,
        optional=True,
    ),
    FirstQuestion(
        "hour",
        9,
        "What is an hour of your work worth?",
        "For the cost of a piece, and for which plan is the cheapest.",
        {units: typed.removesuffix("/h") for units, typed in _such("prices.labor").items()},
        _hour,
        optional=True,
    ),
)
"""Asked in a conversation after the four; each returns what it tells by the field's path."""


def further_from(typed: Mapping[str, str], units: str = "metric") -> dict[str, object]:
    """Return what the further answers tell, by the field's path; see :func:`answers_from`."""
    told: dict[str, object] = {}
    complaints: list[Complaint] = []
    for question in FURTHER:
        text = typed.get(question.key, "").strip()
        if not text:
            continue
        try:
            answer = question.parse(text, units)
        except BadInput as error:
            complaints += error.complaints
            continue
        if isinstance(answer, dict):
            complaints += other_currency(told, answer, question.key, text)
            told |= answer
    if complaints:
        raise BadInput(complaints)
    return told


def other_currency(told: Told, answer: Told, key: str, text: str) -> tuple[Complaint, ...]:
    """Return the complaint about a price that is in another currency than one told before."""
    one = told.get(_CURRENCY, answer.get(_CURRENCY))
    if answer.get(_CURRENCY, one) == one:
        return ()
    right = f"the other price is in {one}; all prices are in one currency"
    return (Complaint(key, as_written(text), right),)


def answers_from(typed: Mapping[str, str], units: str = "metric") -> Answers:
    """Return the answers that were typed, everything wrong told at once.

    Parameters
    ----------
    typed : mapping of str
        What was typed, by the question's key; what is missing counts as empty.
    units : {"metric", "us"}
        The studio's units.

    Raises
    ------
    BadInput
        With a complaint for each answer that cannot be used.

    Examples
    --------
    >>> answers_from({"pieces": "24", "dry_mass": "4.8 kg", "glaze_load": "12", "loads_a_week": "2"}).life
    """
    found: dict[str, object] = {}
    complaints: list[Complaint] = []
    for question in QUESTIONS:
        try:
            found[question.key] = question.parse(typed.get(question.key, ""), units)
        except BadInput as error:
            complaints += error.complaints
    if not complaints:
        try:
            return checked(Answers(**found))  # type: ignore[arg-type]
        except BadInput as error:
            complaints += error.complaints
    raise BadInput(complaints)


def checked(answers: Answers) -> Answers:
    """Return the answers, if the mold is told in exactly one way.

    Raises
    ------
    BadInput
        If it is told in no way, or in two.
    """
    if answers.water and answers.dry_mass:
        raise BadInput.one(
            "dry mass of a mold",
            as_written(answers.dry_mass),
            "the water is told too; give one of the two",
        )
    if not answers.water and not answers.dry_mass:
        raise BadInput.one(
            "the mold",
            "not told",
            "give the water that fills each master, or the dry mass of one mold",
        )
    return answers


def write_brief(
    answers: Answers,
    folder: Path | str,
    *,
    units: str = "metric",
    more: Mapping[str, object] | None = None,
) -> tuple[Path, Path]:
    """Write ``edition.toml`` and ``studio.toml``, and return where they are.

    Parameters
    ----------
    answers : Answers
        The first answers.
    folder : Path or str
        Where to write; it is made if it is not there. Its name becomes the
        edition's id.
    units : {"metric", "us"}
        The studio's units.
    more : mapping, optional
        Further values by field path, such as ``{"studio.country": "DK"}``.

    Returns
    -------
    tuple of Path
        The brief and the studio's file, at most 120 lines for a mold of some parts.

    Raises
    ------
    BadInput
        If one of the files is there already, or cannot be written.
    """
    folder = Path(folder)
    edition_id = edition_id_from(folder)
    texts = brief_texts(
        checked(answers), edition_id=edition_id, units=units, more=more, every_field=False
    )
    paths = (folder / "edition.toml", folder / "studio.toml")
    for path in paths:
        if path.exists():
            raise _there_already(path)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, text in zip(paths, texts, strict=True):
            with path.open("x", encoding="utf-8", newline="\n") as file:
                file.write(text)
    except FileExistsError:
        raise _there_already(folder) from None
    except OSError:
        raise BadInput.one(
            "the folder",
            as_written(str(folder), 400),
            "nothing can be written there; name another folder",
        ) from None
    return paths


def _there_already(path: Path) -> BadInput:
    right = "it is there already and is never overwritten; name another folder"
    return BadInput.one("the file", as_written(str(path), 400), right)


def brief_texts(
    answers: Answers,
    *,
    edition_id: str,
    units: str = "metric",
    more: Mapping[str, object] | None = None,
    every_field: bool = True,
) -> tuple[str, str]:
    """Return the text of ``edition.toml`` and of ``studio.toml``; see :func:`write_brief`."""
    given: dict[str, object] = {
        "version": FORMAT_VERSION,
        "studio.units": units if units != "metric" else None,
        "kiln.loads_a_week": answers.loads_a_week,
        "edition.id": edition_id,
        "edition.pieces": answers.pieces,
        "firing.glaze_load": answers.glaze_load,
        "mold.dry_mass": answers.dry_mass,
        "mold.life": answers.life,
        "preparation.have": answers.have,
        **(more or {}),
    }
    parts = [
        {"name": f"part {number}", _part_field(water): water}
        for number, water in enumerate(answers.water, 1)
    ]
    first = FIRST_FIELDS | {f"mold.parts[].{name}" for part in parts for name in part}
    currency = str(given.get("studio.currency") or _SPEC["studio.currency"].default_for(units))
    how = _HOW_TO_SET if every_field else f"{_HOW_TO_SET} {_HOW_TO_SEE_ALL}"
    about: tuple[tuple[str, ModuleType, Lists], ...] = (
        ("One edition.", edition_fields, {"mold.parts": parts}),
        ("The studio, which editions share.", studio_fields, {}),
    )
    edition, studio = (
        file_text(
            f"{heading} {how}",
            [
                _priced_in(one, currency, units)
                for one in file.FIELDS
                if every_field or one.name in first or given.get(one.name) is not None
            ],
            file.TABLES,
            given,
            lists,
            units,
            short=not every_field,
        )
        for heading, file, lists in about
    )
    return edition, studio


def _priced_in(spec: FileField, currency: str, units: str) -> FileField:
    """Return a field with its example in the studio's currency."""
    if spec.kind != "money":
        return spec
    amount, _, unit = str(spec.example_for(units)).partition(" ")
    example = f"{amount} {currency}{unit[3:]}"
    return replace(spec, example=example, example_us=example)


def every_field_text(units: str = "metric") -> str:
    """Return both files with every field in them and nothing told, for reading."""
    nothing: dict[str, object] = {"version": FORMAT_VERSION}
    return "\n".join(
        file_text(f"{name}:", file.FIELDS, file.TABLES, nothing, {}, units)
        for name, file in (("edition.toml", edition_fields), ("studio.toml", studio_fields))
    )


def edition_id_from(folder: Path) -> str:
    """Return an edition's id made of a folder's name.

    Examples
    --------
    >>> edition_id_from(Path("work/Moth cup"))
    'moth-cup'
    """
    tidy = re.sub(r"[^a-z0-9]+", "-", folder.resolve().name.lower()).strip("-")[:60].strip("-")
    return tidy if len(tidy) >= 3 else f"edition-{tidy}".strip("-")


def deadline_on(text: str, today: date, units: str) -> date:
    """Return the date that was meant, counted from today.

    Raises
    ------
    BadInput
        If it is no day, or in the past.
    """
    day = read_day(text, today, "date")
    if why := why_past(day, today, units):
        raise BadInput.one("date", as_written(text), why)
    return day


# --- what a conversation needs beside the questions: which to ask, and why an answer will not do

_US_WORDS = re.compile(r"\b(?:lbs?|oz|pounds?|ounces?|qts?|quarts?)\b", re.IGNORECASE)
_EITHER = {"water": "dry_mass", "dry_mass": "water"}


def why_refused(question: FirstQuestion, typed: str, units: str, today: date) -> str:
    """Return why an answer cannot be used, as a sentence; nothing if it can."""
    if question in FURTHER and not typed.strip():
        return ""
    try:
        question.parse(typed, units)
        if question.key == "deadline":
            deadline_on(typed, today, units)
    except BadInput as refused:
        return str(refused)
    return ""


def is_asked(question: FirstQuestion, answered: Collection[str]) -> bool:
    """Return whether a question is still open: the mold is told in one of two ways.

    Parameters
    ----------
    question : FirstQuestion
        The question.
    answered : collection of str
        The keys that have an answer which is not empty.
    """
    return question.key not in answered and _EITHER.get(question.key) not in answered


def units_of(*typed: str) -> str:
    """Return the units a maker writes in, by the words of what was typed.

    Examples
    --------
    >>> units_of("4 lb 3 oz"), units_of("1.9 kg; 640 g"), units_of()
    ('us', 'metric', 'metric')
    """
    return "us" if any(_US_WORDS.search(text) for text in typed) else "metric"
