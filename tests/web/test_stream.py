"""The stream says that something changed and what time it is, to whom may hear it."""

import asyncio
import json

import pytest

from pourwright.web.door import COOKIE
from pourwright.web.stream import LOOK_S, MOST_STREAMS
from tests.web.browser import run

PHONE = ("192.0.2.17", 50000)


class Listener:
    """Hears a stream message by message, and can hang up."""

    def __init__(self, app, token=None, host=b"localhost", client=("127.0.0.1", 1)):
        cookie = [(b"cookie", f"{COOKIE}={token}".encode())] if token else []
        self.scope = {
            "type": "http", "method": "GET", "path": "/stream", "raw_path": b"/stream",
            "headers": [(b"host", host), *cookie], "client": client, "scheme": "http",
            "query_string": b"", "http_version": "1.1", "server": ("localhost", 80),
            "root_path": "",
        }  # fmt: skip
        self.app, self.heard, self.gone = app, asyncio.Queue(), asyncio.Event()
        self.status = None

    async def __aenter__(self):
        self.task = asyncio.create_task(self.app(self.scope, self._receive, self._send))
        return self

    async def __aexit__(self, *_):
        self.gone.set()
        await asyncio.wait_for(self.task, 5)

    async def _receive(self):
        await self.gone.wait()
        return {"type": "http.disconnect"}

    async def _send(self, message):
        if message["type"] == "http.response.start":
            self.status = message["status"]
        elif message.get("body"):
            await self.heard.put(message["body"].decode())

    async def next(self, patience_s=5.0):
        return await asyncio.wait_for(self.heard.get(), patience_s)


def data_of(text):
    return json.loads(text.split("data: ")[1])


def note(app, number):
    return app.state.desk.do({"do": "note", "id": f"n-{number}", "text": "x"})


def test_a_change_is_said_with_its_place_in_the_book(app):
    async def hear():
        async with Listener(app) as one, Listener(app) as other:
            first = data_of(await one.next())
            await other.next()
            await asyncio.to_thread(note, app, 1)
            said = await one.next()
            assert data_of(await other.next())["seq"] == 2
        return first, said

    first, said = run(hear())
    assert first["seq"] == 1
    assert said.startswith("id: 2\nevent: studio\n")
    assert set(data_of(said)) == {"seq", "now_ms"}


def test_what_another_process_writes_is_heard_too(app, folder):
    from pourwright.studio.book import open_book

    async def hear():
        async with Listener(app) as one:
            await one.next()
            with open_book(folder).store as store:
                from pourwright.ledger.book import Book

                now = app.state.desk.clock.now()
                Book(store).do({"do": "note", "id": "n-9", "text": "elsewhere"}, now)
            return data_of(await one.next())

    assert run(hear())["seq"] == 2


def test_the_time_is_said_without_a_change(app, monkeypatch):
    monkeypatch.setattr("pourwright.web.stream.QUIET_S", 2 * LOOK_S)

    async def hear():
        async with Listener(app) as one:
            return [data_of(await one.next()) for _ in range(3)]

    times = [one["now_ms"] for one in run(hear())]
    assert times == sorted(times)


def test_a_device_that_is_turned_away_hears_no_more(app, token):
    desk = app.state.desk

    async def hear():
        async with Listener(app, token, b"studio.lan", PHONE) as one:
            await one.next()
            desk.devices.end(desk.devices.all(desk.clock.now())[0].id, desk.clock.now())
            last = await one.next(2)
            await asyncio.wait_for(one.task, 2)
            return last

    assert run(hear()).startswith("event: unpaired")


@pytest.mark.parametrize("token", [None, "wrong"])
def test_a_stranger_hears_nothing(token, app):
    async def hear():
        async with Listener(app, token, b"studio.lan", PHONE) as one:
            body = await one.next()
            return one.status, body

    status, body = run(hear())
    assert status == 401
    assert "event" not in body


def test_streams_that_ended_are_counted_out_and_the_watcher_rests(app):
    async def hear():
        for _ in range(5):
            async with Listener(app) as one:
                await one.next()
        await asyncio.sleep(3 * LOOK_S)
        return app.state.watch.listeners, app.state.watch._looking.done()

    assert run(hear()) == (0, True)


def test_a_server_that_stops_ends_its_streams(app):
    async def hear():
        async with Listener(app) as one:
            await one.next()
            app.state.watch.is_ending = True
            await asyncio.wait_for(one.task, 5)
            return one.task.done()

    assert run(hear())


def test_there_is_a_most_of_streams(app):
    async def hear():
        app.state.watch.listeners = MOST_STREAMS
        async with Listener(app) as one:
            await asyncio.wait_for(one.task, 2)
            return one.status

    assert run(hear()) == 503
