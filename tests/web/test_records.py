"""Records: search, entries, corrections by a form, a stocktake, copies and the check."""

import re
import sqlite3

import pytest

from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.replaying import effective
from pourwright.studio.records import AT_ONCE
from tests.web.sample import HOSTILE, plain
from tests.web.sample import own as own


def places(page):
    """Return the entries that a list shows."""
    return [int(one) for one in re.findall(r'<li><a href="/records/(\d+)">', page)]


def place_of(own, kind, **body):
    """Return the place of the first entry of a kind whose body holds something."""
    with own.app.state.desk.book.reading() as reading:
        return next(
            one.seq
            for one in reading.entries()
            if one.kind == kind and body.items() <= dict(one.body).items()
        )


def texts(own):
    """Return place and text of every entry, read past the program."""
    with sqlite3.connect(own.app.state.desk.folder / "book.db") as book:
        return book.execute("SELECT seq, text FROM entry").fetchall()


def test_the_newest_day_comes_first_and_its_lines_stand_in_the_order_of_writing(own):
    first = own.get("/records").text
    head = own.app.state.desk.book.head().seq
    seen, page = places(first), first
    while found := re.search(r'href="(/records\?before=\d+)"', page):
        page = own.get(found[1]).text
        seen += places(page)

    days = [places(one) for one in first.split("<h2>")[1:]]
    assert len(days) > 1
    assert all(one == sorted(one) for one in days)
    assert sorted(days, reverse=True) == days
    assert sorted(places(first)) == list(range(head - AT_ONCE + 1, head + 1))
    assert sorted(seen) == list(range(1, head + 1))


def test_a_line_written_on_another_day_says_when_it_happened(own):
    own.do("note", text="the kiln was opened", at="2026-07-01T16:20:05Z")

    assert f"{own.app.state.desk.book.head().seq} · of Wed 1 Jul 2026" in plain(
        own.get("/records").text
    )


def test_a_note_is_told_by_its_own_words(own):
    page = plain(own.get("/records").text)

    assert "Noted: try the lip two millimeters wider before the block mold" in page
    assert "Noted about M-004: the fern" in page


def test_a_label_is_found_however_it_is_written(own):
    whole = places(own.get("/records?about=M-006").text)
    short = places(own.get("/records?words=m-6").text)
    named = {seq for seq, text in texts(own) if '"M-006"' in text}

    assert whole == short
    assert set(whole) == named
    assert places(own.get("/records?words=M-60").text) == []


def test_words_of_a_note_a_kind_and_an_edition_are_found(own):
    assert places(own.get("/records?words=FERN%27S+tip").text) == [place_of(own, "note-made", about="M-004")]  # fmt: skip
    kinds = own.get("/records?kind=load-fired&edition=fern-jug").text
    assert len(places(kinds)) == 2
    assert "Nothing in the book holds that" in own.get("/records?words=" + HOSTILE).text
    assert HOSTILE not in own.get("/records?words=" + HOSTILE).text


@pytest.mark.parametrize("odd", ["%", "_", "%%", '"', "\\", "''--", "é" * 300, "before=x"])
def test_what_means_something_to_a_database_is_only_text(odd, own):
    answer = own.get("/records", params={"words": odd, "before": odd})

    assert answer.status_code == 200
    if odd in ("%", "_", "%%"):
        wanted = sum(odd in text for _, text in texts(own))
        assert len(places(answer.text)) == min(wanted, AT_ONCE)


def test_an_entry_is_shown_whole(own):
    seq = place_of(own, "molds-poured", lot="B-002")
    page = plain(own.get(f"/records/{seq}").text)

    for words in ("Count 3", "Lot B-002", "Soak 2 min", "Labels given M-004, M-005, M-006", "18:00"):  # fmt: skip
        assert words in page


@pytest.mark.parametrize("seq", ["0", "9999", "x", "1e2", "-1", "9" * 30, "\u0663"])
def test_a_place_that_is_none_has_no_page(seq, own):
    assert own.get(f"/records/{seq}").status_code == 404
    assert own.get(f"/records/{seq}/correct").status_code == 404


