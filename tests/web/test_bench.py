"""Both benches by plain forms, without a script."""

import re
from datetime import date, timedelta
from urllib.parse import unquote
from zoneinfo import ZoneInfo

import pytest

from pourwright.errors import Asks
from pourwright.report.saying import day_in_week
from pourwright.studio.bench.pour_day import laid_out, next_pour
from tests.bench_studio import EDITION
from tests.plans import block_mold_plan, sample_plan
from tests.web.bench_fixtures import bench as bench
from tests.web.pages import Page
from tests.web.sample import own as own
from tests.web.sample import plain

MOLDS = ["M-001", "M-002", "M-003"]
HOSTILE = "<script>alert(1)</script>\"'&"


def forms(text, card):
    """Return action and fields of the forms that are shown in a card."""
    found = re.search(rf'<article class="mold" id="card-{card}".*?</article>', text, re.DOTALL)[0]
    phase = re.search(r'data-phase="([a-z]+)"', found)[1]
    panels = re.split(r'(?=<div class="(?:phase|more-sheet)")', found)
    here = [one for one in panels if f'class="phase" data-phase="{phase}"' in one]
    sheet = [one for one in panels if one.startswith('<div class="more-sheet" popover id="more-M')]
    of_others = rf'<(div|form)[^>]* data-of="(?![^"]*\b{phase}\b)[^"]*".*?</\1>'
    shown = "".join(here) + re.sub(of_others, "", "".join(sheet), flags=re.DOTALL)
    return [
        (action, dict(re.findall(r'name="([^"]+)" value="([^"]*)"', body)))
        for action, body in re.findall(r'<form method="post" action="([^"]+)"(.*?)</form>', shown, re.DOTALL)
    ]  # fmt: skip


def press(bench, card, place=0, path="/bench/slip"):
    action, fields = forms(bench.get(path).text, card)[place]
    answer = bench.post(action, fields)
    assert answer.status_code == 303, answer.text
    assert answer.headers["location"] == path
    return fields


def test_the_bench_leads_to_both_benches(bench):
    page = bench.get("/bench").text

    assert 'href="/bench/slip"' in page
    assert 'href="/bench/plaster"' in page
    assert "3 at rest" in page


def test_a_cast_goes_through_its_phases_by_forms_alone(bench):
    taken = [press(bench, "M-002").get("step") for _ in range(2)]
    taken += [press(bench, "M-002", 1)["step"]]  # who times every step
    taken += [press(bench, "M-002")["step"]]
    press(bench, "M-002")

    assert taken == ["fill", "drain", "stiffen", "open"]
    (cast,) = bench.entries("casts-made")
    assert cast["molds"] == ["M-002"]
    assert press(bench, "M-002", 1)["step"] == "fettle"
    press(bench, "M-002")
    assert [one["step"] for one in bench.entries("step-ended")] == ["fettle"]
    assert forms(bench.get("/bench/slip").text, "M-002")[0][1]["what"] == "M-002 cast 2"


def test_a_loss_is_told_by_its_cause(bench):
    for _ in range(3):
        press(bench, "M-001")
    action, fields = forms(bench.get("/bench/slip").text, "M-001")[1]
    assert 'name="lost" value="1 stuck"' in bench.get("/bench/slip").text
    assert bench.post(action, fields | {"lost": "1 stuck"}).status_code == 303

    assert bench.entries("casts-made")[0]["lost"] == {"stuck": 1}


def test_a_cast_in_a_full_mold_is_given_up_before_its_part_breaks(bench):
    """The question sends to the bench, so the way out is there."""
    press(bench, "M-001")
    with pytest.raises(Asks, match="at the slip bench"):
        bench.do("break-part", mold=1, part="foot")
    to_bench = 'href="/bench/slip">Say it at the slip bench'
    assert to_bench not in bench.get("/do/break-part?mold=M-001").text
    asked = bench.post("/do/break-part", {"id": "b", "mold": "M-001", "part": "foot"})
    assert (asked.status_code, asked.text.count(to_bench)) == (422, 1)
    given_up = [
        one for one in forms(bench.get("/bench/slip").text, "M-001") if one[0] == "/do/cast"
    ]
    ((action, fields),) = given_up
    page = bench.get("/bench/slip").text
    assert "The cast is given up, its slip poured out" in page
    assert re.findall(r'value="1 break"[^>]*>(.*?)<', page)[0] == "The cast broke"
    broke = f"/do/break-part?edition={EDITION}&amp;mold=M-001&amp;back=/bench/slip"
    assert f'<a class="button quiet" href="{broke}">A part broke, or the mold</a>' in page  # always
    assert bench.get("/do/break-part?mold=M-001&back=/bench/slip").status_code == 200
    assert bench.post(action, fields | {"lost": "1 break"}).status_code == 303

    bench.do("break-part", mold=1, part="foot")
    assert bench.entries("casts-made")[0]["lost"] == {"break": 1}
    assert "1 cast of M-001: 0 good, lost 1 break." in plain(bench.get("/records").text)


