"""How a mold comes off, against closed forms and scorers that share no code with the method."""

from functools import cache
from typing import get_args

import manifold3d
import msgspec
import numpy as np
import pytest
from pytest import approx

from pourwright.cli.main import run
from pourwright.cli.shape_command import PARTINGS
from pourwright.errors import BadInput
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh
from pourwright.shape.no_seam import NoSeam
from pourwright.shape.reach import reached
from pourwright.shape.records import Parting, Pulls, Shape
from pourwright.shape.release import ENOUGH, WAYS, release_of
from pourwright.shape.solids import mesh_of, solid_of
from tests.shape.models import cup, ply, revolved, sphere

pytestmark = pytest.mark.usefixtures("in_this_process")

DOWN, X, Y = np.array([0, 0, -1.0]), np.array([1.0, 0, 0]), np.array([0, 1.0, 0])


# --- scorers


def is_free(mesh: Mesh, points: np.ndarray, normals: np.ndarray, pull: np.ndarray) -> np.ndarray:
    """Return which points of a surface can be pulled off: every line against every triangle."""
    corner, first, second = (
        mesh.corners_mm[:, 0],
        *np.moveaxis(mesh.corners_mm[:, 1:] - mesh.corners_mm[:, :1], 1, 0),
    )
    across = np.cross(pull, second)
    det = np.einsum("ij,ij->i", first, across)
    det[np.abs(det) < 1e-12] = np.inf
    free = normals @ pull >= -1e-9
    for number in np.flatnonzero(free):
        away = points[number] + 0.02 * normals[number] - corner
        u = np.einsum("ij,ij->i", away, across) / det
        turned = np.cross(away, first)
        v, far = turned @ pull / det, np.einsum("ij,ij->i", second, turned) / det
        free[number] = not ((u >= 0) & (v >= 0) & (u + v <= 1) & (far > 1e-6)).any()
    return free


def scored_share(
    mesh: Mesh, pulls: list[np.ndarray], top_mm: float, count: int = 1500
) -> tuple[float, float]:
    """Return what some pull reaches of points drawn by chance below the top, and its standard error."""
    rng = np.random.default_rng(5)
    weights = np.where(
        (mesh.normals[:, 2] > 0.999) & (mesh.centers_mm[:, 2] > top_mm - 0.5), 0, mesh.areas_m2
    )
    chosen = rng.choice(len(mesh.faces), count, p=weights / weights.sum())
    a, b = np.sort(rng.random((2, count)), axis=0)
    points = np.einsum("ij,ijk->ik", np.stack([a, b - a, 1 - b], axis=1), mesh.corners_mm[chosen])
    free = np.zeros(count, dtype=bool)
    for pull in pulls:
        free |= is_free(mesh, points, mesh.normals[chosen], pull)
    share = free.mean()
    return share, np.sqrt(max(share * (1 - share), 1 / count) / count)


def gaps_l(mesh: Mesh, heading_deg: float, plane_mm: float, step_mm: float) -> float:
    """Return the gaps between a plane and the last way out, by lines through the closed body."""
    solid = solid_of(mesh).rotate((0, 0, -heading_deg))  # the pull is now along x
    _, low_y, low_z, _, high_y, high_z = solid.bounding_box()
    total = 0.0
    for y in np.arange(low_y + step_mm / 2 + 1e-4, high_y, step_mm):
        for z in np.arange(low_z + step_mm / 2 + 1e-4, high_z, step_mm):
            for way in (1, -1):
                hits = solid.ray_cast((plane_mm, y, z), (plane_mm + way * 500, y, z))
                at = sorted(abs(hit.position[0] - plane_mm) for hit in hits)
                if len(at) % 2:  # the line begins inside
                    at = [0.0, *at]
                total += sum(b - a for a, b in zip([0.0, *at[1::2]], at[::2], strict=False))
    return total * step_mm**2 / 1e6


# --- closed forms


def test_half_a_ball_is_reached_from_any_side():
    ball = sphere(30, 96)
    pulls = np.vstack([X, DOWN, np.array([0.6, 0.0, 0.8])])
    shares = (reached(ball, pulls) * ball.areas_m2).sum(axis=1) / ball.area_m2

    assert shares == approx([0.5, 0.5, 0.5], abs=0.005)


def test_a_ring_pulled_sideways_is_reached_as_theory_says():
    """Of a torus 50/20, 31.9 % is reached sideways: counted once on 640,000 triangles."""
    angles = np.arange(48) * 2 * np.pi / 48
    torus = revolved([(50 + 20 * np.cos(a), 20 * np.sin(a)) for a in angles], 120)
    share = float((reached(torus, X[None]) * torus.areas_m2).sum() / torus.area_m2)

    assert share == approx(0.3186, abs=0.005)


