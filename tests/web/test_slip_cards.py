"""The cards of the slip bench."""

import re

from tests.bench_studio import EDITION
from tests.web.bench_fixtures import bench as bench

FILL = {"edition": EDITION, "what": "M-002 cast 1", "step": "fill", "target": "480 s"}


def card(page: str, label: str) -> str:
    """Return a mold's card out of the slip bench."""
    found = re.search(rf'<article class="mold" id="card-{label}".*?</article>', page, re.DOTALL)
    assert found
    return found[0]


def ids(page: str) -> list[str]:
    """Return the ids of the forms of a page."""
    return re.findall(r'name="id" value="([^"]*)"', page)


def without_ids(page: str) -> str:
    """Return a page with one word in place of every form's id."""
    return re.sub(r'(?<=name="id" value=")[^"]*', "ID", page)


def test_a_card_has_new_ids_in_its_forms_each_time(bench):
    pages = [bench.get("/bench/slip").text for _ in range(3)]
    found = [one for page in pages for one in ids(page)]

    assert len(set(found)) == len(found) > 3 * 3 * 6
    assert all(re.fullmatch("w-[0-9a-f]{24}", one) for one in found)
    assert without_ids(card(pages[0], "M-002")) == without_ids(card(pages[2], "M-002"))


def test_a_card_reads_its_clock_each_time(bench, tmp_path):
    added = tmp_path / "added"
    bench.app.state.desk.clock._file = added
    added.write_text("0")
    bench.do("start-step", **FILL)
    reads = []
    for passed_s in (0, 100, 479, 500):
        added.write_text(str(passed_s))
        panel = card(bench.get("/bench/slip").text, "M-002").split('data-phase="fill"')[2]
        reads.append(re.search(r"<time[^>]*>([^<]*)</time>", panel)[1])

    minutes = [re.fullmatch(r"(\+?)(\d+):(\d\d)", one).groups() for one in reads]
    seconds = [(-1 if late else 1) * (60 * int(m) + int(s)) for late, m, s in minutes]
    for told, right in zip(seconds, (480, 380, 1, -20), strict=True):
        assert abs(told - right) <= 5  # how long the test itself took


def test_a_card_shows_at_once_what_was_written_down(bench):
    before = [card(bench.get("/bench/slip").text, label) for label in ("M-001", "M-002")]
    bench.do("start-step", **FILL)
    after = [card(bench.get("/bench/slip").text, label) for label in ("M-001", "M-002")]

    assert 'data-phase="idle" aria-' in before[1]
    assert 'data-phase="fill" aria-' in after[1]
    assert without_ids(before[0]) == without_ids(after[0])


def test_a_new_slip_lot_stands_in_the_cards_at_once(bench):
    assert "S-001" not in card(bench.get("/bench/slip").text, "M-001")
    bench.do("mix-lot", what="slip")
    assert 'name="lot" value="S-001"' in card(bench.get("/bench/slip").text, "M-001")
