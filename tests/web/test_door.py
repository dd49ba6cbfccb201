"""The door: hosts, headers, sizes, and what it says to whom it turns away."""

import re

import pytest

from pourwright.web.door import HEADERS, POLICY, host_name, is_loopback
from tests.web.browser import run

# OWASP ASVS 5.0, 3.4.3: the policy must at least have these two; 3.4.6: frame-ancestors.
ASKED_FOR = ("object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'")


def raw(app, headers, path=b"/health", client=("127.0.0.1", 1)):
    """Return the status of a request whose headers no client library would send."""
    sent = []

    async def ask():
        async def receive():
            return {"type": "http.request", "body": b"", "more_body": False}

        async def send(message):
            sent.append(message)

        scope = {
            "type": "http", "method": "GET", "path": path.decode(), "raw_path": path,
            "headers": headers, "client": client, "scheme": "http", "query_string": b"",
            "http_version": "1.1", "server": ("localhost", 80), "root_path": "",
        }  # fmt: skip
        await app(scope, receive, send)

    run(ask())
    return sent[0]["status"]


@pytest.mark.parametrize(
    ("hosts", "status"),
    [
        ([b"localhost"], 200),
        ([b"localhost:8484"], 200),
        ([b"LOCALHOST:8484"], 200),
        ([b"127.0.0.1"], 200),
        ([b"[::1]:8484"], 200),
        ([b"studio.lan"], 200),
        ([], 400),
        ([b"localhost", b"localhost"], 400),
        ([b"localhost", b"rebound.example"], 400),
        ([b"rebound.example"], 421),
        ([b"localhost.rebound.example"], 421),
        ([b"studio.lan."], 421),
        ([b"localhost:8484:1"], 421),
        ([b"localhost@rebound.example"], 421),
        ([b""], 421),
        ([b"\xff\xfe"], 421),
    ],
)
def test_only_the_studios_own_names_are_answered(hosts, status, app):
    assert raw(app, [(b"host", one) for one in hosts]) == status


@pytest.mark.parametrize(
    ("client", "is_here"),
    [
        (("127.0.0.1", 1), True),
        (("127.8.8.8", 1), True),
        (("::1", 1), True),
        (("192.0.2.17", 1), False),
        (("testclient", 1), False),
        (None, False),
    ],
)
def test_this_computer_is_known_by_its_address(client, is_here):
    assert is_loopback({"client": client}) == is_here


def test_the_policy_is_strict():
    assert all(one in POLICY for one in ASKED_FOR)
    assert "default-src 'none'" in POLICY
    assert "require-trusted-types-for 'script'" in POLICY
    assert "unsafe" not in POLICY
    assert "http:" not in POLICY


def test_a_websocket_is_not_answered(app):
    async def ask():
        async def none(*_):
            raise AssertionError("nothing is received or sent")

        await app({"type": "websocket", "path": "/", "headers": []}, none, none)

    run(ask())


@pytest.mark.parametrize("path", ["/do/note", "/api/commands", "/pair"])
def test_what_is_too_large_is_said_in_our_words(path, here):
    answer = here.request("POST", path, content=b"x" * 2_000_000)

    assert answer.status_code == 413
    assert "more than this page takes" in answer.text
    assert answer.headers["content-security-policy"] == POLICY


@pytest.mark.parametrize(
    "path",
    ["/static/x/..%2f..%2fdoor.py", "/static/x/%2e%2e/door.py", "/static/x//etc/passwd",
     "/static/x/look.css%00", "/%2e%2e/%2e%2e/etc/passwd", "/do/../health"],
)  # fmt: skip
def test_no_path_leads_out(path, here):
    answer = here.get(path)

    assert answer.status_code in (404, 422) or "pourwright" in answer.text
    assert "root:" not in answer.text
    assert "import" not in answer.text


def test_a_page_that_is_not_there_has_the_menu(here):
    answer = here.get("/nothing-here")

    assert answer.status_code == 404
    assert "There is no such page in this studio." in answer.text
    assert 'href="/kiln"' in answer.text


@pytest.mark.parametrize("cookie", [b"pourwright=\xff\xfe", b"pourwright", b"=;;=", b"\x00" * 9])
def test_a_broken_cookie_is_nobodys(cookie, app):
    headers = [(b"host", b"studio.lan"), (b"cookie", cookie)]

    assert raw(app, headers, b"/do", ("192.0.2.17", 1)) == 401


def test_a_path_that_looks_like_a_host_is_none(app):
    assert raw(app, [(b"host", b"localhost")], b"//elsewhere.example/x") == 404


def test_a_fault_of_ours_is_said_without_its_traceback(app, here, monkeypatch):
    def fail():
        raise RuntimeError("secret words")

    monkeypatch.setattr(app.state.desk.clock, "now_ms", fail)
    answer = here.get("/do")

    assert answer.status_code == 500
    assert "our fault" in answer.text
    assert "secret words" not in answer.text
    assert answer.headers["content-security-policy"] == POLICY


def test_a_page_is_not_kept_and_a_file_is(here):
    page = here.get("/do")
    address = page.text.split('rel="stylesheet" href="')[1].split('"')[0]
    file = here.get(address)

    assert page.headers["cache-control"] == "no-store"
    assert "immutable" in file.headers["cache-control"]
    assert here.get("/static/old/look.css").headers["cache-control"] == "no-cache"


def test_the_letters_that_the_style_names_were_built_and_are_served(here):
    style = re.search(r'href="([^"]+/)look\.css"', here.get("/do").text)[1]
    letters = set(re.findall(r'url\("([^"]+\.woff2)"\)', here.get(style + "look.css").text))

    assert len(letters) == 2
    assert all(here.get(style + name).content.startswith(b"wOF2") for name in letters)


def test_nothing_tells_what_serves(here):
    names = {name.lower() for name in here.get("/health").headers}

    assert not names & {"server", "x-powered-by"}
    assert names >= set(HEADERS)


def test_health_says_no_more_than_that(app, stranger):
    assert stranger.get("/health").json() == {"ok": True, "name": "pourwright"}


def test_the_name_of_a_host_is_read_without_its_port():
    assert [host_name(one) for one in ("a.b:80", "a.b", "[::1]:80")] == ["a.b", "a.b", "[::1]"]
