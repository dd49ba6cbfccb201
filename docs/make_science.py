"""Write docs/science: a page a module of `pourwright.materials`, and the list of laws.

    python -m docs.make_science           pages and pictures
    python -m docs.make_science --pages   pages only

Everything on a page comes from the code: the docstrings, the constants with their
sources, the published figures of tests/sources with what ours give. The pictures
come from docs/science_curves.py. The same code gives the same bytes.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Iterable, Iterator
from enum import Enum
from fnmatch import fnmatchcase
from pathlib import Path
from types import ModuleType
from typing import Any

import pourwright.materials
from docs.science_curves import drawn, figures
from tests.sources.check import GRADES, Check, all_checks

FOLDER = Path(__file__).parent / "science"
BY_HAND = frozenset({"forecast.md", "mutation.md"})
"""Pages of the folder that no code writes."""
SOURCE = "../../src/pourwright/materials"
LEAVES_OUT = "What this page leaves out"


def modules() -> list[ModuleType]:
    """Return the modules that hold laws, in the order of their names."""
    names = sorted(info.name for info in pkgutil.iter_modules(pourwright.materials.__path__))
    return [importlib.import_module(f"pourwright.materials.{name}") for name in names]


def short(module: ModuleType) -> str:
    """Return a module's name without its package."""
    return module.__name__.rpartition(".")[2]


def public(module: ModuleType) -> list[Any]:
    """Return the functions and records that a module defines, in its own order."""
    found = [
        value
        for name, value in vars(module).items()
        if not name.startswith("_")
        and getattr(value, "__module__", "") == module.__name__
        and (inspect.isfunction(value) or inspect.isclass(value))
    ]
    return sorted(found, key=lambda value: inspect.getsourcelines(value)[1])


# --- words of a docstring, from reStructuredText to Markdown


def linked(name: str, here: str) -> str:
    """Return a name in backticks, with a link where a page tells of it."""
    last = name.rpartition(".")[2]
    for module in modules():
        if last == short(module) and name.count("."):
            return f"[`{last}`]({last}.md)"
        meant = (name == last and short(module) == here) or name.startswith(f"{module.__name__}.")
        if meant and any(value.__name__ == last for value in public(module)):
            page = "" if short(module) == here else f"{short(module)}.md"
            return f"[`{last}`]({page}#{last.lower()})"
    return f"`{last}`"


def prose(text: str, here: str) -> str:
    """Return a paragraph of a docstring as one line a sentence."""
    codes: list[str] = []

    def kept(match: re.Match[str]) -> str:
        codes.append(f"`{' '.join(match[1].split())}`")
        return f"\0{len(codes) - 1}\0"

    text = re.sub(r"``(.+?)``", kept, text, flags=re.DOTALL)
    text = re.sub(r"(?<!`)`([^`\n]+)`(?!`)", lambda match: linked(match[1], here), text)
    text = re.sub(r" ?\[(\d+)\]_", r" \\[\1\\]", " ".join(text.split()))
    text = re.sub(r"(?<=[.?:]) (?=[A-Z`\[])", "\n", text)
    return re.sub(r"\0(\d+)\0", lambda match: codes[int(match[1])], text)


def paragraphs(text: str, here: str) -> str:
    """Return several paragraphs; indented ones are kept as code."""
    out = []
    for block in re.split(r"\n\s*\n", text.strip("\n")):
        if block.startswith("    "):
            out.append("```\n" + inspect.cleandoc(block) + "\n```")
        else:
            out.append(prose(block, here))
    return "\n\n".join(out)


def sections(docstring: str) -> dict[str, str]:
    """Return the parts of a NumPy-style docstring by their headings; the first is ''."""
    parts = re.split(r"\n([A-Z][A-Za-z ]+)\n-{3,}\n", "\n" + docstring)
    return {"": parts[0].strip()} | dict(zip(parts[1::2], parts[2::2], strict=True))


def entries(text: str) -> Iterator[tuple[str, str]]:
    """Yield the name (or type) and the words of each entry of a section."""
    for found in re.finditer(
        r"^(\S[^\n]*)\n((?:[ \t]+[^\n]*\n?|\n(?=[ \t]))*)", text, re.MULTILINE
    ):
        yield found[1], found[2]


