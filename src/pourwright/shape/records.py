"""What is told of a shape, as records: in the terminal, as JSON, and to other rooms."""

from __future__ import annotations

from typing import Literal, TypeAlias

import msgspec

from pourwright.shape.mesh import Place

Up: TypeAlias = Literal["x", "-x", "y", "-y", "z", "-z"]
"""Which axis of a model points up."""

FaultKind: TypeAlias = Literal[
    "no thickness",
    "doubled",
    "seam",
    "crowded edge",
    "turned",
    "opening",
    "inside out",
    "hollow inside",
    "crumb",
    "overlap",
]
"""What can be wrong with a surface; FAULTS says what each means."""

FAULTS: dict[FaultKind, str] = {
    "no thickness": "a triangle that has shrunk to a line",
    "doubled": "a triangle that lies on another",
    "seam": "edges that lie side by side without being joined",
    "crowded edge": "an edge at which more than two triangles meet",
    "turned": "a triangle whose inside faces out",
    "opening": "an opening in the surface",
    "inside out": "a body whose inside faces out",
    "hollow inside": "a closed hollow that no slip reaches",
    "crumb": "a loose crumb beside the piece",
    "overlap": "a surface that runs through itself or another body",
}
"""Each kind in a maker's words."""


class Fault(msgspec.Struct, frozen=True):
    """Something wrong with a model's surface, and what was done about it.

    Parameters
    ----------
    kind : str
        Which fault; see FAULTS.
    count : int
        How many there are.
    at_mm : (float, float, float)
        Where the worst of them is, on the model as it was read. [mm]
    size_mm : float
        How long its edge is, or how long the thing is; 0 where that says nothing. [mm]
    mended : str
        What was done about all of them.
    """

    kind: FaultKind
    count: int
    at_mm: Place
    size_mm: float
    mended: str


class Body(msgspec.Struct, frozen=True):
    """The closed body that is left once the model is healed: what the mold is made around.

    Parameters
    ----------
    triangles : int
        How many it has.
    size_mm : (float, float, float)
        Along x, y and z, at the size of the mold. [mm]
    fired_size_mm : (float, float, float) or None
        The same once fired; None where no shrinkage was told. [mm]
    volume_l : float
        What it encloses, at the size of the mold. [l]
    area_m2 : float
        Its whole surface, at the size of the mold. [m2]
    """

    triangles: int
    size_mm: Place
    fired_size_mm: Place | None
    volume_l: float
    area_m2: float


class Void(msgspec.Struct, frozen=True):
    """The inside of a model that is drawn as a hollow vessel.

    Parameters
    ----------
    capacity_l : float
        What it holds when brimful, as drawn. [l]
    fired_capacity_l : float or None
        The same once fired; None where no shrinkage was told. [l]
    brim_mm : float
        How high the brim is above the model's lowest point. [mm]
    clay_l : float
        The clay as it is drawn: the outside less the inside. [l]
    """

    capacity_l: float
    fired_capacity_l: float | None
    brim_mm: float
    clay_l: float


class Look(msgspec.Struct, frozen=True):
    """A model as it was read and healed.

    Parameters
    ----------
    file : str
        Its name without the folder.
    sha256 : str
        Of the file's bytes.
    kind : str
        STL, OBJ, PLY, 3MF or GLB.
    unit : str
        What its lengths are in.
    unit_from : {"told", "file", "size"}
        Who says so: the maker, the file, or that no other unit gives a believable size.
    up : {"x", "-x", "y", "-y", "z", "-z"}
        The model's axis that points to where slip is poured in.
    shows : {"mold", "fired"}
        Which size the model is drawn at.
    shrinkage : float or None
        From the mold to the fired piece, of the length; None if it was not told. [-]
    triangles : int
        In the file.
    faults : tuple of Fault
        What was wrong with it and how it was mended; empty for a sound one.
    body : Body
        What is left.
    void : Void or None
        Its inside, where the model is drawn as a hollow vessel.
    """

    file: str
    sha256: str
    kind: str
    unit: str
    unit_from: Literal["told", "file", "size"]
    up: Up
    shows: Literal["mold", "fired"]
    shrinkage: float | None
    triangles: int
    faults: tuple[Fault, ...]
    body: Body
    void: Void | None


class Opening(msgspec.Struct, frozen=True):
    """The level face that slip is poured through.

    Parameters
    ----------
    height_mm : float
        Above the lowest point of the piece. [mm]
    area_m2 : float
        How large it is. [m2]
    """

    height_mm: float
    area_m2: float


Why: TypeAlias = Literal["pocket", "narrow", "sealed"]
"""Why slip stays."""


