"""Each kind of sheet as it was last looked at: a line that moved by a millimeter breaks its picture.

``python -m tests.paper.test_pictures`` draws the pictures anew. Look at each before it is kept.
"""

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from pourwright.paper.printing import as_pictures
from tests.paper.sheets import sample_sheets

KEPT = Path(__file__).parent / "pictures"
PPI = 50
"""A pixel is half a millimeter."""
FEW = 12
"""Pixels that may differ: edges of letters on another processor."""
SHEETS = sample_sheets()


def drawn(name: str) -> np.ndarray:
    """Return the pages of a kind's sample below one another, 0 black and 255 white."""
    pages = [Image.open(io.BytesIO(one)) for one in as_pictures(name, SHEETS[name], "a4", PPI)]
    return np.concatenate([np.asarray(one.convert("L")) for one in pages])


def kept_of(name: str) -> np.ndarray:
    """Return the picture that is kept of a kind."""
    return np.asarray(Image.open(KEPT / f"{name}.png").convert("L"))


def moved_pixels(one: np.ndarray, other: np.ndarray) -> int:
    """Return how many of two pictures' pixels differ by more than a quarter of the scale."""
    if one.shape != other.shape:
        return one.size
    return int((np.abs(one.astype(int) - other) > 64).sum())


@pytest.mark.whole
@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_looks_as_it_did(name):
    kept = kept_of(name)

    assert moved_pixels(drawn(name), kept) <= FEW


@pytest.mark.whole
@pytest.mark.parametrize("name", SHEETS)
def test_a_line_that_moved_would_be_seen(name):
    """The lowest row with a line or a word in it is moved by two pixels, a millimeter."""
    kept = kept_of(name)
    inked = np.flatnonzero((kept < 128).sum(axis=1) > kept.shape[1] / 20)
    moved = kept.copy()
    moved[inked[-1] + 2] = kept[inked[-1]]
    moved[inked[-1]] = 255

    assert moved_pixels(moved, kept) > FEW


if __name__ == "__main__":
    KEPT.mkdir(exist_ok=True)
    for name in SHEETS:
        shades = np.round(drawn(name) / 51) * 51  # six shades of gray do, and pack well
        picture = Image.fromarray(shades.astype(np.uint8)).quantize(6)
        picture.save(KEPT / f"{name}.png", optimize=True)
        print(f"{name}: {(KEPT / f'{name}.png').stat().st_size} bytes")
