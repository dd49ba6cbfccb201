"""Drawn hours of three phones in Chromium, at molds and at a kiln: away, back, undoing, and of one mind.

What each phone tapped is noted as it taps. All of it must be in the book, each tap once, and every
phone must show what the pure function says of the union.
"""

import random
from collections import Counter
from contextlib import suppress
from datetime import datetime

import pytest
from msgspec import UNSET
from playwright.sync_api import TimeoutError as TookTooLong

from pourwright.ledger.documents import LoadDoc, Seen, StepDoc
from pourwright.ledger.observations import Observation, casts_in, load_seen
from pourwright.studio.book import open_book
from tests.bench_studio import EDITION, lay_out, planned
from tests.e2e.serving import Served
from tests.e2e.walking import PASSING, PHONE, paired
from tests.ledger.test_observations import PHONES

WALKS = 12
TAPS = 9
MOLDS = ("M-001", "M-002")
DISH = "gray-dish"
LOADS = ("L-001", "L-002")
NOTES = """
document.addEventListener("studio:tapped", event => (window.made ??= []).push(event.detail));
"""
# What the whole tile presses, or the tap beside it; one that is early asks, and then that is pressed.
# Whether a question came or went by it is told.
PRESS = """
([mold, aside]) => {
  const asked = document.querySelector("#ask button"), card = document.getElementById(`card-${mold}`);
  const other = card.querySelector(`.more-sheet [data-of="${card.dataset.phase}"] input[name="step"][value="stiffen"]`)?.form;
  const act = aside && other ? other.querySelector("button") : card.querySelector(":scope > .phase:not([hidden]) > .tap .act");
  (asked ?? act).click();
  return (asked === null) === (document.querySelector("#ask button") !== null);
}
"""
SHOWS = """
mold => {
  const card = document.getElementById(`card-${mold}`);
  const clock = card.querySelector(":scope > .phase:not([hidden]) .clock");
  return [card.dataset.phase, Number(clock?.dataset.start ?? 0)];
}
"""
AGREES = f"""
told => !Object.keys(localStorage).some(key => key.startsWith("tap:"))
  && document.getElementById("step-line").dataset.state === "step"
  && Object.entries(told).every(([mold, is]) => JSON.stringify(({SHOWS})(mold)) === JSON.stringify(is))
"""
PATIENCE_MS = 20_000


class Phones:
    """Three paired phones at the slip bench of one studio, and what each of them tapped."""

    def __init__(self, studio, pages):
        self.studio, self.pages = studio, pages

    def pass_s(self, seconds):
        self.studio.pass_s(seconds)
        for page in self.pages.values():
            page.evaluate("ms => window.pass(ms)", 1000 * seconds)

    def press(self, page, mold, aside):
        """Press a tile until it makes a tap: its button asks once, and the second press answers.

        What another phone did meanwhile answers too, and turns the tile to another button.
        """
        count = "(window.made ??= []).length"
        before = page.evaluate(count)
        for _ in range(6):
            has_asked = page.evaluate(PRESS, [mold, aside])
            if page.evaluate(count) > before:
                return
            assert has_asked, f"{mold} has a button that does nothing"
            self.pass_s(1)
        raise AssertionError(f"{mold} was pressed six times, and asked about each time")

    def made(self):
        """Return every tap that was made, by its id."""
        taps = [one for page in self.pages.values() for one in page.evaluate("window.made ?? []")]
        return {one["id"]: one["command"] for one in taps}

    def back(self):
        """Let all have wifi again, and wait until nothing is kept on any."""
        for page in self.pages.values():
            page.context.set_offline(False)
        for page in self.pages.values():
            page.wait_for_function(
                "() => !Object.keys(localStorage).some(key => key.startsWith('tap:'))",
                timeout=PATIENCE_MS,
            )
            assert page.locator("#kept").is_hidden(), page.locator("#kept").inner_text()

    def entries(self, edition=EDITION):
        """Return the book's entries of the bench and the kiln, by the ids of their commands."""
        kinds = ("step-started", "step-ended", "step-voided", "casts-made", "load-opened", "entry-corrected")  # fmt: skip
        book = open_book(self.studio.folder, create=False)
        with book.store, book.reading() as reading:
            found = list(reading.entries(edition, kinds=kinds))
        assert len({one.command_id for one in found}) == len(found)
        return {one.command_id: one for one in found}


