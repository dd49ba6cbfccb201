"""A maker who walks through the studio's pages: follows links, fills forms, presses buttons."""

import json
import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from click.testing import CliRunner

from pourwright.cli.main import cli
from tests.e2e.looks import overflow
from tests.e2e.page_looks import watched
from tests.e2e.serving import Served

PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1280, "height": 800}
ZONE = ZoneInfo("Europe/Copenhagen")
MORNING_H = 9
DAY_S = 86_400
PATIENCE_S = 20
SETTLED_S = 0.7
"""Cards that changed places take no tap for so long, and a card no second one."""
# Time that passes moves both clocks of a page, as it does outside a test; and the page says what
# of its own it heard last.
PASSING = """
(() => {
  let passed = Number(sessionStorage.getItem("passed") ?? 0);
  const date = Date.now.bind(Date), perf = performance.now.bind(performance), began = passed;
  Date.now = () => date() + passed;
  performance.now = () => perf() + passed - began;
  window.pass = ms => { passed += ms; sessionStorage.setItem("passed", passed); };
  for (const what of ["answered", "refreshed"]) {
    document.addEventListener(`studio:${what}`, () => { window.heard = what; });
  }
})();
"""
# Nothing is kept here, and what was answered is shown.
WRITTEN = """
() => !Object.keys(localStorage).some(key => key.startsWith("tap:")) && window.heard !== "answered"
"""
# What a page has worked out behind it is left out: seconds of a core at every step of a walk.
NOT_WORKED_OUT = r"""
(() => {
  const sent = window.fetch.bind(window);
  window.fetch = (what, ...how) => /\/offered\/[a-z-]+$|\/editions\/[a-z-]+\/plan$/.test(what)
    ? Promise.resolve(new Response("<p></p>", { headers: { "Content-Type": "text/html" } }))
    : sent(what, ...how);
})();
"""


class Maker:
    """Somebody with a browser, who never writes into the book but through its pages."""

    def __init__(self, studio: Served, page: Any) -> None:
        self.studio, self.page = studio, page

    # --- time

    def until_morning(self) -> None:
        """Let time pass until the next morning, so that no step of a day falls into the next."""
        now = datetime.fromtimestamp(self.studio.now_s(), ZONE)
        morning = now.replace(hour=MORNING_H, minute=0, second=0, microsecond=0)
        morning += timedelta(days=1) if morning <= now else timedelta()
        self.studio.pass_s(morning.timestamp() - now.timestamp())

    def day(self) -> str:
        """Return the day it is in the studio, as a command takes it."""
        return datetime.fromtimestamp(self.studio.now_s(), ZONE).date().isoformat()

    def ago(self, days: float) -> str:
        """Return an instant some days ago by the studio's clock."""
        when = datetime.fromtimestamp(self.studio.now_s(), UTC) - timedelta(days=days)
        return when.isoformat(timespec="seconds").replace("+00:00", "Z")

    # --- hands

    def open(self, path: str) -> None:
        """Go to a page by its address, as by the menu or a bookmark."""
        self.page.goto(self.studio.here + path)
        self.settled()

    def settled(self) -> None:
        """Wait until the page is in step with the studio, and see that nothing sticks out of it."""
        self.page.locator('#step-line[data-state="step"]').wait_for()
        assert overflow(self.page) == []

    def follow(self, words: str) -> None:
        """Follow the link that says this."""
        self.page.locator("main").get_by_role("link", name=re.compile(words)).first.click()
        self.settled()

    def fill(self, **told: str) -> None:
        """Fill fields in by the names of their labels; those folded away are opened first."""
        for name, text in told.items():
            label = name.replace("_", " ").capitalize()
            field = self.page.locator("main").get_by_label(re.compile(f"^{label}( |$)")).first
            if not field.is_visible():
                field.locator("xpath=ancestor::details/summary").click()
            field.fill(text)

    def choose(self, word: str) -> None:
        """Choose one of a few."""
        self.page.get_by_role("radio", name=word, exact=True).check()

    def press(self, words: str) -> None:
        """Press a button."""
        self.page.locator("main").get_by_role("button", name=words, exact=True).click()

    def write(self, said: str, kind: str) -> dict[str, Any]:
        """Press what writes a form down; return the one entry that came of it.

        Parameters
        ----------
        said : str
            What the next page says of it.
        kind : str
            What kind of entry it is.
        """
        before = len(self.studio.entries())
        self.press("Write it down")
        self.page.get_by_role("status").get_by_text(said).wait_for()
        self.settled()
        entries = self.studio.entries()
        assert len(entries) == before + 1
        assert entries[-1]["kind"] == kind
        return entries[-1]["body"]

    def refused(self, *sentences: str) -> None:
        """Press what writes a form down, and be told why not; nothing is written."""
        before = len(self.studio.entries())
        self.press("Write it down")
        told = self.page.locator("main :is(.error, [role=alert])")
        told.first.wait_for()
        said = " ".join(told.all_inner_texts()).replace("\xa0", " ")
        for one in sentences:
            assert one in said
        assert len(self.studio.entries()) == before

    def tap(self, words: str) -> None:
        """Tap at the bench, and see that it is written down."""
        tapped(self.studio, self.page, words)

    # --- eyes

    def next(self) -> list[str]:
        """Return what Today says comes next."""
        self.open("/")
        return self.page.locator("ol.chalk .chalk-words").all_inner_texts()

    def table(self, caption: str) -> list[list[str]]:
        """Return the rows of a table, as they are shown once what it is folded in is opened."""
        table = self.page.locator("table").filter(
            has=self.page.locator("caption", has_text=re.compile(f"^{caption}"))
        )
        folded = table.locator("xpath=ancestor::details[not(@open)]/summary")
        if folded.count():
            folded.first.click()
        return table.locator("tbody tr").evaluate_all(
            "rows => rows.map(row => [...row.cells].map(one => one.innerText.replace(/\\s+/g, ' ').trim()))"
        )

    def words(self, where: str = "main") -> str:
        """Return what stands on the page."""
        return " ".join(self.page.locator(where).first.inner_text().split())

    def show(self, *question: str) -> Any:
        """Return what ``pourwright book show ...`` says of the same folder."""
        told = ("--json", "--folder", str(self.studio.folder), "--today", self.day())
        answer = CliRunner().invoke(cli, ["book", "show", *question, *told])
        assert answer.exit_code == 0, answer.output
        return json.loads(answer.stdout)


