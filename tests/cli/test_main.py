"""The command line as a whole: help, exit statuses, errors as sentences, nothing heavy too early."""

import re
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from pourwright.calculators import guide as figure_guide
from pourwright.cli import log
from pourwright.cli.book import guide as book_guide
from pourwright.cli.main import cli, run
from pourwright.errors import BadInput, NotDoable

HEAVY = (
    "numpy", "scipy", "pint", "holidays", "jinja2", "rich", "sqlalchemy", "rfc8785", "PIL",
    "embreex", "igl", "manifold3d", "trimesh",
)  # fmt: skip


def all_commands(group: click.Group = cli, path: str = "pourwright"):
    """Yield every command with its full name."""
    yield path, group
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if isinstance(command, click.Group):
            yield from all_commands(command, f"{path} {name}")
        else:
            yield f"{path} {name}", command


COMMANDS = dict(all_commands())


def raising(fault: BaseException):
    """Return a function that raises, whatever it is given."""

    def raises(*_: object, **__: object) -> None:
        raise fault

    return raises


@pytest.fixture
def plan_that_raises(monkeypatch):
    """Return a function that makes ``pourwright plan`` run into a fault."""

    def install(fault: BaseException) -> None:
        monkeypatch.setattr("pourwright.cli.plan_command.plan_afresh", raising(fault))

    return install


@pytest.fixture(scope="module")
def guides(root):
    """The guide that people wrote, and the two that the site makes of the commands and tables."""
    written = (root / "docs" / "guide" / "commands.md").read_text(encoding="utf-8")
    return written + figure_guide.questions_page() + book_guide.guide_text()


@pytest.mark.parametrize(("name", "command"), COMMANDS.items(), ids=COMMANDS.keys())
def test_every_command_has_help_and_every_option_says_what_it_does(name, command):
    assert command.help
    assert command.help.strip().endswith(".")
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert parameter.help, f"{name} {parameter.opts[0]}"


@pytest.mark.parametrize(("name", "command"), COMMANDS.items(), ids=COMMANDS.keys())
def test_every_command_is_documented_with_all_its_options(name, command, guides):
    assert re.search(rf"^#+ `{re.escape(name)}`$", guides, re.MULTILINE), f"no heading for {name}"
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert f"`{max(parameter.opts, key=len)}" in guides, f"{name} {parameter.opts[0]}"


@pytest.mark.parametrize("name", [name for name in COMMANDS if " " in name])
def test_every_command_has_an_example(name):
    command = COMMANDS[name]

    assert f"  {name} " in (command.epilog or "")


def test_help_imports_nothing_heavy():
    """A fresh Python, because this one has long imported everything."""
    code = (
        "import sys; from pourwright.cli.main import run; status = run(['--help']);"
        f"print('loaded', [n for n in {HEAVY!r} if n in sys.modules], status)"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "loaded [] 0" in told.stdout
    assert told.stderr == ""


def test_the_version_is_that_of_the_package(capsys):
    from importlib.metadata import version

    assert run(["--version"]) == 0
    assert capsys.readouterr().out == f"pourwright {version('pourwright')}\n"


def test_python_m_runs_it_too():
    told = subprocess.run(
        [sys.executable, "-m", "pourwright.cli.main", "--version"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip

    assert told.stdout.startswith("pourwright ")


@pytest.mark.parametrize(
    "arguments", [["paln"], ["plan", "a.toml", "--tody", "x"], ["plan", "a", "b"]]
)
def test_a_wrong_command_line_is_told_and_ends_with_2(arguments, capsys):
    assert run(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "Usage: pourwright" in told.err
    assert "Traceback" not in told.err


def test_every_complaint_is_a_line_on_standard_error(plan_that_raises, capsys):
    one = BadInput.one("mold.life", "0", "it must be 1 or more", file="edition.toml").complaints[0]
    two = BadInput.one("slip.price", '"x"', "write an amount").complaints[0]
    plan_that_raises(BadInput([one, two]))

    assert run(["plan", "edition.toml"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == (
        'edition.toml: mold.life is 0; it must be 1 or more.\nslip.price is "x"; write an amount.\n'
    )


def test_what_cannot_be_done_ends_with_2(plan_that_raises, capsys):
    plan_that_raises(NotDoable("The foot plug is larger than the bucket."))

    assert run(["plan", "edition.toml"]) == 2
    assert capsys.readouterr().err == "The foot plug is larger than the bucket.\n"


@pytest.mark.parametrize(
    "fault", [ZeroDivisionError("x"), KeyError("y"), RecursionError(), MemoryError()]
)
def test_a_fault_of_ours_is_owned_logged_and_ends_with_1(fault, plan_that_raises, capsys):
    plan_that_raises(fault)

    assert run(["plan", "edition.toml"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert "This is our fault, not yours." in told.err
    assert "Traceback" not in told.err
    place = Path(re.search(r"folders: (.+)", told.err)[1])
    logged = place.read_text(encoding="utf-8")
    assert type(fault).__name__ in logged
    assert "in raises" in logged


def test_a_fault_without_a_log_is_owned_as_well(plan_that_raises, capsys, monkeypatch):
    monkeypatch.setattr(log, "user_log_path", raising(PermissionError()))
    plan_that_raises(ValueError("z"))

    assert run(["plan", "edition.toml"]) == 1
    assert "could not be kept" in capsys.readouterr().err


def test_stopping_by_hand_says_so(plan_that_raises, capsys):
    plan_that_raises(KeyboardInterrupt())

    assert run(["plan", "edition.toml"]) == 130
    assert capsys.readouterr().err.strip() == "Stopped."


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a device that is full")
def test_output_without_space_is_told():
    code = "import sys; from pourwright.cli.main import run; sys.exit(run(['--help']))"
    with Path("/dev/full").open("w") as full:
        told = subprocess.run(
            [sys.executable, "-c", code], stdout=full, stderr=subprocess.PIPE, text=True
        )

    assert told.returncode == 2
    assert told.stderr == "There is no space left where the output goes.\n"


def test_a_reader_that_leaves_ends_the_program_quietly(root):
    """As ``pourwright plan ... | head -1`` does."""
    code = (
        "import sys; from pourwright.cli import plan_command as p, main;"
        "from tests.plans import sample_plan;"
        "p.plan_afresh = lambda *_: sample_plan();"
        "sys.exit(main.run(['plan', 'edition.toml', '--json']))"
    )
    command = f'"{sys.executable}" -c "{code}" | head -1'
    told = subprocess.run(["/bin/sh", "-c", command], capture_output=True, text=True, cwd=root)

    assert told.stdout == "{\n"
    assert told.stderr == ""


def test_a_studio_is_made_where_there_is_none(tmp_path, monkeypatch):
    served = []
    monkeypatch.setattr("pourwright.web.serve.serve", lambda folder, **_: served.append(folder))
    made = CliRunner().invoke(cli, ["studio", str(tmp_path / "new" / "pottery"), "--no-browser"])
    (tmp_path / "note.txt").write_text("x", encoding="utf-8")
    refused = CliRunner().invoke(cli, ["studio", str(tmp_path / "note.txt"), "--no-browser"])

    assert made.exit_code == 0
    assert served == [tmp_path / "new" / "pottery"]
    assert served[0].is_dir()
    assert refused.exit_code != 0
    assert "that there is or can be made" in str(refused.output) + str(refused.exception)