def test_a_cup_drops_out_and_leans_as_it_is_drawn():
    """Its side leans by atan(10/90) = 6.3 degrees; its foot lies square to the pull."""
    made = release_of(cup(96))

    assert (made.chosen.parting, made.chosen.parts) == ("drop-out", 1)
    assert made.chosen.undercut_m2 == 0
    assert made.undercuts == ()
    assert (made.draft.under_1_deg, made.draft.under_3_deg) == (0, 0)


def test_a_tube_in_halves_leans_little_beside_the_seam():
    """Of its side 4 x 3 of 360 degrees lean under 3; its foot slides, and leans not at all."""
    n, radius, height = 360, 20.0, 30.0
    tube = revolved([(0, 0), (radius, 0), (radius, height), (0, height)], n)
    made = release_of(tube, "halves", 0.0)
    side, foot = 2 * np.pi * radius * height, np.pi * radius**2

    assert made.chosen.undercut_m2 == approx(0, abs=1e-9)
    assert made.draft.under_3_deg == approx((side * 12 / 360 + foot) / (side + foot), abs=0.005)


def slotted() -> Mesh:
    """A block of 40 mm with a slot of 6 by 10 mm along z in its y side, across the pull along x."""
    block = manifold3d.Manifold.cube((40, 40, 40)).translate((-20, -20, 0))
    return mesh_of(block - manifold3d.Manifold.cube((6, 10, 40)).translate((8, 10, 0)))


def test_a_slot_across_the_pull_is_cut_away_whole():
    """Wherever the plane stands, all 6 x 10 x 40 mm of it are shut in."""
    made = release_of(slotted(), "halves", 0.0)

    assert made.chosen.trimmed_l == approx(0.0024, rel=1e-6)
    # the walls of the slot that look along the pull
    assert made.chosen.undercut_m2 == approx(2 * 10 * 40 / 1e6 + 6 * 40 / 1e6, rel=1e-6)
    assert made.undercuts[0].at_mm == approx((11, 14, 20), abs=7)


# --- the fewest parts


@cache
def handled() -> Mesh:
    """A tube with a ring for a handle in the plane y = 0."""
    tube = solid_of(revolved([(0, 0), (30, 0), (30, 70), (0, 70)], 96))
    ring = solid_of(
        revolved([(18 + 5 * np.cos(a), 5 * np.sin(a)) for a in np.arange(24) * np.pi / 12], 64)
    )
    return mesh_of(tube + ring.rotate((90, 0, 0)).translate((34, 0, 35)))


def footed() -> Mesh:
    return revolved([(0, 4), (20, 4), (20, 0), (30, 0), (33, 30), (30, 70), (0, 70)], 48)


@pytest.mark.parametrize(
    ("make", "parting", "heading"),
    [
        (handled, "halves", 90),
        (footed, "halves and base", 0),
        (lambda: revolved([(0, 0), (30, 0), (20, 40), (30, 70), (0, 70)], 96), "halves", 0),
    ],
    ids=["a handle", "a recess under the foot", "a waist"],
)
def test_the_fewest_parts_that_do_are_chosen(make, parting, heading):
    made = release_of(make())

    assert (made.chosen.parting, made.chosen.heading_deg) == (parting, heading)
    assert made.chosen.plane_mm == approx(0, abs=0.01)
    assert made.chosen.reached > 1 - ENOUGH
    assert made.tried[0].parting == "drop-out"


@pytest.mark.whole
def test_a_turned_piece_is_parted_where_it_was_turned_to():
    angle = np.radians(35)
    turn = np.array(
        [[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1]]
    )
    body = handled()
    made = release_of(Mesh(body.vertices_mm @ turn.T + [7, -3, 0], body.faces))

    assert (made.chosen.parting, made.chosen.heading_deg) == ("halves", 125)
    # the seam goes through the axis, which now stands at (7, -3)
    seam = 7 * np.cos(np.radians(125)) - 3 * np.sin(np.radians(125))
    assert made.chosen.plane_mm == approx(seam, abs=0.02)
    assert made.chosen.trimmed_l < 1e-6


def test_what_is_wanted_is_told_and_not_something_better():
    made = release_of(handled(), "halves", 0.0)

    assert (made.chosen.parting, made.chosen.heading_deg) == ("halves", 0)
    assert made.chosen.undercut_m2 > 1e-4
    with pytest.raises(BadInput, match="--heading is 400"):
        release_of(handled(), "halves", 400.0)


