"""Bad luck at the bench: no tap lost, none written twice, every clock right to a second.

The minute without wifi and the sleep of half an hour are compressed: the studio's clock and
the page's are both moved by as much.
"""

import random
import re
import time
from contextlib import suppress

import pytest
from playwright.sync_api import Error, expect

from pourwright.cli.main import run
from tests.e2e.serving import Served
from tests.e2e.trial_studio import MOLDS, TARGET_S
from tests.e2e.walking import PHONE, paired

# Time that passes moves both clocks of a page; somebody who sets the phone moves one only.
CLOCKS = """
(() => {
  let passed = 0, set = Number(sessionStorage.getItem("set") ?? INITIAL), hidden = false;
  const date = Date.now.bind(Date), perf = performance.now.bind(performance);
  Date.now = () => date() + passed + set;
  performance.now = () => perf() + passed;
  Object.defineProperty(document, "hidden", { get: () => hidden, configurable: true });
  window.trial = {
    pass: ms => { passed += ms; },
    set: ms => { set += ms; sessionStorage.setItem("set", set); },
    hide: now => { hidden = now; document.dispatchEvent(new Event("visibilitychange")); },
  };
})();
"""
# In the page, as Playwright's own fetch does not know the studio's name in the network.
LOSE_ANSWERS = """
() => {
  const sent = window.fetch.bind(window);
  window.fetch = async (...what) => { await sent(...what); throw new TypeError("lost"); };
}
"""
HOUR_MS = 3_600_000
NOT_OURS = re.compile(r"Failed to load resource|net::ERR_|EventSource|ERR_CONNECTION")


@pytest.fixture
def served(tmp_path):
    """Yield a studio with one edition."""
    studio = Served(tmp_path).start()
    studio.do({"do": "plan-edition", "id": "plan", "edition": "tide-cup", "pieces": 24})
    yield studio
    studio.kill()


@pytest.fixture
def open_page(chromium, served):
    """Return a function that opens the trial page on a phone; faults of scripts fail the test."""
    contexts, faults = [], []

    def opened(where=None, *, clock_off_ms=0, context=None):
        context = context or chromium.new_context(viewport=PHONE, has_touch=True)
        contexts.append(context)
        context.add_init_script(CLOCKS.replace("INITIAL", str(clock_off_ms)))
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
        page.goto((where or served.here) + "/trial")
        expect(page.locator("#step-line")).to_have_attribute("data-state", "step")
        return page

    yield opened
    for context in contexts:
        with suppress(Error):
            context.close()
    assert [one for one in faults if not NOT_OURS.search(one)] == []


def tap(page, mold, served):
    """Tap, and return between which two moments on the studio's clock it was."""
    before = served.now_s()
    page.get_by_role("button", name=f"Drain {mold}").click()
    return before, served.now_s()


def add(page, text):
    """Tap by the page's own outbox, with a note that can be told from all others."""
    page.evaluate(
        "async text => (await import(document.querySelector('script[src*=studio]').src"
        ".replace('studio.js', 'outbox.js'))).add({do: 'note', text}, {words: text})",
        text,
    )


def kept(page):
    return page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('tap:')).length")


def refused(page):
    return page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('no:')).length")


def wait_until(holds, patience_s=20.0):
    ends = time.monotonic() + patience_s
    while not holds():
        assert time.monotonic() < ends, "it did not come about"
        time.sleep(0.05)


def seconds(text):
    """Return what a clock reads as seconds since the step began. [s]"""
    *hours, minutes, rest = text.lstrip("+").split(":")
    read = int(hours[0] if hours else 0) * 3600 + int(minutes) * 60 + int(rest)
    return TARGET_S + read if text.startswith("+") else TARGET_S - read


def is_right(page, served, mold, tapped):
    """Whether a mold's clock is right to a second, however slow the machine is that tests it."""
    before = served.now_s()
    shown = seconds(page.locator(f"#card-{mold} .clock").inner_text())
    after = served.now_s()
    first, last = tapped
    # a second for the book's whole seconds, and what a clock of seconds is drawn late by
    return before - last - 1.3 <= shown <= after - first + 1.3


def test_a_tap_is_shown_at_once_written_once_and_can_be_undone(served, open_page):
    page = open_page()
    before = served.now_s()
    button = page.get_by_role("button", name="Drain M-001")
    button.evaluate("button => { button.click(); button.click(); }")  # wet glass
    began = before, served.now_s()

    expect(page.locator("#undo")).to_contain_text("Drain M-001")
    expect(page.locator("#undo")).to_contain_text("written down")
    expect(page.locator("#card-M-001 .count")).to_have_text("1")
    assert len(served.entries("step-started")) == 1
    assert is_right(page, served, "M-001", began)

    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#card-M-001 .count")).to_have_text("0")
    assert [one["kind"] for one in served.entries()][-1] == "step-voided"


