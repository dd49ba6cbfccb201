"""The errors of this program, one family.

::

    Exception
    └── StudioError            what a maker can act on; the doors catch this one
        ├── OutOfRange         a number outside the range a calculation holds for
        │                      (also a ValueError)
        ├── BadInput           what was typed or written cannot be used as it stands;
        │                      carries one Complaint for each thing that is wrong
        ├── NotDoable          every number is fine, but together they cannot be done
        ├── MissingExtra       a library that this answer needs is not installed
        ├── Refused            the book's rules do not let it be written
        │   └── Asks           the book asks first; the command is written once it says to go on
        └── BookTrouble        the book's file cannot be read or written now (ledger.file.trouble)
            ├── BookBusy       another program is writing and does not end
            ├── BookExchanged  the file at its path is not the one that was opened
            └── NewerBook      a newer Pourwright wrote it; it is left untouched

Anything else that leaves a module is a fault of ours.
Each error reads as a sentence with the number and what would be right,
the same on a page and on the command line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches

EXIT_STATUS = 2
"""What the command line returns for any :class:`StudioError`."""


class StudioError(Exception):
    """The root of the family: a sentence that a maker can act on."""


class OutOfRange(StudioError, ValueError):
    """A number lies outside the range that a calculation holds for.

    Parameters
    ----------
    what : str
        The quantity, in words a maker uses.
    value : float
        What it is.
    unit : str
        Its unit, empty for a plain number.
    allowed : str
        The range, such as ``"between 1000 and 2600"``.
    hint : str, optional
        A further sentence: the likely slip of hand.

    Examples
    --------
    >>> print(OutOfRange("slip weight", 180.0, "g/l", "between 1000 and 2600",
    ...                  "Was it weighed in a 100 ml cup?"))
    slip weight is 180 g/l; it must be between 1000 and 2600 g/l. Was it weighed in a 100 ml cup?
    """

    def __init__(self, what: str, value: float, unit: str, allowed: str, hint: str = "") -> None:
        is_now = f"{what} is {value:g} {unit}".rstrip()
        must = f"it must be {allowed} {unit}".rstrip()
        super().__init__(f"{is_now}; {must}. {hint}".rstrip())
        self.what, self.value, self.unit = what, value, unit
        self.allowed, self.hint = allowed, hint


@dataclass(frozen=True, slots=True)
class Complaint:
    """One thing that is wrong with what was written.

    Parameters
    ----------
    path : str
        Where it stands, such as ``mold.parts[2].water``; empty for a bare value.
    value : str or None
        What stands there, as it was written; None if nothing does.
    right : str
        What would be right, as the second half of a sentence.
    hint : str
        A further sentence, such as the nearest name; may be empty.
    file : str
        The file's name; empty when there is none.

    Examples
    --------
    >>> print(Complaint("mold.lief", "15", "there is no field of that name",
    ...                 "Did you mean mold.life?", "edition.toml").sentence())
    edition.toml: mold.lief is 15; there is no field of that name. Did you mean mold.life?
    """

    path: str
    value: str | None
    right: str
    hint: str = ""
    file: str = ""

    def sentence(self) -> str:
        """Return the complaint as a maker reads it."""
        where = f"{self.file}: " if self.file else ""
        subject = self.path or "the value"
        state = "missing" if self.value is None else self.value
        return f"{where}{subject} is {state}; {self.right}. {self.hint}".rstrip()

    def at(self, path: str, file: str = "") -> Complaint:
        """Return the same complaint, told where the value stands."""
        return replace(self, path=path, file=file or self.file)


class BadInput(StudioError):
    """What was typed or written cannot be used; everything wrong is told at once."""

    def __init__(self, complaints: Iterable[Complaint]) -> None:
        self.complaints: tuple[Complaint, ...] = tuple(complaints)
        super().__init__("\n".join(one.sentence() for one in self.complaints))

    @classmethod
    def one(
        cls, path: str, value: str | None, right: str, hint: str = "", *, file: str = ""
    ) -> BadInput:
        """Return the error for a single complaint."""
        return cls((Complaint(path, value, right, hint, file),))


class NotDoable(StudioError):
    """Every number is fine by itself, but together they cannot be done."""


class MissingExtra(StudioError):
    """A library that this answer needs is not installed.

    Examples
    --------
    >>> print(MissingExtra("shape", "Reading a mesh"))
    Reading a mesh needs the extra "shape"; install it with: pip install "pourwright[shape]"
    """

    def __init__(self, extra: str, needed_for: str) -> None:
        super().__init__(
            f'{needed_for} needs the extra "{extra}"; '
            f'install it with: pip install "pourwright[{extra}]"'
        )
        self.extra = extra


def did_you_mean(written: object, known: Iterable[str], before: str = "") -> str:
    """Return a hint at what is spelled most alike, or nothing; ``before`` says where it stands.

    Examples
    --------
    >>> did_you_mean("lief", ["life", "pieces"], "mold.")
    'Did you mean mold.life?'
    """
    names = {name.casefold(): name for name in known}
    near = get_close_matches(str(written)[:80].casefold(), names, 1, 0.6)
    return f"Did you mean {before}{names[near[0]]}?" if near else ""


def as_written(value: object, longest: int = 60) -> str:
    """Return a value as it may be shown in a sentence: short, on one line.

    Examples
    --------
    >>> as_written("2,5 l"), as_written(True), as_written([1, 2])
    ('"2,5 l"', 'true', '[1, 2]')
    """
    if isinstance(value, str):
        return f'"{_tidy(value, longest)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return _list_as_written(value)
    if isinstance(value, int) and abs(value) >= 10**18:
        return "a number of more than 18 digits"
    return _tidy(value.isoformat() if hasattr(value, "isoformat") else repr(value), longest)


def _tidy(text: str, longest: int = 60) -> str:
    short = text if len(text) <= longest else text[: longest - 3] + "..."
    return "".join(char if char.isprintable() else "?" for char in short)


def _list_as_written(values: list[object]) -> str:
    plain = [as_written(one) if not isinstance(one, list) else "[...]" for one in values[:4]]
    return _tidy("[" + ", ".join(plain) + (", ...]" if len(values) > 4 else "]"))


# --- what a rule of the book refuses


class Refused(StudioError):
    """The book refuses a command; nothing was written.

    Parameters
    ----------
    sentences : iterable of str
        At least one: what stands against it, and what would be right.
    rules : iterable of str, optional
        The names of the rules that refused.

    Examples
    --------
    >>> print(Refused(["There is no mold M-071."]))
    There is no mold M-071.
    """

    def __init__(self, sentences: Iterable[str], rules: Iterable[str] = ()) -> None:
        self.sentences = tuple(sentences)
        self.rules = tuple(rules)
        super().__init__("\n".join(self.sentences))


class Asks(Refused):
    """The book asks before it writes; the same command is written once it says to go on.

    Examples
    --------
    >>> print(Asks(["left half has no master any more."]))
    left half has no master any more.
    """