def slotted_three_ways() -> Mesh:
    """A pot with slots at 0, 90 and 200 degrees that close by 8 degrees inward."""
    pot = solid_of(revolved([(0, 0), (28, 0), (30, 60), (0, 60)], 72))
    outline = np.array([(20, -2), (35, -3.05), (35, 3.05), (20, 2)])
    slot = manifold3d.Manifold.extrude(manifold3d.CrossSection([outline]), 40)
    for degrees in (0, 90, 200):
        pot -= slot.translate((0, 0, 10)).rotate((0, 0, degrees))
    return mesh_of(pot)


def test_sides_are_as_wide_as_the_shape_wants_them():
    """Each slot comes off along its own direction alone, so three sides of equal width hold."""
    made = release_of(slotted_three_ways())
    three = next(one for one in made.tried if one.parting == "three sides")

    assert made.chosen == three
    assert three.sides_deg == (0, 90, 200)
    # as seen from above a seam runs between each two pulls, nowhere close to either
    assert all(
        a + 30 <= seam <= b - 30
        for a, seam, b in zip((0, 90, 200), three.seams_deg, (90, 200, 360), strict=True)
    )
    assert three.undercut_m2 == three.trimmed_l == 0


# --- what the maker asks for


def ball(x: float, y: float, z: float, radius: float) -> NoSeam:
    return NoSeam((x, y, z), (radius,) * 3, is_ball=True, told=f"{x}, {y}, {z}, {radius} mm")


def tube() -> Mesh:
    return revolved([(0, 0), (20, 0), (20, 60), (0, 60)], 48)


def test_no_seam_runs_across_a_stamp_on_the_side():
    """The plane of a tube's halves is turned, and three sides too, until it leaves the stamp whole."""
    stamp = ball(0, 20, 30, 6)
    freely, halves, sides = (
        release_of(tube(), way, no_seams=kept).chosen
        for way, kept in (("halves", ()), ("halves", (stamp,)), ("three sides", (stamp,)))
    )

    def plane_to_stamp(pulls: Pulls) -> float:
        return 20 * np.sin(np.radians(pulls.heading_deg)) - pulls.plane_mm

    assert abs(plane_to_stamp(freely)) < 1
    assert abs(plane_to_stamp(halves)) > 6 * 0.9
    assert halves.trimmed_l < 1e-8
    seams = [(sides.heading_deg + one) % 360 for one in (60, 180, 300)]
    assert min(abs(one - 90) for one in seams) > np.degrees(np.arcsin(6 / 20))


@pytest.mark.whole
def test_a_stamp_under_the_foot_is_left_whole_by_a_base():
    """Halves would have to meet beside it, off the middle, where they shut plaster in."""
    stamp = ball(0, 0, 0, 8)
    tried = {one.parting: one for one in release_of(tube(), no_seams=(stamp,)).tried}

    assert abs(tried["halves"].plane_mm) > 8 * 0.9
    assert tried["halves"].trimmed_l > 1e-4
    assert tried["halves and base"].trimmed_l < 1e-8


@pytest.mark.whole
def test_a_stamp_that_reaches_up_from_the_foot_forbids_a_base():
    corner = ball(20, 0, 0, 5)

    tried = release_of(tube(), no_seams=(corner,)).tried
    assert {one.parting for one in tried} == {"drop-out", "halves", "three sides", "four sides"}


@pytest.mark.whole
def test_a_stamp_beside_a_foot_that_runs_out_flat_forbids_a_base():
    """Its step would part the bowl 8 mm from the foot ring of 20 mm radius, across the stamp."""
    bowl = revolved([(0, 3), (16, 3), (17, 0), (20, 0), (60, 23.1), (62, 45), (0, 45)], 32)
    across, beyond = (ball(x, 0, (x - 20) * 0.577, 5) for x in (28, 45))

    tried = [
        {one.parting for one in release_of(bowl, no_seams=(at,)).tried} for at in (across, beyond)
    ]
    assert "halves and base" not in tried[0]
    assert "halves and base" in tried[1]


def test_a_number_of_parts_is_as_it_is_asked():
    assert release_of(cup(24), parts=2).chosen.parting == "halves"


