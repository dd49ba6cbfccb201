"""The cast wall against closed forms and second methods: clay kept, draining, solid places."""

import heapq

import manifold3d
import numpy as np
import pytest
from pytest import approx
from scipy.spatial import ConvexHull, HalfspaceIntersection

from pourwright.cli.main import run
from pourwright.errors import BadInput, OutOfRange, StudioError
from pourwright.materials.casting.water import cast_volume_l, water_balance
from pourwright.plan.shape import CastWish, shape_of
from pourwright.shape.distance import Surface, shares_past
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh, scaled
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.wall import cast_wall, drained
from tests.shape.models import cup, kept_of_circle, moved, ply, revolved, sphere

pytestmark = pytest.mark.usefixtures("in_this_process")

NEAR = 5e-4
"""Clay kept may be off by a twentieth of a percent."""


def ngon_mm2(inner_mm: float, sides: int) -> float:
    """Return the area of a regular polygon from the radius of the circle in it. [mm2]"""
    return sides * np.tan(np.pi / sides) * inner_mm**2


# --- clay kept


def test_an_open_cylinder_keeps_what_its_formula_says():
    """
    A prism of n sides, open above: the core is the prism whose sides are moved in by the
    wall, n tan(π/n) (a - L)² (H - L). Exact for flat facets.
    """
    n, radius, height, wall = 64, 25.0, 40.0, 4.0
    inner = radius * np.cos(np.pi / n)
    whole, core = ngon_mm2(inner, n) * height, ngon_mm2(inner - wall, n) * (height - wall)
    made = cast_wall(revolved([(0, 0), (radius, 0), (radius, height), (0, height)], n), wall)

    assert made.kept_l == approx((whole - core) / 1e6, rel=NEAR)
    assert made.capacity_l == approx(core / 1e6, rel=NEAR)
    assert made.drained_l == made.capacity_l
    assert made.opening.height_mm == approx(height)
    assert made.opening.area_m2 == approx(ngon_mm2(inner, n) / 1e6)
    assert made.stays == made.solids == ()


def test_a_torus_keeps_what_its_formula_says():
    """
    2πR times the section, a polygon whose core is moved in by the wall. Sweeping it round in
    straight pieces loses what an n-gon loses of its circle, and tilts the wall by at most
    π/n, which is (π/n)²/2 = 0.008 % of it.
    """
    around, sides, large, small, wall = 256, 48, 24.0, 10.0, 3.0
    angles = np.arange(sides) * 2 * np.pi / sides
    torus = revolved([(large + small * np.cos(a), small * np.sin(a)) for a in angles], around)
    inner = small * np.cos(np.pi / sides)
    section = ngon_mm2(inner, sides) - ngon_mm2(inner - wall, sides)

    made = cast_wall(torus, wall)

    assert made.kept_l == approx(
        kept_of_circle(around) * 2 * np.pi * large * section / 1e6, rel=NEAR
    )
    assert made.opening is None
    assert made.drained_l == made.capacity_l == 0


@pytest.mark.whole
def test_a_sphere_keeps_what_its_formula_says():
    """
    4π/3 (R³ - (R - L)³). The facets of 192 sides lie on average R (π/n)²/2 = 0.003 mm inside
    the sphere, which moves both faces of the wall: 3 (R² - r²)/(R³ - r³) of that, 0.03 %.
    """
    made = cast_wall(sphere(25, 192), 4.0)

    assert made.kept_l == approx(4 / 3 * np.pi * (25**3 - 21**3) / 1e6, rel=NEAR + 3e-4)


def test_a_convex_body_keeps_what_its_planes_leave():
    """
    A second method that shares nothing: the core of a convex body closed all round is what
    lies on the inner side of every facet's plane moved in by the wall.
    """
    turn = manifold3d.Manifold.hull_points(np.random.default_rng(7).normal(0, 14, (40, 3)))
    body, wall = mesh_of(turn), 3.0
    offsets = -np.einsum("ij,ij->i", body.normals, body.corners_mm[:, 0])
    planes = np.column_stack([body.normals, offsets + wall])
    core = ConvexHull(HalfspaceIntersection(planes, body.vertices_mm.mean(axis=0)).intersections)

    made = cast_wall(body, wall)

    assert made.kept_l == approx(body.volume_l - core.volume / 1e6, rel=NEAR)


