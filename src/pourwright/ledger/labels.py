"""Labels as they are printed, and selections of them as people write them.

A label is a letter and a number, padded but unlimited: ``M-007``. People write
``7``, ``"7"``, ``"m-7"``, ``"3, 7-9"``, ``"all"`` and ``"all except 3 and 7"``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from pourwright.reading import refusal

WIDTHS = {"M": 3, "P": 5, "L": 3, "F": 3, "T": 3, "S": 3, "G": 3, "B": 3, "R": 3, "C": 3}
"""The letters of labels, and how many digits they are padded to."""

LETTERS = {
    "mold": "M",
    "piece": "P",
    "load": "L",
    "form": "F",
    "spare part": "T",
    "slip": "S",
    "glaze": "G",
    "plaster": "B",
    "rubber": "R",
    "clay": "C",
}
"""What a label is of, and its letter."""

MOST = 1000
"""No entry names more things than this."""

_LABEL = re.compile(r"([A-Za-z])[- ]?([0-9]{1,9})")
_RANGE = re.compile(r"(.+?) *(?:-|\u2013|to) *([0-9]{1,9}|[A-Za-z][- ]?[0-9]{1,9})")
_ALL = re.compile(
    r"all(?: +(?:molds|of them))?(?: *,? *(?:except|but|without) +(.+))?", re.IGNORECASE
)
_BETWEEN = re.compile(r" *(?:,|;|\band\b|&|\n) *")


@dataclass(frozen=True, slots=True)
class Selection:
    """Some labels or numbers, or all but some."""

    some: tuple[str, ...]
    is_all: bool = False

    def as_json(self) -> dict[str, object]:
        """Return it as plain JSON, for a body that is not resolved yet."""
        return {"all_except": list(self.some)} if self.is_all else {"some": list(self.some)}


def label(letter: str, number: int) -> str:
    """Return a label as it is printed.

    Examples
    --------
    >>> label("M", 7), label("P", 123456)
    ('M-007', 'P-123456')
    """
    return f"{letter}-{number:0{WIDTHS.get(letter, 3)}d}"


def number_of(text: str) -> int:
    """Return the number in a label.

    Examples
    --------
    >>> number_of("M-007")
    7
    """
    return int(text.rpartition("-")[2])


def read_label(value: object, letter: str) -> str | None:
    """Return the label that was meant, or None if none was.

    Examples
    --------
    >>> read_label("m-7", "M"), read_label(7, "M"), read_label("P-7", "M")
    ('M-007', 'M-007', None)
    """
    if isinstance(value, bool) or not isinstance(value, (int, str)):
        return None
    text = " ".join(str(value).split()) if not isinstance(value, int) or abs(value) < 10**9 else ""
    if text.isascii() and text.isdigit() and len(text) < 10 and len(letter) == 1:
        return label(letter, int(text)) if int(text) else None
    found = _LABEL.fullmatch(text)
    if found is None or found[1].upper() not in letter or not int(found[2]):
        return None
    return label(found[1].upper(), int(found[2]))


def read_selection(value: object, letter: str, path: str, *, all_allowed: bool) -> Selection:
    """Return a selection of labels.

    Parameters
    ----------
    value : object
        Text such as ``"3, 7-9"``, a number, or a list of either.
    letter : str
        The letter of the labels.
    path : str
        The field, for the sentence of a refusal.
    all_allowed : bool
        Whether "all" may be written.

    Returns
    -------
    Selection
        Each label once, in the order in which they were written.

    Raises
    ------
    BadInput
        If it is no selection.

    Examples
    --------
    >>> read_selection("3, 7-9", "M", "molds", all_allowed=True).some
    ('M-003', 'M-007', 'M-008', 'M-009')
    >>> read_selection("all except 3 and 7", "M", "molds", all_allowed=True)
    Selection(some=('M-003', 'M-007'), is_all=True)
    """
    if isinstance(value, str) and (found := _ALL.fullmatch(" ".join(value.split()))):
        if not all_allowed:
            raise refusal(path, value, _right(letter, all_allowed=False))
        rest = _labels(found[1], letter, path, all_allowed=True) if found[1] else ()
        return Selection(rest, is_all=True)
    some = _labels(value, letter, path, all_allowed=all_allowed)
    if not some:
        raise refusal(path, value, _right(letter, all_allowed=all_allowed))
    return Selection(some)


def _right(letter: str, *, all_allowed: bool) -> str:
    word = next((name for name, one in LETTERS.items() if one == letter), "label")
    also = ', "all" or "all except 3 and 7"' if all_allowed else ""
    return f'write {word} labels or their numbers, such as "3, 7-9" or "{label(letter, 7)}"{also}'


def _labels(value: object, letter: str, path: str, *, all_allowed: bool) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for item in _items(value):
        many = _one_or_range(item, letter)
        if many is None:
            raise refusal(path, value, _right(letter, all_allowed=all_allowed))
        if len(found) + len(many) > MOST:
            raise refusal(path, value, f"one entry names at most {MOST} things")
        found |= dict.fromkeys(label(letter, number) for number in many)
    return tuple(found)


def _items(value: object) -> list[object]:
    """Split what was written into single labels and ranges."""
    if isinstance(value, str):
        return (
            [part for part in _BETWEEN.split(value.strip()) if part]
            if len(value) < 8000
            else [None]
        )
    if isinstance(value, (list, tuple)):
        return [
            inner for one in value for inner in (_items(one) if isinstance(one, str) else [one])
        ]
    return [value]


def _one_or_range(item: object, letter: str) -> range | None:
    single = read_label(item, letter)
    if single is not None:
        number = number_of(single)
        return range(number, number + 1)
    found = _RANGE.fullmatch(item.strip()) if isinstance(item, str) else None
    first, last = (read_label(end, letter) for end in found.groups()) if found else (None, None)
    if first is None or last is None or number_of(first) > number_of(last):
        return None
    # cut short of a range no one means, which the count then refuses
    return range(number_of(first), min(number_of(last), number_of(first) + MOST) + 1)


def read_numbers(value: object, path: str) -> list[int]:
    """Return numbers of an edition, such as 1 to 12 for ``"1-12"``.

    Raises
    ------
    BadInput
        If it is none.

    Examples
    --------
    >>> read_numbers("1-3, 7", "numbers")
    [1, 2, 3, 7]
    """
    found: dict[int, None] = {}
    for item in _items(value):
        plain = item.split("/")[0] if isinstance(item, str) else item  # "7/48" is number 7
        many = _one_or_range(plain, "N")
        if many is None or (isinstance(plain, str) and "N" in plain.upper()):
            raise refusal(path, value, 'write numbers such as 7 or "1-12, 15"')
        if len(found) + len(many) > MOST:
            raise refusal(path, value, f"one entry names at most {MOST} numbers")
        found |= dict.fromkeys(many)
    if not found:
        raise refusal(path, value, 'write numbers such as 7 or "1-12, 15"')
    return list(found)


def read_piece(value: object) -> str | None:
    """Return how a piece is told: its label, ``"7"`` for a number, ``"AP 2"`` for a proof.

    Examples
    --------
    >>> read_piece("p-12"), read_piece(7), read_piece("7/48"), read_piece("AP 2/4")
    ('P-00012', '7', '7', 'AP 2')
    """
    if isinstance(value, bool) or not isinstance(value, (int, str)):
        return None
    if isinstance(value, int):
        return str(value) if 0 < value < 10**9 else None
    text = " ".join(value.split())
    if (named := _LABEL.fullmatch(text)) and named[1].upper() == "P":
        return read_label(text, "P")
    found = re.fullmatch(r"(?:([A-Za-z]{1,6})[ /-]?)?([0-9]{1,9})(?:/[0-9]{1,9})?", text)
    if found is None or not int(found[2]):
        return None
    return f"{found[1].upper()} {int(found[2])}" if found[1] else str(int(found[2]))


def read_pieces(value: object, path: str) -> list[str]:
    """Return how each of some pieces is told, as :func:`read_piece` has it.

    Raises
    ------
    BadInput
        If it is none.

    Examples
    --------
    >>> read_pieces("P-00012 and 3-5", "pieces")
    ['P-00012', '3', '4', '5']
    """
    found: dict[str, None] = {}
    for item in _items(value):
        one = read_piece(item)
        if one is not None:
            found[one] = None
            continue
        numbers = _one_or_range(item, "P") if isinstance(item, str) else None
        if numbers is None:
            raise refusal(path, value, RIGHT_PIECES)
        is_label = str(item)[:1] in "pP"
        found |= dict.fromkeys(label("P", n) if is_label else str(n) for n in numbers)
        if len(found) > MOST:
            raise refusal(path, value, f"one entry names at most {MOST} pieces")
    if not found:
        raise refusal(path, value, RIGHT_PIECES)
    return list(found)


RIGHT_PIECES = (
    'write numbers such as "7" or "3-9", a proof such as "AP 2", or labels such as "P-00012"'
)
