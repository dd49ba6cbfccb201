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
WORKED_OUT = re.compile(r"/offered/[a-z-]+$|/editions/[a-z-]+/plan$")


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
                self.page.get_by_text("More, if you like").click()
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
        told = self.page.get_by_role("alert")
        told.wait_for()
        for one in sentences:
            assert one in told.inner_text()
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
        """Return the rows of a table, as they are shown."""
        table = self.page.locator("table").filter(
            has=self.page.locator("caption", has_text=re.compile(f"^{caption}"))
        )
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


def tapped(studio: Served, page: Any, words: str) -> None:
    """Tap, wait until one entry is written and nothing is kept on the phone."""
    before = len(studio.entries())
    page.get_by_role("button", name=words, exact=True).click()
    ends = time.monotonic() + PATIENCE_S
    while len(studio.entries()) == before and time.monotonic() < ends:
        time.sleep(0.1)  # a form asks whether the studio is there before it is sent
    page.wait_for_function("() => !Object.keys(localStorage).some(key => key.startsWith('tap:'))")
    assert len(studio.entries()) == before + 1
    page.wait_for_timeout(900)  # cards that changed places take no tap for 0.6 s


@contextmanager
def walking(chromium: Any, studio: Served, size: dict[str, int] = PHONE) -> Iterator[Maker]:
    """Yield a maker with a browser; what the console and the policy complain of fails the walk."""
    with chromium.new_context(viewport=size, has_touch=size is PHONE) as context:
        page, complaints = watched(context)
        page.set_default_timeout(20_000)
        page.route(WORKED_OUT, _not_asked)
        yield Maker(studio, page)
        assert complaints == []


def _not_asked(route: Any) -> None:
    """Leave out what a page has worked out behind it: seconds of a core at every step of a walk."""
    if route.request.resource_type == "document":
        route.continue_()
    else:
        route.fulfill(body="<p></p>", content_type="text/html")
