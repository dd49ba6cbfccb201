"""Two halves as bodies: they tile the block, they open, and whoever reads them finds them closed."""

import io
import struct

import manifold3d
import msgspec
import numpy as np
import pytest
import trimesh
from pytest import approx

from pourwright.cli.main import run
from pourwright.errors import NotDoable, OutOfRange
from pourwright.materials.plaster.mix import Plaster, batch_for_volume
from pourwright.shape.halves import halves_of
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh
from pourwright.shape.records import Shape
from pourwright.shape.release import release_of
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.stl_file import reads_back_closed, stl_bytes
from tests.shape.models import joined, ply, sphere
from tests.shape.test_release import gaps_l, handled

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


def blocking_pairs(half: Mesh, obstacle: Mesh, heading_deg: float) -> int:
    """Return how many facets of an obstacle stand in the way of facets of a half."""
    angle = np.radians(heading_deg)
    frame = np.array(
        [[-np.sin(angle), np.cos(angle), 0], [0, 0, 1], [np.cos(angle), np.sin(angle), 0]]
    )
    leading = half.corners_mm[half.normals @ frame[2] > 1e-6] @ frame.T
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


def read_back(data: bytes) -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(data), file_type="stl")


# --- a mug


@pytest.fixture(scope="module")
def mug():
    return handled(), release_of(handled(), "halves").chosen


@pytest.fixture(scope="module")
def bare(mug):
    return halves_of(*mug, natches=0)


@pytest.fixture(scope="module")
def whole(mug):
    return halves_of(*mug)


def test_the_halves_and_the_piece_tile_the_block(bare):
    made = bare
    along, across, high = made.told.block_mm
    volumes = [one.volume_l for one in made.told.halves]

    # block_mm is told to a hundredth: the block again from the bodies themselves
    both = np.vstack([one.vertices_mm for one in made.bodies])
    block_l = float(np.prod(np.ptp(both, axis=0))) / 1e6
    assert (along, across, high) == approx(tuple(np.ptp(both, axis=0)[[1, 0, 2]]), abs=0.01)
    assert sum(volumes) + made.told.fill_l + made.told.cut_l + made.told.crumbs_l == approx(
        block_l, abs=1e-6
    )
    assert made.told.natches_at_mm == ()
    assert made.told.cut_l < 1e-7


def test_natches_stand_on_one_half_and_have_room_in_the_other(mug, bare, whole):
    (_, pulls), without, made = mug, bare.told, whole.told
    ball = (6**2 + 3.5**2) / 7
    cap_l = np.pi * 3.5**2 * (3 * ball - 3.5) / 3 / 1e6

    assert len(made.natches_at_mm) == 3
    assert all(one[1] == approx(pulls.plane_mm, abs=0.01) for one in made.natches_at_mm)
    assert made.halves[0].volume_l - without.halves[0].volume_l == approx(3 * cap_l, rel=0.02)
    assert without.halves[1].volume_l - made.halves[1].volume_l > 3 * cap_l


def test_the_halves_come_off_by_every_pair_of_facets(mug, whole):
    body, made = mug[0], whole
    forward, behind = made.bodies

    assert blocking_pairs(forward, body, 90) == 0
    assert blocking_pairs(forward, behind, 90) == 0
    assert blocking_pairs(behind, body, 270) == 0
    assert blocking_pairs(behind, forward, 270) == 0
    assert made.told.overlap_l < 1e-9


def test_what_is_shut_in_is_cut_away_and_then_it_opens():
    """
    Pulled along the handle's own plane, plaster in the handle is shut in until it is cut away.
    A low spare, because the lines go through the piece alone; 0.02 mm around it adds 0.7 %.
    """
    body = handled()
    pulls = release_of(body, "halves", 0.0).chosen
    made = halves_of(body, pulls, spare_mm=5)
    side = manifold3d.Manifold.cube((200, 200, 95)).translate((pulls.plane_mm, -100, -25))
    uncut = mesh_of(side - solid_of(body))

    assert made.told.cut_l == approx(gaps_l(body, 0.0, pulls.plane_mm, 1.0), rel=0.02)
    assert made.told.cut_l > 1e-3
    assert blocking_pairs(uncut, body, 0) > 0
    assert blocking_pairs(made.bodies[0], body, 0) == 0
    assert blocking_pairs(made.bodies[1], body, 180) == 0


def test_an_independent_reader_finds_the_files_closed(whole):
    for one in whole.bodies:
        read = read_back(stl_bytes(one))

        assert read.is_watertight
        assert read.is_winding_consistent
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


@pytest.mark.parametrize("told", [{"plaster_mm": 10}, {"plaster_mm": 200}, {"spare_mm": 1}])
def test_a_length_that_cannot_be_is_refused(mug, told):
    with pytest.raises(OutOfRange, match="it must be between"):
        halves_of(*mug, **told)


def test_a_ball_has_no_face_for_a_spare():
    ball = sphere(30, 48)

    with pytest.raises(NotDoable, match="no spare can stand on it"):
        halves_of(ball, release_of(ball, "halves").chosen)


def test_the_command_writes_the_halves_and_weighs_their_plaster(tmp_path, capsys):
    file = tmp_path / "mug.ply"
    file.write_bytes(ply(handled()))
    told = ["shape", str(file), "--unit", "mm", "--halves", str(tmp_path / "mold")]

    assert run([*told, "--json"]) == 0
    shape = msgspec.json.decode(capsys.readouterr().out, type=Shape)
    batch = batch_for_volume(shape.halves.halves[0].volume_l, Plaster("plaster", 70, "told"))
    assert shape.parts[0].plaster_kg == approx(batch.plaster_kg)
    assert shape.parts[0].water_kg == approx(batch.water_kg)
    assert shape.parts[0].wet_kg > shape.parts[0].dry_kg > batch.plaster_kg
    for part, one in zip(shape.parts, shape.halves.halves, strict=True):
        read = read_back((tmp_path / "mold" / part.file).read_bytes())
        assert read.volume / 1e6 == approx(one.volume_l, rel=1e-6)

    assert run([*told, "--parting", "four sides"]) == 2
    assert "Only halves can be made into bodies so far" in capsys.readouterr().err


# --- the shared shapes


@pytest.mark.whole
@pytest.mark.parametrize(
    "name", ["mug.stl", "jug.ply", "vase.ply", "two_handled_cup.ply", "leaning_bottle.ply"]
)
def test_the_shared_vessels_open_in_halves(meshes, name):
    body = look_at(meshes / name, Wish()).outside
    pulls = release_of(body, "halves").chosen
    made = halves_of(body, pulls)

    assert len(made.told.natches_at_mm) == 3
    assert made.told.cut_l < 5e-5
    assert made.told.crumbs_l < 1e-6
    for half, other in (made.bodies, made.bodies[::-1]):
        heading = made.told.halves[0 if half is made.bodies[0] else 1].heading_deg
        assert blocking_pairs(half, body, heading) == 0
        assert blocking_pairs(half, other, heading) == 0
        read = read_back(stl_bytes(half))
        assert read.is_watertight
        assert read.volume / 1e6 == approx(half.volume_l, rel=1e-6)
