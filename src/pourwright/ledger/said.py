"""Small words for sentences: counts, lists, causes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from pourwright.ledger.documents import EditionDoc, NumberDoc, PieceDoc, Quantity
from pourwright.ledger.observations import load_named
from pourwright.ledger.things import Things


def many(count: int, one: str, more: str = "") -> str:
    """Return a count and its noun.

    Examples
    --------
    >>> many(1, "cast"), many(9, "cast"), many(2, "piece of ware", "pieces of ware")
    ('1 cast', '9 casts', '2 pieces of ware')
    """
    return f"{count} {one if count == 1 else more or one + 's'}"


_DEGREES = re.compile(r"(?<=[0-9]) *(?:°|deg)? *([CF])\b")
_UNIT_SAID = {"degC": "°C"}


def with_unit(one: Quantity) -> str:
    """Return a quantity as it was typed, a number alone with its unit, and degrees with their sign.

    Examples
    --------
    >>> with_unit(Quantity(value="1752", unit="g/l", typed="1752"))
    '1752 g/l'
    >>> with_unit(Quantity(value="17", unit="degC", typed="17 C"))
    '17 °C'
    """
    has_unit = any(character.isalpha() for character in one.typed)
    typed = one.typed if has_unit else f"{one.value} {_UNIT_SAID.get(one.unit, one.unit)}"
    return _DEGREES.sub(r" °\1", typed)


def names_said(names: Iterable[object], most: int = 8) -> str:
    """Return names as a sentence has them.

    Examples
    --------
    >>> names_said(["M-001", "M-002", "M-003"])
    'M-001, M-002 and M-003'
    >>> names_said(range(1, 13))
    '1, 2, 3, 4, 5, 6, 7 and 5 more'
    """
    words = [str(one) for one in names]
    if len(words) > most:
        words = [*words[: most - 1], f"{len(words) - most + 1} more"]
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def numbers_said(numbers: Iterable[int]) -> str:
    """Return numbers as a sentence has them, those in a row as a span.

    Examples
    --------
    >>> numbers_said([1, 2, 3, 7, 9, 10])
    '1-3, 7, 9 and 10'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return names_said(
        word
        for run in runs
        for word in ([f"{run[0]}-{run[-1]}"] if len(run) > 2 else map(str, run))
    )


def causes(lost: Mapping[str, int]) -> str:
    """Return losses as a sentence has them.

    Examples
    --------
    >>> causes({"stuck": 2, "warp": 1})
    '2 stuck, 1 warp'
    """
    return ", ".join(f"{count} {cause}" for cause, count in lost.items() if count)


def number_name(edition: EditionDoc, kind: str, number: int) -> str:
    """Return a number as it is written on a piece, such as 7/48 or AP 2/4."""
    if kind == "proof":
        return f"{edition.proof_kind} {number}/{edition.proofs}"
    return f"{number}/{edition.pieces}"


# --- how a marked piece is called: makers know it by the number on its foot


def piece_called(things: Things, label: str, piece: PieceDoc) -> str:
    """Return a piece's number, such as "3/24"; its label where it has none or another bears it now."""
    number = things.get(NumberDoc, piece.number) if piece.number else None
    edition = things.get(EditionDoc, piece.edition)
    if number is None or edition is None:
        return label
    name = number_name(edition, number.kind, number.n)
    return name if number.bearers[-1] == label else f"{name} ({label})"


def piece_typed(things: Things, label: str) -> str:
    """Return a piece as a maker types it, such as "3" or "AP 2"; its label where it has no number."""
    piece = things.get(PieceDoc, label)
    number = things.get(NumberDoc, piece.number) if piece and piece.number else None
    if piece is None or number is None or number.bearers[-1] != label:
        return label
    edition = things.get(EditionDoc, piece.edition)
    letters = edition.proof_kind if edition and number.kind == "proof" else ""
    return f"{letters} {number.n}".strip()


def called(things: Things, label: str) -> str:
    """Return what a label names, a marked piece by the number on its foot; see :func:`piece_called`."""
    piece = things.get(PieceDoc, label)
    return piece_called(things, label, piece) if piece else label


def seen_said(things: Things, thing: str) -> str:
    """Return what was seen, as makers say it: a piece of a load by the number on its foot."""
    load, piece = load_named(thing)
    if not piece:
        return thing
    return f"{load}, {piece_said(things, piece)}"


def piece_said(things: Things, piece: str) -> str:
    """Return a piece of a load by the number on its foot; one that bears none has no name."""
    return called(things, piece) if piece.startswith("P-") else "an unmarked piece"
