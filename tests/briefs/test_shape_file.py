"""A brief that names a shape has its parts and its fill, and says so."""

import json
from datetime import date
from pathlib import Path

import msgspec
import pytest
from pytest import approx

from pourwright.briefs.reading import read_brief
from pourwright.cli.main import run
from pourwright.errors import BadInput
from pourwright.shape.records import Body, Look, Mold, MoldPart, Shape
from tests.shape.conftest import in_this_process  # noqa: F401
from tests.shape.models import ply
from tests.shape.test_release import handled

TODAY = date(2031, 3, 3)
BRIEF = """\
version = 1
[edition]
id = "reed-cup"
pieces = 24
[mold]
shape = "mold/cup-shape.json"
{mold}
[firing]
glaze_load = 13
{casting}
"""


LOOK = Look(
    "cup.ply", "5f" * 32, "PLY", "mm", "told", "z", "mold", None, 8,
    (), Body(8, (60.0, 60.0, 70.0), None, 0.2, 0.02), None,
)  # fmt: skip
PARTS = tuple(
    MoldPart(f"half {number}", (1.0, 0.0, 0.0), 0.0, volume_l, 30.0, (0.0, 0.0, 0.0), 0.0, 0.0)
    for number, volume_l in ((1, 1.612519399), (2, 1.611159230))
)
MOLD = Mold(PARTS, (150.0, 175.0, 150.0), 3.8, (), 0.0, 0.0, 0.0, 0.590882425)


@pytest.fixture(scope="module")
def studio(tmp_path_factory) -> Path:
    """Return a folder with a studio and the shape of a mug."""
    folder = tmp_path_factory.mktemp("studio")
    (folder / "studio.toml").write_text("version = 1\n[kiln]\nloads_a_week = 2\n")
    (folder / "mold").mkdir()
    made = msgspec.json.encode(Shape(LOOK, mold=MOLD))
    (folder / "mold" / "cup-shape.json").write_bytes(made)
    return folder


def written(folder: Path, mold: str = "", casting: str = "") -> Path:
    path = folder / "edition.toml"
    path.write_text(BRIEF.format(mold=mold, casting=casting))
    return path


def told(folder: Path):
    return json.loads((folder / "mold" / "cup-shape.json").read_text())


def test_parts_and_fill_are_those_of_the_shape(studio):
    brief, _ = read_brief(written(studio), TODAY)
    made = told(studio)

    assert [one.name for one in brief.mold.parts] == ["half 1", "half 2"]
    for part, one in zip(brief.mold.parts, made["mold"]["parts"], strict=True):
        assert part.volume_l == approx(one["volume_l"], rel=1e-8)
        assert part.told_as == "volume"
    assert brief.casting.fill_l == approx(made["mold"]["fill_l"], rel=1e-8)
    source = f"the shape of cup.ply, SHA-256 {made['look']['sha256'][:12]}"
    assert brief.origins["mold.parts[1].volume"].source == source
    assert brief.origins["casting.fill"].kind == "worked out"


def test_a_fill_that_is_written_stands(studio):
    brief, _ = read_brief(written(studio, casting='[casting]\nfill = "0.5 l"'), TODAY)

    assert brief.casting.fill_l == 0.5


@pytest.mark.whole
@pytest.mark.usefixtures("in_this_process")
def test_the_plan_pours_the_volumes_that_the_command_told(tmp_path, capsys):
    """To the tenth of a milliliter that a plan tells."""
    studio = tmp_path
    (studio / "studio.toml").write_text("version = 1\n[kiln]\nloads_a_week = 2\n")
    (studio / "cup.ply").write_bytes(ply(handled()))
    made = ["shape", str(studio / "cup.ply"), "--unit", "mm", "--mold", str(studio / "mold")]
    assert run([*made, "--json"]) == 0
    capsys.readouterr()
    assert (
        run(["plan", str(written(studio)), "--json", "--runs", "100", "--today", "2031-03-03"]) == 0
    )
    plan = json.loads(capsys.readouterr().out)
    volumes = [one["volume_l"] for one in told(studio)["mold"]["parts"]]

    assert [one["volume_l"] for one in plan["plaster"]["parts"]] == approx(volumes, abs=6e-5)


@pytest.mark.parametrize(
    ("mold", "data", "says"),
    [
        ('dry_mass = "4 kg"', None, "mold.dry_mass is told too; keep one of the two"),
        ('[[mold.parts]]\nwater = "2 kg"', None, "mold.parts is told too"),
        ("", b"solid cup", "name the file that pourwright shape MODEL --mold FOLDER wrote"),
        ("", b"{}", "name the file that pourwright shape MODEL --mold FOLDER wrote"),
        ("", b" " * 2_000_001, "name the file that pourwright shape MODEL --mold FOLDER wrote"),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_do(tmp_path, studio, mold, data, says):
    (tmp_path / "studio.toml").write_text((studio / "studio.toml").read_text())
    (tmp_path / "mold").mkdir()
    file = tmp_path / "mold" / "cup-shape.json"
    file.write_bytes((studio / "mold" / "cup-shape.json").read_bytes() if data is None else data)

    with pytest.raises(BadInput, match='mold.shape is "mold/cup-shape.json"') as refusal:
        read_brief(written(tmp_path, mold), TODAY)
    (complaint,) = refusal.value.complaints
    assert says in complaint.sentence()