def taken_back(bench, card, path):
    """Take back what a card shows, by the button that is there for it."""
    (fields,) = (
        fields for action, fields in forms(bench.get(path).text, card) if action == "/do/undo-step"
    )
    assert bench.post("/do/undo-step", fields).status_code == 303
    return forms(bench.get(path).text, card)[0][1]["step"]


def test_a_tile_pressed_in_error_is_taken_back_long_after(bench):
    press(bench, "M-001")
    press(bench, "M-001")
    assert taken_back(bench, "M-001", "/bench/slip") == "drain"
    assert taken_back(bench, "M-001", "/bench/slip") == "fill"
    assert "/do/undo-step" not in [
        action for action, _ in forms(bench.get("/bench/slip").text, "M-001")
    ]


def test_one_undo_takes_back_what_two_phones_pressed_as_one_act(bench):
    of = {"edition": EDITION, "what": "M-001 cast 1", "step": "fill"}
    count = iter(range(100))

    def tap(by, undoes="", **told):
        command = {"do": "undo-step", "undoes": undoes} if undoes else {"do": "start-step"}
        command |= {"id": f"t-{next(count)}", "by": by, **of, **told}
        answer = bench.post("/api/commands", json=command).json()
        assert answer["ok"]
        return command["id"], answer["said"]

    def phase():
        return re.search('id="card-M-001".*?data-phase="([a-z]+)"', bench.get("/bench/slip").text)[
            1
        ]

    first, _ = tap("kiln")
    tap("wheel room")
    undo, said = tap("kiln", first)
    assert said.endswith("The same tap by wheel room is taken back with it.")
    assert (phase(), len(bench.entries("step-voided"))) == ("idle", 2)

    tap("wheel room")  # it is filled now: the same undo, sent again, does not touch it
    tap("kiln", first, id=undo)
    assert phase() == "fill"

    late, _ = tap("kiln")
    tap("kiln", late, age_s=60)  # it was away, and did not know of the other's
    assert phase() == "fill"


def test_what_was_written_last_of_a_mold_is_taken_back_in_three_taps_long_after(bench):
    """More of the tile, its page, and there the press: the cast is out of the book."""
    bench.do("cast", edition=EDITION, molds="1, 2")
    assert 'href="/shelf/M-001"' in bench.get("/bench/slip").text
    page = bench.get("/shelf/M-001").text
    assert "Last written: 2 casts: 2 good. In M-001 and M-002." in plain(page)
    fields = {"id": "back-1", "back": "/shelf/M-001"}
    (undo,) = re.findall(r'action="(/records/[0-9]+/undo)"', page)
    assert bench.post(undo, fields).headers["location"] == "/shelf/M-001"
    after = plain(bench.get("/shelf/M-001").text)
    assert "Last written: M-001, M-002 and M-003 dry." in after  # what is taken back is passed over


def test_a_batch_that_breaks_when_it_is_opened_failed_and_each_end_is_taken_back(bench):
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
    key, path = f"batch-1-{EDITION}", "/bench/plaster"
    told = [press(bench, key, path=path).get("scratched_in") for _ in range(3)]
    assert told == [None, "M-004", None]  # the label stays with the batch from its pour on
    assert taken_back(bench, key, path) == "open"
    press(bench, key, path=path)
    ((_, fields), *_) = forms(bench.get(path).text, key)
    failed = fields | {"step": "failed: broke when it was opened"}
    assert bench.post("/do/start-step", failed).status_code == 303
    assert 'data-phase="failed"' in bench.get(path).text
    assert "Batch 1 did not fail" in plain(bench.get(path).text)
    (undo,) = (fields for action, fields in forms(bench.get(path).text, key) if "undo" in action)
    bench.post("/do/undo-step", undo)
    assert "Batch 1 is not open yet" in plain(bench.get(path).text)


def test_the_same_tap_sent_twice_is_written_once(bench):
    action, fields = forms(bench.get("/bench/slip").text, "M-001")[0]
    for _ in range(2):
        assert bench.post(action, fields).status_code == 303

    assert len(bench.entries("step-started")) == 1


def test_topping_up_leaves_the_mold_standing(bench):
    press(bench, "M-001")
    assert press(bench, "M-001", 1)["step"] == "top up 1"
    assert press(bench, "M-001", 1)["step"] == "top up 2"

    assert forms(bench.get("/bench/slip").text, "M-001")[0][1]["step"] == "drain"


