"""Quantities and prices of an entry's body as documents have them."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from pourwright.ledger.documents import Price, Quantity


def as_quantity(told: Mapping[str, str]) -> Quantity:
    """Return a quantity as a document has it."""
    return msgspec.convert(told, Quantity)


def quantity_or_none(told: Mapping[str, str] | None) -> Quantity | None:
    """Return a quantity as a document has it, None if it was not told."""
    return None if told is None else as_quantity(told)


def price_or_none(told: Mapping[str, str] | None) -> Price | None:
    """Return a price as a document has it, None if it was not told."""
    return None if told is None else msgspec.convert(told, Price)
