"""Where the shared test shapes are."""

import os
from pathlib import Path

import pytest

from tests.conftest import ROOT

MESHES = Path(os.environ.get("POURWRIGHT_MESHES", ROOT.parent / "shared" / "meshes"))


@pytest.fixture(scope="session")
def meshes() -> Path:
    """Return the folder of test shapes that the project does not carry."""
    if not (MESHES / "facts.json").is_file():
        pytest.skip("the shared test shapes are not here; POURWRIGHT_MESHES names their folder")
    return MESHES
