"""Editions, their trays, numbers, plan and what if, without a script."""

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from time import sleep
from urllib.parse import urlencode

import pytest

from pourwright.studio.edition import Foot, feet
from pourwright.studio.plans import NoPlan, spoken_for
from pourwright.web.pages.editions import left_here
from tests.web.pages import Page
from tests.web.sample import HOSTILE, plain
from tests.web.sample import own as own
from tests.web.sample import sample as sample

JUG = "/editions/fern-jug"


def words_of(page):
    """Return each number of the trays with its word."""
    return dict(
        re.findall(r'<b class="on-[a-z ]+">([^<]+)</b><input[^>]+> <span[^>]*>([^<]+)<', page)
    )


def acts_of(page, number):
    """Return what can be done with a number of the tray."""
    return re.search(rf'data-acts="([^"]*)" data-key="{number}"', page)[1].split("|")


def test_every_edition_is_listed_with_its_tray(sample):
    page = sample.get("/editions").text

    assert re.findall(r'class="tray-name">([^<]+)<', page) == ["Gale flask", "Fern jug", "Moth dish"]  # fmt: skip
    assert page.count('class="foot-small"') == 36 + 20 + 24
    assert "20 of 36 numbered, 2 lost and to be made again" in plain(page)
    assert "Closed at 24 of 24" in plain(page)


def test_every_number_lies_in_the_tray_by_its_state(sample):
    page = sample.get(JUG).text
    words = words_of(page)

    assert len(words) == 36 + 3
    assert {words[n] for n in ("1", "2", "3")} == {"shipped"}
    assert {words[n] for n in ("4", "9")} == {"to make again"}
    assert {words[n] for n in ("5", "7")} == {"sold"}
    assert words["16"] == "in kiln"
    assert words["22"] == "bisque"
    assert words["14"] == "fired"
    assert words["36"] == "to make"
    assert words["AP2"] == "here"
    # each tray is counted by itself: of 36 numbers 36 are told, and no proof among them
    for tray in page.partition('class="tray-title"')[::2]:
        told = [*words_of(tray).values()]
        counted = {word: int(n) for n, word in re.findall(r"<strong>(\d+)</strong> ([a-z ]+)</li>", tray)}  # fmt: skip
        assert counted == {word: told.count(word) for word in told}


def test_shape_comes_before_color(sample):
    """Each state has a drawing of its own, so that it is known without color."""
    page = sample.get(JUG).text
    pattern = (
        r'<use href="#foot-([a-z]+)"/></svg><b[^>]*>[^<]+</b><input[^>]+> <span[^>]*>([a-z ]+)<'
    )
    shapes = {word: shape for shape, word in re.findall(pattern, page)}
    drawn = dict(re.findall(r'<symbol id="foot-([a-z]+)"[^>]*>(.*?)</symbol>', page, re.DOTALL))

    assert len(shapes) == len(set(shapes.values())) == 8
    assert len({drawn[one] for one in shapes.values()}) == 8


def test_what_can_be_done_is_known_of_each_number(sample):
    page = sample.get(JUG).text

    assert acts_of(page, "8") == ["sell", "ship", "unsold", "give", "break", "photo"]
    assert acts_of(page, "5") == ["ship", "break", "photo"]
    leaves = "Shipped now it leaves unsold"  # said before the press
    stands = [leaves in sample.get(f"{JUG}/numbers/{n}").text for n in (8, 5)]
    assert stands == [True, False]
    assert acts_of(page, "16") == ["photo"]
    assert acts_of(page, "9") == ["again shown", "again", "settle"], "a shard is in box 2"
    assert acts_of(page, "AP2")[-1] == "destroy"
    assert acts_of(page, "36") == ["mark"]
    assert sample.get(JUG + "/numbers/9").text.count("Make again</") == 1, "one act, one button"


def posted(own, verb, tray, **more):
    """Press a button of the tray with some feet ticked, as a browser without scripts does."""
    fields = {
        "edition": "fern-jug",
        "id": f"w-{verb}",
        "back": JUG,
        "sell.price": "690",
        "sell.price.unit": "DKK",
    }
    return own.post(f"/do/{verb}", fields | {"mark.evidence": "", "settle.why": ""} | tray | more)  # fmt: skip


def spoken_for_now(own):
    with own.app.state.desk.book.reading() as reading:
        return spoken_for(reading.things, "fern-jug")


