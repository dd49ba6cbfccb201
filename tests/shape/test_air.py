"""Where air stays: closed forms."""

import manifold3d
import pytest
from pytest import approx

from pourwright.shape.air import air_of
from pourwright.shape.block import inside_of
from pourwright.shape.look import Wish, look_at
from pourwright.shape.solids import mesh_of, solid_of
from tests.shape.models import cup, revolved

pytestmark = pytest.mark.usefixtures("in_this_process")


def test_a_cup_a_bottle_and_a_foot_with_a_recess_fill_whole():
    footed = revolved([(0, 6), (20, 5), (22, 0), (28, 0), (35, 60), (0, 60)], 48)
    bottle = revolved([(0, 0), (30, 0), (32, 40), (10, 60), (11, 90), (0, 90)], 48)

    assert air_of(cup()) == ()
    assert air_of(bottle) == ()
    assert air_of(footed) == ()


def test_air_stays_under_a_shoulder_that_stands_above_its_neck():
    """The shoulder's crest at 60 mm is 15 mm above where it goes down to the neck."""
    dipped = revolved([(0, 0), (30, 0), (28, 60), (10, 45), (10, 90), (0, 90)], 48)
    (one,) = air_of(dipped)

    assert one.deep_mm == approx(15, abs=0.01)
    assert one.at_mm[2] == approx(60, abs=0.01)
    # it goes all round: on the other side air stays however the mold is leaned
    assert one.lean_deg is None


def test_air_stays_in_a_horn_and_not_in_one_that_hangs():
    body = solid_of(cup())
    horn = manifold3d.Manifold.cylinder(30, 4, 4, 32).rotate((0, 60, 0)).translate((25, 0, 30))
    (one,) = air_of(mesh_of(body + horn))
    hanging = manifold3d.Manifold.cylinder(30, 4, 4, 32).rotate((0, 120, 0)).translate((25, 0, 60))

    # its axis ends at 30 + 30 cos 60; its upper line is 4 sin 60 higher, and meets the cup's side,
    # of radius 30 + z / 9, at a height of 40.07
    assert one.at_mm[2] == approx(30 + 15 + 4 * 3**0.5 / 2, abs=0.01)
    assert one.deep_mm == approx(48.46 - 40.07, abs=0.05)
    assert air_of(mesh_of(body + hanging)) == ()


def test_a_horn_fills_when_its_side_goes_down():
    """Its upper line rises by 15 degrees, from the cup's side at 56.12 mm to 59.63."""
    horn = manifold3d.Manifold.cylinder(26, 3, 3, 32).rotate((0, 75, 0)).translate((25, 0, 50))
    body = solid_of(cup()) + horn
    (one,) = air_of(mesh_of(body))
    leaned = [body.rotate((0, way * one.lean_deg, 0)) for way in (1, -1)]

    assert one.deep_mm == approx(59.63 - 56.12, abs=0.05)
    assert (one.lean_deg, one.toward_deg) == (20, 0)
    assert [len(air_of(mesh_of(each))) for each in leaned] == [0, 1]


@pytest.mark.whole
@pytest.mark.parametrize(("name", "count"), [("mug.stl", 0), ("jug.ply", 1), ("vase.ply", 0)])
def test_the_shared_vessels_tell_their_air(meshes, name, count):
    """A jug's spout ends below its opening, level with nothing higher."""
    inside = inside_of(look_at(meshes / name, Wish()).outside, None, 25.0, 30.0)

    assert len(air_of(mesh_of(inside.solid))) == count
