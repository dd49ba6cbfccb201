"""How many taps a thing takes on a phone, from Today on: counted by walks, and held to the guide's table.

A press of a finger is a tap, a sweep and a choice in a list too; figures that are typed and the
camera's own shutter are not counted.
"""

import re
import shutil
import time
from io import BytesIO

import pytest
from PIL import Image

from tests.bench_studio import EDITION, lay_out, planned
from tests.e2e.looks import dark
from tests.e2e.serving import Served
from tests.e2e.walking import PATIENCE_S, WRITTEN, walking

pytestmark = pytest.mark.whole

AIMS = {
    "open a glaze load with one crack": 4,
    "replace a number that broke": 5,
    "sell two pieces": 5,
    "ship two pieces": 4,
    "weigh a mold": 3,
    "weigh eight molds": 18,
    "photograph a piece": 4,
    "undo": 1,
}
OF = {"edition": EDITION}
GROUND = "one => getComputedStyle(one).backgroundColor"
IN_SIGHT = """
id => {
  const foot = document.getElementById(id), box = foot.closest("label").getBoundingClientRect();
  return foot.closest("label").contains(document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2));
}
"""
ON_TOP = """
all => all.length > 0 && all.every(one => {
  const box = one.getBoundingClientRect();
  return one.contains(document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2));
})
"""


class Hand:
    """A hand that begins at Today, and how often it taps."""

    def __init__(self, maker):
        self.maker, self.page, self.taps = maker, maker.page, 0
        maker.open("/")

    def tap(self, where):
        """Press something that stands on the page."""
        self.taps += 1
        (self.page.locator(where) if isinstance(where, str) else where).first.click()

    def follow(self, words):
        """Press a link, and be on its page."""
        self.tap(self.page.locator("main").get_by_role("link", name=re.compile(words)))
        self.maker.settled()

    def press(self, words):
        """Press a button."""
        self.tap(self.page.locator("main").get_by_role("button", name=words, exact=True))

    def feet(self, *numbers):
        """Press feet of a tray."""
        for one in numbers:
            self.tap(f"#foot-of-{one}")

    def write(self, words, kind):
        """Press what writes an entry, and see that it is written and shown."""
        before = len(self.maker.studio.entries())
        self.press(words)
        ends = time.monotonic() + PATIENCE_S
        while len(entries := self.maker.studio.entries()) == before and time.monotonic() < ends:
            time.sleep(0.05)
        self.page.wait_for_function(WRITTEN)
        self.maker.settled()
        assert [one["kind"] for one in entries[before:]] == [kind]
        return entries[-1]["body"]


@pytest.fixture(scope="module")
def table(root):
    """Return the guide's table: what is done, how many taps it takes, and how many it may."""
    text = (root / "docs" / "guide" / "studio.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| ([a-z][a-z ]+) \| (\d+) \| (\d+) \|$", text, re.MULTILINE)
    return {what: (int(taps), int(aim)) for what, taps, aim in rows}


@pytest.fixture
def sample(tmp_path, sample_folder, chromium):
    studio = Served(shutil.copytree(sample_folder, tmp_path / "studio")).start()
    with walking(chromium, studio) as maker:
        yield maker
    studio.kill()


@pytest.fixture
def drying(tmp_path, chromium):
    """Yield somebody in whose studio eight molds are drying."""
    studio = Served(lay_out(tmp_path)).start()
    with walking(chromium, studio) as maker:
        maker.until_morning()
        pour = {"do": "pour", "id": "p", **OF, "count": 8, "at": maker.ago(5), "go_on": True}
        studio.do(planned(at=maker.ago(60)), pour)
        yield maker
    studio.kill()


