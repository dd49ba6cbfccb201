"""Molds as bodies: they tile the block, they open in their order, and their files are closed."""

import io
import struct
from functools import cache
from hashlib import sha256

import manifold3d
import msgspec
import numpy as np
import pytest
import trimesh
from pytest import approx

from pourwright.cli.main import run
from pourwright.errors import BadInput, NotDoable, OutOfRange
from pourwright.materials.plaster.mix import Plaster, batch_for_volume
from pourwright.report.blocks import Caution
from pourwright.report.shape import _parts, shape_sections
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh
from pourwright.shape.mold import MoldOfPiece, mold_of
from pourwright.shape.records import PartMass, Pulls, Shape
from pourwright.shape.release import WAYS, release_of
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.stl_file import reads_back_closed, stl_bytes
from pourwright.shape.three_mf_file import three_mf_bytes
from tests.shape.models import cup, joined, ply, revolved, sphere
from tests.shape.test_release import gaps_l, handled, slotted_three_ways

pytestmark = pytest.mark.usefixtures("in_this_process")

HEIGHT_MM, WIDTH_MM = 1e-3, 1e-3
"""Facets that are no more than so far past each other, or share no more than so wide a strip, touch."""


# --- a scorer: pairs of facets that overlap as seen along the pull, and which is ahead


def clipped(polygon: np.ndarray, triangle: np.ndarray) -> np.ndarray:
    """Return what of a polygon lies in a triangle, both flat, by cutting along its sides."""
    first, second = triangle[1] - triangle[0], triangle[2] - triangle[0]
    if first[0] * second[1] - first[1] * second[0] < 0:
        triangle = triangle[::-1]
    for number in range(3):
        begin, along = triangle[number], triangle[(number + 1) % 3] - triangle[number]
        made: list[np.ndarray] = []
        for at in range(len(polygon)):
            here, ahead = polygon[at], polygon[(at + 1) % len(polygon)]
            sides = [
                along[0] * (one - begin)[1] - along[1] * (one - begin)[0] for one in (here, ahead)
            ]
            if sides[0] >= 0:
                made.append(here)
            if sides[0] * sides[1] < 0:
                made.append(here + (ahead - here) * sides[0] / (sides[0] - sides[1]))
        polygon = np.array(made)
        if len(polygon) < 3:
            return np.zeros((0, 2))
    return polygon


def width(polygon: np.ndarray) -> float:
    """Return how wide a flat polygon is for its length."""
    x, y = (polygon - polygon[0]).T
    area = abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2
    return area / max(np.ptp(polygon, axis=0).max(), 1e-12)


def heights(triangle: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Return the height of a triangle's plane over points; a row is (across, across, height)."""
    solved = np.linalg.solve(np.column_stack([triangle[:, :2], np.ones(3)]), triangle[:, 2])
    return points @ solved[:2] + solved[2]


def blocking_pairs(part: Mesh, obstacle: Mesh, pull: tuple[float, float, float]) -> int:
    """Return how many facets of an obstacle stand in the way of facets of a part."""
    along = np.array(pull) / np.linalg.norm(pull)
    aside = np.cross(along, [1.0, 0, 0] if abs(along[0]) < 0.9 else [0, 1.0, 0])
    aside /= np.linalg.norm(aside)
    frame = np.array([aside, np.cross(along, aside), along])
    leading = part.corners_mm[part.normals @ frame[2] > 1e-6] @ frame.T
    facing = obstacle.corners_mm[obstacle.normals @ frame[2] < -1e-6] @ frame.T
    count = 0
    for one in leading:
        ahead = facing[:, :, 2].max(axis=1) > one[:, 2].min() + HEIGHT_MM
        beside = (facing[:, :, :2].max(axis=1) > one[:, :2].min(axis=0)).all(axis=1)
        beside &= (facing[:, :, :2].min(axis=1) < one[:, :2].max(axis=0)).all(axis=1)
        for other in facing[ahead & beside]:
            shared = clipped(one[:, :2], other[:, :2])
            if len(shared) and width(shared) > WIDTH_MM:
                count += bool((heights(other, shared) - heights(one, shared)).max() > HEIGHT_MM)
    return count


def blocked(made: MoldOfPiece, body: Mesh) -> list[str]:
    """Return which parts something stands in the way of: the piece, or a part that comes off later."""
    found = []
    for number, (one, part) in enumerate(zip(made.told.parts, made.bodies, strict=True)):
        standing = {"the piece": body} | {
            other.name: later
            for other, later in zip(
                made.told.parts[number + 1 :], made.bodies[number + 1 :], strict=True
            )
        }
        found += [
            f"{name} blocks {one.name}"
            for name, obstacle in standing.items()
            if blocking_pairs(part, obstacle, one.pull)
        ]
    return found


def read_back(data: bytes) -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(data), file_type="stl")


