"""Pictures: what is seen has its size, its color and its place."""

import io

import numpy as np
import pytest
from PIL import Image
from pytest import approx

from pourwright.shape.pictures import (
    CLAY,
    FREE,
    HELD,
    LITTLE,
    Painted,
    by_draft,
    from_three_sides,
    opened,
    png_bytes,
    seen,
)
from pourwright.shape.reach import reached
from tests.shape.models import cup, moved, revolved, sphere

PAPER = (250, 247, 241)


def share_of_paper(picture: np.ndarray) -> float:
    return float((picture == np.array(PAPER)).all(axis=2).mean())


def test_a_ball_covers_as_much_as_a_circle():
    """Of a square of 100 mm a ball of 30 mm radius covers pi 0.3^2; a dot of its edge is half a dot."""
    picture = seen([Painted.plain(sphere(30, 96), CLAY)], np.array([1.0, -2.0, 0.7]), 200, 100.0)

    assert picture.shape == (200, 200, 3)
    assert 1 - share_of_paper(picture) == approx(np.pi * 0.09, abs=0.008)


def test_what_is_nearer_hides_what_is_behind():
    near, far = (Painted.plain(sphere(10, 32), color) for color in (CLAY, HELD))
    behind = Painted(moved(far.mesh, 0, 50, 0), far.colors)
    middle = seen([near, behind], np.array([0.0, -1.0, 0.0]), 60)[30, 30].astype(int)

    # shading keeps the ratio of the colors
    assert middle / middle.sum() == approx(np.array(CLAY) / sum(CLAY), abs=0.02)


def test_a_face_is_colored_by_how_it_comes_off():
    """A waisted body pulled down: below its waist it holds, its upper cone leans away; its top is clay."""
    body = revolved([(0, 0), (30, 0), (20, 40), (30, 70), (30.5, 90), (0, 90)], 48)
    down = np.array([[0.0, 0.0, -1.0]])
    is_open = body.normals[:, 2] > 0.999
    painted = by_draft(body, down, reached(body, down), is_open)
    middle = body.centers_mm[:, 2]
    slanted = np.abs(body.normals[:, 2]) < 0.9

    def colors(faces: np.ndarray) -> set[tuple[int, ...]]:
        return {tuple(one) for one in painted.colors[faces].tolist()}

    assert colors(is_open) == {CLAY}
    assert colors(slanted & (middle < 39)) == {HELD}
    assert colors(slanted & (middle > 71)) == {LITTLE}
    assert colors(body.normals[:, 2] < -0.999) == {FREE}


def test_views_stand_side_by_side_at_one_scale():
    """A cup 80 mm wide and 90 mm high is a round of 80 mm from above."""
    body = cup(64)
    dots = 160
    picture = from_three_sides(Painted.plain(body, CLAY), dots)
    front, right, above = np.split(picture, 3, axis=1)
    wide = float(body.size_mm.max()) * 1.06

    assert picture.shape == (dots, 3 * dots, 3)
    assert np.abs(front.astype(int) - right.astype(int)).mean() < 1
    assert 1 - share_of_paper(above) == approx(np.pi * 40**2 / wide**2, abs=0.02)
    assert 1 - share_of_paper(front) == approx(90 * (60 + 80) / 2 / wide**2, abs=0.02)


def test_a_slender_piece_is_not_cut_off():
    body = revolved([(0, 0), (15, 0), (12, 200), (0, 200)], 24)
    for view in np.split(from_three_sides(Painted.plain(body, CLAY), 60), 3, axis=1):
        around = np.concatenate([view[0], view[-1], view[:, 0], view[:, -1]])
        assert share_of_paper(around[None]) == 1
        assert share_of_paper(view) < 1


@pytest.mark.parametrize("count", [1, 3])
def test_each_part_has_a_view_beside_the_opened_mold(count):
    box = cup(16)
    pulls = [(0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)][:count]
    read = Image.open(io.BytesIO(png_bytes(opened([(box, one) for one in pulls], box, 40))))

    assert read.size == (40 * (1 + count), 40)
    assert read.format == "PNG"