@pytest.fixture(scope="module")
def phones(tmp_path_factory, chromium):
    studio = Served(lay_out(tmp_path_factory.mktemp("phones"))).start()
    studio.do(
        planned(conditioning=0),
        {"do": "pour", "id": "p", "go_on": True, "edition": EDITION, "count": len(MOLDS)},
        {"do": "dry", "id": "d", "edition": EDITION, "molds": "all", "go_on": True},
        planned(id="plan dish", edition=DISH, name="Gray dish", conditioning=0),
        {"do": "pour", "id": "p2", "go_on": True, "edition": DISH, "count": 1},
        {"do": "cast", "id": "c2", "go_on": True, "edition": DISH, "molds": "M-003", "each": 6},
        {"do": "load", "id": "l1", "edition": DISH, "firing": "bisque", "count": 3},
        {"do": "load", "id": "l2", "edition": DISH, "firing": "bisque", "count": 3, "go_on": True},
    )
    laptop, pages = chromium.new_page(), {}
    for name in PHONES:
        context = chromium.new_context(viewport=PHONE, has_touch=True)
        paired(laptop, context, studio, name)
        context.add_init_script(PASSING + NOTES)
        pages[name] = context.new_page()
        pages[name].goto(studio.lan + "/bench/slip")
    laptop.close()
    yield Phones(studio, pages)
    for page in pages.values():
        page.context.close()
    studio.kill()


def observations(entries, thing):
    """Return what was seen of a mold's casts or of a load, from the entries alone."""
    return [
        Observation(
            id=one.command_id,
            thing=one.body["what"],
            stage=one.body["step"] + " ended" * (one.kind == "step-ended"),
            at=datetime.fromisoformat(one.at),
            device=one.by,
            number=one.body.get("tap", 0),
            undoes=one.body.get("undoes", ""),
            cause=one.body.get("cause", ""),
        )
        for one in entries.values()
        if one.kind.startswith("step-") and one.body["what"].startswith(thing)
    ]


def is_now(entries, mold):
    """Return the stage of a mold and since when, as the pure function has it. [ms since 1970]"""
    gone = {one.corrects for one in entries.values() if one.kind == "entry-corrected"}
    casts = [
        one
        for one in entries.values()
        if one.kind == "casts-made" and mold in one.body["molds"] and one.id not in gone
    ]
    at = datetime.fromisoformat(casts[-1].at) if casts else None
    seen = observations(entries, mold)
    cast = next(reversed(casts_in(seen, len(casts), at)), None)
    if cast is None:  # it is out of its mold
        since = fettled_since(entries, f"{mold} cast {len(casts)}")
        return ["fettle", ms(since)] if since else ["idle", 0]
    return [cast.stage, ms(cast.began[cast.stage].at) if cast.stage != "open" else 0]


def ms(at):
    """Return an instant as a browser counts. [ms since 1970]"""
    return int(at.timestamp() * 1000)


def fettled_since(entries, cast):
    """Return since when a cast is fettled, None if it is not; what was ended may be begun again."""
    mine = [
        one
        for one in entries.values()
        if one.body.get("what") == cast and one.body["step"] == "fettle"
    ]
    step = StepDoc(
        edition=EDITION,
        what=cast,
        step="fettle",
        seen=[
            Seen(id=one.command_id, at=one.at, by=one.by, ended=one.kind == "step-ended" or UNSET)
            for one in mine
            if one.kind != "step-voided"
        ],
        undone={one.command_id: one.body["undoes"] for one in mine if one.kind == "step-voided"},
    )
    return datetime.fromisoformat(step.started) if step.started and not step.ended else None


