"""JSON from outside, read strictly: what could be read in two ways is refused."""

from __future__ import annotations

import json


def one_json(text: str | bytes) -> object:
    """Return what a JSON text says.

    Raises
    ------
    ValueError
        If it is none, names a field twice, holds a number that is none, or has no end of brackets.

    Examples
    --------
    >>> one_json('{"do": "note"}')
    {'do': 'note'}
    >>> one_json('{"molds": 1, "molds": 2}')
    Traceback (most recent call last):
    ...
    ValueError: molds stands in it twice
    """
    try:
        return json.loads(text, parse_constant=_no_number, object_pairs_hook=_each_once)
    except RecursionError:
        raise ValueError("it has brackets without end") from None


def _no_number(name: str) -> object:
    raise ValueError(f"{name} is no number")


def _each_once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    fields = dict(pairs)
    if len(fields) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"{twice} stands in it twice")
    return fields