def table_of(text: str, here: str) -> str:
    """Return a section of entries as a list."""
    lines = []
    for head, words in entries(text.strip("\n") + "\n"):
        name, _, kind = head.partition(" : ")
        told = prose(words, here).replace("\n", " ")
        lines.append(f"- `{name}` ({kind}): {told}" if kind else f"- {name}: {told}")
    return "\n".join(lines)


def references(text: str, here: str) -> str:
    """Return the numbered references of a docstring."""
    parts = re.split(r"^\.\. \[(\d+)\] ", text.strip("\n"), flags=re.MULTILINE)
    return "\n".join(
        f"{number}. {prose(words, here).replace(chr(10), ' ')}"
        for number, words in zip(parts[1::2], parts[2::2], strict=True)
    )


# --- the parts of a page


def told(value: Any, here: str) -> str:
    """Return the entry of a function or record."""
    found = sections(inspect.getdoc(value) or "")
    out = [f"### `{value.__name__}`"]
    if inspect.isfunction(value):
        names = ", ".join(inspect.signature(value).parameters)
        out.append(f"`{value.__name__}({names})`")
    out.append(paragraphs(found[""], here))
    if inspect.isclass(value) and issubclass(value, Enum):
        out.append("\n".join(f"- `{member.name}`: {member.value}" for member in value))
    out += [
        f"{heading}:\n\n{table_of(found[heading], here)}"
        for heading in ("Parameters", "Attributes", "Returns", "Raises")
        if heading in found
    ]
    if "Notes" in found:
        out.append(paragraphs(found["Notes"], here))
    if "Examples" in found:
        out.append("```pycon\n" + inspect.cleandoc(found["Examples"]) + "\n```")
    if "References" in found:
        out.append("References:\n\n" + references(found["References"], here))
    return "\n\n".join(out)


def constants(module: ModuleType, here: str) -> str:
    """Return the module's public constants that say where they come from."""
    body = ast.parse(inspect.getsource(module)).body
    rows, names = [], []
    for node in body:
        if isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            flat = [name for target in targets for name in ast.walk(target)]
            names += [name.id for name in flat if isinstance(name, ast.Name) and name.id.isupper()]
        elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and names:
            shown = [name for name in names if not name.startswith("_")]
            values = ", ".join(f"`{name}` = {value_of(getattr(module, name))}" for name in shown)
            words = prose(inspect.cleandoc(str(node.value.value)), here).replace("\n", " ")
            rows += [f"- {values}: {words}"] if shown else []
            names = []
        else:
            names = []
    return "\n".join(rows)


def value_of(value: Any) -> str:
    """Return a constant as a reader wants it: short numbers, long things by their size."""
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, tuple) and all(isinstance(part, int | float) for part in value):
        return ", ".join(f"{part:.6g}" for part in value)
    if isinstance(value, int | str) and len(str(value)) < 40:
        return str(value)
    if hasattr(value, "likely"):
        return f"{value.low:g} to {value.high:g}, likely {value.likely:g}"
    return "see the source"


def held_against(checks: Iterable[Check]) -> str:
    """Return the table of published figures beside ours; what does not count is in brackets."""
    lines = [
        "| law | published | ours | may differ by | unit | grade | source and note |",
        "| --- | ---: | ---: | ---: | --- | --- | --- |",
    ]
    for check in checks:
        name = check.law.partition(".")[2]
        shown = f"`{name}`" if check.counted else f"(`{name}`)"
        note = check.note[:1].upper() + check.note[1:]
        words = f"{check.source}. {note}".strip().replace("|", "/")
        lines.append(
            f"| {shown} | {check.published:.4g} | {float(check.ours()):.4g} | {check.tolerance:.2g}"
            f" | {check.unit} | {check.grade} | {words} |"
        )
    return "\n".join(lines)


def split_docstring(module: ModuleType) -> tuple[str, str, str]:
    """Return a module's title, its words, and what it leaves out."""
    text = inspect.getdoc(module) or ""
    title, _, rest = text.partition("\n")
    kept, left = [], []
    for block in re.split(r"\n\s*\n", sections(rest)[""]):
        whole = " ".join(block.split())
        before, mark, after = whole.partition(LEAVES_OUT)
        if mark:
            left.append(after.lstrip(":, ").strip())
        kept += [before or block] if not mark else ([before] if before.strip() else [])
    without = "\n\n".join(left)
    return title.rstrip("."), "\n\n".join(kept), without[:1].upper() + without[1:]


