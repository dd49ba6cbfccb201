"""The one place where the browser's errors end: a page or JSON with sentences of our own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.types import Scope

from pourwright.errors import Asks, BadInput, Complaint, StudioError
from pourwright.ledger.file.trouble import BookExchanged, BookTrouble
from pourwright.web.door import GO_ON_WITH_BOOK, IN_DOUBT, TURNED_AWAY, Refusal
from pourwright.web.pairing import TooManyTries
from pourwright.web.render import environment, new_id, page

WORDS = {
    400: "The request could not be read. Go back, and send the form again.",
    404: "There is no such page in this studio.",
    405: "This page is not sent to in that way.",
    413: TURNED_AWAY[413],
    415: "Write JSON, and say so: Content-Type: application/json.",  # a page's: NOT_A_FORM
    422: "Something in the address is not what this page takes.",
    429: "That was tried too often. Wait a minute, then try again.",
    500: "Something went wrong inside Pourwright. This is our fault, not yours. "
    "What you typed is still on the page before: go back, and nothing is lost.",
}
NOT_A_FORM = "This page takes what its own form sends, and this was sent as something else."
GO_ON = "go_on"
"""The field that answers what the book asks; a form has it once it was asked."""
TITLES = {
    400: "Not readable",
    401: "This phone is not paired",
    403: "Not from here",
    404: "Nothing here",
    405: "Not this way",
    413: "Too large",
    415: "Not a form",
    421: "Another name",
    429: "Too often",
    500: "Our fault",
    503: "Not the book that was here",
}
_ENTRY = re.compile(r"\b[Ee]ntry ([1-9][0-9]{0,8})\b")
_LOAD = re.compile(r"\bL-[0-9]{3,9}\b")
WHERE_TO_GO_ON = (
    "Nothing is read or written until it is said on the studio's own computer to go on."
)


def keep_page(
    request: Request,
    template: str,
    *,
    title: str,
    here: str = "",
    typed: Mapping[str, object] | None = None,
    **shown: Any,
) -> None:
    """Say which page is shown again, with what was typed, if the action refuses."""
    request.state.again = (template, {"title": title, "here": here, "typed": typed or {}} | shown)


def add_handlers(app: FastAPI) -> None:
    """Have every error of an application end here."""
    app.add_exception_handler(StudioError, _studio_error)
    app.add_exception_handler(RequestValidationError, _address_error)
    app.add_exception_handler(HTTPException, _http_error)
    app.add_exception_handler(Exception, _our_fault)


def complaints_of(error: Exception) -> tuple[Complaint, ...]:
    """Return an error as complaints, each with the field it is about, or none.

    Examples
    --------
    >>> [one.right for one in complaints_of(StudioError("There is no mold M-071."))]
    ['There is no mold M-071.']
    """
    if isinstance(error, BadInput):
        return error.complaints
    sentences = getattr(error, "sentences", None) or str(error).splitlines()
    path = GO_ON if isinstance(error, Asks) else ""
    return tuple(Complaint(path, None, sentence) for sentence in sentences)


def sentence_of(complaint: Complaint) -> str:
    """Return a complaint as a sentence; one without a field, or a question, is a sentence already.

    Examples
    --------
    >>> sentence_of(Complaint("", None, "There is no mold M-071."))
    'There is no mold M-071.'
    """
    is_whole = complaint.path in ("", GO_ON) and complaint.value is None
    return complaint.right if is_whole else complaint.sentence()


def sentences_of(error: Exception) -> list[str]:
    """Return an error as sentences."""
    return [sentence_of(one) for one in complaints_of(error)]


def ways_out(sentences: list[str]) -> list[tuple[str, str]]:
    """Return where to mend what sentences name, in words and addresses: entries, or else loads.

    A load that is named beside an entry stands so only if that entry did not follow.

    Examples
    --------
    >>> ways_out(["Entry 109 could then not stand: 7/36 is in L-009, which is closed."])
    [('Entry 109', '/records/109')]
    >>> ways_out(["16/36 is in L-010, which is closed; unload that first."])
    [('Open L-010', '/kiln/L-010')]
    """
    told = " ".join(sentences)
    entries = [(f"Entry {seq}", f"/records/{seq}") for seq in dict.fromkeys(_ENTRY.findall(told))]
    loads = [(f"Open {load}", f"/kiln/{load}") for load in dict.fromkeys(_LOAD.findall(told))]
    return entries or loads


async def _studio_error(request: Request, error: Exception) -> Response:
    status = 429 if isinstance(error, TooManyTries) else 422
    if isinstance(error, BookTrouble):
        status = 503  # a phone keeps its taps, and sends them again
    if _wants_json(request.scope):
        return JSONResponse({"ok": False, "refused": sentences_of(error)}, status)
    if isinstance(error, BookExchanged):  # no page knows what is true, so none is shown
        return _plain(request.scope, status, str(error))
    kept = getattr(request.state, "again", None)
    ways = ways_out(sentences_of(error))
    template, shown = kept or ("refused.html", {"title": "Not done", "here": "", "ways": ways})
    return page(request, template, status=status, errors=complaints_of(error), **shown)


async def _address_error(request: Request, error: Exception) -> Response:
    """Answer what the framework could not read; its own English goes nowhere."""
    return _plain(request.scope, 422, WORDS[422])


async def _http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for nothing else
    if error.status_code == 405 and request.method == "GET" and not _wants_json(request.scope):
        # what a form was refused at: its page lies one step above
        return RedirectResponse(request.url.path.rpartition("/")[0], 303)
    words = WORDS.get(error.status_code, WORDS[400])
    if error.status_code == 415 and not _wants_json(request.scope):
        words = NOT_A_FORM
    is_inside = getattr(request.state, "who", None) is not None
    if error.status_code == 404 and is_inside and not _wants_json(request.scope):
        return page(request, "refused.html", title=TITLES[404], status=404, lead=words)
    answer = _plain(request.scope, error.status_code, words)
    answer.headers.update(error.headers or {})
    return answer


async def _our_fault(request: Request, error: Exception) -> Response:
    # the layer that called this raises the error again, and the server writes it down whole
    return _plain(request.scope, 500, WORDS[500])


def turned_away(scope: Scope, refusal: Refusal) -> Response:
    """Return the door's answer to somebody who may not come in."""
    if refusal.status != IN_DOUBT:
        return _plain(scope, refusal.status, refusal.words)
    if scope["state"]["who"].is_here:
        return _plain(scope, IN_DOUBT, refusal.words, GO_ON_WITH_BOOK)
    return _plain(scope, IN_DOUBT, f"{refusal.words} {WHERE_TO_GO_ON}")


def _plain(scope: Scope, status: int, words: str, go_on: str = "") -> Response:
    """Return a small page, or JSON where JSON was asked for, that needs no session."""
    if _wants_json(scope):
        return JSONResponse({"ok": False, "refused": [words]}, status)
    title = TITLES.get(status, "Not done")
    shown = {"status": status, "title": title, "words": words, "go_on": go_on}
    return HTMLResponse(
        environment().get_template("turned_away.html").render(shown, id=new_id()), status
    )


def _wants_json(scope: Scope) -> bool:
    return str(scope["path"]).startswith(("/api/", "/stream", "/health"))