def test_the_next_topping_up_is_told_by_the_studios_own_casts(bench):
    press(bench, "M-001")
    assert "Top up at about" not in bench.get("/bench/slip").text

    for step, at in [("fill", "10:00"), ("top up 1", "10:06"), ("top up 2", "10:14")]:
        what = {"edition": EDITION, "what": "M-002 cast 1", "step": step}
        bench.do("start-step", **what, at=f"2026-03-02T{at}:00+01:00")
    zone = ZoneInfo("Europe/Copenhagen")

    def due():
        return re.findall(r"Top up at about (\d\d:\d\d), as in 1 before", forms_of(bench, "M-001"))

    filled = bench.steps()["M-001 cast 1", "fill"].astimezone(zone)
    assert due() == [f"{filled + timedelta(minutes=6):%H:%M}"]
    press(bench, "M-001", 1)
    topped = bench.steps()["M-001 cast 1", "top up 1"].astimezone(zone)
    assert due() == [f"{topped + timedelta(minutes=8):%H:%M}"]
    press(bench, "M-001", 1)
    assert due() == []


def forms_of(bench, card):
    page = bench.get("/bench/slip").text
    return re.search(rf'<article class="mold" id="card-{card}".*?</article>', page, re.DOTALL)[0]


def test_a_wall_retimes_the_molds_that_stand(bench):
    press(bench, "M-001")
    press(bench, "M-003")
    (form,) = (
        one for one in Page(bench.get("/bench/slip").text).forms if one.action.endswith("/wall")
    )
    typed = form.standing() | {"cut": "M-001", "wall": "1,0", "id": "w"}  # a comma, and no unit
    answer = bench.post("/bench/slip/wall", typed)

    assert answer.status_code == 303
    retimed = [one for one in bench.entries("step-started") if one["step"].startswith("wall")]
    assert sorted(one["what"] for one in retimed) == ["M-001 cast 1", "M-003 cast 1"]


def test_a_wall_without_a_number_is_refused_with_a_wall_for_an_example(bench):
    press(bench, "M-001")
    answer = bench.post("/bench/slip/wall", {"cut": "M-001", "wall": "thick"})

    assert "such as &#34;4.2 mm&#34;" in answer.text


@pytest.mark.parametrize("wall", ["", "thick", "900 mm", HOSTILE])
def test_a_wall_that_cannot_be_read_is_told_beside_its_field(bench, wall):
    press(bench, "M-001")
    answer = bench.post("/bench/slip/wall", {"cut": "M-001", "wall": wall})

    assert answer.status_code == 422
    assert 'id="e-wall"' in answer.text
    assert HOSTILE not in answer.text
    assert "Drain M-001" in answer.text


def test_all_but_some_are_cast(bench):
    data = {"edition": EDITION, "id": "a", "out": ["M-002"], "lost-stuck": "1", "lot": ""}
    assert bench.post("/bench/slip/cast", data).status_code == 303

    (cast,) = bench.entries("casts-made")
    assert (cast["molds"], cast["lost"]) == (["M-001", "M-003"], {"stuck": 1})


def test_what_was_cast_today_is_left_out_of_all_at_once(bench):
    bench.do("cast", edition=EDITION, molds="M-001, M-003")
    page = bench.get("/bench/slip").text
    out = [one for one in MOLDS if f'value="{one}" checked' in page]
    assert out == ["M-001", "M-003"]

    answer = bench.post(
        "/bench/slip/cast", {"edition": EDITION, "of": ", ".join(MOLDS), "out": MOLDS}
    )
    assert "Every mold is ticked as left out" in answer.text


def test_of_two_editions_only_the_one_that_is_drained_lies_open(bench):
    bench.do("plan-edition", edition="gorse-jug", pieces=4)
    bench.do("pour", edition="gorse-jug", count=1)
    bench.do("start-step", edition=EDITION, what="M-001 cast 1", step="drain")
    page = bench.get("/bench/slip").text

    assert f'id="casts-{EDITION}" open' in page
    assert 'id="casts-gorse-jug"><summary' in page
    assert page.index('id="card-M-003"') < page.index('id="card-M-004"')


@pytest.mark.parametrize("lost", ["many", "-1", "99999", HOSTILE])
def test_a_count_of_losses_that_cannot_be_read_is_told(bench, lost):
    answer = bench.post("/bench/slip/cast", {"edition": EDITION, "lost-stuck": lost})

    assert answer.status_code == 422
    assert "how many were lost: stuck" in answer.text
    assert HOSTILE not in answer.text
    assert bench.entries("casts-made") == []


def test_more_lost_than_cast_is_refused_on_the_same_page(bench):
    answer = bench.post("/bench/slip/cast", {"edition": EDITION, "lost-stuck": "7"})

    assert answer.status_code == 422
    assert "Write all casts down at once" in answer.text
    assert bench.entries("casts-made") == []