def add_tap(page: Any, words: str, **command: Any) -> None:
    """Tap by the page's own outbox, as a button of these words that tells the book this would."""
    page.evaluate(
        "async ([command, words]) => (await import(document.querySelector('script[src*=studio]').src"
        ".replace('studio.js', 'outbox.js'))).add(command, {words})",
        [command, words],
    )


def paired(laptop: Any, context: Any, served: Served, name: str = "wheel room phone") -> None:
    """Pair a phone by the code that the laptop shows."""
    laptop.goto(served.here + "/settings/devices")
    laptop.get_by_role("button", name=re.compile("code")).click()
    code = laptop.locator(".code").inner_text()
    phone = context.new_page()
    phone.goto(served.lan + "/pair")
    phone.get_by_label("Code").fill(code.lower())
    phone.get_by_label("What this phone is called").fill(name)
    phone.get_by_role("button", name="Pair this phone").click()
    phone.wait_for_url(served.lan + "/")
    phone.close()


def pass_s(studio: Served, page: Any, seconds: float) -> None:
    """Let time pass for the studio and the phone alike."""
    studio.pass_s(seconds)
    page.evaluate("ms => window.pass(ms)", 1000 * seconds)


def tapped(studio: Served, page: Any, words: str, within: str = "body") -> None:
    """Tap, wait until one entry is written and the page shows it; then the next tap is taken."""
    before = len(studio.entries())
    page.locator(within).get_by_role("button", name=words, exact=True).click()
    ends = time.monotonic() + PATIENCE_S
    while len(studio.entries()) == before and time.monotonic() < ends:
        time.sleep(0.02)
    page.wait_for_function(WRITTEN)
    assert len(studio.entries()) == before + 1
    pass_s(studio, page, SETTLED_S)


@contextmanager
def walking(chromium: Any, studio: Served, size: dict[str, int] = PHONE) -> Iterator[Maker]:
    """Yield a maker with a browser; what the console and the policy complain of fails the walk."""
    with chromium.new_context(viewport=size, has_touch=size is PHONE) as context:
        context.add_init_script(PASSING + NOT_WORKED_OUT)
        page, complaints = watched(context)
        page.set_default_timeout(20_000)
        yield Maker(studio, page)
        assert complaints == []


def place_of(locator: Any) -> Any:
    """Return where something lies; news may exchange it in the very moment, so it is asked again."""
    return next(box for box in (locator.bounding_box() for _ in range(5)) if box)
