"""A pour day walked on a phone: nine equal batches from the plan, and every tap counted."""

import re

import pytest
from playwright.sync_api import expect

from tests.bench_studio import BRIEF, EDITION, lay_out, planned
from tests.e2e.looks import dark
from tests.e2e.page_looks import axe_faults
from tests.e2e.serving import Served
from tests.e2e.walking import pass_s, tapped, walking

MOST_TAPS = 30
"""From Today until nine molds are in the book."""
BATCHES = range(1, 10)
LONGEST_PLAN_MS = 120_000
NINE = BRIEF.replace("masters = 2", "masters = 9").replace("pieces = 24", "pieces = 30\nmolds = 9")


@pytest.fixture
def maker(tmp_path, chromium):
    """Yield somebody with a phone in a studio whose bucket takes one mold at a time."""
    folder = lay_out(tmp_path, NINE)
    file = folder / "studio.toml"
    text = file.read_text(encoding="utf-8").replace('bucket = "12 l"', 'bucket = "5 l"')
    text = text.replace("[pouring]", '[pouring]\nsession = "6 h"\nsetup = "1 h"')
    file.write_text(text, encoding="utf-8")
    studio = Served(folder).start()
    studio.do(
        planned(pieces=30, molds=9),
        *(
            {"do": "make-form", "id": part, "edition": EDITION, "what": "master", "part": part}
            for part in ("outside", "foot")
        ),
        {"do": "mix-lot", "id": "b", "what": "plaster", "mass": "50 kg"},
    )
    with walking(chromium, studio) as found:
        yield found
    studio.kill()


SHOWN = (
    "one => { one.scrollIntoView({block: 'center'}); return one.getBoundingClientRect().toJSON(); }"
)
# The buttons that lie in a box of the screen, and whatever of them is pressed there.
UNDER = """
box => {
  const found = new Set();
  for (let x = box.x + 1; x < box.x + box.width; x += 10) {
    for (let y = box.y + 1; y < box.y + box.height; y += 5) {
      const button = document.elementFromPoint(x, y)?.closest("button");
      if (button) found.add(button.textContent.trim());
    }
  }
  return [...found];
}
"""


PLACES = """
cards => cards.filter(one => one.checkVisibility()).sort((one, other) => one.offsetTop - other.offsetTop)
  .map(one => one.dataset.card)
"""


class Taps:
    """A thumb that counts: each press is one tap, of a button or of a link.

    At the bench it may press once more where it pressed: no button has come to lie there.
    """

    def __init__(self, maker):
        self.maker, self.count = maker, 0

    def follow(self, words):
        self.count += 1
        self.maker.follow(words)

    def press(self, words):
        self.count += 1
        self.maker.press(words)

    def tap(self, words):
        self.count += 1
        page = self.maker.page
        button = page.locator(".bench-cards").get_by_role("button", name=words, exact=True)
        box = button.evaluate(SHOWN)
        tapped(self.maker.studio, page, words, ".bench-cards")
        if page.evaluate(UNDER, box):
            page.wait_for_timeout(2000)  # on a slow machine it is shown later
            assert page.evaluate(UNDER, box) == []

    def wait(self, minutes):
        pass_s(self.maker.studio, self.maker.page, 60 * minutes)


