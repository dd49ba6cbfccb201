"""The flask of the sample studio: ``python -m tests.shape.sample_flask`` makes its mold anew.

What the command writes of it lies in ``studio/sample_mold``, so that whoever tries the sample out
sees a mold without the extra and without waiting for it.
"""

from pathlib import Path

import numpy as np

from pourwright.cli.main import run
from pourwright.shape.mesh import Mesh
from pourwright.shape.solids import mesh_of, solid_of
from tests.conftest import ROOT
from tests.shape.models import revolved, stl

KEPT = ROOT / "src" / "pourwright" / "studio" / "sample_mold"
STEM = "gale-flask"
SUFFIXES = ("shape.json", "view.bin", "opened.png", "three-sides.png")


def flask() -> Mesh:
    """A flat flask 162 mm high on a foot ring, with a lug at each shoulder that casts solid."""
    belly = [(26 + 26 * np.sin(one), 58 - 58 * np.cos(one)) for one in np.linspace(0.35, 2.62, 10)]
    foot = [(0, 3), (14, 3), (16, 0), (26, 0)]
    neck = [(20, 122), (14, 132), (13, 146), (15, 156), (18, 162), (0, 162)]
    body = solid_of(revolved([*foot, *belly, *neck], 36)).scale((1.0, 0.62, 1.0))
    angles = np.arange(8) * np.pi / 4
    ring = solid_of(revolved([(9 + 4.5 * np.cos(a), 4.5 * np.sin(a)) for a in angles], 16))
    lug = ring.rotate((90, 0, 0)).translate((30, 0, 118))
    return mesh_of(body + lug + lug.mirror((1, 0, 0)))


def made(folder: Path) -> None:
    """Make the flask's mold in a folder."""
    model = folder / f"{STEM}.stl"
    model.write_bytes(stl(flask()))
    told = ["shape", str(model), "--unit", "mm", "--mold", str(folder), "--shrinkage", "12 %"]
    told += ["--wall", "4.5 mm", "--test-wall", "4 mm", "--test-minutes", "12 min"]
    assert run([*told, "--liter-weight", "1760 g/l", "--loss", "11 %", "--json"]) == 0


def main() -> None:
    from tempfile import TemporaryDirectory

    KEPT.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder:
        made(Path(folder))
        for one in SUFFIXES:
            name = f"{STEM}-{one}"
            (KEPT / name).write_bytes((Path(folder) / name).read_bytes())


if __name__ == "__main__":
    main()
