"""Today's slate, without a script."""

import re
from datetime import date, timedelta

from msgspec.structs import replace

from pourwright.plan.plan import OfferBy
from pourwright.report.calendar import DOING, doing_words
from pourwright.studio.bench.pour_day import LaidOut, lay_out_batches
from pourwright.studio.edition import Foot
from pourwright.studio.plans import Offer
from pourwright.studio.today import BY_THE_BOOK, _written_at, by_the_plan
from pourwright.web.app import make_app
from pourwright.web.pages.today import shelves_of
from tests.bench_studio import EDITION
from tests.plans import sample_plan
from tests.web.bench_fixtures import bench as bench
from tests.web.browser import HERE, THIS_COMPUTER, Browser
from tests.web.sample import own as own
from tests.web.sample import plain


def lines(text):
    """Return the words of the slate's lines in their order."""
    found = re.findall(r'<span class="chalk-words">(.*?)</span>\s*<', text, re.DOTALL)
    return [re.sub("<[^>]+>", "", one) for one in found]


def days_ago(bench, days=0.0, minutes=0.0):
    at = bench.app.state.desk.clock.now() - timedelta(days=days, minutes=minutes)
    return at.isoformat(timespec="seconds").replace("+00:00", "Z")


def test_an_empty_studio_is_led_to_its_first_plan(tmp_path):
    app = make_app(tmp_path)
    page = Browser(app, HERE, THIS_COMPUTER).get("/")
    app.state.desk.close()

    assert page.status_code == 200
    assert re.search(r'href="(/begin|/do/plan-edition)"', page.text)


def test_what_can_be_done_is_told_and_leads_there(bench):
    page = bench.get("/").text

    assert lines(page) == ["Cast M-001, M-002 and M-003"]
    assert 'href="/bench/slip"' in page
    page = bench.get(
        "/"
    ).text  # on a laptop the day's work and its paper stand left, the week right
    assert page.index('id="paper-title"') < page.index('id="week"')


def test_a_broken_part_leads_to_pouring_until_there_is_a_spare(bench):
    """The bench weighs and times it; how many of which part stands in its form."""
    bench.do("break-part", mold=2, part="foot")
    today = bench.get("/").text
    assert "Pour foot for M-002" in lines(today)
    to = re.search(r'href="(/bench/plaster\?[^"#]+)#pour-reed-bowl"', today)[1].replace(
        "&amp;", "&"
    )
    assert re.search(r'name="part-2"[^>]*value="1"', bench.get(to).text)
    bench.do("start-step", edition=EDITION, what="batch 1: 1 foot", step="sift")
    assert "Pour foot for M-002" not in lines(bench.get("/").text)
    bench.do("pour-part", edition=EDITION, part="foot")
    assert "Swap foot of M-002" in lines(bench.get("/").text)
    bench.do("break-part", mold=2, part="whole mold")
    assert not any("M-002" in one for one in lines(bench.get("/").text))  # it is gone
    page = bench.get("/shelf/M-002").text
    assert "Broken, gone" in page
    assert "Casts left" not in page


def test_what_there_is_to_hold_beside_the_reference_piece_is_asked_for(bench):
    """None of a mold with a broken part, nor of one whose last cast was lost."""
    bench.do("cast", edition=EDITION, molds="all", each=5, at="2026-03-02")
    bench.do("cast", edition=EDITION, molds="1", lost="1 stuck", at="2026-03-03")
    bench.do("break-part", mold=2, part="foot")
    assert "Hold a cast of M-003 beside the reference piece" in lines(bench.get("/").text)
    bench.do("cast", edition=EDITION, molds="1", at="2026-03-04")
    assert "Hold a cast of M-001 and M-003 beside the reference piece" in lines(bench.get("/").text)


