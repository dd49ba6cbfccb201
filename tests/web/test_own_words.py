"""Whatever is sent wrong, the answer is in the studio's own words: no library's English.

The words looked for are the libraries' own: every message that pydantic-core can give, the
phrases of HTTP as Python's standard library and Starlette say them, and FastAPI's ways to
show them.
"""

import json
import re
from http import HTTPStatus

import pytest
from fastapi import Body, FastAPI, Query
from pydantic_core._pydantic_core import list_all_errors

from pourwright.studio.commands import verbs
from tests.web.browser import HERE, LAN, PHONE, THIS_COMPUTER, Browser
from tests.web.dealing import dealt
from tests.web.pages import PLAN, Page, forms_of, route_of, walk
from tests.web.sample import sample as sample
from tests.web.test_routes import TABLE

FIXED = 8
"""So many letters in a row of a message are its own; fewer could be anybody's."""
MORE_ENGLISH = (
    '"detail"', "&#34;detail&#34;", '"loc"', '"msg"', "errors.pydantic.dev", "validation error",
    "Traceback", "There was an error parsing the body", "Too many fields", "Too many files",
    "Missing boundary", "Invalid host header", "Unprocessable", "Form data requires",
    "did not match", "Content-Disposition header", "JSON decode error", "value is not a valid",
)  # fmt: skip


def messages() -> list[str]:
    """Return every message of pydantic-core, its places for values left as they are."""
    return [one["message_template_python"] for one in list_all_errors()]


def fixed_parts(message: str) -> list[str]:
    """Return what of a message stands between its places for values."""
    return re.split(r"\{[a-z_]+\}", message)


def pattern_of(message: str) -> str:
    """Return what finds a message with any values in its places."""
    return r".{0,80}?".join(map(re.escape, fixed_parts(message)))


def phrases() -> list[str]:
    """Return the phrases of HTTP for what failed; one of a single word could be ours."""
    return [one.phrase for one in HTTPStatus if one >= 400 and " " in one.phrase]


LOOKED_FOR = [
    (max(fixed_parts(one), key=len), re.compile(pattern_of(one)))
    for one in (*messages(), *phrases(), *MORE_ENGLISH)
]
"""The longest run of letters of each message, and what finds the whole of it."""


def not_ours(text: str) -> str | None:
    """Return a library's words that stand in a text, or None.

    The patterns alone would take most of these tests' time, so each waits for its letters.
    """
    for letters, pattern in LOOKED_FOR:
        if letters in text and (found := pattern.search(text)):
            return found[0]
    return None


def check_ours(answer, about):
    """Check an answer's words, and that it is a page of the studio's look, or JSON."""
    # what was typed may stand there by the ten thousand, and is not anybody's words
    found = not_ours(re.sub(r"(\w)\1{50,}", r"\1", answer.text))
    assert found is None, (about, found)
    assert answer.status_code < 500, about
    kind = answer.headers.get("content-type", "")
    if answer.status_code >= 400:
        if route_of(str(answer.url)).startswith("/api") or "/api/" in str(answer.url):
            told = answer.json()
            assert told["ok"] is False, about
            assert all(map(is_sentence, told["refused"])), (about, told)
        elif "html" in kind:
            assert "look.css" in answer.text, about
            assert Page(answer.text).headings, about
        else:
            assert kind.startswith("text/plain"), about
            assert is_sentence(answer.text), about


def is_sentence(text):
    """A sentence may begin with the name of a command's field."""
    return " " in text and text.rstrip().endswith((".", "?"))


# --- the words looked for are found where nothing keeps them back


def test_all_of_a_librarys_messages_are_looked_for():
    """Of those with words of their own; "{error}" alone has none."""
    assert len(messages()) > 90
    for one in messages():
        assert max(len(part.strip()) for part in fixed_parts(one)) >= FIXED, one
        assert not_ours(re.sub(r"\{[a-z_]+\}", "7", one)), one


def test_the_libraries_own_answers_are_found():
    bare = FastAPI()
    bare.add_api_route("/x", lambda n: n, methods=["GET"])

    @bare.post("/y")
    def y(n: int = Query(le=5), body: dict[str, int] = Body()):  # noqa: B008
        return n + len(body)

    asking = Browser(bare, HERE, THIS_COMPUTER)
    answers = [
        asking.get("/nowhere"), asking.request("DELETE", "/x"), asking.get("/x"),
        asking.post("/y?n=x"), asking.request("POST", "/y?n=9", json={"a": "x"}),
        asking.request("POST", "/y?n=1", content=b"{", headers={"content-type": "application/json"}),
    ]  # fmt: skip

    assert [bool(not_ours(one.text)) for one in answers] == [True] * 6


# --- everything wrong, everywhere


