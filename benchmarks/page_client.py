"""Browsers that ask for pages, in a process of their own so that they do not slow the server down.

Reads from its standard input one JSON line a round: ``port``, ``paths``, ``clients``,
``times`` and, for a post, its ``body``;
answers each with the times and the sizes of all requests, by path. [s], [byte]
"""

from __future__ import annotations

import json
import socket
import sys
import threading
import time
from collections.abc import Iterator, Sequence

STARTS_WITHIN_S = 30.0


def asked(
    port: int, paths: Sequence[str], times: int, body: str = ""
) -> Iterator[tuple[str, float, int, int]]:
    """Yield path, time, status and size of each request on one kept connection, the paths in turn. [s], [byte]"""
    with _connected(port) as wire:
        wire.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        for path in list(paths) * times:
            sent = _request(port, path, body)
            began = time.perf_counter()
            wire.sendall(sent)
            status, size = _answer(wire)
            yield path, time.perf_counter() - began, status, size


def _connected(port: int) -> socket.socket:
    """Return a connection; a server that says its address listens there a moment later."""
    until = time.monotonic() + STARTS_WITHIN_S
    while True:
        try:
            return socket.create_connection(("127.0.0.1", port), timeout=120)
        except ConnectionRefusedError:
            if time.monotonic() > until:
                raise
            time.sleep(0.005)


def _request(port: int, path: str, body: str) -> bytes:
    lines = [
        f"{'POST' if body else 'GET'} {path} HTTP/1.1",
        f"Host: localhost:{port}",
        "Accept-Encoding: gzip",
    ]
    if body:
        lines += ["Content-Type: application/json", f"Content-Length: {len(body)}"]
    return ("\r\n".join(lines) + f"\r\n\r\n{body}").encode()


def _answer(wire: socket.socket) -> tuple[int, int]:
    """Read one answer to its end; every page says how long it is."""
    got = b""
    while b"\r\n\r\n" not in got:
        got += _more(wire)
    head, _, body = got.partition(b"\r\n\r\n")
    lines = head.decode("latin-1").split("\r\n")
    length = next(int(one[15:]) for one in lines if one.lower().startswith("content-length:"))
    left = length - len(body)
    while left > 0:
        left -= len(_more(wire))
    return int(lines[0].split()[1]), len(head) + 4 + length


def _more(wire: socket.socket) -> bytes:
    got = wire.recv(1 << 18)
    if not got:
        raise ConnectionError("the studio hung up")
    return got


def one_round(
    port: int, paths: Sequence[str], clients: int, times: int, body: str = ""
) -> dict[str, dict[str, object]]:
    """Return, by path, the times of all requests of some clients that ask at once."""
    found: list[list[tuple[str, float, int, int]]] = [[] for _ in range(clients)]
    ready = threading.Barrier(clients)

    def one(at: int) -> None:
        ready.wait()
        found[at] = list(asked(port, paths, times, body))

    threads = [threading.Thread(target=one, args=(at,)) for at in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    rows = [row for mine in found for row in mine]
    return {path: _told([row for row in rows if row[0] == path]) for path in paths}


def _told(rows: list[tuple[str, float, int, int]]) -> dict[str, object]:
    return {
        "took": [row[1] for row in rows], "statuses": sorted({row[2] for row in rows}),
        "size": max((row[3] for row in rows), default=0),
    }  # fmt: skip


def main() -> None:
    """Do rounds until the input ends."""
    for line in sys.stdin:
        print(json.dumps(one_round(**json.loads(line))), flush=True)


if __name__ == "__main__":
    main()
