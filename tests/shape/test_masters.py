"""The forms of masters: what rubber they take, whether they are closed, and whether they can be printed."""

import io

import manifold3d
import msgspec
import numpy as np
import pytest
import trimesh
from pytest import approx

from pourwright.cli.main import run
from pourwright.errors import OutOfRange
from pourwright.shape.masters import fits_printer, master_form
from pourwright.shape.mesh import Mesh
from pourwright.shape.mold import mold_of
from pourwright.shape.records import Shape
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.stl_file import stl_bytes
from tests.shape.models import cup, ply
from tests.shape.test_mold import parted

pytestmark = pytest.mark.usefixtures("in_this_process")

LEAN = np.tan(np.radians(2))


def room_l(wide: float, deep: float, high: float) -> float:
    """Return what a box with walls leaning out by 2 degrees holds, as a frustum does. [l]"""
    top = (wide + 2 * high * LEAN, deep + 2 * high * LEAN)
    middle = (wide + high * LEAN, deep + high * LEAN)
    return high * (wide * deep + 4 * middle[0] * middle[1] + top[0] * top[1]) / 6 / 1e6


def brick() -> Mesh:
    """A part of 60 x 40 x 80 mm with a hollow ball in its face toward -x, pulled along x."""
    whole = manifold3d.Manifold.cube((60, 40, 80))
    return mesh_of(whole - manifold3d.Manifold.sphere(15, 64).translate((0, 20, 40)))


def test_a_form_takes_the_rubber_that_its_room_leaves():
    """On its back, of 80 x 40 mm, it stands 60 mm high; around and over it are 15 mm of rubber."""
    part = brick()
    form = master_form(part, (1, 0, 0))
    high = 60 + 15

    assert form.rubber_l == approx(room_l(40 + 30, 80 + 30, high) - part.volume_l, rel=1e-6)
    wide, deep = (one + 30 + 2 * (high * LEAN + 3) for one in (40, 80))
    assert form.size_mm == approx((wide, deep, high + 4), abs=0.01)


def test_the_cavity_looks_up_and_an_independent_reader_finds_the_form_closed():
    form = master_form(brick(), (1, 0, 0))
    read = trimesh.load(io.BytesIO(stl_bytes(form.body)), file_type="stl")

    assert read.is_watertight
    assert read.volume / 1e6 == approx(form.body.volume_l, rel=1e-6)
    # straight down from above the middle of the ball: 4 mm of floor and 60 - 15 of brick
    hits = solid_of(form.body).ray_cast((0, 0, 200), (0, 0, -1))
    assert hits[0].position[2] == approx(4 + 60 - 15, abs=0.1)


def test_the_back_has_no_grooves_and_no_bevels():
    """What stands on the floor is as wide there as 5 mm above it."""
    made = mold_of(cup(), parted("halves", 0.0))
    for one, part in zip(made.bodies, made.told.parts, strict=True):
        form = solid_of(master_form(one, part.pull).body)
        on_floor, above = (form.slice(4 + one).area() for one in (0.1, 4.9))
        assert on_floor == approx(above, rel=0.005)


def test_a_form_is_turned_to_fit_the_printer_and_not_laid_down():
    assert fits_printer((210, 150, 90), (160, 220, 100))
    assert not fits_printer((210, 150, 90), (200, 220, 80))
    assert not fits_printer((210, 150, 90), (200, 200, 200))


def test_rubber_that_is_too_thin_is_refused():
    with pytest.raises(OutOfRange, match="rubber around a part is 2 mm"):
        master_form(brick(), (1, 0, 0), 2)


def test_the_command_writes_the_forms_and_says_which_are_too_big(tmp_path, capsys):
    file = tmp_path / "cup.ply"
    file.write_bytes(ply(cup()))
    told = ["shape", str(file), "--unit", "mm", "--parting", "drop-out", "--mold", str(tmp_path)]
    told += ["--masters", "--rubber-density", "1.1 kg/l"]

    assert run([*told, "--printer", "100 x 100 x 10 cm", "--json"]) == 0
    (master,) = msgspec.json.decode(capsys.readouterr().out, type=Shape).masters
    assert master.fits is False
    assert master.rubber_kg == approx(1.1 * master.rubber_l)
    assert (tmp_path / master.file).read_bytes()[80:84] != b"\0\0\0\0"

    assert run([*told, "--printer", "100 mm"]) == 2
    assert 'give width, depth and height, such as "220 x 220 x 250 mm"' in capsys.readouterr().err
