"""The unit of a model: told by the maker, by its file, or the only one that makes a piece of it."""

from __future__ import annotations

from typing import Literal, TypeAlias

from pourwright.errors import BadInput
from pourwright.shape.mesh import Mesh
from pourwright.shape.model_decoding import refused
from pourwright.shape.model_file import ModelFile

Unit: TypeAlias = Literal["mm", "cm", "m", "in"]
Basis: TypeAlias = Literal["told", "file", "size"]
"""Who says so: the maker, the file, or that no other unit gives a believable size."""

UNIT_MM: dict[Unit, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}
"""Each unit that a model may be in. [mm]"""

BELIEVABLE_MM = (20.0, 600.0)
"""The longest side of what is cast in a small studio. Our own choice. [mm]"""

POSSIBLE_MM = (5.0, 3000.0)
"""Outside these the unit told is taken for a slip. Our own choice. [mm]"""

_STATED_MM = {
    "micron": 0.001,
    "micrometer": 0.001,
    "millimeter": 1.0,
    "millimeters": 1.0,
    "centimeter": 10.0,
    "centimeters": 10.0,
    "inch": 25.4,
    "inches": 25.4,
    "foot": 304.8,
    "feet": 304.8,
    "meter": 1000.0,
    "meters": 1000.0,
}
"""What 3MF and GLB can state. [mm]"""


def in_millimeters(model: ModelFile, told: Unit | None) -> tuple[Mesh, str, Basis]:
    """Return a model in millimeters, its unit, and who says that this is its unit.

    Parameters
    ----------
    model : ModelFile
        As its file tells it.
    told : {"mm", "cm", "m", "in"} or None
        What the maker says; it counts for more than what the file states.

    Raises
    ------
    BadInput
        If nobody says, and more than one unit, or none, gives a believable size; or if the
        file states one that makes a piece nobody casts.
    """
    mesh = Mesh(model.vertices, model.faces)
    longest = float(mesh.size_mm.max())
    if not longest > 0:
        raise _here(refused("a single point", "export a closed surface"), model)
    if told is not None:
        if not POSSIBLE_MM[0] <= longest * UNIT_MM[told] <= POSSIBLE_MM[1]:
            value = f"{_length(longest * UNIT_MM[told])} long in {told}"
            raise _here(_asked(longest, value), model)
        return _in(mesh, UNIT_MM[told]), told, "told"
    if model.unit in _STATED_MM:
        if not _is_believable(longest * _STATED_MM[model.unit]):
            raise _here(
                _asked(
                    longest,
                    f"in {_plural(model.unit)}, its file says, which makes it "
                    f"{_length(longest * _STATED_MM[model.unit])} long",
                ),
                model,
            )
        return _in(mesh, _STATED_MM[model.unit]), model.unit, "file"
    able: list[Unit] = [unit for unit, mm in UNIT_MM.items() if _is_believable(longest * mm)]
    if len(able) != 1:
        raise _here(_asked(longest, "without a unit"), model)
    return _in(mesh, UNIT_MM[able[0]]), able[0], "size"


def _in(mesh: Mesh, unit_mm: float) -> Mesh:
    return Mesh(mesh.vertices_mm * unit_mm, mesh.faces)


def _is_believable(length_mm: float) -> bool:
    return BELIEVABLE_MM[0] <= length_mm <= BELIEVABLE_MM[1]


def _asked(longest: float, value: str) -> BadInput:
    """Return the question back: how long the piece would be in each unit."""
    sizes = [f"--unit {unit} if it is {_length(longest * mm)} long" for unit, mm in UNIT_MM.items()]
    return refused(value, "say " + ", ".join(sizes[:-1]) + f", or {sizes[-1]}")


def _length(length_mm: float) -> str:
    if length_mm < 1:
        return f"{length_mm:.2g} mm"
    if length_mm < 1000:
        return f"{length_mm:.4g} mm"
    return f"{length_mm / 1000:.4g} m"


def _plural(unit: str) -> str:
    return {"inch": "inches", "foot": "feet"}.get(unit, unit.removesuffix("s") + "s")


def _here(refusal: BadInput, model: ModelFile) -> BadInput:
    return BadInput(one.at(one.path, model.name) for one in refusal.complaints)
