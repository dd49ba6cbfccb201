"""Every page of the studio and what is done on it before it is looked at, in the studios that show it."""

import secrets
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

from fastapi.routing import APIRoute
from PIL import Image

from pourwright.web.app import routers
from tests.bench_studio import EDITION, lay_out, planned
from tests.e2e.serving import Served
from tests.e2e.walking import add_tap

PLAN_MS = 120_000
EMPTY, BENCH, SAMPLE, TRIAL = "empty", "bench", "sample", "trial"
OF = {"edition": EDITION}
NO_PAGES = {
    "/begin/answer",
    "/health", "/static/{digest}/{name}", "/stream", "/api/clock", "/settings/devices/qr.svg",
    "/settings/studio.toml", "/editions/{edition}/brief.toml",
    "/editions/{edition}/numbers", "/photos/{scope}/{digest}.jpg", "/paper/{kind}.pdf",
    "/calendar/{token}.ics", "/editions/{edition}/shape/{picture}",
}  # fmt: skip
"""What a GET answers with that is no page: pictures, files, scripts' own questions, what leads on."""


def page_routes() -> list[APIRoute]:
    """Return the route of every page, in the order in which an address finds them."""
    return [
        route
        for router in routers()
        for route in router.routes
        if isinstance(route, APIRoute) and "GET" in route.methods and route.path not in NO_PAGES
    ]


# --- studios


def before(days: float = 0.0, minutes: float = 0.0) -> str:
    """Return an instant that is past."""
    when = datetime.now(UTC) - timedelta(days=days, minutes=minutes)
    return when.isoformat(timespec="seconds").replace("+00:00", "Z")


def some_weeks() -> Iterator[dict[str, Any]]:
    """Yield some weeks of a studio: molds dry and wet, a broken part, clocks running."""
    yield planned(at=before(60))
    yield {"do": "mix-lot", "what": "plaster", "name": "fine white", "mass": "25 kg", "at": before(50)}  # fmt: skip
    yield {"do": "mix-lot", "what": "slip", "name": "white, May", "at": before(30)}
    yield {"do": "make-form", **OF, "what": "master", "name": "master of the outside", "at": before(52)}  # fmt: skip
    yield {"do": "pour", "go_on": True, **OF, "count": 3, "lot": "B-001", "at": before(45)}
    yield {"do": "dry", **OF, "molds": "1-3", "at": before(35)}
    for day in range(30, 20, -1):
        lost = {"lost": "1 stuck"} if day == 24 else {}
        yield {"do": "cast", **OF, "molds": "1-3", "lot": "S-001", "at": before(day), **lost}
    yield {"do": "judge", **OF, "molds": "2", "verdict": "softer", "at": before(20)}
    yield {"do": "break-part", "mold": 3, "part": "foot", "at": before(10)}
    yield {"do": "pour", "go_on": True, **OF, "count": 1, "lot": "B-001", "at": before(6)}
    for day in range(5, 0, -1):
        mass = f"{4.9 - 0.1 * (5 - day):.2f} kg"
        yield {"do": "weigh", "mold": 4, "mass": mass, "at": before(day)}
    yield {"do": "load", **OF, "firing": "bisque", "count": 12, "at": before(4)}
    fill = {"do": "start-step", **OF, "step": "fill", "target": "750 s"}
    yield {**fill, "what": "M-001 cast 11", "at": before(0, 14)}
    yield {**fill, "what": "M-002 cast 11", "at": before(0, 12)}
    step = {"do": "start-step", **OF}
    yield {**step, "what": "M-002 cast 11", "step": "open", "at": before(0, 1)}
    yield {**step, "what": "batch 1: 2 molds", "step": "weigh", "at": before(0, 9)}
    yield {**step, "what": "batch 1: 2 molds", "step": "sift", "at": before(0, 2)}