def parted(parting: str, heading: float | None = None) -> Pulls:
    """Return how a piece is parted whose sides meet in the z axis."""
    way = WAYS[parting]
    plane, axis = (0.0 if way.sides == 2 else None), ((0.0, 0.0) if way.sides > 2 else None)
    return Pulls(parting, way.parts, heading, plane, axis, 0.0, 0.0, 1.0)


# --- small pieces, one for each way to part


def galleried() -> Mesh:
    """A jar with a recess 5 mm deep in its rim, whose floor is poured at."""
    outline = [(0, 0), (28, 0), (36, 25), (33, 50), (29, 50), (28.7, 45), (0, 45)]
    return revolved(outline, 32)


def footed() -> Mesh:
    """A pot that stands on a ring, with a recess 4 mm deep under its foot."""
    return revolved([(0, 4), (20, 4), (20, 0), (30, 0), (33, 30), (30, 70), (0, 70)], 32)


def square() -> Mesh:
    """A tapered square pot that stands on its foot."""
    foot = manifold3d.CrossSection.square((50, 50), True)
    return mesh_of(manifold3d.Manifold.extrude(foot, 60, scale_top=(1.3, 1.3)))


PIECES = {
    "drop-out": (lambda: cup(32), None, 0),
    "halves": (handled, 90.0, 1),
    "halves and base": (footed, 0.0, 3),
    "halves and top": (galleried, 0.0, 3),
    "halves, base and top": (galleried, 0.0, 5),
    "three sides": (lambda: cup(32), 0.0, 3),
    "three sides and base": (footed, 0.0, 6),
    "four sides": (square, 0.0, 4),
    "four sides and base": (footed, 0.0, 8),
}
"""Each way to part with a piece that it opens, the first pull, and how many seams it has."""


@cache
def made_as(parting: str) -> tuple[Mesh, MoldOfPiece]:
    """Return a piece and its mold, parted so."""
    make, heading, _ = PIECES[parting]
    body = make()
    return body, mold_of(body, parted(parting, heading))


SLOW = {"halves, base and top", "three sides and base", "four sides", "four sides and base"}
"""What they do is done one by one in the others."""


@pytest.mark.parametrize(
    "parting",
    [pytest.param(one, marks=pytest.mark.whole) if one in SLOW else one for one in PIECES],
)
def test_a_mold_opens_and_is_closed_and_held(parting):
    """By every pair of facets in the order told; every file by another reader; a natch in every seam."""
    body, made = made_as(parting)
    told, seams = made.told, PIECES[parting][2]

    assert blocked(made, body) == []
    assert told.overlap_l < 1e-9
    assert told.cut_l + told.crumbs_l < 1e-5
    assert len({(one.on, one.into) for one in told.natches}) == seams
    for one, part in zip(made.bodies, told.parts, strict=True):
        read = read_back(stl_bytes(one))
        assert read.is_watertight
        assert read.is_winding_consistent
        assert read.volume / 1e6 == approx(part.volume_l, rel=1e-6)


@pytest.mark.parametrize("parting", ["drop-out", "halves and top", "three sides and base"])
def test_the_parts_and_the_piece_tile_the_block(parting):
    """Before natches and beveled seams; the block by its box, less bevels and strap grooves."""
    make, heading, _ = PIECES[parting]
    body = make()
    told = mold_of(body, parted(parting, heading), fittings=False).told
    together = sum(one.volume_l for one in told.parts)

    assert told.natches == ()
    assert together + told.fill_l + told.cut_l + told.crumbs_l == approx(told.block_l, rel=1e-6)
    box_l = float(np.prod(told.block_mm)) / 1e6
    assert 0.72 * box_l < told.block_l < box_l


