"""Imports point one way: doors, actions, parts, ground."""

import ast
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

PACKAGE = "pourwright"
GROUND = ("errors", "unit_sizes", "units", "quantities", "money")  # each may import those before it
PARTS = ("materials", "shape", "planning", "ledger", "charts", "paper")
DOORS = ("web", "cli")

# What a module of each kind may import of ours, beside its own part.
ALLOWED = {
    **{name: GROUND[:place] for place, name in enumerate(GROUND)},
    **dict.fromkeys(PARTS, GROUND),
    "actions": (*PARTS, *GROUND),
    # A door shows what an action answered, so it may use the records and renderers of paper.
    **dict.fromkeys(DOORS, ("actions", "paper", *GROUND)),
}

# One door opens the other in one place: a command has to start the server.
OPENS = {("pourwright.cli.studio_command", "pourwright.web.serve.serve")}

# The laws and the planning are given everything: no clock, file, database or environment.
PURE = ("materials", "planning")
OUTSIDE = {
    "datetime.datetime.now", "glob", "io", "os", "pathlib", "random", "shutil", "socket",
    "sqlite3", "subprocess", "tempfile", "time", "urllib",
}  # fmt: skip


def home(module: str) -> str:
    """Return the part of a dotted module name: "pourwright.cli.main" is at home in "cli"."""
    names = module.split(".")
    return names[1] if len(names) > 1 else ""


def imports(source: str, module: str, *, is_package: bool) -> Iterator[tuple[int, str]]:
    """Yield line and dotted name of every import, wherever in the module it stands."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            parents = module.split(".")
            base = parents[: len(parents) + is_package - node.level] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            yield from ((node.lineno, f"{stem}.{alias.name}") for alias in node.names)


def broken_arrows(sources: Mapping[str, str]) -> list[str]:
    """Return a sentence for each import that points the wrong way.

    ``sources`` maps paths below the package's folder, such as "cli/main.py", to their text.
    """
    found = []
    for path, source in sources.items():
        is_package = path.endswith("__init__.py")
        names = [PACKAGE, *Path(path).with_suffix("").parts]
        module = ".".join(names[:-1] if is_package else names)
        for line, name in imports(source, module, is_package=is_package):
            wrong = wrong_import(home(module), name, is_package=is_package)
            if wrong and (module, name) not in OPENS:
                found.append(f"{path}:{line}: {wrong}")
        if home(module) and home(module) not in ALLOWED:
            found.append(f"{path}: {home(module)} is no part of the house; say where it belongs")
    return found


def wrong_import(importer: str, name: str, *, is_package: bool) -> str:
    """Return what is wrong with an import by a module of the part ``importer``, or nothing."""
    if is_package:
        return f"an __init__ imports nothing, not even {name}"
    if name.split(".")[0] == PACKAGE:
        target = home(name)
        if target != importer and target not in ALLOWED.get(importer, ()):
            return f"{importer} must not import {target or PACKAGE} ({name})"
    elif importer in PURE and (name.split(".")[0] in OUTSIDE or name in OUTSIDE):
        return f"{importer} takes no clock, file or machine: it must not import {name}"
    return ""


@pytest.fixture(scope="module")
def ours(root: Path) -> dict[str, str]:
    folder = root / "src" / PACKAGE
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*.py"))
    }


def test_imports_point_one_way(ours):
    assert len(ours) > 10
    assert broken_arrows(ours) == []


@pytest.mark.parametrize(
    ("path", "planted", "said"),
    [
        ("materials/plaster.py", "from pourwright.planning import problem", "import planning"),
        ("planning/batches.py", "import pourwright.materials.plaster", "import materials"),
        ("planning/batches.py", "from pourwright.actions.plan import plan", "import actions"),
        ("paper/page.py", "from ..charts import fan", "import charts"),
        ("paper/page.py", "def f():\n    from pourwright import cli", "import cli"),
        ("actions/plan.py", "from pourwright.web import app", "import web"),
        ("cli/main.py", "from pourwright.planning.problem import Problem", "import planning"),
        ("cli/main.py", "from pourwright.web import app", "import web"),
        ("cli/plan_command.py", "from pourwright.web.serve import serve", "import web"),
        ("cli/studio_command.py", "from pourwright.web.app import make_app", "import web"),
        ("units.py", "from pourwright import quantities", "import quantities"),
        ("errors.py", "from pourwright import quantities", "import quantities"),
        ("quantities.py", "from . import paper", "import paper"),
        ("actions/__init__.py", "from pourwright.errors import StudioError", "imports nothing"),
        ("__init__.py", "import numpy", "imports nothing"),
        ("planning/calendar.py", "import time", "no clock"),
        ("materials/plaster.py", "from pathlib import Path", "no clock, file"),
        ("extras/mesh.py", "", "no part of the house"),
        ("planning/rounds.py", "import pourwright", "import pourwright"),
    ],
)
def test_a_planted_import_is_found(path, planted, said):
    found = broken_arrows({path: planted})

    assert len(found) == 1
    assert found[0].startswith(path)
    assert said in found[0]


@pytest.mark.parametrize(
    ("path", "allowed"),
    [
        ("cli/show.py", "from pourwright.paper.blocks import Section"),
        ("cli/main.py", "from pourwright.actions.plan import plan"),
        ("cli/studio_command.py", "def f():\n    from pourwright.web.serve import serve"),
        ("actions/plan.py", "from pourwright.materials import plaster"),
        ("planning/rounds.py", "from .batches import least_batches"),
        ("planning/rounds.py", "from pourwright.errors import NotDoable"),
        ("planning/calendar.py", "from datetime import date, timedelta"),
        ("quantities.py", "import difflib"),
    ],
)
def test_an_import_that_points_the_right_way_passes(path, allowed):
    assert broken_arrows({path: allowed}) == []


HELP = """
import sys
from pourwright.cli.main import run

status = run(["--help"])
heavy = {"numpy", "scipy", "pint", "altair", "holidays", "jinja2", "vl_convert"}
print("heavy:", *sorted(heavy & set(sys.modules)))
sys.exit(status)
"""


def test_help_is_quick_because_it_imports_nothing_heavy():
    done = subprocess.run([sys.executable, "-c", HELP], capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stderr
    assert "plan" in done.stdout
    assert done.stdout.splitlines()[-1].split() == ["heavy:"]
