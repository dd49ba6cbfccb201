"""Silent connections are closed, no address takes all the room, and this computer always gets in."""

import contextlib
import socket
import threading
import time
from dataclasses import dataclass
from types import SimpleNamespace

import httpx
import pytest
import uvicorn

from pourwright.web import patience
from pourwright.web.app import make_app
from pourwright.web.patience import MOST_FROM_ELSEWHERE, MOST_FROM_ONE, PatientProtocol
from pourwright.web.serve import Server, _listen
from tests.web.browser import run

SILENT = 200


@pytest.fixture
def served(tmp_path, monkeypatch):
    """Yield the port of a studio that is served with a short patience."""
    monkeypatch.setattr(patience, "SILENT_S", 0.4)
    app = make_app(tmp_path, port=0)
    listening = _listen("127.0.0.1", 0)
    config = uvicorn.Config(app, log_level="critical", http=PatientProtocol, ws="none")
    server = Server(config, app.state.watch)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield listening.getsockname()[1]
    server.should_exit = True
    thread.join()


def is_closed(connection: socket.socket, within_s: float = 5.0) -> bool:
    connection.settimeout(within_s)
    try:
        return connection.recv(1) == b""
    except ConnectionResetError:
        return True
    except TimeoutError:
        return False


def test_two_hundred_silent_connections_lock_nobody_out_and_are_closed(served):
    with contextlib.ExitStack() as stack:
        silent = [
            stack.enter_context(socket.create_connection(("127.0.0.1", served)))
            for _ in range(SILENT + 1)
        ]
        assert httpx.get(f"http://127.0.0.1:{served}/health").json()["ok"] is True
        assert all(map(is_closed, silent))


@pytest.mark.whole
def test_half_a_request_is_silence_too(served):
    with socket.create_connection(("127.0.0.1", served)) as slow:
        slow.sendall(b"GET /health HTTP/1.1\r\nHost: localhost\r\n")
        assert is_closed(slow)
    with socket.create_connection(("127.0.0.1", served)) as second:
        second.sendall(b"GET /health HTTP/1.1\r\nHost: localhost\r\n\r\nGET /he")
        answer = b""
        while part := second.recv(65536):
            answer += part
        assert answer.count(b"HTTP/1.1 200") == 1


@dataclass
class Transport:
    """A connection from an address, as far as the protocol asks it."""

    address: str
    aborted: bool = False

    def get_extra_info(self, name):
        return {"peername": (self.address, 1), "sockname": ("192.0.2.1", 8484)}.get(name)

    def abort(self):
        self.aborted = True

    def is_closing(self):
        return self.aborted


def taken_in(addresses: list[str]) -> dict[str, int]:
    """Return how many connections from each address stay."""

    async def connect() -> dict[str, int]:
        state = SimpleNamespace(connections=set(), tasks=set(), default_headers=[])
        config = uvicorn.Config(lambda: None, http=PatientProtocol, ws="none")
        config.load()
        left: dict[str, int] = {}
        for address in addresses:
            transport = Transport(address)
            protocol = PatientProtocol(config, state, {})
            protocol.connection_made(transport)
            if transport.aborted:
                state.connections.discard(protocol)
            else:
                left[address] = left.get(address, 0) + 1
        for one in state.connections:
            one._stop_waiting()
        return left

    return run(connect())


def test_one_address_takes_no_more_than_its_share_and_this_computer_gets_in():
    strangers = [f"192.0.2.{n}" for n in range(2, 30)]
    left = taken_in(["192.0.2.99"] * 30 + strangers * 8 + ["127.0.0.1"] * 210)

    assert left["192.0.2.99"] == MOST_FROM_ONE
    assert sum(left.values()) - left["127.0.0.1"] == MOST_FROM_ELSEWHERE
    assert left["127.0.0.1"] == 210
