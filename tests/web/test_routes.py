"""Every route of the studio in one table: who may come in, by which host, origin and method.

A route that is added and not entered here fails the build.
"""

import re
from dataclasses import dataclass

import pytest
from fastapi.routing import APIRoute
from starlette.responses import PlainTextResponse

from pourwright.web.app import routers
from pourwright.web.door import COOKIE, HEADERS, Door
from pourwright.web.refused import turned_away
from tests.web.browser import HERE, LAN, PHONE, THIS_COMPUTER, Browser
from tests.web.dealing import dealt

OPEN, SESSION, ONLY_HERE = "open", "session", "only here"


@dataclass(frozen=True)
class Row:
    """One route: its methods, who may come in, and values for the names in its path.

    ``lacks`` says that the test's small book does not hold what the page shows.
    """

    path: str
    methods: str
    who: str = SESSION
    filled: str = ""
    lacks: bool = False

    @property
    def address(self) -> str:
        return self.filled or self.path


TABLE = (
    Row("/health", "GET", OPEN),
    Row("/static/{digest}/{name}", "GET", OPEN, "/static/any/look.css"),
    Row("/pair", "GET POST", OPEN),
    Row("/settings", "GET"),
    Row("/settings/studio.toml", "GET", lacks=True),
    Row("/settings/studio/{table}", "GET POST", filled="/settings/studio/kiln"),
    Row("/settings/care", "GET POST"),
    Row("/settings/devices", "GET"),
    Row("/settings/devices/code", "POST", ONLY_HERE),
    Row("/settings/devices/end", "POST", ONLY_HERE),
    Row("/settings/devices/qr.svg", "GET", ONLY_HERE),
    Row("/settings/calendar", "GET"),
    Row("/settings/calendar/make", "POST", ONLY_HERE),
    Row("/settings/calendar/end", "POST", ONLY_HERE),
    Row("/calendar/{token}.ics", "GET", OPEN, "/calendar/nobodys.ics", lacks=True),
    Row("/", "GET"),
    Row("/offered/{edition}", "GET", filled="/offered/tide-cup"),
    Row("/bench", "GET"),
    Row("/bench/slip", "GET"),
    Row("/bench/slip/wall", "POST"),
    Row("/bench/slip/cast", "POST"),
    Row("/bench/plaster", "GET POST"),
    Row("/bench/plaster/day", "POST"),
    Row("/bench/plaster/write", "POST"),
    Row("/bench/plaster/reminders", "GET POST"),
    Row("/photos", "GET", filled="/photos?about=F-001&edition=tide-cup"),
    Row("/photos/add", "GET POST"),
    Row("/photos/{scope}/{digest}.jpg", "GET", filled=f"/photos/tide-cup/{'a' * 64}.jpg", lacks=True),
    Row("/shelf", "GET"),
    Row("/shelf/{label}", "GET", filled="/shelf/M-001", lacks=True),
    Row("/shelf/{label}/weigh", "GET POST", filled="/shelf/M-001/weigh", lacks=True),
    Row("/begin", "GET POST"),
    Row("/begin/answer", "GET", filled="/begin/answer?key=water&text=1.9+kg&units=metric"),
    Row("/begin/file", "GET POST"),
    Row("/editions/{edition}/brief", "GET", filled="/editions/tide-cup/brief", lacks=True),
    Row("/editions/{edition}/brief.toml", "GET", filled="/editions/tide-cup/brief.toml", lacks=True),
    Row("/editions/{edition}/brief/{table}", "GET POST", filled="/editions/tide-cup/brief/mold", lacks=True),
    Row("/editions/{edition}/brief/parts/{place}", "GET POST", filled="/editions/tide-cup/brief/parts/1", lacks=True),
    Row("/editions/{edition}/brief/parts/{place}/drop", "POST", filled="/editions/tide-cup/brief/parts/1/drop", lacks=True),
    Row("/editions", "GET"),
    Row("/editions/{edition}", "GET", filled="/editions/tide-cup"),
    Row("/editions/{edition}/end", "GET", filled="/editions/tide-cup/end"),
    Row("/editions/{edition}/plan", "GET", filled="/editions/tide-cup/plan"),
    Row("/editions/{edition}/what-if", "GET", filled="/editions/tide-cup/what-if"),
    Row("/editions/{edition}/numbers", "GET", filled="/editions/tide-cup/numbers?pieces=7"),
    Row("/editions/{edition}/numbers/{n}", "GET POST", filled="/editions/tide-cup/numbers/7"),
    Row("/editions/{edition}/shape", "GET", filled="/editions/tide-cup/shape"),
    Row("/editions/{edition}/shape/{picture}", "GET", filled="/editions/tide-cup/shape/opened.png", lacks=True),
    Row("/buy", "GET"),
    Row("/kiln", "GET"),
    Row("/kiln/inspect/{edition}", "GET POST", filled="/kiln/inspect/tide-cup"),
    Row("/kiln/{label}", "GET POST", filled="/kiln/L-001", lacks=True),
    Row("/kiln/{label}/late", "POST", filled="/kiln/L-001/late", lacks=True),
    Row("/kiln/{label}/again", "POST", filled="/kiln/L-001/again", lacks=True),
    Row("/lots", "GET"),
    Row("/lots/{label}", "GET", filled="/lots/S-001", lacks=True),
    Row("/records", "GET"),
    Row("/records/care", "GET"),
    Row("/records/care/copy", "POST"),
    Row("/records/care/check", "POST"),
    Row("/records/care/go-on", "POST", ONLY_HERE),
    Row("/records/stocktake/{edition}", "GET POST", filled="/records/stocktake/tide-cup"),
    Row("/records/{seq}", "GET", filled="/records/1"),
    Row("/records/{seq}/correct", "GET POST", filled="/records/1/correct"),
    Row("/records/{seq}/undo", "POST", filled="/records/1/undo"),
    Row("/do", "GET"),
    Row("/do/{verb}", "GET POST", filled="/do/note"),
    Row("/figures", "GET"),
    Row("/figures/{subject}", "GET POST", filled="/figures/plaster"),
    Row("/day", "GET POST"),
    Row("/paper/{kind}.pdf", "GET", filled="/paper/pour.pdf?edition=tide-cup", lacks=True),
    Row("/stream", "GET"),
    Row("/api/clock", "GET"),
    Row("/api/commands", "POST"),
    Row("/api/openapi.json", "GET"),
)  # fmt: skip