@pytest.mark.whole
def test_a_wall_is_never_more_than_the_face_times_its_thickness():
    """Inside a hollow the wall is narrower toward the slip: the law of a flat face is a bound."""
    body = scaled(cup(96), 0.5)
    face_m2 = body.area_m2 - kept_of_circle(96) * np.pi * 20**2 / 1e6
    made = [cast_wall(body, wall).kept_l for wall in (1.0, 2.0)]

    assert made[0] < cast_volume_l(face_m2, 1.0)
    assert made[0] > 0.95 * cast_volume_l(face_m2, 1.0)
    assert made[0] < made[1]


@pytest.mark.whole
def test_clay_kept_does_not_hang_on_place_turn_or_mesh():
    body = cup(96)
    angle = np.radians(37)
    turn = np.array(
        [[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1]]
    )
    finer = mesh_of(solid_of(body).refine(3))
    kept = cast_wall(body, 4.0).kept_l

    for other in (Mesh(body.vertices_mm @ turn.T, body.faces), moved(body, 3.3, -7.1, 0.21), finer):
        assert cast_wall(other, 4.0).kept_l == approx(kept, rel=2e-4)
    assert cast_wall(scaled(body, 1.25), 5.0).kept_l == approx(kept * 1.25**3, rel=2e-4)


def test_a_cube_is_cut_as_counted_points_say():
    """A second method: of 40³ points spread evenly in a cube, those past the plane, but for one layer."""
    rng = np.random.default_rng(3)
    across = np.concatenate([rng.normal(0, 1, (20, 3)), np.eye(3), [[1, -1, 1], [0, -2, 1e-7]]])
    past = np.append(rng.uniform(-0.5, 0.5, 23), [0.5, 0.25])
    points = (np.indices((40, 40, 40)).reshape(3, -1) + 0.5) / 40 - 0.5
    slopes = across / np.linalg.norm(across, axis=1, keepdims=True)
    counted = (slopes @ points + past[:, None] > 0).mean(axis=1)

    assert shares_past(past, across) == approx(counted, abs=1 / 40)
    assert shares_past(past, across).mean() == approx(counted.mean(), abs=1e-3)


# --- what stays


def test_a_shoulder_that_dips_keeps_slip_when_turned_over():
    """
    A ring under the shoulder rises 10 mm above the inner end of the neck. Turned over, slip
    stays in it up to that end: between the walls of the neck and of the belly.
    """
    wall, n = 2.0, 96
    body = revolved([(0, 0), (26, 0), (26, 40), (15, 40), (15, 30), (8, 30), (8, 50), (0, 50)], n)
    made = cast_wall(body, wall)
    (pocket,) = made.stays
    # the core of the ring: from 15 + 2 to 26 - 2 mm, from the lip at 30 - 2 up to 40 - 2 mm
    ring_l = kept_of_circle(n) * np.pi * (24**2 - 17**2) * 10 / 1e6

    assert pocket.why == "pocket"
    assert pocket.volume_l == approx(ring_l, rel=0.08)
    assert made.drained_l == approx(made.capacity_l - pocket.volume_l)


SMALL = scaled(cup(96), 0.5)
"""40 mm at the rim, 45 mm high."""


def stub(radius_mm: float, length_mm: float) -> Mesh:
    """Return a small cup with a round stub that stands out sideways."""
    rod = manifold3d.Manifold.cylinder(length_mm + 10, radius_mm, circular_segments=64)
    return mesh_of(solid_of(SMALL) + rod.rotate((0, 90, 0)).translate((10, 0, 24)))


