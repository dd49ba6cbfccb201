"""Pieces of pages that are kept as they were drawn, while what they show is the same."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Sequence
from itertools import chain
from typing import Any, Final

from markupsafe import Markup, escape

_Held = dict[tuple[object, ...], tuple[object, Any]]
_DRAWN: _Held = {}
_MOST_DRAWN = 60
"""Pieces of pages that are kept; a tray of three hundred feet is forty kilobytes."""


def drawn(what: tuple[Any, ...], macro: Any, *more: str) -> Any:
    """Return what a macro draws of something that does not change, drawn once while it is kept.

    Parameters
    ----------
    what : tuple
        It is known again by being the very same object.
    macro : jinja2 macro
        What draws it.
    *more : str
        Further arguments of the macro.
    """
    return _kept(_DRAWN, _MOST_DRAWN, what, (macro.name, *more), lambda: macro(what, *more))


def _kept(
    held: _Held, most: int, what: object, more: tuple[object, ...], draw: Callable[[], Any]
) -> Any:
    """Return what is held of a thing, drawn if it is not; of too many all are let go."""
    key = (id(what), *more)
    found = held.get(key)
    if found is None or found[0] is not what:
        if len(held) >= most:
            held.clear()
        # what is held here keeps its id, so that nothing else can be taken for it
        found = held[key] = what, draw()
    return found[1]


CLOCK_GAP: Final = "\ue000"
"""Stands where a clock is to be read; a character that no font draws and no keyboard has."""

_ID = re.compile(r'(?<=name="id" value=")w-[0-9a-f]{24}(?=")')
_CARDS: _Held = {}
_MOST_CARDS = 300
"""Cards that are kept, with every panel seven kilobytes each."""


def drawn_again(
    what: Sequence[Any], macro: Any, more: tuple[object, ...], clock: str, *shown: Any
) -> Markup:
    """Return what a macro draws, kept but for the ids of its forms and what its clock reads.

    Parameters
    ----------
    what : sequence
        It is known again by being the very same object.
    macro : jinja2 macro
        What draws it; where its clock is read it draws ``CLOCK_GAP``.
    more : tuple
        What else the drawing hangs on.
    clock : str
        What the clock reads now.
    *shown
        The macro's arguments.
    """  # fmt: skip
    texts: list[str] = _kept(
        _CARDS, _MOST_CARDS, what, (macro.name, *more), lambda: _ID.split(str(macro(*shown)))
    )
    text = "".join(chain.from_iterable(zip(texts, _new_ids(len(texts) - 1), strict=True)))
    return Markup(text.replace(CLOCK_GAP, escape(clock)))  # noqa: S704 - a macro drew it, escaped


def new_id() -> str:
    """Return an id for a command, set into a form so that sending it twice writes once."""
    return "w-" + secrets.token_hex(12)


def _new_ids(count: int) -> list[str]:
    """Return so many new ids, and an empty text at the end; asked of the system at once."""
    digits = secrets.token_hex(12 * count)
    return ["w-" + digits[24 * one : 24 * one + 24] for one in range(count)] + [""]
