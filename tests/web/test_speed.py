"""What makes pages fast, held without a watch: what is read, what is sent, what is said of the rest."""

import re
import socket

import pytest
from sqlalchemy import event

from pourwright.studio.commands import MOST_CHOICES
from pourwright.studio.editions import MOST_OPEN
from pourwright.studio.shelf import AT_ONCE
from pourwright.web.app import make_app
from pourwright.web.serve import _listen
from tests.web.bench_fixtures import AtBench
from tests.web.browser import HERE, THIS_COMPUTER
from tests.web.sample import plain
from tests.web.sample import sample as sample

OPEN = 1500
MOST_BYTES = 60_000
MOST_STATEMENTS = 150
PAGES = (
    "/", "/bench", "/bench/plaster", "/bench/slip", "/shelf", "/shelf/M-004", "/editions", "/editions/fern-jug",
    "/editions/fern-jug/numbers/3", "/editions/fern-jug/what-if", "/editions/moth-dish", "/kiln", "/lots", "/lots/S-002",
    "/records", "/records?words=m-004", "/records/30", "/records/30/correct", "/records/care",
    "/records/stocktake/fern-jug", "/do", "/do/cast", "/do/plan-edition", "/figures", "/figures/slip", "/settings",
    "/settings/devices", "/begin", "/pair",
)  # fmt: skip


@pytest.fixture(scope="module")
def crowded(tmp_path_factory, shared_worker):
    """Yield a browser on a studio with very many open editions, which were entered at once."""
    app = make_app(tmp_path_factory.mktemp("crowded"), port=8484)
    desk = app.state.desk
    desk.worker = shared_worker
    with desk.book.store.writing() as writing:
        for number in range(OPEN):
            command = {
                "do": "plan-edition",
                "id": f"c-{number}",
                "edition": f"cup-{number:04d}",
                "pieces": 8,
            }
            read = desk.book._read(command, desk.clock.now())
            desk.book._keep(writing, read, desk.clock.now())
    yield AtBench(app, HERE, THIS_COMPUTER, {"Origin": HERE})
    desk.close()


def statements(browser, path):
    """Return how many statements the book was asked for a page."""
    counted = []
    engine = browser.app.state.desk.book.store._writer

    def count(*_):
        counted.append(1)

    event.listen(engine, "before_cursor_execute", count)
    try:
        assert browser.get(path).status_code == 200
    finally:
        event.remove(engine, "before_cursor_execute", count)
    return len(counted)


@pytest.mark.parametrize(
    "path", ["/", "/bench", "/bench/slip", "/bench/plaster", "/shelf", "/editions", "/kiln", "/lots", "/records", "/do/cast", "/do/note"]
)  # fmt: skip
def test_a_page_asks_little_of_a_book_with_very_many_open_editions(crowded, path):
    first = statements(crowded, path)
    crowded.do("note", edition="cup-0007", text=f"one more entry, {path}", id=f"n{path}")

    assert first < MOST_STATEMENTS
    assert statements(crowded, path) < MOST_STATEMENTS


def test_today_and_the_benches_say_what_they_leave_out(crowded):
    for path in ("/", "/bench/slip", "/bench/plaster"):
        assert f"{MOST_OPEN} of {OPEN} open editions are looked into here" in plain(
            crowded.get(path).text
        )


def test_what_is_worked_on_is_looked_into_first(crowded):
    crowded.do("pour", id="late", edition="cup-0003", count=1)

    assert "cup-0003" in crowded.get("/").text


def test_few_editions_are_told_without_a_word_of_others(sample):
    for path in ("/", "/bench/slip", "/do/cast"):
        assert "looked into here" not in sample.get(path).text
        assert "offered here" not in sample.get(path).text


def test_a_form_offers_some_editions_and_the_one_that_is_meant(crowded):
    page = crowded.post("/do/cast", {"id": "x", "edition": "cup-0001"}).text
    offered = re.findall(r'<option value="(cup-\d+)"( selected)?>', page)

    assert len(offered) == MOST_CHOICES + 1
    assert ("cup-0001", " selected") in offered
    assert f"of {OPEN}. For an older one begin at its page under Editions." in plain(page)


def test_a_form_that_is_reached_from_an_edition_does_not_ask_for_it(crowded):
    page = crowded.get("/do/cast?edition=cup-0001").text
    assert '<input type="hidden" name="edition" value="cup-0001">' in page
    assert 'action="/do/cast?edition=cup-0001"' in page
    assert "<option" not in page
    assert 'value="no-such"' not in crowded.get("/do/cast?edition=no-such").text


def test_the_page_of_an_edition_leads_to_every_form_with_its_name(crowded):
    assert "/do?edition=cup-0001" in crowded.get("/editions/cup-0001").text
    assert (
        "/do/cast?edition=cup-0001&amp;back=/editions/cup-0001"
        in crowded.get("/do?edition=cup-0001").text
    )


def test_every_board_is_reached_once_by_going_on(crowded):
    path, seen = f"/shelf?after={OPEN - 2 * AT_ONCE - 5}", []
    while path:
        page = crowded.get(path).text
        seen += re.findall(r'id="bay-([a-z0-9-]+)"', page)
        older = re.search(r'href="(/shelf\?after=\d+)">Further boards', page)
        path = older[1] if older else None

    assert len(seen) == len(set(seen)) == 2 * AT_ONCE + 5


def sent(browser, path):
    """Return what goes over the wire for one address. [byte]"""
    answer = browser.get(path, headers={"Accept-Encoding": "gzip"})
    assert answer.status_code == 200
    return int(answer.headers["content-length"]), answer.text


def cold(browser, path):
    """Return what a page costs a phone that was never here, without pictures. [byte]"""
    total, page = sent(browser, path)
    wanted, had = re.findall(r'(?:href|src)="(/static/[^"]+\.(?:css|js))"', page), set()
    while wanted:
        one = wanted.pop()
        if one not in had:
            had.add(one)
            size, text = sent(browser, one)
            total += size
            wanted += [
                one.rpartition("/")[0] + "/" + name
                for name in re.findall(r'from "\./([^"]+)"', text)
            ]
    return total


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_light_for_a_phone_that_was_never_here(sample, path):
    assert cold(sample, path) < MOST_BYTES


def test_a_page_for_a_client_that_cannot_unpack_is_not_packed(sample):
    style = re.search(r"/static/[^\"]+look.css", sample.get("/shelf").text)[0]
    answer, packed = (
        sample.get(style, headers={"Accept-Encoding": one}) for one in ("identity", "gzip")
    )

    assert "content-encoding" not in answer.headers
    assert packed.headers["content-encoding"] == "gzip"
    assert packed.text == answer.text


def test_what_is_sent_is_sent_at_once():
    """Without the protocol named, asyncio leaves a delay of 40 ms in each answer."""
    listening = _listen("127.0.0.1", 0)
    listening.close()

    assert listening.proto == socket.IPPROTO_TCP
