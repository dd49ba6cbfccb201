"""The rules of the house that a machine can hold: sizes, words, links, locks, docstrings."""

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from itertools import chain
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

FOLDERS = (".ci", "benchmarks", "docs", "examples", "requirements", "src", "tests")
TEXT = {"", ".css", ".html", ".in", ".j2", ".js", ".json", ".md", ".py", ".toml", ".txt"}
THIS = "tests/test_house.py"  # holds the words it looks for

LONG_CODE = 30
MOST_CODE = 50

UNFINISHED = re.compile(r"\b(TODO|FIXME|XXX|NotImplementedError)\b")
MACHINE = re.compile(r"(?<![\w.~:/])/(work|tmp|home|root|Users|opt)/|\b[A-Z]:\\Users")
HOSTS = re.compile(r"pypi\.org|pythonhosted|index-url|find-links|file://|@ +https?:")
BRITISH = re.compile(
    r"\b(?:mould\w*|colour\w*|centre[sd]?|(?:milli|centi|kilo)?(?:metre|litre)s?|grey\w*|fibres?"
    r"|favour\w*|behaviour\w*|labour\w*|neighbour\w*|harbour\w*|honour\w*|vapour\w*|odour\w*"
    r"|programmes?|licence[sd]?|defence|draught\w*|sulphu\w*|alumin(?:ium)|artefacts?|whilst"
    r"|catalogues?|analys(?:e[sd]?|ing)|travell\w+|modell\w+|labell(?:ed|ing)|cancell(?:ed|ing)|levell\w+"
    r"|(?:organ|recogn|initial|normal|optim|minim|maxim|summar|util|real|standard|general|special"
    r"|emphas|apolog|categor|character|critic|crystall|equal|final|ideal|memor|neutral|priorit"
    r"|random|stabil|symbol|synchron|vector|visual)is(?:e[sdr]?|ing|ation))\b",
    re.IGNORECASE,
)


def texts(root: Path) -> Iterator[tuple[str, str]]:
    """Yield path and text of every file that we write."""
    tops = [path for path in root.iterdir() if path.is_file() and path.suffix in TEXT]
    below = [path for name in FOLDERS for path in (root / name).rglob("*")]
    for path in sorted([*tops, *below]):
        name = path.relative_to(root).as_posix()
        # plan.json and plan.html at the top are what `make plan` left.
        made_here = "__pycache__" in name or name in {"plan.json", "plan.html", "plan.ics"}
        if path.is_file() and path.suffix in TEXT and path.name[0] != "." and not made_here:
            yield name, path.read_text(encoding="utf-8")


def commands() -> list[str]:
    """Return the verbs of the book that no plain sentence would hold."""
    from pourwright.ledger.kinds.table import BY_KIND

    return [kind.verb for kind in BY_KIND.values() if "-" in kind.verb]


def lines_with(root: Path, pattern: re.Pattern[str], skip: tuple[str, ...] = ()) -> list[str]:
    """Return "file:line: match" wherever a pattern is found."""
    return [
        f"{name}:{number}: {match.group()}"
        for name, text in texts(root)
        if not name.startswith((THIS, *skip))
        for number, line in enumerate(text.splitlines(), 1)
        if (match := pattern.search(line))
    ]


@pytest.fixture(scope="module")
def modules(root: Path) -> dict[str, str]:
    folder = root / "src" / "pourwright"
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*.py"))
    }


@cache
def parsed(source: str) -> ast.Module:
    """Return a module's tree; most of the rules below ask for it."""
    return ast.parse(source)


# --- sizes


def code_lines(node: ast.FunctionDef | ast.AsyncFunctionDef, lines: list[str]) -> int:
    """Return how many lines of a function's body are code: no docstring, comment or blank."""
    has_docstring = ast.get_docstring(node, clean=False) is not None
    body = node.body[1:] if has_docstring else node.body
    if not body:
        return 0
    lines = lines[body[0].lineno - 1 : node.end_lineno]
    return sum(1 for line in lines if line.strip() and not line.strip().startswith("#"))


def functions(modules: dict[str, str]) -> Iterator[tuple[str, ast.FunctionDef, int]]:
    for name, source in modules.items():
        lines = source.splitlines()
        for node in ast.walk(parsed(source)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                yield f"{name}:{node.lineno} {node.name}", node, code_lines(node, lines)


def test_functions_are_short(modules):
    sizes = {name: size for name, _, size in functions(modules)}
    short = sum(size < LONG_CODE for size in sizes.values())

    assert {name: size for name, size in sizes.items() if size > MOST_CODE} == {}
    assert short >= 0.9 * len(sizes)


def test_the_count_of_code_leaves_out_what_is_no_code():
    source = 'def f(x):\n    """Say.\n\n    More.\n    """\n    # why\n\n    y = x\n    return y\n'

    assert [size for _, _, size in functions({"a.py": source})] == [2]


# --- imports; the arrows between rooms are held by import-linter, in make check


def test_init_files_import_nothing(modules):
    inits = {name: source for name, source in modules.items() if name.endswith("__init__.py")}
    found = [
        name
        for name, source in inits.items()
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Import | ast.ImportFrom)
    ]

    assert len(inits) > 10
    assert found == []