@pytest.mark.whole
def test_nine_equal_batches_take_thirty_taps(maker):
    """Each is mixed while those before it set; each opens an hour after its pour."""
    page, thumb = maker.page, Taps(maker)
    maker.until_morning()
    maker.open("/")
    thumb.follow("mix a batch")
    thumb.press("Lay out the session")
    page.get_by_role("heading", name="Batch 1", exact=True).wait_for(timeout=LONGEST_PLAN_MS)
    weights = page.locator(".weights dd").all_inner_texts()[:2]
    masses = tuple(one.replace("\xa0", " ") for one in weights)
    for n in BATCHES:
        heading = page.locator(f"#card-batch-{n}-reed-bowl")
        assert f"into M-{n:03d}" in heading.inner_text()
        assert heading.locator(".weights dd").all_inner_texts() == weights
        thumb.tap(f"Plaster into water, batch {n}")
        if n == 1:  # what is taken back is said
            expect(page.locator("#undo .undo-words")).to_be_in_viewport()
            assert page.locator("#undo p").bounding_box()["width"] > 100
            ground = page.locator("#dock").evaluate("one => getComputedStyle(one).backgroundColor")
            assert ground != "rgba(0, 0, 0, 0)"  # nothing below shines through
        thumb.wait(7)
        thumb.tap(f"Batch {n} is poured")
        thumb.wait(4)
        places = page.locator(".batches > .mold").evaluate_all(PLACES)
        assert places == [f"batch-{i}-reed-bowl" for i in range(1, min(n + 1, 9) + 1)]
        if n == 4:  # the page opens at the bucket, and plaster that sets burns
            maker.open("/bench/plaster")
            act = page.get_by_role("button", name="Plaster into water, batch 5")
            expect(act).to_be_in_viewport(ratio=1)
            expect(page.locator(".burns")).to_be_in_viewport(ratio=1)
        if n == 3:  # each that runs tells its time in the head, the nearest first
            running = page.locator(".pails > li:has(.pail-clock:not(:empty))")
            assert running.count() == n
            order = running.evaluate_all("all => all.map(one => Number(one.style.order))")
            assert order == [0, 1, 2]  # poured in turn
        if n > 5:  # the first five were poured an hour ago by now
            thumb.tap(f"Open batch {n - 5}")
    assert axe_faults(page) == []
    for n in list(BATCHES)[-5:]:
        thumb.wait(15)
        thumb.tap(f"Open batch {n}")
    thumb.press("Write M-001 to M-009 down into the book")  # at the thumb
    page.get_by_role("status").get_by_text("9 molds poured: M-001 to M-009.").wait_for()

    poured = [one["body"] for one in maker.studio.entries("molds-poured")]
    assert [one["made"] for one in poured] == [[f"M-{n:03d}"] for n in BATCHES]
    assert {(one["water"]["typed"], one["plaster"]["typed"]) for one in poured} == {masses}
    assert {one["lot"] for one in poured} == {"B-001"}
    assert page.locator(".bench-cards > .mold").count() == 0
    assert thumb.count <= MOST_TAPS

    thumb.press("Undo")
    page.get_by_role("status").get_by_text("Taken back: 18 entries.").wait_for()
    assert page.locator(".bench-cards > .mold").count() == len(BATCHES)
    thumb.press("Write M-001 to M-009 down into the book")
    page.get_by_role("status").get_by_text("9 molds poured: M-001 to M-009.").wait_for()


@pytest.mark.whole
def test_a_batch_that_failed_takes_two_taps_and_is_offered_again(maker):
    """Without wifi too: the next batch's weights lie on the phone."""
    page, thumb = maker.page, Taps(maker)
    maker.open("/bench/plaster")
    page.get_by_label("Complete molds").fill("2")
    maker.press("Lay them out")
    page.get_by_role("heading", name="Batch 1", exact=True).wait_for()
    maker.settled()
    thumb.tap("Plaster into water, batch 1")
    page.get_by_text("More of batch 1").locator("visible=true").click()
    page.context.set_offline(True)
    page.get_by_text("Batch 1 failed").locator("visible=true").click()
    page.get_by_role("button", name="Too stiff to pour").locator("visible=true").click()
    page.locator("#card-batch-1-reed-bowl").get_by_text("It is to be poured again.").wait_for()
    page.get_by_role("button", name="Undo").click()
    page.locator("#card-batch-1-reed-bowl").get_by_role(
        "button", name="Batch 1 is poured"
    ).wait_for()
    expect(page.locator("#card-batch-1-reed-bowl details[open]")).to_have_count(0)
    page.locator("#card-batch-2-reed-bowl .weights").wait_for()
    page.context.set_offline(False)
    page.wait_for_function("() => !Object.keys(localStorage).some(key => key.startsWith('tap:'))")
    maker.open("/bench/plaster")
    page.get_by_text("More of batch 1").locator("visible=true").click()
    page.get_by_text("Batch 1 failed").locator("visible=true").click()
    thumb.tap("Too stiff to pour")
    page.get_by_role("heading", name="Batch 2", exact=True).wait_for()
    steps = [one["body"]["step"] for one in maker.studio.entries("step-started")]
    assert steps == ["sift", "failed: too stiff to pour", "failed: too stiff to pour"]