def routes() -> dict[str, set[str]]:
    """Return the paths of all routes, and their methods."""
    found: dict[str, set[str]] = {"/api/openapi.json": {"GET"}}
    for router in routers():
        for route in router.routes:
            assert isinstance(route, APIRoute), route
            found.setdefault(route.path, set()).update(route.methods - {"HEAD"})
    return found


def test_every_route_is_in_the_table():
    assert {row.path: set(row.methods.split()) for row in TABLE} == routes()


def test_a_route_outside_the_routers_is_seen(app):
    known = {row.path for row in TABLE}
    paths = set(re.findall(r'"(/[^"]*)"', str(sorted(app.openapi()["paths"]))))

    assert paths <= known


CASES = [(row, method) for row in TABLE for method in row.methods.split()]


def ask(app, row, method, *, where=HERE, address=THIS_COMPUTER, headers=None, cookie=None):
    """Return the answer to one request, by a client that has asked nothing before."""
    cookies = {} if cookie is None else {COOKIE: cookie}
    behind = _door_alone(app) if row.path == "/stream" else app
    return Browser(behind, where, address, headers, cookies).request(method, row.address)


def _door_alone(app):
    """Return the door with something behind it that ends: the stream goes on for ever."""

    async def behind(scope, receive, send):
        is_known = scope["method"] == "GET"
        await PlainTextResponse("a stream", 200 if is_known else 405)(scope, receive, send)

    desk = app.state.desk
    return Door(
        behind, devices=desk.devices, now=desk.clock.now, hosts=frozenset(desk.names),
        doubt=desk.doubt, seen=desk.seen_by_devices, show=turned_away,
    )  # fmt: skip


def answers(app, *ways, **how):
    """Yield each case with the status of its answer; several ways to ask take turns."""
    for place, (row, method) in enumerate(CASES):
        for way in dealt(ways or [{}], place, 1):
            yield row, method, ask(app, row, method, **how, **way).status_code


def otherwise(found, wanted):
    """Return the cases whose status is not among those wanted for them."""
    return {
        f"{method} {row.path}": status
        for row, method, status in found
        if status not in wanted(row, method)
        and not (row.lacks and status == 404 and wanted(row, method) >= {200})
    }


DONE = {200, 303, 415, 422}
FROM_PHONE = {"where": LAN, "address": PHONE, "headers": {"Origin": LAN}}


def test_another_host_is_turned_away(app):
    found = answers(app, headers={"Host": "rebound.example", "Origin": HERE})

    assert otherwise(found, lambda row, method: {421}) == {}


