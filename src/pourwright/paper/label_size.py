"""The size of the labels on a sheet of them, as it stands on their box."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.errors import BadInput, as_written
from pourwright.quantities import read

SMALLEST_MM, LARGEST_MM = (60.0, 35.0), (200.0, 140.0)
"""Between which sizes a tag can be read and holds its code. [mm]"""


@dataclass(frozen=True, slots=True)
class LabelSize:
    """The size of a label on its sheet. [mm]"""

    width_mm: float
    height_mm: float


def read_label_size(text: str) -> LabelSize:
    """Return the size of labels as it stands on their box.

    Raises
    ------
    BadInput
        If it cannot be read, a tag would not fit, or the label is larger than the paper.

    Examples
    --------
    >>> read_label_size("70 x 37 mm")
    LabelSize(width_mm=70.0, height_mm=37.0)
    """
    sides = text.casefold().replace("×", "x").split("x")
    if len(sides) != 2:
        raise BadInput.one(
            "--labels", as_written(text), 'write width x height, such as "70 x 37 mm"'
        )
    unit = sides[1].strip().lstrip("0123456789. ") or "mm"
    width, height = (
        read(one if one.strip().endswith(unit) else f"{one} {unit}", "length", path="--labels")
        for one in sides
    )
    if not (SMALLEST_MM[0] <= width <= LARGEST_MM[0] and SMALLEST_MM[1] <= height <= LARGEST_MM[1]):
        raise BadInput.one(
            "--labels",
            as_written(text),
            "a tag needs 60 x 35 mm at least, and 200 x 140 mm fit on the paper",
        )
    return LabelSize(width, height)
