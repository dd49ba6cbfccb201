"""In CI the whole run has no network but its own loopback, and these tests hold it to that."""

import errno
import os
import socket
import subprocess
import sys

import pytest

from tests.alone import is_asked_for, why_not

# Addresses kept for documentation, which nobody has: RFC 5737 and RFC 3849.
ELSEWHERE = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))


@pytest.fixture
def alone():
    """Skip, in plain words, where the run was not cut off."""
    if not is_asked_for():
        pytest.skip("the run has a network: it is cut off where CI is set (CI=true make test)")
    if why_not():
        pytest.skip(f"the run has a network: {why_not()}")


@pytest.mark.parametrize(("family", "address"), ELSEWHERE)
def test_nothing_but_this_computer_can_be_reached(family, address, alone):
    with socket.socket(family, socket.SOCK_STREAM) as asking:
        asking.settimeout(5)
        with pytest.raises(OSError, match="unreachable") as told:
            asking.connect((address, 80))

    assert told.value.errno == errno.ENETUNREACH


def test_a_program_that_a_test_starts_is_cut_off_too(alone):
    code = (
        "import socket, errno; asking = socket.socket(); asking.settimeout(5);"
        "print(errno.errorcode.get(asking.connect_ex(('192.0.2.1', 80))))"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert told.stdout.strip() == "ENETUNREACH"


def test_this_computer_is_reached(alone):
    with socket.create_server(("127.0.0.1", 0)) as served:
        socket.create_connection(served.getsockname(), timeout=5).close()


def outcome(root, **environment):
    """Return how the tests above end in a run of their own."""
    kept = {name: value for name, value in os.environ.items() if name != "CI"}
    command = [sys.executable, "-m", "pytest", "-q", "-rs", "-p", "no:cacheprovider", __file__]
    chosen = ["-k", "not run"]
    return subprocess.run(
        command + chosen, cwd=root, env=kept | environment, capture_output=True, text=True, check=False
    )  # fmt: skip


def test_a_run_in_ci_is_cut_off_and_leaves_none_of_these_out(root):
    done = outcome(root, CI="true")

    assert done.returncode == 0, done.stdout + done.stderr
    if why_not():
        assert f"the run has a network: {why_not()}" in done.stdout
    else:
        assert "4 passed" in done.stdout
        assert "skipped" not in done.stdout


def test_a_run_elsewhere_says_that_it_has_a_network(root):
    done = outcome(root)

    assert done.returncode == 0
    assert "4 skipped" in done.stdout
    assert "it is cut off where CI is set" in done.stdout
