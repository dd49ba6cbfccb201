"""A plan in words: complete, plain, in the studio's units, honest about what is not known."""

import re
from datetime import date, timedelta
from decimal import Decimal
from functools import partial

import pytest
from msgspec.structs import replace

from pourwright.cautions import ALL_WORK, CAUTIONS, cautions_for
from pourwright.plan.plan import FirstClaim, Forecast, FromBook, PlanCaution
from pourwright.report.answer import outlook_words
from pourwright.report.blocks import (
    Caution,
    Facts,
    Glance,
    Section,
    Steps,
    Table,
    Text,
    Weeks,
)
from pourwright.report.saying import Say
from pourwright.report.sections import SECTIONS, plan_sections, plan_sheet
from tests.plans import (
    EXAMPLES,
    as_data,
    as_plan,
    example_plan,
    late_us_plan,
    sample_plan,
    undated_plan,
)

PLANS = {
    "dated": sample_plan,
    "late, US": late_us_plan,
    "undated": undated_plan,
    **{name: partial(example_plan, name) for name in EXAMPLES},
}


def words_of(section: Section) -> str:
    """Return everything a section says, block after block."""
    said: list[str] = [section.title]
    for block in section.blocks:
        match block:
            case Text() | Caution():
                said.append(block.text)
            case Glance():
                said += [block.sentence, *(cell for row in block.rows for cell in row)]
            case Facts():
                said += [cell for row in block.rows for cell in row]
            case Table():
                said += [block.caption, block.note, *(cell for row in block.rows for cell in row)]
            case Steps():
                said += block.items
            case Weeks():
                for week in block.weeks:
                    said += [week.title, week.note, *(cell for row in week.rows for cell in row)]
    return "\n".join(said)


def said(plan, section_id: str) -> str:
    return next(words_of(s) for s in plan_sections(plan) if s.id == section_id)


@pytest.fixture(params=PLANS.values(), ids=PLANS.keys())
def plan(request):
    return request.param()


def test_every_section_is_there_and_says_something(plan):
    sections = plan_sections(plan)

    assert [s.id for s in sections] == [
        "answer", "outlook", "calendar", "pour-list", "to-buy", "molds", "stages", "plaster", "drying", "casting",
        "kiln", "glaze", "numbers", "cost", "dimensions", "odds", "sources",
    ]  # fmt: skip
    # the answer and what it comes to; without a book there is nothing to say of one
    assert len(sections) == len(SECTIONS) + 2
    assert all(section.blocks for section in sections)


def test_words_are_plain(plan):
    """No exclamation marks, no raw numbers, no Python, no empty sentence."""
    text = "\n".join(words_of(section) for section in plan_sections(plan))

    assert "!" not in text
    assert not re.search(r"\bNone\b|\bnan\b|\{|\}|Decimal|\[\]", text)
    assert not re.search(r"\d\.\d{5}", text), "a number nobody rounded"
    assert "  " not in text.replace("\n", "")


def test_rows_have_as_many_cells_as_columns(plan):
    tables = [b for s in plan_sections(plan) for b in s.blocks if isinstance(b, Table)]

    assert len(tables) > 5
    for table in tables:
        assert {len(row) for row in table.rows} == {len(table.columns)}, table.caption


def test_what_it_comes_to_is_told_in_five_lines(plan):
    facts = plan_sections(plan)[1].blocks[0]

    assert isinstance(facts, Facts)
    labels = [label for label, _, _ in facts.rows]
    wanted = ["Casts to start", "Safe to promise", "What limits", "Cost a piece"]
    if plan.odds.word in ("unlikely", "cannot"):
        if any(one.chance >= 0.5 for one in plan.odds.molds_for_chance.help):
            wanted.insert(1, "What would help")
    elif plan.answer.last_safe_pour:
        wanted.insert(1, "Last safe pour")
    if len(plan.ways) == 1:  # beside other plans their table tells it
        wanted.insert(1, "Even odds by")
    assert labels == wanted
    safe, rests = next(row[1:] for row in facts.rows if row[0] == "Safe to promise")
    assert (safe == "none yet") == ("before the test casts are approved" in rests)
    waits = any(one.name == "approval" for one in plan.stages) and plan.odds.safe_to_offer.today
    assert (safe == "none yet") == bool(waits)


def test_date_molds_and_weights_are_within_the_first_ninety_words(plan):
    """Half a minute is some 120 words read; weights stand on their day in the week, or before it."""
    sheet, (answer, *_) = plan_sheet(plan), plan_sections(plan)
    words = f"{sheet.title}. {sheet.subtitle}. {words_of(answer)}"
    weights = words.index("of plaster")

    assert answer.blocks[0].rows[0][0] == "Molds to pour"
    assert isinstance(answer.blocks[1], Weeks)
    assert len(words[:weights].split()) <= 90


