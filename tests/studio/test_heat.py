"""Thermometer logs: the law through them against a general solver, windows, and targets at the bench."""

from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pourwright.briefs.folder import brief_here
from pourwright.studio.bench.clocks import steps_of
from pourwright.studio.bench.heat import (
    heat_shown,
    opening_mark,
    windows_words,
)
from pourwright.studio.bench.heat_fits import (
    HeatFit,
    HeatWindows,
    Window,
    heat_fits,
    windows_of,
)
from pourwright.studio.bench.heat_logs import (
    logs_of,
    logs_of_mold,
    logs_of_plaster,
)
from pourwright.studio.bench.plaster import log_links, plaster_bench, plaster_cards
from pourwright.studio.book import open_book
from tests.bench_studio import EDITION, lay_out, planned

NOW = datetime(2031, 5, 6, 12, 0, tzinfo=ZoneInfo("Europe/Copenhagen"))
SET_MIN, J_PER_G, THICK_MM, ROOM_C, START_C = 15.0, 110.0, 60.0, 18.0, 21.0
TYPED = "5 min 20.2 C; 10 min 22 C; 15 min 26.1 C; 20 min 33 C; 25 min 40.4 C; 30 min 46.7 C; 35 min 49.3 C; 40 min 48.6 C; 50 min 46 C; 60 min 43.3 C"


@lru_cache(maxsize=1)
def solved():
    """
    The middle of a slab that sets, by SciPy's Radau on cells of our own, minute by minute. [degC]

    Schiller, J. Appl. Chem. Biotechnol. 24 (1974) 379, in rate form; heat capacities of the BRGM's
    Thermoddem sheets and IAPWS; volume of the mix from the densities 2680 and 998.2 kg/m3.
    """
    k0, k1, k2 = (SET_MIN / 12 * one for one in (2.0, 20.0, 15.0))
    cells, water = 60, 0.70
    wide = THICK_MM / 2000 / cells
    plaster = 1 / (1 / 2680 + water / 998.2)

    def rate(_, state):
        t, a = state[:-1], min(max(state[-1], 1e-6), 1 - 1e-9)
        turning = 3 / (k1 * a ** (-2 / 3) + k2 * (1 - a) ** (-2 / 3)) if state[-1] < 1 - 1e-6 else 0.0  # fmt: skip
        holds = plaster * (823 * (1 - a) + 1082 * 1.18618 * a + 4181 * (water - 0.18618 * a))
        flow = 0.8 / wide * np.diff(t)
        out = (t[-1] - ROOM_C) / (wide / 2 / 0.8 + 1 / 10)
        gain = np.append(flow, -out) - np.append(0.0, flow)
        return np.append((60 * gain / wide + plaster * J_PER_G * 1000 * turning) / holds, turning)

    first = np.append(np.full(cells, START_C), 1e-6)
    at = np.arange(np.ceil(k0), 91.0)
    # a kink at the end of setting: small steps carry the solver over it
    found = solve_ivp(rate, (k0, 90.0), first, "Radau", t_eval=at, rtol=1e-6, atol=1e-7, max_step=0.5)  # fmt: skip
    return at, found.y[0]


@pytest.fixture
def folder(tmp_path):
    return lay_out(tmp_path)


@pytest.fixture
def book(folder):
    opened = open_book(folder)
    yield opened
    opened.store.close()


@pytest.fixture
def do(book):
    count = iter(range(1000))

    def done(verb, *, ago_min=0.0, **fields):
        at = (NOW - timedelta(minutes=ago_min)).astimezone(UTC).isoformat(timespec="seconds")
        command = {"do": verb, "id": f"c-{next(count)}", "at": at.replace("+00:00", "Z"), **fields}
        return book.do(command, NOW)

    plan = {k: v for k, v in planned(conditioning=0).items() if k not in ("do", "id")}
    done("plan-edition", ago_min=90_000, **plan)
    return done


def log(do, **told):
    told = {"batch": "batch 1: 2 molds", "thickness": "60 mm", "readings": TYPED} | told
    return do("log-thermometer", edition=EDITION, **told)


