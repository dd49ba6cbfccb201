"""What the tests in a browser share: a sample studio laid out once, and studios that are served."""

from datetime import UTC, datetime

import pytest


@pytest.fixture(scope="session")
def sample_folder(tmp_path_factory):
    """Return the folder of a sample studio, to be copied."""
    from pourwright.studio.sample import lay_out_sample

    folder = tmp_path_factory.mktemp("laid-out") / "studio"
    lay_out_sample(folder, datetime.now(UTC))
    return folder


@pytest.fixture(scope="session")
def studios(tmp_path_factory, sample_folder, chromium):
    """Yield the studios that pages are looked at in; nothing may hang on what a test writes there."""
    from tests.e2e.page_shots import Studios

    served = Studios(tmp_path_factory.mktemp, sample_folder)
    yield served
    served.close()