def molds_told(plan):
    """Return the line of the molds in the answer."""
    [line] = [row for row in plan_sections(plan)[0].blocks[0].rows if row[0].startswith("Molds")]
    return line


def test_a_mold_that_may_follow_is_told_with_those_to_pour():
    """Two at once and two as they wear; of ten ways it may go three pour one more, and one needs it."""
    odds = {"further_molds": {"molds": 1, "chance": 0.31, "too_few": 0.12}}
    data = as_data(sample_plan(answer={"molds": 2, "molds_poured": 4}, odds=odds))

    assert molds_told(as_plan(data))[:2] == ("Molds to pour", "4, perhaps 1 more later")
    assert molds_told(as_plan(data))[2].endswith(
        "; 2 at once, 2 as they wear; 1 time in 10 these are not enough, "
        "3 times in 10 more are poured to be safe"
    )
    assert molds_told(as_plan(data))[2].startswith("first pour ")
    assert "perhaps" not in molds_told(sample_plan())[1]


def test_a_mold_that_most_ways_take_is_no_perhaps():
    odds = {"further_molds": {"molds": 1, "chance": 0.62, "too_few": 0.58}}
    data = as_data(sample_plan(answer={"molds": 2, "molds_poured": 2}, odds=odds))

    assert molds_told(as_plan(data))[1] == "2, probably 1 more later"
    assert molds_told(as_plan(data))[2].endswith("; 6 times in 10 these are not enough")
    data["odds"]["further_molds"]["too_few"] = 0.02
    assert molds_told(as_plan(data))[2].endswith("; 6 times in 10 more are poured to be safe")


@pytest.mark.parametrize(
    ("more", "too_few", "told"),
    [
        (0, 0.02, "the molds do."),
        (
            0,
            0.452,
            "the molds may do; 5 times in 10 these are not enough, and more are poured then.",
        ),
        (1, 0.28, "pour 1 mold more then; 3 times in 10 these are not enough."),
    ],
)
def test_a_larger_edition_is_told_with_how_often_its_molds_are_too_few(more, too_few, told):
    data = as_data(sample_plan())
    data["two_steps"][0] |= {"molds": more, "too_few": too_few}

    assert f"40 can be decided on until Mon 21 Sep 2026: {told}" in said(as_plan(data), "molds")


def test_a_life_that_nobody_knows_is_told_with_the_molds_it_takes():
    """By pencil, of 2 molds of 30 casts: 4 of 15 casts, 1 of 60; a life that takes as many is not told."""
    end = sample_plan().answer.finish.isoformat()
    data = as_data(sample_plan(answer={"molds": 2, "molds_poured": 2}))
    data["lives"] = [
        {"life": life, "molds": molds, "replaced": more, "finish": end}
        for life, molds, more in ((15, 3, 1), (30, 2, 0), (60, 1, 0))
    ]
    for row in data["molds"]:
        row["life"] = 30

    assert molds_told(as_plan(data))[2].endswith(
        "; counted on 30 casts a mold, 4 if only 15, 1 if 60"
    )
    data["lives"][2]["molds"] = 2
    assert molds_told(as_plan(data))[2].endswith("; counted on 30 casts a mold, 4 if only 15")


def from_an_empty_book(plan):
    """Return a plan as the studio's page has it, of an edition of which nothing is made yet."""
    ends = plan.odds.finish
    now = Forecast(plan.as_of, plan.answer.finish, ends.p10, ends.p50, ends.p90, plan.odds.word)
    book = FromBook(1, "0" * 64, "planned", "nothing", (), (), None, 0, 30, (), None, now, None)
    return replace(plan, book=book)


def test_a_new_plan_on_the_page_tells_what_the_terminal_tells():
    """Nothing is finished, at hand or in work, so none of it is said."""
    page, terminal = from_an_empty_book(sample_plan()), sample_plan()

    assert plan_sections(page)[0] == plan_sections(terminal)[0]
    assert plan_sections(page)[1].blocks[0].rows[0] == plan_sections(terminal)[1].blocks[0].rows[0]


def test_what_is_finished_is_told_beside_numbers_and_proofs():
    plan = from_an_empty_book(sample_plan())
    begun = replace(plan, book=replace(plan.book, finished=12))

    rows = plan_sections(begun)[0].blocks[0].rows
    assert ("Finished", "12", "of 33, up to 3 proofs among them") in rows
    assert plan_sections(begun)[1].blocks[0].rows[0][2].startswith("besides those in work")


