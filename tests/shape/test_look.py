"""Units that are settled, sizes at the mold and fired, and a hollow vessel taken apart."""

import manifold3d
import msgspec
import numpy as np
import pytest
from pytest import approx

from pourwright import extras
from pourwright.cli.main import run
from pourwright.errors import BadInput, MissingExtra, OutOfRange
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh, scaled
from pourwright.shape.model_decoding import decode
from pourwright.shape.model_file import ModelFile
from pourwright.shape.model_units import in_millimeters
from pourwright.shape.records import Shape
from pourwright.shape.solids import mesh_of, solid_of
from pourwright.shape.vessel import vessel_of
from tests.shape.models import (
    cup,
    cup_l,
    hollow_cup,
    kept_of_circle,
    moved,
    ply,
    revolved,
    sphere,
    stl,
)

pytestmark = pytest.mark.usefixtures("in_this_process")


def as_file(mesh: Mesh, unit: str = "") -> ModelFile:
    return ModelFile("cup.stl", "", "STL", unit, mesh.vertices_mm, mesh.faces)


# --- units: the cup is 90 mm high, its rim 80 mm wide


@pytest.mark.parametrize(
    ("factor", "stated", "told", "unit", "unit_from"),
    [
        (1, "", None, "mm", "size"),
        (0.001, "", None, "m", "size"),
        (1, "millimeter", None, "millimeter", "file"),
        (0.001, "meters", None, "meters", "file"),
        (1 / 25.4, "inch", None, "inch", "file"),
        (1 / 25.4, "", "in", "in", "told"),
        (0.1, "millimeter", "cm", "cm", "told"),
    ],
)
def test_a_unit_is_told_stated_or_the_only_believable_one(factor, stated, told, unit, unit_from):
    mesh, said, basis = in_millimeters(as_file(scaled(cup(), factor), stated), told)

    assert (said, basis) == (unit, unit_from)
    assert mesh.size_mm[2] == approx(90)


@pytest.mark.parametrize(
    ("factor", "stated", "told", "sizes"),
    [
        (0.4, "", None, ("--unit mm if it is 36 mm long", "--unit cm if it is 360 mm long")),
        (100, "", None, ("without a unit", "--unit mm if it is 9 m long")),
        (
            1,
            "meters",
            None,
            ("in meters, its file says, which makes it 90 m long", "--unit mm if it is 90 mm"),
        ),
        (0.001, "meters", "mm", ("0.09 mm long in mm", "--unit m if it is 90 mm long")),
    ],
)
def test_a_unit_is_asked_back_with_the_sizes(factor, stated, told, sizes):
    with pytest.raises(BadInput) as asked:
        in_millimeters(as_file(scaled(cup(), factor), stated), told)

    assert all(size in str(asked.value) for size in sizes)
    assert str(asked.value).startswith("cup.stl: the model is ")


# --- sizes and measures


def test_volume_and_area_agree_with_the_frustum(tmp_path):
    """
    V = πh(R² + Rr + r²)/3 times what an n-sided ring keeps of its circle; the sides are
    n flat trapezia. Exact for flat facets, so the tolerance is that of floats.
    """
    n = 64
    slope = np.hypot(90, 10 * np.cos(np.pi / n))
    sides = n * np.sin(np.pi / n) * (40 + 30) * slope
    ends = kept_of_circle(n) * np.pi * (40**2 + 30**2)

    assert cup(n).volume_l == approx(cup_l(n), rel=1e-9)
    assert cup(n).area_m2 == approx((sides + ends) / 1e6, rel=1e-9)


def test_measures_do_not_hang_on_where_a_model_stands():
    far = moved(cup(), 5e5, -3e5, 2e5)

    assert far.volume_l == approx(cup().volume_l, rel=1e-9)


def test_drawn_fired_the_mold_is_larger(tmp_path):
    file = tmp_path / "cup.stl"
    file.write_bytes(stl(cup()))

    fired = look_at(file, Wish(shows="fired", shrinkage=0.12)).look.body
    mold = look_at(file, Wish(shows="mold", shrinkage=0.12)).look.body

    assert fired.size_mm[2] == approx(90 / 0.88, abs=0.005)
    assert fired.fired_size_mm[2] == approx(90, abs=0.005)
    assert fired.volume_l == approx(cup_l() / 0.88**3, rel=1e-6)
    assert mold.size_mm[2] == approx(90, abs=0.005)
    assert mold.fired_size_mm[2] == approx(90 * 0.88, abs=0.005)


