"""The charts of a plan: title with unit, one sentence with numbers, and the same numbers as a table."""

import dataclasses
import re
import subprocess
import sys
from datetime import date

import pytest
from msgspec.structs import replace

from pourwright.report.blocks import Figure, Section
from pourwright.report.chart_rows import (
    closed_spells,
    mold_lives,
    mold_uses,
    stage_rows,
    thinned,
)
from pourwright.report.files import plan_page
from pourwright.report.page import page_html
from pourwright.report.plan_charts import plan_figures, ways_figure, with_drawings
from pourwright.report.saying import day
from pourwright.report.sections import plan_sections, plan_sheet
from tests.plans import (
    EXAMPLES,
    as_data,
    as_plan,
    example_plan,
    late_us_plan,
    sample_plan,
    undated_plan,
)

PLANS = {"dated": sample_plan, "late": late_us_plan, "undated": undated_plan}
PLANS |= {name: lambda name=name: example_plan(name) for name in EXAMPLES}
NAMES = {"ways", "fan", "use", "timeline", "molds", "risks"}


def figures_in(sections: tuple[Section, ...]) -> dict[str, Figure]:
    return {b.name: b for s in sections for b in s.blocks if isinstance(b, Figure)}


@pytest.mark.parametrize("name", PLANS)
def test_every_plan_has_its_six_figures(name):
    plan = PLANS[name]()

    assert set(plan_figures(plan)) == NAMES
    assert set(figures_in(plan_sections(plan))) == NAMES


@pytest.mark.parametrize("name", PLANS)
def test_a_title_gives_the_unit_and_the_words_one_sentence_with_numbers(name):
    for figure in plan_figures(PLANS[name]()).values():
        assert re.search(r"\([a-z, ]+\)$", figure.title)
        assert figure.alt.endswith(".")
        assert "\n" not in figure.alt
        assert len(re.findall(r"\.(?: |$)", figure.alt)) == 1, "one sentence"
        assert len(re.findall(r"\d+", figure.alt)) >= 2
        assert 60 <= len(figure.alt) <= 300
        assert figure.key.endswith(".")


@pytest.mark.parametrize("name", PLANS)
def test_a_table_is_whole(name):
    for figure in plan_figures(PLANS[name]()).values():
        assert figure.table.rows
        assert all(len(row) == len(figure.table.columns) for row in figure.table.rows)
        assert all(all(cell for cell in row) for row in figure.table.rows)


def test_ten_ways_tell_the_dates_of_even_odds_and_of_nine_in_ten():
    """Five of ten discs are by the even odds and nine by the date of nine in ten: no second date for either."""
    plan = sample_plan()
    five, nine = (day(one, weekday=False) for one in (plan.odds.finish.p50, plan.odds.finish.p90))
    days = plan.odds.ten_ways

    assert f"five by {five}, the even odds, and nine by {nine}." in ways_figure(plan).alt
    assert days[4] <= plan.odds.finish.p50 <= days[5]
    assert days[8] <= plan.odds.finish.p90 <= days[9]


def test_the_fan_says_what_stands_in_the_plan():
    """Read off the plan's own figures: half by 26 Oct, nine in ten by 8 Nov, 33 on the date."""
    figure = plan_figures(sample_plan())["fan"]

    assert (
        "the edition is done at even odds by 26 Oct 2026, nine times in ten by 8 Nov 2026"
        in figure.alt
    )
    assert (
        "on your date, 18 Dec 2026, 33 of 33 are done in the middle of all cases and 33 or fewer one time in ten"
        in figure.alt
    )


def test_the_table_of_the_fan_holds_rows_of_the_fan():
    plan = sample_plan()
    known = {(row.p10, row.p25, row.p50, row.p75, row.p90) for row in plan.odds.fan}
    rows = plan_figures(plan)["fan"].table.rows

    assert {tuple(map(int, row[1:])) for row in rows} <= known
    assert rows[-1][1:] == ("33",) * 5
    assert len(rows) <= 12


def test_the_molds_table_marks_the_plan_and_says_whether_the_date_holds():
    figure = plan_figures(sample_plan())["molds"]

    assert figure.table.marked == (2,)
    assert figure.alt.endswith("3 or more molds keep your date 90 % of the time.")


def test_no_number_of_molds_may_keep_the_date():
    plan = as_data(sample_plan())
    plan["odds"]["molds_for_chance"]["molds"] = None

    alt = plan_figures(as_plan(plan))["molds"].alt

    assert alt.endswith("none of them keeps your date 90 % of the time.")


def test_without_a_date_none_is_told():
    figures = plan_figures(undated_plan())

    assert not any("your date" in figure.alt for figure in figures.values())


def test_the_table_of_the_ten_ways_is_not_printed_where_they_stand():
    """Their chart and its sentence tell them; the style names the section that they are in."""
    plan = sample_plan()
    [section] = [one.id for one in plan_sections(plan) if "ways" in figures_in((one,))]

    assert f"#{section} figure details {{ display: none; }}" in plan_page(plan)


