"""Hostile text in the browser itself: nothing runs, nothing loads, and it shows as it was typed."""

import shutil

import pytest

from tests.e2e.page_looks import watched
from tests.e2e.serving import Served
from tests.e2e.walking import add_tap
from tests.web.test_hostile_text import MARKUP

TRAPS = " ".join((*MARKUP[:9], "{{ 7 * 7 }} ${7*7} javascript:alert(1)"))
"""All at once: what is not escaped is missing on the page, and what then runs complains."""
EDITION, LOT = " ".join((*MARKUP[5:7], "{{7*7}}")), " ".join(MARKUP[2:5:2])  # at most 80 characters


@pytest.fixture(scope="module")
def served(tmp_path_factory, sample_folder, chromium):
    folder = tmp_path_factory.mktemp("hostile") / "studio"
    studio = Served(shutil.copytree(sample_folder, folder)).start()
    yield studio
    studio.kill()


@pytest.fixture(scope="module")
def window(chromium):
    """Yield a page, and what it, its policy and what would run in it complain of."""
    with chromium.new_context() as context:
        page, complaints = watched(context)
        page.on("dialog", lambda dialog: (complaints.append("dialog"), dialog.dismiss()))
        yield page, complaints


@pytest.fixture
def page(window):
    """Yield a page under the studio's policy; at the end it must have said nothing."""
    page, complaints = window
    complaints.clear()
    yield page
    let_run(page)
    assert complaints == []


def let_run(page):
    """Give what would run the time to run."""
    page.evaluate("() => new Promise(done => setTimeout(done, 50))")


def write(page, address, fields, button):
    """Fill a form in and send it; the page after it must be another."""
    page.goto(address)
    for name, text in fields.items():
        field = page.locator(f'main form [name="{name}"]').first
        if not field.is_visible():
            field.locator("xpath=ancestor::details/summary").click()
        field.fill(text)
    page.get_by_role("button", name=button).first.click()
    page.locator(".said").wait_for()


def shows(page, address, text):
    page.goto(address)
    page.get_by_text(text, exact=False).first.wait_for()


def test_a_note_an_edition_and_a_lot_show_as_they_were_typed(page, served):
    write(page, f"{served.here}/do/note?back=/records", {"text": TRAPS}, "Write it down")
    write(
        page, f"{served.here}/do/plan-edition?back=/editions",
        {"edition": "trap", "name": EDITION, "pieces": "4"}, "Write it down",
    )  # fmt: skip
    write(page, f"{served.here}/do/mix-lot?what=slip&back=/lots", {"name": LOT}, "Write it")
    for path, text in (
        ("/records", TRAPS[:100]), ("/editions/trap", EDITION), ("/editions", EDITION), ("/lots", LOT),
    ):  # fmt: skip
        shows(page, served.here + path, text)


def test_the_note_of_a_loss_shows_as_it_was_typed(page, served):
    told = "edition=fern-jug&stage=greenware&lost=1+chip&back=/records"
    write(page, f"{served.here}/do/lose?{told}", {"note": TRAPS}, "Write it down")
    page.locator(".day-book section").first.locator("a").last.click()
    page.get_by_text(TRAPS, exact=False).first.wait_for()


def test_a_caution_of_the_studios_own_shows_as_it_was_typed(page, served):
    write(page, f"{served.here}/settings/care", {"plaster": TRAPS}, "Keep it")
    shows(page, f"{served.here}/bench/plaster", TRAPS)


def test_a_refused_tap_shows_as_it_was_typed(page, served):
    """What a script draws by itself: the words of a tap, and the sentence that refuses it."""
    page.goto(f"{served.here}/bench/slip")
    add_tap(page, TRAPS, do="cast", edition="fern-jug", molds=TRAPS)
    page.locator("#kept").get_by_text(f"Not written down: {TRAPS}").wait_for()


def test_a_dialog_and_a_breach_of_the_policy_would_be_seen(window, served):
    """The listening itself is tried: on a page that does what the traps want."""
    page, complaints = window
    page.goto(f"{served.here}/do")
    page.evaluate("() => alert(1)")
    page.evaluate("() => { const b = document.createElement('b');"
                  " b.setAttribute('style', 'color: red'); document.body.append(b); }")  # fmt: skip
    let_run(page)

    assert "dialog" in complaints
    assert any("style" in one for one in complaints)
