"""The site, for Sphinx: make docs.

What people wrote is laid out in build/pages as it stands in the repository, and the pages
that programs make of the code are written beside it.
"""

import importlib
import pkgutil
import re
import shutil
from pathlib import Path
from typing import Any

from sphinx.application import Sphinx
from sphinx.util.rst import escape

import pourwright.materials as laws
from docs.curves import CURVES, svg
from pourwright.briefs import guide as brief_guide
from pourwright.calculators import guide as figure_guide
from pourwright.cli.book import guide as book_guide
from tests.sources.check import GRADES, Check, all_checks

project = html_title = "Pourwright"
root_doc = "docs/index"
include_patterns = ["*.md", "docs/**"]
source_suffix = {".md": "markdown", ".rst": "restructuredtext"}
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon", "sphinx.ext.viewcode"]
myst_heading_anchors = 3
default_role = "py:obj"
add_module_names = False
autodoc_default_options = {"members": True, "member-order": "groupwise"}
autodoc_typehints = "none"
napoleon_use_ivar = True
napoleon_use_rtype = False
html_theme = "furo"
html_show_sphinx = html_show_copyright = html_copy_source = False

ROOT = Path(__file__).parents[1]
FOLDERS = ("docs", "examples", "src", "tests")
HELD_AGAINST = f"""

Held against
------------

Published figures beside ours. What stands in brackets is shown and not counted; the note says why.
{"; ".join(f"{grade}: {meaning}" for grade, meaning in GRADES.items())}.

.. list-table::
   :header-rows: 1
   :widths: 25 12 9 9 45

"""


def lay_out(app: Sphinx, _: object) -> None:
    """Copy what people wrote, and write what programs make of the code."""
    for folder in FOLDERS:
        shutil.copytree(ROOT / folder, app.srcdir / folder)
    for file in (*ROOT.glob("*.md"), ROOT / "LICENSE"):
        shutil.copy(file, app.srcdir)
    found = pkgutil.walk_packages(laws.__path__, f"{laws.__name__}.")
    names, checks = [one.name for one in found if not one.ispkg], all_checks()
    made = {f"science/{name[len(laws.__name__) + 1 :]}.rst": page(name, checks) for name in names}
    made |= {f"science/{law.__name__}.svg": svg(*told) for law, told in CURVES.items()}
    made["guide/brief.md"] = brief_guide.fields_page()
    made["guide/figures.md"] = figure_guide.questions_page()
    made["guide/book-commands.md"] = book_guide.guide_text()
    for name, text in made.items():
        (app.srcdir / "docs" / name).write_text(text, encoding="utf-8")


def page(module: str, checks: list[Check]) -> str:
    """Return the page of a module of laws: its docstrings, then published figures beside ours."""
    title = str(importlib.import_module(module).__doc__).partition("\n")[0].rstrip(".")
    rows = [("law", "published", "ours", "may differ by", "source and note")]
    for check in checks:
        of, _, law = check.law.rpartition(".")
        if f"{laws.__name__}.{of}" == module:
            told = f"`{law}`" if check.counted else f"({law})"
            figures = f"{check.published:.4g} {check.unit}", f"{float(check.ours()):.4g}"
            source = f"{check.grade}: " + "; ".join(filter(None, (check.source, check.note)))
            rows.append((told, *map(escape, (*figures, f"{check.tolerance:.2g}", source))))
    table = "\n".join("   * - " + "\n     - ".join(row) for row in rows)
    held = HELD_AGAINST + table if rows[1:] else ""
    return f"{title}\n{'=' * len(title)}\n\n.. automodule:: {module}\n{held}\n"


def fit(_: Sphinx, what: str, name: str, value: Any, __: object, lines: list[str]) -> None:
    """Fit a docstring into its page: the title stands there already, a law's curve comes first."""
    # Each docstring numbers its references from one, and a page holds many.
    number = re.compile(r"(?<=^\.\. )\[(\d+)\]|\[(\d+)\](?=_)")
    lines[:] = [number.sub(rf"[#{name}-\1\2]", line) for line in lines]
    if what == "module":
        del lines[0]
    elif what == "data":
        lines.insert(0, "")  # else napoleon takes what stands before a colon for a type
    elif what == "function" and value in CURVES:
        words = CURVES[value][0].__doc__
        lines[2:2] = [f".. image:: {value.__name__}.svg", f"   :alt: {words}", ""]


def lead_in(app: Sphinx, _: object) -> None:
    """Let the folder's own address open the first page."""
    first = '<!doctype html><meta http-equiv="refresh" content="0; url=docs/index.html">'
    (app.outdir / "index.html").write_text(first, encoding="utf-8")


def setup(app: Sphinx) -> None:
    """Take part in the building of the site."""
    app.connect("config-inited", lay_out)
    app.connect("autodoc-process-docstring", fit, priority=400)  # before napoleon
    app.connect("build-finished", lead_in)
