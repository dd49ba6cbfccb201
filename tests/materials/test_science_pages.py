"""The pages of docs/science: fresh, complete, and every link leads somewhere and back."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

from docs import make_science
from docs.science_curves import figures

FOLDER = Path(make_science.__file__).parent / "science"
PAGES = make_science.pages()
MODULES = {make_science.short(module): module for module in make_science.modules()}


def anchors(text: str) -> set[str]:
    """Return the anchors that a page's headings make."""
    headings = re.findall(r"^#+ +(.+?) *$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", h.lower()).replace(" ", "-") for h in headings}


def links(text: str) -> list[str]:
    """Return the targets of links and images, code left out."""
    return re.findall(r"\]\(([^)\s]+)\)", re.sub(r"```.*?```", "", text, flags=re.DOTALL))


@pytest.mark.parametrize("name", sorted(PAGES))
def test_the_page_is_what_the_code_says(name: str) -> None:
    """Stale pages are written anew by: python -m docs.make_science."""
    assert (FOLDER / name).read_text(encoding="utf-8") == PAGES[name]


def test_no_page_of_a_module_that_is_gone_is_left_over() -> None:
    """Pages that others wrote in the folder are not ours to judge."""
    assert make_science.left_over(set(PAGES)) == []
    gone = make_science.left_over(set(PAGES) - {"plaster.md"})
    assert [path.name for path in gone] == ["plaster.md", "plaster.svg"]


def test_every_picture_is_there() -> None:
    for figure in figures():
        assert (FOLDER / f"{figure.name}.svg").is_file(), "run: python -m docs.make_science"


@pytest.mark.parametrize("name", sorted(PAGES))
def test_every_link_leads_somewhere(name: str) -> None:
    for link in links(PAGES[name]):
        path, _, anchor = link.partition("#")
        target = FOLDER / path if path else FOLDER / name
        assert target.exists(), link
        if anchor:
            assert anchor in anchors(target.read_text(encoding="utf-8")), link


@pytest.mark.parametrize("name", sorted(MODULES))
def test_the_list_leads_to_each_law_and_each_page_leads_back(name: str) -> None:
    """Walk from the list to every law's own heading, and from its page to the list."""
    page = PAGES[f"{name}.md"]
    listed = links(PAGES["index.md"])

    assert f"{name}.md" in listed
    assert "index.md" in links(page)
    for law in make_science.public(MODULES[name]):
        assert law.__name__.lower() in anchors(page)
        if inspect.isfunction(law):
            assert f"{name}.md#{law.__name__.lower()}" in listed


@pytest.mark.parametrize("name", sorted(MODULES))
def test_each_page_says_what_it_leaves_out(name: str) -> None:
    if name != "ranges":  # holds no law
        assert make_science.split_docstring(MODULES[name])[2], (
            f"write a paragraph 'What this page leaves out: ...' into materials/{name}.py"
        )


@pytest.mark.parametrize("name", sorted(MODULES))
def test_each_figure_held_against_a_page_is_on_it(name: str) -> None:
    rows = [row for row in make_science.all_checks() if row.law.partition(".")[0] == name]

    for row in rows:
        assert row.source.replace("|", "/") in PAGES[f"{name}.md"]


@pytest.mark.parametrize("figure", figures(), ids=lambda figure: figure.name)
def test_each_picture_has_words_and_numbers(figure: object) -> None:
    assert len(figure.alt) > 20  # type: ignore[attr-defined]
    for _, xs, ys in (*figure.lines, *figure.points):  # type: ignore[attr-defined]
        assert len(xs) == len(ys) > 0
        assert all(number == number for number in (*xs, *ys))


def test_the_list_counts_what_make_checks_counts() -> None:
    counted = [row for row in make_science.all_checks() if row.counted]

    assert f"held against {len(counted)} published figures" in " ".join(PAGES["index.md"].split())
