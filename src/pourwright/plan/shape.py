"""A model's shape joined with the workshop's laws: how thick, how long, what the clay weighs."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import msgspec
import numpy as np

from pourwright.errors import BadInput
from pourwright.files import write_whole
from pourwright.materials.casting.minutes import casting_minutes, casting_rate
from pourwright.materials.casting.shapes import wall_on_shape_mm
from pourwright.materials.casting.water import CAST_MOISTURE, water_balance
from pourwright.materials.plaster.mix import Plaster, batch_for_volume, dry_density, wet_density
from pourwright.materials.rubber import rubber_mass
from pourwright.materials.slip.basis import liter_weight_of_water_fraction
from pourwright.materials.slip.liter_weight import SOLIDS_KG_PER_L
from pourwright.materials.ware.shrinkage import fired_mass_kg
from pourwright.shape.distance import Watch, unwatched
from pourwright.shape.look import Looked, Wish, look_at
from pourwright.shape.masters import fits_printer, master_form
from pourwright.shape.mesh import BoolArray, FloatArray, Mesh, Place
from pourwright.shape.mold import PLASTER_MM, ROUND_MM, SPARE_MM, MoldOfPiece, mold_of
from pourwright.shape.no_seam import NoSeam
from pourwright.shape.opening import opening_of
from pourwright.shape.pictures import by_draft, from_three_sides, opened, png_bytes
from pourwright.shape.reach import reached
from pourwright.shape.records import Clay, Master, Parting, PartMass, Shape, View, Wall, Written
from pourwright.shape.release import release_of
from pourwright.shape.stl_file import stl_bytes
from pourwright.shape.three_mf_file import three_mf_bytes
from pourwright.shape.view_file import view_of
from pourwright.shape.wall import cast_wall

VIEW_DOTS = 480
"""Width and height of each view in a picture."""


@dataclass(frozen=True, slots=True)
class CastWish:
    """What the maker says of a cast.

    Parameters
    ----------
    wall_mm : float or None
        The wall wanted; without it, the one that grows in the minutes. [mm]
    minutes : float or None
        How long the slip stands. [min]
    test_wall_mm, test_min : float or None
        A test cast: its wall, and how long it stood. [mm, min]
    pour_mm : float or None
        How high the face is that slip is poured through, above the lowest point. [mm]
    liter_weight_g_per_l : float or None
        What the slip weighs. [g/l]
    loss_on_ignition : float or None
        Share of its dry mass that the clay loses in firing. [-]
    """

    wall_mm: float | None = None
    minutes: float | None = None
    test_wall_mm: float | None = None
    test_min: float | None = None
    pour_mm: float | None = None
    liter_weight_g_per_l: float | None = None
    loss_on_ignition: float | None = None


@dataclass(frozen=True, slots=True)
class MoldWish:
    """What the maker says of the mold.

    Parameters
    ----------
    is_asked : bool
        Whether to tell how it comes off at all.
    parting : str or None
        The way to part it; None lets the fewest parts that do be found.
    heading_deg : float or None
        Which way the first side is pulled, from the x axis toward the y axis. [degree]
    folder : Path or None
        Where the mold's parts are written; None makes none.
    plaster_mm : float
        Plaster around the piece. [mm]
    spare_mm : float
        How high the spare is. [mm]
    round_mm : float
        Radius of the block's upright edges. [mm]
    consistency : float
        Parts of water to 100 of plaster. [-]
    masters : bool
        Whether the forms of the masters are written too.
    rubber_kg_per_l : float or None
        Density of the rubber, from its data sheet. [kg/l]
    printer_mm : (float, float, float) or None
        What the printer prints: width, depth and height. [mm]
    order : tuple of str
        The parts' names as they are to come off; empty leaves it to the mold.
    part_count : int or None
        How many parts are wanted; None takes the fewest that do.
    no_seams : tuple of NoSeam
        Places that no seam may run across.
    """

    is_asked: bool = False
    parting: Parting | None = None
    heading_deg: float | None = None
    folder: Path | None = None
    plaster_mm: float = PLASTER_MM
    spare_mm: float = SPARE_MM
    round_mm: float = ROUND_MM
    consistency: float = 70.0
    masters: bool = False
    rubber_kg_per_l: float | None = None
    printer_mm: Place | None = None
    order: tuple[str, ...] = ()
    part_count: int | None = None
    no_seams: tuple[NoSeam, ...] = ()


def shape_of(
    path: Path, wish: Wish, cast: CastWish, mold: MoldWish | None = None, watch: Watch = unwatched
) -> Shape:
    """Return all that is told of a model.

    Parameters
    ----------
    path : Path
        The model's file.
    wish : Wish
        What the maker says of the model.
    cast : CastWish
        What the maker says of the cast; without a wall or minutes, none is worked out.
    mold : MoldWish, optional
        What the maker says of the mold; without it, how it comes off is not worked out.
    watch : callable
        Told how much is done.

    Raises
    ------
    StudioError
        If the model or what is told of the cast cannot be used.
    """
    rate = _rate(cast)
    wall_mm = _wall_mm(cast, rate)
    mold = mold or MoldWish()
    looked = look_at(path, wish, lambda done: watch(done / 3))
    wall, clay = None, None
    if wall_mm is not None:
        wall = cast_wall(
            looked.outside, wall_mm, cast.pour_mm, watch=lambda done: watch((1 + done) / 3)
        )
        clay = _clay(wall, cast, rate, wish.shrinkage)
    shape = Shape(looked.look, wall, clay)
    if mold.is_asked or mold.folder is not None:
        shape = _with_mold(shape, looked, mold, cast.pour_mm, lambda done: watch((2 + done) / 3))
    return shape


def _with_mold(
    shape: Shape, looked: Looked, mold: MoldWish, pour_mm: float | None, watch: Watch
) -> Shape:
    """Return what is told of a shape with how its mold comes off, and write its parts if asked."""
    release = release_of(
        looked.outside,
        mold.parting,
        mold.heading_deg,
        pour_mm,
        lambda done: watch(done / 2),
        parts=mold.part_count,
        no_seams=mold.no_seams,
    )
    shape = msgspec.structs.replace(shape, release=release)
    if mold.folder is None:
        return shape
    stem = Path(looked.look.file).stem
    is_open = opening_of(looked.outside, pour_mm)[0]
    if release.bound is not None:
        # before the mold, which may not be made at all
        pulls = np.array(release.bound.pulls)
        name = mold.folder / f"{stem}-any-direction.png"
        write_whole(name, _from_three_sides(looked.outside, pulls, is_open))
    made = mold_of(
        looked.outside,
        release.chosen,
        pour_mm,
        mold.plaster_mm,
        mold.spare_mm,
        mold.round_mm,
        order=mold.order,
        watch=lambda done: watch((1 + done) / 2),
    )
    names = _write(made, mold.folder, stem)
    view = _draw(made, looked.outside, is_open, shape.wall, mold.folder, stem)
    plaster = Plaster("plaster", mold.consistency, "as told")
    parts = tuple(
        _part(name, one.volume_l, plaster) for name, one in zip(names, made.told.parts, strict=True)
    )
    masters = _masters(made, mold, names) if mold.masters else ()
    shape = msgspec.structs.replace(shape, mold=made.told, parts=parts, masters=masters, view=view)
    told = msgspec.json.format(msgspec.json.encode(shape), indent=2)
    write_whole(mold.folder / f"{stem}-shape.json", told)
    return shape


def _write(made: MoldOfPiece, folder: Path, stem: str) -> list[str]:
    """Write each part as STL and all as one 3MF, and return the names of the STLs."""
    bodies = {one.name: body for one, body in zip(made.told.parts, made.bodies, strict=True)}
    names = [f"{stem}-{name.replace(' ', '-')}.stl" for name in bodies]
    for name, body in zip(names, bodies.values(), strict=True):
        write_whole(folder / name, stl_bytes(body))
    write_whole(folder / f"{stem}-all-parts.3mf", three_mf_bytes(bodies))
    return names


def _draw(
    made: MoldOfPiece, piece: Mesh, is_open: BoolArray, wall: Wall | None, folder: Path, stem: str
) -> View:
    """Write the piece from three sides, the mold opened, and both as a model that a page turns."""
    pulls = np.array([one.pull for one in made.told.parts])
    sides = _from_three_sides(piece, pulls, is_open)
    parts = [(body, one.pull) for one, body in zip(made.told.parts, made.bodies, strict=True)]
    model, bodies = view_of(piece, is_open, parts, wall)

    def written(name: str, data: bytes) -> Written:
        write_whole(folder / name, data)
        return Written(name, sha256(data).hexdigest())

    return View(
        three_sides=written(f"{stem}-three-sides.png", sides),
        opened=written(f"{stem}-opened.png", png_bytes(opened(parts, piece, VIEW_DOTS))),
        model=written(f"{stem}-view.bin", model),
        bodies=bodies,
    )


def _from_three_sides(piece: Mesh, pulls: FloatArray, is_open: BoolArray) -> bytes:
    """Return the piece from three sides as PNG, colored by how it comes off along some pulls."""
    painted = by_draft(piece, pulls, reached(piece, pulls), is_open)
    return png_bytes(from_three_sides(painted, VIEW_DOTS))


def _masters(made: MoldOfPiece, mold: MoldWish, names: list[str]) -> tuple[Master, ...]:
    """Write the form of each part's master beside its part, and return what is told of them."""
    told = []
    for one, body, part_file in zip(made.told.parts, made.bodies, names, strict=True):
        form = master_form(body, one.pull)
        name = part_file.replace(".stl", "-master-form.stl")
        if mold.folder is not None:
            write_whole(mold.folder / name, stl_bytes(form.body))
        density, printer = mold.rubber_kg_per_l, mold.printer_mm
        kg = None if density is None else float(rubber_mass(form.rubber_l, density))
        fits = None if printer is None else fits_printer(form.size_mm, printer)
        told.append(Master(one.name, name, form.size_mm, form.rubber_l, kg, fits))
    return tuple(told)