class Studios:
    """The studios that the pages are looked at in, each served when it is first asked for.

    Parameters
    ----------
    folder_of : callable
        Returns a new folder, by its name.
    sample : Path
        Where the sample studio is laid out; it is copied.
    """

    def __init__(self, folder_of: Callable[[str], Path], sample: Path) -> None:
        self._folder_of, self._sample = folder_of, sample
        self._served = dict[str, Served]()

    def __getitem__(self, name: str) -> Served:
        """Return one, by its name."""
        if name not in self._served:
            folder = self._folder_of(name)
            if name == SAMPLE:
                shutil.copytree(self._sample, folder, dirs_exist_ok=True)
            studio = self._served[name] = Served(lay_out(folder) if name == BENCH else folder)
            studio.start()
            if name in STORIES:
                told = ({"id": f"c-{n}"} | one for n, one in enumerate(STORIES[name]()))
                assert [one for one in studio.do(*told) if not one["ok"]] == []
        return self._served[name]

    def close(self) -> None:
        """End them all."""
        for one in self._served.values():
            one.kill()


def _trial() -> Iterator[dict[str, Any]]:
    yield {"do": "plan-edition", "edition": "tide-cup", "name": "Tide cup", "pieces": 24}


STORIES = {BENCH: some_weeks, TRIAL: _trial}
"""What is written down in a studio after it was laid out."""


# --- what is done on a page before it is looked at


def tables_opened(page: Any) -> None:
    """Open what is folded, and the tables below the charts."""
    page.evaluate(
        "document.querySelectorAll('.fold, .figured').forEach(one => { one.open = true })"
    )
    for summary in page.locator(".chart-table summary").all():
        summary.click()


def pressed(button: str, **fields: str) -> Callable[[Any], None]:
    """Return what fills fields in, each by its label, and presses a button."""

    def act(page: Any) -> None:
        for name, text in fields.items():
            field = page.get_by_label(name.replace("_", " ").capitalize()).first
            if not field.is_visible():
                field.locator("xpath=ancestor::details/summary").click()
            field.fill(text)
        # a form asks whether the studio is there before it is sent: the next page comes later
        with page.expect_navigation():
            page.get_by_role("button", name=button).click()
        page.wait_for_selector('#step-line[data-state="step"]')

    return act


def lost_opened(page: Any) -> None:
    """Open what else can be done with a mold, and what its cast may be lost to."""
    page.get_by_role("button", name="More of M-002").locator("visible=true").click()


def chosen(*numbers: str, then: str = "") -> Callable[[Any], None]:
    """Return what presses feet of the tray, and opens what is done with them."""

    def act(page: Any) -> None:
        tables_opened(page)
        for one in numbers:
            page.locator(f"#foot-of-{one}").click()
        if then:
            page.locator(".dock summary", has_text=then).click()

    return act


# In one go: a press that comes when the last is put down would send the form.
PUT_DOWN = "document.querySelector('.asking .form-foot button[type=button]:not([hidden])')?.click()"


def answered(page: Any) -> None:
    """Go on to the last question."""
    while page.get_by_text("That is enough").count() == 0:
        page.evaluate(PUT_DOWN)
        page.wait_for_timeout(30)


def foot_pressed(page: Any) -> None:
    """Press a piece of the load, and see what may have happened to it."""
    page.locator(".foot-press").nth(2).click()


def figure_typed(page: Any) -> None:
    """Type what the scale shows, and see what it means."""
    page.locator("#f-mass").fill("4.46")
    page.get_by_text("Ready to cast").wait_for()


def offers_shown(page: Any) -> None:
    """Wait until it is worked out what may be offered."""
    page.locator(".offer-count").first.wait_for(timeout=60_000)


def model_drawn(page: Any) -> None:
    """Wait until the model stands there."""
    page.locator("canvas[data-drawn]").wait_for()


def checked(page: Any) -> None:
    """Have the book checked."""
    page.get_by_role("button", name="Check the book").click()
    page.get_by_text("Sound").wait_for(timeout=PLAN_MS)


