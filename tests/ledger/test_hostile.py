"""Commands that must not be kept: each is refused with a sentence, and nothing is written."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest

from pourwright.errors import BadInput, Refused, StudioError
from tests.ledger.desk import Desk, with_finished

LONG = "x" * 50_000
DEEP: Any = {"a": {"b": {"c": [1, {"d": [2]}]}}}
NAN = float("nan")

# What is wrong, the command without its id, and a word that the sentence must have.
HOSTILE: list[tuple[str, Any, str]] = [
    # the envelope
    ("no fields at all", {}, "do is missing"),
    ("no verb", {"edition": "tide-cup"}, "do is missing"),
    ("a verb that is none", {"do": "delete"}, "write one of"),
    ("a verb misspelled", {"do": "caste", "molds": "all"}, "Did you mean cast?"),
    ("a verb that is a number", {"do": 7}, "write one of"),
    ("a verb that is a list", {"do": ["cast"]}, "write one of"),
    ("a verb that is long", {"do": LONG}, "write one of"),
    ("a verb with a null in it", {"do": "cast\x00"}, "write one of"),
    ("an id that is empty", {"do": "note", "text": "x", "id": ""}, "id is"),
    ("an id that is a number", {"do": "note", "text": "x", "id": 7}, "id is 7"),
    ("an id that is too long", {"do": "note", "text": "x", "id": "x" * 81}, "1 to 80 letters"),
    ("an id with a line end inside", {"do": "note", "text": "x", "id": "a\x07b"}, "one line"),
    ("an id that is missing", {"do": "note", "text": "x", "id": None}, "id is missing"),
    ("an id that was used for another", {"do": "note", "text": "x", "id": "desk-1"}, "another command"),
    ("a day in the future", {"do": "note", "text": "x", "at": "2036-01-01"}, "to today"),
    ("an instant in the future", {"do": "note", "text": "x", "at": "2027-03-01T23:00:00Z"}, "to now"),
    ("a day of long ago", {"do": "note", "text": "x", "at": "1899-12-31"}, "2000-01-01"),
    ("a day that is none", {"do": "note", "text": "x", "at": "2027-02-30"}, "write a date"),
    ("a day in another order", {"do": "note", "text": "x", "at": "01.03.2027"}, "write a date"),
    ("a day that is a number", {"do": "note", "text": "x", "at": 20270301}, "write a date"),
    ("a day in other digits", {"do": "note", "text": "x", "at": "\u0662027-03-01"}, "write a date"),
    ("a tap older than twelve hours", {"do": "note", "text": "x", "age_s": 43_201}, "43200"),
    ("a tap from the future", {"do": "note", "text": "x", "age_s": -1}, "whole seconds"),
    ("an age that is a fraction", {"do": "note", "text": "x", "age_s": 1.5}, "whole seconds"),
    ("an age that is true", {"do": "note", "text": "x", "age_s": True}, "whole seconds"),
    ("both day and age", {"do": "note", "text": "x", "at": "2027-03-01", "age_s": 5}, "not both"),
    ("a zone that is none", {"do": "note", "text": "x", "zone": "Europe/Atlantis"}, "time zone"),
    ("a zone that is a path", {"do": "note", "text": "x", "zone": "../../etc/passwd"}, "time zone"),
    ("a zone that is a number", {"do": "note", "text": "x", "zone": 1}, "time zone"),
    ("who, as a list", {"do": "note", "text": "x", "by": ["me"]}, "by is"),
    ("a field that is none", {"do": "note", "text": "x", "glow": "blue"}, "no field of that name"),
    ("a field misspelled", {"do": "cast", "mold": "all"}, "Did you mean molds?"),
    ("an edition that is none", {"do": "pour", "count": 1, "edition": "tied-cup"}, "Did you mean tide-cup?"),
    ("an edition in capitals", {"do": "pour", "count": 1, "edition": "Tide Cup"}, "small letters"),
    ("an edition that is a table", {"do": "pour", "count": 1, "edition": DEEP}, "small letters"),
    ("an edition for a lot", {"do": "mix-lot", "what": "slip", "edition": "tide-cup"}, "no field"),
    ("its place in the book", {"do": "note", "text": "x", "seq": 1}, "no field of that name"),
    ("its own recording", {"do": "note", "text": "x", "recorded": "2027-01-01"}, "no field"),
    ("labels of its own", {"do": "pour", "count": 1, "made": ["M-001"]}, "no field of that name"),
    # values
    ("a count that is text", {"do": "pour", "count": "three"}, "whole number"),
    ("a count that is negative", {"do": "pour", "count": -3}, "between 0 and 100"),
    ("a count that is nothing", {"do": "pour", "edition": "tide-cup", "count": 0}, "No mold is told"),
    ("a count that is a fraction", {"do": "pour", "count": 2.5}, "whole number"),
    ("a count that is whole but a float", {"do": "pour", "count": 2.0}, "whole number"),
    ("a count that is no number", {"do": "pour", "count": NAN}, "whole number"),
    ("a count that is endless", {"do": "pour", "count": float("inf")}, "whole number"),
    ("a count that is true", {"do": "pour", "count": True}, "whole number"),
    ("a count that is a list", {"do": "pour", "count": [3]}, "whole number"),
    ("a count past all sense", {"do": "pour", "count": 10**30}, "18 digits"),
    ("a count that is missing", {"do": "pour"}, "count is missing"),
    ("a count in other digits", {"do": "pour", "count": "\u0663"}, "whole number"),
    ("no text in a note", {"do": "note", "text": "   "}, "write text"),
    ("a note that is a list", {"do": "note", "text": ["x"]}, "write text"),
    ("a note without end", {"do": "note", "text": LONG}, "at most 4000"),
    ("a note that clears the screen", {"do": "note", "text": "a\x1b[2Jb"}, "control"),
    ("half a letter", {"do": "note", "text": "a\ud800b"}, "control"),
    ("text that turns round", {"do": "note", "text": "a\u202eb"}, "control"),
    ("a mass without a unit", {"do": "weigh", "mold": 1, "mass": 6.4}, "unit"),
    ("a mass with a comma", {"do": "weigh", "mold": 1, "mass": "6,4 kg"}, "mass"),
    ("a mass that is a length", {"do": "weigh", "mold": 1, "mass": "64 mm"}, "mass"),
    ("a mass below nothing", {"do": "weigh", "mold": 1, "mass": "-6 kg"}, "mass"),
    ("a mass past all sense", {"do": "weigh", "mold": 1, "mass": "9999 t"}, "between 10 g and 500 kg"),
    ("a mass that is a table", {"do": "weigh", "mold": 1, "mass": {"value": "6", "unit": "kg"}}, "mass"),
    ("a liter weight that floats", {"do": "read-lot", "lot": "S-001", "liter_weight": "180 g/l"}, "between"),
    ("a reading of nothing", {"do": "read-lot", "lot": "S-001"}, "Nothing was read"),
    ("a lot that is a number", {"do": "read-lot", "lot": 1, "flow": "40 s"}, "one label"),
    ("a lot that is none", {"do": "read-lot", "lot": "S-044", "flow": "40 s"}, "no lot S-044"),
    ("a price without a currency", {"do": "sell", "pieces": 1, "price": "420"}, "currency"),
    ("a price in no money", {"do": "sell", "pieces": 1, "price": "420 XYZ"}, "currency"),
    ("a price below nothing", {"do": "sell", "pieces": 1, "price": "-4 DKK"}, "between 0"),
    ("a choice that is none", {"do": "mix-lot", "what": "gold"}, 'must be one of "slip"'),
    ("a choice misspelled", {"do": "load", "firing": "bisk", "count": 1}, 'must be one of "bisque"'),
    ("a choice that is a list", {"do": "load", "firing": ["bisque"], "count": 1}, "must be one of"),
    ("yes that is a number", {"do": "close", "nothing_else": 1}, '"yes" or "no"'),
    ("yes in another language", {"do": "close", "nothing_else": "ja"}, '"yes" or "no"'),
    ("a cause that is none", {"do": "lose", "edition": "tide-cup", "stage": "finished", "lost": "1 bad luck"}, "no cause of loss yet"),
    ("a cause misspelled", {"do": "lose", "edition": "tide-cup", "stage": "finished", "lost": {"wrap": 1}}, "Did you mean warp?"),
    ("a cause below nothing", {"do": "lose", "stage": "finished", "lost": {"warp": -1}}, "whole number"),
    ("a cause by half", {"do": "lose", "stage": "finished", "lost": {"warp": 0.5}}, "whole number"),
    ("a cause told twice", {"do": "lose", "stage": "finished", "lost": "1 warp, 2 warp"}, "once"),
    ("causes that are a list", {"do": "lose", "stage": "finished", "lost": [1, 2]}, "counts such as"),
    ("causes without counts", {"do": "lose", "stage": "finished", "lost": "warp"}, "counts such as"),
    ("causes that lose nothing", {"do": "lose", "edition": "tide-cup", "stage": "finished", "lost": {}}, "Neither count"),
    ("a digest that is short", {"do": "photo", "digest": "abc"}, "64 small"),
    ("a digest in capitals", {"do": "photo", "digest": "AB" * 32}, "64 small"),
    ("a photo that is none", {"do": "erase-photo", "digest": "ab" * 32}, "no photo"),
    # labels
    ("a mold that is none", {"do": "cast", "molds": "M-071"}, "no mold M-071"),
    ("a mold of number nothing", {"do": "cast", "molds": 0}, "mold labels"),
    ("a mold below nothing", {"do": "cast", "molds": -1}, "mold labels"),
    ("a piece for a mold", {"do": "cast", "molds": "P-00001"}, "mold labels"),
    ("molds that are true", {"do": "cast", "molds": True}, "mold labels"),
    ("molds that are a table", {"do": "cast", "molds": {"all": True}}, "mold labels"),
    ("molds that are nothing", {"do": "cast", "molds": ""}, "mold labels"),
    ("molds that are an empty list", {"do": "cast", "molds": []}, "mold labels"),
    ("molds turned round", {"do": "cast", "molds": "3-1"}, "mold labels"),
    ("molds without end", {"do": "cast", "molds": "1-999999999"}, "at most 1000"),
    ("molds in many ranges", {"do": "cast", "molds": "1-900, 2000-2900"}, "at most 1000"),
    ("molds that are no number", {"do": "cast", "molds": NAN}, "mold labels"),
    ("all but one that is none", {"do": "cast", "edition": "tide-cup", "molds": "all except 99"}, "no mold M-099"),
    ("all but all", {"do": "dry", "edition": "tide-cup", "molds": "all except 1-4"}, "no mold of which"),
    ("all but nonsense", {"do": "cast", "molds": "all except the blue one"}, "mold labels"),
    ("all, where one is meant", {"do": "weigh", "mold": "all", "mass": "6 kg"}, "one label"),
    ("a label past all digits", {"do": "weigh", "mold": "M-" + "9" * 40, "mass": "6 kg"}, "one label"),
    ("a label that is a query", {"do": "weigh", "mold": "M-1'; DROP TABLE entry;--", "mass": "6 kg"}, "one label"),
    ("a mold of another edition", {"do": "cast", "edition": "tide-cup", "molds": "M-005"}, "belongs to moth-cup"),
    ("no edition told, and two open", {"do": "pour", "count": 1}, "write which one"),
    ("a form that is none", {"do": "approve", "form": 44}, "no form F-044"),
    ("a load that is none", {"do": "unload", "load": 44}, "no load L-044"),
    ("a load that was opened", {"do": "unload", "load": 1}, "already"),
    ("no load to open", {"do": "unload", "edition": "tide-cup"}, "no load is closed"),
    ("a piece that is none", {"do": "ship", "pieces": "P-09999"}, "no piece P-09999"),
    ("a number that nobody bears", {"do": "ship", "edition": "tide-cup", "pieces": "12"}, "No piece of tide-cup bears 12"),
    ("proofs of other letters", {"do": "ship", "edition": "tide-cup", "pieces": "EP 1"}, "no piece of tide-cup"),
    ("pieces that are words", {"do": "ship", "pieces": "the good ones"}, "write numbers"),
    ("pieces without end", {"do": "ship", "pieces": "1-99999999"}, "at most 1000"),
    ("a spare that is none", {"do": "swap-part", "mold": 1, "part": "left half", "spare": "T-009"}, "no spare part T-009"),
    ("no spare at all", {"do": "swap-part", "mold": 1, "part": "left half"}, "pour one first"),
    ("a part that the mold has not", {"do": "break-part", "mold": 1, "part": "handle"}, "left half"),
    ("a part that is not told", {"do": "break-part", "mold": 1}, "which part"),
    # editions
    ("an edition twice", {"do": "plan-edition", "edition": "tide-cup", "pieces": 9}, "already"),
    ("an edition without a name", {"do": "plan-edition", "pieces": 9}, "edition is missing"),
    ("an edition called studio", {"do": "plan-edition", "edition": "studio", "pieces": 9}, "uses that word"),
    ("an edition of nothing", {"do": "plan-edition", "edition": "new-cup", "pieces": 0}, "between 1 and 10000"),
    ("proofs that look like labels", {"do": "plan-edition", "edition": "new-cup", "pieces": 3, "proof_kind": "P"}, "not P"),
    ("proofs in digits", {"do": "plan-edition", "edition": "new-cup", "pieces": 3, "proof_kind": "A2"}, "letters"),
    ("a part twice", {"do": "plan-edition", "edition": "new-cup", "pieces": 3, "parts": "foot, foot"}, "once"),
    ("a declaration twice", {"do": "declare", "edition": "tide-cup"}, "was declared"),
    ("N changed after marking", {"do": "change-size", "edition": "tide-cup", "pieces": 13}, "stays 12"),
    ("proofs changed after marking", {"do": "change-size", "edition": "tide-cup", "proofs": 3}, "stays 2"),
    ("a change of nothing", {"do": "change-size", "edition": "tide-cup"}, "both missing"),
    ("closing what is not declared", {"do": "close", "edition": "moth-cup", "nothing_else": True, "short": True}, "not declared"),
    ("closing while numbers are missing", {"do": "close", "edition": "tide-cup", "nothing_else": True}, "close it short"),
    ("closing while molds are there", {"do": "close", "edition": "tide-cup", "nothing_else": True, "short": True}, "could remake the form"),
    ("casting a closed edition", {"do": "cast", "molds": "M-006"}, "was closed"),
    ("marking in a closed edition", {"do": "mark", "edition": "reed-cup", "numbers": 2, "evidence": "x"}, "was closed"),
    ("closing a closed edition", {"do": "close", "edition": "reed-cup", "nothing_else": True}, "was closed"),
    # molds
    ("casting a destroyed mold", {"do": "cast", "molds": "M-004"}, "M-004 was destroyed"),
    ("casting an incomplete mold", {"do": "cast", "molds": "M-003"}, "incomplete"),
    ("counting a destroyed mold", {"do": "count-casts", "mold": "M-004", "casts": 9}, "was destroyed"),
    ("destroying it again", {"do": "destroy", "molds": "M-004"}, "was destroyed"),
    ("destroying nothing", {"do": "destroy", "edition": "tide-cup"}, "Nothing is named"),
    ("keeping nothing", {"do": "keep-form", "edition": "tide-cup", "where": "shelf"}, "Nothing is named"),
    ("weighing a destroyed mold", {"do": "weigh", "mold": 4, "mass": "6 kg"}, "was destroyed"),
    ("breaking what is broken", {"do": "break-part", "mold": 3, "part": "left half"}, "broken already"),
    ("test casts from a master", {"do": "test-cast", "form": "F-002", "count": 2}, "is the master"),
    ("more good tests than cast", {"do": "test-cast", "form": "F-001", "count": 2, "good": 3}, "were cast"),
    # ware
    ("more good than cast", {"do": "cast", "molds": "1, 2", "good": 3}, "told as good"),
    ("more lost than cast", {"do": "cast", "molds": "1", "lost": "2 stuck"}, "told as good, lost"),
    ("more thrown away than cast", {"do": "cast", "molds": "1", "conditioned": 2}, "thrown away"),
    ("lost from a mold not cast", {"do": "cast", "molds": "1", "lost": "1 stuck", "lost_molds": "2"}, "not among"),
    ("more molds lost than casts", {"do": "cast", "molds": "1, 2", "lost": "1 stuck", "lost_molds": "1, 2"}, "told as lost"),
    ("a load of more than stands there", {"do": "load", "edition": "tide-cup", "firing": "bisque", "count": 99}, "unmarked at greenware"),
    ("a load of nothing", {"do": "load", "edition": "tide-cup", "firing": "bisque"}, "Neither count"),
    ("a firing that the brief has not", {"do": "load", "edition": "tide-cup", "firing": "third", "count": 1}, "its firings are"),
    ("a glaze before the bisque", {"do": "fire", "edition": "tide-cup", "firing": "glaze", "count": 1}, "unmarked at bisque"),
    ("a piece fired twice", {"do": "fire", "edition": "tide-cup", "firing": "glaze", "pieces": "1"}, "stands at finished"),
    ("more lost than loaded", {"do": "fire", "edition": "tide-cup", "firing": "bisque", "count": 1, "lost": "2 warp"}, "in the load"),
    ("a lost piece that was not in it", {"do": "fire", "edition": "tide-cup", "firing": "bisque", "count": 1, "lost_pieces": "1 warp"}, "Not in the load"),
    ("finishing more than was fired", {"do": "finish", "edition": "tide-cup", "count": 1}, "unmarked at fired"),
    ("losing more than stands there", {"do": "lose", "edition": "tide-cup", "stage": "bisque", "lost": "1 chip"}, "unmarked at bisque"),
    ("losing where the route never goes", {"do": "lose", "edition": "tide-cup", "stage": "third-fired", "lost": "1 chip"}, "bisque and glaze"),
    ("losing without a stage", {"do": "lose", "edition": "tide-cup", "lost": "1 chip"}, "stage is missing"),
    ("losing a piece without a cause", {"do": "lose", "edition": "tide-cup", "pieces": "1"}, "cause is missing"),
    ("losing a count without a cause", {"do": "lose", "edition": "tide-cup", "stage": "finished", "count": 1}, "cause is missing"),
    ("losing a lost piece", {"do": "lose", "pieces": "P-00003", "cause": "chip"}, "is lost"),
    ("losing one that is away", {"do": "lose", "pieces": "P-00002", "cause": "chip"}, "is away"),
    ("glazing what is not there", {"do": "glaze", "edition": "tide-cup", "count": 50}, "50 pieces told"),
    # numbers
    ("a number twice", {"do": "mark", "edition": "tide-cup", "numbers": "1"}, "A piece bears 1/"),
    ("a number twice in one go", {"do": "mark", "edition": "tide-cup", "numbers": "5-7, 1"}, "A piece bears 1/"),
    ("a number above N", {"do": "mark", "edition": "tide-cup", "numbers": "13"}, "above the 12"),
    ("a proof above the proofs", {"do": "mark", "edition": "tide-cup", "kind": "proof", "numbers": "3"}, "above the 2"),
    ("a proof twice", {"do": "mark", "edition": "tide-cup", "kind": "proof", "numbers": "1"}, "A piece bears AP 1/"),
    ("a number of nothing", {"do": "mark", "edition": "tide-cup", "numbers": "0"}, "write numbers"),
    ("a number below nothing", {"do": "mark", "edition": "tide-cup", "numbers": -1}, "write numbers"),
    ("numbers that are missing", {"do": "mark", "edition": "tide-cup"}, "numbers is missing"),
    ("a sample with a number", {"do": "mark", "edition": "tide-cup", "kind": "sample", "numbers": "5"}, "write count"),
    ("a number with a count", {"do": "mark", "edition": "tide-cup", "numbers": "5", "count": 1}, "numbers alone"),
    ("a number before N is declared", {"do": "mark", "edition": "moth-cup", "numbers": "1"}, "not declared"),
    ("more marked than stands there", {"do": "mark", "edition": "tide-cup", "numbers": "5-12"}, "unmarked at finished"),
    ("a replacement without evidence", {"do": "mark", "edition": "tide-cup", "numbers": "3"}, "photo or shard"),
    ("a settled number again", {"do": "mark", "edition": "tide-cup", "numbers": "4", "evidence": "x"}, "never made again"),
    ("settling a living number", {"do": "settle", "edition": "tide-cup", "numbers": "1", "why": "x"}, "is living"),
    ("settling what was never marked", {"do": "settle", "edition": "tide-cup", "numbers": "9", "why": "x"}, "never marked"),
    ("selling it twice", {"do": "sell", "pieces": "P-00002"}, "already"),
    ("selling a lost piece", {"do": "sell", "pieces": "P-00003"}, "is lost"),
    ("giving away what is sold", {"do": "give", "pieces": "P-00001"}, "was sold"),
    ("shipping what is away", {"do": "ship", "pieces": "P-00002"}, "is away"),
    ("a return of what never left", {"do": "return", "pieces": "P-00001"}, "only a piece that is away"),
    ("breaking a lost piece", {"do": "break", "pieces": "P-00003"}, "is lost"),
    ("a number as surplus", {"do": "surplus", "fate": "destroyed", "pieces": "P-00001"}, "no surplus"),
    ("more surplus than there is", {"do": "surplus", "edition": "tide-cup", "fate": "destroyed", "count": 44}, "unmarked at finished"),
    ("unfinished ware as seconds", {"do": "surplus", "edition": "tide-cup", "fate": "seconds", "stage": "greenware", "count": 1}, "finish before"),
    # the record
    ("a correction of nothing", {"do": "correct", "entry": 1}, "Write void yes"),
    ("a correction that does both", {"do": "correct", "entry": 1, "void": True, "changes": {"pieces": 9}}, "Write void yes"),
    ("a correction of what is not there", {"do": "correct", "entry": 999_999, "void": True}, "no entry 999999"),
    ("a correction of an id that is none", {"do": "correct", "entry": "e-1", "void": True}, "entry's number"),
    ("a correction of a field that is none", {"do": "correct", "entry": 1, "changes": {"size": 9}}, "plan-edition has"),
    ("a correction of the edition", {"do": "correct", "entry": 2, "changes": {"edition": "moth-cup"}}, "declare has"),
    ("a correction that cannot be read", {"do": "correct", "entry": 1, "changes": {"pieces": "many"}}, "whole number"),
    ("a correction that takes what it needs", {"do": "correct", "entry": 1, "changes": {"pieces": None}}, "needs it"),
    ("voiding what all the rest stands on", {"do": "correct", "entry": 1, "void": True}, "could then not stand"),
    ("voiding the pour of molds that were cast", {"do": "correct", "entry": 5, "void": True}, "could then not stand"),
    ("a smaller N than was marked", {"do": "correct", "entry": 1, "changes": {"pieces": 2}}, "could then not stand"),
    ("a stocktake where the route never goes", {"do": "count-stock", "edition": "tide-cup", "counts": "3 third-fired"}, "bisque and glaze"),
    ("a stocktake of what is no stage", {"do": "count-stock", "edition": "tide-cup", "counts": "3 kilns"}, "counts such as"),
]  # fmt: skip


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A book in the middle of its year: something of everything that can go wrong."""
    desk = with_finished(tmp_path_factory.mktemp("hostile"))
    desk.do("mark", numbers="1-4")
    desk.do("mark", numbers="1", kind="proof")
    desk.do("sell", pieces="1, 2")
    desk.do("ship", pieces="2")
    desk.do("lose", pieces="3, 4", cause="chip")
    desk.do("settle", numbers="4", why="the molds are worn out")
    desk.do("cast", molds="1, 2")
    desk.do("pour", count=1)
    desk.do("destroy", molds="M-004", go_on=True)
    desk.do("break-part", mold=3, part="left half")
    desk.do("make-form", what="block mold")
    desk.do("make-form", what="master")
    desk.do("plan-edition", edition="reed-cup", pieces=3, conditioning=0, route="once")
    desk.do("plan-edition", edition="moth-cup", pieces=3)
    desk.do("pour", edition="moth-cup", count=1)
    desk.do("declare", edition="reed-cup")
    desk.do("pour", edition="reed-cup", count=1)
    desk.do("cast", molds="M-006", go_on=True)
    desk.do("fire", edition="reed-cup", firing="glaze", count=1)
    desk.do("finish", edition="reed-cup", count=1)
    desk.do("mark", edition="reed-cup", numbers="1")
    desk.do("destroy", molds="M-006", go_on=True)
    desk.do("close", edition="reed-cup", short=True, nothing_else=True)
    yield desk
    assert desk.book.verify() == []
    desk.book.store.close()