@pytest.mark.parametrize(
    ("make", "tone", "words"),
    [
        (sample_plan, "holds", "Your date, 18 Dec 2026, is likely to hold."),
        (late_us_plan, "late", "Your date, Oct 1, 2026, is unlikely to hold."),
        (
            undated_plan,
            "open",
            "30 pieces by 8 Nov 2026, at 90 %.",
        ),
    ],
)
def test_the_sentence_says_whether_the_date_holds(make, tone, words):
    glance = plan_sections(make())[0].blocks[0]

    assert glance.tone == tone
    assert words in glance.sentence


def test_editions_with_the_first_claim_are_named():
    bowl = FirstClaim("a-bowl", "Reed bowl", finish=date(2026, 9, 30), alone=date(2026, 9, 28))
    plan = replace(sample_plan(), beside=(bowl,))

    assert "Before it on kiln and hands: Reed bowl, until Wed 30 Sep 2026." in said(plan, "outlook")
    assert "Before it" not in said(sample_plan(), "outlook")


def test_a_date_that_cannot_be_kept_is_told_as_one_with_the_first_that_can():
    plan = sample_plan(
        answer={"deadline": "2026-09-01"},
        odds={
            "word": "cannot",
            "chance": 0.0,
            "first_date": "2026-11-06",
            "first_date_molds": 5,
        },
    )

    held = "Your date, 1 Sep 2026, cannot be kept; the first that can is 6 Nov 2026, with 5 molds."
    assert "your date, Tue 1 Sep 2026, cannot be kept. The calendar" in said(plan, "odds")
    assert held in said(plan, "answer")


def test_quantities_are_in_the_studios_units():
    metric = "\n".join(words_of(s) for s in plan_sections(sample_plan()))
    us = "\n".join(words_of(s) for s in plan_sections(late_us_plan()) if s.id != "sources")

    assert re.search(r"\d kg\b", metric)
    assert not re.search(r"\d (?:lb|oz|qt|in(?! all))\b", metric)
    assert re.search(r"\d lb\b", us)
    assert re.search(r"\d in\b", us)
    plan_only = us.replace("19 mm thick", "")
    for caution in CAUTIONS:
        plan_only = plan_only.replace(caution.text, "")
    assert not re.search(r"\d (?:kg|ml|mm|l)\b", plan_only)


def test_what_is_not_known_says_which_test_settles_it():
    plan = sample_plan()

    assert "One test cast settles this" in said(plan, "casting")
    assert "casting.test" in said(plan, "casting")
    assert "A test bar settles it" in said(plan, "dimensions")
    assert "100 mm apart" in said(plan, "dimensions")
    assert "glaze.coat" in said(plan, "glaze")
    assert "Read the meter" in said(plan, "kiln")
    assert "casting.fill" in said(undated_plan(), "casting")


def test_energy_is_told_as_the_range_that_is_known():
    """By pencil: 345 to 1464 kWh of bisque and 900 to 2000 of glaze; the middle alone, 2354.5, would be false precision."""
    plan = as_data(sample_plan(kiln={"energy_kwh": 2354.5}))
    ends = ((345.0, 1464.0), (900.0, 2000.0))
    for firing, (low, high) in zip(plan["kiln"]["firings"], ends, strict=True):
        firing.update(energy_kwh_low=low, energy_kwh_high=high)
    told = said(as_plan(plan), "kiln")

    assert "345 to 1464 kWh" in told
    assert "Energy in all: 1245 to 3464 kWh." in told
    assert "2354" not in told


def test_no_casting_time_without_a_test_cast():
    assert "about 14 min for" in said(late_us_plan(), "casting")
    assert not re.search(r"about \d+ min", said(sample_plan(), "casting"))


def test_a_casting_time_of_hours_is_told_in_hours():
    minutes = {"minutes": 160.0, "minutes_low": 96.0, "minutes_high": 200.0}
    casting = next(s for s in plan_sections(sample_plan(casting=minutes)) if s.id == "casting")

    assert "about 2 h 40 min, from 1 h 36 min to 3 h 20 min" in words_of(casting)
    assert "about 2 h 40 min" in casting.headline


def test_no_size_without_a_shrinkage_test():
    sections = {s.id: s for s in plan_sections(sample_plan())}

    assert not any(isinstance(b, Table) for b in sections["dimensions"].blocks)


def test_what_has_no_price_is_named_and_never_zero():
    text = said(sample_plan(), "cost")

    assert "Not priced, and not in the sum" in text
    assert "Dry glaze\nhow much it takes is not known\nMasters\nno price is given" in text
    assert "without dry glaze or masters" in said(sample_plan(), "outlook")
    assert not re.search(r"(?<!\d)0\.00", text)
    assert "there is no cost" in said(late_us_plan(), "cost")


def _untold(source) -> bool:
    """Return whether a line is about a way in which a part was not told."""
    return source.field.startswith("mold.parts[") and source.value == "not given"