def test_a_batch_says_on_today_what_its_clock_runs_to_as_at_the_bench(bench):
    bench.do("start-step", edition=EDITION, what="batch 1: 1 mold", step="sift")
    clocks = [
        re.findall(r'<time [^>]*data-marks="(180 Sift in[^"]+)"', bench.get(path).text)
        for path in ("/", "/bench/plaster")
    ]
    assert len(clocks[0]) == 1
    assert clocks[0] == clocks[1]
    words = re.search(r'<span class="stretch">(.*?)</span>: (.*?)</span>', bench.get("/").text)
    assert words[1] == "Sift in, let it soak"
    assert "batch 1: 1 mold" in plain(words[0])


def test_what_a_plan_asks_leads_to_where_it_is_written_down(bench):
    """Of test casts in the kiln nothing is; a block mold is weighed and timed at the bench."""
    to = {
        stage: _written_at(EDITION, stage) for stage in DOING if not stage.startswith(BY_THE_BOOK)
    }
    assert [stage for stage in to if to[stage].endswith("/plan")] == ["fire test casts"]
    for page in set(to.values()) - {f"/editions/{EDITION}/plan"}:
        assert bench.get(page).status_code in (200, 303), page
    page, _, section = to["block mold"].partition("#")
    assert f'id="{section}"' in bench.get(page).text
    batch = LaidOut(EDITION, "batch 1: block mold, 1 of 2")
    lay_out_batches(bench.app.state.desk.folder, bench.app.state.desk.today(), EDITION, [batch])
    assert bench.get(page).text.count(f'id="{section}"') == 1


def test_a_day_ahead_keeps_its_month_and_one_first_cast_is_one():
    plan = sample_plan()
    first = next(one.date for one in plan.calendar if one.doing)
    ahead = by_the_plan([(EDITION, "Reed bowl", plan)], first - timedelta(4))
    assert ahead[0].word == f"{first:%a} {first.day} {first:%b}"
    days = ((one, doing) for one in plan.calendar for doing in one.doing)
    day, doing = next(one for one in days if one[1].stage == "conditioning")
    alone = replace(day, doing=(replace(doing, count=1),))
    assert doing_words(plan, alone) == "make 1 first cast, thrown away"


def test_every_link_leads_somewhere(bench):
    asked = {"/"}
    for page in ("/", "/bench", "/bench/slip", "/bench/plaster", "/shelf", "/shelf/M-001"):
        asked |= {
            one.replace("&amp;", "&")
            for one in re.findall(r'href="(/[^"#]*)', bench.get(page).text)
        }

    lost = [one for one in sorted(asked) if bench.get(one).status_code == 404]

    assert len(asked) > 20
    assert lost == []


def test_what_spoils_first_stands_first(bench):
    bench.do(
        "start-step",
        edition=EDITION,
        what="M-001 cast 1",
        step="fill",
        target="750 s",
        at=days_ago(bench, 0, 20),
    )
    bench.do(
        "start-step",
        edition=EDITION,
        what="M-002 cast 1",
        step="fill",
        target="750 s",
        at=days_ago(bench, 0, 1),
    )
    bench.do(
        "start-step", edition=EDITION, what="batch 1: 1 mold", step="soak", at=days_ago(bench, 0, 3)
    )
    bench.do("cast", edition=EDITION, molds="3", each=6, at="2026-03-01")
    bench.do("pour", edition=EDITION, count=1, at=days_ago(bench, 3))
    bench.do("load", edition=EDITION, firing="bisque", count=4, at=days_ago(bench, 3))
    page = bench.get("/").text

    assert lines(page) == [
        "Drain M-001", "Drain M-002", "Soaks: batch 1: 1 mold",
        "Open L-001", "Cast M-003", "Weigh M-004, strapped", "Hold a cast of M-003 beside the reference piece",
    ]  # fmt: skip
    assert page.count("Late") == 1
    assert "no entry says dry" not in page


def test_what_is_not_done_today_is_told_once_and_due_tomorrow(bench, monkeypatch, tmp_path):
    assert "Cast M-001, M-002 and M-003" in lines(bench.get("/").text)
    fields = {"edition": EDITION, "about": "not today", "text": "cast", "back": "/"}
    assert 'name="text" value="cast"' in bench.get("/").text
    assert bench.post("/do/note", fields | {"id": "n-1"}).status_code == 303
    page = bench.get("/").text

    assert "Cast M-001" not in "".join(lines(page))
    assert "Not today, so from tomorrow on: cast." in page
    tomorrow = tmp_path / "test-clock"
    tomorrow.write_text("86400", encoding="utf-8")
    monkeypatch.setattr(bench.app.state.desk.clock, "_file", tomorrow)
    assert "Cast M-001, M-002 and M-003" in lines(bench.get("/").text)