def batch(do, name, ago_min, until="open"):
    """Time a batch: sifted at the given minutes ago, poured up after 10, opened after 75."""
    for step, after in (("weigh", -5), ("sift", 0), ("soak", 3), ("mix", 5), ("cream", 7), ("pour", 8),
                        ("set", 10), ("heat", 25), ("cool", 36), ("open", 75)):  # fmt: skip
        do("start-step", ago_min=ago_min - after, edition=EDITION, what=name, step=step)
        if step == until:
            break


def logs(book, consistency=70.0):
    with book.reading() as reading:
        return logs_of(reading.things, EDITION, consistency)


def test_the_law_finds_the_plaster_that_a_general_solver_was_given(book, do):
    """Readings each four minutes, rounded to the tenth that a thermometer shows."""
    at, middle = solved()
    readings = "\n".join(f"{m:.0f} min {t:.1f} C" for m, t in zip(at, middle, strict=True) if m % 4 == 0)  # fmt: skip
    log(do, readings=readings, mix_temperature=f"{START_C} C", room_temperature=f"{ROOM_C} C")
    (fit,) = heat_fits(logs(book))

    assert fit.set_min == pytest.approx(SET_MIN, rel=0.01)
    assert fit.heat_j_per_g == pytest.approx(J_PER_G, rel=0.01)
    assert fit.hottest_c == pytest.approx(middle.max(), abs=0.15)
    assert fit.hottest_min == pytest.approx(at[middle.argmax()], abs=1.0)
    assert fit.off_k < 0.15
    assert fit.hottest_span_min[0] <= at[middle.argmax()] <= fit.hottest_span_min[1] + 1


def test_the_law_ends_at_the_last_reading(book, do):
    log(do)
    (fit,) = heat_fits(logs(book))

    assert (fit.minutes[0], fit.minutes[-1]) == (0.0, 60.0)
    assert max(fit.law_c) == fit.hottest_c


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"readings": "5 min 20 C; 10 min 22 C; 15 min 26 C"}, "at least 6"),
        ({"readings": "; ".join(f"{5 * n} min {20 + 5 * n} C" for n in range(1, 8))}, "Keep reading until it cools"),
        ({"readings": "; ".join(f"{15 + 5 * n} min {50 - n} C" for n in range(8))}, "temperature of the mix"),
        ({"readings": "2 min 20 C; 3 min 60 C; 4 min 20 C; 5 min 60 C; 6 min 20 C; 7 min 60 C; 8 min 20 C"}, "distance of the log"),
    ],
)  # fmt: skip
def test_a_log_without_a_law_says_why(book, do, told, said):
    log(do, **told)
    (one,) = logs(book)
    (fit,) = heat_fits([one])
    shown = heat_shown(one, fit, "metric", "UTC")

    assert said in shown.fault
    assert shown.facts == ()
    assert all(row[2] == row[3] == "" for row in shown.rows)
    assert windows_of([one], {one: fit}) == HeatWindows()


def test_a_log_is_what_it_says_and_the_studio_fills_the_rest(book, do):
    batch(do, "batch 1: 2 molds", 200)
    log(do, batch="Batch 1")
    log(do, consistency=65, poured="12 min", room_temperature="64 F", one_face=True)
    second, first = sorted(logs(book), key=lambda one: one.consistency)

    assert (first.consistency, first.start_c, first.room_c, first.room_told) == (70, 20.2, 20, False)  # fmt: skip
    assert (first.poured_min, first.opened_min, first.open_faces) == (10, 75, 2)
    assert (second.poured_min, second.open_faces) == (12, 1)
    assert second.room_c == pytest.approx((64 - 32) / 1.8, abs=1e-6)  # NIST SP 811, B.8


def test_only_logs_of_the_plaster_at_hand_count(book, do):
    do("mix-lot", what="plaster", name="Pottery plaster, first bag")
    do("mix-lot", what="plaster", name="hard plaster")
    do("mix-lot", what="plaster", name="pottery plaster ")
    for told in ({}, {"lot": "B-001"}, {"lot": "B-002"}, {"lot": "B-009"}, {"consistency": 60}):
        log(do, **told)
    with book.reading() as reading:
        found = logs_of_plaster(reading.things, 70.0, "B-003")

    assert sorted(one.lot for one in found) == ["", "B-001", "B-009"]