@pytest.mark.whole
def test_a_batch_waits_for_the_masters_that_are_full(maker):
    """Two of the foot's masters, one of the outside: the second mold waits, a spare foot does not."""
    brief = maker.studio.folder / "editions" / "reed-bowl.toml"
    text = brief.read_text(encoding="utf-8").replace("masters = 9", "masters = 1", 1)
    brief.write_text(text.replace("masters = 9", "masters = 2"), encoding="utf-8")
    page, thumb = maker.page, Taps(maker)
    maker.until_morning()
    maker.open("/bench/plaster")
    page.get_by_label("Complete molds").fill("2")
    maker.press("Lay them out")
    thumb.tap("Plaster into water, batch 1")
    page.locator("#undo").evaluate("one => one.remove()")  # nothing stands at the foot
    page.locator("#dock").wait_for(state="hidden")
    assert dark(page) == []  # it soaks: nothing is due
    page.get_by_role("button", name="Batch 1 is poured").locator("visible=true").first.click()
    page.wait_for_timeout(600)  # the foot is drawn anew
    assert page.locator("#ask").is_visible()
    expect(page.locator("#ask")).to_contain_text(
        "s after the water, not soaked: batch 1 is poured?"
    )
    expect(page.locator("#ask button")).to_have_text(["Yes, poured", "Not yet"])
    assert page.locator("#card-batch-1-reed-bowl").get_attribute("data-phase") == "sift"
    thumb.wait(7)
    page.wait_for_timeout(300)
    assert dark(page) == ["Batch 1 is poured"]
    thumb.tap("Batch 1 is poured")
    thumb.wait(1)
    page.evaluate("scrollTo(0, 0)")
    burns, water = page.locator(".batches > .burns"), page.get_by_text("Water", exact=True)
    above = water.locator("visible=true").first.bounding_box()
    assert burns.bounding_box()["y"] < above["y"]  # seen without scrolling
    bucket = page.locator("#card-batch-2-reed-bowl")
    act = bucket.get_by_role("button", name="Plaster into water, batch 2")
    expect(bucket).to_contain_text("Masters full until 10:0")  # poured at nine, it sets an hour
    expect(act).to_have_class(re.compile("quiet"))
    act.click()
    expect(page.locator("#ask")).to_contain_text("Masters full for 59 min more")
    assert bucket.get_attribute("data-phase") == "weigh"

    page.get_by_text("Parts, as spares or for a mold").click()
    page.get_by_label("foot").fill("1")
    maker.press("Lay them out")
    third = page.get_by_role("button", name="Plaster into water, batch 3")
    expect(third).not_to_have_class(re.compile("quiet"))
    thumb.wait(60)
    thumb.tap("Plaster into water, batch 3")
    page.evaluate("scrollTo(0, 0)")
    page.get_by_role("button", name="Batch 3 is poured").click()
    asked = page.locator("#ask").bounding_box()
    assert asked["y"] > page.viewport_size["height"] / 2  # by the thumb, though over the clock
    page.get_by_role("button", name="Not yet").click()
    thumb.tap("Open batch 1")
    expect(act).to_have_class(re.compile("quiet"))  # the third is in its bucket
    thumb.wait(7)
    thumb.tap("Batch 3 is poured")
    expect(act).not_to_have_class(re.compile("quiet"))
    expect(bucket).not_to_contain_text("Masters full")
