"""A model's file from beginning to a sound body at the size of the mold."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeAlias

import numpy as np

from pourwright.errors import BadInput, OutOfRange
from pourwright.shape.distance import Watch, unwatched
from pourwright.shape.healing import heal
from pourwright.shape.mesh import FloatArray, Mesh, Place, as_place, scaled
from pourwright.shape.model_file import read_model
from pourwright.shape.model_units import Unit, in_millimeters
from pourwright.shape.opening import opening_of
from pourwright.shape.records import Body, Look, Up, Void
from pourwright.shape.vessel import Vessel, vessel_of

Shows: TypeAlias = Literal["mold", "fired"]

MOST_SHRINKAGE = 0.4
"""No clay shrinks by more. [-]"""

_TURNS: dict[Up, list[list[float]]] = {
    "z": [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
    "-z": [[1, 0, 0], [0, -1, 0], [0, 0, -1]],
    "y": [[1, 0, 0], [0, 0, -1], [0, 1, 0]],
    "-y": [[1, 0, 0], [0, 0, 1], [0, -1, 0]],
    "x": [[0, 0, -1], [0, 1, 0], [1, 0, 0]],
    "-x": [[0, 0, 1], [0, 1, 0], [-1, 0, 0]],
}
"""Each turn, by rows; it puts the axis named to the top."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What the maker says of a model.

    Parameters
    ----------
    unit : {"mm", "cm", "m", "in"} or None
        What its lengths are in; None leaves it to the file, or to the only believable one.
    up : {"x", "-x", "y", "-y", "z", "-z"} or None
        The model's axis that points to where slip is poured in; None takes z, or -z if only
        the foot is level enough to pour through.
    shows : {"mold", "fired"}
        Which size the model is drawn at.
    shrinkage : float or None
        From the mold to the fired piece, of the length. [-]
    """

    unit: Unit | None = None
    up: Up | None = None
    shows: Shows = "mold"
    shrinkage: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """A model that was looked at.

    Parameters
    ----------
    look : Look
        What is told of it.
    outside : Mesh
        What the mold is made around: one sound body at the size of the mold, z up, its
        lowest point at height 0.
    """

    look: Look
    outside: Mesh


def look_at(path: Path, wish: Wish, watch: Watch = unwatched) -> Looked:
    """Read a model, settle its unit, heal it, and find a hollow vessel's outside and inside.

    Parameters
    ----------
    path : Path
        The model's file.
    wish : Wish
        What the maker says of it.
    watch : callable
        Told how much is done.

    Raises
    ------
    StudioError
        If the file, the unit or the surface cannot be used.
    """
    factor = _to_mold(wish)
    model = read_model(path)
    mesh, unit, unit_from = in_millimeters(model, wish.unit)
    try:
        healed, faults = heal(mesh, watch)
    except BadInput as refusal:
        raise BadInput(one.at(one.path, model.name) for one in refusal.complaints) from None
    up: Up = wish.up or "z"
    body = scaled(_standing(healed, up), factor)
    vessel = vessel_of(body)
    if wish.up is None and vessel is None and not opening_of(body, None)[0].any():
        over = scaled(_standing(healed, "-z"), factor)
        if opening_of(over, None)[0].any():
            up, body = "-z", over
    outside = body if vessel is None else vessel.outside
    look = Look(
        file=model.name,
        sha256=model.sha256,
        kind=model.kind,
        unit=unit,
        unit_from=unit_from,
        up=up,
        shows=wish.shows,
        shrinkage=wish.shrinkage,
        triangles=len(model.faces),
        faults=faults,
        body=_body(outside, wish),
        void=None if vessel is None else _void(vessel, body.volume_l, wish),
    )
    return Looked(look, outside)


def _to_mold(wish: Wish) -> float:
    """Return the mold's length over the model's. [-]"""
    if wish.shrinkage is not None and not 0 < wish.shrinkage < MOST_SHRINKAGE:
        right = f"more than 0 and less than {MOST_SHRINKAGE:g}"
        raise OutOfRange("shrinkage from mold to fired", wish.shrinkage, "", right)
    if wish.shows == "mold":
        return 1.0
    if wish.shrinkage is None:
        right = "say how much the clay shrinks from the mold to the fired piece, such as 12 %"
        raise BadInput.one("--shrinkage", None, right)
    return 1 / (1 - wish.shrinkage)


def _standing(mesh: Mesh, up: Up) -> Mesh:
    """Return a model upright, its lowest point at height 0."""
    turn = np.array(_TURNS[up], dtype=np.float64)
    vertices: FloatArray = mesh.vertices_mm @ turn.T
    vertices = vertices - np.array([0.0, 0.0, vertices[:, 2].min()])
    return Mesh(vertices, mesh.faces)


def _body(mesh: Mesh, wish: Wish) -> Body:
    fired: Place | None = None
    if wish.shrinkage is not None:
        fired = as_place(mesh.size_mm * (1 - wish.shrinkage))
    return Body(len(mesh.faces), as_place(mesh.size_mm), fired, mesh.volume_l, mesh.area_m2)


def _void(vessel: Vessel, clay_l: float, wish: Wish) -> Void:
    fired = None if wish.shrinkage is None else vessel.capacity_l * (1 - wish.shrinkage) ** 3
    return Void(vessel.capacity_l, fired, vessel.brim_mm, clay_l)