def test_every_source_stands_with_its_value(plan):
    text = said(plan, "sources")
    told = [s for s in plan.sources if not _untold(s)]

    for source in told:
        assert source.field in text
        assert source.value in text or source.value == "not given"
        assert source.source.removeprefix("not given").removeprefix(": ") in text


def test_what_was_left_open_says_what_follows():
    tables = next(s for s in plan_sections(sample_plan()) if s.id == "sources").blocks
    (left_open,) = [b for b in tables if isinstance(b, Table) and b.caption == "Left open (1)"]

    assert left_open.rows == (("kiln.furniture", "energy leaves it out"),)


def test_every_batch_stands_in_the_pour_list_with_its_weights(plan):
    section = next(s for s in plan_sections(plan) if s.id == "pour-list")
    tables = [block for block in section.blocks if isinstance(block, Table)]
    step, say = plan.plaster.scale_step_kg, Say.of(plan)
    wanted = [
        (say.water(one.water_kg, step), say.mass(one.plaster_kg, step))
        for one in plan.plaster.batches
    ]
    told = []
    for table in tables:  # sessions that weigh alike are one table, named for all their days
        days = len(re.findall(r"\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)\b", table.caption))
        told += [row[2:4] for _ in range(max(days, 1)) for row in table.rows]

    assert told == wanted


def test_weights_of_a_batch_show_the_scales_every_step():
    plan = as_data(sample_plan(plaster={"scale_step_kg": 0.005}))
    plan["plaster"]["batches"][0]["water_kg"] = 1.705

    assert "1.705 kg" in said(as_plan(plan), "pour-list")


def test_sessions_of_one_batch_each_share_a_table():
    plan = as_data(sample_plan())
    plan["plaster"]["session_list"] = [
        {"number": n, "date": f"2026-09-0{n}", "molds": 1, "batches": 1, "length_min": 180.0}
        for n in (1, 2, 3)
    ]
    for number, batch in enumerate(plan["plaster"]["batches"], start=1):
        batch["session"] = number

    section = next(s for s in plan_sections(as_plan(plan)) if s.id == "pour-list")
    (table,) = [block for block in section.blocks if isinstance(block, Table)]
    assert [row[0] for row in table.rows] == ["Tue 1 Sep 2026", "Wed 2 Sep 2026", "Thu 3 Sep 2026"]


def test_a_price_is_in_the_units_that_the_studio_buys_by():
    """The pound is 0.45359237 kg, the US gallon 3.785411784 l, both exactly (NIST Handbook 44)."""
    plan = as_data(late_us_plan())
    plan["cost"]["lines"] = [
        {"name": "Slip", "quantity": "10", "unit": "l", "price": "4.3588", "amount": "43.59"},
        {"name": "Labor", "quantity": "1.5", "unit": "h", "price": "34.00", "amount": "51.00"},
        {"name": "Plaster", "quantity": "1", "unit": "bag", "price": "41.00", "amount": "41.00"},
    ]
    plan["cost"].update(total="135.59", per_piece="4.52")
    section = next(s for s in plan_sections(as_plan(plan)) if s.id == "cost")
    rows = {row[0]: row[1:] for row in section.blocks[0].rows}

    assert rows["Slip"][1:] == ("16.50 a gallon", "43.59")
    assert rows["Labor"] == ("1 h 30 min", "34.00 an hour", "51.00")
    assert rows["Plaster"] == ("1 bag", "41.00 a bag", "41.00")


def test_a_piece_costs_the_same_in_the_first_look_and_under_cost():
    """30317.98 for 64: 473.72, which is 474 at three figures, where 30300 for 64 would be 473."""
    data = as_data(sample_plan())
    data["cost"].update(total="30317.98", per_piece="473.72")
    sections = plan_sections(as_plan(data))
    first = next(row[1] for row in sections[1].blocks[0].rows if row[0] == "Cost a piece")
    lines = next(s for s in sections if s.id == "cost").blocks[0]

    assert first == "474 EUR"
    assert lines.rows[-1] == ("A piece", "", "", "474")


def test_one_more_mold_costs_the_difference_of_the_costs_shown():
    """30250.33 and 32107.36 are shown as 30300 and 32100."""
    data = as_data(sample_plan())
    data["cost"]["total"] = "30250.33"
    data["answer"]["relief"] = [
        {"what": "one more mold", "days_gained": 8, "limit": "molds", "added_cost": "1857.03"}
    ]
    tables = (
        block
        for section in plan_sections(as_plan(data))
        for block in section.blocks
        if isinstance(block, Table)
    )
    reliefs = next(one for one in tables if one.caption == "What would be done sooner")

    assert reliefs.rows == (("One more mold", "8 days", "+1800"),)


