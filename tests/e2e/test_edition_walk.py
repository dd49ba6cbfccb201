"""An edition declared, numbered and sold out, and an edition closed: nothing more is cast for it."""

import re

import pytest

from tests.bench_studio import EDITION, lay_out, planned
from tests.e2e.serving import Served
from tests.e2e.walking import LAPTOP, walking

OF = {"edition": EDITION}
PIECES, PROOFS = 6, 1
MADE = PIECES + PROOFS
CAST = MADE + 2  # one replaces what breaks, one is surplus


@pytest.fixture
def maker(tmp_path, chromium):
    """Yield somebody before an edition of which all pieces are fired, and nothing is declared."""
    studio = Served(lay_out(tmp_path)).start()
    with walking(chromium, studio, LAPTOP) as maker:
        maker.until_morning()
        studio.do(
            planned(pieces=PIECES, proofs=PROOFS, conditioning=0, at=maker.ago(60)),
            {"do": "make-form", "id": "f1", **OF, "what": "original", "at": maker.ago(58)},
            *(
                {"do": "make-form", "id": f"f{part}", **OF, "what": "master", "part": part, "at": maker.ago(50)}
                for part in ("outside", "foot")
            ),
            {"do": "pour", "id": "p", "go_on": True, **OF, "count": 4, "at": maker.ago(40)},
            {"do": "pour-part", "id": "pp", **OF, "part": "foot", "at": maker.ago(40)},
            {"do": "dry", "id": "d", **OF, "molds": "all", "at": maker.ago(30)},
            {"do": "cast", "id": "c", **OF, "molds": "all", "each": 2, "at": maker.ago(20)},
            {"do": "cast", "id": "c1", **OF, "molds": "1", "at": maker.ago(19)},
            {"do": "fire", "id": "b", **OF, "firing": "bisque", "count": CAST, "at": maker.ago(10)},
            {"do": "fire", "id": "g", **OF, "firing": "glaze", "count": 8, "at": maker.ago(3)},
            {"do": "fire", "id": "g1", **OF, "firing": "glaze", "count": CAST - 8, "at": maker.ago(3)},
            {"do": "finish", "id": "i", **OF, "count": CAST, "at": maker.ago(2)},
        )  # fmt: skip
        yield maker
    studio.kill()


def tray(maker, of="Numbers"):
    """Return what lies in the tray: each number and its word."""
    feet = maker.page.get_by_role("list", name=f"{of} of Reed bowl").locator("label")
    found = feet.evaluate_all(
        "all => all.map(one => [one.querySelector('b').textContent, one.querySelector('span').textContent])"
    )
    return [tuple(one) for one in found]


def press(maker, *feet):
    """Press feet of the tray."""
    for one in feet:
        maker.page.locator(f"#foot-of-{one}").click()


def done(maker, kind):
    """Return the entry that the last tap wrote, once the tray shows it."""
    entry = maker.studio.entries()[-1]
    assert entry["kind"] == kind
    return entry["body"]


@pytest.mark.whole
def test_an_edition_from_its_declaration_to_its_close(maker):
    declared_and_numbered(maker)
    broken_and_replaced(maker)
    closed(maker)
    nothing_more(maker)


def declared_and_numbered(maker):
    maker.open(f"/editions/{EDITION}")
    assert tray(maker) == [(str(n), "to make") for n in range(1, PIECES + 1)]
    maker.follow("^Declare it")
    maker.fill(terms="No casts after closing.")
    assert maker.write("declared", "edition-declared")["pieces"] == PIECES
    maker.tap("Mark 1-6 on the next feet")
    assert done(maker, "piece-marked")["numbers"] == list(range(1, PIECES + 1))
    press(maker, "AP1")
    maker.tap("Mark")
    assert done(maker, "piece-marked")["kind"] == "proof"
    assert tray(maker) == [(str(n), "here") for n in range(1, PIECES + 1)]
    assert tray(maker, "Proofs") == [("AP1", "here")]
    assert maker.words(".tray-key") == f"{PIECES} here"
    owed = maker.show("owed")
    for key in ("numbers", "proofs"):
        assert owed[key]["to_make"] == 0
    assert f"{owed['numbers']['living']} of {owed['numbers']['of']} numbered" in maker.words()
    assert f"{owed['ware']} unmarked piece" in maker.words()
    assert owed["ware"] == CAST - MADE
    assert maker.table("Ware by stage")[-1] == ["finished", str(CAST - MADE), str(MADE)]

    press(maker, 3)
    maker.press("Its story")
    maker.page.wait_for_url("**/numbers/3")
    maker.settled()
    story = maker.show("number", "3")
    assert "The piece Here, finished" in maker.words()
    for entry in story["entries"]:
        assert entry["said"] in maker.words()


