"""Seams that follow the parting line: where they run by a closed form, and that such molds open."""

import manifold3d
import numpy as np
import pytest
from pytest import approx

from pourwright.shape.block import block_around, inside_of
from pourwright.shape.curved_seam import Sheet, sheet_of
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh
from pourwright.shape.mold import mold_of
from pourwright.shape.records import Pulls
from pourwright.shape.release import release_of
from pourwright.shape.solids import mesh_of, solid_of
from tests.shape.models import ring, swaying, twisted
from tests.shape.test_mold import blocked, read_back, stl_bytes


def bent(heading_deg: float) -> Pulls:
    return Pulls("halves", 2, heading_deg, None, None, 0.0, 0.0, 1.0, is_curved=True)


def outline_mm(height_mm: float) -> tuple[float, float, float]:
    """Return where the twisted pot turns away from x on its side toward y, by formula. [mm]"""
    wider = 1 + 0.2 * height_mm / 90
    a, b, angle = 39 * wider, 24 * wider, np.radians(60 * height_mm / 90)
    across = np.hypot(a * np.sin(angle), b * np.cos(angle))
    return (a**2 - b**2) * np.sin(angle) * np.cos(angle) / across, across, height_mm


def test_a_twisted_pot_comes_off_in_halves_by_no_plane():
    """Flat seams take three parts; a flat one between halves leaves most of a milliliter."""
    release = release_of(twisted())
    tried = {one.parting: one for one in release.tried}

    assert release.chosen == tried["halves"]
    assert release.chosen.is_curved
    assert release.chosen.trimmed_l == 0
    assert not tried["three sides"].is_curved


def test_the_seam_follows_the_parting_line():
    """
    At each height the oval turns away from the pull along x at one place on either side; within 2 mm
    of there it is less than a tenth of a millimeter narrower.
    """
    inside = inside_of(twisted(), None, 25.0, 30.0)
    block = block_around(inside, np.vstack([np.eye(3)[:2], -np.eye(3)[:2]]), 30.0, 4.0, None)
    sheet = sheet_of(mesh_of(inside.solid), block)
    x, y, z = np.array([outline_mm(height) for height in (20, 45, 70)]).T

    assert sheet.at(y, z) == approx(x, abs=2)
    assert sheet.at(-y, z) == approx(-x, abs=2)
    assert x.min() > 8


@pytest.mark.whole
def test_it_is_held_and_next_to_nothing_is_cut_away():
    made = mold_of(twisted(), bent(0.0))

    assert made.told.cut_l + made.told.crumbs_l < 5e-5
    assert made.told.overlap_l < 1e-9
    assert [(one.on, one.into) for one in made.told.natches] == [("half 1", "half 2")] * 3
    # up one side and down the other, and once across the foot of 48 mm
    (seam,) = made.told.seams
    side = np.array([outline_mm(height) for height in range(0, 91, 5)])
    up = np.linalg.norm(np.diff(side, axis=0), axis=1).sum()
    assert seam.length_mm == approx(2 * up + 48, abs=2)


def test_a_sheet_is_where_its_body_ends():
    rng = np.random.default_rng(3)
    y, z = np.array([0.0, 2, 5, 9]), np.array([0.0, 3, 4])
    sheet = Sheet(y, z, rng.random((4, 3)), np.zeros((4, 3)))
    ahead = sheet.ahead()
    places = rng.random((20, 2)) * [9, 4]

    for at, x in zip(places, sheet.at(*places.T), strict=True):
        (hit, *_) = ahead.ray_cast((-5, *at), (5, *at))
        assert hit.position[0] == approx(x, abs=1e-9)


@pytest.mark.whole
@pytest.mark.parametrize("name", ["twisted and footed", "swaying"])
def test_molds_with_a_bent_seam_open_and_are_closed(name):
    """By every pair of facets along the pull; no way of flat seams opens the swaying pot."""
    recess = manifold3d.Manifold.cylinder(4, 18, 17, 64)
    body = {
        "twisted and footed": lambda: mesh_of(solid_of(twisted(50)) - recess),
        "swaying": lambda: swaying(ring(18, 5)),
    }[name]()
    release = release_of(body)
    made, plain = mold_of(body, release.chosen), mold_of(body, release.chosen, fittings=False).told
    together = sum(one.volume_l for one in plain.parts)

    assert release.chosen.is_curved
    assert release.chosen.parts == (3 if "footed" in name else 2)
    assert blocked(made, body) == []
    assert made.told.cut_l + made.told.crumbs_l < 5e-5
    assert together + plain.fill_l + plain.cut_l + plain.crumbs_l == approx(plain.block_l, rel=1e-6)
    assert len({(one.on, one.into) for one in made.told.natches}) == (3 if "footed" in name else 1)
    for part, one in zip(made.bodies, made.told.parts, strict=True):
        read = read_back(stl_bytes(part))
        assert read.is_watertight
        assert read.volume / 1e6 == approx(one.volume_l, rel=1e-6)
    if name == "swaying":
        assert all(one.trimmed_l > 5e-4 for one in release.tried if not one.is_curved)


@pytest.mark.whole
def test_a_leaning_bottle_is_parted_along_its_lean(meshes, in_this_process):
    """Pulled the way it leans, its outline leans with it; a plane would leave a fin of several milliliters."""
    body: Mesh = look_at(meshes / "leaning_bottle.ply", Wish()).outside
    flat = release_of(body, "halves", 0.0)
    made = mold_of(body, flat.chosen)

    assert flat.chosen.is_curved
    assert made.told.cut_l < 5e-5
    assert blocked(made, body) == []