class Stays(msgspec.Struct, frozen=True):
    """A place where slip stays when the mold is turned over.

    Parameters
    ----------
    why : {"pocket", "narrow", "sealed"}
        It would have to run upward; its passage is too narrow; clay has closed it.
    volume_l : float
        How much. [l]
    at_mm : (float, float, float)
        Where, at the size of the mold, from the model's own origin, its lowest point at height 0. [mm]
    """

    why: Why
    volume_l: float
    at_mm: Place


class SolidPlace(msgspec.Struct, frozen=True):
    """A place where the clay from both sides meets.

    Parameters
    ----------
    volume_l : float
        How much of the cast is farther from slip than the wall is thick. [l]
    at_mm : (float, float, float)
        Where, as for what stays. [mm]
    deepest_mm : float
        How deep its middle is below the plaster: the wall at which it has closed. [mm]
    """

    volume_l: float
    at_mm: Place
    deepest_mm: float


class Wall(msgspec.Struct, frozen=True):
    """What a wall of some thickness comes to, at the size of the mold, without the spare.

    Parameters
    ----------
    wall_mm : float
        The wall. [mm]
    opening : Opening or None
        Where slip is poured in; None if no level face is at the top, and nothing can drain.
    fill_l : float
        What fills the mold up to the opening. [l]
    kept_l : float
        The fresh cast: clay with its water. [l]
    drained_l : float
        Slip that runs out. [l]
    capacity_l : float
        What the cast holds up to the opening. [l]
    stays : tuple of Stays
        Slip that does not run out, the most first.
    solids : tuple of SolidPlace
        Places that cast solid, the largest first.
    cell_mm : float
        How fine it was counted. [mm]
    """

    wall_mm: float
    opening: Opening | None
    fill_l: float
    kept_l: float
    drained_l: float
    capacity_l: float
    stays: tuple[Stays, ...]
    solids: tuple[SolidPlace, ...]
    cell_mm: float


class Clay(msgspec.Struct, frozen=True):
    """The clay of one cast, weighed by the laws of the workshop.

    Parameters
    ----------
    wet_kg : float
        The fresh cast. [kg]
    dry_kg : float
        Bone dry. [kg]
    fired_kg : float or None
        Fired; None where no loss in firing was told. [kg]
    top_up_l : float or None
        Slip to top up while it casts; None where no liter weight was told. [l]
    minutes : float or None
        How long it casts; None where no test cast was told. [min]
    solid_min : tuple of float
        When each place that casts solid has closed, in the order of the wall's; empty where
        no test cast was told. [min]
    fired_capacity_l : float or None
        What the piece holds once fired; None where no shrinkage was told. [l]
    """

    wet_kg: float
    dry_kg: float
    fired_kg: float | None
    top_up_l: float | None
    minutes: float | None
    solid_min: tuple[float, ...]
    fired_capacity_l: float | None


Parting: TypeAlias = Literal[
    "drop-out",
    "halves",
    "halves and base",
    "halves and top",
    "halves, base and top",
    "three sides",
    "three sides and base",
    "four sides",
    "four sides and base",
]
"""How studios part a mold, the fewest parts first within each kind."""


class Pulls(msgspec.Struct, frozen=True):
    """One way to part a mold: which way each part is pulled, and how much of the face they reach.

    Parameters
    ----------
    parting : str
        Its kind.
    parts : int
        How many there are.
    heading_deg : float or None
        Which way the first is pulled, from the x axis toward the y axis, level; None for a
        mold that drops out downward. [degree]
    plane_mm : float or None
        For two sides: how far the plane between them is from the model's own origin, along
        the heading; None for others. [mm]
    axis_mm : (float, float) or None
        For three and four sides: x and y of the upright line in which the planes between them
        meet; None for others. [mm]
    trimmed_l : float
        Plaster that is left where it cannot come off, to be cut away, where slip then makes a
        fin. [l]
    undercut_m2 : float
        The face that no part reaches: it would tear, or hold. [m2]
    reached : float
        The face that some part reaches, of all that touches plaster. [-]
    sides_deg, seams_deg : tuple of float
        For sides of unequal width: which way each is pulled, and in which direction the plane
        between it and the next runs from the line in which they meet; empty where all are
        equally wide. [degree]
    """

    parting: Parting
    parts: int
    heading_deg: float | None
    plane_mm: float | None
    axis_mm: tuple[float, float] | None
    trimmed_l: float
    undercut_m2: float
    reached: float
    sides_deg: tuple[float, ...] = ()
    seams_deg: tuple[float, ...] = ()
    is_curved: bool = False


