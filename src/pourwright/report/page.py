"""Sections to one HTML file that stands alone: no script, style inside, prints well."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from itertools import groupby
from xml.etree import ElementTree as ET

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from pourwright.report.blocks import Block, Section, Table
from pourwright.report.saying import tight


@dataclass(frozen=True, slots=True)
class PageSheet:
    """What a page says around its sections.

    ``kicker`` is the small line over the title, ``title`` the name of the thing,
    ``subtitle`` the line under it, ``foot`` runs along the bottom of each
    printed page and ``colophon`` closes the page.
    """

    kicker: str
    title: str
    subtitle: str
    foot: str
    colophon: tuple[str, ...] = ()


def page_html(sheet: PageSheet, sections: tuple[Section, ...]) -> str:
    """Return the page as HTML text, the same for the same words.

    Parameters
    ----------
    sheet : PageSheet
        The words around the sections.
    sections : tuple of Section
        What the page shows; the first one is the answer and stands before the
        contents.

    Returns
    -------
    str
        A whole HTML file without script, links to other files or dates of its own.
    """
    template = _environment().get_template("page.html")
    return template.render(sheet=sheet, sections=sections)


@lru_cache(maxsize=1)
def _environment() -> Environment:
    """Return the template engine: everything is escaped, nothing may be missing."""
    environment = Environment(
        loader=FunctionLoader(_read),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters.update(runs=_runs, drawing=drawing, cell=_cell, tight=tight, css=css_string)
    return environment


def _read(name: str) -> str:
    """Return a file of the page, from wherever the package is installed."""
    return (files("pourwright.report") / "templates" / name).read_text(encoding="utf-8")


def css_string(text: str) -> str:
    r"""Return text as a CSS string in which every unusual character is escaped.

    Examples
    --------
    >>> print(css_string("cup </style>"))
    "cup \3c \2f style\3e "
    """
    plain = (c if c.isascii() and (c.isalnum() or c in " -.,:") else f"\\{ord(c):x} " for c in text)
    return f'"{"".join(plain)}"'


def _runs(section: Section) -> list[tuple[str, list[tuple[Block, str]]]]:
    """Return the blocks with their ids, those of one kind that follow each other together."""
    blocks = [(block, f"{section.id}-{i}") for i, block in enumerate(section.blocks, start=1)]
    return [(kind, list(run)) for kind, run in groupby(blocks, key=lambda b: _kind(b[0]))]


def _kind(block: Block) -> str:
    """Return the name of a kind of block, as the template knows it."""
    return type(block).__name__.lower()


_DRAWN = frozenset({"svg", "g", "polyline", "polygon", "circle", "text"})
_NAMING = frozenset({"id", "class", "style", "href"})


def drawing(svg: str) -> Markup:
    """Return a drawing as it is written into the page: shapes and words, nothing that runs.

    Raises
    ------
    ValueError
        If the drawing holds anything else, or a name that could meet another's.
    """
    for element in ET.fromstring(svg).iter():  # noqa: S314 - drawn by charts
        tag = element.tag.rpartition("}")[2]
        names = {name.rpartition("}")[2].lower() for name in element.keys()}  # noqa: SIM118
        lively = names & _NAMING or any(name.startswith("on") for name in names)
        if tag not in _DRAWN or lively or any("url(" in value for value in element.attrib.values()):
            raise ValueError(f"a drawing may not hold {tag} with {sorted(names)}")
    return Markup(svg)  # noqa: S704 - looked at above


def _cell(table: Table, column: int) -> str:
    """Return the classes of a column's cells."""
    side = table.columns[column][1]
    return f"{side} strong" if column in table.strong else side
