"""In CI the browser of these tests runs where only this computer can be reached."""

import pytest
from playwright.sync_api import Error

from tests import alone

ELSEWHERE = "192.0.2.1"  # RFC 5737: an address that nobody has


def test_another_computer_cannot_be_reached_from_the_browser(chromium):
    if not alone.is_asked_for():
        pytest.skip("the tests are cut off from the network in CI only")
    if alone.why_not():
        pytest.skip(alone.why_not())
    page = chromium.new_page()
    with pytest.raises(Error, match="ERR_INTERNET_DISCONNECTED|ERR_ADDRESS_UNREACHABLE"):
        page.goto(f"http://{ELSEWHERE}/")
    page.close()
