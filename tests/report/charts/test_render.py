"""A drawing to SVG: the same bytes anywhere, nothing that runs or fetches, every color by its name."""

import json
import os
import re
import subprocess
import sys
from xml.etree import ElementTree as ET

import pytest

from pourwright.report.charts.palette import DARK, LIGHT, SCHEMES
from pourwright.report.charts.records import LOOKS, PHONE
from pourwright.report.charts.render import svg_image, svg_in_page
from tests.ledger.toy import rounds
from tests.report.charts.cases import CASES, LONG

MAIN = ("fan", "use", "timeline", "molds", "risks")
ODD_DATA_IN = LOOKS[: rounds(1, 2)]
"""Odd data are the hardest on the narrow image; `make test-rest` draws them on both."""
SVG = "{http://www.w3.org/2000/svg}"
SHAPES = {"svg", "g", "polyline", "polygon", "circle", "text"}


@pytest.fixture(scope="module")
def drawn() -> dict[tuple[str, str], str]:
    """Return every chart as a page takes it, the main ones in either width."""
    return {
        (name, look.name): svg_in_page(make(look))
        for name, make in CASES.items()
        for look in (LOOKS if name in MAIN else ODD_DATA_IN)
    }


@pytest.mark.rounds
def test_every_chart_of_odd_data_is_drawn(drawn):
    assert {name for name, _ in drawn} == set(CASES)
    for (_, look), svg in drawn.items():
        root = ET.fromstring(svg)
        assert root.get("width") == {"phone": "360", "desktop": "720"}[look]
        assert root.get("viewBox") == f"0 0 {root.get('width')} {root.get('height')}"
        assert list(root)


@pytest.mark.rounds
def test_nothing_runs_fetches_or_has_a_name(drawn):
    for key, svg in drawn.items():
        for element in ET.fromstring(svg).iter():
            assert element.tag.removeprefix(SVG) in SHAPES, key
            assert not set(element.attrib) & {"id", "class", "style", "href", "font-family"}, key
            assert not any(name.startswith(("on", "{")) for name in element.attrib), key
        assert "url(" not in svg
        assert svg.count("http") == svg.count("http://www.w3.org/2000/svg") == 1


@pytest.mark.rounds
def test_no_number_is_broken(drawn):
    broken = [key for key, svg in drawn.items() if re.search(r"NaN|Infinity|undefined|null", svg)]

    assert broken == []


@pytest.mark.rounds
def test_every_color_in_a_page_is_the_pages_own(drawn):
    names = {f"var(--{name})" for name in LIGHT}
    for key, svg in drawn.items():
        assert "#" not in svg, key
        for element in ET.fromstring(svg).iter():
            paint = {element.get("fill"), element.get("stroke")} - {None, "none"}
            assert paint <= names, key


@pytest.mark.parametrize(("name", "scheme"), [*((name, "dark") for name in MAIN), ("fan", "light")])
def test_a_file_is_in_the_colors_of_its_scheme(name, scheme):
    svg = svg_image(CASES[name](PHONE), scheme).decode()
    other = {"light": DARK, "dark": LIGHT}[scheme]

    assert set(re.findall("#[0-9a-f]{6}", svg)) <= set(SCHEMES[scheme].values())
    assert not set(re.findall("#[0-9a-f]{6}", svg)) & set(other.values())


def test_a_file_says_what_it_shows():
    """SVG 2, 5.8: the first title and desc children are an image's name and description."""
    root = ET.fromstring(
        svg_image(CASES["fan"](PHONE), title="Pieces & proofs", alt="It rises <9>.")
    )

    assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert root[0].text == "Pieces & proofs"
    assert root[1].text == "It rises <9>."
    assert root.get("role") == "img"


ELSEWHERE = """
import json, sys
from pourwright.report.charts.records import PHONE
from pourwright.report.charts.render import svg_in_page
from tests.report.charts.cases import CASES
json.dump({name: svg_in_page(CASES[name](PHONE)) for name in sys.argv[1:]}, sys.stdout)
"""


@pytest.mark.parametrize(
    "surroundings",
    [
        # West of Greenwich a day that is told in local time is the day before.
        {"TZ": "America/Los_Angeles", "LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "PYTHONHASHSEED": "7"},
        pytest.param({"TZ": "Pacific/Auckland"}, marks=pytest.mark.whole),
    ],
)  # fmt: skip
def test_another_process_clock_language_or_font_draws_the_same(surroundings, drawn, root, tmp_path):
    """The same chart gives the same bytes: days have no time zone, and no width rests on a machine's fonts."""
    (tmp_path / "fonts.conf").write_text("<fontconfig></fontconfig>", encoding="utf-8")
    fonts = {"FONTCONFIG_FILE": str(tmp_path / "fonts.conf")}
    elsewhere = subprocess.run(
        [sys.executable, "-c", ELSEWHERE, *MAIN],
        capture_output=True, text=True, check=True, cwd=root, env={**os.environ, **surroundings, **fonts},
    ).stdout  # fmt: skip

    assert json.loads(elsewhere) == {name: drawn[name, "phone"] for name in MAIN}


def test_words_are_written_as_they_were_given(drawn):
    cut = [t.text for t in ET.fromstring(drawn["timeline-long", "phone"]).iter(f"{SVG}text")]

    assert any(text and LONG.startswith(text.removesuffix("…")) and len(text) > 20 for text in cut)
    assert any(text and text.startswith("釉薬") for text in cut)


def test_what_would_run_is_text():
    from pourwright.report.charts.timeline import timeline_chart
    from tests.report.charts.cases import Finish, StageBar, day

    nasty = "</text><script>alert(1)</script>"
    stages = [StageBar(nasty, "hands", ((day(0), day(9)),))]
    svg = svg_in_page(timeline_chart(stages, [], PHONE, finish=Finish(day(9))))

    assert "<script" not in svg
    assert any(t.text == nasty for t in ET.fromstring(svg).iter(f"{SVG}text"))