def test_a_block_is_as_large_as_its_edges_leave_it():
    """A cup's block of 148 x 148 mm: four upright edges of 30 mm radius, each less (1 - pi/4) r^2."""
    body = cup(96)
    pulls = parted("drop-out")
    sharp, round_ = (mold_of(body, pulls, round_mm=one, fittings=False).told for one in (1, 30))
    less = (4 - np.pi) * (30**2 - 1**2) * sharp.block_mm[2] / 1e6

    # the bevels along the level edges are shorter too, by some 2 %
    assert sharp.block_l - round_.block_l == approx(less, rel=0.03)


@pytest.mark.whole
def test_sides_of_unequal_width_open_and_are_held():
    body = slotted_three_ways()
    made = mold_of(body, release_of(body).chosen)

    assert [one.heading_deg for one in made.told.parts] == [0, 90, 200]
    assert made.told.cut_l + made.told.crumbs_l == 0
    assert len({(one.on, one.into) for one in made.told.natches}) == 3
    assert blocked(made, body) == []
    assert all(reads_back_closed(one) for one in made.bodies)


# --- a mug


@pytest.fixture(scope="module")
def mug():
    return handled(), parted("halves", 90.0)


@pytest.fixture(scope="module")
def whole():
    return made_as("halves")[1]


def test_natches_stand_on_one_half_and_have_room_in_the_other(mug, whole):
    """Caps of balls; the seam's bevel takes the same from both halves."""
    first, second = (one.volume_l for one in whole.told.parts)
    deep = 6 * np.tan(np.radians(60.5) / 2)
    ball = (6**2 + deep**2) / (2 * deep)
    cap_l = np.pi * deep**2 * (3 * ball - deep) / 3 / 1e6
    wider = 6.15 * np.tan(np.radians(60.5) / 2)
    hollow_l = cap_l * (wider / deep) ** 3

    assert len(whole.told.natches) == 3
    assert all(one.at_mm[1] == approx(mug[1].plane_mm, abs=0.01) for one in whole.told.natches)
    assert all((one.on, one.into) == ("half 1", "half 2") for one in whole.told.natches)
    assert first - second == approx(3 * (cap_l + hollow_l), rel=0.02)


def test_what_is_shut_in_is_cut_away_and_then_it_opens():
    """
    Pulled along the handle's own plane, plaster in the handle is shut in until it is cut away.
    A low spare, because the lines go through the piece alone; 0.02 mm around it adds 0.7 %.
    """
    body = handled()
    made = mold_of(body, parted("halves", 0.0), spare_mm=5)
    side = manifold3d.Manifold.cube((200, 200, 95)).translate((0, -100, -25))
    uncut = mesh_of(side - solid_of(body))

    assert made.told.cut_l == approx(gaps_l(body, 0.0, 0.0, 1.0), rel=0.02)
    assert made.told.cut_l > 1e-3
    assert blocking_pairs(uncut, body, (1, 0, 0)) > 0
    assert blocked(made, body) == []


def test_the_wall_of_a_recess_makes_the_base_pull_hardest():
    """It stands upright, 4 mm high and 20 mm from the axis; the halves lean at least 2 degrees."""
    told = made_as("halves and base")[1].told
    (base,) = told.hardest

    assert base.name == "base"
    assert base.drags_m2 * 1e6 == approx(2 * np.pi * 20 * 4, rel=0.01)


def test_the_deepest_part_pulls_hardest_where_none_drags():
    """A square pot of 60 mm that leans 7 degrees all round, and its spare of 25 mm."""
    told = mold_of(square(), parted("drop-out"), fittings=False).told

    assert told.hardest == told.parts
    assert told.parts[0].drags_m2 == 0
    assert told.parts[0].deep_mm == approx(60 + 25, abs=0.1)


def test_seams_are_told_around_foot_and_rim():
    """Of a foot ring of 30 mm radius each half has half, and above it both sides up to the rim."""
    _, made = made_as("halves and base")
    told = {one.between: one.length_mm for one in made.told.seams}
    around = 32 * 30 * np.sin(np.pi / 32)

    assert told["base", "half 1"] == approx(around, abs=1)
    assert told["base", "half 2"] == approx(around, abs=1)
    assert told["half 1", "half 2"] == approx(2 * (np.hypot(3, 30) + np.hypot(3, 40)), abs=1)


def test_a_base_that_comes_off_too_late_is_found():
    """The scorer sees the plug of the base in the foot once a half is pulled before it."""
    _, made = made_as("halves and base")
    base, half, _ = made.bodies

    assert blocking_pairs(half, base, made.told.parts[1].pull) > 0


