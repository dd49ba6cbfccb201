"""The kiln: loads to build, what stands in it, the firing log."""

import re
from urllib.parse import parse_qs, urlparse

from pourwright.studio.records import last_lines
from tests.web.pages import Field, Page
from tests.web.sample import HOSTILE, plain
from tests.web.sample import own as own
from tests.web.sample import sample as sample


def test_what_stands_in_the_kiln_can_be_opened(own):
    page = own.get("/kiln").text
    assert "L-010" in plain(page)
    own.do("unload", edition="fern-jug", load="L-010", cones="6 down")
    page = plain(own.get("/kiln").text)

    assert "Nothing stands in a kiln" in page
    assert re.search(r"L-010 \w+ .* 6 of 6 good Fern jug, glaze, 6 pieces 6 down", page)


def dark(page):
    """Return the words of the actions that are dark on the kiln's page."""
    main = page[page.index("<main") : page.index("</main>")]
    return re.findall(r'<(?:a|button) class="button"[^>]*>([^<]*)<', main)


def test_one_action_is_dark_and_it_is_what_is_to_be_done_now(own):
    """A cold load is opened, what came out is looked at, ware is glazed before it is fired."""
    page = own.get("/kiln").text
    assert dark(page) == ["Open L-010"]
    own.do("unload", edition="fern-jug", load="L-010")
    page = own.get("/kiln").text
    assert dark(page) == ["Inspect Fern jug"]
    assert page.index("To inspect") < page.index("Loads to build")
    own.do("finish", edition="fern-jug")
    assert dark(own.get("/kiln").text) == ["Close this load"]  # the bisque, 10 of 16
    own.do("load", edition="fern-jug", firing="bisque", count=10)
    page = own.get("/kiln").text
    assert dark(page) == []  # it fires: nothing is to be opened, and the kiln is not free
    assert re.search(r"L-011 .*, cold from \w+ \d+", plain(page))
    own.do("unload", edition="fern-jug", load="L-011")
    assert dark(own.get("/kiln").text) == ["It is glazed"]
    own.do("glaze", edition="fern-jug", count=9, go_on=True)
    assert dark(own.get("/kiln").text) == ["Close this load"]


def loads_to_build(page):
    """Return the fields that each load's link fills in, by firing."""
    links = re.findall(r'href="(/do/load\?[^"]+)"', page)
    fields = [parse_qs(urlparse(one.replace("&amp;", "&")).query) for one in links]
    return {one["firing"][0]: {name: value[0] for name, value in one.items()} for one in fields}


def test_a_load_is_built_from_what_is_ready(sample):
    page = sample.get("/kiln").text
    found = loads_to_build(page)

    assert "10 of the 16 that a load holds" in page
    assert "3 of the 9 that a load holds" in page
    assert (found["bisque"]["count"], found["bisque"]["edition"]) == ("10", "fern-jug")
    assert (found["glaze"]["count"], found["glaze"]["pieces"]) == ("2", "22")
    assert page.count("place-full") == 6 + 10 + 3  # six stand in the kiln
    assert page.count("place-free") == 6 + 6


def test_a_load_that_was_opened_stands_as_it_came_out(sample):
    """L-009: nine glazed pieces, one of them warped, cone 6 down and 7 soft."""
    load = sample.get("/kiln").text.partition(">L-009</a>")[2].partition("</li>")[0]

    assert (load.count("place-fired"), load.count("place-lost")) == (8, 1)
    assert "8 of 9 good, lost 1 warp" in load
    assert re.findall(r'data-state="(\w+)"', load) == ["down", "soft"]
    assert "6 down 7 soft" in plain(load.partition('class="cones-seen">')[2])


def test_the_load_that_is_offered_is_taken(own):
    fields = loads_to_build(own.get("/kiln").text)["glaze"]
    answer = own.post("/do/load", fields | {"id": "l-1"})

    assert (answer.status_code, answer.headers["location"]) == (303, "/kiln")
    body = own.entries("load-closed")[-1]
    assert (body["count"], len(body["pieces"])) == (2, 1)


def test_ware_cast_today_is_damp_and_does_not_go_in(own):
    own.do("cast", edition="fern-jug", molds="4-6", lot="S-003")
    page = own.get("/kiln").text

    assert "3 pieces of the last days still damp; damp ware bursts" in page
    assert loads_to_build(page)["bisque"]["count"] == "10"
    assert page.count("place-damp") == 3


def test_a_full_load_and_what_is_left_over(own):
    for _ in range(4):
        own.do("cast", edition="fern-jug", molds="4-6", at="2026-01-05", go_on=True)
    page = own.get("/kiln").text

    assert "A full load of 16, and 6 left over" in page
    assert loads_to_build(page)["bisque"]["count"] == "16"


def test_the_cautions_stand_beside_it(sample):
    page = sample.get("/kiln").text

    assert "Damp ware bursts." in page
    assert "A kiln at work." in page


