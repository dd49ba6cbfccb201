"""Damaged and hostile files: healed with a report, or refused with fault, place and what to do."""

import os
import subprocess
import sys

import numpy as np
import pytest
from pytest import approx

from pourwright.errors import BadInput
from pourwright.shape import model_decoding
from pourwright.shape.edges import is_closed
from pourwright.shape.healing import heal
from pourwright.shape.look import Wish, look_at
from pourwright.shape.mesh import Mesh
from pourwright.shape.model_decoding import decode
from pourwright.shape.model_file import read_model
from tests.shape.damaged_models import CUP, HEALED, REFUSED, THREE_MF, VOLUME_L
from tests.shape.models import WRITERS, ply, text_stl


def test_there_are_at_least_thirty_of_them():
    assert len(REFUSED) + len(HEALED) >= 30


def whole(data: bytes):
    """Decode and heal a file in this process, as a child and its caller do together."""
    model = decode(data)
    return heal(Mesh(model.vertices, model.faces))


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_used_is_refused_with_what_to_do(name):
    data, says = REFUSED[name]

    with pytest.raises(BadInput) as refusal:
        whole(data)

    (complaint,) = refusal.value.complaints
    assert says in complaint.sentence()
    assert complaint.right, "what to do"


WRAPPED = pytest.param("a fin", marks=pytest.mark.whole)
"""The one that takes seconds: a skin is made of it."""


@pytest.mark.parametrize("name", [WRAPPED if name == "a fin" else name for name in HEALED])
def test_what_can_be_healed_is_healed_and_told(name):
    mesh, kinds, volume_l, near = HEALED[name]

    healed, faults = whole(ply(mesh))

    told = {one.kind: one.count for one in faults}
    assert told.keys() == kinds.keys()
    assert all(told[kind] == count for kind, count in kinds.items() if count)
    assert all(one.mended for one in faults)
    assert healed.volume_l == approx(volume_l, rel=near)
    assert is_closed(healed.faces)


def test_a_fault_is_told_where_it_is():
    """The worst opening of a cup without its top is in the middle of its top, as long as its rim."""
    mesh, *_ = HEALED["no top"]
    _, (opening,) = heal(mesh)

    assert opening.at_mm == (0, 0, 90)
    assert opening.size_mm == approx(64 * 2 * 40 * np.sin(np.pi / 64), abs=0.01)


@pytest.mark.parametrize("kind", WRITERS)
def test_every_kind_is_read_alike(kind):
    model = decode(WRITERS[kind](CUP))
    healed, faults = heal(Mesh(model.vertices, model.faces))

    assert model.kind == kind
    assert model.unit == {"3MF": "millimeter", "GLB": "meters"}.get(kind, "")
    assert healed.volume_l == approx(VOLUME_L, rel=1e-6)
    assert faults == ()


def test_a_text_stl_is_read():
    assert len(decode(text_stl(CUP)).faces) == len(CUP.faces)


def test_a_3mf_bomb_is_refused_before_it_is_unpacked(monkeypatch):
    monkeypatch.setattr(model_decoding, "MOST_UNPACKED", 10_000)

    with pytest.raises(BadInput, match="more than can be read once it is unpacked"):
        decode(THREE_MF)


def test_a_file_is_decoded_in_a_process_of_its_own_and_its_name_told(tmp_path):
    good, bad = tmp_path / "cup.ply", tmp_path / "cut.ply"
    good.write_bytes(ply(CUP))
    bad.write_bytes(ply(CUP)[:3000])

    assert len(read_model(good).faces) == len(CUP.faces)
    with pytest.raises(BadInput, match=r"^cut\.ply: the model is cut short"):
        read_model(bad)
    with pytest.raises(BadInput, match=r"^none\.stl: the model is not readable"):
        read_model(tmp_path / "none.stl")


@pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="limits of this system are tried on Linux"
)
def test_a_file_that_takes_too_much_is_ended_and_refused(tmp_path):
    """The child is given a second of processor time; reading a long text takes more."""
    long = tmp_path / "long.obj"
    line = b"v 0.123456 1.234567 2.345678\n"
    long.write_bytes(line * 2_000_000 + b"f 1 2 3\n")
    made = tmp_path / "made"
    made.mkdir()
    code = (
        "import sys; from pourwright.shape import model_child\n"
        "model_child.PROCESSOR_S = 1\n"
        "model_child.main(sys.argv[1])"
    )
    with long.open("rb") as file:
        done = subprocess.run(
            [sys.executable, "-c", code, str(made)], stdin=file, capture_output=True, check=False,
            env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},
        )  # fmt: skip

    assert done.returncode != 0
    assert done.stdout == b""


@pytest.mark.parametrize(
    ("name", "kinds"),
    [
        ("bad_12_holes.ply", {"opening"}),
        ("bad_flipped_5pct.ply", {"turned"}),
        ("bad_inside_out.ply", {"inside out"}),
        ("bad_overlapping_shells.ply", {"overlap"}),
        ("bad_soup_jitter.stl", {"seam"}),
    ],
)
def test_the_shared_damaged_meshes_are_healed(meshes, name, kinds):
    """All but one are damaged from one sound mesh of 410.484 cm³; that one has a ball added."""
    healed, faults = whole((meshes / name).read_bytes())

    assert {one.kind for one in faults} == kinds
    if name != "bad_overlapping_shells.ply":
        assert healed.volume_l == approx(0.410484, rel=5e-4)


def test_the_shared_truncated_mesh_is_refused(meshes):
    with pytest.raises(BadInput, match="1,198 of 3,268 triangles are there"):
        look_at(meshes / "bad_truncated.stl", Wish())
