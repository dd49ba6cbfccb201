"""A copy, a restoring, a rebuilding and an upgrade that are stopped in the middle lose nothing."""

import json
import os
import subprocess
import sys

import pytest

from tests.ledger.toy import rounds


@pytest.mark.rounds
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and kill")
def test_what_is_stopped_at_any_step_leaves_the_old_or_the_new(root, tmp_path):
    some = rounds(1, 0)
    done = subprocess.run(
        [sys.executable, "-m", "tests.ledger.interrupted_rounds", str(tmp_path), str(some)],
        cwd=root, capture_output=True, text=True, check=False,
        env={**os.environ, "XDG_STATE_HOME": str(tmp_path / "state")},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    table = json.loads(done.stdout)
    for what, found in table.items():
        print(f"{what}: stopped at {found['stopped']} steps")
    assert {what: found["wrong"] for what, found in table.items() if found["wrong"]} == {}
    assert len(table) == 12
    assert all(found["stopped"] >= rounds(1, 10) for found in table.values()), table
