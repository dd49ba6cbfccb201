"""Where the shared test shapes are."""

import os
from pathlib import Path

import numpy as np
import pytest

from pourwright.plan import shape
from pourwright.shape import model_file
from pourwright.shape.model_child import FACES, VERTICES
from pourwright.shape.model_decoding import decode
from tests.conftest import ROOT

MESHES = Path(os.environ.get("POURWRIGHT_MESHES", ROOT.parent / "shared" / "meshes"))


@pytest.fixture
def in_this_process(monkeypatch):
    """Decode models here, which saves a second a file, and draw small pictures.

    Tests of bad models try the child, those of pictures draw larger ones.
    """

    def decoded(data: bytes, made: Path) -> dict[str, str]:
        model = decode(data)
        np.save(made / VERTICES, model.vertices)
        np.save(made / FACES, model.faces)
        return {"kind": model.kind, "unit": model.unit}

    monkeypatch.setattr(model_file, "_decoded_apart", decoded)
    monkeypatch.setattr(shape, "VIEW_DOTS", 20)


@pytest.fixture(scope="session")
def meshes() -> Path:
    """Return the folder of test shapes that the project does not carry."""
    if not (MESHES / "facts.json").is_file():
        pytest.skip("the shared test shapes are not here; POURWRIGHT_MESHES names their folder")
    return MESHES