def test_a_rounded_foot_goes_to_the_base():
    """Parted at its lowest line, plaster of the halves would run out into an edge that chips."""
    round_foot = [
        (24 + 6 * np.sin(one), 6 - 6 * np.cos(one)) for one in np.radians(range(0, 91, 9))
    ]
    body = revolved([(0, 3), (20, 3), (20, 0), *round_foot, (34, 60), (0, 60)], 32)
    base, *halves = mold_of(body, parted("halves and base", 0.0)).told.parts

    assert base.name == "base"
    assert [one.sharp_mm for one in (base, *halves)] == [0, 0, 0]


def spread() -> Mesh:
    """A bowl that leaves its foot ring at 30 degrees."""
    wall = [(60, 40 / np.sqrt(3)), (62, 45), (0, 45)]
    return revolved([(0, 3), (16, 3), (17, 0), (20, 0), *wall], 32)


def test_a_foot_that_runs_out_flat_is_parted_past_a_step():
    """
    A bowl leaves its foot ring of 20 mm radius at 30 degrees: parted there, both halves would end
    in a feather edge all round. The step's wall, 8 mm farther out and leaning 5 degrees, meets the
    bowl where it is w wide and w tan 30 deep.
    """
    made = mold_of(spread(), parted("halves and base", 0.0))
    base, *halves = made.told.parts
    wide = 8 / (1 + np.tan(np.radians(30)) * np.tan(np.radians(5)))
    around = {one.between: one.length_mm for one in made.told.seams}

    assert [one.sharp_mm for one in (base, *halves)] == [0, 0, 0]
    assert around["base", "half 1"] == approx(np.pi * (20 + wide), rel=0.02)
    assert made.told.cut_l + made.told.crumbs_l < 1e-6
    assert len({(one.on, one.into) for one in made.told.natches}) == 3


@pytest.mark.whole
def test_a_base_with_a_step_comes_off():
    assert blocked(mold_of(spread(), parted("halves and base", 0.0)), spread()) == []


def test_no_strap_runs_across_a_level_seam():
    """Beside the seam, half and top are as wide as the block is anywhere."""
    _, made = made_as("halves and top")
    top, half, _ = (solid_of(one) for one in made.bodies)
    _, across, _ = made.told.block_mm

    for part, height in ((top, 50 + 4), (half, 50 - 4)):
        _, low, _, high = part.slice(height).bounds()
        assert high - low == approx(across, abs=1e-3)
    _, low, _, high = half.slice(25).bounds()
    assert high - low == approx(across - 2 * 3, abs=1e-3)


def test_air_under_a_ring_leaves_by_two_vents():
    """Under a rim that goes round its pour face air has no way out, however the mold is leaned."""
    _, made = made_as("halves and top")
    (first, second), around = made.told.vents, [np.hypot(*one[:2]) for one in made.told.vents]

    assert made.told.air == ()
    assert [one[2] for one in made.told.vents] == [50, 50]
    assert all(29 < one < 33 for one in around)
    assert np.linalg.norm(np.subtract(first, second)) > 60
    # a pin of 2 mm goes through the top
    for x, y, z in made.told.vents:
        pin = manifold3d.Manifold.cylinder(60, 0.99, 0.99, 16).translate((x, y, z))
        assert (solid_of(made.bodies[0]) ^ pin).volume() < 1e-9


def test_plaster_is_as_thick_as_it_is_told():
    """Around a tube 22 mm and the spare's flare, less a strap's groove; in a thin slot through it 4 mm."""
    tube = revolved([(0, 0), (30, 0), (30, 70), (0, 70)], 96)
    slot = manifold3d.Manifold.cube((4, 100, 40)).translate((-2, -50, 15))
    plain, slotted = (
        mold_of(one, parted("halves", 90.0), plaster_mm=22, spare_mm=5).told.parts[0]
        for one in (tube, mesh_of(solid_of(tube) - slot))
    )

    assert plain.thinnest_mm == approx(22 + 5 * np.tan(np.radians(10)) - 3, abs=0.3)
    assert slotted.thinnest_mm == approx(4, abs=0.05)
    assert slotted.thinnest_at_mm[0] == approx(2, abs=0.1) or slotted.thinnest_at_mm[0] == approx(
        -2, abs=0.1
    )


