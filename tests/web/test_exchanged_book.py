"""The book's file is exchanged while it is served: phones keep their taps, and pages say what to do."""

import asyncio
import shutil

import pytest

from pourwright.cli.main import run as pourwright
from tests.web.browser import run
from tests.web.test_api import note, send
from tests.web.test_stream import Listener

SWAPS = {
    "renamed over": lambda book: book.with_name("old.db").rename(book),
    "removed": lambda book: book.unlink(),
    "log removed": lambda book: book.with_name("book.db-wal").unlink(),
}


@pytest.fixture(params=["renamed over"])
def swapped(request, app, here, folder):
    """Return a browser whose commands were acknowledged before another file took the book's place."""
    assert send(here, note(1)).status_code == 200
    (folder / "old.db").write_bytes(b"an older book")
    SWAPS[request.param](folder / "book.db")
    return here


@pytest.mark.parametrize("swapped", SWAPS, indirect=True)
def test_a_tap_is_not_refused_but_told_to_come_again(swapped):
    """By 503 the phone keeps it; by 422 it would ask for it to be written by hand."""
    for body in (note(2), [note(3), note(4)]):
        answer = send(swapped, body)
        assert answer.status_code == 503
        (said,) = answer.json()["refused"]
        assert "no longer the file that was opened" in said
        assert "pourwright book restore book-2" in said


def test_the_page_the_clock_and_a_form_say_what_to_do(swapped):
    for answer in (
        swapped.get("/"),
        swapped.get("/records"),
        swapped.get("/api/clock"),
        swapped.get("/health"),
        swapped.get("/stream"),
        swapped.post("/do/note", {"id": "f-1", "text": "typed"}),
    ):
        assert answer.status_code == 503
        assert "End the program" in answer.text


def test_a_stream_that_is_open_ends(app, here, folder):
    assert send(here, note(1)).status_code == 200

    async def hear():
        async with Listener(app) as listener:
            await listener.next()
            (folder / "book.db").unlink()
            await asyncio.wait_for(asyncio.shield(listener.task), 5)

    run(hear())


def test_what_was_acknowledged_is_restored(swapped, folder):
    send(swapped, note(2))
    (kept,) = folder.glob("book-2*.db")
    # The studio is another program, and ended by then.
    shutil.copytree(folder, folder / "after")
    folder = folder / "after"
    assert pourwright(["book", "restore", str(kept), "--folder", str(folder)]) == 0
    assert pourwright(["book", "verify", "--folder", str(folder)]) == 0
    assert (
        pourwright(["book", "show", "year", "--edition", "tide-cup", "--folder", str(folder)]) == 0
    )


def test_what_could_be_read_in_two_ways_is_refused_with_a_sentence(app, here):
    for body, said in (
        (b'{"do": "note", "id": "\\ud800", "text": "x"}', "id is "),
        (b'{"do": "note", "id": "n", "text": "\\udfff"}', "control"),
        (b'{"do": "note", "id": "n", "text": ["\\ud800"]}', "text is "),
        (b'{"do": "cast", "id": "n", "molds": ["\\ud800"]}', "molds is "),
        (b'{"do": "note", "id": "n", "\\ud800": "x"}', "a field's name is not all text"),
        (b'{"do": "note", "id": "n", "id": "m", "text": "x"}', "each field once"),
        (b'{"do": "note", "id": "n", "text": "x", "zone": "localtime"}', "zone is"),
        (b'{"do": "note", "id": "n", "text": "x", "zone": "posix/Europe/Berlin"}', "zone is"),
        (b'{"do": "note", "id": "n", "text": ' + b"[" * 100_000 + b"}", "not readable"),
    ):
        answer = here.request(
            "POST", "/api/commands", content=body, headers={"content-type": "application/json"}
        )
        assert answer.status_code == 422
        assert said in answer.json()["refused"][0]
    assert app.state.desk.book.head().seq == 1
