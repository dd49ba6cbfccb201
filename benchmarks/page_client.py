"""Browsers that ask for pages, in a process of their own so that they do not slow the server down.

Reads from its standard input one JSON line a round: ``port``, ``path``, ``clients``,
``times`` and, for a post, its ``body``;
answers each with the times of all requests and the sizes. [s], [byte]
"""

from __future__ import annotations

import json
import socket
import sys
import threading
import time
from collections.abc import Iterator

ACCEPT = "Accept-Encoding: gzip\r\n"


def asked(port: int, path: str, times: int, body: str = "") -> Iterator[tuple[float, int, int]]:
    """Yield time, status and size of each request on one kept connection. [s], [-], [byte]"""
    verb, more = (
        ("POST", f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n")
        if body
        else ("GET", "")
    )
    head = f"{verb} {path} HTTP/1.1\r\nHost: localhost:{port}\r\n{ACCEPT}{more}\r\n{body}".encode()
    with socket.create_connection(("127.0.0.1", port), timeout=120) as wire:
        wire.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        for _ in range(times):
            began = time.perf_counter()
            wire.sendall(head)
            status, size = _answer(wire)
            yield time.perf_counter() - began, status, size


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


def one_round(port: int, path: str, clients: int, times: int, body: str = "") -> dict[str, object]:
    """Return the times of all requests of some clients that ask at once."""
    found: list[list[tuple[float, int, int]]] = [[] for _ in range(clients)]
    ready = threading.Barrier(clients)

    def one(at: int) -> None:
        ready.wait()
        found[at] = list(asked(port, path, times, body))

    threads = [threading.Thread(target=one, args=(at,)) for at in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    rows = [row for mine in found for row in mine]
    return {
        "took": [row[0] for row in rows], "statuses": sorted({row[1] for row in rows}),
        "size": max((row[2] for row in rows), default=0), "answers": len(rows),
    }  # fmt: skip


def main() -> None:
    """Do rounds until the input ends."""
    for line in sys.stdin:
        print(json.dumps(one_round(**json.loads(line))), flush=True)


if __name__ == "__main__":
    main()