@pytest.fixture(scope="module")
def forms(sample):
    """Return the forms of the sample studio, with the routes that no form there leads to."""
    found = forms_of(walk(sample, without=(PLAN, "/editions/{edition}/what-if")))
    routes = {route_of(one) for one in found}
    filled = {"/bench/plaster/write": "edition writing came-1 lot", "/bench/slip/wall": "cut wall wanted",
              "/settings/devices/end": "device", "/settings/devices/code": "", "/settings/calendar/end": "",
              "/records/care/go-on": "id", "/records/{seq}/undo": "id entries", "/kiln/{label}/late": "id good", "/kiln/{label}/again": "id lost", "/api/commands": "do",
              "/editions/{edition}/numbers/{n}": "id number"}  # fmt: skip
    posted = {action.partition("#")[0]: list(one.fields) for action, one in found.items()}
    for row in TABLE:
        if "POST" in row.methods and row.path not in routes:
            posted[row.path] = filled[row.path].split()
    return posted


URLENCODED, MULTIPART = "application/x-www-form-urlencoded", "multipart/form-data; boundary=b"


def in_parts(names, *, as_file):
    """Return fields as a form with files sends them, each as a file or none."""
    told = '; filename="x.txt"' if as_file else ""
    parts = [
        f'--b\r\nContent-Disposition: form-data; name="{name}"{told}\r\n\r\nx\r\n' for name in names
    ]
    return "".join([*parts, "--b--\r\n"]).encode()


def wrong_bodies(names):
    """Yield what can be wrong about a whole request: what it is, its kind, its bytes."""
    doubled = "&".join(f"{name}=x&{name}=y" for name in names)
    yield "nothing", URLENCODED, b""
    yield "all empty", URLENCODED, "&".join(f"{name}=" for name in names).encode()
    yield "all wrong", URLENCODED, "&".join(f"{name}=%3F" for name in names).encode()
    yield "all twice", URLENCODED, doubled.encode()
    yield "more than is asked", URLENCODED, b"ok=1&detail=2&do=note&id%5B%5D=3&__class__=4"
    yield "too long", URLENCODED, "&".join(f"{name}={'9' * 30_000}" for name in names).encode()
    yield "a long name", URLENCODED, b"n" * 50_000 + b"=1"
    yield "no form at all", URLENCODED, b"%zz=%&&&==%ff%fe;\x00\xff"
    yield "too many fields", URLENCODED, "&".join(f"f{n}=1" for n in range(600)).encode()
    yield "too large", URLENCODED, b"x=" + b"x" * 1_100_000
    yield "files for texts", MULTIPART, in_parts(names, as_file=True)
    yield "texts for files", MULTIPART, in_parts(names, as_file=False)
    yield "no boundary", "multipart/form-data", b"--b--"
    yield "cut off", MULTIPART, b'--b\r\nContent-Disposition: form-data; name="x"\r\n\r\nx'
    yield "a part without a name", MULTIPART, b"--b\r\nX: y\r\n\r\nx\r\n--b--\r\n"
    yield "JSON", "application/json", b'{"pieces": [1], "detail": null}'
    yield "broken JSON", "application/json", b'{"pieces": '
    yield "text", "text/plain", b"x"
    yield "XML", "application/xml", b"<x/>"
    yield "a kind that is none", "x;;=/", b"x"
    yield "another alphabet", URLENCODED + "; charset=utf-16", b"\xff\xfex\x00"


@pytest.mark.rounds
def test_no_form_answers_in_a_librarys_words(sample, forms):
    routes = {route_of(one) for one in forms}
    assert routes == {row.path for row in TABLE if "POST" in row.methods}
    for place, (action, names) in enumerate(forms.items()):
        for what, kind, body in dealt([*wrong_bodies(names)], place, 4):
            headers = {"content-type": kind}
            answer = sample.request("POST", action, content=body, headers=headers)
            check_ours(answer, (what, action))


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "application/xml", "x/y"])
def test_what_is_no_form_is_refused_and_changes_nothing(kind, sample, forms):
    """Read as a form it would be an empty one, and empty the table it is sent to."""
    files = sorted(sample.app.state.desk.folder.rglob("*.toml"))
    before = [one.read_bytes() for one in files]
    reading = [one for one in forms if forms[one] and not one.startswith("/api")]
    answers = {
        one: sample.request("POST", one, content=b"{}", headers={"content-type": kind})
        for one in reading
    }

    assert len(reading) > 60
    assert {one: answer.status_code for one, answer in answers.items()} == dict.fromkeys(reading, 415)  # fmt: skip
    assert all("what its own form sends" in answer.text for answer in answers.values())
    assert [one.read_bytes() for one in files] == before