def test_a_tray_sells_ships_and_marks_without_a_script(own):
    gone = spoken_for_now(own)
    assert posted(own, "sell", {"pieces": ["10", "AP 2"]}).status_code == 303
    assert spoken_for_now(own) == gone + 1  # no proof was ever offered as a number
    assert posted(own, "ship", {"pieces": ["5", "10"]}).status_code == 303
    assert spoken_for_now(own) == gone + 1  # both were sold before
    assert posted(own, "mark", {"numbers": "9"}).status_code == 303
    assert posted(own, "sell", {"pieces": ["22"]}, id="w-3").status_code == 303  # not finished yet
    with own.app.state.desk.book.reading() as reading:
        tray = feet(reading.things, "fern-jug", "numbered")
    away_or_sold = [one for one in tray if one.is_sold or one.shape in ("away", "given")]
    assert len(away_or_sold) == spoken_for_now(own) == gone + 2
    page = own.get(JUG).text
    words = words_of(page)

    assert [words[n] for n in ("10", "5", "AP2")] == ["shipped", "shipped", "sold"]
    assert words["9"] == "bisque"
    assert "Sold for" in page
    refused = posted(own, "ship", {"pieces": ["36"]}, id="w-2")
    assert refused.status_code == 422
    assert "36" in plain(refused.text.partition('id="faults"')[2])
    story = own.get(f"{JUG}/numbers?tray=proof&pieces=AP+2")
    assert story.headers["location"] == f"{JUG}/numbers/AP2"
    assert own.get(f"{JUG}/numbers?tray=proof&numbers=1").headers["location"].endswith("/AP1")
    assert own.get(f"{JUG}/numbers").headers["location"] == JUG


def test_a_sale_is_asked_to_whom_and_what_is_seldom_done_is_quiet(own):
    page = own.get(JUG + "/numbers/10").text
    posted(own, "sell", {"pieces": ["10"], "sell.reference": "order 2027-14"})

    assert "To whom" in plain(page)
    assert re.findall(r'class="button quiet"[^>]*>(Give|It broke)<', page) == ["Give", "It broke"]
    assert own.entries("piece-sold")[-1]["reference"] == "order 2027-14"


def test_a_sale_of_which_one_is_shipped_is_not_taken_back_unasked(own):
    def take_back(**told):
        seq = own.app.state.desk.book.head().seq - 1
        fields = {"id": f"b-{told}", "entry": str(seq), "void": "yes", "back": JUG, **told}
        return own.post("/do/correct", fields)

    posted(own, "sell", {"pieces": ["8", "10"]})
    posted(own, "ship", {"pieces": ["8"]}, id="w-2")
    asked = take_back()
    assert asked.status_code == 422
    page = plain(asked.text)
    assert "8 is shipped: take back only 10? Without the sale 8 is shipped and not sold." in page
    (form,) = [one for one in Page(asked.text).forms if "stays_sold" in one.fields]
    assert len(form.fields["stays_sold"].choices) == 2

    # whoever only presses on takes back what is here, and no more
    pressed = own.post(form.action, form.standing() | {"id": "b-pressed-on"})
    assert pressed.status_code == 303
    page = own.get(JUG).text
    assert [words_of(page)[n] for n in ("8", "10")] == ["shipped", "here"]
    assert "sell" not in acts_of(page, "8")

    posted(own, "sell", {"pieces": ["10"]}, id="w-3")
    posted(own, "ship", {"pieces": ["10"]}, id="w-4")
    assert "take the sale back all the same?" in plain(take_back().text)
    assert take_back(go_on="yes").status_code == 303
    assert "sell" in acts_of(own.get(JUG).text, "10")
    assert posted(own, "sell", {"pieces": ["10"]}, id="w-5").status_code == 303


def test_a_planned_edition_is_declared_from_its_page(own):
    page = own.get("/editions/gale-flask").text
    assert "Declare it" in page
    answer = own.post(
        "/do/declare",
        {"id": "d", "edition": "gale-flask", "pieces": "20", "back": "/editions/gale-flask"},
    )

    assert (answer.status_code, answer.headers["location"]) == (303, "/editions/gale-flask")
    assert "Declare it" not in own.get("/editions/gale-flask").text


def test_losses_money_and_findings_are_told(sample):
    page = plain(sample.get(JUG).text)

    assert "torn opening Lost" not in page
    assert re.search(r"torn opening 2 of 45", page)
    assert "3450.00 DKK" in page  # five at 690.00
    assert "greenware: 3 counted, 2 in the book." in page