def test_an_older_undo_goes_with_a_newer_tap(served, open_page):
    page = open_page()
    note = {"text": "a photo kept", "id": "n-1"}
    page.context.request.post(f"{served.here}/do/note", form=note, max_redirects=0)
    page.goto(f"{served.here}/trial")
    expect(page.locator(".said").get_by_role("button", name="Undo")).to_be_visible()
    page.get_by_role("button", name="Drain M-002").click()

    expect(page.locator("#undo")).to_contain_text("Drain M-002")
    expect(page.get_by_role("button", name="Undo")).to_have_count(1)
    expect(page.locator(".said")).to_contain_text("Entry")


def test_another_device_sees_a_tap_without_reloading(served, open_page):
    phone, tablet = open_page(), open_page()
    tap(phone, "M-002", served)

    expect(tablet.locator("#card-M-002 .count")).to_have_text("1", timeout=3000)


def test_a_minute_without_wifi_loses_nothing(served, open_page):
    page = open_page()
    first = tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")

    page.context.set_offline(True)
    second = tap(page, "M-002", served)
    expect(page.locator("#step-line")).to_contain_text(
        "Clocks go on."  # which of three reasons: below
    )
    expect(page.locator("#undo")).to_contain_text("kept on this phone")
    served.pass_s(60)
    page.evaluate("trial.pass(60000)")
    third = tap(page, "M-003", served)
    expect(page.locator("#step-line")).to_contain_text("Kept on this phone: 2 taps")
    page.wait_for_timeout(300)
    assert is_right(page, served, "M-001", first)

    page.context.set_offline(False)
    expect(page.locator("#step-line")).to_have_text("All sent", timeout=5000)
    expect(page.locator("#card-M-003 .count")).to_have_text("1")
    assert len(served.entries("step-started")) == 3
    for mold, began in (("M-001", first), ("M-002", second), ("M-003", third)):
        assert is_right(page, served, mold, began), mold


def test_a_reload_keeps_the_taps_and_the_clocks(served, open_page):
    page = open_page()
    began = tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")
    page.route("**/api/commands", lambda route: route.abort())
    second = tap(page, "M-002", served)
    wait_until(lambda: kept(page) == 1)
    page.wait_for_timeout(1500)

    page.unroute("**/api/commands")
    page.reload()

    expect(page.locator("#card-M-002 .count")).to_have_text("1")
    assert is_right(page, served, "M-001", began)
    assert is_right(page, served, "M-002", second)
    assert kept(page) == 0


def test_an_answer_that_is_lost_does_not_write_twice(served, open_page):
    page = open_page()
    lost = []

    def lose(route):
        route.fetch()
        lost.append(1)
        route.abort()

    page.route("**/api/commands", lose, times=2)
    add(page, "a note may be written twice, so nothing but its id keeps it from it")

    wait_until(lambda: kept(page) == 0 and len(lost) == 2)
    assert len(served.entries("note-made")) == 1


def test_a_page_that_was_frozen_is_right_at_once(served, open_page):
    page = open_page()
    began = tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")
    session = page.context.new_cdp_session(page)

    session.send("Page.setWebLifecycleState", {"state": "frozen"})
    time.sleep(4)
    served.do({"do": "note", "id": "n-1", "text": "meanwhile"})
    session.send("Page.setWebLifecycleState", {"state": "active"})
    page.wait_for_timeout(500)

    assert is_right(page, served, "M-001", began)
    expect(page.locator("#step-line")).to_have_attribute("data-state", "step")


def test_a_phone_that_slept_without_wifi_is_right_on_waking(served, open_page):
    """Some systems stop performance.now() in their sleep; the date goes on."""
    page = open_page()
    began = tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")

    page.context.set_offline(True)
    page.evaluate("trial.hide(true)")
    page.wait_for_timeout(600)
    page.evaluate("trial.set(1800000)")
    served.pass_s(1800)
    page.wait_for_timeout(600)
    page.evaluate("trial.hide(false)")
    page.wait_for_timeout(600)

    assert is_right(page, served, "M-001", began)


