"""Forms made from the tables of verbs and questions, shown again with what was typed."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator, Iterable, Mapping, Sequence
from contextlib import asynccontextmanager
from dataclasses import KW_ONLY, dataclass, replace
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends, Request
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from pourwright.errors import BadInput, Complaint
from pourwright.web.refused import GO_ON, sentence_of
from pourwright.web.render import in_label_words

if TYPE_CHECKING:
    from pourwright.calculators.question import Ask, Question
    from pourwright.studio.commands import BookField, Kind

Choice = tuple[str, str]
"""What is sent, and the word that is shown."""
Typed = Mapping[str, str | list[str]]
"""What was typed, by field; a list where a name came more than once."""
SentForm = Mapping[str, list[str | UploadFile]]
"""What a form with files sent, by field."""

MANY_CHOICES = 6
FIELDS_MOST, FILES_MOST = 500, 20
"""What a form may send."""
FORM_KINDS = frozenset({"", "application/x-www-form-urlencoded", "multipart/form-data"})
"""How a browser sends a form; one without any field may go without saying."""
UNIT = ".unit"
"""What the name of the unit beside a field ends in; a number alone is taken with it."""
_UNIT = re.compile(r"[0-9][0-9./ ]*([^0-9 ].*?)(?: [0-9].*)?", re.ASCII)
"""A quantity as examples are written: its first unit."""
_NUMBER = re.compile(r"[0-9]+(?:[.][0-9]+|,[0-9]{1,2})?", re.ASCII)
UNITS_BESIDE = {
    "metric": {
        "mass": ("kg", "g"),
        "volume": ("l", "ml"),
        "length": ("mm", "cm"),
        "temperature": ("°C",),
    },
    "us": {
        "mass": ("lb", "oz"),
        "volume": ("US qt", "US gal"),
        "length": ("in",),
        "temperature": ("°F",),
    },
}
"""What stands beside a field of a quantity, the usual one first; a number alone is taken with it."""
_TIMES = ("min", "s", "h")
_DATE_WORDS = "A date such as 2027-03-01."
_NEW_EDITION = (
    "Small letters, digits and hyphens; it names the edition in addresses. Such as: tide-cup."
)


@dataclass(frozen=True, slots=True)
class Shown:
    """One field as a page shows it.

    Parameters
    ----------
    name : str
        What it is sent as.
    label : str
        What is asked, in a maker's words.
    kind : str
        ``words`` (text for people), ``code`` (labels, quantities), ``long``, ``date``,
        ``choice`` (one of a few), ``choices`` (several), ``pick`` (one of many),
        ``check``, ``file`` or ``hidden``.
    value : str
        What stands in it.
    values : tuple of str
        What is chosen.
    hint : str
        What helps to fill it in.
    error : str
        What is wrong with it.
    required : bool
        Whether it must be filled in.
    choices : tuple of (str, str)
        What is among the choices.
    units : tuple of str
        What may stand beside a quantity, the usual one first.
    inputmode : str
        Which keys a phone shows: ``numeric``, ``decimal`` or none.
    need : str
        What is said beside a field that may stay empty.
    rows, size : int
        How high and how wide it is.
    accept : str
        The files that it takes.
    camera : bool
        Whether a phone opens its camera.
    later : bool
        Whether it is asked only of those who press it.
    usual : str
        What holds while it is empty, in a word or two.
    part : int
        The place among a mold's parts of the one it is about, which is drawn beside it; of a
        choice of parts 1, of what is no part 0.
    on_shelf : bool
        Whether its choices are drawn as what stands on the shelf before there is a mold.
    """

    name: str
    label: str
    _: KW_ONLY
    kind: str = "words"
    value: str = ""
    values: tuple[str, ...] = ()
    hint: str = ""
    error: str = ""
    required: bool = False
    choices: tuple[Choice, ...] = ()
    units: tuple[str, ...] = ()
    inputmode: str = ""
    need: str = ""
    rows: int = 3
    size: int = 24
    accept: str = ""
    camera: bool = False
    later: bool = False
    usual: str = ""
    part: int = 0
    on_shelf: bool = False

    @property
    def on_rule(self) -> Shown:
        """The field as it stands on a ruled page: what stands in it needs no example beside it."""
        is_written = self.value and self.kind in ("words", "code", "date")
        return replace(self, hint="") if is_written else self

    @property
    def waits(self) -> bool:
        """Whether it stands as a word to press: nothing stands in it, and nothing is wrong there."""
        return self.later and not (self.value or any(self.values) or self.error)


def hidden(name: str, value: str = "") -> Shown:
    """Return a field that is sent and not seen."""
    return Shown(name, "", kind="hidden", value=value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A form: where it goes, what it asks, and what was wrong with it.

    Parameters
    ----------
    action : str
        The path it is sent to.
    submit : str
        The word on its button.
    first : tuple of Shown
        What is asked at once.
    rest : tuple of Shown
        What is asked only of those who open it.
    rest_title : str
        The words that open it.
    errors : tuple of (str, str)
        What was refused: the field, empty for none of them, and the sentence.
    cancel : str
        The path of a way out, if there is one.
    is_ruled : bool
        Whether it is written as a page of the book: names in its margin, what is told right of the rule.
    said_first : (str, str) or None
        Where what the book asks about is said, and the words that lead there; shown once it asked.
    is_grave : bool
        Whether what it does cannot be made good: the way back is then what is pressed first.
    asks : bool
        Whether the book asked, so that its answers stand under the question.
    """

    action: str
    submit: str
    first: tuple[Shown, ...]
    rest: tuple[Shown, ...] = ()
    rest_title: str = "More to tell"
    errors: tuple[tuple[str, str], ...] = ()
    cancel: str = ""
    is_ruled: bool = False
    said_first: tuple[str, str] | None = None
    is_grave: bool = False
    asks: bool = False

    @property
    def ruled(self) -> tuple[Shown, ...]:
        """What stands on a ruled page: first what is asked, then what holds until it is pressed."""
        on_rule = [one.on_rule for one in self.first]
        asked = [one for one in on_rule if not one.waits]
        return (*asked, *(one for one in on_rule if one.waits and one.usual))

    @property
    def below(self) -> tuple[Shown, ...]:
        """What waits below a ruled page: nothing holds while it is empty."""
        return tuple(one for one in self.first if one.waits and not one.usual)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all its fields."""
        return tuple(one.name for one in (*self.first, *self.rest))

    @property
    def has_file(self) -> bool:
        """Whether one of them is a file."""
        return any(one.kind == "file" for one in (*self.first, *self.rest))

    @property
    def rest_open(self) -> bool:
        """Whether what is asked only of some is open: something stands in it, or is wrong there."""
        return any(one.error or one.value or one.values for one in self.rest)

    def marked(self, errors: Sequence[Complaint]) -> Form:
        """Return the form with each error beside the field that it is about, named by its label.

        If the book only asked, its button goes on all the same.

        Examples
        --------
        >>> form = Form(action="/", submit="Go", first=(Shown("good", "Good casts"),))
        >>> form.marked([Complaint("good", '"x"', "write a whole number")]).first[0].error
        'Good casts is "x"; write a whole number.'
        """
        fields = (*self.first, *self.rest)
        labels = {one.name: one.label for one in fields if one.kind != "hidden"}
        told: dict[str, list[str]] = {}
        told_all: list[tuple[str, str]] = []
        for one in errors:
            own = one.path.rpartition(".")[2] if "[" not in one.path else ""  # of table and field
            field = next((name for name in (own, field_of(one)) if name in labels), "")
            words = _in_words(replace(one, path=labels[field]) if field else one, labels)
            told.setdefault(field, []).append(words)
            told_all.append((field, words))

        def with_errors(fields: tuple[Shown, ...]) -> tuple[Shown, ...]:
            return tuple(replace(one, error=" ".join(told.get(one.name, ()))) for one in fields)

        first, rest = with_errors(self.first), with_errors(self.rest)
        form = replace(self, first=first, rest=rest, errors=tuple(told_all))
        if not any(one.path == GO_ON for one in errors):
            return replace(form, said_first=None)
        first = (*first, hidden(GO_ON, "yes"))
        return replace(form, first=first, submit="Go on all the same", asks=True)


async def read_typed(request: Request) -> AsyncIterator[Typed]:
    """Yield the texts that a form sent.

    Empty fields are left out, so that an action sees only what was told. Anything but a form
    is refused: read as a form it would be an empty one, and what stands there would be lost.
    """
    async with _read_form(request) as typed:
        texts: dict[str, str | list[str]] = {}
        for name, values in typed.items():
            told = [one for one in values if isinstance(one, str)]
            if len(told) < len(values):
                raise BadInput.one(name, "a file", "write it as text")
            texts[name] = told[0] if len(told) == 1 else told
        yield with_units(texts)


def with_units(typed: Typed) -> Typed:
    """Return what was typed, a number alone with the unit that stood beside its field.

    Phones of some countries have a comma on their number pad; before three digits it may part
    thousands, and stays for the reader to refuse. A number below 1 beside "%" stays with it, for
    :func:`hold_shares_clear`.

    Examples
    --------
    >>> with_units({"mass": "6,1", "mass.unit": "kg"}), with_units({"mass": "6100 g", "mass.unit": "kg"})
    ({'mass': '6.1 kg'}, {'mass': '6100 g'})
    >>> with_units({"spare": "0,05", "spare.unit": "%"})
    {'spare': '0.05', 'spare.unit': '%'}
    """
    told = {name: value for name, value in typed.items() if not name.endswith(UNIT)}
    for name, value in [*told.items()]:
        unit = typed.get(name + UNIT)
        if unit and isinstance(value, str) and _NUMBER.fullmatch(value):
            number = value.replace(",", ".")
            is_clear = not _may_be_share(number, str(unit))
            told |= {name: f"{number} {unit}"} if is_clear else {name: number, name + UNIT: unit}
    return told


def _may_be_share(number: str, unit: str) -> bool:
    return unit == "%" and 0 < float(number.replace(",", ".")) < 1


def hold_shares_clear(typed: Typed) -> None:
    """Hold that no number below 1 stands beside "%": alone it is a share, such as 0.05 of 5 %.

    Raises
    ------
    BadInput
        If one does, with both that it may be.
    """
    unclear = [name.removesuffix(UNIT) for name in typed if name.endswith(UNIT)]
    either = "a number below 1 may be either: write"
    complaints = [
        Complaint(
            name,
            f'"{typed[name]}"',
            f'{either} "{100 * float(str(typed[name])):g} %" or "{typed[name]} %"',
        )
        for name in unclear
    ]
    if complaints:
        raise BadInput(complaints)


async def read_with_files(request: Request) -> AsyncIterator[SentForm]:
    """Yield what a form sent, texts and files, as a list for each name."""
    async with _read_form(request) as typed:
        yield typed


def of_verb(typed: Typed, verb: str) -> dict[str, str | list[str]]:
    """Return the fields of one verb, where a form has buttons for several.

    What only one of them takes bears its name: ``sell.price``.

    Examples
    --------
    >>> of_verb({"pieces": "7", "sell.price": "690 DKK", "mark.evidence": "shard"}, "sell")
    {'pieces': '7', 'price': '690 DKK'}
    """
    own = ((name.rpartition(".")[::2], value) for name, value in typed.items())
    return {name: value for (of, name), value in own if of in ("", verb)}


TypedForm = Annotated[Typed, Depends(read_typed)]
"""What a form sent; for the parameters of a page that is posted to."""

FileForm = Annotated[SentForm, Depends(read_with_files)]
"""The same for a page that takes files; they are closed once it has answered."""


@asynccontextmanager
async def _read_form(request: Request) -> AsyncIterator[SentForm]:
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind not in FORM_KINDS:
        raise HTTPException(415)
    # the application's own limits hold only for forms that the framework reads
    async with request.form(max_fields=FIELDS_MOST, max_files=FILES_MOST) as form:
        typed: dict[str, list[str | UploadFile]] = {}
        for name in form:
            values = [_value(one) for one in form.getlist(name)]
            if told := [one for one in values if one]:
                typed[name] = told
        yield typed


def _value(one: str | UploadFile) -> str | UploadFile | None:
    if isinstance(one, UploadFile):
        return one if one.filename else None
    # browsers send the lines of a text with a carriage return
    return one.replace("\r\n", "\n").strip()


def single_texts(sent: SentForm) -> dict[str, str]:
    """Return the texts of a form with files, of each field that was sent once."""
    return {
        name: values[0]
        for name, values in sent.items()
        if len(values) == 1 and isinstance(values[0], str)
    }


def filled(fields: Iterable[Shown], typed: Typed) -> tuple[Shown, ...]:
    """Return fields with what was typed, or is known before, standing in them.

    Examples
    --------
    >>> filled([Shown("note", "Note")], {"note": "dry seam"})[0].value
    'dry seam'
    """
    return tuple(
        _filled(one, typed.get(one.name), has_unit=one.name + UNIT in typed) for one in fields
    )


def _filled(field: Shown, typed: str | list[str] | None, *, has_unit: bool) -> Shown:
    if typed is None or field.kind == "file":
        return field
    values = tuple(typed) if isinstance(typed, list) else (typed,)
    joiner = "\n" if field.kind == "long" else ", "
    value = joiner.join(values)
    for unit in field.units:
        number = value.removesuffix(f" {unit}")
        if number != value and _NUMBER.fullmatch(number):
            if _may_be_share(number, unit):  # it stays with its sign
                return replace(field, value=value, values=values, units=())
            others = tuple(one for one in field.units if one != unit)
            return replace(field, value=number, values=values, units=(unit, *others))
    if (
        _NUMBER.fullmatch(value) and not has_unit
    ):  # a number alone, as a share may be written, is of no unit
        return replace(field, value=value, values=values, units=())
    return replace(field, value=value, values=values)


def _in_words(complaint: Complaint, labels: Mapping[str, str]) -> str:
    """Return a complaint's sentence with labels where a command's options are named."""

    def word(found: re.Match[str]) -> str:
        return labels.get(found[1].replace("-", "_"), found[0])

    return re.sub(r"--([a-z][a-z-]*)", word, sentence_of(complaint)).replace("..", ".")


def field_of(complaint: Complaint) -> str:
    """Return the name of the field that a complaint is about.

    A command's option is spelled ``--glaze-load``; a form's field is ``glaze_load``.

    Examples
    --------
    >>> field_of(Complaint("lost[0]", "x", "y")), field_of(Complaint("--dry-mass", "x", "y"))
    ('lost', 'dry_mass')
    """
    name = complaint.path.partition("[")[0].partition(".")[0]
    return name.removeprefix("--").replace("-", "_") if name.startswith("--") else name


def as_choice(field: Shown, words: Sequence[str]) -> Shown:
    """Return a field as one of a mold's parts, of which one is pressed; hidden where there is one alone.

    Examples
    --------
    >>> as_choice(Shown("part", "Part", hint="Empty means the only part."), ("left", "right")).choices
    (('left', 'left'), ('right', 'right'))
    """
    if len(words) == 1:
        return hidden(field.name, words[0])
    kind = "choice" if len(words) <= MANY_CHOICES else "pick"
    choices = tuple((one, one) for one in words)
    return replace(field, kind=kind, choices=choices, hint="", required=True, part=1)


# --- the table of verbs


def verb_fields(
    kind: Kind,
    editions: Sequence[Choice],
    units: str,
    others: str = "",
    *,
    only: bool = True,
    currency: str = "",
) -> tuple[list[Shown], list[Shown]]:
    """Return the fields of a verb: those asked at once, and those for who opens them.

    ``units`` and ``currency`` are the studio's, ``others`` is what is said of editions that are not offered,
    ``only`` whether just one is open.
    """
    first = [_verb_field(one, units, currency) for one in kind.fields if _is_first(kind, one)]
    rest = [_verb_field(one, units, currency) for one in kind.fields if not _is_first(kind, one)]
    if kind.verb == "plan-edition":
        named = Shown("edition", "Short name", kind="code", hint=_NEW_EDITION)
        first.insert(0, named)
    elif (
        kind.scope != "studio" and kind.verb != "correct"
    ):  # a correction is of its entry's edition
        first.insert(0, _edition_field(kind, editions, others, only=only))
    rest.append(
        Shown("at", "When it happened", kind="code", hint=f"{_DATE_WORDS} Empty means now.")
    )
    rest.append(Shown("by", "Who writes it down"))
    return first, rest


def corrected_fields(kind: Kind, units: str, currency: str = "") -> list[Shown]:
    """Return the fields of a verb as a correction has them: an empty one stays as it was."""
    fields = [_verb_field(replace(one, source=""), units, currency) for one in kind.fields]
    at = Shown("at", "When it happened", kind="code", hint=_DATE_WORDS)
    return [replace(one, need="", later=not one.required) for one in (*fields, at)]


def _is_first(kind: Kind, field: BookField) -> bool:
    return field.required or field.name in kind.example or len(kind.fields) < MANY_CHOICES


_NAMED = frozenset({"label", "labels", "selection", "masses"})
"""Kinds of fields that name things by label, and so tell the edition."""


def _edition_field(kind: Kind, editions: Sequence[Choice], others: str, *, only: bool) -> Shown:
    if kind.scope == "either":
        empty = "The studio as a whole"
    elif only:
        empty = "The only one that is open"
    elif any(
        one.kind in _NAMED and one.letter not in "SGBRC" and not one.is_new for one in kind.fields
    ):
        empty = "As the labels say"
    else:
        empty = "Choose one"
    choices = (("", empty), *editions)
    return Shown(
        "edition",
        "Edition",
        kind="pick",
        choices=choices,
        hint=others,
        later=empty != "Choose one",
        usual=empty[:1].lower() + empty[1:],
    )


def measured(shown: Shown, dimension: str, example: str, units: str) -> Shown:
    """Return the field of a quantity, with the units that may stand beside it and keys for it.

    The unit that the example begins with is the usual one. What a liter weighs is told by a number
    alone, which may be a specific gravity.

    Examples
    --------
    >>> measured(Shown("room", "Room"), "volume", "50 m3", "metric").units
    ('m3', 'l', 'ml')
    """
    known = _TIMES if dimension == "duration" else UNITS_BESIDE[units].get(dimension, ())
    found = _UNIT.fullmatch(example) if dimension != "liter weight" else None
    own = found[1] if found else ""
    own = next((one for one in known if own in (one, one.removeprefix("US "), one[1:])), own)
    beside = (*([own] if own else []), *(one for one in known if one != own))
    # feet and pounds are written with inches and ounces, which a number pad does not have
    is_parted = units == "us" and dimension in ("mass", "volume", "length")
    is_number = bool(beside) or dimension == "liter weight"
    mode = "decimal" if is_number and not is_parted else ""
    return replace(shown, units=beside, inputmode=mode, size=12)


def priced(shown: Shown, example: str, currency: str) -> Shown:
    """Return the field of a sum of money, the studio's currency beside it with what it is paid for.

    Examples
    --------
    >>> priced(Shown("packing", "Packing"), "9.00 DKK/piece", "EUR").units
    ('EUR/piece',)
    """
    per = example.partition("/")[2]
    unit = f"{currency}/{per}" if per else currency
    return replace(shown, units=(unit,), inputmode="decimal", size=12) if currency else shown


def _verb_field(field: BookField, units: str, currency: str) -> Shown:
    shown = Shown(
        field.name,
        _LABELS.get(field.name) or in_label_words(field.name),
        kind=_KINDS.get(field.kind, "code"),
        hint=_hint(field),
        required=field.required,
    )
    if field.kind == "choice":
        few = len(field.choices) <= MANY_CHOICES
        choices = tuple((one, one) for one in field.choices)
        if not few and not field.required:
            choices = (("", "not told"), *choices)
        return replace(shown, kind="choice" if few else "pick", choices=choices)
    if field.kind == "yes or no":
        return replace(shown, kind="choice", choices=(("yes", "Yes"), ("no", "No")))
    if field.kind == "whole":
        return replace(shown, inputmode="numeric", size=8)
    if field.kind == "money":
        return priced(shown, str(field.example), currency)
    if field.kind == "quantity":
        # the table's examples are metric
        is_ours = units != "us" or field.dimension == "duration"
        example = str(field.example) if is_ours else ""
        return measured(shown, field.dimension, example, units)
    return shown


_LABELS = {"void": "It did not happen"}
"""Labels of fields whose name is no maker's word."""
_KINDS = {
    "text": "words",
    "long text": "long",
    "readings": "long",
    "names": "words",
    "date": "date",
}


