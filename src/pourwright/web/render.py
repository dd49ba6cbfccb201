"""Templates to pages: one environment, one way to show a page, one line said after a post."""

from __future__ import annotations

import hashlib
import json
import re
import secrets
from collections.abc import Sequence
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final
from urllib.parse import quote, unquote

from fastapi import Request
from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.responses import HTMLResponse, RedirectResponse, Response

from pourwright.ledger.answer import BookAnswer
from pourwright.ledger.replaying import CORRECTED
from pourwright.report.page import drawing
from pourwright.report.saying import tight
from pourwright.web.desk import desk_of

MENU: Final = (
    ("today", "/", "Today"),
    ("bench", "/bench", "Bench"),
    ("kiln", "/kiln", "Kiln"),
    ("shelf", "/shelf", "Shelf"),
    ("editions", "/editions", "Editions"),
)
"""The five words of the menu: key, address, word."""

MORE: Final = (
    ("buy", "/buy", "To buy"),
    ("records", "/records", "Records"),
    ("lots", "/lots", "Slip, glaze, clay"),
    ("figures", "/figures", "Figures"),
    ("settings", "/settings", "Settings"),
    ("phones", "/settings/devices", "Phones"),
)
"""What is needed less often; beside the menu on a laptop, under More in the menu of a phone."""

SAID = "pourwright_said"
_LONGEST_SAID = 1500
_OPTION = re.compile(r"(?<![\w-])(?<!pourwright shape )--([a-z][a-z-]*[a-z])")
"""An option of a command that has a form; ``pourwright shape`` has none."""

STATIC_TYPES = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
}


def page(
    request: Request, template: str, *, title: str, here: str = "", status: int = 200, **shown: Any
) -> Response:
    """Return a page: what a template shows, under a title, at its word in the menu.

    The status is 422 for a form that is shown again.
    """
    desk = desk_of(request)
    said = said_before(request)
    words = {
        "title": title,
        "here": here,
        "desk": desk,
        "who": getattr(request.state, "who", None),
        "path": request.url.path,
        "said": said,
        "errors": (),
        "typed": {},
    } | shown
    answer = HTMLResponse(environment().get_template(template).render(words), status)
    if said:
        answer.delete_cookie(SAID, httponly=True, samesite="lax")
    return answer


def back(
    to: str,
    answer: BookAnswer | str = "",
    *,
    may_undo: bool | None = None,
    undo: Sequence[int] = (),
) -> RedirectResponse:
    """Send the browser on to a page of this studio, which shows there what was said.

    That is what the book answered to the post, or a sentence of our own; then ``undo`` are the
    places of the entries that one press takes back. A correction is offered to be undone only
    where it is said so; one may be an undoing itself.
    """
    response = RedirectResponse(to, 303)
    if answer:
        words = {"said": answer, "undo": ".".join(map(str, undo))}
        said = words if isinstance(answer, str) else _kept_of(answer, may_undo=may_undo)
        text = quote(json.dumps(said, separators=(",", ":")))
        response.set_cookie(SAID, text, max_age=60, httponly=True, samesite="lax")
    return response


def _kept_of(answer: BookAnswer, *, may_undo: bool | None) -> dict[str, Any]:
    """Return the part of a book's answer that the next page shows; a cookie holds 4 kB."""
    findings: list[str] = []
    for one in answer.findings:
        if sum(map(len, findings)) + len(one) < _LONGEST_SAID:
            findings.append(one)
    if may_undo is None:
        may_undo = answer.kind != CORRECTED
    return {
        "said": answer.said[:_LONGEST_SAID],
        "findings": findings,
        "seq": answer.seq,
        "may_undo": may_undo,
    }


def said_before(request: Request) -> dict[str, Any] | None:
    """Return what the post before this page said, None if there was none."""
    text = request.cookies.get(SAID)
    if not text:
        return None
    try:
        said = json.loads(unquote(text))
    except ValueError:
        return None
    if not isinstance(said, dict) or not isinstance(said.get("said"), str):
        return None
    findings, seq, undo = said.get("findings"), said.get("seq"), said.get("undo")
    return {
        "said": said["said"],
        "findings": [one for one in findings if isinstance(one, str)]
        if isinstance(findings, list)
        else [],
        "seq": seq if isinstance(seq, int) else None,
        "may_undo": said.get("may_undo") is True,
        "undo": undo if isinstance(undo, str) else "",
    }


def begin_of(request: Request) -> int:
    """Return how many of a long list are passed over, by the address; what is no number is none."""
    text = request.query_params.get("after", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 0


@lru_cache(maxsize=1)
def environment() -> Environment:
    """Return the template engine: everything is escaped, nothing may be missing."""
    made = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(static=static_path, new_id=new_id, menu=MENU, more=MORE)
    made.filters.update(
        drawing=drawing, tight=_shown_text, whole=whole_labels, sentence=as_sentence
    )
    return made


def new_id() -> str:
    """Return an id for a command, set into a form so that sending it twice writes once."""
    return "w-" + secrets.token_hex(12)


_LABEL = re.compile(r"\b(?:[A-Z]-[0-9]{3,}|[0-9]+-[0-9]+)\b")


def whole_labels(text: str) -> Markup:
    """Return a text as markup in which no label and no span of numbers breaks at its hyphen.

    Examples
    --------
    >>> str(whole_labels("Fill M-003 & go"))
    'Fill <span class="whole">M-003</span> &amp; go'
    """
    safe = str(escape(text))
    return Markup(_LABEL.sub(r'<span class="whole">\g<0></span>', safe))  # noqa: S704 - escaped above


def _shown_text(text: str) -> str:
    """Return text as a page shows it: what names a command's option names the page's field."""
    return tight(_OPTION.sub(lambda found: in_label_words(found[1]), text))


def as_sentence(text: str) -> str:
    """Return words as a sentence: with a capital and a full stop.

    Examples
    --------
    >>> as_sentence("mix at 3:00 min: common practice")
    'Mix at 3:00 min: common practice.'
    """
    return f"{text[:1].upper()}{text[1:].removesuffix('.')}."


def in_label_words(name: str) -> str:
    """Return a field's or an option's name as its label.

    Examples
    --------
    >>> in_label_words("lost_pieces"), in_label_words("own-batch")
    ('Lost pieces', 'Own batch')
    """
    return name.replace("_", " ").replace("-", " ").capitalize()


def _template(name: str) -> str:
    return (files("pourwright.web") / "templates" / name).read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def static_files() -> dict[str, bytes]:
    """Return the style sheets, scripts, marks and letters by name; they are few and small."""
    folder = files("pourwright.web") / "static"
    shared = files("pourwright.report") / "templates" / "parts.css"  # a plan's own page has it too
    return {
        one.name: one.read_bytes()
        for one in (shared, *sorted(folder.iterdir(), key=lambda found: found.name))
        if "." + one.name.rpartition(".")[2] in STATIC_TYPES
    }


@lru_cache(maxsize=1)
def static_digest() -> str:
    """Return what stands in the files' addresses, so that a browser may keep them for good."""
    whole = hashlib.sha256()
    for name, content in static_files().items():
        whole.update(name.encode() + b"\0" + content)
    return whole.hexdigest()[:12]


def static_path(name: str) -> str:
    """Return the address of a style sheet or script."""
    return f"/static/{static_digest()}/{name}"