@pytest.mark.parametrize("off_ms", [HOUR_MS, pytest.param(-HOUR_MS, marks=pytest.mark.whole)])
def test_a_phones_clock_that_is_an_hour_off_changes_nothing(off_ms, served, open_page):
    page = open_page(clock_off_ms=off_ms)
    began = tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")
    page.wait_for_timeout(1200)

    assert is_right(page, served, "M-001", began)
    page.context.set_offline(True)
    second = tap(page, "M-002", served)
    page.wait_for_timeout(2000)
    page.context.set_offline(False)
    expect(page.locator("#card-M-002 .count")).to_have_text("1", timeout=8000)
    assert is_right(page, served, "M-002", second)


@pytest.mark.parametrize("jump_ms", [pytest.param(600_000, marks=pytest.mark.whole), -600_000])
def test_a_phones_clock_that_jumps_while_the_page_is_open_changes_nothing(
    jump_ms, served, open_page
):
    page = open_page()
    began = tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")

    page.evaluate(f"trial.set({jump_ms})")
    page.wait_for_timeout(700)
    assert is_right(page, served, "M-001", began)

    page.context.set_offline(True)
    page.evaluate(f"trial.set({-2 * jump_ms})")
    second = tap(page, "M-002", served)
    page.wait_for_timeout(1500)
    assert is_right(page, served, "M-001", began)
    page.context.set_offline(False)
    expect(page.locator("#card-M-002 .count")).to_have_text("1", timeout=8000)
    assert is_right(page, served, "M-002", second)


def test_a_server_that_is_killed_and_started_again_is_in_step(served, open_page):
    page = open_page()
    began = tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")

    served.kill()
    expect(page.locator("#step-line")).to_contain_text(
        "The studio is not running on its computer: start it again.", timeout=8000
    )
    second = tap(page, "M-002", served)
    page.wait_for_timeout(1500)
    served.start()

    expect(page.locator("#step-line")).to_have_text("All sent", timeout=10000)
    expect(page.locator("#card-M-002 .count")).to_have_text("1")
    assert is_right(page, served, "M-001", began)
    assert is_right(page, served, "M-002", second)


def test_a_phone_that_is_turned_away_says_so_and_keeps_its_taps(served, open_page, chromium):
    laptop = chromium.new_page()
    context = chromium.new_context(viewport=PHONE)
    paired(laptop, context, served)
    page = open_page(served.lan, context=context)
    tap(page, "M-001", served)
    expect(page.locator("#card-M-001 .count")).to_have_text("1")

    laptop.goto(served.here + "/settings/devices")
    laptop.get_by_role("button", name="Turn away wheel room phone").click()
    expect(page.locator("#step-line")).to_contain_text("no longer paired", timeout=5000)
    tap(page, "M-002", served)
    expect(page.locator("#step-line")).to_contain_text("Kept on this phone: 1 tap")
    assert len(served.entries("step-started")) == 1

    paired(laptop, context, served)
    page.goto(served.lan + "/trial")
    expect(page.locator("#card-M-002 .count")).to_have_text("1")
    assert served.entries("step-started")[-1]["by"] == "wheel room phone"
    laptop.close()


def test_a_phone_that_is_paired_again_under_another_name_sends_its_taps_once(
    served, open_page, chromium
):
    laptop = chromium.new_page()
    context = chromium.new_context(viewport=PHONE)
    paired(laptop, context, served)
    page = open_page(served.lan, context=context)

    page.evaluate(LOSE_ANSWERS)
    add(page, "written down, and the answer lost")
    wait_until(lambda: len(served.entries("note-made")) == 1)
    laptop.goto(served.here + "/settings/devices")
    laptop.get_by_role("button", name="Turn away wheel room phone").click()
    paired(laptop, context, served, "glaze room phone")
    page.goto(served.lan + "/trial")
    wait_until(lambda: kept(page) == 0)
    assert [one["by"] for one in served.entries("note-made")] == ["wheel room phone"]
    assert refused(page) == 0
    laptop.close()


def test_a_tap_that_the_book_refuses_stays_on_the_page_with_the_reason(served, open_page):
    page = open_page()
    page.evaluate(
        "async () => (await import(document.querySelector('script[src*=studio]').src"
        ".replace('studio.js', 'outbox.js')))"
        ".add({do: 'cast', edition: 'tide-cup', molds: 'M-009'}, {words: 'Cast M-009'})"
    )
    said = page.locator("#kept")
    expect(said).to_contain_text("Not written down: Cast M-009")
    expect(said).to_contain_text("There is no mold M-009 in the book")
    expect(page.locator("#undo")).to_have_count(0)

    page.reload()
    said.get_by_role("link", name="Write it by hand").click()
    expect(page.get_by_label("Molds", exact=True)).to_have_value("M-009")
    page.go_back()
    said.get_by_role("button", name="Leave it out").click()
    expect(said).to_be_hidden()