@pytest.mark.whole
@pytest.mark.parametrize("seed", range(WALKS))
def test_three_phones_show_what_follows_from_all_that_they_saw(seed, phones):
    draw = random.Random(seed)
    away = set()
    for _ in range(TAPS):
        phones.pass_s(draw.choice((1, 5, 200, 800)))
        for name in PHONES:
            if draw.random() < 0.2:
                away ^= {name}
                phones.pages[name].context.set_offline(name in away)
        page = phones.pages[draw.choice(PHONES)]
        undo = page.locator("#undo button")
        if draw.random() < 0.2 and undo.count():
            undo.evaluate("button => button.click()")
        else:
            phones.press(page, draw.choice(MOLDS), draw.random() < 0.2)
    phones.back()

    entries, made = phones.entries(), phones.made()
    seen = {key: one["step"] for key, one in made.items() if one["do"].endswith("-step")}
    # an undo that takes back the same act of another phone is written for each, named by the undo
    own = {
        key: one for key, one in entries.items() if key in made or key.split(", ")[0] not in made
    }
    assert {
        key: one.body["step"] for key, one in own.items() if one.kind.startswith("step-")
    } == seen
    assert set(own) <= set(made)
    told = {mold: is_now(entries, mold) for mold in MOLDS}
    for name, page in phones.pages.items():
        with suppress(TookTooLong):
            page.wait_for_function(AGREES, arg=told, timeout=PATIENCE_MS)
        assert {mold: page.evaluate(SHOWS, mold) for mold in MOLDS} == told, name
        assert page.evaluate(AGREES, told)


FEET = """
() => document.getElementById("step-line").dataset.state === "step"
  ? [...document.querySelectorAll(".foot-press")].map(one => one.textContent) : []
"""


@pytest.mark.whole
@pytest.mark.parametrize("label", LOADS)
def test_three_phones_at_one_kiln_see_one_load(label, phones):
    """Each marks pieces, with wifi and without; the one that writes it down counts what all saw."""
    draw, away, pages = random.Random(label), set(), phones.pages
    for page in pages.values():
        page.goto(f"{phones.studio.lan}/kiln/{label}")
        page.locator(".foot-press").first.wait_for()
    for _ in range(TAPS):
        phones.pass_s(draw.choice((5, 200)))
        name = draw.choice(PHONES)
        if draw.random() < 0.4:
            away ^= {name}
            pages[name].context.set_offline(name in away)
        undo = pages[name].locator("#undo button")
        if undo.count() and draw.random() < 0.25:
            undo.evaluate("button => button.click()")
        else:
            pages[name].locator(".foot-press").nth(draw.randrange(3)).click()
            cause = draw.choice(("Crack", "Dunt", "Chip", "It is good"))
            pages[name].locator("[data-causes]").get_by_role(
                "button", name=cause, exact=True
            ).click()
    phones.back()
    seen = observations(phones.entries(DISH), label)
    now = load_seen(draw.sample(seen, len(seen)), label)
    lost = {piece: one.cause for piece, one in now.lost.items()}
    told = [lost.get(f"unmarked {n}", "good") for n in (1, 2, 3)]
    assert any(one.undoes for one in seen)
    assert len({one.device for one in seen}) > 1
    for name, page in pages.items():
        with suppress(TookTooLong):
            page.wait_for_function(f"told => `${{({FEET})()}}` === `${{told}}`", arg=told, timeout=PATIENCE_MS)  # fmt: skip
        assert page.evaluate(FEET) == told, name

    for page in pages.values():  # each of them writes it down, and it is counted once
        page.locator(".dock-acts > button").first.click()
    phones.back()
    opened = [one for one in phones.entries(DISH).values() if one.body.get("load") == label]
    assert [one.kind for one in opened] == ["load-opened"]
    book = open_book(phones.studio.folder, create=False)
    with book.store, book.reading() as reading:
        load = reading.things.get(LoadDoc, label)
    assert load.lost == Counter(lost.values())
    for page in pages.values():
        page.goto(phones.studio.lan + "/bench/slip")