def test_parts_of_molds_alike_are_said_once():
    plan = as_data(sample_plan())
    batch = plan["plaster"]["batches"][0]
    batch["parts"] = [{"mold": m, "part": p} for m in (1, 2, 3, 5) for p in ("half", "half")]

    assert "molds 1 to 3, 5: 2 x half" in said(as_plan(plan), "pour-list")


def test_without_a_price_for_hands_no_plan_is_called_cheap():
    plan = as_data(sample_plan())
    plan["sources"] = [
        {"field": "prices.labor", "value": "not given", "kind": "default", "source": "not given"}
    ]
    for way, hours in zip(plan["ways"], (61.0, 64.4), strict=True):
        way["hands_h"] = hours

    def ways(plan):
        [table] = [one for one in outlook_words(plan).blocks if isinstance(one, Table)]
        return [head for head, _ in table.columns], table.rows[-1]

    assert ways(sample_plan())[0][1] == "Cheapest and fewest molds (this plan)"
    assert ways(as_plan(plan))[0][1] == "Least work and fewest molds (this plan)"
    assert ways(as_plan(plan))[1] == ("Hands' work", "61 h", "64 h")


def test_starts_are_counted_from_something_and_a_session_ends_somewhere():
    """By pencil: 3 h of setting up, three batches; the last one's hour of setting ends the day after 6 h 25 min."""
    plan = as_data(sample_plan())
    for batch in plan["plaster"]["batches"]:
        batch["starts_min"] = 180.0
    for session in plan["plaster"]["session_list"]:
        session["length_min"] = 385.0
    told = said(as_plan(plan), "pour-list")

    assert "from when the day's pouring begins; the first 3 h go to setting up" in told
    assert "last batch has set after 6 h 25 min" in told
    assert "+3:00" not in told


def test_a_session_longer_than_the_days_hours_says_so_and_how_setting_up_is_shared():
    """By pencil: two masters of three are set up before the first batch, in 100 of 150 min; 6 h are more than 5 h 30 min."""
    plan = as_data(sample_plan())
    source = {"kind": "studio", "source": ""}
    plan["sources"] = [
        source | {"field": "pouring.setup", "value": "2 h 30 min"},
        source | {"field": "time.hours_a_day", "value": "5 h 30 min"},
    ]
    plan["plaster"]["batches"][0]["starts_min"] = 100.0
    for session in plan["plaster"]["session_list"]:
        session["length_min"] = 360.0
    told = said(as_plan(plan), "pour-list")

    assert "Of the 2 h 30 min of setting up 1 h 40 min come before the first batch" in told
    assert "last batch has set after 6 h, and a day has 5 h 30 min of hands." in told


@pytest.mark.parametrize(("kind", "is_usual"), [("default", True), ("studio", False)])
def test_the_days_that_molds_dry_are_called_usual_until_the_room_tells_its_own(kind, is_usual):
    plan = as_data(sample_plan())
    plan["sources"] = [{"field": "drying.days_high", "value": "14", "kind": kind, "source": ""}]

    assert ("usual figures, not yet your room's" in said(as_plan(plan), "drying")) == is_usual


def test_slip_that_is_bought_stands_beside_slip_that_is_cast():
    plan = as_data(sample_plan())
    slip = {"what": "slip", "by": "2026-09-20", "need": 28.4, "there": 0, "unit": "l", "holds": 20,
            "shop_unit": "pail", "count": 2}  # fmt: skip
    plan["to_buy"] = [slip]
    plan["casting"]["slip_for_edition_l"] = 23.1

    told = said(as_plan(plan), "casting")
    assert "all casts, losses included; 28.4 l with the test casts and what fills the molds" in told


def test_molds_that_are_poured_and_molds_that_are_enough_are_told_together():
    """The table has 18 pieces from 2 molds, 31 from 3 and 44 from 4; the edition is of 30."""

    def told(poured: int) -> str:
        return said(sample_plan(answer={"molds_poured": poured}), "molds")

    assert "without another pour takes 3; this plan has 2" in told(2)
    assert "For 30 pieces" not in told(3)
    assert "For 30 pieces 3 would do; with 4 it is done sooner." in told(4)


def test_more_molds_that_gain_nothing_have_no_row():
    """One more mold is sooner, a second more is as soon for more money, a third is sooner again."""
    data = as_data(sample_plan())
    first = data["molds"][0] | {"chosen": True}
    more = [
        first | {"count": count, "finish": finish, "cost": cost, "chosen": False}
        for count, finish, cost in (
            (first["count"] + 1, "2026-09-01", "3000.00"),
            (first["count"] + 2, "2026-09-01", "3100.00"),
            (first["count"] + 3, "2026-08-31", "3200.00"),
        )
    ]
    data["molds"] = [first, *more]
    table = plan_sections(as_plan(data))
    [shown] = [
        block
        for section in table
        for block in section.blocks
        if isinstance(block, Table) and block.caption == "Even odds by number of molds in use"
    ]

    assert [int(row[0]) - first["count"] for row in shown.rows] == [0, 1, 3]


