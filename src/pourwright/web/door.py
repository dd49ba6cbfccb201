"""The door: which host, which origin, who asks, and the headers of every answer.

A pure ASGI layer, so that it covers pages, files, streams and faults alike and holds
nothing back of a stream.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from pourwright.web.devices import HERE, Devices, Who

COOKIE = "pourwright"
SAW = "pourwright_saw"
"""The cookie in which a phone keeps the end of the book that it last saw."""
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
LOCAL_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})

OPEN = ("/pair", "/health", "/static/", "/calendar/")
"""What answers without a session; a name that ends in a slash covers what is below it.

Calendars send no cookie: their address holds a token of its own.
"""

GO_ON_WITH_BOOK = "/records/care/go-on"
"""Where it is said that the book that lies here is meant, though a phone saw another."""

HERE_ONLY = (
    "/settings/devices/code",
    "/settings/devices/end",
    "/settings/devices/qr.svg",
    GO_ON_WITH_BOOK,
    "/settings/calendar/make",
    "/settings/calendar/end",
)
"""What only the studio's own computer may do.

Let devices and calendars in, turn them away, go on with another book.
"""

_ALLOWED = {
    "default-src": "'none'",
    "font-src": "'self'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' blob:",
    "connect-src": "'self'",
    "worker-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
    "object-src": "'none'",
    "require-trusted-types-for": "'script'",
    "trusted-types": "studio",
}
POLICY = "; ".join(f"{what} {where}" for what, where in _ALLOWED.items())
"""What a page may load and do: only what this studio serves, and no markup made by scripts."""

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    # no-referrer would make a form's post say "Origin: null"
    "referrer-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
}
UNLESS_SAID = {"cache-control": "no-store"}

TURNED_AWAY = {
    400: "The request names no host, or more than one.",
    401: "This phone is not paired with the studio, or no longer.",
    403: "This came from another page than the studio's own, so nothing was written down.",
    413: "That is more than this page takes. A photo or a file must be smaller.",
    421: "The studio is not served under this name.",
}
TOO_LARGE = 413
IN_DOUBT = 503
"""By it a phone keeps its taps, and sends them again."""
SAW_S = 90 * 86400
NOT_FROM_HERE = "Only the studio's own computer can do this."


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why somebody is turned away."""

    status: int
    words: str