# --- words


def test_nothing_is_left_unfinished(root):
    assert lines_with(root, UNFINISHED) == []


def test_spelling_is_american(root):
    """Left out are published titles, which keep their spelling, and the units people type."""
    skip = ("tests/sources/", "src/pourwright/units.py", "LICENSE")

    assert lines_with(root, BRITISH, skip) == []


@pytest.mark.parametrize(
    "word", ["Mould", "two litres", "organised", "the centre", "grey", "vapour"]
)
def test_british_spelling_is_found(word):
    assert BRITISH.search(word)


@pytest.mark.parametrize(
    "word", ["mold", "liter", "organized", "center", "gray", "programmed", "analysis", "otherwise",
             "precise", "promise", "exercise", "label", "raised", "realistic", "metrics"]
)  # fmt: skip
def test_american_spelling_passes(word):
    assert not BRITISH.search(word)


def test_no_path_of_one_machine_is_named(root):
    """Left out is the log, which takes such paths out of what it keeps."""
    assert lines_with(root, MACHINE, skip=("src/pourwright/cli/log.py", "tests/cli/")) == []


@pytest.mark.parametrize("path", ["see /root/it", '"/tmp/x"', "/home/me/", r"C:\Users\me"])
def test_a_path_of_one_machine_is_found(path):
    assert MACHINE.search(path)


# --- names and units

FOREIGN_UNITS = {"g", "oz", "lb", "lbs", "cm", "m", "inch", "ft", "cm2", "cm3", "ml", "cl",
                 "qt", "pt", "gal", "s", "sec", "secs", "hours", "mins", "f", "kelvin", "j", "kj",
                 "percent", "pct", "w"}  # fmt: skip


def named_values(modules: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Yield where and what: every parameter of a public function, every field of a record."""
    for name, source in modules.items():
        for node in ast.walk(parsed(source)):
            if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name[0] == "_":
                continue  # inside, a formula may keep the units of its source
            if isinstance(node, ast.FunctionDef):
                yield from ((f"{name}:{node.lineno}", arg) for arg in taken_parameters(node))
            else:
                fields = [line for line in node.body if isinstance(line, ast.AnnAssign)]
                yield from ((f"{name}:{f.lineno}", ast.unparse(f.target)) for f in fields)


def with_foreign_unit(modules: dict[str, str]) -> list[str]:
    """Return the names that end in a unit that is not one of the house."""
    return [
        f"{where} {name}"
        for where, name in named_values(modules)
        if "_per_" not in name and "_" in name and name.rsplit("_", 1)[1] in FOREIGN_UNITS
    ]


def test_names_end_in_the_units_of_the_house(modules):
    assert with_foreign_unit(modules) == []


def test_a_name_in_a_foreign_unit_is_found():
    source = "def f(mass_oz, fill_l): ...\nclass A:\n    wall_cm: float\n    wall_mm: float\n"

    assert sorted(with_foreign_unit({"a.py": source})) == ["a.py:1 mass_oz", "a.py:3 wall_cm"]


def test_every_rate_and_density_is_in_the_table_of_names(root, modules):
    table = (root / "docs" / "names.md").read_text(encoding="utf-8")
    units = set(re.findall(r"`_([a-z0-9]+_per_[a-z0-9]+)`", table))
    rate = re.compile(r"(?:^|_)((?:kg|g|l|mm2?|degc|kwh?|min)_per_[a-z0-9]+)$")
    used = {
        found[1]: where for where, name in named_values(modules) if (found := rate.search(name))
    }

    assert {unit: where for unit, where in used.items() if unit not in units} == {}


# --- links and pages


def markdown(root: Path) -> dict[str, str]:
    return {name: text for name, text in texts(root) if name.endswith(".md")}


def anchors(text: str) -> set[str]:
    """Return the anchors that a page's headings make."""
    headings = re.findall(r"^#+ +(.+?) *$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", h.lower()).replace(" ", "-") for h in headings}