class Undercut(msgspec.Struct, frozen=True):
    """A place that no part of the mold reaches.

    Parameters
    ----------
    area_m2 : float
        How large. [m2]
    at_mm : (float, float, float)
        Where, at the size of the mold, from the model's own origin, its lowest point at height 0. [mm]
    """

    area_m2: float
    at_mm: Place


class Draft(msgspec.Struct, frozen=True):
    """How much of the face leans how far away from the pull.

    Parameters
    ----------
    under_1_deg, under_3_deg : float
        The share of the face that is reached and leans less than so far. [-]
    """

    under_1_deg: float
    under_3_deg: float


class AnyPulls(msgspec.Struct, frozen=True):
    """How much of the face so many pulls reach at most, if each may go in any direction at all.

    Parameters
    ----------
    parts : int
        How many pulls.
    reached : float
        Of all that touches plaster. [-]
    pulls : tuple of (float, float, float)
        The pulls, each of length 1. [-]
    held : tuple of Undercut
        What they do not reach, the largest first; crumbs are left out.
    """

    parts: int
    reached: float
    pulls: tuple[Place, ...]
    held: tuple[Undercut, ...] = ()


class Release(msgspec.Struct, frozen=True):
    """How a mold around the piece can be pulled off it.

    Parameters
    ----------
    face_m2 : float
        The face that touches plaster. [m2]
    tried : tuple of Pulls
        Each way to part it, at its best heading or at the one told.
    chosen : Pulls
        The one with the fewest parts that reaches all, or that reaches most; or the one told.
    undercuts : tuple of Undercut
        What it does not reach, the largest first; crumbs are left out.
    draft : Draft
        How steep what it reaches is.
    any_pulls : tuple of AnyPulls
        Where no way to part does: what so many parts reach at most, pulled in any direction.
    """

    face_m2: float
    tried: tuple[Pulls, ...]
    chosen: Pulls
    undercuts: tuple[Undercut, ...]
    draft: Draft
    any_pulls: tuple[AnyPulls, ...] = ()

    @property
    def bound(self) -> AnyPulls | None:
        """What as many parts as were chosen reach at most, None where that was not looked for."""
        known = [one for one in self.any_pulls if one.parts <= self.chosen.parts]
        return known[-1] if known else None


class MoldPart(msgspec.Struct, frozen=True):
    """One part of a mold.

    Parameters
    ----------
    name : str
        Such as half 1, side 3, base.
    pull : (float, float, float)
        Which way it is pulled off, of length 1. [-]
    heading_deg : float or None
        The same as for the pulls; None if it is pulled up or down. [degree]
    volume_l : float
        Its plaster. [l]
    thinnest_mm : float
        How thick its plaster is behind the piece where it is thinnest. [mm]
    thinnest_at_mm : (float, float, float)
        Where, as for undercuts. [mm]
    sharp_mm : float
        How much of its edges along the piece is sharper than 45 degrees, and chips. [mm]
    drags_m2 : float
        How much of its face leans less than 1 degree away from its pull. [m2]
    deep_mm : float
        How far its face reaches along its pull. [mm]
    """

    name: str
    pull: Place
    heading_deg: float | None
    volume_l: float
    thinnest_mm: float
    thinnest_at_mm: Place
    sharp_mm: float
    drags_m2: float
    deep_mm: float = 0.0


LEAST_DRAGS_M2 = 1e-5
"""Ten square millimeters of a face that drag are not felt. Our own choice. [m2]"""


class Natch(msgspec.Struct, frozen=True):
    """A natch.

    Parameters
    ----------
    at_mm : (float, float, float)
        Where it stands, as for undercuts. [mm]
    on, into : str
        The part that carries it, and the one that has its hollow.
    """

    at_mm: Place
    on: str
    into: str


class SeamLine(msgspec.Struct, frozen=True):
    """Where two parts meet on the piece: each cast has a line there that is fettled.

    Parameters
    ----------
    between : (str, str)
        The two parts.
    length_mm : float
        How long it is on the piece; the spare's is left out. [mm]
    """

    between: tuple[str, str]
    length_mm: float


class Air(msgspec.Struct, frozen=True):
    """A place where air stays while the mold is filled.

    Parameters
    ----------
    at_mm : (float, float, float)
        Its highest point, as for undercuts. [mm]
    deep_mm : float
        How far it reaches down before a way leads up from it. [mm]
    lean_deg : float or None
        How far the mold is leaned to let it out; None where leaning does not help. [degree]
    toward_deg : float or None
        Which side of the mold then goes down, from the x axis toward the y axis. [degree]
    """

    at_mm: Place
    deep_mm: float
    lean_deg: float | None = None
    toward_deg: float | None = None


