"""A page that nobody can read about, or that does not say what it is, fails the build.

That each command has help and a place in the guide is tested in tests/cli/test_main.py; that
each route is in the table of routes, in tests/web/test_routes.py.
"""

import re
from collections import Counter

import pytest

from tests.web.pages import Page, route_of, walk
from tests.web.sample import sample as sample
from tests.web.test_routes import TABLE, routes

GUIDES = ("studio.md", "bench.md")
# What answers a GET with something else than a page, or without end.
NO_PAGES = {
    "/health", "/begin/answer", "/static/{digest}/{name}", "/stream", "/api/clock", "/api/openapi.json",
    "/settings/studio.toml", "/settings/devices/qr.svg",
    "/editions/{edition}/brief.toml",
    "/calendar/{token}.ics", "/paper/{kind}.pdf", "/photos/{scope}/{digest}.jpg",
    "/editions/{edition}/numbers", "/editions/{edition}/shape/{picture}",
}  # fmt: skip


@pytest.fixture(scope="module")
def pages(sample):
    """Return the pages that links lead to, by an edition half way among others, and the slow one."""
    found = walk(sample, ("/", "/pair", "/editions/fern-jug"))
    slow = "/offered/fern-jug"
    return found | {slow: Page(sample.get(slow).text)}


def shape(path):
    """Return an address with a star for each name in it."""
    return re.sub(r"\{[a-z]+\}|(?<=/)[A-Z]+\b", "*", path)


def told(root):
    """Return the addresses that the guide names."""
    texts = [(root / "docs" / "guide" / one).read_text(encoding="utf-8") for one in GUIDES]
    rows = [one for text in texts for one in re.findall(r"^\| `(/[^`]*)` \| .{10,} \|$", text, re.MULTILINE)]  # fmt: skip
    return [shape(one) for one in rows]


def test_every_page_is_in_the_table_of_routes_and_reached_by_a_link(pages):
    gets = {path for path, methods in routes().items() if "GET" in methods}
    reached = {route_of(path) for path in pages}

    assert "" not in reached
    assert gets == {row.path for row in TABLE if "GET" in row.methods}
    assert reached == gets - NO_PAGES


FIGURES = re.compile(
    r"[^.;]*(?:\b20[0-9]{2}-[0-9]{2}-[0-9]{2}\b|\b(?:fern-jug|moth-dish|gale-flask)\b)[^.;]*"
)
# What is typed or lies in a file is told as it is there; a form says how a date is typed.
TYPED = ("/plan", "/brief", "/shape", "/correct", "/do/", "/settings", "/figures/")


def test_no_sentence_tells_a_day_in_figures_or_an_edition_by_its_address(pages):
    found = {
        path: told[0]
        for path, page in pages.items()
        if not any(one in path for one in TYPED) and (told := FIGURES.findall(page.words))
    }
    assert found == {}


def test_every_page_is_named_in_the_guide_and_no_other(root):
    wanted = Counter(shape(row.path) for row in TABLE if "GET" in row.methods and row.path not in NO_PAGES)  # fmt: skip

    assert Counter(told(root)) == wanted


def test_what_is_no_page_is_none(sample):
    """Else a page could hide from the guide among them."""
    kinds = {
        path: sample.get(path).headers["content-type"].partition(";")[0]
        for path in ("/health", "/static/any/look.css", "/api/clock", "/api/openapi.json",
                     "/settings/studio.toml", "/static/any/mark.svg", "/editions/fern-jug/brief.toml")
    }  # fmt: skip

    assert set(kinds.values()) == {"application/json", "text/css", "application/toml", "image/svg+xml"}  # fmt: skip


def test_every_page_has_a_title_and_one_heading_that_says_what_it_is(pages):
    without = [
        path
        for path, page in pages.items()
        if sum(tag == "h1" for tag, _ in page.elements) != 1
        or not page.headings[0].strip()
        or not page.title.partition(" · ")[0].strip()
    ]

    assert without == []


def test_pages_of_different_kinds_have_different_titles(pages):
    titles = {}
    for path, page in pages.items():
        titles.setdefault(page.title, set()).add(route_of(path))
    alike = {title: kinds for title, kinds in titles.items() if len(kinds) > 1}

    assert alike == {}


def test_every_page_has_a_sentence_of_its_own(pages):
    """Beside its heading, and what the frame says on each: else it would be an empty page."""
    short = {path for path, page in pages.items() if len(page.words.split()) < 40}

    assert short == set()


def test_the_guide_of_the_commands_leads_to_the_others(root):
    text = (root / "docs" / "guide" / "commands.md").read_text(encoding="utf-8")

    assert {"book-commands.md", "figures.md", "studio.md"} <= set(re.findall(r"\(([a-z-]+\.md)\)", text))  # fmt: skip
