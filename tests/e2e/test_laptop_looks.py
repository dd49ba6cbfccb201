"""Every page on a laptop, light and dark: its looks, axe-core, and a sheet for whoever looks.

The sheet is ``artifacts/every-page-laptop.png``.
"""

import pytest

from tests.e2e.looks import YEAR, overflow, torn_numbers
from tests.e2e.page_looks import bench_faults, faults_of, looked_at, looking, picture_folder
from tests.e2e.page_shots import SHOTS, shown
from tests.e2e.walking import LAPTOP

pytestmark = pytest.mark.whole

ZOOMED = ({"width": 640, "height": 400}, {"width": 320, "height": 400})
"""A laptop's page at 200 % and at 400 % (WCAG 2.2, 1.4.10): nothing sticks out of it."""


@pytest.fixture(scope="module")
def laptop(chromium):
    with looking(chromium, "laptop") as found:
        yield found


@pytest.fixture(scope="module")
def folder(root):
    with picture_folder(root / "artifacts" / "every-page-laptop") as found:
        yield found


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.name)
def test_a_page_in_light_and_dark(laptop, studios, folder, shot):
    page, complaints = laptop
    complaints.clear()
    with shown(page, studios, shot):
        assert looked_at(page, folder / shot.name) == []
        assert faults_of(page) == []
        assert bench_faults(page) == []
        for size in ZOOMED:
            page.set_viewport_size(size)
            assert overflow(page) == [], size
            assert torn_numbers(page, YEAR) == [], size
        page.set_viewport_size(LAPTOP)
        assert complaints == []
