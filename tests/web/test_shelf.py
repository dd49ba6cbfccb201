"""The shelf and a mold, without a script."""

import re
from datetime import date, timedelta
from io import BytesIO
from xml.etree import ElementTree as ET

import pytest
from PIL import Image

from pourwright.report.saying import day_in_week
from pourwright.studio.bench.slip import slip_bench
from pourwright.studio.shelf import (
    WeighedMold,
    _between,
    asked_before_filling,
    drying_of,
    weighings_drawn,
)
from tests.bench_studio import EDITION
from tests.web.bench_fixtures import bench as bench
from tests.web.sample import plain

HOSTILE = "<script>alert(1)</script>"


def days_ago(bench, days):
    at = bench.app.state.desk.clock.now() - timedelta(days=days)
    return at.isoformat(timespec="seconds").replace("+00:00", "Z")


def masses(bench):
    """Return the weighings that M-001's table shows."""
    page = bench.get("/shelf/M-001").text.replace("\u00a0", " ")
    return re.findall(r'data-title="Mass">([^<]+)<', page)


def test_molds_stand_on_their_board(bench):
    page = bench.get("/shelf").text

    assert re.findall(r'<span class="stand-label">(M-\d+)</span>', page) == [
        "M-001",
        "M-002",
        "M-003",
    ]
    assert len(re.findall(r"\d+ more, about \d+", page)) >= 3
    assert "No original, block mold or master" in page
    assert '<a class="button" href="/bench/slip">Cast</a>' in page  # all of them are dry


def test_a_mold_that_was_cast_today_says_so(bench):
    bench.do("cast", edition=EDITION, molds="M-001")
    words = re.findall(r"(Cast today|Dry)<", bench.get("/shelf").text)

    assert words == ["Cast today", "Dry", "Dry"]


def test_the_last_note_about_a_mold_stands_on_its_page_and_under_more(bench):
    for text in ("tip is soft", f"hold it beside AP 1 {HOSTILE}"):
        bench.do("note", edition=EDITION, about="M-001", text=text)
    for path, pages in (("/shelf/M-001", 1), ("/shelf/M-002", 0), ("/bench/slip", 1)):
        page = bench.get(path).text
        assert ("hold it beside AP" in page) == bool(pages), path
        assert "tip is soft" not in page
        assert HOSTILE not in page


def test_the_last_note_is_the_one_of_the_last_day_and_tells_another_year(bench):
    now = bench.app.state.desk.now()
    last = now.replace(year=now.year - 1)
    for text, at in (("said later", last), ("typed in late", last - timedelta(days=300))):
        bench.do("note", edition=EDITION, about="M-001", text=text, at=f"{at:%Y-%m-%d}")

    page = plain(bench.get("/shelf/M-001").text)
    assert f"{last.day} {last:%b} {last.year}: said later" in page
    assert "typed in late" not in page


def test_a_mold_with_slip_in_it_is_not_called_dry(bench):
    """It is full until 750 s after its filling, and drained it still holds its cast."""
    fields = {"edition": EDITION, "what": "M-002 cast 1"}
    filled = bench.app.state.desk.now() - timedelta(minutes=5)
    bench.do("start-step", **fields, step="fill", target="750 s", at=days_ago(bench, 5 / 24 / 60))
    drain = re.escape(f"{filled + timedelta(seconds=750):%H:%M}")
    shelf = bench.get("/shelf").text
    assert re.search(f"Full, drain at {drain}", shelf)
    assert shelf.count("Dry<") == 2

    bench.do("start-step", **fields, step="drain")
    assert "Cast in it" in bench.get("/shelf/M-002").text
    bench.do("start-step", **fields, step="open")
    assert "Not counted" in bench.get("/shelf/M-002").text


def test_what_only_names_a_mold_in_its_note_is_not_taken_back_on_its_page(bench):
    """Taken back from the page of M-002 it would be what was said of the other that is lost."""
    bench.do("dry", molds="1", note="M-002 is wetter")
    pages = (bench.get(f"/shelf/{label}").text for label in ("M-001", "M-002"))
    own, named = (re.findall(r"/records/(\d+)/undo", page) for page in pages)

    assert own == [str(bench.app.state.desk.book.head().seq)]
    assert named != own


def test_masters_retired_and_spares_are_there(bench):
    bench.do("make-form", edition=EDITION, what="master", name="master of the foot")
    bench.do("retire", edition=EDITION, molds="1")
    bench.do("pour-part", edition=EDITION, part="foot")
    bench.do("break-part", mold=2, part="foot")
    page = bench.get("/shelf").text

    for words in (
        "master of the foot",
        "Retired, kept",
        "spare foot",
        "Incomplete",
        "Swap a part of M-002",
    ):
        assert words in page
    assert re.findall(r'<span class="stand-label">(M-\d+)</span>', page) == ["M-002", "M-003"]


