"""Every page on a phone, light and dark, by axe-core, and on a sheet for whoever looks.

The sheet is ``artifacts/every-page-phone.png``.
"""

import pytest

from tests.e2e.page_looks import looked_at, looking, picture_folder
from tests.e2e.page_shots import SHOTS, shown

pytestmark = pytest.mark.whole


@pytest.fixture(scope="module")
def phone(chromium):
    with looking(chromium, "phone") as found:
        yield found


@pytest.fixture(scope="module")
def folder(root):
    with picture_folder(root / "artifacts" / "every-page-phone") as found:
        yield found


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.name)
def test_a_page_in_light_and_dark(phone, studios, folder, shot):
    page, complaints = phone
    complaints.clear()
    with shown(page, studios, shot):
        assert looked_at(page, folder / shot.name) == []
        assert complaints == []
