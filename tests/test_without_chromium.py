"""A machine without Chromium runs the rest and says what it left out; in CI that is a failure."""

import os
import subprocess
import sys

import pytest

BROWSER = "tests/e2e/test_studio_pages.py::test_what_the_looks_are_for_is_found"
OTHER = "tests/test_money.py"


@pytest.fixture
def run(root, tmp_path):
    """Return a function that runs a few tests where no program is found by its name."""

    def ran(*chosen, **more):
        environment = {name: value for name, value in os.environ.items() if name != "CI"}
        environment |= {"PATH": str(tmp_path), **more}
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *chosen]
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


def test_where_ci_is_set_a_browser_that_is_not_there_is_a_failure(run):
    done = run(BROWSER, OTHER, CI="true")

    assert done.returncode == 1
    assert "passed, 1 error" in done.stdout
    assert "there is no Chromium on this machine" in done.stdout
    assert "left out" not in done.stdout


def test_a_run_that_left_nothing_out_says_nothing_of_it(run):
    done = run(OTHER)

    assert done.returncode == 0
    assert "left out" not in done.stdout


def test_make_test_is_that_run(root):
    """The sentence is of every run of the tests, so of the one command too."""
    make = (root / "Makefile").read_text(encoding="utf-8")

    assert "test: $(DEV_READY)\n\t@$(RUN) pytest $(PYTEST_OPTIONS)\n" in make