def links(text: str) -> list[str]:
    """Return the targets of a page's links and images, code left out."""
    prose = re.sub(r"```.*?```|`[^`\n]*`", "", text, flags=re.DOTALL)
    return re.findall(r"\]\(([^)\s]+)\)", prose)


def broken_links(root: Path, name: str, text: str) -> Iterator[str]:
    for link in links(text):
        if link.startswith(("https://", "mailto:")):
            continue
        path, _, anchor = link.partition("#")
        target = (root / name).parent / path if path else root / name
        if not target.exists():
            yield f"{name}: {link} leads nowhere"
        elif anchor and anchor not in anchors(target.read_text(encoding="utf-8")):
            yield f"{name}: {link} names no heading"


def test_every_link_leads_somewhere(root):
    pages = markdown(root)

    assert len(pages) > 5
    assert [found for name, text in pages.items() for found in broken_links(root, name, text)] == []


def test_a_broken_link_is_found(root):
    text = "[a](docs/nowhere.md) [b](README.md#no-such-heading) ![c](nothing.png) `[d](x)`"

    assert len(list(broken_links(root, "README.md", text))) == 3


def test_every_page_is_reached_from_the_index(root):
    pages = {name: text for name, text in markdown(root).items() if name.startswith("docs/")}
    reached, ahead = set(), ["docs/index.md"]
    while ahead:
        name = ahead.pop()
        reached.add(name)
        targets = [link.partition("#")[0] for link in links(pages[name]) if "://" not in link]
        paths = [((root / name).parent / target).resolve() for target in targets if target]
        names = [path.relative_to(root).as_posix() for path in paths if path.is_relative_to(root)]
        ahead += [name for name in names if name in pages and name not in reached]

    assert sorted(set(pages) - reached) == []


def test_the_readme_is_short_and_opens_with_the_job(root):
    lines = (root / "README.md").read_text(encoding="utf-8").splitlines()
    first_screen = "\n".join(lines[:30])

    assert len(lines) < 120
    assert lines[0] == "# Pourwright"
    assert lines[2][0].isalpha(), "one paragraph on the job comes first"
    assert "make plan" in first_screen
    assert "make test" in first_screen


