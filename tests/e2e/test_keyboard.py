"""Everything on every page can be reached and done by the keyboard alone (WCAG 2.2: 2.1.1, 2.1.2,
2.4.7).
"""

import itertools
import shutil

import pytest

from tests.e2e.page_shots import BENCH, SAMPLE, SHOTS
from tests.e2e.serving import Served


@pytest.fixture(scope="module")
def page(chromium):
    """Yield a page whose every focus is noted, with what changes where it is."""
    with chromium.new_context(viewport={"width": 1280, "height": 800}) as context:
        page = context.new_page()
        page.add_init_script(NOTE)
        yield page


# What can take the focus, as HTML has it; of radio buttons of one name the keyboard reaches one,
# and the arrow keys the others.
NOTE = r"""
(() => {
  const CAN = "a[href], button, input, select, textarea, summary, [tabindex], [contenteditable]";
  const LOOK = ["outlineStyle", "outlineWidth", "outlineColor", "boxShadow", "borderTopColor",
                "borderTopWidth", "backgroundColor", "color", "textDecorationLine", "clipPath", "top"];
  const looks = one => [one, one.parentElement, one.closest("label")].filter(Boolean)
    .map(each => LOOK.map(name => getComputedStyle(each)[name]).join()).join("|");
  const group = one => one.type === "radio" ? `${one.name} of ${[...document.forms].indexOf(one.form)}` : null;
  window.keyboard = {
    all() {
      document.querySelectorAll("details").forEach(one => { one.open = true; });
      document.activeElement?.blur();
      const found = [...document.querySelectorAll(CAN)].filter(one =>
        one.tabIndex >= 0 && !one.disabled && one.type !== "hidden" && one.checkVisibility());
      this.list = found;
      this.before = found.map(looks);
      this.names = found.map(one => `${one.tagName} ${(one.textContent || one.name || "").trim().slice(0, 40)}`);
      this.order = [];
      document.addEventListener("focusin", event => {
        const place = found.indexOf(event.target);
        this.order.push(place);
        if (place >= 0 && looks(event.target) === this.before[place]) this.unseen.push(this.names[place]);
      });
      this.unseen = [];
      return found.length;
    },
    left() {
      const reached = new Set(this.order);
      const groups = new Set(this.order.filter(one => one >= 0).map(one => group(this.list[one])).filter(Boolean));
      return this.names.filter((name, place) => !reached.has(place) && !groups.has(group(this.list[place])));
    },
    pointed() {
      const own = `${CAN.replace("[tabindex]", "[tabindex='0']")}, label`;
      return [...document.body.querySelectorAll("*")].filter(one =>
        getComputedStyle(one).cursor === "pointer" && !one.closest(own) && one.checkVisibility())
        .map(one => one.outerHTML.slice(0, 80));
    },
  };
})();
"""


def keyboard_faults(page, address):
    """Go through a page by the tabulator; return what cannot be reached, or not be seen there."""
    page.goto(address)
    # a plan that arrives exchanges what it is offered in
    page.wait_for_function("() => !document.body.innerText.includes('being worked out')")
    count = page.evaluate("() => keyboard.all()")
    for _ in range(count + 2):
        page.keyboard.press("Tab")
    order = page.evaluate("() => keyboard.order")
    found = {
        "never reached": page.evaluate("() => keyboard.left()"),
        "not seen": page.evaluate("() => keyboard.unseen"),
        "by mouse only": page.evaluate("() => keyboard.pointed()"),
        # past the last control the browser itself has its turn, and begins anew as it likes
        "held": [one for one, after in itertools.pairwise(order) if one == after != order[0]],
        "something strange": [one for one in order if one < 0],
    }
    return {what: told for what, told in found.items() if told}


@pytest.mark.parametrize("path", ["/", "/bench/slip", "/bench/plaster", "/do/cast"])
def test_the_keyboard_reaches_all_that_can_be_pressed_and_is_seen_there(path, page, studios):
    """The slip bench among them: every tap is reached in the order in which they stand."""
    assert keyboard_faults(page, studios[BENCH].here + path) == {}


@pytest.mark.whole
def test_the_keyboard_reaches_all_on_every_page(page, studios):
    """Of each route the page that is looked at last, which has the most on it."""
    last = {one.route: one for one in SHOTS if one.studio in (BENCH, SAMPLE)}
    faults = {
        one.name: keyboard_faults(page, studios[one.studio].here + one.path)
        for one in last.values()
    }

    assert len(last) > 30
    assert {name: found for name, found in faults.items() if found} == {}


