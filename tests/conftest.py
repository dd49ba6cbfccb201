"""What every test shares: how Hypothesis searches, where the repository is, a browser."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

from tests.alone import leave_the_network

ROOT = Path(__file__).resolve().parents[1]

# The same examples every time, so that a red test is red for everybody. "explore" searches
# anew at each run: HYPOTHESIS_PROFILE=explore make test. `make test-rest` looks at more of them.
settings.register_profile(
    "same",
    max_examples=100 if os.environ.get("POURWRIGHT_SOAK") else 40,
    derandomize=True,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile(
    "explore",
    deadline=None,
    max_examples=1000,
    suppress_health_check=[HealthCheck.too_slow],
)
# For `make mutate`, which runs the tests thousands of times and needs no smallest example.
settings.register_profile(
    "mutate",
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=25,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))


@pytest.fixture(scope="session", autouse=True)
def log_elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the tests out of the log of whoever runs them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
        yield


@pytest.fixture(scope="session")
def root() -> Path:
    """Return the top folder of the repository."""
    return ROOT


CHROMIUM = ("chromium", "chromium-browser", "google-chrome")
NO_CHROMIUM = "there is no Chromium on this machine"
GET_CHROMIUM = (
    "Install Chromium or Chrome (on Debian: apt-get install chromium), then run this again."
)


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """Yield a headless Chromium, the one the system has.

    Without one the test is skipped on a maker's machine and fails where CI is set, because
    there it was installed and a skip would hide that nothing was looked at.
    """
    found = next((path for name in CHROMIUM if (path := shutil.which(name))), None)
    if found is None:
        say = pytest.fail if os.environ.get("CI") else pytest.skip
        say(NO_CHROMIUM)
    from playwright.sync_api import sync_playwright

    leave_the_network()
    with sync_playwright() as play:
        # Chromium refuses its sandbox to root, and without the rest it calls home on its own.
        flags = ("no-sandbox", "disable-gpu", "disable-quic", "no-first-run", "disable-sync",
                 "disable-background-networking", "disable-component-update", "disable-dev-shm-usage",
                 "host-resolver-rules=MAP studio.lan 127.0.0.1")  # fmt: skip
        args = [f"--{flag}" for flag in flags]
        browser = play.chromium.launch(executable_path=found, args=args)
        yield browser
        browser.close()


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> Iterator[None]:
    """Say at the very end what was left out for want of a browser, and how to get it."""
    result = yield
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    skipped = reporter.stats.get("skipped", ()) if reporter else ()
    left_out = sum(NO_CHROMIUM in str(one.longrepr) for one in skipped)
    if left_out:
        tests = "1 test was" if left_out == 1 else f"{left_out} tests were"
        reporter.write_line(
            f"{tests} left out: each looks at pages in a browser, and {NO_CHROMIUM}. {GET_CHROMIUM}"
        )
    return result