@pytest.mark.parametrize(
    ("told", "right"),
    [
        ({"parts": 7}, "--parts is 7; this piece is parted in 1 to 5"),
        ({"parts": 3, "parting": "halves"}, "halves has 2; leave one of the two out"),
        ({"no_seams": (ball(90, 0, 0, 5),)}, "nothing of the piece's face is there; .* x from -20 to 20"),
        ({"no_seams": (ball(0, 0, 30, 90),), "parts": 2}, "the seams of 2 parts all run across it"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_for_is_refused(told, right):
    with pytest.raises(BadInput, match=right):
        release_of(tube(), **told)


# --- second methods


@pytest.mark.parametrize(("heading", "pulls"), [(0.0, [X, -X]), (90.0, [Y, -Y])])
def test_what_is_reached_agrees_with_every_line_against_every_triangle(heading, pulls):
    body = handled()
    share, error = scored_share(body, pulls, 70)

    assert release_of(body, "halves", heading).chosen.reached == approx(
        share, abs=4 * error + 0.002
    )


def test_what_is_cut_away_agrees_with_lines_through_the_body():
    """A knob that stands out at 40 degrees from the pull, and the handle that closes on it."""
    knob = manifold3d.Manifold.sphere(9, 48).translate((27, 24, 45))
    body = mesh_of(solid_of(handled()) + knob)
    made = release_of(body, "halves", 0.0).chosen

    assert made.trimmed_l == approx(gaps_l(body, 0.0, made.plane_mm, 1.0), rel=0.02)


# --- the command and the shared shapes


def test_the_command_knows_every_way_to_part():
    assert get_args(Parting) == PARTINGS == tuple(WAYS)


def test_the_command_tells_how_a_mold_comes_off(tmp_path, capsys):
    file = tmp_path / "mug.ply"
    file.write_bytes(ply(handled()))

    assert run(["shape", str(file), "--unit", "mm", "--parting", "best"]) == 0
    words = capsys.readouterr().out
    assert "Halves, the first pulled toward 90°: every face comes off." in words


def test_the_command_takes_places_that_no_seam_runs_across(tmp_path, capsys):
    """A ball at 90 degrees in centimeters, and a box at 180 degrees."""
    file = tmp_path / "tube.ply"
    file.write_bytes(ply(tube()))
    line = ["shape", str(file), "--unit", "mm", "--parts", "2", "--json"]
    line += ["--no-seam", "0, 2, 3, 0.6 cm", "--no-seam", "-25, -4, 20, -15, 4, 40 mm"]

    assert run(line) == 0
    chosen = msgspec.json.decode(capsys.readouterr().out, type=Shape).release.chosen
    angle = np.radians(chosen.heading_deg)
    assert chosen.parting == "halves"
    assert abs(20 * np.sin(angle) - chosen.plane_mm) > 6 * 0.9
    assert abs(-20 * np.cos(angle) - chosen.plane_mm) > 4 * 0.9


@pytest.mark.parametrize("told", ["0, 20, 30 mm", "0, 20, 30, 6", "0, 20, 30, -6 mm", "a, b, c, d"])
def test_the_command_says_how_such_a_place_is_told(tmp_path, capsys, told):
    file = tmp_path / "tube.ply"
    file.write_bytes(ply(tube()))

    assert run(["shape", str(file), "--unit", "mm", "--no-seam", told]) == 2
    assert "give the middle of a ball and its radius" in capsys.readouterr().err


ANSWERS = {
    "mug.stl": ("halves", 90),
    "mug_footed.stl": ("halves and base", 90),
    "jug.ply": ("halves", 90),
    "vase.ply": ("halves", None),
    "square_footed_bowl.ply": ("drop-out", None),
    "two_handled_cup.ply": ("halves", 90),
    "leaning_bottle.ply": ("halves", 90),
    "relief_tumbler.ply": ("three sides", None),
    "teapot_like.ply": ("halves and top", 90),
    "jar_body.ply": ("halves and top", None),
    "jar_lid.ply": ("halves", None),
}
"""What whoever made them says opens them; no heading where any will do."""


@pytest.mark.whole
@pytest.mark.parametrize("name", ANSWERS)
def test_the_shared_vessels_open_as_their_maker_says(meshes, name):
    parting, heading = ANSWERS[name]
    chosen = release_of(look_at(meshes / name, Wish()).outside).chosen

    assert chosen.parting == parting
    assert heading is None or chosen.heading_deg == heading
    assert chosen.reached > 1 - ENOUGH
    assert (chosen.trimmed_l or 0) < 5e-5


@pytest.mark.whole
def test_the_relief_holds_between_the_heights_that_its_maker_says(meshes):
    """Parted at y = 0 four leaves are undercut between z = 39 and 73 mm, and nothing else much."""
    tumbler = look_at(meshes / "relief_tumbler.ply", Wish()).outside
    held = [one for one in release_of(tumbler, "halves", 90.0).undercuts if one.area_m2 > 5e-5]

    assert len(held) == 4
    assert all(39 < one.at_mm[2] < 73 for one in held)
