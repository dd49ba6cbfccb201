"""The whole of these tests runs where only this computer can be reached."""

import errno
import os
import socket

import pytest
from playwright.sync_api import Error

from tests import alone

ELSEWHERE = "192.0.2.1"  # RFC 5737: an address that nobody has


@pytest.fixture
def left(chromium):
    """Give the browser, where the network was left; in CI it must have been."""
    if alone.why_not:
        say = pytest.fail if os.environ.get("CI") and os.geteuid() == 0 else pytest.skip
        say(f"the network was not left: {alone.why_not}")
    return chromium


def test_another_computer_cannot_be_reached_from_the_tests(left):
    with pytest.raises(OSError, match="unreachable") as refused:
        socket.create_connection((ELSEWHERE, 80), timeout=5)

    assert refused.value.errno == errno.ENETUNREACH


def test_another_computer_cannot_be_reached_from_the_browser(left):
    page = left.new_page()
    with pytest.raises(Error, match="ERR_INTERNET_DISCONNECTED|ERR_ADDRESS_UNREACHABLE"):
        page.goto(f"http://{ELSEWHERE}/")
    page.close()


def test_this_computer_can(left):
    with socket.create_server(("127.0.0.1", 0)) as door:
        socket.create_connection(door.getsockname(), timeout=5).close()
