"""Editions and the first run in a browser; how their pages look is in ``test_every_page.py``."""

import re

import pytest
from playwright.sync_api import expect

from tests.e2e.page_looks import watched
from tests.e2e.page_shots import SAMPLE
from tests.e2e.serving import Served
from tests.e2e.walking import PHONE

_PLAN_MS = 120_000
DRAWN_OVER = """
() => {
  const drawn = document.getElementById("asked");
  if (!drawn.checkVisibility()) return [];
  const one = drawn.getBoundingClientRect();
  return [...document.querySelectorAll(".asking > .fields > .field:not([hidden]) :is(label > *, input)")]
    .concat(...document.querySelectorAll(".asking > .fields > .field:not([hidden]) > label"))
    .filter(other => {
      const range = document.createRange();
      range.selectNodeContents(other);
      const box = other.matches("label") ? range.getBoundingClientRect() : other.getBoundingClientRect();
      return box.right > one.left && box.left < one.right && box.bottom > one.top && box.top < one.bottom;
    }).map(other => other.id || other.textContent);
}
"""
"""What of a question its drawing lies on."""


def test_the_finish_fills_itself_in(studios, chromium):
    """The page of an edition shows at once; its plan stands there when it is worked out."""
    served = studios[SAMPLE]
    served.do({"do": "note", "id": "n-1", "edition": "gale-flask", "text": "a new day"})
    with chromium.new_context() as context:
        page, complaints = watched(context)
        page.goto(served.here + "/editions/gale-flask")
        page.get_by_text("What limits").wait_for(timeout=_PLAN_MS)
        assert page.locator("[data-wait]").count() == 0
        assert complaints == []


def test_from_nothing_to_a_plan_by_the_keyboard(tmp_path, chromium):
    """First run to plan: an example is chosen, sent, and its plan is shown."""
    studio = Served(tmp_path).start()
    try:
        phone = {"width": 390, "height": 844}
        with chromium.new_context(viewport=phone, timezone_id="Europe/Berlin") as context:
            page = context.new_page()
            page.goto(studio.here + "/")
            page.get_by_role("link", name="Begin an edition").press("Enter")
            page.get_by_role("link", name="Sparrow cup").press("Enter")
            page.wait_for_url("**/begin?example=cup")
            expect(page.locator(".told-thing:visible")).to_have_count(
                10
            )  # no water, a mold is told
            for thing in page.locator(".told-thing:visible").all()[
                :9
            ]:  # the example's answers stand there
                expect(thing).to_have_attribute("aria-current", "step")
                assert page.locator(".questions .fields > .field:visible").count() == 1
                assert page.evaluate(DRAWN_OVER) == []
                page.keyboard.press("Enter")
            page.get_by_text("That is enough").wait_for()
            page.get_by_role("button", name="pieces").click()  # what is told can be told otherwise
            page.get_by_label("Numbered pieces").fill("30")
            assert page.locator("#thing-pieces").text_content().strip() == "1/30"
            packed = page.get_by_role("button", name="packed")
            packed.click()
            page.get_by_label("Date by which").fill("in some months")
            page.get_by_role("button", name="Put it on the board").click()
            expect(
                page.get_by_label("Date by which")
            ).to_be_focused()  # what is typed next mends it
            page.get_by_label("Date by which").fill("in 20 months")
            page.keyboard.press("Enter")  # once: how it is read stands on the board, whole
            expect(packed).not_to_have_attribute("aria-current", "step")
            assert re.fullmatch(r"\w{3} \d+ \w{3} 20\d\d", packed.locator("b").inner_text())
            for told in page.locator(".told-thing:visible b").all():
                assert told.evaluate("one => one.scrollWidth <= one.clientWidth")
            page.get_by_role("button", name="there").click()  # who has masters weighs their water
            page.get_by_label("The masters").check()
            expect(page.locator("label[for=f-water]")).to_contain_text("Water that fills each")
            page.get_by_role("button", name="studio").click()
            expect(page.get_by_label("Time zone")).to_have_value("Europe/Berlin")
            page.get_by_label("Country").fill("Atlantis")
            page.get_by_role("button", name="To the plan").focus()
            page.keyboard.press("Enter")
            page.locator("#e-country").wait_for()  # what is wrong is in sight, and written in
            expect(page.locator("#e-country")).to_be_in_viewport(ratio=1)
            expect(page.get_by_label("Country")).to_be_focused()
            page.get_by_label("Country").fill("Germany")
            page.keyboard.press("Enter")
            page.wait_for_url("**/editions/sparrow-cup/plan", timeout=_PLAN_MS)
            assert "What limits" in page.locator("main").inner_text()
        assert 'country = "DE"' in (tmp_path / "studio.toml").read_text(encoding="utf-8")
        assert studio.entries("edition-planned")[0]["body"]["pieces"] == 30
    finally:
        studio.kill()


@pytest.mark.whole
def test_a_stocktake_is_counted_by_thumb(studios, chromium):
    """Each press puts pieces onto the shelf; a shelf that is left alone is not counted."""
    served = studios[SAMPLE]
    with chromium.new_context() as context:
        page = context.new_page()
        page.goto(served.here + "/records/stocktake/fern-jug")
        bisque = page.locator('[data-stage="bisque"]')
        top = bisque.bounding_box()["y"]
        for press in ("Five more", "One more", "One less", "Five more"):
            bisque.get_by_role("button", name=press).click()
        assert bisque.locator("input").input_value() == "10"
        assert bisque.locator(".counted i").count() == 10
        assert bisque.bounding_box()["y"] == top  # the thumb presses there again
        page.locator('[data-stage="fired"]').get_by_role("button", name="One less").click()
        page.get_by_role("button", name="Write it down").click()
        page.wait_for_url("**/editions/fern-jug")
        assert served.entries("stock-counted")[-1]["body"]["counts"] == {"bisque": 10, "fired": 0}
        page.goto(served.here + "/editions/fern-jug/what-if")
        answer = page.locator(".glance")
        planned = answer.inner_text(timeout=_PLAN_MS)
        page.get_by_role("button", name="One more").first.click()
        assert (
            answer.inner_text() == "What then?"
        )  # what stood there was the answer to another question
        page.get_by_role("button", name="One less").first.click()
        assert answer.inner_text() == planned


