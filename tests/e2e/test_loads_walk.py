"""Loads from what is ready: bisque, glaze and glost, the kiln opened, the ware inspected."""

import re

import pytest

from tests.bench_studio import EDITION, lay_out, planned
from tests.e2e.serving import Served
from tests.e2e.walking import DAY_S, walking

OF = {"edition": EDITION}
BISQUE, GLOST = 12, 8  # pieces in a load, by the brief


@pytest.fixture
def maker(tmp_path, chromium):
    studio = Served(lay_out(tmp_path)).start()
    with walking(chromium, studio) as maker:
        maker.until_morning()
        studio.do(
            planned(conditioning=0, at=maker.ago(60)),
            {"do": "mix-lot", "id": "g", "what": "glaze", "name": "celadon", "at": maker.ago(40)},
            {"do": "pour", "id": "p", "go_on": True, **OF, "count": 2, "at": maker.ago(40)},
            {"do": "dry", "id": "d", **OF, "molds": "all", "at": maker.ago(30)},
            *(
                {"do": "cast", "id": f"c{n}", **OF, "molds": "all", "each": 2, "at": maker.ago(ago)}
                for n, ago in enumerate((20, 18, 16, 1))
            ),
        )
        yield maker
    studio.kill()


def lost(maker, piece, cause):
    """Press a foot, then its cause."""
    maker.page.get_by_role("button", name=f"{piece}, good").click()
    maker.page.get_by_role("button", name=cause, exact=True).click()


def written(maker, count, kind):
    """Press the button that says how many are good; return the entry that came of it."""
    maker.page.get_by_role("button", name=re.compile(f"^Write it down *{count}$")).click()
    if kind == "load-opened":  # kept like a tap, so the page stays
        maker.page.locator("#undo .undo-state", has_text="written down").wait_for()
        maker.page.get_by_role("link", name="To the kiln").click()
    else:
        maker.page.locator(".said-words").wait_for()
    maker.settled()
    entry = maker.studio.entries()[-1]
    assert entry["kind"] == kind
    return entry["body"]


@pytest.mark.whole
def test_loads_from_the_shelf_to_the_inspection(maker):
    studio = maker.studio
    assert "Build a bisque load" in maker.next()
    maker.open("/kiln")
    assert "A full load of 12" in maker.words(".build")  # 16 cast, 4 of them yesterday
    assert "4 pieces of the last days still damp" in maker.words(".build")
    maker.follow("^More to tell")
    maker.fill(kiln="the small kiln")
    assert maker.write("12 pieces", "load-closed")["count"] == BISQUE
    assert "bisque, 12 pieces, the small kiln" in maker.words(".chamber")

    studio.pass_s(2 * DAY_S)
    assert maker.next()[0] == "Open L-001"
    maker.follow("^Open L-001")
    lost(maker, "Piece 1", "Bisque crack")
    for cone, presses in (("04", 1), ("03", 2), ("05", 4)):  # down, soft, stands, not seen
        for _ in range(presses):
            maker.page.locator("[data-cones] button", has_text=cone).click()
    assert maker.page.get_by_role("button", name="03 soft").is_visible()
    opened = written(maker, "11 good, 1 lost", "load-opened")
    assert (opened["lost"], opened["cones"]) == ({"bisque crack": 1}, "04 down, 03 soft")

    maker.open("/kiln")
    maker.page.get_by_role("button", name="One less").last.click()
    maker.page.get_by_role("button", name="One more").last.click()
    maker.tap("It is glazed")
    assert studio.entries("ware-glazed")[-1]["body"]["count"] == GLOST
    maker.page.locator(".build", has_text="glaze").get_by_role("button", name="Close this load").click()  # fmt: skip
    maker.page.locator(".chamber", has_text="L-002").wait_for()
    assert studio.entries("load-closed")[-1]["body"]["firing"] == "glaze"
    studio.pass_s(DAY_S)
    maker.open("/kiln")
    maker.follow("^Open L-002")
    lost(maker, "Piece 1", "Crawl")
    maker.fill(cones="6 down")
    written(maker, "7 good, 1 lost", "load-opened")

    maker.follow("^Inspect Reed bowl")
    lost(maker, "Piece 2", "Chip")
    inspected = written(maker, "6 good, 1 lost", "ware-finished")
    assert (inspected["count"], inspected["lost"]) == (6, {"chip": 1})
    # by hand: 16 cast; 12 fired once, 1 cracked; 8 fired again, 1 crawled, 1 chipped
    left = {"greenware": 16 - 12, "bisque": 12 - 1 - 8, "fired": 0, "finished": 8 - 1 - 1}
    stages = maker.show("stages")
    assert {one["stage"]: one["unmarked"] for one in stages["stages"]} == left
    same_as_the_command(maker, stages)


def same_as_the_command(maker, stages):
    """Hold the figures of the kiln's page and of the edition's to what the command says."""
    maker.open("/kiln")
    log = maker.page.locator(".came-out")
    loads = [*reversed(maker.show("yields", "--by", "load"))]
    causes, cones = ["1 crawl", "1 bisque crack"], ["6 down", "04 down 03 soft"]
    assert log.locator("a").all_inner_texts() == [one["load"].partition(",")[0] for one in loads]
    assert log.locator(".build-words").all_inner_texts() == [
        f"{one['good']} of {one['of']} good, lost {cause}"
        for one, cause in zip(loads, causes, strict=True)
    ]
    assert log.locator(".place-lost").count() == len(causes)
    assert [" ".join(one.split()) for one in log.locator(".cones-seen").all_inner_texts()] == cones
    maker.open(f"/editions/{EDITION}")
    assert maker.table("Ware by stage") == [
        [one["stage"], str(one["unmarked"]), str(one["marked"])] for one in stages["stages"]
    ]
    assert [row[:2] for row in maker.table("Lost, by cause")] == [
        [one["cause"], f"{one['lost']} of {one['of']}"]
        for one in maker.show("yields", "--by", "cause")
    ]
    assert [row[:2] for row in maker.table("Good at each step")] == [
        [one["stage"], f"{one['good']} of {one['of']}"] for one in maker.show("yields")
    ]