def test_the_part_that_pulls_hardest_is_the_one_whose_face_drags():
    """
    Of a tube in halves 2 x 1 of 360 degrees lean under 1 at its side and at its spare, and all of
    its foot, which lies square to the pull: half of it for each.
    """
    tube = revolved([(0, 0), (20, 0), (20, 60), (0, 60)], 360)
    made = mold_of(tube, parted("halves", 0.0), spare_mm=5, order=("half 2", "half 1")).told
    foot, side = np.pi * 20**2 / 2, 2 * np.pi * 20 * (60 + 5) * 2 / 360

    assert [one.drags_m2 * 1e6 for one in made.parts] == approx([foot + side] * 2, rel=0.02)
    assert [one.deep_mm for one in made.parts] == approx([20, 20], rel=0.1)
    assert made.hardest == made.parts
    # up one side, down the other and across the foot
    assert [(one.between, one.length_mm) for one in made.seams] == [
        (("half 1", "half 2"), approx(60 + 60 + 40, abs=0.5))
    ]
    # as it was asked
    assert [one.name for one in made.parts] == ["half 2", "half 1"]


@pytest.mark.parametrize(
    ("order", "right"),
    [
        (("half 1", "base", "half 2"), "name base first: its natches"),
        (("base", "half 1"), "name each part once: base, half 1, half 2"),
    ],
)
def test_an_order_in_which_parts_do_not_come_off_is_refused(order, right):
    pulls = parted("halves and base", 0.0)

    with pytest.raises(BadInput, match=right):
        mold_of(footed(), pulls, fittings=False, order=order)


@pytest.mark.whole
def test_a_mold_is_the_same_wherever_the_piece_stands_and_however_it_is_turned():
    """Turned by 35 degrees and moved; and twice as large, it fills eight times as much, less the spare."""
    body = handled()
    angle = np.radians(35)
    turn = np.array(
        [[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1]]
    )
    other = Mesh(body.vertices_mm @ turn.T + [70, -30, 0], body.faces)
    first, second = (mold_of(one, release_of(one).chosen).told for one in (body, other))
    twice = mold_of(Mesh(2 * body.vertices_mm, body.faces), parted("halves", 90.0), spare_mm=50)

    # the plane is placed to a hundredth of a millimeter
    assert [one.volume_l for one in second.parts] == approx(
        [one.volume_l for one in first.parts], rel=1e-3
    )
    # the spare widens along x and y
    assert second.fill_l == approx(first.fill_l, rel=1e-4)
    assert second.parts[0].heading_deg == approx((first.parts[0].heading_deg + 35) % 360)
    assert twice.told.fill_l == approx(8 * first.fill_l, rel=1e-3)
    # the order in which parts come off has no ring: each is blocked by none that comes later
    assert blocked(mold_of(other, release_of(other).chosen), other) == []


# --- files


def test_all_parts_are_one_3mf_that_an_independent_reader_finds_closed(whole):
    named = {one.name: body for one, body in zip(whole.told.parts, whole.bodies, strict=True)}
    scene = trimesh.load(io.BytesIO(three_mf_bytes(named)), file_type="3mf")

    assert sorted(scene.geometry) == ["half 1", "half 2"]
    for one in whole.told.parts:
        read = scene.geometry[one.name]
        assert read.units == "millimeter"
        assert read.is_watertight
        assert read.volume / 1e6 == approx(one.volume_l, rel=1e-6)


def test_a_body_that_touches_itself_along_an_edge_is_known():
    """Two boxes that share an edge: four triangles meet there."""
    first = manifold3d.Manifold.cube((10, 10, 10))
    both = joined(mesh_of(first), mesh_of(first.translate((10, 10, 0))))

    assert reads_back_closed(mesh_of(first))
    assert not reads_back_closed(both)


def test_what_rounds_to_a_line_or_a_fold_is_left_out_of_a_file():
    """A pin a millionth of a millimeter thick: two of its triangles become lines, two a fold."""
    far = 100.0
    corners = np.array([[far, 0, 0], [far + 1e-6, 0, 0], [far, 1, 0], [far, 0, 1]])
    pin = Mesh(corners, np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]))

    assert struct.unpack_from("<I", stl_bytes(pin), 80) == (0,)


# --- what cannot be made


@pytest.mark.parametrize(
    "told", [{"plaster_mm": 10}, {"plaster_mm": 200}, {"spare_mm": 1}, {"round_mm": 31}]
)
def test_a_length_that_cannot_be_is_refused(mug, told):
    with pytest.raises(OutOfRange, match="it must be between"):
        mold_of(*mug, **told)