def test_every_fifth_cast_is_due_beside_the_reference(bench):
    bench.do("cast", edition=EDITION, molds="1", each=4)
    assert "beside the reference" not in bench.get("/shelf").text
    bench.do("cast", edition=EDITION, molds="1")
    assert "Hold M-001 beside the reference" in bench.get("/shelf").text
    bench.do("judge", edition=EDITION, molds="1", verdict="same")
    assert "beside the reference" not in bench.get("/shelf").text
    bench.do("cast", edition=EDITION, molds="1", each=5)
    assert "Hold M-001 beside the reference" in bench.get("/shelf").text


def test_a_part_that_broke_is_pressed_and_the_drawing_cracks_there(bench):
    page = bench.get("/do/break-part?mold=M-001").text
    assert "<h1>A part broke</h1>" in page
    assert re.findall(r'type="radio" name="part" value="([^"]+)"', page) == [
        "outside",
        "foot",
        "whole mold",
    ]
    assert "the only part" not in page
    assert ">Part<small>" not in page  # it is asked at once

    whole = bench.get("/shelf/M-001").text
    assert 'class="break"' not in whole
    bench.do("break-part", mold=1, part="foot")
    assert 'class="break" d="M6 60' in bench.get("/shelf/M-001").text


def test_a_mold_is_judged_beside_its_photos(bench):
    bench.do("cast", edition=EDITION, molds="1, 2", each=5)
    assert 'href="/shelf/M-001#wear"' in bench.get("/").text
    kept = [
        bench.post("/photos/add", {"id": f"p-{n}", "edition": EDITION, "about": about}, files={"photo": photo(n)})
        for n, about in enumerate(("M-001", "reference", "M-001, M-002"))
    ]  # fmt: skip
    assert [one.status_code for one in kept] == [303, 303, 303]
    page = bench.get("/shelf/M-001").text
    wear = page[page.index('id="wear"') :].partition("</ul>")[0]

    assert re.findall(r'alt="([^,]+),', wear) == [
        "The reference piece", "M-001 at first", "M-001 now",
    ]  # fmt: skip
    assert 'name="verdict" value="softer"' in page
    shown = bench.entries("photo-kept")
    assert [one["about"] for one in shown[-2:]] == ["M-001", "M-002"]
    assert shown[-1]["digest"] == shown[-2]["digest"]


def photo(n):
    drawn = BytesIO()
    Image.new("RGB", (60, 40), (90 * n, 80, 80)).save(drawn, "PNG")
    return (f"{n}.png", drawn.getvalue(), "image/png")


def test_a_mold_tells_casts_made_and_left(bench):
    bench.do("cast", edition=EDITION, molds="1", lost="1 stuck")
    page = bench.get("/shelf/M-001").text

    assert "1 lost" in page
    assert "The chance of at least so many more" in page
    rows = re.findall(r'<th scope="row" class="left">(\d+)</th>\s*<td[^>]*>(\d+)\s%', page)
    chances = [int(chance) for _, chance in rows]
    assert len(chances) > 5
    assert chances == sorted(chances, reverse=True)


def test_weighings_make_a_forecast_and_a_picture(bench):
    bench.do("pour", edition=EDITION, count=1, at=days_ago(bench, 6))
    for day, kg in ((5, 4.9), (4, 4.8), (3, 4.7), (2, 4.6)):
        bench.do("weigh", mold=4, mass=f"{kg} kg", at=days_ago(bench, day))
    page = bench.get("/shelf/M-004").text

    assert "Ready to cast" in page
    assert re.search(r'aria-label="Weighings of M-004 by day[^"]+eight in ten', page)
    assert ET.fromstring(re.search(r"<svg xmlns.*?</svg>", page)[0]).get("viewBox")


def test_a_mold_that_stopped_losing_weight_is_said_so_as_today_says_it(bench):
    bench.do("pour", edition=EDITION, count=1, at=days_ago(bench, 6))
    for day, kg in ((5, 4.9), (2, 4.61), (1, 4.6)):
        bench.do("weigh", mold=4, mass=f"{kg} kg", at=days_ago(bench, day))
    page = bench.get("/shelf/M-004").text

    assert "Say that" in bench.get("/").text
    assert 'action="/do/dry"' in page
    assert "it has stopped losing water at 4.60 kg, and its mix says 3.53 kg" in page.replace(
        "\u00a0", " "
    )
    assert "eight in ten" not in page

    bench.do("dry", edition=EDITION, molds="4")  # another of its form dries to the same
    bench.do("pour", edition=EDITION, count=1, at=days_ago(bench, 6), go_on=True)
    for day, kg in ((5, 6.0), (4, 5.9), (3, 5.8)):
        bench.do("weigh", mold=5, mass=f"{kg} kg", at=days_ago(bench, day))
    page = bench.get("/shelf/M-005").text.replace("\u00a0", " ")
    assert "Another mold of it stopped at 4.60 kg, and its mix says 3.53 kg" in page


