"""Many ways to be wrong and many places to be wrong at: each way meets a place, and each place a way."""

from collections.abc import Sequence
from typing import TypeVar

from tests.ledger.toy import rounds

_T = TypeVar("_T")


def dealt(things: Sequence[_T], place: int, few: int) -> list[_T]:
    """Return a few things for one place, others for the next; with POURWRIGHT_SOAK all for each."""
    count = rounds(few, len(things))
    return [things[(place * count + n) % len(things)] for n in range(count)]