@pytest.mark.parametrize("up", ["x", "-x", "y", "-y", "z", "-z"])
def test_a_model_is_stood_upright_and_never_mirrored(tmp_path, up):
    """The cup's rim is wider than its foot: the wide end must come to the top."""
    rows = {"x": [2, 0, 1], "y": [1, 2, 0], "z": [0, 1, 2]}[up[-1]]
    vertices = cup().vertices_mm[:, rows] * (-1 if up[0] == "-" else 1)
    faces = cup().faces[:, ::-1] if up[0] == "-" else cup().faces  # -1 in all three mirrors
    file = tmp_path / "cup.ply"
    file.write_bytes(ply(Mesh(vertices, faces)))

    outside = look_at(file, Wish(up=up)).outside

    top = outside.vertices_mm[outside.vertices_mm[:, 2] > 89.9]
    assert outside.low_mm[2] == approx(0)
    assert outside.volume_l == approx(cup_l(), rel=1e-6)
    assert np.hypot(top[:, 0], top[:, 1]).max() == approx(40, abs=1e-4)


@pytest.mark.parametrize(
    ("wish", "error"),
    [
        (Wish(shows="fired"), BadInput),
        (Wish(shrinkage=0.0), OutOfRange),
        (Wish(shrinkage=0.5), OutOfRange),
        (Wish(shrinkage=float("nan")), OutOfRange),
    ],
)
def test_a_shrinkage_that_cannot_be_is_refused(tmp_path, wish, error):
    with pytest.raises(error):
        look_at(tmp_path / "cup.stl", wish)


# --- a hollow vessel


def test_a_hollow_cup_comes_apart_into_outside_and_inside():
    """The inside is a frustum too: 25.67 mm at the floor, 35 mm at the brim, 84 mm high."""
    r = 30 + 10 * 6 / 90 - 5
    inside_l = kept_of_circle(64) * np.pi * 84 * (35**2 + 35 * r + r**2) / 3 / 1e6
    vessel = vessel_of(hollow_cup())

    assert vessel.outside.volume_l == approx(cup_l(), rel=1e-6)
    assert vessel.capacity_l == approx(inside_l, rel=1e-4)
    assert vessel.brim_mm == approx(90)
    assert hollow_cup().volume_l == approx(cup_l() - inside_l, rel=1e-9)


def test_a_dent_in_the_rim_lowers_the_brim():
    """A notch cut 5 mm deep: what is above it holds nothing. Brims are looked for every mm."""
    notch = manifold3d.Manifold.cube((20, 8, 10)).translate((30, -4, 85))
    vessel = vessel_of(mesh_of(solid_of(hollow_cup()) - notch))

    assert 84 <= vessel.brim_mm <= 85 + 1e-9
    assert vessel.capacity_l < vessel_of(hollow_cup()).capacity_l


@pytest.mark.parametrize(
    "mesh",
    [cup(), sphere(40, 48), revolved([(0, 0), (40, 0), (40, 90), (30, 90), (30, 84), (0, 84)])],
    ids=["a solid cup", "a ball", "a jar with a gallery"],
)
def test_what_is_not_hollow_is_not_taken_apart(mesh):
    assert vessel_of(mesh) is None


def test_the_shared_hollow_mug_agrees_with_its_facts(meshes):
    """Its outside is mug.stl, and it holds 330.2 cm³ brimful, as whoever made it says."""
    looked = look_at(meshes / "mug_hollow.3mf", Wish())
    outside = decode((meshes / "mug.stl").read_bytes())

    assert looked.look.void.capacity_l == approx(0.3302, abs=5e-5)
    assert looked.outside.volume_l == approx(
        Mesh(outside.vertices, outside.faces).volume_l, rel=1e-5
    )


# --- the command


def test_the_command_tells_it_in_words_and_as_json(tmp_path, capsys):
    file = tmp_path / "cup.ply"
    file.write_bytes(ply(hollow_cup()))

    assert run(["shape", str(file), "--shrinkage", "12 %"]) == 0
    words = capsys.readouterr().out
    assert "80 mm × 80 mm × 90 mm" in words
    assert "70 mm × 70 mm × 79 mm" in words
    assert "nothing had to be mended" in words

    assert run(["shape", str(file), "--json"]) == 0
    shape = msgspec.json.decode(capsys.readouterr().out, type=Shape)
    assert shape.look.body.volume_l == approx(cup_l(), rel=1e-6)
    assert shape.look.unit_from == "size"


def test_without_the_extra_the_command_says_what_to_install(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(extras, "find_spec", lambda name: None)

    with pytest.raises(MissingExtra):
        extras.require_extra("shape")
    assert run(["shape", str(tmp_path / "cup.stl")]) == 2
    assert 'pip install "pourwright[shape]"' in capsys.readouterr().err


def test_what_cannot_be_read_is_one_sentence(tmp_path, capsys):
    file = tmp_path / "cup.stl"
    file.write_bytes(stl(cup())[:2000])

    assert run(["shape", str(file)]) == 2
    assert capsys.readouterr().err.count("\n") == 1