def test_the_cost_is_told_as_an_average_with_its_range_and_what_the_calendar_comes_to():
    """Averages hold spoiled loads and early wear; the calendar's counts can be followed by pencil."""
    data = as_data(sample_plan())
    data["cost"]["used_up"] = {"casts": 60.2, "molds": 2.4, "loads": 6.9}
    data["cost"] |= {"by_calendar": "1950.40", "p10": "1963.10", "p90": "2244.90"}
    data["answer"]["casts"] = 55
    plan = as_plan(data)
    facts = {row[0]: row for row in plan_sections(plan)[1].blocks[0].rows}

    assert "on average, eight in ten 1960 to 2240; " in facts["Cost a piece"][2]
    assert "Eight times in ten it is 1960 to 2240 EUR, as more or fewer" in said(plan, "cost")
    assert ", 60 on average: loads spoil, lost proofs are not redone;" in facts["Casts to start"][2]
    averages = "with 60.2 casts, 2.4 molds poured and 6.9 kiln loads{}. Eight times in ten"
    assert averages.format(", those of the test casts apart") in said(plan, "cost")

    data["stages"] = [stage for stage in data["stages"] if stage["name"] != "test casts"]
    assert averages.format("") in said(as_plan(data), "cost")


def test_where_loads_are_counted_those_of_the_test_casts_are_told_apart():
    """The cost counts them, so that a table of six loads would not be the six of its energy."""
    data = as_data(sample_plan())
    data["ways"][1]["loads"] = data["ways"][0]["loads"] + 1
    plan = as_plan(data)
    data["stages"] = [stage for stage in data["stages"] if stage["name"] != "test casts"]
    without = as_plan(data)

    assert "Kiln loads after tests" in said(plan, "outlook")
    assert "a load of their own" in said(plan, "kiln")
    assert "Kiln loads\n" in said(without, "outlook")
    assert "a load of their own" not in said(without, "kiln")


def test_a_size_that_takes_more_molds_than_its_plan_pours_is_told():
    plan = as_data(sample_plan())
    plan["sizes"][0].update(pieces=20, molds_poured=2)

    assert "To be sure of the pieces at 90 % without another pour, 20 take 3." in said(
        as_plan(plan), "molds"
    )


# --- the calendar


def day(iso: str, *doing: tuple[str, int], is_open: bool = True, **more):
    things = [{"stage": stage, "count": count} for stage, count in doing]
    return {"date": iso, "open": is_open, "minutes": 360, "used_min": 90 * bool(doing),
            "doing": things, **more}  # fmt: skip


def weeks_of(days) -> tuple:
    plan = as_data(sample_plan(answer={"casts": 40})) | {"calendar": days}
    section = next(s for s in plan_sections(as_plan(plan)) if s.id == "calendar")
    return next(b for b in section.blocks if isinstance(b, Weeks)).weeks


def run_of_days(first: str, number: int, *doing: tuple[str, int]):
    """Return days in a row, Saturday and Sunday closed."""
    start = date.fromisoformat(first)
    found = []
    for when in (start + timedelta(days=i) for i in range(number)):
        works = when.weekday() < 5
        found.append(day(when.isoformat(), *(doing if works else ()), is_open=works))
    return found


def test_days_alike_stand_in_one_line():
    (week,) = weeks_of(run_of_days("2026-08-03", 7, ("cast", 3)))

    assert week.rows == (("Mon 3 to Fri 7 Aug", "Cast 3", "1 h 30 min each day"),)
    assert week.note == "15 of 40 cast"


def test_what_comes_out_of_the_kiln_is_a_guess_before_it_is_opened():
    out = day("2026-08-03") | {"doing": [{"stage": "unload bisque", "count": 5, "of": 6}]}
    (week,) = weeks_of([out])

    assert week.rows[0][1] == "Unload the bisque firing: about 5 of 6 good"


def test_weeks_alike_stand_once_with_the_last_count():
    (week,) = weeks_of(run_of_days("2026-08-03", 14, ("cast", 3)))

    assert week.title == "2 weeks alike, 3 Aug to 16 Aug 2026"
    assert week.rows == (("Mon to Fri", "Cast 3", "1 h 30 min each day"),)
    assert week.note == "30 of 40 cast"