class Mold(msgspec.Struct, frozen=True):
    """A mold as bodies.

    Parameters
    ----------
    parts : tuple of MoldPart
        In the order in which they come off.
    block_mm : (float, float, float)
        The block they make together: along the first side's pull, across it, and its height. [mm]
    block_l : float
        What the block encloses, the piece in it; what bevels and strap grooves take is taken off. [l]
    natches : tuple of Natch
        Those of all seams.
    cut_l : float
        Plaster that was shut in behind the piece and is cut away. [l]
    crumbs_l : float
        Loose plaster that is left out. [l]
    overlap_l : float
        How much of the parts lies where the way out is not free: nothing but what numbers
        are rounded by. [l]
    fill_l : float
        Slip that fills the piece and its spare. [l]
    air : tuple of Air
        Where air stays while it is filled, the deepest first.
    seams : tuple of SeamLine
        Each two parts that meet on the piece.
    vents : tuple of (float, float, float)
        Where a vent leads up from the piece to the face to pour at, as for undercuts. [mm]
    """

    parts: tuple[MoldPart, ...]
    block_mm: Place
    block_l: float
    natches: tuple[Natch, ...]
    cut_l: float
    crumbs_l: float
    overlap_l: float
    fill_l: float
    air: tuple[Air, ...] = ()
    seams: tuple[SeamLine, ...] = ()
    vents: tuple[Place, ...] = ()

    @property
    def hardest(self) -> tuple[MoldPart, ...]:
        """The parts that pull hardest: most of their face drags, or if none does, the deepest.

        More than one where they are alike within a twentieth.
        """
        drags = max(one.drags_m2 for one in self.parts) >= LEAST_DRAGS_M2

        def hard(one: MoldPart) -> float:
            return one.drags_m2 if drags else one.deep_mm

        most = max(hard(one) for one in self.parts)
        return tuple(one for one in self.parts if hard(one) >= 0.95 * most)


class PartMass(msgspec.Struct, frozen=True):
    """The plaster of one part, by the laws of the workshop.

    Parameters
    ----------
    file : str
        The STL's name in the folder told.
    plaster_kg, water_kg : float
        To weigh for it, nothing added. [kg]
    wet_kg, dry_kg : float
        The part as it is opened, and once it is dry. [kg]
    """

    file: str
    plaster_kg: float
    water_kg: float
    wet_kg: float
    dry_kg: float


class Master(msgspec.Struct, frozen=True):
    """The form of a part's master, to be printed and filled with rubber.

    Parameters
    ----------
    part : str
        The part that is poured in the master.
    file : str
        The STL's name in the folder told.
    size_mm : (float, float, float)
        Width, depth and height of the form. [mm]
    rubber_l : float
        Rubber that fills it level. [l]
    rubber_kg : float or None
        The same; None where no density was told. [kg]
    fits : bool or None
        Whether the printer can print it in one; None where none was told.
    """

    part: str
    file: str
    size_mm: Place
    rubber_l: float
    rubber_kg: float | None
    fits: bool | None


MOST_VIEWED = 100_000
"""Triangles that a page draws at most."""


class Written(msgspec.Struct, frozen=True):
    """A file written beside the shape's own.

    Parameters
    ----------
    name : str
        Its name in the folder told.
    sha256 : str
        Of its bytes.
    """

    name: str
    sha256: str


class View(msgspec.Struct, frozen=True):
    """The pictures of a mold, and the model of it that a page turns.

    Parameters
    ----------
    three_sides, opened : Written
        The piece from three sides, and the mold opened, as PNG.
    model : Written
        The piece and the parts as a page reads them.
    bodies : tuple of (int, int)
        How many corners and triangles the piece has in it, then each part as it comes off.
    """

    three_sides: Written
    opened: Written
    model: Written
    bodies: tuple[tuple[int, int], ...]


class Shape(msgspec.Struct, frozen=True):
    """All that is told of a model.

    Parameters
    ----------
    look : Look
        How it was read and healed, and its size.
    wall : Wall or None
        What a wall comes to; None where none was told.
    clay : Clay or None
        The clay of it, weighed; None where there is no wall.
    release : Release or None
        How a mold comes off; None where it was not asked.
    mold : Mold or None
        Its parts as bodies; None where they were not asked.
    parts : tuple of PartMass
        Their plaster, in the order of the mold's parts.
    masters : tuple of Master
        The forms of their masters, in the same order; empty where they were not asked.
    view : View or None
        The pictures that were written; None where no parts were.
    """

    look: Look
    wall: Wall | None = None
    clay: Clay | None = None
    release: Release | None = None
    mold: Mold | None = None
    parts: tuple[PartMass, ...] = ()
    masters: tuple[Master, ...] = ()
    view: View | None = None