@pytest.mark.whole
def test_what_stands_by_a_plan_on_today_is_never_of_two_plans(studios, chromium):
    """After an entry both are told as the plan's before, what is next and the week; then both are of the new plan."""
    served = studios[SAMPLE]
    with chromium.new_context(viewport={"width": 390, "height": 844}) as context:
        page, complaints = watched(context)
        page.goto(served.here + "/")
        week, planned = page.locator("#week"), page.get_by_text("by its plan")
        expect(page.locator("[data-wait]")).to_have_count(0, timeout=_PLAN_MS)
        expect(week).to_be_visible()
        expect(planned).not_to_have_count(0)
        served.do({"do": "note", "id": "n-2", "edition": "gale-flask", "text": "one more"})
        former = page.locator(".is-former").get_by_text("by its plan")
        before = week.get_by_text("as worked out before")
        expect(before).to_be_visible(timeout=20_000)
        assert former.count() == planned.count() > 0
        expect(before).to_have_count(0, timeout=_PLAN_MS)
        expect(planned).not_to_have_count(0)
        expect(former).to_have_count(0)
        assert complaints == []


def test_a_plan_on_a_phone_is_short_and_its_addresses_open_what_is_folded(studios, chromium):
    with chromium.new_context(viewport=PHONE) as context:
        page, complaints = watched(context)
        page.goto(studios[SAMPLE].here + "/editions/fern-jug/plan", timeout=_PLAN_MS)
        assert page.evaluate("document.documentElement.scrollHeight") < 7000
        assert not page.locator("#kiln").is_visible()
        page.evaluate("location.hash = 'kiln'")
        page.locator("#kiln").wait_for()
        expect(page.get_by_role("heading", name="Kiln", exact=True)).to_be_in_viewport()
        page.emulate_media(media="print")
        assert page.get_by_text("No sizes are shown").is_visible()  # what was left folded
        assert complaints == []


def test_that_one_of_the_chosen_is_not_sold_is_said_before_it_is_sent(studios, chromium):
    with chromium.new_context(viewport=PHONE) as context:
        page, complaints = watched(context)
        page.goto(studios[SAMPLE].here + "/editions/fern-jug")
        leaves = page.get_by_text("Shipped now it leaves unsold")
        page.locator("#foot-of-5").click()
        assert leaves.count() == 0 or not leaves.first.is_visible()
        page.locator("#foot-of-6").click()
        expect(leaves.first).to_have_text(re.compile("^6: Not sold"))
        page.locator("#foot-of-5").click()
        expect(leaves.first).to_have_text(re.compile("^Not sold"))
        assert complaints == []


@pytest.mark.whole
def test_what_the_book_refuses_of_a_tray_is_said_at_the_thumb_and_stays_chosen(studios, chromium):
    """What shows a loss is asked for before the press; a refusal leaves its number and its words."""
    served = studios[SAMPLE]
    with chromium.new_context(viewport={"width": 390, "height": 844}) as context:
        page = context.new_page()
        page.goto(served.here + "/editions/fern-jug")
        foot = page.locator("#foot-of-4")
        foot.click()
        page.locator(".dock summary", has_text="Make again").click()
        again = page.get_by_role("button", name="Mark it again")
        again.click()
        evidence = page.locator("#a-evidence-numbered")
        assert evidence.evaluate("one => one.validity.valueMissing")
        assert page.locator("#kept").is_hidden()  # nothing was sent
        page.evaluate("scrollTo(0, 400)")
        evidence.fill(" ")
        again.click()
        said = page.locator("#refusal")
        expect(said).to_be_in_viewport(ratio=1)
        expect(said).to_contain_text("no photo or shard shows its loss")
        assert foot.is_checked()
        expect(again).to_be_in_viewport(ratio=1)
        said.get_by_role("button", name="Show it").click()
        expect(page.locator("#kept")).to_be_in_viewport(ratio=1)
        page.get_by_role("button", name="Leave it out").click()
        page.get_by_role("button", name="None").click()  # what is wanted otherwise is not asked
        foot.click()
        page.locator(".dock summary", has_text="Settle").click()
        page.get_by_role("button", name="Its story").click()
        page.wait_for_url("**/numbers/4")
        page.goto(served.here + "/editions/fern-jug")
        foot.click()
        page.locator(".dock summary", has_text="Make again").click()
        evidence.fill("shard in box 2")
        again.click()
        expect(page.get_by_text("4 is lost: make it again")).to_have_count(0)


def test_what_broke_in_a_tray_is_shown_broken_under_a_thumb(studios, chromium):
    """The foot stays chosen to be made again, and does not keep its tray as it was."""
    served = studios[SAMPLE]
    with chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True) as context:
        page = context.new_page()
        page.goto(served.here + "/editions/fern-jug")
        foot = page.locator(".tray label", has=page.locator("#foot-of-13"))
        foot.tap()
        page.locator(".dock summary", has_text="It broke").tap()
        page.get_by_role("button", name="A shard is kept").first.tap()
        expect(foot.locator(".unseen")).to_have_text("to make again")
        expect(page.locator("#foot-of-13")).to_be_checked()
        page.get_by_role("button", name="Undo").click()  # other tests find it as it was
        expect(foot.locator(".unseen")).to_have_text("here")