def test_a_week_that_only_waits_says_so_and_busy_weeks_leave_waiting_out():
    waiting, busy = weeks_of(
        [*run_of_days("2026-08-03", 7), day("2026-08-10"), day("2026-08-11", ("load bisque", 8))]
    )

    assert waiting.rows == (
        ("Mon 3 to Fri 7 Aug", "Nothing to do by hand; drying and the kiln go on", ""),
    )
    assert busy.rows == (("Tue 11 Aug", "Load the bisque firing: 8 pieces", "1 h 30 min"),)


def test_a_closed_day_with_a_reason_is_shown():
    (week,) = weeks_of(
        [day("2026-08-03", ("cast", 1)), day("2026-08-04", is_open=False, why="a holiday")]
    )

    assert week.rows[1] == ("Tue 4 Aug", "Closed: a holiday", "")


def test_nothing_done_is_lost():
    """Whatever collapses, the casts add up to what the plan starts."""
    plan = as_data(sample_plan())
    casts = sum(
        one["count"] for d in plan["calendar"] for one in d["doing"] if one["stage"] == "cast"
    )

    notes = [week.note for week in weeks_of(plan["calendar"]) if week.note]

    assert notes[-1] == f"{casts} of 40 cast"


def test_a_stage_nobody_named_is_still_said():
    (week,) = weeks_of([day("2026-08-03", ("waxing", 4))])

    assert week.rows[0][1] == "Waxing 4"


# --- cautions


def test_each_caution_stands_beside_its_step():
    cautions = tuple(PlanCaution(c.step, c.title, c.text, c.source) for c in cautions_for())
    plan = replace(sample_plan(), cautions=cautions)
    placed = {
        block.text: section.id
        for section in plan_sections(plan)
        for block in section.blocks
        if isinstance(block, Caution)
    }

    assert placed == {c.text: c.step for c in CAUTIONS}


def test_each_kind_of_work_has_its_caution():
    assert {c.work for c in CAUTIONS} == set(ALL_WORK)
    assert cautions_for(()) == ()


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda c: c.title)
def test_a_caution_defers_and_gives_no_verdict(caution):
    defers = r"decide|licensed|safety sheet|manual"

    assert re.search(defers, caution.text)
    assert caution.source
    assert not re.search(r"\bis safe\b|\bare safe\b", caution.text)


def test_limits_are_those_published():
    """
    Silica: OSHA PEL 0.05, action level 0.025; Directive 2004/37/EC Annex III 0.1 mg/m3.
    Leached lead: FDA Food Code 4-101.13 (as WAC 246-215-04110) 3.0, 2.0, 1.0, 0.5 mg/l.
    Cadmium: FDA CPG 545.400 0.5, 0.5, 0.25. Directive 84/500/EEC: 0.8 and 0.07 mg/dm2;
    4.0 and 0.3; 1.5 and 0.1 mg/l. Burns: Hutchinson and Hutchinson 2008, above 49 degC.
    """
    text = {c.title: c.text for c in CAUTIONS}

    silica = re.findall(r"\d+\.\d+", text["Clay dust"])
    food = re.findall(r"\d+\.\d+", text["Food and drink"])
    assert silica == ["0.05", "0.025", "0.1"]
    assert food == [
        "3.0", "0.5", "2.0", "0.5", "1.1", "1.0", "0.25", "0.5",
        "0.8", "0.07", "4.0", "0.3", "1.5", "0.1",
    ]  # fmt: skip
    assert "49 °C (120 °F)" in text["Setting plaster burns"]


def test_temperatures_are_said_on_both_scales_and_agree():
    """Definition of the Fahrenheit scale; printed to whole or ten degrees."""
    pairs = [
        (float(c), float(f))
        for caution in CAUTIONS
        for c, f in re.findall(r"(\d+) °C \((\d+) °F\)", caution.text)
    ]

    assert pairs
    for celsius, fahrenheit in pairs:
        assert fahrenheit == pytest.approx(celsius * 1.8 + 32, abs=1.0)


def test_the_sheet_around_the_sections_names_edition_and_day():
    sheet = plan_sheet(sample_plan())

    assert sheet.title == "Harbor cup"
    assert "Mon 3 Aug 2026" in sheet.subtitle
    assert sheet.foot.startswith("harbor-cup")


def test_a_us_plan_tells_days_and_weights_as_a_us_studio_reads_them():
    """The month first, °F first, and no metric weight, size or volume but in limits and sources."""
    shown = [s for s in plan_sections(example_plan("us-pitcher")) if s.id != "sources"]
    text = "\n".join(words_of(section) for section in shown)
    months = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"

    assert re.search(rf"\b(?:{months}) \d{{1,2}}, 2026\b", text)
    assert not re.search(rf"\b\d{{1,2}} (?:{months})\b", text)
    assert not re.findall(r"\d ?(?:kg|g|ml|mm|cm)\b(?!²)", text)
    assert "140 °F (60 °C)" in text