def test_only_a_bisque_load_warns_of_damp_ware(own):
    own.do("cast", edition="fern-jug", molds="4-6", at="2026-01-05", go_on=True)
    for firing in ("bisque", "glaze"):
        load = own.do("load", edition="fern-jug", firing=firing, count=1, go_on=True)
        page = own.get(f"/kiln/{load.made[0]}").text

        assert ("Damp ware bursts." in page) == (firing == "bisque")


def test_hostile_cones_are_text(own):
    own.do("unload", edition="fern-jug", load="L-010", cones=HOSTILE)
    page = own.get("/kiln").text

    assert HOSTILE not in page
    assert "&lt;script&gt;" in page


def test_a_load_is_closed_or_glazed_where_it_stands(own):
    (fields,) = (
        one.standing()
        for one in Page(own.get("/kiln").text).forms
        if one.fields.get("load.firing", Field("", "")).value == "glaze"
    )
    assert (fields["count"], fields["pieces"]) == ("2", "22")
    assert own.post("/do/glaze", fields | {"id": "g-1"}).status_code == 303
    assert own.post("/do/load", fields | {"id": "l-1", "count": "1"}).status_code == 303
    body = own.entries("load-closed")[-1]
    assert (body["firing"], body["count"], len(body["pieces"])) == ("glaze", 1, 1)


def test_fired_ware_is_inspected_piece_by_piece(own):
    shown = own.get("/kiln").text
    assert 'href="/kiln/inspect/fern-jug"' in shown
    assert "2 pieces fired and not inspected: 14 and 15" in plain(shown)
    names = re.findall(r'<select name="([^"]+)"', own.get("/kiln/inspect/fern-jug").text)
    assert names == ["14", "15"]
    answer = own.post("/kiln/inspect/fern-jug", {"id": "f-1", "15": "chip"})

    assert answer.status_code == 303
    body = own.entries("ware-finished")[-1]
    assert (len(body["pieces"]), [*body["lost_pieces"].values()]) == (1, ["chip"])
    assert "To inspect" not in own.get("/kiln").text
    again = own.get("/kiln/inspect/fern-jug")
    assert (again.status_code, again.headers["location"]) == (303, "/kiln")
    assert own.get("/kiln/inspect/no-such").status_code == 404


def test_a_load_that_is_not_cold_warns_and_has_no_dark_act(own):
    assert "It may be hot" not in own.get("/kiln/L-010").text
    own.do("load", edition="fern-jug", firing="bisque", count=10)
    page = own.get("/kiln/L-011").text

    assert re.search(r"It may be hot\. L-011 counts as cold from \w+ \d+ ", plain(page))
    assert '<button class="button">' not in page
    assert own.post("/kiln/L-011", {"id": "u-1", "load": "L-011"}).status_code == 303


def test_what_cannot_be_taken_back_leads_to_what_stands_against_it(own):
    log = own.get("/kiln").text.partition('id="log-title"')[2]
    (undo,) = re.findall(r'action="(/records/[0-9]+/undo)"', log)
    page = own.post(undo, {"id": "b-1", "back": "/kiln"}).text

    (entry,) = re.findall(r"Entry (\d+) \(finish", plain(page))
    assert f'href="/records/{entry}">Entry {entry}<' in page


def test_a_load_is_opened_piece_by_piece(own):
    page = own.get("/kiln/L-010").text
    names = re.findall(r'<select name="([^"]+)"', page)
    answer = own.post("/kiln/L-010", {"id": "o-1", names[0]: "crawl", "cones": "6 down"})

    assert len(names) == 6
    assert answer.status_code == 303
    body = own.entries("load-opened")[-1]
    assert [*body["lost_pieces"].values(), body["cones"]] == ["crawl", "6 down"]
    assert (
        own.post("/kiln/L-010", {"id": "o-1", names[0]: "crawl", "cones": "6 down"}).status_code
        == 303
    )
    assert len(own.entries("load-opened")) == len({*map(str, own.entries("load-opened"))})
    assert "L-010 was opened already" in plain(own.get("/kiln/L-010", follow_redirects=True).text)

    log = own.get("/kiln").text.partition('id="log-title"')[2]  # from the bench: Kiln, Take it back
    (undo,) = re.findall(r'action="(/records/[0-9]+/undo)"', log)
    assert own.post(undo, {"id": "b-1", "back": "/kiln"}).status_code == 303
    assert "L-010 was not closed" in plain(own.get("/kiln").text)  # it stands in the kiln again
    assert own.post("/kiln/L-010", {"id": "o-2", "cones": "6 down"}).status_code == 303
    log = plain(own.get("/kiln").text.partition('id="log-title"')[2])
    assert log.count("5 of 6 good") + log.count("6 of 6 good") == 1, (
        "what was taken back is no firing"
    )