def broken_and_replaced(maker):
    maker.page.locator("summary", has_text="It broke").click()
    maker.tap("A shard is kept")
    assert done(maker, "piece-broken")["evidence"] == "a shard is kept"
    assert maker.show("owed")["numbers"]["which"] == [3]
    maker.open(f"/editions/{EDITION}")
    assert tray(maker)[2] == ("3", "to make again")
    assert "1 lost" in maker.words(".head")
    press(maker, 3)
    maker.tap("Make again")
    done(maker, "piece-marked")
    assert tray(maker)[2] == ("3", "here")
    story = maker.show("number", "3")
    maker.open(f"/editions/{EDITION}/numbers/3")
    assert len(story["bearers"]) == 2
    assert re.search(r"Piece 1 bore it Broken.* Piece 2 bears it now Here", maker.words())


def closed(maker):
    maker.open(f"/editions/{EDITION}")
    feet = [maker.page.locator(f"#foot-of-{n}").bounding_box() for n in (1, PIECES)]
    first, last = [(one["x"] + one["width"] / 2, one["y"] + one["height"] / 2) for one in feet]
    maker.page.mouse.move(*first)
    maker.page.mouse.down()
    maker.page.mouse.move(*last, steps=40)  # swept, all six
    maker.page.mouse.up()
    maker.tap("Ship")
    assert len(done(maker, "piece-shipped")["pieces"]) == PIECES
    press(maker, "AP1")
    maker.tap("Ship")
    assert {word for _, word in tray(maker)} == {"shipped"}

    maker.follow("^Close it")  # too early to close: what is left to do is said
    assert "Cannot be closed yet" in maker.words()
    assert "1 at finished" in maker.words()
    assert maker.page.get_by_role("link", name="Close it").count() == 0
    maker.open(f"/editions/{EDITION}")
    maker.follow("^Surplus")
    maker.choose("destroyed")
    maker.fill(count="1")
    maker.write("1 piece", "surplus-declared")

    maker.follow("^Close it")
    maker.follow("^Destroy the molds")
    maker.fill(how="broken up, gypsum waste")
    assert len(maker.write("M-001", "mold-destroyed")["molds"]) == 4
    maker.follow("^Destroy F-002 and F-003")
    maker.write("F-002", "form-destroyed")
    maker.follow("^Declare F-001 kept")
    maker.fill(where="archive shelf")
    maker.write("F-001", "form-kept")

    maker.follow("^Close it")
    maker.page.get_by_role("group", name="Nothing else").get_by_role("radio", name="Yes").check()
    assert maker.write("closed", "edition-closed")["nothing_else"] is True
    maker.open(f"/editions/{EDITION}")
    assert f"Closed at {PIECES} of {PIECES}" in maker.words(".head")


def nothing_more(maker):
    """Hold that nothing further can be cast for a closed edition, and that the pages say so."""
    maker.open(f"/do/cast?edition={EDITION}")
    maker.fill(molds="M-001")
    maker.refused("was closed on", f"at {PIECES} of {PIECES}; nothing more is made of it")
    maker.open("/bench/slip")
    assert "No open edition" in maker.words()
    maker.open("/")
    assert "every edition is closed" in maker.words()
    maker.open("/shelf")
    assert maker.page.get_by_text("Destroyed").count() == 4 + 2
    owed = maker.show("owed", "--edition", EDITION)
    assert (owed["state"], owed["numbers"]["living"], owed["ware"]) == ("closed", PIECES, 0)
    assert maker.show("casts-left", "--edition", EDITION) == []
    year = maker.show("year", "--edition", EDITION)["text"]
    assert "closed" in year.lower()