def test_pieces_are_sold_shipped_photographed_and_replaced(sample, table):
    hand = Hand(sample)
    hand.follow("^Fern jug$")
    hand.feet(10)
    ship = hand.page.locator(".dock [data-act=ship]")
    assert ship.evaluate(GROUND) == "rgba(0, 0, 0, 0)"  # Sell alone is dark
    hand.tap(hand.page.locator(".dock summary", has_text="Sell"))
    hand.page.wait_for_function(IN_SIGHT, arg="foot-of-11")  # the page moves up behind the dock
    hand.feet(11)
    assert len(hand.write("Sold", "piece-sold")["pieces"]) == 2
    assert hand.page.locator(".tray :checked").count() == 0  # 11 pressed now is 11 chosen
    assert hand.taps == table["sell two pieces"][0]

    hand = Hand(sample)
    hand.follow("^Fern jug$")
    hand.feet(10, 11)
    assert ship.evaluate(GROUND) != "rgba(0, 0, 0, 0)"
    assert len(hand.write("Ship", "piece-shipped")["pieces"]) == 2
    assert hand.taps == table["ship two pieces"][0]
    hand.taps = 0
    hand.tap(hand.page.get_by_role("button", name="Undo"))
    hand.page.locator("#undo").wait_for(state="detached")
    sample.settled()
    assert hand.taps == table["undo"][0]

    hand = Hand(sample)
    hand.follow("^Fern jug$")
    hand.feet(8)
    hand.tap(hand.page.locator(".dock summary", has_text="It broke"))
    hand.write("A shard is kept", "piece-broken")
    assert hand.write("Make again", "piece-marked")["numbers"] == [8]
    assert hand.taps == table["replace a number that broke"][0]

    hand = Hand(sample)
    hand.follow("^Fern jug$")
    hand.feet(12)
    with hand.page.expect_file_chooser() as chooser:
        hand.tap(".dock .photo-act label")
    drawn = BytesIO()
    Image.new("RGB", (900, 600), (176, 142, 90)).save(drawn, "PNG")
    chooser.value.set_files({"name": "12.png", "mimeType": "image/png", "buffer": drawn.getvalue()})  # fmt: skip
    hand.page.locator(".said-words").wait_for()
    assert sample.studio.entries()[-1]["kind"] == "photo-kept"
    assert hand.taps == table["photograph a piece"][0]

    sample.open("/editions/fern-jug/numbers/12")
    hand.write("Ship", "piece-shipped")
    assert hand.page.locator(".undo-words").inner_text() == "Ship"
    menu = hand.page.locator(".menu summary")
    menu.click()  # Undo lies over no place that opens
    assert hand.page.locator(".menu details a").evaluate_all(ON_TOP)
    menu.click()
    hand.page.get_by_text("It was sold").wait_for()
    assert dark(hand.page) == []  # it is gone: nothing is due


def test_a_glaze_load_is_opened(sample, table):
    hand = Hand(sample)
    hand.follow("^Open L-010")
    hand.tap(".foot-press")
    hand.tap(hand.page.get_by_role("button", name="Crawl", exact=True))
    hand.tap(".dock button")
    hand.page.locator("#undo .undo-state", has_text="written down").wait_for()
    assert [*sample.studio.entries()[-1]["body"]["lost_pieces"].values()] == ["crawl"]
    assert hand.taps == table["open a glaze load with one crack"][0]


def test_molds_are_weighed(drying, table):
    hand = Hand(drying)
    hand.follow("^Weigh M-001")
    for n in range(1, 9):
        hand.page.get_by_role("heading", name=f"Weigh M-00{n}").wait_for()
        hand.page.locator("#f-mass").fill(f"4.{n}")
        hand.tap(".weigh .dock button")
        if n == 1:
            assert hand.taps == table["weigh a mold"][0]
    hand.page.get_by_text("M-008 weighs 4.8 kg").wait_for()
    assert len(drying.studio.entries("mold-weighed")) == 8
    assert hand.taps == table["weigh eight molds"][0]


def test_the_table_tells_every_aim_and_each_is_met(table):
    assert {what: aim for what, (_, aim) in table.items()} == AIMS
    assert [what for what, (taps, aim) in table.items() if taps > aim] == []
