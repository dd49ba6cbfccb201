"""What parts reach at most, pulled in any direction, against closed forms and a bound counted apart."""

import manifold3d
import msgspec
import numpy as np
import pytest
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh
from pytest import approx

from pourwright.cli.main import run
from pourwright.report.blocks import Table
from pourwright.report.shape import shape_sections
from pourwright.shape.any_pulls import any_pulls
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh
from pourwright.shape.opening import opening_of
from pourwright.shape.records import Shape
from pourwright.shape.solids import mesh_of
from tests.shape.models import ply, sphere
from tests.shape.test_release import is_free

pytestmark = pytest.mark.usefixtures("in_this_process")

ENOUGH = 1e-3


# --- a scorer: points drawn by chance, directions drawn by chance, every set of three


def free_points(
    mesh: Mesh, points: np.ndarray, normals: np.ndarray, pulls: np.ndarray
) -> np.ndarray:
    """Return which points each pull leaves free, (pulls, points); a ray from a hundredth above each."""
    scene = rtcore_scene.EmbreeScene(robust=True)
    TriangleMesh(scene, mesh.corners_mm.astype(np.float32))
    begin = (points + 0.01 * normals).astype(np.float32)
    free = np.zeros((len(pulls), len(points)), dtype=bool)
    for number, pull in enumerate(pulls):
        hit = scene.run(begin, np.tile(pull, (len(begin), 1)).astype(np.float32), query="OCCLUDED")
        free[number] = (np.asarray(hit) != 0) & (normals @ pull >= 0)
    return free


def drawn_points(mesh: Mesh, is_open: np.ndarray, count: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(11)
    weights = np.where(is_open, 0, mesh.areas_m2)
    chosen = rng.choice(len(mesh.faces), count, p=weights / weights.sum())
    a, b = np.sort(rng.random((2, count)), axis=0)
    at = np.einsum("ij,ijk->ik", np.stack([a, b - a, 1 - b], axis=1), mesh.corners_mm[chosen])
    return at, mesh.normals[chosen]


def drawn_directions(count: int) -> np.ndarray:
    """Return directions drawn by chance, none close to one before it."""
    rng = np.random.default_rng(3)
    kept = [np.array([0.0, 0.0, 1.0])]
    for one in rng.normal(size=(20 * count, 3)):
        one = one / np.linalg.norm(one)
        if len(kept) < count and max(one @ other for other in kept) < np.cos(np.radians(11)):
            kept.append(one)
    return np.array(kept)


def best_of_every_set(free: np.ndarray) -> list[list[int]]:
    """Return which 1, 2 and 3 of the directions leave most free together, by trying every set."""
    rows = free.astype(np.float32)

    def best_pair(rows: np.ndarray) -> tuple[float, list[int]]:
        alone = rows.sum(axis=1)
        pairs = alone[:, None] + alone - rows @ rows.T
        return pairs.max(), [int(one) for one in np.unravel_index(pairs.argmax(), pairs.shape)]

    threes = [
        (rows[one].sum(), one, best_pair(rows[:, rows[one] == 0])) for one in range(len(rows))
    ]
    _, first, (_, others) = max(threes, key=lambda each: each[0] + each[2][0])
    return [[int(rows.sum(axis=1).argmax())], best_pair(rows)[1], [first, *others]]


# --- closed forms


def test_one_pull_reaches_half_of_a_ball_and_two_the_whole():
    ball = sphere(30, 32)
    one, two, *_ = any_pulls(ball, np.zeros(len(ball.faces), dtype=bool), ENOUGH)

    assert (one.parts, one.reached) == (1, approx(0.5, abs=0.01))
    assert two.reached == approx(1, abs=0.01)
    assert np.array(two.pulls[0]) @ np.array(two.pulls[1]) < np.cos(np.radians(170))


# --- figurines


@pytest.mark.whole
@pytest.mark.parametrize("name", ["fish", "penguin", "spot", "cat", "skull"])
def test_a_figurine_is_told_within_three_thousandths_of_the_bound(meshes, name):
    """
    Of 120 directions drawn by chance the best set, found by trying every one, and the pulls told:
    both counted by other points than those that chose it. What is told agrees with the points.
    """
    body = look_at(meshes / f"{name}.ply", Wish()).outside
    is_open, _ = opening_of(body, None)
    found = any_pulls(body, is_open, ENOUGH)
    directions = drawn_directions(120)
    points, normals = drawn_points(body, is_open, 12_500)
    free = free_points(body, points, normals, directions)
    scored = slice(2500, None)

    assert len(directions) == 120
    assert [one.parts for one in found[:3]] == [1, 2, 3]
    for one, best in zip(found, best_of_every_set(free[:, :2500]), strict=False):
        told = free_points(body, points[scored], normals[scored], np.array(one.pulls)).any(axis=0)
        assert told.mean() > free[best, scored].any(axis=0).mean() - 0.003
        assert one.reached == approx(told.mean(), abs=0.01)


def held_hoops() -> Mesh:
    """Three hoops at right angles, thick as 6 mm and 40 mm wide: the inside of two holds any third."""
    circle = manifold3d.CrossSection.circle(3, 12).translate((20, 0))
    hoop = manifold3d.Manifold.revolve(circle, 24)
    return mesh_of(hoop + hoop.rotate((90, 0, 0)) + hoop.rotate((0, 90, 0)))


@pytest.mark.whole
def test_the_answer_says_what_no_way_to_part_can_do_better(tmp_path, capsys):
    """And where it would hold, which every line against every triangle finds too."""
    body = held_hoops()
    file = tmp_path / "hoops.ply"
    file.write_bytes(ply(body))

    assert run(["shape", str(file), "--unit", "mm", "--parting", "best", "--json"]) == 0
    shape = msgspec.json.decode(capsys.readouterr().out, type=Shape)
    release = shape.release
    bound = release.bound
    assert bound.parts <= release.chosen.parts
    assert bound.reached >= release.chosen.reached - 0.003
    left_m2 = release.face_m2 * (1 - bound.reached)
    assert sum(one.area_m2 for one in bound.held) == approx(left_m2, rel=0.05, abs=2e-5)
    points, normals = drawn_points(body, np.zeros(len(body.faces), dtype=bool), 400)
    free = np.zeros(len(points), dtype=bool)
    for pull in bound.pulls:
        free |= is_free(body, points, normals, np.array(pull))
    assert bound.reached == approx(free.mean(), abs=0.03)

    (most,) = (
        block
        for section in shape_sections(shape, "metric")
        for block in section.blocks
        if isinstance(block, Table) and block.caption == "At most, pulled in any direction"
    )
    assert [row[1] for row in most.rows] == [
        f"{100 * one.reached:.2f} %" for one in release.any_pulls
    ]