def test_a_mold_has_the_log_of_its_batch_and_no_other(book, do):
    batch(do, "batch 1: 2 molds", 400)
    batch(do, "batch 2: 1 mold", 200)
    do("pour", ago_min=392, edition=EDITION, count=2, go_on=True)
    do("pour", ago_min=192, edition=EDITION, count=1)
    log(do, batch="batch 1: 2 molds")
    log(do, batch=None, mold="M-003")
    with book.reading() as reading:
        found = {m: [one.name for one in logs_of_mold(reading.things, m, 70.0)] for m in ("M-001", "M-002", "M-003", "M-099")}  # fmt: skip

    assert found == {"M-001": ["batch 1: 2 molds"], "M-002": ["batch 1: 2 molds"], "M-003": ["M-003"], "M-099": []}  # fmt: skip


def test_a_swapped_part_brings_its_log(book, do):
    do("pour", ago_min=9000, edition=EDITION, count=1, go_on=True)
    do("pour-part", ago_min=300, edition=EDITION, part="foot")
    log(do, batch=None, spare="T-001")
    do("swap-part", ago_min=100, mold="M-001", part="foot")
    with book.reading() as reading:
        assert [one.spare for one in logs_of_mold(reading.things, "M-001", 70.0)] == ["T-001"]


def fitted(low, high, **more):
    return HeatFit(hottest_min=(low + high) / 2, hottest_span_min=(low, high), **more)


def test_windows_span_the_logs_and_say_how_many(book, do):
    batch(do, "batch 1: 2 molds", 400)
    batch(do, "batch 2: 1 mold", 200, until="heat")
    for told in ({}, {"batch": "batch 2"}, {"batch": "never timed"}):
        log(do, **told)
    mine = sorted(logs(book), key=lambda one: one.batch)
    fits = dict(zip(mine, [fitted(33, 38), fitted(36, 41), HeatFit(fault="no")], strict=True))
    found = windows_of(mine, fits)

    assert found == HeatWindows(Window(33, 41, 2), Window(75, 75, 1), (60, 60))
    words = " ".join(windows_words(found, 70.0, "metric"))
    assert "Hottest 33 to 41 min" in words
    assert "2 thermometer logs of this plaster at 70" in words
    assert "Opened 75 min after plaster met water, in 1 logged batch" in words
    assert ", in parts 60 mm thick. A thicker part is hottest later" in words
    assert windows_words(HeatWindows(), 70.0, "us") == ()
    never = windows_words(HeatWindows(Window(33, 41, 2)), 70.0, "metric", 50.0)[-1]
    assert "open 50 min after the pour, and never before its hottest" in never


def test_windows_say_between_which_thicknesses_they_were_logged(book, do):
    for thickness in ("60 mm", "1 1/2 in"):
        log(do, thickness=thickness)
    mine = logs(book)
    found = windows_of(mine, {one: fitted(33, 38) for one in mine})

    assert found.thickness_mm == pytest.approx((38.1, 60))
    assert ", in parts 38 mm to 60 mm thick." in windows_words(found, 70.0, "metric")[0]
    assert ", in parts 1 1/2 in to 2 3/8 in thick." in windows_words(found, 70.0, "us")[0]


def bench_card(book, folder, windows):
    here = brief_here(folder, EDITION, NOW.date())
    with book.reading() as reading:
        return plaster_cards(
            reading.things,
            EDITION,
            steps_of(reading.things, EDITION),
            here.brief,
            here.studio,
            NOW,
            windows,
        )[0]


def target(card, phase):
    panel = next(one for one in card.panels if one.phase == phase)
    return panel.target_min, panel.note


