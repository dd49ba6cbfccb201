"""The book's answers: intervals against published figures, casts left against scipy, lists by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from scipy import special, stats

from pourwright.errors import BadInput, NotDoable
from pourwright.ledger.book import Book
from pourwright.studio.answers import (
    MoreCasts,
    casts_left,
    number_written,
    owed,
    today_lists,
    wilson,
    yields,
)
from pourwright.studio.book import book_path, do_lines, open_book, verify_book

NOW = datetime(2031, 5, 20, 18, tzinfo=UTC)


@pytest.mark.parametrize(
    ("good", "of", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_gives_the_published_intervals(good: int, of: int, low: float, high: float) -> None:
    """Newcombe, "Two-sided confidence intervals for the single proportion", Stat. Med. 17 (1998) 857, table I."""
    assert wilson(good, of) == pytest.approx((low, high), abs=5e-5)


def test_wilson_is_that_of_scipy() -> None:
    for good, of in ((3, 4), (30, 37), (40, 40), (500, 1000)):
        theirs = stats.binomtest(good, of).proportion_ci(0.95, method="wilson")
        assert wilson(good, of) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


def test_wilson_of_nothing_is_everything() -> None:
    assert wilson(0, 0) == (0.0, 1.0)


def book_of(folder: Path, *lines: str) -> Book:
    book = open_book(folder)
    answers = list(do_lines(book, lines, NOW))
    assert all(one.ok for one in answers), [one for one in answers if not one.ok]
    return book


PLAN = '{"do":"plan-edition","id":"p","edition":"tide-cup","pieces":6,"proofs":1,"life":20,"conditioning":0,"at":"2031-05-01"}'


def test_casts_left_before_wear_is_the_brief_s_weibull_cut_off(tmp_path: Path) -> None:
    """Mean life 20 (nothing worn, little seen), against scipy's Weibull: what nine in ten and half still give."""
    book = book_of(
        tmp_path, PLAN,
        '{"do":"pour","id":"1","count":2}',
        '{"do":"count-casts","id":"2","mold":1,"casts":12,"good":12}',
    )  # fmt: skip
    with book.reading() as reading:
        used, fresh = casts_left(reading.things, "tide-cup")
    assert "the brief's life" in used.basis
    life = float(used.basis.rsplit("about ", 1)[1].removesuffix(" casts"))
    law = stats.weibull_min(4.0, scale=life / special.gamma(1.25))
    for one, given in ((used, 12), (fresh, 0)):
        holding = [law.sf(given + k - 1) / law.sf(max(given - 1, 0)) for k in range(1, 80)]
        for name, share in (("p10", 0.9), ("p50", 0.5), ("p90", 0.1)):
            by_scipy = sum(one >= share for one in holding)
            assert abs(getattr(one.left, name) - by_scipy) <= 1  # the life is told to a whole cast
    assert used.left.p50 < fresh.left.p50


def test_five_worn_molds_tell_for_themselves(tmp_path: Path) -> None:
    """Five molds wore out at 10, 12, 14, 16 and 18: of a mold with 11 given, four in four reach 12, three 14."""
    worn = [
        line
        for at, casts in enumerate((10, 12, 14, 16, 18), start=1)
        for line in (
            f'{{"do":"count-casts","id":"c{at}","mold":{at},"casts":{casts}}}',
            f'{{"do":"judge","id":"j{at}","molds":"{at}","verdict":"softer"}}',
            f'{{"do":"retire","id":"r{at}","molds":"{at}"}}',
        )
    ]
    book = book_of(
        tmp_path, PLAN, '{"do":"pour","id":"1","count":6}', *worn,
        '{"do":"count-casts","id":"c6","mold":6,"casts":11}',
    )  # fmt: skip
    with book.reading() as reading:
        (one,) = casts_left(reading.things, "tide-cup")
    assert one.basis.startswith("the studio's own: 5 worn molds")
    chances = {row.more: row.chance for row in one.chances}
    assert chances[1] == 1.0
    assert chances[2] == pytest.approx(3 / 4)
    assert chances[5] == pytest.approx(2 / 4)
    assert chances[10] == 0.0
    assert one.left == MoreCasts(p10=1, p50=5, p90=7)