def test_a_mold_nobody_called_dry_is_asked_about_on_the_page_and_at_a_tap(bench):
    bench.do("pour", edition=EDITION, count=1)
    asked = "Nobody has called M-004 dry"
    data = {"edition": EDITION, "id": "a", "of": "M-001, M-004", "out": ["M-001"], "lot": ""}
    page = bench.post("/bench/slip/cast", data)
    tap = {"do": "cast", "id": "tap-1", "edition": EDITION, "molds": "4"}
    assert page.status_code == 422
    assert asked in plain(page.text)
    assert 'name="go_on" value="yes"' in page.text
    with pytest.raises(Asks, match=asked):
        bench.app.state.desk.do(tap)
    assert bench.entries("casts-made") == []

    assert bench.post("/bench/slip/cast", {**data, "go_on": "yes"}).status_code == 303
    (cast,) = bench.entries("casts-made")
    assert "M-004" in cast["molds"]


def test_a_mold_that_is_wet_or_gave_its_casts_today_says_so_before_it_is_filled(bench):
    now = bench.app.state.desk.now()
    bench.do("pour", edition=EDITION, count=2, at=(now - timedelta(days=2)).date().isoformat())
    bench.do("weigh", mold="M-004", mass="3.6 kg", go_on=True)

    def asks():
        page = bench.get("/bench/slip").text
        return dict(re.findall(r'data-card="(M-...)".*?data-asks="(.*?)"', page))

    wet = asks()
    assert set(wet) == {"M-004", "M-005"}
    days = [day_in_week(now.date() + timedelta(days=one - 2)) for one in (7, 14)]
    ready = f"ready between {days[0]} and {days[1]}"
    assert plain(wet["M-004"]).startswith("M-004 is not called dry (3.60 kg, dry at about ")
    assert plain(wet["M-005"]).startswith("M-005 is not called dry (not weighed yet, dry at about ")
    assert all(plain(one).endswith(f"{ready})") for one in wet.values())

    bench.do("cast", edition=EDITION, molds="1")
    assert asks()["M-001"] == "M-001 gave 1 cast today and is planned for 1 a day"
    brief = bench.app.state.desk.folder / "editions" / "reed-bowl.toml"
    text = brief.read_text("utf-8")
    brief.write_text(text.replace("life = 30", "life = 30\ncasts_a_day = 2"), "utf-8")
    assert "M-001" not in asks()
    bench.do("cast", edition=EDITION, molds="1", go_on=True)
    assert asks()["M-001"] == "M-001 gave 2 casts today and is planned for 2 a day"


def test_the_tile_of_a_broken_mold_stays_and_offers_nothing(bench):
    bench.do("break-part", mold="M-002", part="foot")
    page = bench.get("/bench/slip").text

    assert re.findall(r'<article[^>]*data-card="(M-...)"', page) == ["M-001", "M-002", "M-003"]
    tile = re.search(r'<article[^>]*data-card="M-002".*?</article>', page, re.DOTALL)[0]
    assert ">broken<" in tile
    assert "<button" not in tile
    assert "data-ready" not in tile
    assert 'name="of" value="M-001, M-003"' in page
    assert "2 at rest" in plain(bench.get("/bench").text)


# --- plaster


def test_the_sheet_of_a_batch_is_shown_with_its_start(bench):
    answer = bench.post("/bench/plaster", {"edition": EDITION, "molds": "2"})

    assert answer.status_code == 303
    page = bench.get("/bench/plaster").text
    assert "Plaster into water, batch 1" in page
    assert 'into <span class="whole">M-004</span>' in page
    assert "Plaster dust." in page


@pytest.mark.parametrize("molds", ["", "two", "41", "9" * 30, HOSTILE])
def test_a_number_of_molds_that_cannot_be_used_is_told(bench, molds):
    answer = bench.post("/bench/plaster", {"edition": EDITION, "molds": molds})

    assert answer.status_code == 422
    assert "whole number" in answer.text or "how many complete molds" in answer.text
    assert HOSTILE not in answer.text


@pytest.mark.parametrize("edition", ["", "no-such", HOSTILE])
def test_a_batch_of_no_open_edition_is_told(bench, edition):
    answer = bench.post("/bench/plaster", {"edition": edition, "molds": "1"})

    assert answer.status_code == 422
    assert HOSTILE not in answer.text


def one_session(day):
    """Return a plan that pours two batches on a day."""
    batch = {
        "session": 1,
        "volume_l": 3,
        "water_kg": 2,
        "plaster_kg": 3,
        "leftover_l": 0,
        "starts_min": 0,
    }
    parts = [{"mold": 1, "part": "outside"}, {"mold": 1, "part": "foot"}]
    return sample_plan(plaster={
        "session_list": [{"number": 1, "date": day.isoformat(), "molds": 2, "batches": 2, "length_min": 360.0}],
        "batches": [batch | {"number": n, "parts": parts} for n in (1, 2)],
    })  # fmt: skip