def test_the_bench_aims_at_the_logs_from_its_own_pour(book, folder, do):
    """Plaster met water ten minutes before the pour ended, from which the clock counts."""
    batch(do, "batch 1: 2 molds", 30, until="heat")
    card = bench_card(book, folder, HeatWindows(Window(33, 41, 2), Window(75, 80, 2)))

    assert target(card, "heat") == (
        27,
        "hottest after 23 to 31 min, by 2 thermometer logs of yours",
    )
    aim, note = target(card, "cool")
    assert aim == 60  # the studio's own time, an hour: later than the hottest
    assert "opened after 65 to 70 min, by 2 thermometer logs of yours" in note
    file = folder / "studio.toml"
    text = file.read_text(encoding="utf-8").replace('set = "60 min"', 'set = "50 min"')
    file.write_text(text, encoding="utf-8")
    aim, note = target(bench_card(book, folder, HeatWindows(Window(33, 41, 2))), "cool")
    assert (aim, note) == (50, "50 min by your studio file")


def test_no_batch_is_to_be_opened_before_it_is_hottest(book, folder, do):
    batch(do, "batch 1: 2 molds", 30, until="heat")
    aim, note = target(bench_card(book, folder, HeatWindows(Window(70, 92, 1))), "cool")

    assert aim == 82
    assert note == "1 h 22 min, past its hottest"  # the clock's figure alone


@pytest.mark.parametrize("windows", [None, HeatWindows(), HeatWindows(Window(4, 6, 1))])
def test_without_a_log_that_fits_no_time_is_made_up(book, folder, do, windows):
    batch(do, "batch 1: 2 molds", 30, until="heat")

    assert target(bench_card(book, folder, windows), "heat")[0] is None


def test_opening_is_an_hour_after_the_pour_or_the_hottest(book, do):
    """Opening after about an hour: a handbook of slip casting, as the figure of setting has it."""
    log(do, poured="8 min")
    (one,) = logs(book)

    assert opening_mark(one, fitted(33, 38)) == (68, "open at the earliest")
    assert opening_mark(one, fitted(33, 38), 50) == (58, "open at the earliest")
    assert opening_mark(one, fitted(79, 81)) == (80, "open at the earliest")
    assert opening_mark(one, HeatFit(fault="no")) is None


def test_a_button_leads_to_the_form_with_the_batch_filled_in(book, folder, do):
    batch(do, "batch 3: 1 mold", 30, until="heat")
    with book.reading() as reading:
        benches = plaster_bench(reading, folder, NOW)
        ((words, address),) = log_links(reading.things, benches, NOW, {"lot": "B-001"}, "/bench/plaster")  # fmt: skip

    assert words == "Log a thermometer in batch 3"
    assert address == (
        f"/do/log-thermometer?edition={EDITION}&batch=batch+3%3A+1+mold&lot=B-001&contact=11%3A30%3A00&back=%2Fbench%2Fplaster"
    )


def test_the_table_holds_the_same_numbers_in_the_studios_units(book, do):
    log(do, room_temperature="18 C")
    (one,) = logs(book)
    (fit,) = heat_fits([one])
    metric, us = (heat_shown(one, fit, units, "UTC") for units in ("metric", "us"))

    assert metric.rows[0][:2] == ("5 min", "20.2 °C")
    assert us.rows[0][1] == "68.4 °F"  # 20.2 x 1.8 + 32
    assert len(metric.rows) == 10
    assert "whether it can be touched" in metric.note
    assert "after 35 min" in metric.says


def test_a_loggers_long_log_is_thinned_and_says_so(book, do):
    at, middle = solved()
    long = "\n".join(f"{60 * m + 10 * n:.0f} s {t + (after - t) * n / 6:.3f} C"
                     for m, t, after in zip(at, middle, middle[1:], strict=False) for n in range(5))  # fmt: skip
    log(do, readings=long)
    (one,) = logs(book)
    (fit,) = heat_fits([one])
    shown = heat_shown(one, fit, "metric", "UTC")

    assert len(one.minutes) > 400
    assert len(shown.rows) <= 26
    assert f"of {len(one.minutes)} readings" in shown.note
    assert len(fit.minutes) <= 121