def pictures(name: str) -> list[tuple[str, str]]:
    """Return file and alternative text of the pictures of a module."""
    return [(f"{figure.name}.svg", figure.alt) for figure in figures() if figure.module == name]


def page(module: ModuleType, checks: list[Check]) -> str:
    """Return the page of a module."""
    here = short(module)
    title, words, left = split_docstring(module)
    mine = [check for check in checks if check.law.partition(".")[0] == here]
    out = [f"# {title}", f"[All laws](index.md) · [source]({SOURCE}/{here}.py)"]
    if words:
        out.append(paragraphs(words, here))
    out += [f"![{alt}]({file})" for file, alt in pictures(here)]
    out.append(
        "## What it leaves out\n\n"
        + (paragraphs(left, here) if left else "Nothing is left out that we know of.")
    )
    out.append("## Laws\n\n" + "\n\n".join(told(value, here) for value in public(module)))
    if hasattr(module, "LIMITS"):
        out.append("## Limits\n\n" + listed_limits(module))
    if known := constants(module, here):
        out.append("## Constants\n\n" + known)
    if mine:
        out.append(
            "## Held against\n\nWhat stands in brackets is shown and not counted; the note says why."
            f"\nGrades: {'; '.join(f'{grade}, {meaning}' for grade, meaning in GRADES.items())}.\n\n"
            + held_against(mine)
        )
    else:
        out.append(
            "## Held against\n\nNo published figure is held against this page; its tests hold it to itself."
        )
    return "\n\n".join(out).rstrip() + "\n"


def listed_limits(module: ModuleType) -> str:
    """Return the published limits with their sources."""
    lines = [
        "| subject | set by | what it says | limit | source |",
        "| --- | --- | --- | --- | --- |",
    ]
    for limit in module.LIMITS:
        figure = "" if limit.value is None else f"{limit.value:g} {limit.unit}"
        source = f"{limit.source} (from memory)" if limit.from_memory else limit.source
        lines.append(f"| {limit.subject} | {limit.where} | {limit.says} | {figure} | {source} |")
    return "\n".join(lines)


# --- the list of all laws

SUBJECTS = {
    "Plaster and rubber": ("plaster", "volumes", "hardened", "setting", "heat", "rubber"),
    "Drying": (
        "drying",
        "drying_time",
        "weighings",
        "drying_together",
        "room",
        "evaporation",
        "air",
        "dehydration",
    ),
    "The mold in use": ("moisture", "wall", "casting_rest", "wear", "mold_life"),
    "Slip": ("slip*", "deflocculation", "flow_cups"),
    "Casting": ("casting*",),
    "Clay, shrinkage and size": ("shrinkage", "dimension_chain", "fired_body"),
    "Firing": ("firing*", "cones", "heat_*", "witness", "kiln*", "thick_foot"),
    "Glaze": ("glaze",),
    "Limits and refusals": ("limits", "ranges"),
}
"""Modules by subject; a star stands for the rest of a name, once the full names are placed."""


def by_subject() -> dict[str, list[ModuleType]]:
    """Return the modules in the order of the list, each once; what fits nowhere comes last."""
    left = {short(module): module for module in modules()}
    placed: dict[str, dict[str, list[ModuleType]]] = {subject: {} for subject in SUBJECTS}
    for stars in (False, True):
        for subject, names in SUBJECTS.items():
            for name in (name for name in names if name.endswith("*") is stars):
                fits = [at for at in sorted(left) if fnmatchcase(at, name)]
                placed[subject][name] = [left.pop(at) for at in fits]
    found = {
        subject: [module for name in names for module in placed[subject][name]]
        for subject, names in SUBJECTS.items()
    }
    return found | {"Others": list(left.values())}


def error_of(rows: list[Check]) -> str:
    """Return the largest deviation of the counted rows, in percent or in the unit."""
    if not rows:
        return "-"
    worst = max(rows, key=lambda row: abs(row.deviation) / (row.tolerance or 1.0))
    if worst.unit.startswith(("%", "[-]", "degC", "step")) or not worst.published:
        return f"{abs(worst.deviation):.2g} {worst.unit}"
    return f"{100 * abs(worst.deviation / worst.published):.2g} %"


INTRODUCTION = """\
Every law that a plan or a bench rests on, with its page, the published figures it is held against,
and how far off it is.
`make checks` prints the figures; [what the tests notice](mutation.md) is counted by changing the laws."""
COUNTS = """\
{laws} laws or constants are held against {figures} published figures from {sources} sources.
{shown} further figures are shown and not counted: they calibrated a constant, or are anecdotes,
limits, or from memory."""


