"""The colors of charts: the page's own, and told apart without color."""

import re
from importlib.resources import files
from itertools import combinations

import pytest

from pourwright.report.charts.palette import DARK, LIGHT, SCHEMES
from pourwright.report.charts.timeline import STYLES


def luminance(color: str) -> float:
    """
    Relative luminance of sRGB: WCAG 2.2, definition of "relative luminance" (from IEC 61966-2-1).
    It is what remains of a color in gray.
    """
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definition of "contrast ratio"), from 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_is_that_of_the_standard():
    """WCAG 2.2: black on white is 21:1; #767676 on white is the known edge of 4.5:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


STYLE = (files("pourwright.report") / "templates" / "parts.css").read_text(encoding="utf-8")
NAMED = re.findall(r"--([a-z-]+): (#[0-9a-f]+);", STYLE)
IN_STYLE = {name: [color for other, color in NAMED if other == name] for name, _ in NAMED}
# in the style the bench's colors stand third
ALL = {**SCHEMES, "bench": {name: IN_STYLE[name][2] for name in LIGHT}}
WORDS = ("ink", "soft", "glaze", "iron", "ochre")
GROUNDS = ("plaster", "sheet")
LINES = [
    # what is drawn, and over what it may lie
    ("ink", ("plaster", "glaze-pale", "glaze-mid")),
    ("glaze", ("plaster", "glaze-pale", "glaze-mid")),
    ("iron", ("plaster", "sheet", "glaze-pale", "glaze-mid")),
    ("ochre", ("plaster", "sheet", "glaze-pale")),
    ("soft", ("plaster", "sheet")),
    ("line", ("plaster", "sheet")),
]
BANDS = [("plaster", "glaze-pale"), ("glaze-pale", "glaze-mid")]


@pytest.mark.parametrize("scheme", ALL)
def test_words_are_read_on_their_ground(scheme):
    """WCAG 2.2, 1.4.3: text has 4.5:1."""
    colors = ALL[scheme]
    low = [(w, g) for w in WORDS for g in GROUNDS if contrast(colors[w], colors[g]) < 4.5]

    assert low == []


@pytest.mark.parametrize("scheme", ALL)
def test_lines_and_marks_stand_out_in_gray(scheme):
    """WCAG 2.2, 1.4.11: what is needed to understand a graphic has 3:1 to what it lies over."""
    colors = ALL[scheme]
    low = [
        (mark, ground, round(contrast(colors[mark], colors[ground]), 2))
        for mark, grounds in LINES
        for ground in grounds
        if contrast(colors[mark], colors[ground]) < 3
    ]

    assert low == []


@pytest.mark.parametrize("scheme", ALL)
def test_bands_step_in_gray(scheme):
    """
    Neighboring bands differ by a third in lightness; their edges carry lines of 3:1 (above),
    so that nothing hangs on the bands' shade alone. The step is our own choice, no source.
    """
    colors = ALL[scheme]

    assert all(contrast(colors[a], colors[b]) >= 1.3 for a, b in BANDS)


def test_what_is_alike_in_gray_differs_in_shape():
    """Iron, ochre and glaze have one lightness; bars that touch differ in height or edge."""
    for one, other in combinations(STYLES.values(), 2):
        same_gray = contrast(LIGHT[one[0]], LIGHT[other[0]]) < 1.3
        assert not same_gray or one[1:] != other[1:]


@pytest.mark.parametrize("scheme", ALL)
def test_every_color_has_one_name(scheme):
    assert len(set(ALL[scheme].values())) == len(ALL[scheme])
    assert set(LIGHT) == set(DARK)


def test_a_drawing_in_a_page_finds_its_colors_there():
    """The pages' style names each color, light first, then dark, then the bench's; paper is white."""
    for name, color in LIGHT.items():
        assert IN_STYLE[name][:2] == [color, DARK[name]]
        assert (IN_STYLE[name][3:] == ["#fff"]) is (name in ("plaster", "sheet"))