def test_a_forecast_into_another_year_tells_the_years():
    span = date(2027, 2, 13), date(2028, 1, 9)
    assert _between(span, 2027) == "between Sat 13 Feb 2027 and Sun 9 Jan 2028"
    assert _between((span[0], span[0]), 2027) == "by Sat 13 Feb"


def test_a_weighing_that_did_not_happen_is_left_out(bench):
    bench.do("weigh", mold=1, mass="3.6 kg", at=days_ago(bench, 2))
    wrong = bench.do("weigh", mold=1, mass="36 kg", at=days_ago(bench, 1), go_on=True)
    assert masses(bench) == ["3.60 kg", "36.0 kg"]
    bench.do("correct", entry=wrong.seq, void=True)

    assert masses(bench) == ["3.60 kg"]


def test_a_mold_with_a_fresh_foot_is_told_the_same_on_every_page(bench):
    """It dries since the foot was poured; what it weighed before, dry, says nothing of it."""
    for day in (7, 6):
        bench.do("weigh", mold=1, mass="3.6 kg", at=days_ago(bench, day))
    bench.do("pour-part", edition=EDITION, part="foot", at=days_ago(bench, 5))
    bench.do("swap-part", mold=1, part="foot", spare="T-001", at=days_ago(bench, 5))
    assert masses(bench) == []
    page = bench.get("/shelf/M-001").text
    assert "Not weighed since its last part was poured" in page
    assert "it has stopped losing" not in page
    assert "Say that M-001 is dry" not in plain(bench.get("/").text)
    with bench.app.state.desk.book.reading() as reading:
        now = bench.app.state.desk.now()
        (own,) = slip_bench(reading, bench.app.state.desk.folder, now)
        told = asked_before_filling(reading, bench.app.state.desk.folder, own, "metric", now)
    assert "not weighed yet" in told["M-001"]
    low = (
        now.date() - timedelta(days=5) + timedelta(days=bench.app.state.desk.studio.drying.days_low)
    )
    assert f"ready between {day_in_week(low)} and" in told["M-001"]

    for day, kg in ((4, 5.06), (3, 4.86), (2, 4.66)):
        bench.do("weigh", mold=1, mass=f"{kg} kg", at=days_ago(bench, day), go_on=True)
    said = re.search(r"Ready to cast (.*?), dry", plain(bench.get("/shelf/M-001").text))[1]
    with bench.app.state.desk.book.reading() as reading:
        told = asked_before_filling(reading, bench.app.state.desk.folder, own, "metric", now)
    assert f"ready {said})" in told["M-001"]


def test_a_weighing_is_drawn_on_its_own_day():
    def drawn(*at):
        drying = drying_of(
            [WeighedMold(one, 5.0 - n / 10) for n, one in enumerate(at)],
            None, "metric", "Europe/Copenhagen", stopped=False,
        )  # fmt: skip
        return weighings_drawn(drying)

    assert drawn("2027-03-01T19:00:00Z", "2027-03-02T06:00:00Z")
    assert drawn("2027-03-01T06:00:00Z", "2027-03-01T19:00:00Z") == ""
    noons = drawn("2027-03-31", "2027-04-01")
    assert drawn("2027-03-31T06:00:00Z", "2027-04-01T19:00:00Z") == noons


def weigh(bench, label, **typed):
    return bench.post(f"/shelf/{label}/weigh", {"id": f"w-{label}-{len(typed)}", **typed})


def verdict(page):
    return re.search(r'id="verdict"[^>]*>([^<]*)<', page.text)[1].replace("\u00a0", " ").strip()


def test_molds_are_weighed_one_after_the_other_by_figures_alone(bench):
    bench.do("pour", edition=EDITION, count=3, at=days_ago(bench, 6))
    assert 'href="/shelf/M-004/weigh"' in bench.get("/").text
    page = bench.get("/shelf/M-004/weigh")
    assert "M-005 is next on the scale" in page.text
    assert verdict(page) == "It was never weighed."

    way = [weigh(bench, f"M-00{n}", **{"mass": "4,6", "mass.unit": "kg"}) for n in (4, 5, 6)]
    assert [one.headers["location"] for one in way] == [
        "/shelf/M-005/weigh", "/shelf/M-006/weigh", "/",
    ]  # fmt: skip
    assert verdict(bench.get("/shelf/M-004/weigh")) == "Earlier today it weighed 4.6 kg."
    none = weigh(bench, "M-005", mass="")
    assert verdict(none) == "Mass is missing; write what the scale shows, such as 6.12 kg."
    bad = weigh(bench, "M-005", mass="heavy")
    assert bad.status_code == 422
    assert 'value="heavy"' in bad.text
    assert "mass" in verdict(bad)


