"""Why a piece is lost: the causes that yields are told by. A new one is a line here.

A studio adds its own by using it once: the book asks, and knows it from then on.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

CAUSES = (
    "failed batch",
    "stuck",
    "torn opening",
    "handle crack",
    "collapse",
    "pinhole",
    "casting line",
    "seam ghost",
    "warp",
    "crack",
    "bisque crack",
    "dunt",
    "crawl",
    "plaster pop-out",
    "chip",
    "break",
    "other",
)
"""Every cause, in the order of the work."""

CASTING_CAUSES = (
    "stuck",
    "torn opening",
    "handle crack",
    "collapse",
    "pinhole",
    "casting line",
    "crack",
    "break",
    "failed batch",
    "other",
)
"""Those that show when a mold is opened."""

GIVEN_UP = ("break", "failed batch", "other")
"""Those of a cast that is poured out while its mold stands full; nothing else shows yet."""

FIRING_CAUSES = CAUSES[CAUSES.index("seam ghost") :]
"""Those that show when a load is opened; the last is for whatever else."""

_SAID = {
    "batch failed": "failed batch",
    "broke": "break",
    "broken": "break",
    "breakage": "break",
    "chipped": "chip",
    "collapsed": "collapse",
    "cracked": "crack",
    "crawled": "crawl",
    "crawling": "crawl",
    "dunted": "dunt",
    "dunting": "dunt",
    "stick": "stuck",
    "warped": "warp",
    "warping": "warp",
}
"""How makers say some of them."""

_WORDS = re.compile(r"[^\W\d_](?:[^\W\d_]|[ '-]){1,28}[^\W\d_]")


def read_cause(word: object) -> str | None:
    """Return the cause that is meant, known or new; None if it can be none.

    Examples
    --------
    >>> read_cause("Cracked"), read_cause("chips"), read_cause("glaze drip"), read_cause("7")
    ('crack', 'chip', 'glaze drip', None)
    """
    if not isinstance(word, str):
        return None
    text = " ".join(word.split()).lower()
    if text in CAUSES:
        return text
    if text in _SAID:
        return _SAID[text]
    if text.removesuffix("s") in CAUSES:
        return text.removesuffix("s")
    return text if _WORDS.fullmatch(text) else None


def nearest_cause(word: str, own: Iterable[str] = ()) -> str:
    """Return a hint at the causes of which a word is said in a longer or another way.

    Parameters
    ----------
    word : str
        A cause that is in no table.
    own : iterable of str
        The studio's own causes.

    Examples
    --------
    >>> nearest_cause("plain crack"), nearest_cause("casts broken"), nearest_cause("glaze drip")
    ('Did you mean crack?', 'Did you mean break?', '')
    """
    known = [*CAUSES, *own]
    said = [read_cause(one) for one in word.split()]
    near = [one for one in dict.fromkeys(said) if one in known]
    return f"Did you mean {' or '.join(map(str, near))}?" if near else ""


def new_causes(body: Mapping[str, Any]) -> Iterator[str]:
    """Yield the causes that an entry's body names and that are not in the table."""
    named = [*body.get("lost", ()), *body.get("lost_pieces", {}).values()]
    named += [body["cause"]] if "cause" in body else []
    if not named:  # nearly all
        return
    yield from (one for one in dict.fromkeys(named) if one not in CAUSES)