def test_a_session_is_named_by_its_day_and_asks_before_masters_are_made(bench, monkeypatch):
    desk, day = bench.app.state.desk, bench.app.state.desk.today() + timedelta(days=1)
    plan = one_session(day)
    monkeypatch.setattr(desk, "plan_now", lambda edition: plan)
    monkeypatch.setattr(desk, "plan_kept", lambda edition: plan)
    page = plain(bench.get("/bench/plaster").text)
    when = f"{day_in_week(day)}, 2 batches"
    assert (
        f"Not made yet: original, block mold, test casts, approval and masters. Lay out {when}"
        in page
    )

    session = {"edition": EDITION, "session": "yes"}
    asked = bench.post("/bench/plaster/day", session)
    assert asked.status_code == 422
    assert f"pours on {when}; not made yet: original" in plain(asked.text)
    assert 'name="go_on" value="yes"' in asked.text
    assert laid_out(desk.folder, desk.today()) == []

    assert bench.post("/bench/plaster/day", session | {"go_on": "yes"}).status_code == 303
    assert len(laid_out(desk.folder, desk.today())) == 2

    # the masters are made, and the plan was worked out only now: nobody has seen its day
    (desk.folder / "pour-day.toml").unlink()
    monkeypatch.setattr("pourwright.studio.bench.pour_day.not_made_yet", lambda *_: [])
    asked = bench.post("/bench/plaster/day", session | {"day": ""})
    assert f"pours on {when}. Lay the batches out for today all the same?" in plain(asked.text)
    assert bench.post("/bench/plaster/day", session | {"day": day.isoformat()}).status_code == 303
    assert len(laid_out(desk.folder, desk.today())) == 2


def test_a_session_that_would_be_refused_is_not_offered(bench, monkeypatch):
    """The plan has nothing to pour: that stands there, and what is chosen by hand is the next act."""
    plan = sample_plan(plaster={"session_list": [], "batches": []})
    monkeypatch.setattr(bench.app.state.desk, "plan_kept", lambda edition: plan)
    page = bench.get("/bench/plaster").text

    assert "has no more molds to pour. Choose below what is to be poured all the same." in plain(
        page
    )
    assert 'action="/bench/plaster/day"' not in page
    assert re.findall(r'<button class="button([^"]*)">(Lay [^<]*)<', page) == [("", "Lay them out")]


def test_the_block_mold_is_laid_out_by_the_plan_and_written_down_by_the_bench(bench, monkeypatch):
    """It is poured part by part, and nothing is typed that the plan knows."""
    desk = bench.app.state.desk
    plan = block_mold_plan(dict.fromkeys(("outside", "foot"), desk.today()))
    session = {"edition": EDITION, "session": "yes", "go_on": "yes"}

    def pressed_elsewhere(edition):
        """While the plan is worked out, another phone presses the same button."""
        monkeypatch.setattr(desk, "plan_now", lambda edition: plan)
        assert bench.post("/bench/plaster/day", session).status_code == 303
        return plan

    monkeypatch.setattr(desk, "plan_now", pressed_elsewhere)
    monkeypatch.setattr(desk, "plan_kept", lambda edition: plan)
    page = plain(bench.get("/bench/plaster").text)
    assert f"Not made yet: original. Lay out the block mold, {day_in_week(desk.today())}" in page

    assert bench.post("/bench/plaster/day", session).status_code == 303
    mold = bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
    assert mold.status_code == 303
    sheets = re.findall(r'<dl class="weights">(.*?)</dl>', bench.get("/bench/plaster").text)
    assert len(sheets) == 3  # of two parts of the block mold, and of the mold
    assert 'block mold <span class="whole">F-001</span>' in bench.get("/bench/plaster").text

    for batch in (1, 2):
        assert [
            press(bench, f"batch-{batch}-{EDITION}", path="/bench/plaster")["step"]
            for _ in range(3)
        ] == ["sift", "set", "open"]
    assert "F-001: block mold." in plain(written(bench, lot="B-001"))
    (form,) = bench.entries("form-made")
    assert (form["made"], form["what"]) == (["F-001"], "block mold")
    masses = "[0-9.]+ kg water, [0-9.]+ kg plaster"
    assert re.fullmatch(f"batch 1: {masses}; batch 2: {masses}; plaster B-001", form["note"])


