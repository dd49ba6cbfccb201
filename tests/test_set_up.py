"""A newcomer without a fit Python reads what to install, not a traceback."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest


def set_up(root: Path, folder: Path, pythons: dict[str, str], **variables: str):
    """Run the set-up in a folder whose PATH holds only the Pythons given as shell scripts."""
    commands = folder / "commands"
    commands.mkdir()
    for tool in ("sh", "cat"):
        (commands / tool).symlink_to(shutil.which(tool))
    for name, body in pythons.items():
        (commands / name).write_text(f"#!/bin/sh\n{body}\n")
        (commands / name).chmod(0o755)
    return subprocess.run(
        ["sh", root / "requirements" / "set-up", "run"],
        cwd=folder,
        env={"PATH": str(commands), **variables},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    ("pythons", "variables", "sentence"),
    [
        ({}, {}, "There is no Python here. Pourwright needs Python 3.11 or newer"),
        ({"python3": "exit 4"}, {}, "python3 is older than 3.11"),
        ({"python3": "exit 5"}, {}, "apt install python3-venv"),
        ({"python3": "exit 4", "python3.12": "exit 5"}, {}, "python3.12 cannot make environments"),
        ({"python3": "exit 127"}, {}, "There is no Python here."),
        ({}, {"PYTHON": "python9"}, "PYTHON is python9, which is not a Python that runs here"),
    ],
)
def test_without_a_fit_python_the_set_up_says_what_to_install(
    root, tmp_path, pythons, variables, sentence
):
    done = set_up(root, tmp_path, pythons, **variables)

    assert done.returncode == 2
    assert sentence in done.stderr
    assert not (tmp_path / ".venv").exists()


def test_an_older_python_is_passed_over_for_a_newer_one(root, tmp_path):
    newer = 'case $1 in -) exit 0 ;; --version) echo Python 3.13.0 ;; -m) echo "$@"; exit 1 ;; esac'
    done = set_up(root, tmp_path, {"python3": "exit 4", "python3.13": newer})

    assert "with Python 3.13.0" in done.stderr
    assert "-m venv --clear .venv" in done.stdout
    assert "could not make the environment" in done.stderr


@pytest.mark.parametrize(("least", "status"), [("(3, 11)", 0), ("(99, 0)", 4)])
def test_the_check_of_a_python_reads_its_version(root, least, status):
    script = (root / "requirements" / "set-up").read_text()
    check = script.split("<<'CHECK' || return $?\n")[1].split("\nCHECK\n")[0]
    done = subprocess.run(
        [sys.executable, "-"],
        input=check.replace("(3, 11)", least),
        text=True,
        capture_output=True,
        check=False,
    )

    assert done.returncode == status, done.stderr
