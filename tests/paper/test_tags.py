"""Tags: codes that another reader reads, also smeared; labels where their sheet has them."""

import io

import numpy as np
import pikepdf
import pytest
import zxingcpp
from msgspec.structs import replace
from PIL import Image

from pourwright.errors import BadInput
from pourwright.ledger.documents import FormDoc
from pourwright.paper.label_size import LabelSize, read_label_size
from pourwright.paper.printing import as_pdf, as_pictures
from pourwright.paper.tags import form_part
from tests.paper.sheets import sample_sheets

TAGS = sample_sheets()["tags"]
OPENS = {
    "http://studio.lan:8484/shelf/M-004",
    "http://studio.lan:8484/records?about=F-002",
}
QUIET, FINDER = 4, 8
"""Modules around a code, and of a finder pattern with the light ones beside it. [-]"""


def page(sheet, dpi=150):
    """Return a sheet's first page as a scanner would have it."""
    picture = as_pictures("tags", sheet, "a4", dpi)[0]
    return np.asarray(Image.open(io.BytesIO(picture)).convert("L"))


def read(picture):
    """Return what the codes in a picture say, by a reader that shares no code with ours."""
    return [one.text for one in zxingcpp.read_barcodes(Image.fromarray(picture))]


def smeared(picture, share, seed):
    """
    Return a picture in which that share of each code's area lies under a gray smear as wide as
    a wet thumb drags it, anywhere but over the three finder patterns.
    """
    rng, found = np.random.default_rng(seed), picture.copy()
    for one in zxingcpp.read_barcodes(Image.fromarray(picture)):
        top, left = one.position.top_left.y, one.position.top_left.x
        side = one.position.bottom_right.y - top
        edge = round(side * FINDER / 33)
        high = round(side * np.sqrt(share / 2))
        wide = round(side * side * share / high)
        y = top + edge + rng.integers(0, side - edge - high + 1)
        x = left + edge + rng.integers(0, max(side - edge - wide, 0) + 1)
        found[y : y + high, x : x + wide] = 96
    return found


def test_every_code_is_read_at_150_dpi_and_is_of_level_q():
    found = zxingcpp.read_barcodes(Image.fromarray(page(TAGS)))

    assert {one.text for one in found} == OPENS
    assert {one.ec_level for one in found} == {"Q"}


@pytest.mark.whole
def test_the_code_of_a_lot_card_opens_the_lot():
    pictures = as_pictures("lot", sample_sheets()["lot"], "a4", 150)
    found = [np.asarray(Image.open(io.BytesIO(one)).convert("L")) for one in pictures]

    assert [text for one in found for text in read(one)] == ["http://studio.lan:8484/lots/S-003"]


@pytest.mark.parametrize(
    "seed", [0, *(pytest.param(seed, marks=pytest.mark.whole) for seed in range(1, 12))]
)
def test_every_code_is_read_with_a_tenth_smeared(seed):
    assert set(read(smeared(page(TAGS), 0.1, seed))) == OPENS


@pytest.mark.whole
def test_a_smear_of_half_the_code_is_not_read():
    assert read(smeared(page(TAGS), 0.5, 1)) == []


@pytest.mark.parametrize(
    ("size", "wanted"), [("a4", 24), pytest.param("us-letter", 21, marks=pytest.mark.whole)]
)
def test_as_many_labels_as_a_sheet_has_lie_where_it_has_them(size, wanted):
    """Of 70 x 37 mm an A4 sheet has three by eight, with 0.5 mm at its head and foot."""
    many = replace(
        TAGS, width_mm=70.0, height_mm=37.0, cut=False, tags=TAGS.tags[:1] * (wanted + 1)
    )
    pages = as_pictures("tags", many, size, 100)
    dark = np.asarray(Image.open(io.BytesIO(pages[0])).convert("L")) < 128
    with pikepdf.open(io.BytesIO(as_pdf("tags", many, size))) as pdf:
        assert len(pdf.pages) == 2

    assert len(pages) == 2
    rows = np.flatnonzero(dark.any(axis=1)) / 100 * 25.4
    assert rows.min() > 1.5
    assert rows.max() < (297 if size == "a4" else 279.4) - 1.5


@pytest.mark.parametrize(
    ("what", "part", "said"),
    [
        ("block mold", None, "block mold"),
        ("master", "left half", "master: left half"),
    ],
)
def test_what_a_form_is_stands_once(what, part, said):
    form = FormDoc(
        edition="jug",
        what=what,
        name=what,
        part=part,
        lot=None,
        cure_test=None,
        made_at="2026-01-13",
    )

    assert form_part(form) == said


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("70 x 37 mm", LabelSize(70, 37)),
        ("99.1x67.7", LabelSize(99.1, 67.7)),
        ("4 in x 2 in", LabelSize(101.6, 50.8)),
    ],
)
def test_label_sizes_are_read(typed, wanted):
    found = read_label_size(typed)

    assert (found.width_mm, found.height_mm) == pytest.approx((wanted.width_mm, wanted.height_mm))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("70", "write width x height"),
        ("30 x 20 mm", "a tag needs 60 x 35 mm at least"),
        ("300 x 37 mm", "200 x 140 mm fit on the paper"),
        ("7 kg x 3 kg", "--labels"),
    ],
)
def test_a_label_size_that_will_not_do_is_a_sentence(typed, said):
    with pytest.raises(BadInput, match=said):
        read_label_size(typed)
