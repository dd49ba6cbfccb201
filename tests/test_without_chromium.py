"""A machine without Chromium runs the rest and says what it left out; in CI that is a failure."""

import os
import re
import subprocess
import sys

import pytest

BROWSER = "tests/e2e/test_no_network.py::test_this_computer_can"
OTHER = "tests/test_money.py"


@pytest.fixture(scope="module")
def options(root):
    """Return what ``make test`` gives pytest, so that the sentence is seen in that very run."""
    make = (root / "Makefile").read_text(encoding="utf-8")
    return re.search(r"^test:.*\n\t@\$\(RUN\) pytest (.*) \$\(PYTEST_OPTIONS\)$", make, re.MULTILINE)[1].split()  # fmt: skip


@pytest.fixture
def run(root, tmp_path, options):
    """Return a function that runs a few tests where no program is found by its name."""

    def ran(*chosen, **more):
        environment = {
            name: value
            for name, value in os.environ.items()
            if name != "CI" and not name.startswith("PYTEST_")  # of the run that this is part of
        }
        environment |= {"PATH": str(tmp_path), "PYTEST_XDIST_AUTO_NUM_WORKERS": "1", **more}
        command = [sys.executable, "-m", "pytest", *options, "-p", "no:cacheprovider", *chosen]
        return subprocess.run(
            command, cwd=root, env=environment, capture_output=True, text=True, check=False
        )

    return ran


def test_the_rest_is_run_and_the_last_words_say_what_was_left_out(run):
    done = run(BROWSER, OTHER)
    last = done.stdout.strip().splitlines()[-1]

    assert done.returncode == 0, done.stdout + done.stderr
    assert "passed, 1 skipped" in done.stdout
    assert last == (
        "1 test was left out: each looks at pages in a browser, and there is no Chromium on this "
        "machine. Install Chromium or Chrome (on Debian: apt-get install chromium), then run "
        "this again."
    )


def test_where_ci_is_set_a_browser_that_is_not_there_is_a_failure_and_nothing_is_left_out(run):
    done = run("-n0", BROWSER, OTHER, CI="true")

    assert done.returncode == 1
    assert "passed, 1 error" in done.stdout
    assert "there is no Chromium on this machine" in done.stdout
    assert "left out" not in done.stdout
