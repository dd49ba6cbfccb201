"""Every page of the studio, on a phone and a laptop, in light and dark: held to what each must be.

A page that is not among the shots fails the build. The shots are laid side by side in
``artifacts/every-page-phone.png`` and ``artifacts/every-page-laptop.png``.
"""

import shutil

import pytest

from tests.e2e.contact_sheet import lay_out
from tests.e2e.page_looks import (
    SCHEMES,
    SIZES,
    axe_faults,
    bench_faults,
    faults_of,
    watched,
    whole_picture,
)
from tests.e2e.page_shots import SHOTS, Studios, page_routes


@pytest.fixture(scope="module")
def studios(tmp_path_factory):
    served = Studios(tmp_path_factory.mktemp)
    yield served
    served.close()


@pytest.fixture(scope="module")
def shots(root):
    """Return where screenshots go; in the end they are laid side by side, a sheet for each size."""
    folder = root / "artifacts" / "every-page"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    yield folder
    for size in SIZES:
        names = [f"{one.name}-{size}-{scheme}" for one in SHOTS for scheme in SCHEMES]
        lay_out([folder / f"{name}.png" for name in names], folder.with_name(f"every-page-{size}.png"))  # fmt: skip


def test_every_page_is_among_the_shots():
    assert {route.path for route in page_routes()} == {one.route for one in SHOTS} - {""}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.name)
def test_a_page_is_as_every_page_must_be(chromium, studios, shots, shot, size):
    width, height = SIZES[size]
    with chromium.new_context(
        viewport={"width": width, "height": height}, has_touch=size == "phone"
    ) as context:
        page, complaints = watched(context)
        page.emulate_media(color_scheme=SCHEMES[0])
        page.goto(studios[shot.studio].here + shot.path)
        if page.locator("#step-line").count():
            page.wait_for_selector('#step-line[data-state="step"]')
        if shot.act:
            shot.act(page)
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            whole_picture(page, shots / f"{shot.name}-{size}-{scheme}.png")
            assert axe_faults(page) == []
        assert faults_of(page) == []
        assert bench_faults(page) == []
        offline = [one for one in complaints if "ERR_INTERNET_DISCONNECTED" not in one]
        assert offline == []