def _hint(field: BookField) -> str:
    is_label = field.meaning == f"Which {field.name}."
    meaning = "" if is_label else field.meaning
    if field.kind in ("choice", "yes or no"):
        return (meaning + _default(field)).strip()
    example = field.example if isinstance(field.example, str | int) else ""
    such = f" Such as: {example}." if example != "" else ""
    return (meaning + such + _default(field)).strip()


def _default(field: BookField) -> str:
    return f" Empty means {field.source}." if field.source else ""


# --- the table of questions


def question_fields(question: Question, units: str) -> tuple[list[Shown], list[Shown]]:
    """Return the fields of a question at the bench: what is needed, and what refines it."""
    needed = {ask.name for group in question.one_of for ask in group}
    first = [_ask_field(a, units) for a in question.asks if a.required]
    first += [
        replace(_ask_field(a, units), need="one of these", usual="one of these")
        for a in question.asks
        if a.name in needed
    ]
    rest = [_ask_field(a, units) for a in question.asks if not (a.required or a.name in needed)]
    return (first, rest) if first else (rest, [])


def _ask_field(ask: Ask[object], units: str) -> Shown:
    if ask.default is not None:
        default = f" Empty means {ask.default}" + (f" ({ask.source})." if ask.source else ".")
    else:
        default = f" Empty: {ask.source}." if ask.source and not ask.required else ""
    many = " One on each line." if ask.many else ""
    hint = f"{ask.meaning} Such as: {ask.example_for(units)}.{many}{default}"
    shown = Shown(
        ask.name,
        in_label_words(ask.name),
        kind="long" if ask.many else "code",
        hint=hint,
        required=ask.required,
        usual="" if ask.default is None else str(ask.default),
    )
    if ask.kind == "choice":
        few = len(ask.choices) <= MANY_CHOICES
        words = ask.meaning + default
        choices = tuple((one, one) for one in ask.choices)
        return replace(shown, kind="choice" if few else "pick", choices=choices, hint=words)
    if ask.kind == "yes or no":
        choices = (("yes", "Yes"), ("no", "No"))
        return replace(shown, kind="choice", choices=choices, hint=ask.meaning + default)
    if ask.dimension and not ask.many and ask.kind in ("quantity", "slip weight", "water"):
        return measured(shown, ask.dimension, str(ask.example_for(units)), units)
    return shown


def question_typed(question: Question, typed: Typed) -> dict[str, str | list[str]]:
    """Return what was typed as a question takes it: a list for what may be told more than once."""
    many = {ask.name for ask in question.asks if ask.many}
    names = {ask.name for ask in question.asks}
    return {
        name: [line for line in str(value).split("\n") if line.strip()] if name in many else value
        for name, value in typed.items()
        if name in names
    }