IN_AN_ADDRESS = ("x", "-1", "0", "9" * 400, "1.5", "%00", "%ff", "%C3%A9", "..%2f..", "a" * 3000, "%20", "null")  # fmt: skip


@pytest.mark.rounds
def test_no_address_is_answered_in_a_librarys_words(sample):
    """A wrong value at each place of each path, and in what follows a question mark."""
    slow = ("/stream", "/offered/{edition}")
    for place, row in enumerate(TABLE):
        for wrong in dealt(IN_AN_ADDRESS, place, 5):
            path = re.sub(r"\{[a-z]+\}", wrong, row.path)
            if "{" in row.path:
                for method in ("GET", "POST"):
                    check_ours(sample.request(method, path), (method, path))
        if "GET" in row.methods and row.path not in slow:
            asked = (
                "?width=x&scheme=&scheme=y&after=-1&before=%ff&units=z&example=0&volume=x&words=%00"
            )
            check_ours(sample.get(row.address + asked), row.path)


WRONG_VALUES = (
    None,
    True,
    1,
    -1,
    1.5,
    10**400,
    "",
    "x" * 20_000,
    [],
    [[]],
    {},
    {"a": {}},
    ["x", 1],
)


@pytest.mark.rounds
def test_no_command_is_refused_in_a_librarys_words(sample):
    """A wrong value of every type in every field of every command, and bodies that are none."""
    for place, kind in enumerate(verbs()):
        wrong = [
            {"do": kind.verb, "id": f"w-{number}"} | {one.name: value for one in kind.fields}
            for number, value in enumerate(dealt(WRONG_VALUES, place, 4))
        ]
        for command in wrong:
            answer = sample.request("POST", "/api/commands", json=command)
            check_ours(answer, command)
    bodies = [b"", b"{", b"null", b"1", b'"x"', b"[]", b"[null, 1, []]", b"[" * 20_000, b"NaN",
              b'{"do": null}', b'{"do": "no-such"}', b'{"x": 1}', b"\xff", b"{}" * 9]  # fmt: skip
    for body in bodies:
        headers = {"content-type": "application/json"}
        check_ours(sample.request("POST", "/api/commands", content=body, headers=headers), body)


# --- the pages of what is turned away


def turned_away(app, path, status, monkeypatch):
    """Return the answer with a status, at a path of pages or of JSON."""
    at_home = Browser(app, HERE, THIS_COMPUTER, {"Origin": HERE})
    away = Browser(app, LAN, PHONE, {"Origin": LAN})
    if status == 400:
        return at_home.request(
            "POST", path, content=b"--", headers={"content-type": MULTIPART[:19]}
        )
    if status == 401:
        return away.get(path)
    if status == 403:
        return at_home.request("POST", path, headers={"Origin": "http://elsewhere.example"})
    if status == 404:
        return at_home.get(path + "/nowhere/at/all")
    if status == 405:
        return at_home.request("DELETE", path)
    if status == 413:
        return at_home.request("POST", path, content=b"x" * 2_000_000)
    if status == 415:
        return at_home.request("POST", path, content=b"x", headers={"content-type": "text/plain"})
    if status == 421:
        return at_home.get(path, headers={"Host": "rebound.example"})
    return _at_fault(app, at_home, path, monkeypatch)


def _at_fault(app, at_home, path, monkeypatch):
    def fail(*_):
        raise RuntimeError("secret words")

    monkeypatch.setattr(app.state.desk.clock, "now_ms", fail)
    monkeypatch.setattr(app.state.desk.book, "head", fail)
    return at_home.get("/api/clock" if path.startswith("/api") else "/do")


AWAY = (400, 401, 403, 404, 405, 413, 415, 421, 500)


@pytest.mark.parametrize("status", AWAY)
def test_a_page_that_turns_away_has_our_words_and_look(status, app, monkeypatch):
    answer = turned_away(app, "/do/note", status, monkeypatch)
    page = Page(answer.text)

    assert answer.status_code == status
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert "look.css" in answer.text
    assert (page.title.removesuffix(" · The studio"), len(page.headings)) == (page.headings[0], 1)
    if status == 404:  # it has the studio's menu
        assert "/bench" in page.links
    else:
        assert page.links == (["/pair"] if status == 401 else ["/"])
    assert not not_ours(answer.text)
    assert "secret" not in answer.text


@pytest.mark.parametrize("status", AWAY[1:])  # JSON that is not readable is refused with 422
def test_json_that_turns_away_is_json_of_our_words(status, app, monkeypatch):
    answer = turned_away(app, "/api/commands", status, monkeypatch)
    told = json.loads(answer.text)

    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/json"
    assert told == {"ok": False, "refused": told["refused"]}
    assert all(map(is_sentence, told["refused"]))
    assert not not_ours(answer.text)
    assert "secret" not in answer.text
