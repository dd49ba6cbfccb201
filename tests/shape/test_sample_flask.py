"""The mold that the sample studio carries is the one that the command makes of its flask."""

import msgspec
import pytest
from pytest import approx

from pourwright.shape.records import Shape
from tests.shape.sample_flask import KEPT, STEM, made


@pytest.mark.whole
@pytest.mark.usefixtures("in_this_process")
def test_the_samples_mold_is_made_again(tmp_path, capsys):
    made(tmp_path)
    fresh = msgspec.json.decode(capsys.readouterr().out, type=Shape)
    kept = msgspec.json.decode((KEPT / f"{STEM}-shape.json").read_bytes(), type=Shape)

    assert kept.look == fresh.look
    assert [one.name for one in kept.mold.parts] == [one.name for one in fresh.mold.parts]
    for old, new in zip(kept.mold.parts, fresh.mold.parts, strict=True):
        assert old.volume_l == approx(new.volume_l, rel=0.01)
    assert kept.wall.kept_l == approx(fresh.wall.kept_l, rel=0.01)
    assert len(kept.wall.solids) == len(fresh.wall.solids) == 2