def test_there_are_enough_and_each_is_another():
    assert len(HOSTILE) >= 150
    assert len({what for what, _, _ in HOSTILE}) == len(HOSTILE)


@pytest.mark.parametrize(("what", "command", "said"), HOSTILE, ids=[one[0] for one in HOSTILE])
def test_it_is_refused_with_a_sentence_and_nothing_is_written(desk, what, command, said):
    before = desk.picture()

    with pytest.raises(StudioError) as refused:
        desk.send({"id": f"hostile {what}", **command})

    assert isinstance(refused.value, BadInput | Refused)
    text = str(refused.value)
    assert said in text
    assert all(line[-1] in '.?"' or line[-1].isalnum() for line in text.splitlines())
    assert text.isprintable() or all(line.isprintable() for line in text.splitlines())
    assert desk.picture() == before


@pytest.mark.parametrize("command", [None, 7, "cast", ["do", "cast"], NAN, dt.date(2027, 3, 1)])
def test_what_is_no_command_is_refused(desk, command):
    before = desk.picture()

    with pytest.raises(BadInput, match="the command is"):
        desk.send(command)

    assert desk.picture() == before


def test_everything_wrong_is_told_at_once(desk):
    with pytest.raises(BadInput) as refused:
        desk.send({"do": "cast", "at": "never", "molds": "x", "each": 9, "good": -1, "lots": "S-1"})

    told = {one.path for one in refused.value.complaints}
    assert told == {"id", "at", "molds", "each", "good", "lots"}