def test_a_figure_says_what_it_means_before_it_is_written_down(bench):
    for days, kg in ((3, 4.9), (2, 4.8), (1, 4.7)):
        bench.do("weigh", mold=1, mass=f"{kg} kg", at=days_ago(bench, days))
    asked = "/shelf/M-001/weigh?mass.unit=kg&mass="

    assert "Ready to cast" in verdict(bench.get(asked + "4.6"))
    # the figure is one more point of the line, and of the table only once it is written down
    so_far, with_it = bench.get(asked).text, bench.get(asked + "4.6").text
    assert (so_far.count("<circle cx="), with_it.count("<circle cx=")) == (3, 4)
    assert so_far.count('<th scope="row"') == with_it.count('<th scope="row"') == 3
    assert "it has stopped losing water" in verdict(bench.get(asked + "4.7"))
    assert verdict(bench.get(asked + ".")) == "Yesterday it weighed 4.7 kg."


def test_a_weight_far_off_is_asked_about_and_the_likely_one_offered(bench):
    bench.do("weigh", mold=1, mass="4.7 kg", at=days_ago(bench, 1))
    asks = weigh(bench, "M-001", **{"mass": "46", "mass.unit": "kg"})
    assert asks.status_code == 422
    assert "46 kg is 9.8 times that. Was it 4.6 kg?" in verdict(asks)
    assert masses(bench) == ["4.70 kg"]

    weigh(bench, "M-001", **{"mass": "46", "mass.unit": "kg", "meant": "4.6 kg"})
    assert masses(bench) == ["4.70 kg", "4.60 kg"]
    weigh(bench, "M-001", mass="46 kg", id="go-on", go_on="yes")
    assert masses(bench)[-1] == "46.0 kg"


def test_a_mold_that_gained_water_is_read_again_or_kept(bench):
    bench.do("weigh", mold=1, mass="5.93 kg", at=days_ago(bench, 1))
    asks = weigh(bench, "M-001", **{"mass": "6.20", "mass.unit": "kg"})
    assert asks.status_code == 422
    assert "6.20 kg is 270 g more" in verdict(asks)
    assert 'href="/shelf/M-001/weigh">Read it again<' in asks.text
    assert ">Keep 6.20 kg<" in asks.text
    weigh(bench, "M-001", mass="6.20 kg", id="kept", go_on="yes")
    assert masses(bench) == ["5.93 kg", "6.20 kg"]


def test_a_mold_lighter_than_its_mix_is_told(bench):
    for day, kg in ((3, 2.0), (2, 1.9)):
        bench.do("weigh", mold=1, mass=f"{kg} kg", at=days_ago(bench, day))

    assert "lighter than its dry weight" in bench.get("/shelf/M-001").text


def test_a_mold_that_gains_weight_has_no_forecast_but_a_page(bench):
    for day, kg in ((3, 4.0), (2, 4.4)):
        bench.do("weigh", mold=1, mass=f"{kg} kg", at=days_ago(bench, day), go_on=True)
    page = bench.get("/shelf/M-001")

    assert page.status_code == 200
    assert "4.40 kg" in page.text


@pytest.mark.parametrize(
    "path",
    [
        "/shelf/M-099",
        "/shelf/M-099/weigh",
        "/shelf/x",
    ],
)
def test_what_is_not_there_is_not_there(bench, path):
    assert bench.get(path).status_code == 404


def test_one_weighing_is_no_picture(bench):
    bench.do("weigh", mold=1, mass="3.6 kg")

    assert "<svg xmlns" not in bench.get("/shelf/M-001").text


def test_hostile_names_show_as_text(bench):
    bench.do("tag", mold=1, tag=HOSTILE)
    bench.do("make-form", edition=EDITION, what="master", name=HOSTILE)
    bench.do("retire", edition=EDITION, molds="1", why=HOSTILE)
    for path in ("/shelf", "/shelf/M-001"):
        page = bench.get(path).text
        assert HOSTILE not in page
        assert "&lt;script&gt;" in page


def test_destroyed_molds_stay_on_the_record(bench):
    bench.do("retire", edition=EDITION, molds="all")
    bench.do("destroy", edition=EDITION, molds="all", go_on=True)

    page = bench.get("/shelf").text
    assert "No mold in use." in page
    assert page.count("Destroyed") == 3
    assert bench.get("/shelf/M-001").status_code == 200