def fields_of(page):
    """Return what a form would send as it stands."""
    found = dict(re.findall(r'<input type="(?:text|hidden|date)"[^>]* name="([^"]+)" value="([^"]*)"', page))  # fmt: skip
    found |= dict(re.findall(r'<textarea[^>]* name="([^"]+)"[^>]*>\n([^<]*)</textarea>', page))
    found |= dict(re.findall(r'<input type="radio" name="([^"]+)" value="([^"]*)" checked>', page))
    for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', page, re.DOTALL):  # fmt: skip
        chosen = re.search(r'value="([^"]*)" selected', options)
        found[name] = chosen[1] if chosen else ""
    return {name: value.replace("&#39;", "'").replace("&#34;", '"') for name, value in found.items()}  # fmt: skip


def test_every_entry_stands_in_its_form_as_it_could_be_typed(own):
    """A form that is sent back as it is changes nothing, for each of more than a hundred entries."""
    head = own.app.state.desk.book.head().seq
    for seq in range(1, head + 1):
        form = own.get(f"/records/{seq}/correct")
        answer = own.post(f"/records/{seq}/correct", fields_of(form.text))

        assert answer.status_code == 422, seq
        assert "Nothing was changed" in answer.text, seq


def test_a_correction_by_form_is_worked_out_and_both_stay_visible(own):
    seq = place_of(own, "casts-made", edition="fern-jug", lost={"torn opening": 1}, lot="S-003")
    sent = fields_of(own.get(f"/records/{seq}/correct").text)
    answer = own.post(f"/records/{seq}/correct", sent | {"lost": "2 torn opening", "why": "counted again"})  # fmt: skip

    assert answer.status_code == 303
    with own.app.state.desk.book.reading() as reading:
        assert reading.things.get(EditionDoc, "fern-jug").lost["casting"]["torn opening"] == 3
    page = own.get(f"/records/{seq}").text
    assert "Corrected later" in page
    assert "1 torn opening" in plain(page)
    assert "Corrected" in own.get(f"/records?before={seq + 1}").text
    again = fields_of(own.get(f"/records/{seq}/correct").text)
    assert again["lost"] == "2 torn opening"


def test_a_sale_is_corrected_by_the_numbers_on_the_feet(own):
    seq = place_of(own, "piece-sold", edition="fern-jug")
    sent = fields_of(own.get(f"/records/{seq}/correct").text)
    own.post(f"/records/{seq}/correct", sent | {"pieces": "1, 2, 6, 5, 7", "why": "6, not 3"})

    assert sent["pieces"] == "1, 2, 3, 5, 7"
    assert fields_of(own.get(f"/records/{seq}/correct").text)["pieces"] == "1, 2, 6, 5, 7"
    assert "P-000" not in plain(own.get(f"/records/{seq}").text)


def test_a_field_left_empty_in_a_correction_stays_as_it_was(own):
    seq = place_of(own, "casts-made", edition="fern-jug", lost={"torn opening": 1}, lot="S-003")
    page = own.get(f"/records/{seq}/correct").text
    sent = fields_of(page) | {"lot": "", "at": "", "lost": "2 torn opening"}

    assert "Empty means" not in page
    assert own.post(f"/records/{seq}/correct", sent).status_code == 303
    assert fields_of(own.get(f"/records/{seq}/correct").text)["lot"] == "S-003"


def test_when_it_happened_is_corrected_by_the_clocks_of_the_studio(own):
    own.do("note", text="the kiln was opened", at="2026-07-01T16:20:05Z")
    seq = own.app.state.desk.book.head().seq
    sent = fields_of(own.get(f"/records/{seq}/correct").text)
    assert sent["at"] == "2026-07-01 18:20:05"  # Copenhagen, two hours ahead in summer
    unchanged = own.post(f"/records/{seq}/correct", sent | {"why": "nothing"})
    changed = own.post(f"/records/{seq}/correct", sent | {"at": "2026-07-01 19:05", "id": "w-at"})

    assert (unchanged.status_code, changed.status_code) == (422, 303)
    with own.app.state.desk.book.reading() as reading:
        corrected = [one for one in effective(list(reading.entries())) if one.seq == seq]
    assert [one.at for one in corrected] == ["2026-07-01T17:05:00Z"]
    assert fields_of(own.get(f"/records/{seq}/correct").text)["at"] == "2026-07-01 19:05"