def _part(file: str, volume_l: float, plaster: Plaster) -> PartMass:
    batch = batch_for_volume(volume_l, plaster)
    return PartMass(
        file=file,
        plaster_kg=float(batch.plaster_kg),
        water_kg=float(batch.water_kg),
        wet_kg=float(wet_density(plaster) * volume_l),
        dry_kg=float(dry_density(plaster) * volume_l),
    )


def _rate(cast: CastWish) -> float | None:
    """Return the casting rate of the test cast, None if there was none. [mm2/min]"""
    if cast.test_wall_mm is None and cast.test_min is None:
        return None
    if cast.test_wall_mm is None:
        raise BadInput.one("--test-wall", None, 'give the wall of the test cast, such as "4 mm"')
    if cast.test_min is None:
        raise BadInput.one("--test-minutes", None, 'give how long it stood, such as "8 min"')
    return float(casting_rate(cast.test_wall_mm, cast.test_min))


def _wall_mm(cast: CastWish, rate: float | None) -> float | None:
    """Return the wall that is wanted, or that grows in the minutes; None if neither is told. [mm]"""
    if cast.wall_mm is not None or cast.minutes is None:
        return cast.wall_mm
    if rate is None:
        right = "give a test cast, --test-wall and --test-minutes, so that minutes tell a wall"
        raise BadInput.one("the test cast", None, right)
    # the radius counts for nothing on a flat face
    return float(wall_on_shape_mm("flat", cast.minutes, rate, 1.0))


def _clay(wall: Wall, cast: CastWish, rate: float | None, shrinkage: float | None) -> Clay:
    """Return what the clay of a wall weighs, and how long it and its solid places take."""
    wet_kg = wall.kept_l * liter_weight_of_water_fraction(CAST_MOISTURE, SOLIDS_KG_PER_L) / 1000
    dry_kg = wet_kg * (1 - CAST_MOISTURE)
    loss = cast.loss_on_ignition
    weight = cast.liter_weight_g_per_l
    times = (
        ()
        if rate is None
        else tuple(float(casting_minutes(one.deepest_mm, rate)) for one in wall.solids)
    )
    return Clay(
        wet_kg=float(wet_kg),
        dry_kg=float(dry_kg),
        fired_kg=None if loss is None else float(fired_mass_kg(dry_kg, loss)),
        top_up_l=None if weight is None else float(water_balance(wall.kept_l, weight).top_up_l),
        minutes=None if rate is None else float(casting_minutes(wall.wall_mm, rate)),
        solid_min=times,
        fired_capacity_l=None if shrinkage is None else wall.capacity_l * (1 - shrinkage) ** 3,
    )
