"""A studio with one page more: a card for each of six molds, to try taps and clocks on."""

import os
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import uvicorn
from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from pourwright.ledger.documents import StepDoc
from pourwright.web import render
from pourwright.web.app import make_app
from pourwright.web.clock import TEST_CLOCK
from pourwright.web.desk import desk_of
from tests.e2e.serving import LAN_NAME

TARGET_S = 720
MOLDS = tuple(f"M-{number:03d}" for number in range(1, 7))
PAGE = """{% extends "base.html" %}
{% block room %}bench{% endblock %}
{% block scheme %}dark{% endblock %}
{% block main %}
{{ m.head(title) }}
<div data-live="cards" class="bench-cards">
{% for what, start, done in cards %}
<article class="mold" data-card="{{ what }}" id="card-{{ what }}">
  <h2>{{ what }}</h2>
  <p>{% if start %}<time class="clock" data-start="{{ start }}" data-target-s="{{ target }}">--</time>{% else %}no clock{% endif %}</p>
  <p class="count">{{ done }}</p>
  {{ m.tap("start-step", {"edition": "tide-cup", "what": what, "step": "drain " ~ done, "target": "12 min"}, "Drain " ~ what, card=what, class="act") }}
</article>
{% endfor %}
</div>
<p data-live="done">{% for what, start, done in cards %}{{ done }} {% endfor %}</p>
{% endblock %}
"""

router = APIRouter()


@router.get("/trial")
def trial(request: Request) -> Response:
    """Show a card a mold, with the step that was started last."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        steps = [step for _, step in reading.things.of(StepDoc, "tide-cup")]
    cards = []
    for what in MOLDS:
        mine = sorted(_ms(one.started) for one in steps if one.what == what and one.started)
        cards.append((what, mine[-1] if mine else None, len(mine)))
    words = {
        "title": "Trial", "here": "bench", "desk": desk, "who": request.state.who, "path": "/trial",
        "said": render.said_before(request), "errors": (), "typed": {}, "cards": cards, "target": TARGET_S,
    }  # fmt: skip
    return HTMLResponse(render.environment().from_string(PAGE).render(words))


def _ms(instant: str) -> int:
    return int(datetime.fromisoformat(instant).timestamp() * 1000)


def main(folder: Path, port: int, clock: Path) -> None:
    """Serve the studio with its further page, by a clock that a test may move."""
    os.environ[TEST_CLOCK] = str(clock)
    app = make_app(folder, lan=True, names=(LAN_NAME,), port=port)
    app.include_router(router)
    with suppress(KeyboardInterrupt):
        uvicorn.run(app, port=port, log_level="warning", timeout_graceful_shutdown=2)
