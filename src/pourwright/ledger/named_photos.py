"""Whether the book still needs a photo's file."""

from __future__ import annotations

from pourwright.ledger.entry import STUDIO
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.record import photo_id
from pourwright.ledger.things import Things


def photo_is_named(things: Things, digest: str) -> bool:
    """Return whether an edition or the studio names a photo that it did not erase.

    Parameters
    ----------
    things : Things
        The book's documents.
    digest : str
        SHA-256 of the photo.
    """
    scopes = (STUDIO, *counters(things)["editions"])
    docs = (things.get("photo", photo_id(scope, digest)) for scope in scopes)
    return any(doc is not None and not doc["erased"] for doc in docs)
