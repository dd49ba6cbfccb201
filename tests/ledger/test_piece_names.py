"""A marked piece is called by the number on its foot, in answers and in refusals."""

import pytest

from tests.ledger.desk import with_finished


@pytest.fixture
def desk(tmp_path):
    made = with_finished(tmp_path, proofs=2)
    made.do("mark", numbers="3-5")
    made.do("mark", numbers="2", kind="proof")
    made.do("mark", count=1, kind="sample")
    return made


def test_what_is_done_is_said_of_the_number(desk):
    assert desk.do("sell", pieces="3, AP 2")["said"] == ("3/12 and AP 2/2 sold.")
    assert desk.do("ship", pieces="3")["said"] == "3/12 shipped."
    assert desk.do("break", pieces="5")["said"] == "5/12 broken."


def test_a_photo_and_a_loss_name_the_number(desk):
    kept = desk.do("photo", edition="tide-cup", about="3", digest="ab" * 32)
    lost = desk.do("lose", pieces="4", cause="warp")

    assert kept["said"] == "Photo kept of 3/12."
    assert lost["said"] == "Lost: 4/12, warp."


def test_a_load_says_which_piece_was_lost(tmp_path):
    book = with_finished(tmp_path)
    book.do("cast", molds="all")
    book.do("mark", numbers="2", stage="greenware")
    book.do("load", firing="bisque", pieces="2", go_on=True)
    opened = book.do("unload", lost_pieces="2 crack")

    assert opened["said"].endswith("0 of 1 piece good, bisque firing; 2/12: crack.")


def test_a_piece_without_a_number_is_called_by_its_label(desk):
    assert desk.do("give", pieces="P-00005")["said"] == "P-00005 given."


@pytest.mark.parametrize(
    ("verb", "sentence"),
    [
        ("sell", "4/12 was sold on 1 Mar 2027 already."),
        ("give", "4/12 was sold on 1 Mar 2027; ship it, or correct the sale."),
        ("return", "4/12 is here; only a piece that is away comes back."),
    ],
)
def test_a_refusal_names_the_number(desk, verb, sentence):
    desk.do("sell", pieces="4")

    assert sentence in desk.refused(verb, pieces="4").sentences