def test_what_is_not_asked_today_is_folded_behind_its_figures(sample):
    page = sample.get("/editions/fern-jug").text
    folded = re.findall(
        r'<details class="figured" id="([a-z]+)"><summary><h2 id="[a-z]+-title">[^<]+</h2><span>([^<]*)', page
    )  # fmt: skip
    told = {name: " ".join(words.replace("\xa0", " ").split()) for name, words in folded}
    assert list(told)[-4:] == ["work", "yield", "money", "about"]
    assert told["work"].startswith("greenware 10, bisque 3")
    assert told["yield"] == "casting 89 %, drying 97 %, bisque 93 %, glaze 89 %"
    assert told["money"] == "pieces sold 5, sold for 3450.00 DKK"


def test_editions_without_a_mold_in_use_share_the_shelf_below_those_with_some(sample):
    bays = re.findall(
        r'class="bay( bare)?" aria-labelledby="bay-([a-z-]+)"', sample.get("/shelf").text
    )
    assert bays == [("", "fern-jug"), (" bare", "gale-flask"), (" bare", "moth-dish")]


def test_of_a_closed_edition_nothing_more_is_made_and_what_is_left_can_be_sold(sample):
    page = sample.get("/editions/moth-dish").text

    assert "When it will be finished" not in page
    assert words_of(page)["17"] == "gone"
    acts = {one for n in range(1, 25) for one in acts_of(page, n)}
    assert {"sell", "ship", "break"} <= acts
    assert not {"mark", "again", "again shown"} & acts


def test_a_number_lost_after_the_closing_can_be_settled(own):
    own.do("break", edition="moth-dish", pieces="24")
    page = own.get("/editions/moth-dish").text
    assert acts_of(page, "24") == ["settle"]
    told = {"edition": "moth-dish", "back": "/editions/moth-dish", "settle.why": "the mold is gone"}
    answer = posted(own, "settle", {"numbers": "24"}, **told)

    assert answer.status_code == 303
    assert words_of(own.get("/editions/moth-dish").text)["24"] == "settled"


def test_a_number_has_its_story(sample):
    page = plain(sample.get(JUG + "/numbers/9").text)

    assert "9/36" in page
    assert "shard in box 2" in page
    assert "Make again" in page
    assert "Lost to warp" in page
    assert page.index("marked.") < page.index("8 of 9 pieces good, glaze firing")
    assert "P-000" not in page


def test_a_wrong_number_is_corrected_for_one_piece_of_several(own):
    own.do("mark", edition="fern-jug", numbers="30, 31")
    was = own.get(JUG + "/numbers/30").text
    refused = own.post(JUG + "/numbers/30", {"number": "5", "id": "w-1"})
    answer = own.post(JUG + "/numbers/30", {"number": "34", "id": "w-2"})
    own.cookies = {"pourwright_said": answer.cookies["pourwright_said"]}
    page = own.get(answer.headers["location"]).text

    assert was.count("Wrong number") == 1
    assert (refused.status_code, answer.status_code) == (422, 303)
    assert "5/36" in plain(refused.text)
    assert "<h1>34/36</h1>" in page
    assert ">Undo<" in page
    assert "34/36 and 31/36 marked" in plain(page)
    assert words_of(own.get(JUG).text)["30"] == "to make"
    assert words_of(own.get(JUG).text)["31"] != "to make"


def test_a_broken_piece_and_its_replacement_are_both_told(sample):
    page = plain(sample.get("/editions/moth-dish/numbers/11").text)

    assert "bore it" in page
    assert "bears it now" in page
    assert "shard in box 1" in page


def test_a_number_that_broke_at_its_buyer_is_made_again_while_it_may_be_claimed(own):
    own.do("break", edition="fern-jug", pieces="3")
    own.do("break", edition="fern-jug", pieces="2", evidence="photo of the buyer")
    page = own.get(JUG + "/numbers/3").text
    tray = own.get(JUG).text

    assert re.search(r"Its buyer may claim another until \w+ \d+ \w+", plain(page))
    assert "What shows that it is lost" in plain(page)
    assert acts_of(tray, "3") == ["again shown"]
    assert acts_of(tray, "2") == ["again shown", "again"]
    (form,) = (one for one in Page(page).forms if "mark.evidence" in one.fields)
    told = form.standing() | {"mark.evidence": "photo of the buyer", "id": "w-1"}
    assert own.post("/do/mark", told).status_code == 303
    assert words_of(own.get(JUG).text)["3"] == "bisque"
    with own.app.state.desk.book.reading() as reading:
        late = feet(reading.things, "fern-jug", "numbered", date(2100, 1, 1))
    assert late[1].acts == ()


def test_a_proof_and_a_number_that_nobody_bears_have_pages(sample):
    assert "AP 2/3" in plain(sample.get(JUG + "/numbers/AP2").text)
    page = plain(sample.get(JUG + "/numbers/36").text)
    assert "No piece bears it yet" in page


