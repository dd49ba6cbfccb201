"""A phone keeps the end of the book that it saw, and notices when an older one lies in its place."""

import shutil

import pytest

from pourwright.ledger.file.chain import read_checkpoint
from pourwright.ledger.file.witness import witness_path
from pourwright.web.app import make_app
from pourwright.web.door import COOKIE, SAW
from tests.web.browser import HERE, LAN, PHONE, THIS_COMPUTER, Browser
from tests.web.test_api import note, send


def serve(folder):
    return make_app(folder, lan=True, names=("studio.lan",), port=8484)


def seen_after(phone, number):
    """Write a note with a phone, and return what it keeps from then on."""
    answer = send(phone, note(number))
    assert answer.status_code == 200
    return answer.cookies[SAW]


def entries_in(kept):
    checkpoint = kept.partition(".")[2]
    return read_checkpoint(checkpoint).seq


@pytest.fixture
def older(app, phone, folder, tmp_path):
    """Yield a studio in which an older book lies in the place of what a phone saw, with what it keeps."""
    seen_after(phone, 1)
    shutil.copy(folder / "book.db", tmp_path / "older")  # without its log: only the empty book
    kept = seen_after(phone, 2)
    app.state.desk.close()
    witness_path(folder / "book.db").unlink()  # the book was carried to another computer
    shutil.move(tmp_path / "older", folder / "book.db")
    made = serve(folder)
    yield made, {**phone.cookies, SAW: kept}
    made.state.desk.close()


def on_phone(app, cookies):
    return Browser(app, LAN, PHONE, {"Origin": LAN}, cookies)


def test_a_phone_keeps_what_it_saw_and_asks_with_it(phone, here, stranger):
    kept = seen_after(phone, 1)
    assert entries_in(kept) == 2
    phone.cookies = phone.cookies | {SAW: kept}
    assert SAW not in phone.get("/records").cookies  # nothing is new
    send(here, note(2))
    assert entries_in(phone.get("/records").cookies[SAW]) == 3
    for answer in (here.get("/"), stranger.get("/pair"), phone.get("/static/any/look.css")):
        assert SAW not in answer.cookies


def test_an_older_book_is_neither_read_nor_written_until_it_is_said_here(older):
    app, cookies = older
    phone, here = on_phone(app, cookies), Browser(app, HERE, THIS_COMPUTER, {"Origin": HERE})
    before = app.state.desk.book.head()
    said = (
        "A phone (wheel room phone) saw 3 entries in book.db, and an empty book lies in its place."
    )
    for answer in (phone.get("/"), here.get("/shelf"), phone.get("/stream"), send(phone, note(3)),
                   here.post("/do/note", {"id": "f-1", "text": "typed", "go_on": "yes"})):  # fmt: skip
        assert answer.status_code == 503
        assert said in answer.text
        assert "run: pourwright book restore COPY" in answer.text
        assert SAW not in answer.cookies
    assert "Go on all the same" not in phone.get("/").text
    assert phone.post("/records/care/go-on").status_code == 403
    assert app.state.desk.book.head() == before

    assert "Go on all the same" in here.get("/").text
    assert here.post("/records/care/go-on", {"id": "w-1"}).status_code == 303
    with app.state.desk.book.reading() as reading:
        assert reading.entry(1).body["asked"] == [said]
    assert app.state.desk.book.verify() == []
    # What phones saw of the other book no longer counts, be it another phone that was away.
    assert send(phone, note(3)).status_code == 200
    assert here.get("/").status_code == 200


def test_this_computer_notices_it_too(app, phone, folder, tmp_path):
    seen_after(phone, 1)
    shutil.copy(folder / "book.db", tmp_path / "older")
    app.state.desk.close()
    shutil.move(tmp_path / "older", folder / "book.db")
    made = serve(folder)
    here = Browser(made, HERE, THIS_COMPUTER, {"Origin": HERE})
    assert "This computer saw 2 entries in book.db" in here.get("/").text
    assert here.get("/").status_code == 503
    made.state.desk.close()


def test_a_book_that_is_gone_is_begun_anew_only_if_it_is_said_here(app, phone, folder):
    """It was removed while nothing ran."""
    cookies = {**phone.cookies, SAW: seen_after(phone, 1)}
    app.state.desk.close()
    (folder / "book.db").unlink()
    made = serve(folder)
    phone, here = on_phone(made, cookies), Browser(made, HERE, THIS_COMPUTER, {"Origin": HERE})
    said = "book.db is gone, moved or removed: this computer saw 2 entries in it."
    for answer in (
        phone.get("/"),
        send(phone, note(2)),
        here.get("/begin"),
        here.get("/api/clock"),
    ):
        assert (answer.status_code, said in answer.text) == (503, True)
    assert not (folder / "book.db").exists()

    assert here.post("/records/care/go-on", {"id": "w-1"}).status_code == 303
    with made.state.desk.book.reading() as reading:
        assert reading.entry(1).body["asked"] == [said]
    assert send(phone, note(2)).status_code == 200
    made.state.desk.close()


@pytest.mark.parametrize("kept", ["", "x", "{line}", "{line}.", "{line}.0:" + "a" * 64, "{line}.9", "{line}.9:zz", "other.9:" + "a" * 64, "\xff"])  # fmt: skip
def test_what_tells_nothing_is_passed_over(app, token, kept):
    cookies = {COOKIE: token, SAW: kept.replace("{line}", app.state.desk.devices.line)}
    phone = Browser(app, LAN, PHONE, {"Origin": LAN}, {COOKIE: token})
    text = "; ".join(f"{name}={value}" for name, value in cookies.items())
    assert phone.get("/bench", headers={"Cookie": text.encode("latin-1")}).status_code == 200