def test_a_stub_casts_solid_or_stays_full_as_it_is_thick():
    """
    A stub of 10 mm: at 6 mm the clay has met in its middle, at a wall of 5 mm; all of it
    outside the cup's own wall is solid. At 4 mm a passage of 2 mm is left, which does not drain.
    """
    body = stub(5, 40)
    solid_l = body.volume_l - SMALL.volume_l
    (place,) = cast_wall(body, 6.0).solids
    thin = cast_wall(body, 4.0)

    assert place.volume_l == approx(solid_l, rel=0.08)
    assert place.deepest_mm == approx(5, abs=0.1)
    assert place.at_mm == approx((39, 0, 24), abs=2)
    assert thin.solids == ()
    (narrow,) = thin.stays
    assert narrow.why == "narrow"
    assert narrow.volume_l == approx(np.pi * 1**2 * 42 / 1e6, rel=0.35)  # 3 cells across


def test_a_bulb_behind_a_closed_neck_is_sealed():
    bulb = manifold3d.Manifold.sphere(14, 64).translate((60, 0, 24))
    made = cast_wall(mesh_of(solid_of(stub(4, 45)) + bulb), 6.0)

    assert [one.why for one in made.stays] == ["sealed"]
    assert made.stays[0].volume_l == approx(4 / 3 * np.pi * 8**3 / 1e6, rel=0.05)
    assert made.capacity_l == approx(made.drained_l)


def lowest_climb(liquid: np.ndarray, opening: np.ndarray, top: int) -> np.ndarray:
    """A second method: for each cell the least height that a way to the opening must climb to."""
    best = np.full(liquid.shape, np.inf)
    heap = [(top, x, y, top) for x, y in np.argwhere(opening & liquid[:, :, top])]
    heap = [(-height, x, y, z) for height, x, y, z in heap]
    while heap:
        climbed, x, y, z = heapq.heappop(heap)
        if best[x, y, z] <= climbed:
            continue
        best[x, y, z] = climbed
        for dx, dy, dz in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)):
            a, b, c = x + dx, y + dy, z + dz
            is_there = (
                0 <= a < liquid.shape[0] and 0 <= b < liquid.shape[1] and 0 <= c < liquid.shape[2]
            )
            if is_there and liquid[a, b, c]:
                heapq.heappush(heap, (max(climbed, -c), a, b, c))
    # turned over, a cell at z is at height -z: it empties if no cell on the way is higher
    return best <= -np.arange(liquid.shape[2])


@pytest.mark.parametrize("seed", range(6))
def test_what_drains_agrees_with_the_least_climb(seed):
    rng = np.random.default_rng(seed)
    liquid = rng.random((9, 8, 10)) < 0.62
    opening = rng.random((9, 8)) < 0.3
    top = 8
    runs = drained(liquid, opening, top)

    assert runs.any()
    assert (liquid & ~runs).any()
    assert np.array_equal(runs, liquid & lowest_climb(liquid, opening, top))


# --- what is asked


@pytest.mark.parametrize("wall", [0.4, 41.0, -1.0, float("nan")])
def test_a_wall_that_cannot_be_is_refused(wall):
    with pytest.raises(OutOfRange, match="wall is"):
        cast_wall(cup(), wall)


def test_another_face_can_be_poured_through():
    """A jar with a gallery: slip is poured through the floor of the recess, not through the rim."""
    jar = revolved([(0, 0), (25, 0), (25, 40), (18, 40), (18, 36), (0, 36)])
    made = cast_wall(jar, 3.0, pour_mm=36)

    assert made.opening.height_mm == approx(36)
    assert made.opening.area_m2 == approx(kept_of_circle(96) * np.pi * 18**2 / 1e6)
    assert made.drained_l > 0.04
    with pytest.raises(BadInput, match=r"--pour is 50 mm; .* it has them at 36, 40 mm"):
        cast_wall(jar, 3.0, pour_mm=50)


def test_how_much_is_done_is_told_and_it_can_be_stopped():
    told: list[float] = []

    class Stop(Exception):
        pass

    def stop(done: float) -> None:
        told.append(done)
        if done > 0.3:
            raise Stop

    with pytest.raises(Stop):
        cast_wall(SMALL, 3.0, watch=stop)
    assert told == sorted(told)