def test_what_the_keyboard_misses_would_be_found(page, studios):
    """A button left out of the order, one that holds the focus, one whose focus is not seen."""
    page.goto(f"{studios[BENCH].here}/do")
    page.evaluate(
        """() => {
          const add = words => { const one = document.createElement("button");
                                 one.textContent = words; document.querySelector("main").append(one);
                                 return one; };
          const bare = new CSSStyleSheet();
          bare.replaceSync(".bare, .bare:focus-visible { outline: none; } .mouse { cursor: pointer; }");
          document.adoptedStyleSheets = [bare];
          add("unseen").className = "bare";
          const mouse = document.createElement("p");
          mouse.className = "mouse";
          mouse.textContent = "press me";
          document.querySelector("main").append(mouse);
          const held = add("held");
          held.addEventListener("keydown", event => { if (event.key === "Tab") event.preventDefault(); });
          add("after it");
        }"""
    )
    count = page.evaluate("() => keyboard.all()")
    for _ in range(count + 2):
        page.keyboard.press("Tab")

    assert page.evaluate("() => keyboard.left()") == ["BUTTON after it"]
    assert page.evaluate("() => keyboard.unseen") == ["BUTTON unseen"]
    assert len(page.evaluate("() => keyboard.pointed()")) == 1


@pytest.fixture
def served(tmp_path, sample_folder, chromium):
    """Yield a sample studio of the test's own."""
    studio = Served(shutil.copytree(sample_folder, tmp_path / "studio")).start()
    yield studio
    studio.kill()


BETWEEN_TAPS_MS = 1000
"""A second tap on a card within 0.7 s is taken for a wet glass's, a key's as well."""
FOCUSED = "() => (document.activeElement.getAttribute('name') || document.activeElement.textContent).trim()"


def tab_to(page, words):
    """Go on by the tabulator until what has the focus is called so."""
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate(FOCUSED).startswith(words):
            return
    raise AssertionError(f"the keyboard never came to {words!r}")


def test_a_mold_is_filled_drained_and_undone_and_a_note_written_without_a_mouse(page, served):
    page.goto(f"{served.here}/bench/slip")
    mold = page.locator("button", has_text="Fill M-").first.inner_text().split()[-1]
    tab_to(page, f"Fill {mold}")
    page.keyboard.press("Enter")
    page.get_by_role("button", name=f"Drain {mold}", exact=True).wait_for()
    page.wait_for_timeout(BETWEEN_TAPS_MS)
    tab_to(page, f"Drain {mold}")
    page.keyboard.press("Space")  # a cast that is drained at once is lost, so that is asked
    page.get_by_role("group", name=f"min early: drain {mold}?").wait_for()
    page.wait_for_timeout(BETWEEN_TAPS_MS)
    assert (
        page.evaluate("document.activeElement.textContent") == "Not yet"
    )  # a second press is safe
    tab_to(page, "Yes, drain")
    page.keyboard.press("Space")
    page.get_by_role("button", name=f"Open {mold}", exact=True).wait_for()
    page.get_by_text("All sent").wait_for()
    tab_to(page, "Undo")
    page.keyboard.press("Enter")
    page.get_by_role("button", name=f"Drain {mold}", exact=True).wait_for()

    tab_to(page, "Records")  # in the menu
    page.keyboard.press("Enter")
    page.wait_for_url("**/records")
    tab_to(page, "Write something down")
    page.keyboard.press("Enter")
    page.wait_for_url("**/do")
    tab_to(page, "Lots, counts")
    page.keyboard.press("Enter")
    tab_to(page, "Note")
    page.keyboard.press("Enter")
    page.wait_for_url("**/do/note**")
    tab_to(page, "text")
    page.keyboard.type("Written by keys alone.")
    tab_to(page, "Write it down")
    page.keyboard.press("Enter")
    page.locator(".said").wait_for()

    steps = [one["body"]["step"] for one in served.entries("step-started")
             if one["body"]["what"].startswith(mold)]  # fmt: skip
    assert steps[-2:] == ["fill", "drain"]
    assert served.entries("step-voided")[-1]["seq"] > served.entries("step-started")[-1]["seq"]
    assert served.entries("note-made")[-1]["body"]["text"] == "Written by keys alone."