def test_of_a_block_mold_the_parts_of_the_day_are_laid_out_and_it_is_whole_days_later(
    bench, monkeypatch
):
    desk = bench.app.state.desk
    monday = desk.today()
    days = {"outside": monday, "foot": monday + timedelta(days=1)}
    plan = block_mold_plan(days)
    monkeypatch.setattr(desk, "plan_now", lambda edition: plan)
    monkeypatch.setattr(desk, "plan_kept", lambda edition: plan)
    session = {"edition": EDITION, "session": "yes", "go_on": "yes"}

    def offered():
        page = plain(bench.get("/bench/plaster").text)
        return re.findall(r"Lay out the block mold, (.*?, [0-9]+ batch(?:es)?)", page)

    def lay_out_and_open(short):
        assert bench.post("/bench/plaster/day", session).status_code == 303
        for _ in range(3):
            press(bench, f"{short}-{EDITION}", path="/bench/plaster")
        return [one.name for one in laid_out(desk.folder, desk.today())]

    assert offered() == [f"{day_in_week(monday)}, 1 batch"]
    assert lay_out_and_open("batch-1") == ["batch 1: block mold, 1 of 2"]
    page = plain(bench.get("/bench/plaster").text)
    assert "Batch 1 block mold, 1 of 2: outside" in page
    assert "goes into the book whole, once part 2 is open too: nothing is to be written now" in page
    assert "write it down below" not in page
    assert "No clock runs." in plain(bench.get("/").text)
    (desk.folder / "pour-day.toml").unlink()  # it is of one day
    assert offered() == [f"{day_in_week(days['foot'])}, 1 batch"]
    plan = block_mold_plan(days, poured=("outside",))  # made again, it asks for the rest alone
    monkeypatch.setattr(desk, "plan_now", lambda edition: plan)
    monkeypatch.setattr(desk, "plan_kept", lambda edition: plan)
    assert offered() == [f"{day_in_week(days['foot'])}, 1 batch"]
    assert lay_out_and_open("batch-2") == ["batch 2: block mold, 2 of 2"]
    assert plain(bench.get("/bench/plaster").text).count("write it down below") == 2
    assert "Write batch 1 and batch 2 down" in plain(bench.get("/").text)
    assert "F-001: block mold." in plain(written(bench, lot="B-001"))


def test_parts_of_a_block_mold_that_were_to_be_poured_before_are_laid_out_with_the_days():
    days = [date(2031, 5, 5), date(2031, 5, 6), date(2031, 5, 7)]
    plan = block_mold_plan(dict(zip("abc", days, strict=True)))

    def asked(today, begun):
        pour = next_pour(plan, today, begun)
        return pour.date, pour.block

    assert asked(days[0], ()) == (days[0], (1,))
    assert asked(days[1], ()) == (days[0], (1, 2))
    assert asked(days[1], {1}) == (days[1], (2,))
    assert asked(days[1], {1, 2}) == (days[2], (3,))
    assert next_pour(plan, days[1], {1, 2, 3}) is None  # its sessions are long past


def test_a_days_weights_are_told_together_and_for_each_batch(bench):
    """A bucket of 12 l takes three molds, or 10.08 l with what is spare; so three and two."""
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "5"})
    page = bench.get("/bench/plaster").text
    sheets = re.findall(r'<dl class="weights">(.*?)</dl>', page)
    masses = [
        [float(one) for one in re.findall(r"([0-9.]+)\s*kg", plain(sheet))] for sheet in sheets
    ]
    water, plaster = (f"{sum(column):.2f}" for column in zip(*masses, strict=True))

    told = plain(
        re.search(r'<details class="aside" id="day-weights">.*?</details>', page, re.DOTALL)[0]
    )
    assert f"All {len(masses)} batches: {water} kg water, {plaster} kg plaster" in told
    assert len(masses) > 1
    for one, more in masses:
        assert f"{one:.2f} kg {more:.2f} kg" in told


def test_masters_are_asked_for_before_the_first_plaster_is_weighed_and_once(own):
    """Nothing of the flask is poured yet, and no master of it is in the book."""
    flask = {"edition": "gale-flask", "molds": "1", "id": "form-1"}
    answer = own.post("/bench/plaster", flask)
    assert answer.status_code == 422
    assert "No master of Gale flask is in the book" in plain(answer.text)
    desk = own.app.state.desk
    assert laid_out(desk.folder, desk.today()) == []
    assert own.post("/bench/plaster", flask | {"go_on": "yes"}).status_code == 303
    assert own.post("/bench/plaster", flask | {"id": "form-2"}).status_code == 303
    for one in laid_out(desk.folder, desk.today()):
        for step in ("sift", "open"):
            own.do("start-step", edition="gale-flask", what=one.name, step=step)
    typed = {"edition": "gale-flask", "writing": "yes"}
    assert own.post("/bench/plaster/write", typed).status_code == 303
    poured = [one for one in own.entries("molds-poured") if one["edition"] == "gale-flask"]
    assert poured
    assert "No master of Gale flask" in poured[0]["asked"][0]