class Door:
    """Lets in who may come in, to what is behind it; ``show`` makes the answer to who may not.

    ``hosts`` are the names this studio is served under, without the port; ``doubt`` says why
    nobody is answered, given who asks and what it keeps of the book, which ``seen`` tells.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        devices: Devices,
        now: Callable[[], datetime],
        hosts: frozenset[str],
        doubt: Callable[[Who, str], str],
        seen: Callable[[], str],
        show: Callable[[Scope, Refusal], Response],
    ) -> None:
        self._app, self._devices, self._now = app, devices, now
        self._hosts, self._show = hosts | LOCAL_NAMES, show
        self._doubt, self._seen = doubt, seen

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or hand it on."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # there are no websockets here
        answer_with = _with_headers(send)
        refusal = self._turned_away(scope) or await self._in_doubt(scope)
        if refusal is None:
            heard = _Heard(self._with_what_was_seen(scope, answer_with))
            await self._app(scope, receive, heard.send)
            refusal = Refusal(TOO_LARGE, TURNED_AWAY[TOO_LARGE]) if heard.is_too_large else None
        if refusal is not None:
            await self._show(scope, refusal)(scope, receive, answer_with)

    def _turned_away(self, scope: Scope) -> Refusal | None:
        """Return why a request may not pass; on passing, say in the scope who asks."""
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        if len(hosts) != 1:
            return Refusal(400, TURNED_AWAY[400])
        name = host_name(hosts[0])
        if name not in self._hosts:
            return Refusal(421, TURNED_AWAY[421])
        token = cookie_parser(headers.get("cookie", "")).get(COOKIE)
        is_here = name in LOCAL_NAMES and is_loopback(scope)
        who = HERE if is_here else self._devices.who(token, self._now())
        if scope["method"] not in SAFE and not _is_same_origin(scope, headers, who):
            return Refusal(403, TURNED_AWAY[403])
        return self._wrong_session(scope, who)

    async def _in_doubt(self, scope: Scope) -> Refusal | None:
        """Return why nobody is answered: a phone or this computer saw more in the book than it holds."""
        who, path = scope["state"]["who"], scope["path"]
        if who is None or is_open(path) or path == GO_ON_WITH_BOOK:
            return None
        words = await run_in_threadpool(self._doubt, who, _saw(scope))
        return Refusal(IN_DOUBT, words) if words else None

    def _with_what_was_seen(self, scope: Scope, send: Send) -> Send:
        """Return a ``send`` that has a phone keep the end of the book that it now saw."""
        who: Who | None = scope["state"]["who"]
        if who is None or who.is_here or is_open(scope["path"]):
            return send

        async def send_with(message: Message) -> None:
            seen = self._seen() if message["type"] == "http.response.start" else ""
            if seen and seen != _saw(scope):
                kept = f"{SAW}={seen}; Max-Age={SAW_S}; Path=/; HttpOnly; SameSite=lax"
                MutableHeaders(scope=message).append("set-cookie", kept)
            await send(message)

        return send_with

    def _wrong_session(self, scope: Scope, who: Who | None) -> Refusal | None:
        path = scope["path"]
        if who is None and not is_open(path):
            return Refusal(401, TURNED_AWAY[401])
        if path in HERE_ONLY and (who is None or not who.is_here):
            return Refusal(403, NOT_FROM_HERE)
        scope.setdefault("state", {})["who"] = who
        return None


class _Heard:
    """Hands an answer on, but holds back the framework's own words for what is too large."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.is_too_large = False

    async def send(self, message: Message) -> None:
        """Hand one message on, or hold it back."""
        if message["type"] == "http.response.start":
            kind = Headers(raw=message["headers"]).get("content-type", "")
            is_plain = kind.startswith("text/plain")
            self.is_too_large = message["status"] == TOO_LARGE and is_plain
        if not self.is_too_large:
            await self._send(message)


def _saw(scope: Scope) -> str:
    """Return what a phone keeps of the book that it last saw."""
    return cookie_parser(Headers(scope=scope).get("cookie", "")).get(SAW, "")


def is_open(path: str) -> bool:
    """Whether a path answers without a session."""
    return any(path == one or (one.endswith("/") and path.startswith(one)) for one in OPEN)


def host_name(host: str) -> str:
    """Return a Host header's name without its port.

    Examples
    --------
    >>> host_name("Studio.lan:8000"), host_name("[::1]:80"), host_name("localhost")
    ('studio.lan', '[::1]', 'localhost')
    """
    name, colon, port = host.strip().lower().rpartition(":")
    if not colon or not port.isdigit():
        return host.strip().lower()
    return name


def is_loopback(scope: Scope) -> bool:
    """Whether a request comes from this computer itself."""
    client = scope.get("client")
    try:
        return client is not None and ipaddress.ip_address(client[0]).is_loopback
    except ValueError:
        return False


def _is_same_origin(scope: Scope, headers: Headers, who: Who | None) -> bool:
    """Whether a request that writes comes from a page of this very studio.

    Browsers send no Sec-Fetch-Site over plain http to another computer, so the Origin is
    what counts there; where both come, both must agree. Without an Origin only a program
    on this computer passes, and no browser is one: they send it with every post.
    """
    site = headers.get("sec-fetch-site")
    if site is not None and site != "same-origin":
        return False
    origins = headers.getlist("origin")
    if not origins:
        return who == HERE and site is None and "cookie" not in headers
    return origins == [f"{scope['scheme']}://{headers['host']}"]


def _with_headers(send: Send) -> Send:
    """Return a ``send`` that puts the headers on every answer."""

    async def send_with(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers[name] = value
            for name, value in UNLESS_SAID.items():
                headers.setdefault(name, value)
        await send(message)

    return send_with