@pytest.mark.parametrize("n", ["0", "37", "AP9", "x", "1e3", "%00", HOSTILE, "9" * 400])
def test_a_number_that_is_none_has_no_page(n, sample):
    assert sample.get(f"{JUG}/numbers/{n}").status_code == 404


@pytest.mark.parametrize("rest", ["", "/plan", "/what-if", "/numbers/1"])
def test_an_edition_that_is_not_there_has_no_page(rest, sample):
    assert sample.get("/editions/no-such" + rest).status_code == 404


def test_the_plan_is_worked_out_once_and_then_stands_on_the_page(own):
    assert "data-wait" in own.get(JUG).text
    plan = own.get(JUG + "/plan")
    assert plan.status_code == 200
    assert "What limits" in plain(plan.text)
    page = plain(own.get(JUG).text)

    assert "What limits" in page
    assert "Pieces finished over time" in page
    assert "Still to be spent" in page

    own.do("note", edition="fern-jug", text="something was written")
    assert "data-wait" in own.get(JUG).text


def test_a_plan_that_several_pages_wait_for_is_worked_out_once(own, monkeypatch):
    calls = []

    def call(*given, **named):
        calls.append(given)
        sleep(0.2)
        return NoPlan("none")

    monkeypatch.setattr(own.app.state.desk.worker, "call", call)
    with ThreadPoolExecutor(3) as pool:
        found = list(pool.map(own.app.state.desk.plan_now, ["fern-jug"] * 3))

    assert found == [NoPlan("none")] * 3
    assert len(calls) == 1


def test_the_fan_is_drawn_with_words_and_a_table_in_the_pages_own_colors(sample):
    """The plan's page draws the others too, each once and as narrow as a phone."""
    plan, page = (sample.get(path).text for path in (JUG + "/plan", JUG))
    alts = re.findall(r'role="img" aria-label="([^"]+)"><svg', page)

    assert any("at even odds by" in one for one in alts)
    assert page.count("<svg xmlns") == len(alts) == 2
    assert plan.count("<svg xmlns") > 3
    assert "var(--glaze)" in page
    assert "The same in numbers" in page


def test_what_if_shows_both_beside_one_another(sample):
    """What is as planned stands in the fields; a mold more stands on its shelf in the other material."""
    planned = sample.get(JUG + "/what-if").text
    wished = sample.get(JUG + "/what-if?molds=5&pieces=36&hours=6+h").text

    assert 'name="molds" value="4"' in planned
    assert 'name="hours" value="5 h"' in planned
    assert "as planned" in plain(planned)
    form = Page(planned).forms[-1]
    again = sample.get(
        f"{JUG}/what-if?{urlencode({one.name: one.value for one in form.fields.values()})}"
    )
    assert "5 what if" in wished
    assert "4 what if" not in again.text, "what stands in its fields is no wish"
    assert (planned.count('<i class="added">'), wished.count('<i class="added">')) == (0, 1)
    then = r"Even odds by \w{3} \d+ \w{3} \d{4}, (\d+ days? (later|sooner) than|the day that is) planned"
    assert re.search(then, plain(wished))
    assert re.search(r"As planned 4 .* What if 5 ", plain(wished))


def test_what_if_shows_the_molds_that_another_size_takes(sample):
    """Two are planned for twenty pieces; eighty take more, twenty take two again, and a wish stays."""
    asked = "/editions/gale-flask/what-if"

    def told(page, **changed):
        form = Page(page.text).forms[-1]
        return {one.name: one.value for one in form.fields.values()} | changed

    planned = sample.get(asked)
    more = sample.get(asked, params=told(planned, pieces="80"))
    less = sample.get(asked, params=told(more, pieces="20"))
    held = sample.get(asked, params=told(more, molds="2"))
    kept = sample.get(asked, params=told(held, pieces="60"))
    molds = [told(page)["molds"] for page in (planned, more, less, held, kept)]

    assert int(molds[1]) > 2
    assert f"Molds in use at once {molds[1]} 2 as planned" in plain(more.text)
    assert [molds[0], *molds[2:]] == ["2", "2", "2", "2"]
    assert "Molds in use at once 2 Casts" in plain(held.text)


def test_what_if_refuses_what_cannot_be_with_the_values_kept(sample):
    asked = f"{JUG}/what-if?molds=2&pieces=40&deadline=2020-01-01&hours={HOSTILE}"
    answer = sample.get(asked)

    assert answer.status_code == 422
    assert HOSTILE not in answer.text
    assert 'value="2020-01-01"' in answer.text
    assert "it must be after today" in answer.text
    assert 'id="e-hours"' in answer.text