def test_what_was_refused_is_shown_in_the_place_of_a_later_taps_undo(served, open_page):
    """In a dock both buttons have one place, and one would lie over the other."""
    page = open_page()
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    page.evaluate(
        "async () => { const box = await import(document.querySelector('script[src*=studio]').src"
        ".replace('studio.js', 'outbox.js'));"
        "box.add({do: 'cast', edition: 'tide-cup', molds: 'M-009'}, {words: 'Cast M-009'});"
        "box.add({do: 'note', edition: 'tide-cup', text: 'dry seam'}, {words: 'Noted'}); }"
    )
    expect(page.locator("#refusal")).to_contain_text("Not written down: Cast M-009")
    assert page.locator("#undo").count() == 0


def send_from(page, command):
    """Let a page keep and send a tap that it has no button for."""
    page.evaluate(
        "async command => (await import(document.querySelector('script[src*=studio]').src"
        ".replace('studio.js', 'outbox.js'))).add(command, {words: 'A tap'})",
        command,
    )


def test_a_tap_that_the_book_asks_about_is_written_by_a_second_press(served, open_page):
    """And a step that another phone has started is nothing to be read."""
    served.do({"do": "pour", "id": "p", "edition": "tide-cup", "count": 1})
    page = open_page()
    send_from(page, {"do": "destroy", "molds": "M-001"})
    said = page.locator("#kept")
    expect(said).to_contain_text("M-001 could still make tide-cup: 1-24 of 24 are not made.")
    page.reload()
    said.get_by_role("button", name="Go on all the same").click()
    expect(said).to_be_hidden()
    wait_until(lambda: served.entries()[-1]["kind"] == "mold-destroyed")
    assert served.entries()[-1]["body"]["asked"]

    step = {"do": "start-step", "edition": "tide-cup", "what": "M-002", "step": "soak"}
    served.do(step | {"id": "other-phone"})
    send_from(page, step)
    wait_until(lambda: kept(page) == 0)
    assert refused(page) == 0


def test_an_undo_without_wifi_follows_its_tap(served, open_page):
    page = open_page()
    page.context.set_offline(True)
    tap(page, "M-005", served)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#step-line")).to_contain_text("Kept on this phone: 2 taps")
    page.context.set_offline(False)

    wait_until(lambda: kept(page) == 0)
    kinds = [one["kind"] for one in served.entries()]
    assert kinds == ["edition-planned", "step-started", "step-voided"]


def test_two_pages_of_one_phone_send_each_tap_once_and_in_order(served, open_page):
    one = open_page()
    other = open_page(context=one.context)
    one.context.set_offline(True)
    for number in range(10):
        add((one, other)[number % 2], f"note {number}")
    one.context.set_offline(False)

    wait_until(lambda: kept(one) == 0)
    texts = [entry["body"]["text"] for entry in served.entries("note-made")]
    assert texts == [f"note {number}" for number in range(10)]


@pytest.mark.parametrize("seed", [pytest.param(1, marks=pytest.mark.whole), 2])
def test_a_bad_day_loses_no_tap_and_writes_none_twice(seed, served, open_page):
    """Wifi that comes and goes, lost answers, reloads and a server that is killed twice."""
    draw = random.Random(seed)
    page = open_page(served.here)
    tapped = []
    page.route("**/api/commands", lambda route: _unlucky(route, draw))
    for number in range(40):
        match draw.randrange(6):
            case 0:
                page.context.set_offline(True)
            case 1 | 2:
                page.context.set_offline(False)
            case 3 if number in (13, 14, 27, 28):
                served.kill()
                add(page, f"tap {number}, no server")
                tapped.append(f"tap {number}, no server")
                served.start()
            case 4:
                page.context.set_offline(False)
                with suppress(Error):
                    page.reload()
        add(page, f"tap {number}")
        tapped.append(f"tap {number}")
    served.kill()
    served.start()
    page.context.set_offline(False)
    page.unroute_all(behavior="ignoreErrors")
    page.reload()

    wait_until(lambda: kept(page) == 0, 60)
    texts = [entry["body"]["text"] for entry in served.entries("note-made")]
    assert texts == tapped


def _unlucky(route, draw):
    with suppress(Error):
        match draw.randrange(4):
            case 0:
                route.abort()
            case 1:
                route.fetch()
                route.abort()
            case _:
                route.continue_()


def test_the_molds_of_the_trial_are_labels():
    assert all(re.fullmatch(r"M-\d{3}", mold) for mold in MOLDS)


