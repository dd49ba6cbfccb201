"""kill -9 of two writers in the middle of their work: nothing acknowledged is lost.

The kernel keeps the pages of a killed process, so this says nothing about a power cut; that is
in test_power_cut.py.
"""

import json
import os
import subprocess
import sys

import pytest

from tests.ledger.toy import rounds


@pytest.mark.rounds
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and kill")
def test_two_killed_writers_lose_nothing_that_was_acknowledged(root, tmp_path):
    many = rounds(30, 500)
    done = subprocess.run(
        [sys.executable, "-m", "tests.ledger.kill_rounds", str(tmp_path), str(many)],
        cwd=root, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 0, done.stderr
    counts = json.loads(done.stdout)
    assert counts["acknowledged"] > 3 * many, counts
    assert (counts["lost"], counts["unsound"]) == (0, 0), counts
