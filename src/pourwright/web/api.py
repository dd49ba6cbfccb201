"""The book by JSON: one command or a list in order, answered as the book answers.

The taps of a phone come this way, and a studio's own scripts.
"""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from msgspec import to_builtins
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse

from pourwright.errors import BadInput
from pourwright.ledger.answer import BookAnswer, BookRefusal
from pourwright.ledger.kinds.table import verb_names
from pourwright.ledger.one_json import one_json
from pourwright.studio.commands import answered, book_schema
from pourwright.web.desk import desk_of, who_asks
from pourwright.web.refused import WORDS

router = APIRouter(prefix="/api")

MOST_BYTES = 256 * 1024
MOST_COMMANDS = 200
_COMMAND: dict[str, Any] = {
    "oneOf": [book_schema()["$defs"][verb] for verb in verb_names()],
}
_BODY = {
    "required": True,
    "content": {
        "application/json": {
            "schema": {
                "anyOf": [
                    _COMMAND,
                    {"type": "array", "items": _COMMAND, "minItems": 1, "maxItems": MOST_COMMANDS},
                ]
            }
        }
    },
}
_ANSWERS: dict[int | str, dict[str, Any]] = {
    200: {"description": "Written down; for a list, an answer for each command."},
    401: {"description": "This phone is not paired, or no longer."},
    403: {"description": "Sent from another page than the studio's own."},
    413: {"description": "Too large."},
    415: {"description": "Not JSON."},
    422: {"description": "Refused, with the sentences that say why."},
    503: {"description": "The book's file cannot be used now; send it again later."},
}


@router.post(
    "/commands",
    summary="Write down what happened",
    openapi_extra={"requestBody": _BODY},
    responses=_ANSWERS,
    max_body_size=MOST_BYTES,
)
async def commands(request: Request) -> JSONResponse:
    """Have the book do a command, or several one after the other."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        return JSONResponse({"ok": False, "refused": [WORDS[415]]}, 415)
    sent = read_commands(await request.body())
    if isinstance(sent, dict):
        answer = await run_in_threadpool(_do, request, sent)
        return JSONResponse(to_builtins(answer), 200 if answer.ok else 422)
    return JSONResponse(to_builtins(await run_in_threadpool(_do_all, request, sent)))


def read_commands(body: bytes) -> dict[str, Any] | list[Any]:
    """Return what was sent: a command, or a list.

    Raises
    ------
    BadInput
        If it is neither.

    Examples
    --------
    >>> read_commands(b'{"do": "note"}')
    {'do': 'note'}
    """
    try:
        sent = one_json(body)
    except ValueError:
        raise BadInput.one(
            "the body", "not readable", "write one command or a list as JSON, each field once"
        ) from None
    if isinstance(sent, dict):
        return sent
    if isinstance(sent, list) and 0 < len(sent) <= MOST_COMMANDS:
        return sent
    right = f"write one command, or a list of 1 to {MOST_COMMANDS}"
    raise BadInput.one("the body", "neither", right)


def _do_all(request: Request, sent: list[Any]) -> list[BookAnswer | BookRefusal]:
    return [_do(request, one) for one in sent]


def _do(request: Request, command: Any) -> BookAnswer | BookRefusal:
    """Return the book's answer to one command, or why it was refused."""
    desk = desk_of(request)
    usual = {"by": who_asks(request).name, "zone": desk.zone.key}
    return answered(desk.book, command, usual, desk.clock.now())