def test_a_part_without_its_master_is_asked_about_whatever_stands_at_the_bench(bench, monkeypatch):
    """The outside has its master, the foot's was destroyed: neither another batch nor a session hides it."""
    for part in ("outside", "foot"):
        bench.do("make-form", edition=EDITION, what="master", part=part)
    bench.do("destroy-form", edition=EDITION, forms="F-002", go_on=True)
    outside = {"edition": EDITION, "part-1": "1", "id": "form-1"}
    foot = {"edition": EDITION, "part-2": "1", "id": "form-2"}
    lost = "foot has no master: F-002 was destroyed"
    assert bench.post("/bench/plaster", outside).status_code == 303
    assert lost in plain(bench.post("/bench/plaster", foot).text)
    assert bench.post("/bench/plaster", foot | {"go_on": "yes"}).status_code == 303

    desk = bench.app.state.desk
    monkeypatch.setattr(desk, "plan_now", lambda edition: one_session(desk.today()))
    (desk.folder / "pour-day.toml").unlink()
    asked = plain(bench.post("/bench/plaster/day", {"edition": EDITION, "session": "yes"}).text)
    assert "not made yet: original" in asked
    assert lost in asked


def test_parts_that_do_not_fit_are_told(bench):
    answer = bench.post("/bench/plaster", {"edition": EDITION, "part-1": "12"})

    assert answer.status_code == 422
    assert "do not fit" in answer.text


def test_a_form_that_is_sent_twice_lays_out_once(bench):
    """A wet thumb presses twice before the page has changed."""
    for n in ("1", "1", "2"):
        bench.post("/bench/plaster", {"edition": EDITION, "molds": "1", "id": f"form-{n}"})
    desk = bench.app.state.desk
    names = [one.name for one in laid_out(desk.folder, desk.today())]
    assert names == ["batch 1: 1 mold", "batch 2: 1 mold"]


def test_a_batch_goes_through_its_phases_by_forms_alone(bench):
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "2"})
    key = f"batch-1-{EDITION}"
    taken = [press(bench, key, path="/bench/plaster")["step"] for _ in range(3)]

    assert taken == ["sift", "set", "open"]
    typed = {"edition": EDITION, "writing": "yes", "came-1": "1", "lot": "B-001"}
    assert bench.post("/bench/plaster/write", typed).status_code == 303
    poured = bench.entries("molds-poured")[-1]
    assert (poured["count"], poured["lot"], poured["note"]) == (1, "B-001", "batch 1")
    assert "card-batch-1" not in bench.get("/bench/plaster").text
    assert bench.post("/bench/plaster/write", typed).status_code == 303  # back, and once more
    assert len(bench.entries("molds-poured")) == 2


def sent(bench, path, typed):
    """Send a form, and return what the page then shows."""
    answer = bench.post(path, typed)
    assert answer.status_code == 303, answer.text
    bench.cookies = {"pourwright_said": answer.cookies["pourwright_said"]}
    page = bench.get(answer.headers["location"]).text
    bench.cookies = {}
    return page


def written(bench, **typed):
    """Write the batches that are done down."""
    return sent(bench, "/bench/plaster/write", {"edition": EDITION, "writing": "yes", **typed})


def undo_of(page):
    """Return address and fields of the one button that takes back what was written last."""
    ((to, form),) = re.findall(r'action="(/records/[0-9]+/undo)".*?>(.*?)</form>', page, re.DOTALL)
    return to, dict(re.findall(r'name="([a-z]+)" value="([^"]*)"', form))


def test_one_press_takes_a_written_pour_day_back_and_it_is_written_again_under_its_labels(bench):
    """The labels are scratched in: the lot was wrong, and the molds are the same."""
    bench.do("mix-lot", what="plaster", mass="50 kg")
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
    for n, last in ((1, "open"), (2, "failed: leaked")):
        for step in ("sift", last):
            bench.do("start-step", edition=EDITION, what=f"batch {n}: 1 mold", step=step)
    for lot in ("", "B-001"):
        page = written(bench, lot=lot)
        assert "1 mold poured: M-004; 1 batch gave no mold." in plain(page)
        assert "card-batch-1" not in page
        assert bench.mold("M-004").poured_at
        page = sent(bench, *undo_of(page))
        assert bench.mold("M-004") is None
        assert "Taken back: 4 entries." in page
        assert (
            '<button class="button quiet">Write <span class="whole">M-004</span> down</button>'
            in page
        )
        assert "It is to be poured again." in page
    again = [one["body"] for one in bench.entries("entry-corrected") if not one["void"]]
    assert [one.get("lot") for one in again if one["made"]] == ["B-001"]
    desk = bench.app.state.desk
    assert desk.book.rebuild() == []
    assert desk.book.verify() == []