def photo_kept(page: Any) -> None:
    """Keep a photo, and see it on the page of what it shows."""
    drawn = BytesIO()
    shade = 100 + secrets.randbelow(100)  # one photo is not kept twice
    Image.new("RGB", (900 + shade, 600), (176, 142, shade)).save(drawn, "PNG")
    file = {"name": "seam.png", "mimeType": "image/png", "buffer": drawn.getvalue()}
    page.locator("#f-photo").set_input_files(file)
    page.get_by_role("button", name="Keep the photo").click()
    page.locator(".photos img").first.wait_for(timeout=60_000)


def kept(page: Any) -> None:
    """Tap without wifi."""
    page.context.set_offline(True)
    page.get_by_role("button", name="Drain M-001").first.click()
    page.get_by_text("kept on this phone", exact=True).wait_for()
    page.get_by_text("Clocks go on. Kept on this phone: 1 tap.").wait_for()


def refused(page: Any) -> None:
    """Tap what the book refuses."""
    add_tap(page, "Cast M-009", do="cast", edition=EDITION, molds="M-009")
    page.get_by_text("Not written down: Cast M-009").wait_for()


@dataclass(frozen=True)
class Shot:
    """A page as it is looked at.

    ``route`` is the page's own in the table of routes, empty for what answers where none
    stands. What is ``costly`` is looked at in the rest of the tests only.
    """

    name: str
    studio: str
    path: str
    act: Callable[[Any], None] | None = None
    costly: bool = False

    @property
    def route(self) -> str:
        """The first route that its path leads to."""
        path = self.path.partition("?")[0]
        found = (one.path for one in page_routes() if one.path_regex.match(path))
        return next(found, "")


@contextmanager
def shown(page: Any, studios: Studios, shot: Shot) -> Iterator[None]:
    """Show a page as it is looked at; what the phone kept is forgotten after it."""
    page.goto(studios[shot.studio].here + shot.path)
    if page.locator("#step-line").count():
        page.wait_for_selector('#step-line[data-state="step"]')
    if shot.act:
        shot.act(page)
    yield
    page.evaluate("localStorage.clear()")
    page.context.set_offline(False)