def test_every_make_target_that_is_named_exists(root):
    makefile = (root / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^([a-z-]+):", makefile, re.MULTILINE))
    text = "\n".join([*markdown(root).values(), (root / ".ci" / "run").read_text(encoding="utf-8")])
    named = set(re.findall(r"(?:`|^ {4}|\$ |' )make ([a-z-]+)", text, re.MULTILINE))

    assert {"plan", "test", "test-all", "check", "bench", "dev"} <= targets
    assert named <= targets


# --- packages


def locked(root: Path, lock: str) -> dict[str, str]:
    """Return name and version of what a lock pins; every line of it must carry hashes."""
    pins = re.findall(
        r"^([\w.\-]+)==(\S+)[^\\\n]*\\\n((?: +--hash=sha256:[0-9a-f]{64}[ \\]*\n)+)",
        (root / "requirements" / lock).read_text(encoding="utf-8"),
        re.MULTILINE,
    )
    return {canonicalize_name(name): version for name, version, _ in pins}


def groups(project: dict, name: str) -> list[str]:
    """Return a dependency group's requirements, the groups it includes among them."""
    found = []
    for entry in project["dependency-groups"][name]:
        found += [entry] if isinstance(entry, str) else groups(project, entry["include-group"])
    return found


@pytest.mark.parametrize(
    "lock", ["run.txt", "shape.txt", "paper.txt", "dev.txt", "mutate.txt", "build.txt"]
)
def test_the_locks_hold_what_the_package_asks_for(root, lock):
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    run = project["project"]["dependencies"]
    extras = project["project"]["optional-dependencies"]
    shape, paper = extras["shape"], extras["paper"]
    wanted = {
        "run.txt": run,
        "shape.txt": [*run, *shape],
        "paper.txt": [*run, *paper],
        "dev.txt": [*run, *shape, *paper, *groups(project, "dev")],
        "mutate.txt": groups(project, "mutate"),
        "build.txt": groups(project, "build"),
    }[lock]
    pins = locked(root, lock)

    for requirement in map(Requirement, wanted):
        version = pins[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), requirement
    text = (root / "requirements" / lock).read_text(encoding="utf-8")
    assert len(pins) == len(re.findall(r"^[\w.\-]+==", text, re.MULTILINE))
    assert not HOSTS.search(text)


def test_the_locks_agree(root):
    dev = locked(root, "dev.txt")

    assert {pin for pin in locked(root, "mutate.txt").items() if pin[0] in dev} <= dev.items()
    for extra in ("shape.txt", "paper.txt"):
        assert locked(root, "run.txt").items() <= locked(root, extra).items() <= dev.items()
    assert locked(root, "build.txt").items() <= dev.items()


def test_what_is_imported_is_declared(root, modules):
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    told = project["project"]
    needed = [*told["dependencies"], *chain(*told["optional-dependencies"].values())]
    names = {re.split(r"[^\w\-]", line)[0] for line in needed}
    other_names = {"PIL", "igl", "pourwright"}
    declared = {name.replace("-", "_") for name in names} | other_names
    imported = set()
    for source in modules.values():
        for node in ast.walk(parsed(source)):
            if isinstance(node, ast.Import):
                imported |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.level == 0:
                imported.add(node.module.split(".")[0])

    assert imported - declared - sys_modules() == {"markupsafe"} & imported


def sys_modules() -> frozenset[str]:
    import sys

    return sys.stdlib_module_names


# --- docstrings


def told_parameters(docstring: str) -> list[str]:
    """Return the names under a NumPy-style docstring's Parameters heading."""
    section = re.search(r"\nParameters\n-+\n(.*?)(?=\n\n?\w[\w ]*\n-+\n|\Z)", docstring, re.DOTALL)
    names = re.findall(r"^([*\w][*\w, ]*?)(?: ?:.*)?$", section[1], re.MULTILINE) if section else []
    return [name.strip("* ") for group in names for name in group.split(",")]


def taken_parameters(node: ast.FunctionDef) -> list[str]:
    args = node.args
    named = [*args.posonlyargs, *args.args, *args.kwonlyargs]
    stars = [arg for arg in (args.vararg, args.kwarg) if arg]
    return [arg.arg for arg in [*named, *stars] if arg.arg not in {"self", "cls"}]


def wrong_docstrings(modules: dict[str, str]) -> list[str]:
    """Return the functions whose docstring tells other parameters than they take."""
    found = []
    for where, node, _ in functions(modules):
        told = told_parameters(ast.get_docstring(node) or "")
        if told and sorted(told) != sorted(taken_parameters(node)):
            found.append(f"{where} tells {told} and takes {taken_parameters(node)}")
    return found


def test_docstrings_tell_the_parameters_that_are_taken(modules):
    assert wrong_docstrings(modules) == []


def test_a_docstring_that_tells_another_parameter_is_found():
    source = (
        'def f(a_kg, *, b):\n    """Add.\n\n    Parameters\n    ----------\n'
        '    a_kg : float\n        One. [kg]\n    c : bool\n        Two.\n\n'
        '    Returns\n    -------\n    float\n        x : no parameter.\n    """\n'
    )  # fmt: skip

    assert wrong_docstrings({"a.py": source}) == [
        "a.py:1 f tells ['a_kg', 'c'] and takes ['a_kg', 'b']"
    ]


def untold_laws(modules: dict[str, str]) -> list[str]:
    """Return the public functions of modules that leave a parameter or the units untold."""
    found = []
    for name, source in modules.items():
        for node in parsed(source).body:
            if not isinstance(node, ast.FunctionDef) or node.name[0] == "_":
                continue
            docstring = ast.get_docstring(node) or ""
            if taken_parameters(node) and not told_parameters(docstring):
                found.append(f"{name}:{node.lineno} {node.name} tells no parameters")
            elif node.returns and "loat" in ast.unparse(node.returns) and "[" not in docstring:
                found.append(f"{name}:{node.lineno} {node.name} gives no units in brackets")
    return found


def test_a_law_tells_all_that_it_takes_with_units(modules):
    assert untold_laws({k: v for k, v in modules.items() if k.startswith("materials/")}) == []


def test_an_untold_law_is_found():
    source = (
        'def f(a_kg: float) -> float:\n    """Weigh."""\n'
        'def g(a_kg: float) -> float:\n    """Weigh.\n\n    Parameters\n    ----------\n'
        '    a_kg : float\n        Mass.\n    """\n'
        'def _h(a_kg: float) -> float: ...\n'
    )  # fmt: skip

    assert untold_laws({"a.py": source}) == [
        "a.py:1 f tells no parameters",
        "a.py:3 g gives no units in brackets",
    ]


def test_what_the_book_says_names_no_command(root):
    """The same sentence stands on a page, where none can be typed; who typed one knows it."""
    named = re.compile(rf"(?<![\w/-])(?:{'|'.join(commands())})(?![\w\"'-])")
    said = [
        root / "src/pourwright/ledger/findings.py",
        *root.glob("src/pourwright/ledger/rules/*.py"),
    ]
    found = [
        f"{path.name}:{node.lineno}"
        for path in said
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if " " in node.value and named.search(node.value)
    ]
    assert found == []