def test_a_correction_that_cannot_be_read_or_cannot_stand_is_refused_with_what_was_typed(own):
    seq = place_of(own, "casts-made", edition="fern-jug")
    sent = fields_of(own.get(f"/records/{seq}/correct").text)
    wrong = own.post(f"/records/{seq}/correct", sent | {"lost": "some " + HOSTILE})
    stands = own.post(f"/records/{seq}/correct", sent | {"molds": "M-004"})

    assert wrong.status_code == stands.status_code == 422
    assert 'id="e-lost"' in wrong.text
    assert HOSTILE not in wrong.text
    assert "&lt;script&gt;" in wrong.text
    assert own.entries("entry-corrected") == []


def test_an_entry_that_did_not_happen_is_marked(own):
    own.do("note", text="twice")
    seq = own.app.state.desk.book.head().seq
    form = re.search(r'<form [^>]*action="/do/correct".*?</form>', own.get(f"/records/{seq}").text, re.DOTALL)[0]  # fmt: skip
    told = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form))
    assert ">It did not happen</button>" in form  # one press, and why for those who tell it
    own.post("/do/correct", {**told, "why": "it was told twice"})

    assert own.entries("entry-corrected")[-1]["why"] == "it was told twice"
    page = own.get(f"/records/{seq}").text
    assert "this did not happen" in page
    assert "If it did happen after all" in page
    assert "Correct it" not in page
    assert "which it corrects" in own.get(f"/records/{seq + 1}").text


def test_a_stocktake_is_blind_and_what_differs_is_told(own):
    page = own.get("/records/stocktake/fern-jug").text
    assert re.findall(r'name="(greenware|bisque|fired|finished|molds)" value="([^"]*)"', page) == [
        (stage, "") for stage in ("greenware", "bisque", "fired", "finished", "molds")
    ]
    answer = own.post(
        "/records/stocktake/fern-jug",
        {"id": "s-1", "greenware": "10", "bisque": "2", "note": "by two"},
    )

    assert (answer.status_code, answer.headers["location"]) == (303, "/editions/fern-jug")
    body = own.entries("stock-counted")[-1]
    assert body["counts"] == {"greenware": 10, "bisque": 2}
    assert "bisque: 2 counted, 3 in the book." in plain(own.get("/editions/fern-jug").text)


def test_a_stocktake_refuses_what_is_no_count(own):
    nothing = own.post("/records/stocktake/fern-jug", {"id": "s-2"})
    wrong = own.post("/records/stocktake/fern-jug", {"id": "s-3", "bisque": "-3", "fired": HOSTILE})

    assert nothing.status_code == wrong.status_code == 422
    assert "write at least one number" in nothing.text
    assert 'id="e-bisque"' in wrong.text
    assert HOSTILE not in wrong.text
    assert own.get("/records/stocktake/none-such").status_code == 404


def test_a_copy_is_made_and_listed_and_the_book_is_found_sound(own):
    assert "There is no copy yet" in own.get("/records/care").text
    answer = own.post("/records/care/copy")
    copies = list((own.app.state.desk.folder / "copies").glob("book-*.db"))
    with sqlite3.connect(copies[0]) as copy:
        held = copy.execute("SELECT count(*) FROM entry").fetchone()[0]

    assert answer.status_code == 303
    assert held == own.app.state.desk.book.head().seq
    assert f"{held} entries" in plain(own.get("/records/care").text)
    assert "are as they were written" in own.post("/records/care/check").text


def test_a_checkpoint_of_another_book_is_a_fault_and_one_that_is_none_is_refused(own):
    head = own.app.state.desk.book.head().short_checkpoint
    other = own.post("/records/care/check", {"checkpoint": head.partition(":")[0] + ":" + "0" * 16})
    none = own.post("/records/care/check", {"checkpoint": HOSTILE})

    assert "are as they were written" in own.post("/records/care/check", {"checkpoint": head}).text
    assert "Not as it was written" in other.text
    assert none.status_code == 422
    assert HOSTILE not in none.text