def test_what_phones_see_of_a_load_counts_and_what_comes_late_is_counted_in(own):
    def see(piece, cause, by):
        what = {"edition": "fern-jug", "what": f"L-010, P-000{piece}", "step": "lost"}
        return own.do("start-step", **what, cause=cause, by=by)

    see(47, "crawl", "wheel room")
    with own.app.state.desk.book.reading() as reading:
        assert "Seen at the kiln" in last_lines(reading, "UTC", 1, "fern-jug")[0]
    assert re.search(r"opened at [0-9:]+; 1 seen lost so far", plain(own.get("/kiln").text))
    seen = own.get("/kiln/L-010").text
    assert seen.count('<option value="">good') == 5
    assert seen.count('<option value="crawl" selected>') == 1
    assert own.post("/kiln/L-010", {"id": "o-1", "cones": "6 down"}).status_code == 303
    assert own.entries("load-opened")[-1]["lost_pieces"] == {"P-00047": "crawl"}

    see(48, "dunt", "kiln")
    assert re.search(r"without it: 18/36, dunt, by kiln at", plain(own.get("/kiln").text))
    assert own.post("/kiln/L-010/late", {"id": "o-2"}).status_code == 303
    assert "5 of 6" not in plain(own.get("/kiln").text)
    see(49, "dunt", "kiln")
    assert "without 19/36, seen lost" in own.get("/").text
    assert "without 18/36" not in own.get("/").text, "it is counted"
    assert own.post("/kiln/L-010/late", {"id": "o-3", "good": "yes"}).status_code == 303
    assert "without 19/36" not in own.get("/").text, "it was taken back"
    page = plain(own.get("/kiln").text)
    assert re.search(
        r"L-010 \w+ .* 4 of 6 good, lost 1 crawl, 1 dunt Fern jug, glaze, 6 pieces 6 down", page
    )
    assert "not counted" not in page


def test_a_loss_that_is_taken_back_after_the_count_is_counted_good_or_kept(own):
    """One marked piece and one of two unmarked ones were marked in error, on a phone that was away."""
    own.do("load", edition="fern-jug", firing="bisque", count=4)
    lost = {"P-00047": "crawl", "P-00048": "dunt"}
    taps = {}
    for load, marks in (("L-010", lost), ("L-011", {"unmarked 1": "crack", "unmarked 2": "crack"})):
        for piece, cause in marks.items():
            what = {"edition": "fern-jug", "what": f"{load}, {piece}", "step": "lost"}
            own.do("start-step", **what, cause=cause)
            taps[piece] = what | {"undoes": f"c-{own.count}"}
        assert own.post(f"/kiln/{load}", {"id": f"open {load}"}).status_code == 303
    assert "good again" not in own.get("/kiln").text
    for piece in ("P-00047", "unmarked 1"):
        own.do("undo-step", **taps[piece])

    page = plain(own.get("/kiln").text)
    assert "taken back: 17/36, crawl. Count it good" in page
    assert "taken back: an unmarked piece, crack. Count it good" in page
    assert own.post("/kiln/L-010/again", {"id": "g-1"}).status_code == 303
    assert own.post("/kiln/L-011/again", {"id": "g-2", "lost": "yes"}).status_code == 303
    page = plain(own.get("/kiln").text)
    assert re.search(r"L-010 \w+ .* 5 of 6 good, lost 1 dunt Fern jug, glaze, 6 pieces", page)
    assert re.search(r"L-011 \w+ .* 2 of 4 good, lost 2 crack Fern jug, bisque, 4 pieces", page)
    assert "taken back" not in page


def test_a_kiln_that_is_not_off_is_taken_back(own):
    own.do("load", edition="fern-jug", firing="bisque", count=4)
    own.do("start-step", edition="fern-jug", what="L-011", step="off")
    assert re.search(r"off at [0-9:]+", plain(own.get("/kiln").text))
    (form,) = (one for one in Page(own.get("/kiln").text).forms if one.action == "/do/undo-step")
    assert own.post(form.action, form.standing()).status_code == 303

    page = own.get("/kiln").text
    assert not re.search(r"off at [0-9:]+", plain(page))
    assert ">It is off<" in page


def test_a_load_that_is_refused_keeps_what_was_pressed(own):
    (name, *_) = re.findall(r'<select name="([^"]+)"', own.get("/kiln/L-010").text)
    answer = own.post("/kiln/L-010", {"id": "o-1", name: "dropped by the cat", "cones": "6 down"})

    assert answer.status_code == 422
    assert 'value="6 down"' in answer.text
    assert '<option value="dropped by the cat" selected>' in answer.text
    assert own.entries("load-opened")[-1].get("load") != "L-010"

    fields = {"id": "o-2", name: "dropped by the cat", "go_on": "yes"}
    assert 'name="go_on" value="yes"' in answer.text
    assert own.post("/kiln/L-010", fields).status_code == 303


def test_a_load_may_be_lost_to_a_crack_and_to_a_cause_of_the_studio(own):
    own.do("lose", edition="fern-jug", stage="greenware", lost="1 glaze drip", go_on=True)
    page = own.get("/kiln/L-010").text
    offered = re.findall(r'<option value="([^"]+)"', page)

    assert {"crack", "dunt", "break", "glaze drip"} <= set(offered)
    assert "stuck" not in offered
