"""The page of a plan: whole, self-contained, escaped, the same each time."""

import re
from html.parser import HTMLParser

import pytest

from pourwright.report.blocks import (
    Caution,
    Facts,
    Figure,
    Glance,
    Section,
    Steps,
    Table,
    Text,
    Week,
    Weeks,
)
from pourwright.report.page import PageSheet, css_string, page_html

TABLE = Table(
    caption="Weights",
    columns=(("Batch", "left"), ("Water", "right")),
    rows=(("1", "2.05 kg"), ("2", "1.10 kg")),
    marked=(1,),
    note="On the scale's step.",
    strong=(1,),
)
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg"><polyline points="0,0 9,9" stroke="var(--ink)"/></svg>'
)
SHEET = PageSheet(
    "Edition plan", "Gull cup", "Planned on Mon 3 Aug 2026", "gull-cup", ("A forecast.",)
)
ALL_BLOCKS = (
    Glance("30 pieces.", (("Molds", "3", "in use"),), "holds"),
    Text("Plain."),
    Text("Softer.", "note"),
    Facts((("Plaster", "12.9 kg", ""),)),
    TABLE,
    Caution("Dust harms.", "Plaster dust"),
    Caution("It burns."),
    Steps(("Weigh.", "Mix.")),
    Weeks("Days", (Week("Week of 3 Aug", (("Mon 3", "Cast 3", "1:30"),), "3 of 9 cast"),)),
    Figure("fan", "Pieces finished", "A curve that rises", TABLE, "Line: half.", DRAWING, DRAWING),
    Figure("use", "Molds in use", "A curve that falls", TABLE),
)
SECTIONS = (Section("one", "One", ALL_BLOCKS), Section("two", "Two", (Text("More."),)))

VOID = {"meta", "source", "img", "br", "link", "input"}


class Outline(HTMLParser):
    """Reads a page the way a strict reader would: tags must close in order."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.headings: list[str] = []
        self.ids: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.ids += [value for name, value in attrs if name == "id"]
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(tag)
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def read(html: str) -> Outline:
    outline = Outline()
    outline.feed(html)
    outline.close()
    assert outline.open == []
    return outline


@pytest.fixture(scope="module")
def page() -> str:
    return page_html(SHEET, SECTIONS)


def test_every_tag_closes_and_every_id_is_one(page):
    ids = read(page).ids

    assert len(ids) == len(set(ids))
    assert {"one", "two"} <= set(ids)


def test_the_outline_has_one_title_and_no_gap(page):
    headings = read(page).headings

    assert headings[0] == "h1"
    assert set(headings[1:]) == {"h2"}


def test_nothing_is_fetched_and_nothing_runs(page):
    outline = read(page)
    addresses = [
        value
        for _, attributes in outline.tags
        for name, value in attributes.items()
        if name in ("src", "href", "srcset")
    ]

    assert all(value.startswith(("#", "data:image/svg+xml")) for value in addresses)
    assert not {"script", "link", "iframe", "object"} & {tag for tag, _ in outline.tags}
    assert not any(name.startswith("on") for _, a in outline.tags for name in a)
    assert "url(" not in page
    assert "@import" not in page


def test_a_week_whose_hands_are_not_told_has_no_column_for_them():
    bare = Weeks("Days", (Week("Week of 3 Aug", (("Mon 3", "Make masters", ""),)),))
    html = page_html(SHEET, (Section("one", "One", (bare,)),))

    assert "Hands" not in html
    assert 'colspan="2"' in html


def test_every_header_cell_says_what_it_heads(page):
    """HTML, section 4.9: scope names the cells a header is for."""
    headers = [attributes for tag, attributes in read(page).tags if tag == "th"]

    assert headers
    assert {attributes.get("scope") for attributes in headers} == {"col", "row", "rowgroup"}


def test_the_marked_row_says_so_in_a_word(page):
    assert re.search(r'<tr role="row" class="marked">.*chosen', page)


def test_cautions_that_follow_each_other_stand_together(page):
    assert page.count('<div class="cautions">') == 1
    assert page.count('<p class="caution">') == 2


def test_a_picture_has_two_widths_one_text_and_its_numbers(page):
    assert page.count("<svg") == 2
    assert page.count('role="img" aria-label="A curve that rises"') == 1
    assert page.count("<summary>The same numbers as a table</summary>") == 2


def test_a_picture_that_is_not_drawn_is_told(page):
    assert "<p>A curve that falls</p>" in page


@pytest.mark.parametrize(
    "drawing",
    [
        "<svg><script>1</script></svg>",
        "<svg><g onload='1'/></svg>",
        "<svg><g id='a'/></svg>",
        "<svg><g class='a'/></svg>",
        "<svg><g style='fill:red'/></svg>",
        "<svg><image href='x.png'/></svg>",
        "<svg><rect fill='url(#a)'/></svg>",
        "<svg><foreignObject/></svg>",
        "<svg><style>*{}</style></svg>",
    ],
)
def test_a_drawing_with_a_name_or_anything_lively_is_refused(drawing):
    """Names could meet another drawing's; scripts, styles and addresses have no place in it."""
    figure = Figure("fan", "Pieces", "A curve", TABLE, "", drawing, DRAWING)

    with pytest.raises(ValueError, match="may not hold"):
        page_html(SHEET, (Section("one", "One", (figure,)),))


def test_the_same_words_give_the_same_bytes(page):
    assert page_html(SHEET, SECTIONS) == page


def test_what_a_maker_wrote_is_text_and_nothing_else():
    nasty = "</style><script>alert(1)</script>\"'&{{ 7*7 }}"
    sheet = PageSheet(nasty, nasty, nasty, nasty, (nasty,))
    table = Table(nasty, ((nasty, "left"),), ((nasty,),), marked=(0,), mark_word=nasty, note=nasty)
    blocks = (Text(nasty), Glance(nasty, ((nasty, nasty, nasty),)), table, Caution(nasty, nasty))
    page = page_html(sheet, (Section("one", nasty, blocks), Section("two", nasty, ())))

    tags = {tag for tag, _ in read(page).tags}

    assert "script" not in tags
    assert page.count("</style>") == 1
    assert "49" not in re.sub(r"<style>.*</style>", "", page, flags=re.DOTALL)


@pytest.mark.parametrize("text", ['a"b', "a\\b", "a\nb", "a}b", "café", "</style>"])
def test_a_css_string_holds_any_text(text):
    r"""CSS Syntax Level 3, 4.3.7: a backslash, hex digits and one space stand for a character."""
    written = css_string(text)

    assert written[0] == written[-1] == '"'
    assert re.fullmatch(r'"(?:[A-Za-z0-9 .,:-]|\\[0-9a-f]+ )*"', written)
    read_back = re.sub(r"\\([0-9a-f]+) ", lambda m: chr(int(m[1], 16)), written[1:-1])
    assert read_back == text