def test_a_full_load_is_said_to_be_full(bench):
    for day in range(1, 5):
        bench.do("cast", edition=EDITION, molds="all", at=f"2026-02-{10 + day}")
    page = bench.get("/").text

    assert "Build a bisque load" in page
    assert "12 ready, a load holds 12" in page


def test_fresh_greenware_is_not_loaded(bench):
    bench.do("cast", edition=EDITION, molds="all", each=6)

    assert "Build a bisque load" not in bench.get("/").text


def test_a_mold_that_stopped_losing_weight_is_to_be_called_dry(bench):
    bench.do("pour", edition=EDITION, count=1, at=days_ago(bench, 9))
    for day in (2, 1):
        bench.do("weigh", mold=4, mass="3.6 kg", at=days_ago(bench, day))

    assert "Say that M-004 is dry" in "".join(lines(bench.get("/").text))


def test_a_mold_that_is_ready_by_its_weighings_is_to_be_looked_at(bench):
    """By pencil: 0.2 kg a day, 0.75 kg above what may stay: within five days."""
    bench.do("pour", edition=EDITION, count=1, at=days_ago(bench, 11))
    for day, mass in ((8, "5.06 kg"), (7, "4.86 kg"), (6, "4.66 kg"), (5, "4.46 kg")):
        bench.do("weigh", mold=4, mass=mass, at=days_ago(bench, day))
    page = bench.get("/").text
    assert "See whether M-004 is dry" in lines(page)
    assert "/shelf/M-004" in re.findall(r'href="([^"]+)"', page)
    assert "It is dry" in bench.get("/shelf/M-004").text
    bench.do("weigh", mold=4, mass="5.06 kg", at=days_ago(bench, 3), go_on=True)
    assert "See whether M-004 is dry" not in lines(bench.get("/").text)


def test_findings_of_the_week_are_worth_a_look(bench):
    bench.do("pour", edition=EDITION, count=1)
    bench.do("cast", edition=EDITION, molds="4", go_on=True)

    assert "M-004 is cast, and no entry says dry." in plain(bench.get("/").text)


def test_a_brief_that_cannot_be_read_does_not_keep_the_page_away(bench):
    path = bench.app.state.desk.folder / "editions" / "reed-bowl.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\nnonsense = 1\n", encoding="utf-8")
    page = bench.get("/")

    assert page.status_code == 200
    assert "The brief of Reed bowl cannot be read" in page.text


def test_how_many_may_be_offered_is_worked_out_aside_and_kept(bench):
    first = bench.get("/").text
    page = bench.get(f"/offered/{EDITION}")

    assert "data-wait" in first
    assert page.status_code == 200
    count = re.search(r'<p class="offer-count">(\d+) <span>of 24</span>', page.text)
    assert count
    assert 0 <= int(count[1]) <= 24
    feet_shown = re.findall(r'<use href="#foot-([a-z]+)"', page.text)
    assert feet_shown == ["none"] * 24
    today = bench.get("/").text
    assert count[0] in today
    assert re.search(r'<a href="/buy"><span class="line-words">26 boxes<', today)
    bought = bench.get("/buy").text
    assert "26 boxes" in plain(bought)
    for title in re.findall(r'<th scope="col"[^>]*>([^<]+)</th>', bought)[1:]:
        assert re.search(rf'data-title="{title}">[^<]', bought), "no column stands empty"
    bench.do("cast", edition=EDITION, molds="1")
    again = bench.get("/").text
    assert "data-wait" in again  # what was written since may change it
    assert "The plan is being worked out again" in again
    assert "since the last entry" not in again.lower()  # at midnight none was made
    (bench.app.state.desk.folder / "editions" / f"{EDITION}.toml").unlink()
    assert "Reed bowl is not counted: no brief of it lies" in plain(bench.get("/buy").text)