def test_yields_by_mold_lot_load_and_cause(tmp_path: Path) -> None:
    book = book_of(
        tmp_path, PLAN,
        '{"do":"pour","id":"1","count":2}',
        '{"do":"mix-lot","id":"2","what":"slip"}',
        '{"do":"cast","id":"3","molds":"1, 2","each":5,"lost":"2 stuck","lost_molds":"1","lot":"S-001","go_on":true}',
        '{"do":"fire","id":"4","firing":"bisque","count":6,"lost":"1 bisque crack"}',
    )  # fmt: skip
    with book.reading() as reading:
        told = {
            by: yields(reading.things, "tide-cup", by) for by in ("stage", "lot", "load", "cause")
        }
        molds = yields(reading.things, "tide-cup", "mold")
    assert [(row.counted, row.of) for row in told["lot"]] == [(8, 10)]
    assert [(row.name, row.counted, row.of) for row in told["load"]] == [("L-001, bisque", 5, 6)]
    assert {row.name: row.counted for row in told["cause"]} == {"stuck": 2, "bisque crack": 1}
    assert {row.name: (row.counted, row.of) for row in told["stage"]} == {
        "casting": (8, 10), "drying": (6, 6), "bisque": (5, 6),
    }  # fmt: skip
    assert [row.of for row in molds] == [5, 5]
    with pytest.raises(BadInput, match="write one of stage, mold"), book.reading() as reading:
        yields(reading.things, "tide-cup", "weather")


def test_what_is_owed_and_a_number_that_is_none(tmp_path: Path) -> None:
    book = book_of(tmp_path, PLAN)
    with book.reading() as reading:
        told = owed(reading.things, "tide-cup")
        assert told.numbers.to_make == 6
        assert told.proofs.to_make == 1
        for wrong in ("0", "7", "AP 2", "x", "٣", ""):
            with pytest.raises(BadInput, match="write 1 to 6, or AP 1 to 1"):
                number_written(reading.things, "tide-cup", wrong)
        with pytest.raises(NotDoable, match="No piece bears 3/6 yet"):
            number_written(reading.things, "tide-cup", "3/6")


def test_a_mold_that_stopped_losing_need_not_be_weighed_again(tmp_path: Path) -> None:
    book = book_of(
        tmp_path, PLAN, '{"do":"pour","id":"1","count":2,"at":"2031-05-02"}',
        '{"do":"weigh","id":"2","mold":1,"mass":"6.40 kg","at":"2031-05-10"}',
        '{"do":"weigh","id":"3","mold":1,"mass":"6.39 kg","at":"2031-05-11"}',
        '{"do":"weigh","id":"4","mold":2,"mass":"6.90 kg","at":"2031-05-11"}',
    )  # fmt: skip
    with book.reading() as reading:
        told = today_lists(reading.things, "tide-cup", date(2031, 5, 12), "UTC")
    assert [(one.label, one.stopped_losing) for one in told.drying] == [
        ("M-001", True), ("M-002", False),
    ]  # fmt: skip
    assert told.weigh == ("M-002",)
    assert told.ready == ()


def test_a_refused_line_tells_its_place_and_the_others_go_on(tmp_path: Path) -> None:
    book = open_book(tmp_path)
    answers = list(
        do_lines(
            book,
            [PLAN, "", "# a remark", "not JSON", '{"do":"cast","id":"9","molds":"all"}', "[1]"],
            NOW,
        )
    )
    assert [one.ok for one in answers] == [True, False, False, False]
    assert [getattr(one, "line", None) for one in answers] == [None, 4, 5, 6]
    assert verify_book(book).entries == 1


def test_a_clock_in_the_file_is_only_heard_when_asked(tmp_path: Path) -> None:
    lines = ['{"clock": "2031-05-01T09:00"}', PLAN]
    refused, kept = do_lines(open_book(tmp_path), lines, NOW)
    assert not refused.ok
    assert kept.ok
    other = tmp_path / "other"
    other.mkdir()
    (answer,) = do_lines(open_book(other), lines, NOW, clock_in_file=True)
    assert answer.ok
    assert not answer.late
    (wrong,) = do_lines(open_book(other), ['{"clock": 3}'], NOW, clock_in_file=True)
    assert "write a moment" in wrong.refused[0]


def test_no_folder_and_no_book_are_sentences(tmp_path: Path) -> None:
    with pytest.raises(NotDoable, match="There is no folder"):
        open_book(tmp_path / "nowhere")
    with pytest.raises(NotDoable, match="There is no book"):
        open_book(tmp_path, create=False)
    assert book_path(tmp_path) == tmp_path / "book.db"