def test_what_followed_a_pour_keeps_it_from_being_taken_back(bench):
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
    for step in ("sift", "open"):
        bench.do("start-step", edition=EDITION, what="batch 1: 1 mold", step=step)
    page = written(bench)
    bench.do("weigh", mold="M-004", mass="6.4 kg")
    answer = bench.post(*undo_of(page))
    assert answer.status_code == 422
    assert "could then not stand" in plain(answer.text)
    assert bench.mold("M-004")
    for told in ("999", HOSTILE, "9" * 99):
        assert "there is no such entry" in bench.post("/records/9/undo", {"entries": told}).text


def test_a_batch_that_is_timed_step_by_step_is_written_with_its_minutes(bench):
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "2"})
    key = f"batch-1-{EDITION}"
    places = (0, 1, 1, 1, 1, 0, 1, 1, 0)  # the further tap, where there is one
    taken = [press(bench, key, place, path="/bench/plaster")["step"] for place in places]
    assert taken == ["sift", "soak", "mix", "cream", "pour", "set", "heat", "cool", "open"]
    bench.post("/bench/plaster/write", {"edition": EDITION, "writing": "yes"})
    assert {"soak", "mix", "set"} <= set(bench.entries("molds-poured")[-1])


def test_a_day_with_a_failed_batch_is_written_down_in_one_sentence(bench):
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
    bench.post("/bench/plaster", {"edition": EDITION, "molds": "1"})
    for n, last in ((1, "open"), (2, "failed: leaked")):
        for step in ("sift", last):
            bench.do("start-step", edition=EDITION, what=f"batch {n}: 1 mold", step=step)
    page = bench.get("/bench/plaster").text
    assert (
        '<button class="button quiet">Write <span class="whole">M-004</span> down</button>' in page
    )

    answer = bench.post("/bench/plaster/write", {"edition": EDITION, "writing": "yes"})
    said = unquote(answer.headers["set-cookie"])
    assert "1 mold poured: M-004; 1 batch gave no mold." in said


def test_what_came_out_must_be_a_number(bench):
    for step in ("weigh", "open"):
        bench.do("start-step", edition=EDITION, what="batch 1: 2 molds", step=step)
    typed = {"edition": EDITION, "writing": "yes", "came-1": "all"}
    answer = bench.post("/bench/plaster/write", typed)

    assert answer.status_code == 422
    assert len(bench.entries("molds-poured")) == 1


def test_batches_of_an_edition_that_is_not_open_cannot_be_written_down(bench):
    assert bench.post("/bench/plaster/write", {"edition": HOSTILE}).status_code == 422
    assert bench.post("/bench/plaster/write", {}).status_code == 422


def test_a_part_with_a_hostile_name_shows_as_text(bench):
    bench.do("start-step", edition=EDITION, what=f"batch 9: 1 {HOSTILE[:20]}", step="soak")
    page = bench.get("/bench/plaster").text

    assert "<script>alert" not in page
    assert "&lt;script&gt;" in page
    assert "<script>alert" not in bench.get("/").text


def test_reminders_are_edited_and_shown_as_text(bench):
    board = plain(bench.get("/bench/plaster/reminders").text)
    assert "While it soaks Leave it alone until it is dark all over." in board
    answer = bench.post("/bench/plaster/reminders", {"soak": f"Wait.\n{HOSTILE}"})
    bench.do("start-step", edition=EDITION, what="batch 1: 1 mold", step="soak")
    page = bench.get("/bench/plaster").text

    assert answer.status_code == 303
    assert "<li>Wait.</li>" in page
    assert HOSTILE not in page


def test_cautions_stand_at_the_step(bench):
    bench.do("start-step", edition=EDITION, what="batch 1: 1 mold", step="set")
    page = bench.get("/bench/plaster").text

    assert "Setting plaster burns." in page
    assert "Plaster dust" in page
    assert "Lifting." in bench.get("/bench/slip").text


def test_a_closed_edition_leaves_the_bench(bench):
    bench.do("declare", edition=EDITION)
    bench.do("destroy", edition=EDITION, molds="all", go_on=True)
    bench.do("close", edition=EDITION, short=True, nothing_else=True)

    assert "No open edition" in bench.get("/bench/slip").text
    assert "No open edition" in bench.get("/bench/plaster").text
    assert "every edition is closed" in bench.get("/").text


def test_a_refused_count_of_losses_is_kept_with_the_molds_that_were_left_out(bench):
    answer = bench.post(
        "/bench/slip/cast",
        {"edition": EDITION, "out": "M-002", "lost-stuck": "many", "lost-collapse": "1"},
    )

    assert answer.status_code == 422
    assert 'name="lost-stuck" value="many"' in answer.text
    assert 'name="lost-collapse" value="1"' in answer.text
    assert 'value="M-002" checked' in answer.text
    assert 'value="M-001" checked' not in answer.text
