"""How a marked piece is called: makers know it by the number on its foot."""

from __future__ import annotations

from pourwright.ledger.said import number_name
from pourwright.ledger.things import Doc, Things


def piece_called(things: Things, label: str, piece: Doc) -> str:
    """Return a piece's number with its label, or the label alone if it bears no number.

    Parameters
    ----------
    things : Things
        The book's documents.
    label : str
        Such as ``"P-00033"``.
    piece : dict
        Its document.

    Returns
    -------
    str
        Such as ``"3/24 (P-00033)"``.
    """
    number = things.get("number", piece["number"]) if piece["number"] else None
    edition = things.get("edition", piece["edition"])
    if number is None or edition is None:
        return label
    return f"{number_name(edition, number['kind'], number['n'])} ({label})"