def test_without_a_session_only_what_is_open_answers(app):
    found = answers(app, **FROM_PHONE)

    assert otherwise(found, lambda row, method: DONE if row.who == OPEN else {401}) == {}


@pytest.mark.rounds
def test_a_token_of_nobody_is_none(app):
    wrong = ("", "x", "a" * 5000, "%00")
    found = answers(app, *({"cookie": one} for one in wrong), **FROM_PHONE)

    assert otherwise(found, lambda row, method: DONE if row.who == OPEN else {401}) == {}


def test_a_token_that_was_ended_is_turned_away(app, token):
    desk = app.state.desk
    desk.devices.end(desk.devices.all(desk.clock.now())[0].id, desk.clock.now())
    found = answers(app, **FROM_PHONE, cookie=token)

    assert otherwise(found, lambda row, method: DONE if row.who == OPEN else {401}) == {}


def test_a_paired_phone_may_do_all_but_let_others_in(app, token):
    found = answers(app, **FROM_PHONE, cookie=token)

    assert otherwise(found, lambda row, method: {403} if row.who == ONLY_HERE else DONE) == {}


def test_the_studios_computer_may_do_all(app):
    found = answers(app, headers={"Origin": HERE})  # the code is made before its picture

    assert otherwise(found, lambda row, method: DONE) == {}


def test_a_page_that_a_form_was_refused_on_can_be_opened_again(app):
    """A browser stays at the address that the form was sent to, and asks there for the page."""
    found = {}
    for row in (one for one in TABLE if one.methods == "POST" and one.path != "/api/commands"):
        answer = ask(app, row, "GET")
        above = answer.headers.get("location", "")
        opened = Browser(app, HERE, THIS_COMPUTER).get(above or row.address).status_code
        if above in ("", "/") or (not row.lacks and opened != 200):
            found[row.path] = opened

    assert found == {}


@pytest.mark.rounds
def test_another_origin_writes_nothing(app):
    origins = ("null", "http://elsewhere.example", "http://localhost:9", LAN)
    found = answers(app, *({"headers": {"Origin": one}} for one in origins))

    assert otherwise(found, lambda row, method: {403} if method == "POST" else DONE | {404}) == {}


@pytest.mark.rounds
def test_another_site_writes_nothing_whatever_its_origin_says(app):
    sites = ("cross-site", "same-site", "none")
    found = answers(app, *({"headers": {"Origin": HERE, "Sec-Fetch-Site": one}} for one in sites))

    assert otherwise(found, lambda row, method: {403} if method == "POST" else DONE | {404}) == {}


def test_a_phone_without_an_origin_writes_nothing(app, token):
    found = answers(app, where=LAN, address=PHONE, cookie=token)

    def wanted(row, method):
        return {403} if method == "POST" or row.who == ONLY_HERE else DONE

    assert otherwise(found, wanted) == {}


def test_a_phone_that_calls_itself_this_computer_is_not_let_in(app):
    """The name alone is no proof: the address must be this computer's too."""
    found = answers(app, where=HERE, address=PHONE, headers={"Origin": HERE})

    assert otherwise(found, lambda row, method: DONE if row.who == OPEN else {401}) == {}


@pytest.mark.rounds
def test_a_program_on_this_computer_needs_no_origin_and_a_browser_does(app):
    without = answers(app)
    browser = answers(app, {"headers": {"Sec-Fetch-Site": "same-origin"}}, {"cookie": "anything"})

    assert otherwise(without, lambda row, method: DONE | {404}) == {}
    assert otherwise(browser, lambda row, method: {403} if method == "POST" else DONE | {404}) == {}


@pytest.mark.rounds
def test_methods_that_no_route_has_are_refused(app):
    found = [
        (row, method, ask(app, row, method, headers={"Origin": HERE}).status_code)
        for place, row in enumerate(TABLE)
        for method in dealt(("PUT", "DELETE", "PATCH", "TRACE"), place, 1)
    ]

    assert otherwise(found, lambda row, method: {405}) == {}


@pytest.mark.rounds
def test_every_answer_has_the_headers(app):
    turned_away = ({"Origin": "null"}, {"Host": "rebound.example"})
    for place, (row, method) in enumerate(CASES):
        for headers in ({"Origin": HERE}, *dealt(turned_away, place, 1)):
            answer = ask(app, row, method, headers=headers)

            assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS, row.path
            assert "cache-control" in answer.headers