# --- joined with the laws


@pytest.fixture(scope="module")
def cup_file(tmp_path_factory):
    file = tmp_path_factory.mktemp("models") / "cup.ply"
    file.write_bytes(ply(SMALL))
    return file


def test_minutes_and_a_test_cast_give_the_wall_and_the_clay_is_weighed(cup_file):
    """4 mm in 8 minutes are 5 mm in 12.5; the masses are those of the water balance."""
    cast = CastWish(minutes=12.5, test_wall_mm=4, test_min=8, liter_weight_g_per_l=1780, loss_on_ignition=0.11)  # fmt: skip
    shape = shape_of(cup_file, Wish(unit="mm", shrinkage=0.12), cast)
    balance = water_balance(shape.wall.kept_l, 1780)

    assert shape.wall.wall_mm == approx(5)
    assert shape.clay.minutes == approx(12.5)
    assert (shape.clay.wet_kg, shape.clay.dry_kg) == approx((balance.cast_kg, balance.dry_kg))
    assert shape.clay.fired_kg == approx(balance.dry_kg * 0.89)
    assert shape.clay.top_up_l == approx(balance.top_up_l)
    assert shape.clay.fired_capacity_l == approx(shape.wall.capacity_l * 0.88**3)


@pytest.mark.parametrize(
    ("cast", "says"),
    [
        (CastWish(minutes=10), "the test cast is missing"),
        (CastWish(wall_mm=5, test_min=8), "--test-wall is missing"),
        (CastWish(wall_mm=5, test_wall_mm=4), "--test-minutes is missing"),
        (CastWish(wall_mm=5, test_wall_mm=4, test_min=0), "casting time"),
    ],
)
def test_half_a_test_cast_is_refused_before_anything_is_read(tmp_path, cast, says):
    with pytest.raises(StudioError, match=says):
        shape_of(tmp_path / "none.stl", Wish(), cast)


@pytest.mark.whole
def test_the_command_tells_the_wall(tmp_path, capsys):
    file = tmp_path / "stub.ply"
    file.write_bytes(ply(stub(5, 40)))
    told = ["--unit", "mm", "--wall", "6 mm", "--test-wall", "4 mm", "--test-minutes", "8 min"]

    assert run(["shape", str(file), *told]) == 0
    words = capsys.readouterr().out
    assert "18 min" in words
    assert "Places that cast solid at 6 mm" in words


# --- the shared shapes


@pytest.mark.whole
def test_what_is_inside_agrees_with_windings(meshes):
    """A second method. By the nearest face, points 20 mm outside this bowl's corner were inside."""
    bowl = look_at(meshes / "square_footed_bowl.ply", Wish()).outside
    step = bowl.size_mm / 39
    points = bowl.low_mm + (np.indices((41, 41, 41)).reshape(3, -1).T - 0.513) * step
    surface = Surface(bowl)
    points = points[surface.distances_mm(points) > 1e-3]

    assert np.array_equal(surface.are_inside(points), surface.windings(points) > 0.5)


@pytest.mark.whole
def test_the_shared_mugs_handle_casts_solid(meshes):
    """Its handle is an ellipse of 10 by 14 mm: hollow at 4 mm, one solid place at 6 mm, 9.5 cm³
    as another program counted it at half our cell."""
    mug = look_at(meshes / "mug.stl", Wish()).outside
    (place,) = cast_wall(mug, 6.0).solids

    assert place.volume_l == approx(0.0095, rel=0.05)
    assert cast_wall(mug, 4.0).solids == ()


@pytest.mark.whole
def test_the_shared_jar_is_poured_through_its_recess(meshes):
    jar = look_at(meshes / "jar_body.ply", Wish()).outside
    made = cast_wall(jar, 5.0, pour_mm=104)

    assert made.opening.area_m2 == approx(np.pi * 48**2 / 1e6, rel=0.05)
    assert made.kept_l + made.drained_l + sum(one.volume_l for one in made.stays) == approx(
        made.fill_l
    )
