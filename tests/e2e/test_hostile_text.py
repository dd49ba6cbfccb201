"""Hostile text in the browser itself: nothing runs, nothing loads, and it shows as it was typed."""

from datetime import UTC, datetime

import pytest

from pourwright.studio.sample import lay_out_sample
from tests.e2e.page_looks import watched
from tests.e2e.serving import Served
from tests.web.test_hostile_text import MARKUP

TRAPS = (*MARKUP[:9], "{{ 7 * 7 }} ${7*7} javascript:alert(1)")


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sample")
    lay_out_sample(folder, datetime.now(UTC))
    studio = Served(folder).start()
    yield studio
    studio.kill()


@pytest.fixture
def page(chromium):
    """Yield a page under the studio's policy; at the end it must have said nothing."""
    with chromium.new_context() as context:
        page, complaints = watched(context)
        page.on("dialog", lambda dialog: (complaints.append(dialog.message), dialog.dismiss()))
        yield page
        page.wait_for_timeout(200)
        assert complaints == []


def write(page, address, fields, button):
    """Fill a form in and send it; the page after it must be another."""
    page.goto(address)
    for name, text in fields.items():
        field = page.locator(f'form.form [name="{name}"]').first
        if not field.is_visible():
            page.locator("details.rest summary").first.click()
        field.fill(text)
    page.get_by_role("button", name=button).first.click()
    page.locator(".said").wait_for()


def shows(page, address, text):
    page.goto(address)
    page.get_by_text(text, exact=False).first.wait_for()


def test_a_note_an_edition_and_a_lot_show_as_they_were_typed(page, served):
    for number, trap in enumerate(TRAPS):
        write(page, f"{served.here}/do/note?back=/records", {"text": trap}, "Write it down")
        write(
            page, f"{served.here}/do/plan-edition?back=/editions",
            {"edition": f"trap-{number}", "name": trap, "pieces": "4"}, "Write it down",
        )  # fmt: skip
        write(page, f"{served.here}/do/mix-lot?what=slip&back=/lots", {"name": trap}, "Write it")
        shows(page, f"{served.here}/editions/trap-{number}", trap)
    for path in ("/records", "/editions", "/lots"):
        for trap in TRAPS[-3:]:
            shows(page, served.here + path, trap)


def test_the_note_of_a_loss_shows_as_it_was_typed(page, served):
    for trap in TRAPS:
        told = "edition=fern-jug&stage=greenware&lost=1+chip&back=/records"
        write(page, f"{served.here}/do/lose?{told}", {"note": trap}, "Write it down")
        page.locator(".lines a").first.click()
        page.get_by_text(trap, exact=False).first.wait_for()


def test_a_caution_of_the_studios_own_shows_as_it_was_typed(page, served):
    for trap in TRAPS:
        write(page, f"{served.here}/settings/care", {"plaster": trap}, "Keep it")
        shows(page, f"{served.here}/bench/plaster", trap)


def test_a_dialog_and_a_breach_of_the_policy_would_be_seen(chromium, served):
    """The listening itself is tried: on a page that does what the traps want."""
    with chromium.new_context() as context:
        page, complaints = watched(context)
        page.on("dialog", lambda dialog: (complaints.append("dialog"), dialog.dismiss()))
        page.goto(f"{served.here}/do")
        page.evaluate("() => alert(1)")
        page.evaluate("() => { const b = document.createElement('b');"
                      " b.setAttribute('style', 'color: red'); document.body.append(b); }")  # fmt: skip
        page.wait_for_timeout(300)

    assert "dialog" in complaints
    assert any("style" in one for one in complaints)
