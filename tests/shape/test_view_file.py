"""The model that a page turns: read back as the module's own text describes it, by nothing of ours."""

import manifold3d
import numpy as np
from pytest import approx

from pourwright.shape.mesh import Mesh
from pourwright.shape.opening import opening_of
from pourwright.shape.records import SolidPlace, Wall
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.view_file import NO_PART, view_of
from tests.shape.models import revolved, sphere

WALL = Wall(5.0, None, 0.0, 0.0, 0.0, 0.0, (), (SolidPlace(0.01, (0, 0, 0), 4.0),), 0.5)


def read_back(data: bytes, counts: tuple[tuple[int, int], ...]) -> list[tuple[Mesh, np.ndarray]]:
    found, at = [], 0
    for corners, triangles in counts:
        places = np.frombuffer(data, "<f4", 3 * corners, at).reshape(-1, 3)
        faces = np.frombuffer(data, "<u4", 3 * triangles, at + 12 * corners).reshape(-1, 3)
        at += 12 * corners + 12 * triangles
        kinds = np.frombuffer(data, "u1", 4 * triangles, at).reshape(-1, 4)
        at += 4 * triangles
        found.append((Mesh(places.astype(float), faces.astype(int)), kinds))
    assert at == len(data)
    return found


def knobbed() -> Mesh:
    """A beaker of 70 mm with a knob 8 mm thick toward x: with a wall of 5 mm the knob is solid."""
    beaker = solid_of(revolved([(0, 0), (30, 0), (34, 70), (0, 70)], 48))
    knob = manifold3d.Manifold.cylinder(16, 4, circular_segments=24).refine_to_length(3)
    return mesh_of(beaker + knob.rotate((0, 90, 0)).translate((30, 0, 35)))


def halves(piece: Mesh) -> list[tuple[Mesh, tuple[float, float, float]]]:
    block = manifold3d.Manifold.cube((140, 60, 110)).translate((-70, 0, -40))
    front = block.mirror((0, 1, 0))
    solid = solid_of(piece)
    return [(mesh_of(block - solid), (0.0, 1.0, 0.0)), (mesh_of(front - solid), (0.0, -1.0, 0.0))]


def test_bodies_and_kinds_are_read_back():
    piece = knobbed()
    is_open, _ = opening_of(piece, None)
    parts = halves(piece)
    (read, kinds), *read_parts = read_back(*view_of(piece, is_open, parts, WALL))

    assert read.volume_l == approx(piece.volume_l, rel=1e-5)
    volumes = [one.volume_l for one, _ in parts]
    assert [one.volume_l for one, _ in read_parts] == approx(volumes, rel=1e-5)
    assert [set(one[:, 0]) for _, one in read_parts] == [{0}, {1}]
    part, draft, thick, spare = kinds.T
    middle = piece.centers_mm
    assert set(part[is_open]) == {NO_PART}
    assert set(draft[is_open]) == {4}
    assert set(thick[is_open]) == {3}
    assert set(part[~is_open & (middle[:, 1] > 1)]) == {0}
    assert set(part[~is_open & (middle[:, 1] < -1)]) == {1}
    assert set(thick[middle[:, 0] > 42]) == {2}
    steep = np.abs(piece.normals[:, 2]) < 0.5
    assert set(thick[steep & (middle[:, 0] < 0)]) == {0}
    assert set(draft[steep & (np.abs(piece.normals[:, 1]) > 0.2)]) == {0}
    assert set(draft[middle[:, 0] > 45.9]) == {2}  # the knob's end lies along the pull
    assert set(spare) == {0}


def test_nothing_is_solid_where_the_wall_tells_of_no_solid_place():
    piece = knobbed()
    is_open, _ = opening_of(piece, None)
    wall = Wall(5.0, None, 0.0, 0.0, 0.0, 0.0, (), (), 0.5)
    (_, with_wall), *_ = read_back(*view_of(piece, is_open, halves(piece), wall))
    (_, without), *_ = read_back(*view_of(piece, is_open, halves(piece), None))

    assert set(with_wall[:, 2]) == {0, 1, 3}
    assert set(without[:, 2]) == {0}


def test_what_is_too_fine_is_made_coarser_and_keeps_its_volume_and_kinds():
    """A ball of 2,200 triangles and two halves as fine, with 1,500 to draw."""
    piece = sphere(30, 48)
    is_open = np.zeros(len(piece.faces), dtype=bool)
    data, counts = view_of(piece, is_open, halves(piece), None, most=1500)
    (read, kinds), *parts = read_back(data, counts)

    assert 500 < sum(triangles for _, triangles in counts) <= 1500 < len(piece.faces)
    assert read.volume_l == approx(piece.volume_l, rel=0.05)
    assert sum(one.volume_l for one, _ in parts) == approx(0.14 * 0.12 * 110 - piece.volume_l, rel=0.01)  # fmt: skip
    sides = read.centers_mm[:, 1]
    assert set(kinds[sides > 2][:, 0]) == {0}
    assert set(kinds[sides < -2][:, 0]) == {1}