def test_a_mold_poured_before_the_approval_promises_nothing(bench):
    """Until an approval is written nothing may be offered, and Today says what was skipped."""
    path = bench.app.state.desk.folder / "editions" / f"{EDITION}.toml"
    path.write_text(path.read_text().replace('"masters"', '"original"'))
    page = plain(bench.get(f"/offered/{EDITION}").text)
    assert "None Not before the test casts are approved; then" in page
    skipped = "Skipped: block mold, test casts, approval and masters"
    assert skipped in plain(bench.get("/").text)
    asked = path.read_text()
    path.write_text(asked.replace("[mold]", "test_casts = 0\n\n[mold]"))
    today = plain(bench.get("/").text)
    assert "Skipped: block mold, approval and masters" in today
    assert "none may be offered before the approval" in today
    path.write_text(asked)
    bench.do("make-form", edition=EDITION, what="block mold")
    bench.do("approve", edition=EDITION, form="F-001")
    assert "Not before the test casts" not in plain(bench.get(f"/offered/{EDITION}").text)
    assert "Skipped" not in bench.get("/").text


def test_what_is_done_is_not_asked_for_again(own):
    """Of the sample's three pieces that wait for their glaze one is marked; then all are.

    A batch of the block mold at work stands under Now, and the next part is asked for. While the
    plans are worked out again, what they asked stands in gray.
    """
    own.get("/offered/fern-jug")
    own.get("/offered/gale-flask")
    first = own.get("/").text
    assert {"Mark 2 pieces", "Make the block mold: pour base and half 1"} <= set(lines(first))
    assert 'class="is-former"' not in first
    part = {"edition": "gale-flask", "step": "soak"}
    own.do("start-step", what="batch 1: block mold, 1 of 3", **part)
    page = own.get("/").text
    assert "Make the block mold: pour half 1" in lines(page)
    assert page.count('class="is-former"') > 3
    assert "what it asked before stands in gray" in page
    own.do("start-step", what="batch 2: block mold, 2 of 3", **part)
    own.do("start-step", what="batch 3: block mold, 9 of 9", **part)  # of a brief with more parts
    assert not any("pour half 1" in one for one in lines(own.get("/").text))
    own.do("mark", edition="fern-jug", numbers="24-25")
    own.get("/offered/fern-jug")
    page = own.get("/").text
    assert not any(one.startswith("Mark ") for one in lines(page))
    assert "Glaze 3" in lines(page)
    assert "mark and glaze 3" not in page


def test_the_feet_that_are_farthest_on_are_promised_first_and_what_is_sold_stands_aside():
    """Of ten two are sold, one of them raw, and one is settled; of the others one was lost.

    Three may go today, and two more on 3 March.
    """
    states = ("none", "lost", "sold", "done", "raw", "kiln", "done", "half", "raw", "settled")
    numbers = [Foot(str(n), str(n), shape, "", is_sold=n == 9) for n, shape in enumerate(states, 1)]
    days = [(1, 3), (2, 3), (3, 5), (4, 5)]
    offer = Offer(
        today=5,
        of=10,
        spoken_for=2,
        by_date=tuple(OfferBy(date(2027, 3, n), pieces) for n, pieces in days),
        confidence=0.9,
        word="likely",
        carried_by=(),
        own_casts=0,
    )

    shelves = shelves_of(offer, numbers, date(2027, 3, 1), "us")
    assert [
        (one.words, one.note, " ".join(foot.label for foot in one.feet)) for one in shelves
    ] == [
        ("Today", "3", "4 7 6"),
        ("By Wed Mar 3, 2027", "2 more, 5 in all", "8 5"),
        ("Not promised", "2 held against losses", "1 2"),
        ("Set aside", "3 sold, gone or settled", "3 9 10"),
    ]


def test_an_edition_that_is_not_there_is_not_there(bench):
    assert bench.get("/offered/no-such").status_code == 404
