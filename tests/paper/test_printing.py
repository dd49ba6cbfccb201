"""A sheet as a PDF: the same bytes, fonts and tags in it, people's words never markup."""

import io
import re
import shutil
import subprocess

import pikepdf
import pytest
from msgspec.structs import replace

from pourwright.errors import BadInput, MissingExtra
from pourwright.extras import NEEDED
from pourwright.paper.kinds import KINDS, find_kind
from pourwright.paper.printing import LAYOUTS, as_pdf, size_for
from tests.paper.sheets import LONG, TRICKY, grown, printed_texts, sample_sheets

SHEETS = sample_sheets()
EACH = [name if name == "pour" else pytest.param(name, marks=pytest.mark.whole) for name in SHEETS]
"""Every kind; one does where what all share is in question."""
A4_MM, LETTER_MM = (210, 297), (215.9, 279.4)


def words_of(pdf: bytes, order: str = "-layout") -> str:
    """Return the words of a PDF as a reader that shares no code with ours finds them."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext on this machine; install poppler-utils to run this test")
    told = ["pdftotext", order, "-", "-"]
    return subprocess.run(told, input=pdf, capture_output=True, check=True).stdout.decode()


def plain(text: str) -> str:
    """Return a text without spaces and hyphens, as a line may be broken anywhere."""
    return re.sub(r"[\s\u00ad\u200b\u2010-]+", "", text)


def test_every_kind_has_its_layout_and_its_sample():
    names = [one.name for one in KINDS]

    assert names == list(SHEETS)
    assert {f"{name}.typ" for name in names} <= {path.name for path in LAYOUTS.iterdir()}


@pytest.mark.parametrize("name", EACH)
def test_the_same_record_gives_the_same_bytes_and_no_day_but_its_own(name):
    one, two = (as_pdf(name, SHEETS[name], "a4") for _ in range(2))

    assert one == two
    assert b"CreationDate" not in one
    assert b"CreateDate" not in one


@pytest.mark.parametrize("name", EACH)
def test_a_pdf_is_sound_tagged_and_holds_its_fonts(name):
    with pikepdf.open(io.BytesIO(as_pdf(name, SHEETS[name], "a4"))) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == "en-US"
        assert str(pdf.docinfo["/Title"]) == SHEETS[name].title
        fonts = [font for page in pdf.pages for font in page.Resources.Font.values()]
        assert fonts
        for font in fonts:
            inside = font.DescendantFonts[0].FontDescriptor
            assert any(key in inside for key in ("/FontFile2", "/FontFile3"))


@pytest.mark.parametrize(("size", "wanted_mm"), [("a4", A4_MM), ("us-letter", LETTER_MM)])
def test_a_sheet_is_as_large_as_the_paper(size, wanted_mm):
    with pikepdf.open(io.BytesIO(as_pdf("pour", SHEETS["pour"], size))) as pdf:
        box = [float(edge) * 25.4 / 72 for edge in pdf.pages[0].mediabox]

    assert box[2:] == pytest.approx(wanted_mm, abs=0.1)


def test_the_studios_country_decides_on_the_paper():
    assert [size_for(one) for one in ("US", "CA", "DK", "PT", None)] == [
        "us-letter",
        "us-letter",
        "a4",
        "a4",
        "a4",
    ]


def test_what_people_typed_is_never_read_as_markup():
    sheet = replace(SHEETS["pour"], of=TRICKY)

    assert plain(TRICKY) in plain(words_of(as_pdf("pour", sheet, "a4")))


def test_a_character_that_the_fonts_lack_is_named_before_printing():
    with pytest.raises(BadInput, match="do not have 漢 .U.6F22., 字 .U.5B57.; write it with other"):
        as_pdf("pour", replace(SHEETS["pour"], of="Cup 漢字"), "a4")


def test_letters_of_other_alphabets_are_printed():
    names = "Søren Łódź Ağaç Žluťoučký Ελένη Жанна"
    found = words_of(as_pdf("pour", replace(SHEETS["pour"], of=names), "a4"))

    assert plain(names) in plain(found)


def test_without_the_extra_the_line_that_installs_it_is_told(monkeypatch):
    monkeypatch.setitem(NEEDED, "paper", ("no_such_library",))

    with pytest.raises(MissingExtra, match=r'pip install "pourwright\[paper\]"'):
        as_pdf("pour", SHEETS["pour"], "a4")


def test_a_kind_that_is_none_is_refused_with_the_nearest():
    with pytest.raises(BadInput, match="Did you mean pour?"):
        find_kind("poor")


# --- long names, many rows, none: nothing is cut and nothing lies on anything else


def boxes(pdf: bytes) -> list[list[tuple[float, float, float, float, str]]]:
    """Return the words of each page with their boxes. [pt]"""
    text = words_of(pdf, "-bbox")
    word = re.compile(
        r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
    )
    return [
        [(*map(float, found[:4]), found[4]) for found in word.findall(page)]
        for page in text.split("<page ")[1:]
    ]


def on_one_another(words: list[tuple[float, float, float, float, str]]) -> list[tuple[str, str]]:
    """Return the pairs of words whose boxes share more than a hair's breadth.

    A box is as high as the font and not as the letters, so its middle half counts.
    """
    flat = [
        (x0, y0 + (y1 - y0) / 4, x1, y1 - (y1 - y0) / 4, word) for x0, y0, x1, y1, word in words
    ]
    by_height = sorted(flat, key=lambda one: one[1])
    found = []
    for at, one in enumerate(by_height):
        for other in by_height[at + 1 :]:
            if other[1] > one[3]:
                break
            across = min(one[2], other[2]) - max(one[0], other[0])
            if across > 0.5:
                found.append((one[4], other[4]))
    return found


@pytest.mark.whole
@pytest.mark.parametrize(
    ("rows", "text", "size"),
    [(0, "", "a4"), (7, LONG, "a4"), (7, LONG, "us-letter"), (500, "", "a4")],
)
@pytest.mark.parametrize("name", SHEETS)
def test_nothing_is_cut_and_nothing_lies_on_anything_else(name, rows, text, size):
    sheet = grown(SHEETS[name], rows, text)
    pdf = as_pdf(name, sheet, size)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        width, height = (float(one) for one in opened.pages[0].mediabox[2:])
    pages = boxes(pdf)

    for page in pages:
        assert on_one_another(page) == []
        assert min(one[0] for one in page) > 20
        assert max(one[2] for one in page) < width - 20
        assert max(one[3] for one in page) < height - 15
    said = plain(words_of(pdf, "-raw"))
    assert {text for text in map(plain, printed_texts(sheet)) if rows and text not in said} == set()


def test_the_words_on_one_another_would_be_found():
    there = [(10.0, 10.0, 60.0, 22.0, "one"), (50.0, 12.0, 90.0, 24.0, "two")]

    assert on_one_another(there) == [("one", "two")]
    assert on_one_another([there[0], (61.0, 10.0, 90.0, 22.0, "two")]) == []
