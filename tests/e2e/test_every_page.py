"""Every page of the studio is opened, on a phone and in the light, and held to what each must be.

A page that is not among the shots fails the build. The dark, the laptop and axe-core are in
``test_phone_looks.py`` and ``test_laptop_looks.py``.
"""

import pytest

from tests.e2e.page_looks import bench_faults, faults_of, looking
from tests.e2e.page_shots import SHOTS, page_routes, shown


@pytest.fixture(scope="module")
def phone(chromium):
    """Yield one page for all, and what it complains of."""
    with looking(chromium, "phone") as found:
        yield found


def test_every_page_is_among_the_shots():
    assert {route.path for route in page_routes()} == {one.route for one in SHOTS} - {""}


@pytest.mark.parametrize(
    "shot",
    [
        pytest.param(one, id=one.name, marks=[pytest.mark.whole] if one.costly else [])
        for one in SHOTS
    ],
)
def test_a_page_is_as_every_page_must_be(phone, studios, shot):
    page, complaints = phone
    complaints.clear()
    with shown(page, studios, shot):
        assert faults_of(page) == []
        assert bench_faults(page) == []
        assert complaints == []