def test_a_ball_has_no_face_for_a_spare():
    ball = sphere(30, 48)

    with pytest.raises(NotDoable, match="no spare can stand on it"):
        mold_of(ball, parted("halves"))


def test_the_command_writes_the_parts_and_weighs_their_plaster(tmp_path, capsys):
    file = tmp_path / "mug.ply"
    file.write_bytes(ply(handled()))
    told = ["shape", str(file), "--unit", "mm", "--parting", "halves", "--heading", "90"]
    told += ["--mold", str(tmp_path / "mold")]

    assert run([*told, "--json"]) == 0
    shape = msgspec.json.decode(capsys.readouterr().out, type=Shape)
    batch = batch_for_volume(shape.mold.parts[0].volume_l, Plaster("plaster", 70, "told"))
    assert shape.parts[0].plaster_kg == approx(batch.plaster_kg)
    assert shape.parts[0].water_kg == approx(batch.water_kg)
    assert shape.parts[0].wet_kg > shape.parts[0].dry_kg > batch.plaster_kg
    for part, one in zip(shape.parts, shape.mold.parts, strict=True):
        read = read_back((tmp_path / "mold" / part.file).read_bytes())
        assert read.volume / 1e6 == approx(one.volume_l, rel=1e-6)
    assert (tmp_path / "mold" / "mug-all-parts.3mf").is_file()
    for seen in (shape.view.three_sides, shape.view.opened, shape.view.model):
        assert sha256((tmp_path / "mold" / seen.name).read_bytes()).hexdigest() == seen.sha256
    length = sum(12 * corners + 16 * triangles for corners, triangles in shape.view.bodies)
    assert (tmp_path / "mold" / shape.view.model.name).stat().st_size == length

    (caution,) = (
        block.text
        for block in shape_sections(shape, "metric", 2.0)[-1].blocks
        if isinstance(block, Caution)
    )
    assert "more than the 2.00 kg that one person lifts" in caution
    assert "The seam runs across the foot" in told_of(shape)
    assert "breaks off" not in told_of(shape)


def told_of(shape: Shape) -> str:
    return repr(shape_sections(shape, "metric", 20.0)[-1].blocks)


def test_plaster_that_breaks_and_a_foot_without_a_seam_are_told():
    """A tongue of 3 mm, as between a spout and its jug, and a base under the foot."""
    made = made_as("halves and base")[1].told
    base, half, other = made.parts
    thin = msgspec.structs.replace(half, thinnest_mm=3.0, thinnest_at_mm=(1.0, 2.0, 3.0))
    mold = msgspec.structs.replace(made, parts=(base, thin, other))
    masses = tuple(PartMass(f"{one.name}.stl", 1, 1, 1, 1) for one in mold.parts)
    told = repr(_parts(mold, masses, "metric", 20.0).blocks)

    assert "3 mm of half 1 at 1, 2, 3 " in told
    assert "of base at" not in told
    assert "across the foot" not in told


# --- the shared shapes

VESSELS = {
    "mug.stl": ("halves", 90.0), "mug_footed.stl": ("halves and base", 90.0), "mug_hollow.3mf": ("halves", 90.0),
    "jug.ply": ("halves", 90.0), "vase.ply": ("halves", 0.0), "teapot_like.ply": ("halves and top", 90.0),
    "square_footed_bowl.ply": ("drop-out", None), "two_handled_cup.ply": ("halves", 90.0),
    "leaning_bottle.ply": ("halves", 90.0), "relief_tumbler.ply": ("three sides", 0.0),
    "jar_body.ply": ("halves and top", 10.0), "jar_lid.ply": ("halves", 5.0),
}  # fmt: skip
"""Each as it is parted best, which the tests of the release look for."""


@pytest.mark.whole
@pytest.mark.parametrize("name", VESSELS)
def test_the_shared_vessels_open(meshes, name):
    body = look_at(meshes / name, Wish()).outside
    made = mold_of(body, parted(*VESSELS[name]))

    assert made.told.cut_l + made.told.crumbs_l < 5e-5
    assert blocked(made, body) == []
    for part, one in zip(made.bodies, made.told.parts, strict=True):
        read = read_back(stl_bytes(part))
        assert read.is_watertight
        assert read.volume / 1e6 == approx(one.volume_l, rel=1e-6)
