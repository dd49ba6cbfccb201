"""Today, both benches, the shelf and a mold, looked at in a browser at both sizes and schemes."""

import shutil
from datetime import UTC, datetime, timedelta

import pytest

from tests.bench_studio import EDITION, lay_out, planned
from tests.e2e.page_looks import LOOKS, SIZES, axe_faults, faults_of, watched
from tests.e2e.serving import Served
from tests.e2e.test_plan_page import lay_out as on_one_sheet


def before(days=0.0, minutes=0.0):
    when = datetime.now(UTC) - timedelta(days=days, minutes=minutes)
    return when.isoformat(timespec="seconds").replace("+00:00", "Z")


def commands():
    """Yield some weeks of a studio: molds dry and wet, a broken part, clocks running."""
    of = {"edition": EDITION}
    yield planned(at=before(60))
    yield {
        "do": "mix-lot",
        "what": "plaster",
        "name": "fine white",
        "mass": "25 kg",
        "at": before(50),
    }
    yield {"do": "mix-lot", "what": "slip", "name": "white, May", "at": before(30)}
    yield {
        "do": "make-form",
        **of,
        "what": "master",
        "name": "master of the outside",
        "at": before(52),
    }
    yield {"do": "pour", **of, "count": 3, "lot": "B-001", "at": before(45)}
    yield {"do": "dry", **of, "molds": "1-3", "at": before(35)}
    for day in range(30, 20, -1):
        lost = {"lost": "1 stuck"} if day == 24 else {}
        yield {"do": "cast", **of, "molds": "1-3", "lot": "S-001", "at": before(day), **lost}
    yield {"do": "judge", **of, "molds": "2", "verdict": "softer", "at": before(20)}
    yield {"do": "break-part", "mold": 3, "part": "foot", "at": before(10)}
    yield {"do": "pour", **of, "count": 1, "lot": "B-001", "at": before(6)}
    for day in range(5, 0, -1):
        yield {
            "do": "weigh",
            "mold": 4,
            "mass": f"{4.9 - 0.1 * (5 - day):.2f} kg",
            "at": before(day),
        }
    yield {"do": "load", **of, "firing": "bisque", "count": 12, "at": before(4)}
    yield {
        "do": "start-step",
        **of,
        "what": "M-001 cast 11",
        "step": "fill",
        "target": "750 s",
        "at": before(0, 14),
    }
    yield {
        "do": "start-step",
        **of,
        "what": "M-002 cast 11",
        "step": "fill",
        "target": "750 s",
        "at": before(0, 12),
    }
    yield {"do": "start-step", **of, "what": "M-002 cast 11", "step": "open", "at": before(0, 1)}
    yield {
        "do": "start-step",
        **of,
        "what": "batch 1: 2 molds",
        "step": "weigh",
        "at": before(0, 9),
    }
    yield {"do": "start-step", **of, "what": "batch 1: 2 molds", "step": "sift", "at": before(0, 2)}


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    studio = Served(lay_out(tmp_path_factory.mktemp("studio"))).start()
    answers = studio.do(*({"id": f"c-{n}"} | one for n, one in enumerate(commands())))
    assert [one for one in answers if not one["ok"]] == []
    yield studio
    studio.kill()


@pytest.fixture(scope="module")
def shots(root, chromium):
    """Return where screenshots go; in the end they are laid side by side on one sheet."""
    folder = root / "artifacts" / "bench-pages"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    yield folder
    on_one_sheet(chromium, sorted(folder.glob("*.png")), root / "artifacts" / "bench-pages.png")


def lost_opened(page):
    page.get_by_text("Lost, M-002").click()


def weighed_out(page):
    page.get_by_label("Complete molds").fill("3")
    page.get_by_role("button", name="What to weigh").click()


def wall_wrong(page):
    page.get_by_label("Wall found").fill("thick")
    page.get_by_role("button", name="Retime the molds that stand").click()


def offers_shown(page):
    page.locator(".offer-count").wait_for(timeout=60_000)


PAGES = {
    "today": ("/", offers_shown),
    "bench": ("/bench", None),
    "slip": ("/bench/slip", lost_opened),
    "slip-refused": ("/bench/slip", wall_wrong),
    "plaster": ("/bench/plaster", weighed_out),
    "reminders": ("/bench/plaster/reminders", None),
    "shelf": ("/shelf", None),
    "mold": ("/shelf/M-004", None),
    "mold-cast": ("/shelf/M-001", None),
    "offered": ("/offered/reed-bowl", None),
}


@pytest.mark.parametrize(("size", "scheme"), LOOKS)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_looks_as_it_should(served, chromium, shots, name, size, scheme):
    path, then = PAGES[name]
    width, height = SIZES[size]
    # axe is a script that the policy would keep out; complaints are heard under the policy
    for under_policy in (True, False):
        with chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme=scheme,
            has_touch=size == "phone",
            bypass_csp=not under_policy,
        ) as context:
            page, complaints = watched(context)
            page.goto(served.here + path)
            page.wait_for_selector('#step-line[data-state="step"]')
            if then:
                then(page)
            if under_policy:
                for picture in page.locator("img").all():
                    picture.scroll_into_view_if_needed()
                    page.wait_for_function(
                        "one => one.complete && one.naturalWidth > 0", arg=picture.element_handle()
                    )
                page.screenshot(path=shots / f"{name}-{size}-{scheme}.png", full_page=True)
                assert complaints == []
            else:
                assert axe_faults(page) == []
                assert faults_of(page) == []


def test_every_tap_is_reached_by_the_keyboard(served, chromium):
    """Tab goes through every action of the slip bench in the order in which they stand."""
    page = chromium.new_page()
    page.goto(served.here + "/bench/slip")
    page.wait_for_selector('#step-line[data-state="step"]')
    shown = page.locator(
        "main button:visible, main a:visible, main summary:visible, main input:visible"
    ).count()
    page.locator("#main").focus()
    reached = set()
    for _ in range(3 * shown):
        page.keyboard.press("Tab")
        words = page.evaluate(
            "document.activeElement.closest('main') ? document.activeElement.textContent.trim() : ''"
        )
        reached.add(words)
    visible = page.locator("main button:visible").all_text_contents()
    assert {one.strip() for one in visible} <= reached
    page.close()


def test_the_bench_is_read_from_an_arm_away(served, chromium):
    """Bench text has a contrast of 7:1 or more (WCAG 2.2, 1.4.6) against what it stands on."""
    page = chromium.new_page(viewport={"width": 390, "height": 844})
    page.goto(served.here + "/bench/slip")
    low = page.evaluate(CONTRAST)
    assert low == []
    page.close()


CONTRAST = """
() => {
  const lum = color => {
    const [r, g, b] = color.match(/[\\d.]+/g).map(Number).map(v => v / 255)
      .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = one => {
    for (let up = one; up; up = up.parentElement) {
      const color = getComputedStyle(up).backgroundColor;
      if (!/rgba\\(0, 0, 0, 0\\)|transparent/.test(color)) return color;
    }
    return "rgb(255, 255, 255)";
  };
  return [...document.querySelectorAll(".bench-cards *")].filter(one => one.checkVisibility()
    && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
    .map(one => {
      const [a, b] = [lum(getComputedStyle(one).color), lum(ground(one))].sort((x, y) => y - x);
      return { text: one.textContent.trim().slice(0, 30), ratio: (a + 0.05) / (b + 0.05) };
    }).filter(one => one.ratio < 7);
}
"""