SHOTS = (
    Shot("first-run", EMPTY, "/"),
    Shot("shelf-empty", EMPTY, "/shelf"),
    Shot("slip-empty", EMPTY, "/bench/slip"),
    Shot("editions-empty", EMPTY, "/editions"),
    Shot("kiln-empty", EMPTY, "/kiln"),
    Shot("lots-empty", EMPTY, "/lots"),
    Shot("today", BENCH, "/", offers_shown),
    Shot("bench", BENCH, "/bench"),
    Shot("slip", BENCH, "/bench/slip", lost_opened),
    Shot("slip-refused", BENCH, "/bench/slip", pressed("Set the clocks by this wall", wall_found="thick")),
    Shot("taps-refused", BENCH, "/bench/slip", refused),
    Shot("taps-kept", BENCH, "/bench/slip", kept),
    Shot("plaster", BENCH, "/bench/plaster", pressed("Lay them out", complete_molds="3")),
    Shot("reminders", BENCH, "/bench/plaster/reminders"),
    Shot("shelf", BENCH, "/shelf"),
    Shot("mold", BENCH, "/shelf/M-004"),
    Shot("mold-cast", BENCH, "/shelf/M-001"),
    Shot("weigh", BENCH, "/shelf/M-004/weigh", figure_typed),
    Shot("weigh-asks", BENCH, "/shelf/M-004/weigh", pressed("Write it down", what_the_scale_shows="45")),
    Shot("photo", BENCH, f"/photos/add?about=M-002&edition={EDITION}&back=/shelf/M-002"),
    Shot("photos", BENCH, f"/photos?about=F-001&edition={EDITION}"),
    Shot("photo-refused", BENCH, f"/photos/add?about=M-002&edition={EDITION}", pressed("Keep the photo")),
    Shot("mold-photo", BENCH, f"/photos/add?about=M-002&edition={EDITION}&back=/shelf/M-002", photo_kept),
    Shot("offered", BENCH, f"/offered/{EDITION}"),
    Shot("today-sample", SAMPLE, "/", offers_shown),
    Shot("buy", SAMPLE, "/buy", costly=True),
    Shot("shelf-sample", SAMPLE, "/shelf"),
    Shot("plaster-heat", SAMPLE, "/bench/plaster"),
    Shot("mold-heat", SAMPLE, "/shelf/M-004"),
    Shot("thermometer-refused", SAMPLE, "/do/log-thermometer?edition=fern-jug&mold=M-007", pressed("Write it down", readings="3 min 95 C")),
    Shot("editions", SAMPLE, "/editions"),
    Shot("edition", SAMPLE, "/editions/fern-jug", tables_opened),
    Shot("edition-chosen", SAMPLE, "/editions/fern-jug", chosen("10", "11", "12", then="Sell")),
    Shot("edition-closed", SAMPLE, "/editions/moth-dish"),
    Shot("end", SAMPLE, "/editions/fern-jug/end"),
    Shot("end-closed", SAMPLE, "/editions/moth-dish/end"),
    Shot("form-asks", SAMPLE, "/do/destroy?edition=fern-jug&molds=M-004", pressed("Write it down")),
    Shot("number", SAMPLE, "/editions/moth-dish/numbers/11"),
    Shot("number-to-make", SAMPLE, "/editions/fern-jug/numbers/36"),
    Shot("plan", SAMPLE, "/editions/fern-jug/plan", tables_opened),
    Shot("what-if", SAMPLE, "/editions/fern-jug/what-if?molds=5&hours=6+h"),
    Shot("what-if-refused", SAMPLE, "/editions/fern-jug/what-if?molds=2&deadline=never"),
    Shot("shape", SAMPLE, "/editions/gale-flask/shape", model_drawn, costly=True),
    Shot("shape-none", SAMPLE, "/editions/fern-jug/shape"),
    Shot("brief", SAMPLE, "/editions/fern-jug/brief"),
    Shot("brief-refused", SAMPLE, "/editions/fern-jug/brief/firing", pressed("Keep it", glaze_load="none")),
    Shot("part", SAMPLE, "/editions/fern-jug/brief/parts/2"),
    Shot("kiln", SAMPLE, "/kiln"),
    Shot("kiln-load", SAMPLE, "/kiln/L-010", foot_pressed),
    Shot("inspect", SAMPLE, "/kiln/inspect/fern-jug"),
    Shot("lots", SAMPLE, "/lots"),
    Shot("lot", SAMPLE, "/lots/S-003?volume=18+l"),
    Shot("records", SAMPLE, "/records"),
    Shot("entry", SAMPLE, "/records/60"),
    Shot("correct", SAMPLE, "/records/60/correct"),
    Shot("stocktake", SAMPLE, "/records/stocktake/fern-jug", pressed("Write it down", bisque="three")),
    Shot("care", SAMPLE, "/records/care", checked),
    Shot("begin", SAMPLE, "/begin?example=bowl"),
    Shot("begin-last", EMPTY, "/begin?example=bowl", answered),
    Shot("begin-refused", SAMPLE, "/begin?example=bowl", pressed("To the plan", name_of_the_edition="x" * 90)),
    Shot("file", SAMPLE, "/begin/file"),
    Shot("settings", SAMPLE, "/settings"),
    Shot("calendar", SAMPLE, "/settings/studio/time"),
    Shot("caution", SAMPLE, "/settings/care"),
    Shot("verbs", TRIAL, "/do"),
    Shot("form", TRIAL, "/do/plan-edition"),
    Shot("form-refused", TRIAL, "/do/cast?molds=3", pressed("Write it down", good="many")),
    Shot("form-written", TRIAL, "/do/note?back=/do", pressed("Write it down", text="The slip is thicker than last week.")),
    Shot("figures", TRIAL, "/figures"),
    Shot("figure", TRIAL, "/figures/plaster", pressed("Work it out", volume="3.2 l")),
    Shot("devices", TRIAL, "/settings/devices", pressed("code")),
    Shot("feed", TRIAL, "/settings/calendar"),
    Shot("day", SAMPLE, "/day"),
    Shot("pair", TRIAL, "/pair"),
    Shot("no-page", TRIAL, "/nowhere"),
)  # fmt: skip