SEARCHED = """\
## Looked for

Read in a stored copy, where the research before it had only memory or one witness:

- the saturation line of water (IAPWS R7-97, tables 35 and 36), which `air` now meets to its last digit;
- worked examples of moist air and of drying (Geankoplis 9.3-1; Treybal 7.6 and 12.4; Coulson and Richardson 16.1, 16.3 and 16.5);
- a second, independent density (about 1200 kg/m3 at a ratio of 0.6) and the temperature at which gypsum dissolves best (40 degC);
- solubility of gypsum, 0.26 g in 100 ml at 25 degC and, in a registration dossier, 2.4 g/l at 20 degC;
- figures of Crank's diffusion series as a library's manual prints them.

Looked for and not found in print, so that the laws say so where they need it:

- a measured temperature curve of a poured block of plaster, and a table of hydration constants;
- the critical saturation, the moisture diffusivity or the sorptivity of mold plaster against its consistency;
- drying curves of molds in figures, and wear in micrometers a cast;
- how fast gypsum loses crystal water below 80 degC;
- strength and absorption of one plaster at consistencies 80 to 100;
- the full texts of ASTM C472, EN 13279-2, ISO 3048 and ISO 3049."""


def listed(module: ModuleType, counted: list[Check]) -> str:
    """Return a module's laws as rows of the list."""
    here = short(module)
    lines = [f"### [{split_docstring(module)[0]}]({here}.md)"]
    laws = [value for value in public(module) if inspect.isfunction(value)]
    if laws:
        lines += ["", "| law | what it gives | figures | sources | largest deviation |"]
        lines += ["| --- | --- | ---: | ---: | ---: |"]
    for law in laws:
        rows = [row for row in counted if row.law == f"{here}.{law.__name__}"]
        first = (inspect.getdoc(law) or "").partition("\n\n")[0]
        # Told without a page of its own, so that a name of this module is no link into the list.
        words = prose(re.sub(r"^Return (.)", lambda match: match[1].upper(), first), "")
        lines.append(
            f"| [`{law.__name__}`]({here}.md#{law.__name__.lower()}) | {words.replace(chr(10), ' ')}"
            f" | {len(rows)} | {len({row.source for row in rows})} | {error_of(rows)} |"
        )
    return "\n".join(lines)


def index(checks: list[Check]) -> str:
    """Return the list of laws: where each is told, what it is held against, how far off it is."""
    counted = [check for check in checks if check.counted]
    out = [
        "# The workshop's laws",
        "[Documentation](../index.md)",
        INTRODUCTION,
        COUNTS.format(
            laws=len({row.law for row in counted}),
            figures=len(counted),
            sources=len({row.source for row in counted}),
            shown=len(checks) - len(counted),
        ),
        "The largest deviation is that of the counted figure that comes nearest to its tolerance.",
    ]
    for subject, members in by_subject().items():
        if members:
            out.append(f"## {subject}")
        out += [listed(module, counted) for module in members]
    return "\n\n".join([*out, SEARCHED]) + "\n"


def pages() -> dict[str, str]:
    """Return every page by its file's name."""
    checks = all_checks()
    told_pages = {f"{short(module)}.md": page(module, checks) for module in modules()}
    return {"index.md": index(checks)} | told_pages


def left_over(written: set[str]) -> list[Path]:
    """Return pages of modules that are no more, with their pictures; others' pages stay."""
    mark = f"[All laws](index.md) · [source]({SOURCE}/"
    gone = [
        path
        for path in sorted(FOLDER.glob("*.md"))
        if path.name not in written and mark in path.read_text(encoding="utf-8")
    ]
    return gone + [path.with_suffix(".svg") for path in gone if path.with_suffix(".svg").exists()]


def main() -> int:
    """Write the pages, and the pictures unless told not to; take away what is no more."""
    FOLDER.mkdir(exist_ok=True)
    written = pages()
    for path in left_over(set(written)):
        path.unlink()
    for name, text in written.items():
        (FOLDER / name).write_text(text, encoding="utf-8")
    if "--pages" not in sys.argv:
        for figure in figures():
            (FOLDER / f"{figure.name}.svg").write_text(drawn(figure), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