def test_a_tap_outlives_a_book_that_was_removed_and_the_page_says_what_to_do(served, open_page):
    page = open_page()
    (served.folder / "book.db").unlink()
    tap(page, MOLDS[0], served)
    line = page.locator("#step-line")
    expect(line).to_contain_text("no longer the file that was opened", timeout=10_000)
    expect(line).to_contain_text("pourwright book restore book-")
    expect(line).to_contain_text("Kept on this phone: 1 tap")

    served.stop()
    (kept,) = served.folder.glob("book-2*.db")
    assert run(["book", "restore", str(kept), "--folder", str(served.folder)]) == 0
    served.start()
    expect(line).to_have_attribute("data-state", "step", timeout=20_000)
    expect(line).to_have_text("All sent", timeout=20_000)
    assert len(served.entries("step-started")) == 1


@pytest.mark.whole
def test_lost_wifi_a_closed_laptop_and_a_program_that_ended_are_told_apart(
    served, open_page, chromium
):
    laptop = chromium.new_page()
    context = chromium.new_context(viewport=PHONE)
    paired(laptop, context, served)
    laptop.close()
    page = open_page(served.lan, context=context)
    line = page.locator("#step-line")

    def wifi(there):  # a browser that runs without a network has none of its own
        page.evaluate("is => Object.defineProperty(navigator, 'onLine', {value: is, configurable: true})", there)  # fmt: skip
        page.evaluate(f"dispatchEvent(new Event('{'online' if there else 'offline'}'))")

    page.route(re.compile("/api/clock|/stream"), lambda route: route.abort())
    wifi(False)
    expect(line).to_contain_text("No wifi here. Clocks go on.")
    page.unroute_all()
    wifi(True)
    expect(line).to_have_text("All sent", timeout=8000)

    # a laptop that sleeps: what is asked of it is never answered
    page.evaluate(
        "() => { const sent = window.fetch; window.fetch = (what, how) => "
        "new Promise((_, failed) => how?.signal?.addEventListener('abort', () => failed(how.signal.reason)));"
        "window.wakes = () => { window.fetch = sent; }; dispatchEvent(new Event('online')); }"
    )
    expect(line).to_contain_text(
        "does not answer: it is closed, asleep or out of reach", timeout=8000
    )
    page.evaluate("wakes()")
    expect(line).to_have_text("All sent", timeout=8000)

    served.kill()
    expect(line).to_contain_text("The studio is not running on its computer", timeout=8000)
    served.start()


def test_what_came_while_somebody_wrote_is_shown_once_the_field_is_left(served, open_page):
    """The news is not lost: no further news has to come, and what nobody is at shows it meanwhile."""
    page = open_page()
    page.evaluate(
        "() => { const field = document.createElement('input'); field.id = 'typed';"
        "document.querySelector('[data-live]').append(field); field.focus(); }"
    )
    step = {"do": "start-step", "edition": "tide-cup", "what": "M-002", "step": "drain 1"}
    served.do(step | {"id": "other-phone"})
    expect(page.locator("[data-live=done]")).to_have_text("0 1 0 0 0 0")
    expect(page.locator("#typed")).to_be_focused()
    expect(page.locator("#card-M-002 .count")).to_have_text("0")
    page.evaluate("document.activeElement.blur()")
    expect(page.locator("#card-M-002 .count")).to_have_text("1", timeout=4000)


@pytest.mark.whole
def test_back_and_once_more_is_not_written_twice(served, open_page):
    page = open_page()
    page.goto(f"{served.here}/do/note")
    page.get_by_label("Text").fill("the bag is open")
    page.get_by_role("button", name="Write it down").click()
    page.locator(".said").wait_for()
    page.go_back()
    page.get_by_role("button", name="Write it down").click()
    page.locator(".said, [role=alert]").first.wait_for()
    page.wait_for_timeout(500)
    assert len(served.entries("note-made")) == 1


@pytest.mark.whole
def test_a_form_outlives_a_server_that_was_killed_and_is_written_once(served, open_page):
    page = open_page()
    page.goto(f"{served.here}/do/note")
    page.get_by_label("Text").fill("the bag is open")
    served.kill()
    line = page.locator("#step-line")
    expect(line).to_contain_text("The studio is not running on its computer", timeout=8000)
    write = page.get_by_role("button", name="Write it down")
    write.click()
    stays = page.get_by_role("alert").filter(has_text="this page stays open")
    expect(stays).to_contain_text("The studio is not running on its computer: start it again.")
    stays.get_by_role("button").click()
    assert page.get_by_label("Text").input_value() == "the bag is open"
    served.start()
    expect(line).to_have_text("All sent", timeout=10_000)
    write.dblclick()
    page.locator(".said").wait_for()
    assert len(served.entries("note-made")) == 1