def test_the_risks_begin_with_the_largest():
    figure = plan_figures(sample_plan())["risks"]

    assert figure.alt.startswith("Bars, the longest first: losses in the glaze firing moves")
    assert figure.table.rows[0] == (
        "losses in the glaze firing", "3 %", "21 Oct 2026", "18 %", "6 Nov 2026",
    )  # fmt: skip


def test_a_plan_whose_finish_nothing_moves_has_no_such_figure():
    plan = as_data(sample_plan())
    for row in plan["odds"]["risks"]:
        row["finish_low"] = row["finish_high"]
    plan = as_plan(plan)

    assert "risks" not in plan_figures(plan)
    assert "risks" not in figures_in(plan_sections(plan))
    assert plan_page(plan).count("<svg") == 10


# --- from the plan to the charts' own tables


def test_every_mold_of_the_calendar_is_told_with_its_casts():
    plan = example_plan("tight-cup")
    uses = mold_uses(plan)
    done = [one for entry in plan.calendar for one in entry.doing]
    casts = sum(one.count for one in done if one.stage in ("cast", "conditioning"))

    assert len(uses) == plan.answer.molds_poured
    assert sum(len(use.casts) for use in uses) == casts
    assert all(use.poured < use.casts[0] for use in uses if use.casts)


def test_many_molds_stand_by_the_day_they_were_poured():
    plan = as_data(sample_plan())
    labels = [f"M-{i:03d}" for i in range(1, 41)]
    for entry in plan["calendar"]:
        for one in entry["doing"]:
            if one["stage"] == "pour":
                one["molds"] = labels
    rows = mold_lives(as_plan(plan))

    assert [row.name for row in rows] == ["M-001 to 040"]


def test_a_mold_that_gave_all_its_casts_is_worn():
    plan = sample_plan()
    casts = {use.label: len(use.casts) for use in mold_uses(plan)}
    rows = tuple(replace(row, life=max(casts.values())) for row in plan.molds)
    plan = replace(plan, molds=rows)

    assert [row.worn for row in mold_lives(plan)] == [
        n == max(casts.values()) for n in casts.values()
    ]


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_firing_has_a_block_for_each_load(name):
    plan = example_plan(name)
    loads = {f"{f.name.capitalize()} firing": f.loads for f in plan.kiln.firings}
    rows = {row.name: row for row in stage_rows(plan)}

    for firing, count in loads.items():
        assert rows[firing].kind == "fire"
        assert len(rows[firing].spells) == count
        assert all(first < last for first, last in rows[firing].spells)


def test_only_long_spells_are_shown_as_closed():
    plan = sample_plan()
    assert closed_spells(plan) == []
    shut = (date(2026, 9, 4), date(2026, 9, 10))
    days = (replace(d, open=d.open and not shut[0] <= d.date <= shut[1]) for d in plan.calendar)
    plan = replace(plan, calendar=tuple(days))

    # Friday 4 September to Thursday 10; the weekend that begins on the 5th is inside
    assert closed_spells(plan) == [shut]


def test_thinned_rows_keep_both_ends():
    rows = [{"n": i} for i in range(100)]

    assert thinned(rows, 9)[0] == rows[0]
    assert thinned(rows, 9)[-1] == rows[-1]
    assert len(thinned(rows, 9)) == 9
    assert thinned(rows[:4], 9) == rows[:4]


# --- drawings


@pytest.fixture(scope="module")
def before_and_after():
    """Return the sections of the example whose page is the largest, and the same with drawings."""
    sections = plan_sections(example_plan("metric-bowl"))
    return sections, with_drawings(sections, example_plan("metric-bowl"))


@pytest.fixture(scope="module")
def page(before_and_after):
    return page_html(plan_sheet(example_plan("metric-bowl")), before_and_after[1])


def test_the_page_draws_each_figure_in_two_widths(page):
    assert page.count("<svg") == 12
    assert page.count('width="360"') == page.count('width="720"') == 6
    assert page.count('role="img"') == 6


def test_a_page_stays_small(page):
    """Mail takes it and a phone opens it; 600 kB is our own bound."""
    assert len(page.encode()) < 600_000


@pytest.mark.whole
@pytest.mark.parametrize("name", PLANS)
def test_every_page_stays_small(name):
    assert len(plan_page(PLANS[name]()).encode()) < 600_000


def test_drawing_changes_nothing_but_the_drawings(before_and_after):
    for before, after in zip(*before_and_after, strict=True):
        for one, other in zip(before.blocks, after.blocks, strict=True):
            if isinstance(one, Figure):
                assert other.svg_phone != other.svg_desktop != ""
                assert dataclasses.replace(other, svg_phone="", svg_desktop="") == one
            else:
                assert other == one


WORDS_ONLY = """
import sys
from tests.plans import sample_plan
from pourwright.report.sections import plan_sections
plan_sections(sample_plan())
print(*sorted({"icalendar"} & set(sys.modules)))
"""


def test_words_alone_load_no_library_of_calendar_files(root):
    done = subprocess.run(
        [sys.executable, "-c", WORDS_ONLY], capture_output=True, text=True, check=True, cwd=root
    )

    assert done.stdout == "\n"
