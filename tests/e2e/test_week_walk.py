"""A week of casting, day by day as Today leads, on a phone."""

import pytest

from tests.bench_studio import EDITION, lay_out, planned
from tests.e2e.serving import Served
from tests.e2e.walking import DAY_S, pass_s, place_of, walking

OF = {"edition": EDITION}
THREE = ["M-001", "M-002", "M-003"]
WEIGHED = ("4.62 kg", "4.40 kg", "4.40 kg")  # the last two agree: it has stopped losing weight


@pytest.fixture
def maker(tmp_path, chromium):
    studio = Served(lay_out(tmp_path)).start()
    with walking(chromium, studio) as maker:
        maker.until_morning()
        studio.do(
            planned(conditioning=1, at=maker.ago(60)),
            {"do": "mix-lot", "id": "s", "what": "slip", "at": maker.ago(40)},
            {"do": "pour", "id": "p3", "go_on": True, **OF, "count": 3, "at": maker.ago(30)},
            {"do": "dry", "id": "d3", **OF, "molds": "1-3", "at": maker.ago(20)},
            {"do": "pour", "id": "p1", "go_on": True, **OF, "count": 1, "at": maker.ago(5)},
        )
        yield maker
    studio.kill()


def one_by_its_card(maker):
    """Cast a mold by its card, then the others by the form, where it is left out."""
    maker.tap("Fill M-001")
    pass_s(maker.studio, maker.page, 13 * 60)
    maker.tap("Drain M-001")
    pass_s(maker.studio, maker.page, 13 * 60)  # opened sooner, it is asked about
    maker.tap("Open M-001")
    words = place_of(maker.page.locator("#card-M-001 .first-up:visible"))
    more = place_of(maker.page.locator("#card-M-001 .more-button:visible"))
    assert words["x"] + words["width"] <= more["x"]
    maker.tap("M-001: cast thrown away")
    maker.page.get_by_role("checkbox", name="M-001").check()
    maker.tap("Write the casts down")


def all_at_once(maker, lost=None):
    """Write the day's casts down in one form; molds of which no entry says dry are left out."""
    if lost:
        maker.page.get_by_text("Some were lost").click()
        maker.page.get_by_label(lost, exact=True).fill("1")
    maker.tap("Write the casts down")


def weigh(maker, mass):
    maker.follow("^Weigh M-004, strapped")
    maker.page.locator('[data-key="7"]').click()
    maker.page.get_by_role("button", name="Take back", exact=True).click()
    for key in mass.partition(" ")[0]:
        maker.page.locator(f'[data-key="{key}"]').click()
    maker.press("Write it down")
    maker.page.get_by_text(f"M-004 weighs {mass}").wait_for()
    maker.settled()
    assert maker.studio.entries("mold-weighed")[-1]["body"]["mass"]["typed"] == mass


@pytest.mark.whole
def test_a_week_of_casting(maker):
    studio = maker.studio
    for at, mass in enumerate((*WEIGHED, None, None)):
        lines = maker.next()
        dry = "M-001, M-002 and M-003" if at < len(WEIGHED) else "M-001, M-002, M-003 and M-004"
        assert f"Cast {dry}" in lines
        assert any(one.startswith("Weigh M-004") for one in lines) == (mass is not None)
        if mass:
            weigh(maker, mass)
        if at == 2:
            maker.follow("^Say that M-004 is dry")
            maker.tap("It is dry")
            assert studio.entries("mold-dried")[-1]["body"]["molds"] == ["M-004"]
            maker.open("/")
        maker.follow("^Cast M-001")
        if at == 0:
            one_by_its_card(maker)
        else:
            all_at_once(maker, "Torn opening" if at == 1 else None)
        assert not any(one.startswith("Cast ") for one in maker.next()), "all were cast today"
        if at == 4:
            for mold in THREE:  # each has its own verdict
                maker.follow(f"^Hold a cast of {mold}.* beside the reference piece")
                maker.tap("The same")
                assert studio.entries("mold-judged")[-1]["body"]["molds"] == [mold]
                maker.open("/")
        studio.pass_s(DAY_S)

    casts = studio.entries("casts-made")
    assert [len(one["body"]["molds"]) for one in casts] == [1, 2, 3, 4, 4, 4]
    # by hand: 3 molds on 5 days and 1 on 3; each mold's first is thrown away, one was torn
    cast, thrown, torn = 3 * 5 + 3, 4, 1
    good = cast - thrown - torn
    stages = maker.show("stages")
    assert (stages["cast"], stages["good"]) == (cast, good)
    same_as_the_command(maker, good)


def same_as_the_command(maker, good):
    """Hold every figure that the pages show of the week to what the command says."""
    maker.open(f"/editions/{EDITION}")
    stages = maker.show("stages")["stages"]
    assert maker.table("Ware by stage") == [
        [one["stage"], str(one["unmarked"]), str(one["marked"])] for one in stages
    ]
    assert maker.table("Ware by stage")[0] == ["greenware", str(good), "0"]
    yields = maker.show("yields")
    assert [row[:2] for row in maker.table("Good at each step")] == [
        [one["stage"], f"{one['good']} of {one['of']}"] for one in yields
    ]
    causes = maker.show("yields", "--by", "cause")
    assert [row[:2] for row in maker.table("Lost, by cause")] == [
        [one["cause"], f"{one['lost']} of {one['of']}"] for one in causes
    ]
    assert [one["cause"] for one in causes] == ["torn opening"]
    today = maker.show("today")
    assert (today["ready"], today["weigh"]) == ([*THREE, "M-004"], [])
    assert maker.next()[0] == "Cast M-001, M-002, M-003 and M-004"
    maker.open("/shelf")
    for one in maker.show("casts-left"):
        stand = maker.page.locator(".stand").filter(has_text=one["label"]).inner_text()
        assert f"{one['casts']} casts" in stand
        assert f"{one['left']['p10']} to {one['left']['p90']}" in stand