def test_what_if_keeps_to_what_stands_already(sample):
    few = sample.get(JUG + "/what-if?molds=2")
    size = sample.get(JUG + "/what-if?pieces=40")

    assert few.status_code == size.status_code == 422
    assert "so many stand already" in few.text
    assert "a piece bearing /36 is marked, so it stays 36" in size.text


def test_a_brief_that_is_gone_is_said(own):
    (own.app.state.desk.folder / "editions" / "fern-jug.toml").unlink()
    for rest in ("", "/plan", "/what-if"):
        assert "No brief of this edition" in own.get(JUG + rest).text


def test_hostile_names_are_text(own):
    own.do("plan-edition", edition="odd-one", name=HOSTILE, pieces=3)
    for path in ("/editions", "/editions/odd-one", "/editions/odd-one/numbers/1"):
        page = own.get(path).text
        assert HOSTILE not in page
        assert "&lt;script&gt;" in page


def test_a_number_is_made_again_only_where_a_piece_can_take_it(own):
    told = {"edition": "odd-one"}
    own.do("plan-edition", **told, pieces=3, marked="leather-hard")
    own.do("declare", **told)
    own.do("pour", **told, count=1)
    with own.app.state.desk.book.reading() as reading:
        (label,) = [entry.body["made"][0] for entry in reading.latest(1, kinds=("molds-poured",))]
    own.do("cast", **told, molds=label, each=2, conditioned=0, go_on=True)
    own.do("mark", **told, numbers="1")
    assert "Mark 2 on the next feet" in own.get("/editions/odd-one").text
    own.do("lose", **told, pieces="1", cause="break")
    page = own.get("/editions/odd-one").text
    assert "on the next feet" not in page, "the last piece is for the number that is owed"
    assert acts_of(page, "1") == ["again shown", "settle"], "nothing shows the loss yet"
    assert "Mark it again" in own.get("/editions/odd-one/numbers/1").text

    own.do("mark", **told, numbers="2")
    missing = "o unmarked greenware piece is free; once one is, it can be made again."
    for page in (own.get("/editions/odd-one").text, own.get("/editions/odd-one/numbers/1").text):
        assert missing in page
    assert acts_of(own.get("/editions/odd-one").text, "1") == ["settle"]
    assert "Mark it again" not in own.get("/editions/odd-one/numbers/1").text


def test_of_many_lost_numbers_the_rest_is_counted_and_named(own):
    for n in (5, 6, 8, 10, 11):
        own.do("break", pieces=str(n), edition="fern-jug")
    steps = own.get(JUG).text.partition('data-live="steps"')[2].partition("</section>")[0]

    assert "4 is lost: make it again" in plain(steps)
    assert "and 4 more: 8, 9, 10 and 11" in plain(steps)


def test_once_an_edition_is_closed_only_what_is_here_is_left():
    shapes = ("none", "lost", "raw", "done", "sold", "gone", "away", "given", "settled")
    numbers = [Foot(shape, shape, shape, "") for shape in shapes]
    left = {
        is_closed: [one.label for one in left_here(numbers, is_closed=is_closed)]
        for is_closed in (False, True)
    }

    assert left == {
        False: ["none", "lost", "raw", "done", "sold"],
        True: ["raw", "done", "sold"],
    }


def test_the_end_of_an_edition_stands_on_one_page(own):
    assert f'href="{JUG}/end"' in own.get(JUG).text
    page = plain(own.get(JUG + "/end").text)
    assert (
        page.index("Cannot be closed yet")
        < page.index("The last pieces")
        < page.index("Not finished: 14/36, 15/36")
    )
    assert "F-005 master of the left half" in page
    assert "None of it may be destroyed yet" in page
    assert "Destroy the molds" not in page
    # three that were shipped stand no more on the shelf; four molds and four forms do
    shown = own.get(JUG + "/end").text
    before = shown.partition('id="close-title"')[2].partition("</section>")[0]
    assert re.findall(r'<a href="([^"]+)"', before)[-2:] == [
        "/kiln",
        "/do/keep-form?edition=fern-jug",
    ]
    assert shown.count('class="foot-small"') == 36 - 3
    assert (shown.count('class="block block-dry"'), shown.count('class="block"')) == (4, 4)

    closed = plain(own.get("/editions/moth-dish/end").text)
    assert "Closed at 24 of 24" in closed
    assert "A photo that it cannot be used again is missing of" in closed