@pytest.mark.parametrize(
    ("chance", "told"),
    [(0.55, "your date is tight then"), (0.93, "your date is likely to hold then"), (0.4, None)],
)
def test_a_late_date_is_told_its_remedy_and_no_last_safe_pour(chance, told):
    """A remedy that leaves the date unlikely is none."""
    data = as_data(late_us_plan())
    data["answer"]["last_safe_pour"] = data["answer"]["first_pour"]
    data["odds"]["molds_for_chance"]["help"] = [
        {"what": "a week earlier start", "chance": chance},
        {"what": "one more kiln load a week", "chance": 0.3},
    ]
    rows = {label: row for label, *row in plan_sections(as_plan(data))[1].blocks[0].rows}

    assert "Last safe pour" not in rows
    if told is None:
        assert "What would help" not in rows
    else:
        assert rows["What would help"][0] == "a week earlier start"
        assert rows["What would help"][1].startswith(told)


def test_a_plan_that_stands_alone_says_so():
    data = as_data(sample_plan())
    data["ways"] = data["ways"][:1]

    words = [
        block.text for block in plan_sections(as_plan(data))[1].blocks if isinstance(block, Text)
    ]

    assert any(text.startswith("No other plan in time was ") for text in words)


@pytest.mark.parametrize(
    ("cost", "said"),
    [("2101.00", "for under 1 % more"), ("2196.33", "for 5 % more"), ("2080.00", "cheapest")],
)
def test_a_plan_that_is_not_the_cheapest_says_what_it_gains_and_for_how_much(cost, said):
    """By pencil: 22 Oct is four days before 26 Oct; 2,101.00 is 0.4 % above 2,091.74, 2,196.33 5 %."""
    plan = as_data(sample_plan())
    cheapest, soonest = plan["ways"]
    plan["ways"] = [
        cheapest | {"recommended": False},
        soonest | {"recommended": True, "cost": cost},
    ]

    (told,) = captions_of(as_plan(plan))
    (usual,) = captions_of(sample_plan())
    assert told.startswith("Plans at the ends; this is 4 days before the cheapest")
    assert told.endswith(said)
    assert usual == "Plans at the ends, none beaten in cost, finish and molds at once"


def captions_of(plan):
    """Return the captions of the tables of what a plan comes to."""
    return [block.caption for block in outlook_words(plan).blocks if isinstance(block, Table)]


def test_a_us_plan_counts_in_the_us_way():
    us, metric = (
        "\n".join(words_of(s) for s in plan_sections(make()))
        for make in (late_us_plan, sample_plan)
    )

    assert "10,000 ways it may go" in us
    assert "10 000 ways it may go" in metric
    assert all("1.1 l" not in one.said("us") for one in CAUTIONS)


def test_what_gains_nothing_has_no_row_and_is_named_once():
    plan = sample_plan()
    gains = replace(plan.answer.relief[0], what="one mold more", days_gained=2)
    idle = replace(gains, what="another pair of hands", days_gained=0, added_cost=Decimal(10))
    told = replace(plan, answer=replace(plan.answer, relief=(gains, idle)))
    tables = [
        block
        for section in plan_sections(told)
        for block in section.blocks
        if isinstance(block, Table) and block.caption == "What would be done sooner"
    ]

    assert [row[0] for row in tables[0].rows] == ["One mold more"]
    assert tables[0].note.startswith("Nothing is gained by another pair of hands.")


def test_all_but_the_answer_and_the_days_fold_under_what_they_come_to():
    told = {one.id: one.headline for one in plan_sections(sample_plan())}

    assert [name for name, words in told.items() if not words] == ["answer", "outlook", "calendar"]
    assert told["pour-list"] == "1 session of 3 batches in all, the first on Thu 3 Sep"
    assert told["molds"] == "3 in use, 3 to pour; one more mold would gain 4 days"


def test_a_folded_pour_list_counts_the_batches_that_are_mixed():
    """A recipe of three batches a mold: three molds are nine."""
    plan = as_data(sample_plan())
    for batch in plan["plaster"]["batches"]:
        batch["mixes"] = 3
    told = next(one for one in plan_sections(as_plan(plan)) if one.id == "pour-list")

    assert "session of 9 batches in all" in told.headline


def test_a_fortnight_stands_open_and_the_rest_says_until_when():
    calendar = next(one for one in plan_sections(sample_plan()) if one.id == "calendar")
    block = next(one for one in calendar.blocks if isinstance(one, Weeks))

    near = [week.title for week in block.weeks[: block.near]]
    assert near == ["2 weeks alike, 3 Aug to 16 Aug 2026"]
    assert block.later == "Later, until Wed 21 Oct 2026"
