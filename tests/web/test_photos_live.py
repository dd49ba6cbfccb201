"""Uploads to a served studio: bodies that lie about how long they are, and one that is far too long."""

import socket
from contextlib import closing

import pytest

from tests.e2e.serving import Served

HEAD = (
    "POST /photos/add HTTP/1.1\r\nHost: localhost:{port}\r\nOrigin: http://localhost:{port}\r\n"
    "Content-Type: multipart/form-data; boundary=x\r\n{more}\r\n\r\n"
)
START = b'--x\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'
END = b"\r\n--x--\r\n"
FIRST_LINE = b"HTTP/1.1 "


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """Yield a studio in a process of its own."""
    found = Served(tmp_path_factory.mktemp("served"))
    found.start()
    yield found
    found.stop()


def asked(served, more: str, *bodies: bytes) -> bytes:
    """Return the beginning of what is answered to a request that is sent piece by piece."""
    with closing(socket.create_connection(("127.0.0.1", served.port), timeout=60)) as line:
        line.sendall(HEAD.format(port=served.port, more=more).encode())
        for body in bodies:
            try:
                line.sendall(body)
            except OSError:
                break  # it has heard enough
        answer = b""
        try:
            while len(answer) < 100_000 and (piece := line.recv(65_536)):
                answer += piece
                if b"</html>" in answer:
                    break
        except OSError:
            pass
        return answer


def chunked(*bodies: bytes) -> tuple[bytes, ...]:
    return (*(f"{len(one):x}\r\n".encode() + one + b"\r\n" for one in bodies), b"0\r\n\r\n")


def goes_on(served) -> bool:
    return served.get("/health")["ok"] and not list((served.folder / "photos").rglob("*.*"))


def test_a_body_longer_than_it_declared_is_cut_there(served):
    whole = START + b"x" * 5000 + END
    answer = asked(served, f"Content-Length: {len(START) + 10}", whole)

    assert answer.startswith(FIRST_LINE + b"422")  # the file never ended, so there is none
    assert b"choose a photo" in answer
    assert goes_on(served)


def test_a_body_shorter_than_it_declared_is_no_photo(served):
    with closing(socket.create_connection(("127.0.0.1", served.port), timeout=60)) as line:
        more = "Content-Length: 5000000"
        line.sendall(HEAD.format(port=served.port, more=more).encode() + START + b"x" * 999)

    assert goes_on(served)


def test_a_declared_length_that_is_too_much_is_turned_away_before_it_is_sent(served):
    answer = asked(served, "Content-Length: 30000000", START)

    assert answer.startswith(FIRST_LINE + b"413")
    assert b"A photo or a file must be smaller" in answer
    assert goes_on(served)


def test_pieces_that_are_too_much_together_are_turned_away(served):
    pieces = chunked(START, *[bytes(1_000_000)] * 24, END)
    answer = asked(served, "Transfer-Encoding: chunked", *pieces)

    assert answer.startswith(FIRST_LINE + b"413")
    assert b"A photo or a file must be smaller" in answer
    assert goes_on(served)


def test_a_photo_in_pieces_that_is_none_is_refused_with_its_sentence(served):
    answer = asked(served, "Transfer-Encoding: chunked", *chunked(START, b"x" * 5000, END))

    assert answer.startswith(FIRST_LINE + b"422")
    assert b"JPEG, PNG or WebP" in answer
    assert goes_on(served)
