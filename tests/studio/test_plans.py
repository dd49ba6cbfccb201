"""A plan reads its files and the book before it plans, each file once."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from pourwright.briefs import toml_file
from pourwright.briefs.folder import BriefHere
from pourwright.briefs.reading import open_brief
from pourwright.plan import make
from pourwright.plan.case import build_case
from pourwright.plan.days import drying_note
from pourwright.plan.plan import Plan
from pourwright.studio.book import open_book
from pourwright.studio.plans import plan_from_book, read_edition
from pourwright.studio.sample import lay_out_sample
from pourwright.studio.shelf import drying_of, weighed_of
from tests.bench_studio import EDITION, lay_out

WEDNESDAY = date(2026, 11, 25)


def test_each_file_is_opened_once_and_none_while_planning(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The studio's file once more by the book, which lies beside it and takes its zone from it.

    After planning, the briefs of all that may have poured tell what is left of the plaster.
    """
    lay_out_sample(tmp_path / "studio", datetime(2026, 11, 25, 12, tzinfo=UTC))
    opened: Counter[str] = Counter()
    made = []
    reads, plans = toml_file._text, make.make_plan

    def counted(path: Path, *more: str) -> str:
        opened[path.name] += 1
        return reads(path, *more)

    def planned(*given: object) -> Plan:
        before = opened.copy()
        assert before == {"fern-jug.toml": 1, "gale-flask.toml": 1, "studio.toml": 2}
        plan = plans(*given)  # type: ignore[arg-type]
        assert opened == before
        made.append(plan)
        return plan

    monkeypatch.setattr(toml_file, "_text", counted)
    monkeypatch.setattr("pourwright.studio.plans.make_plan", planned)
    editions = tmp_path / "studio" / "editions"
    plan_from_book(editions / "fern-jug.toml", WEDNESDAY, 100, [editions / "gale-flask.toml"])

    assert made


def test_what_is_decorated_and_half_a_load_too_much_are_not_forgotten(tmp_path: Path) -> None:
    """By pencil: of eight cups through the glaze six are decorated and four of them in the kiln: two wait.

    Of 2.5 loads a week three were fired, so half a load of the next week is taken.
    """
    lay_out(tmp_path)
    studio = tmp_path / "studio.toml"
    studio.write_text(studio.read_text().replace("loads_a_week = 2", "loads_a_week = 2.5"))
    route = "bisque, glaze and third"
    brief = tmp_path / "editions" / "reed-bowl.toml"
    brief.write_text(f'{brief.read_text()}route = "{route}"\nthird_load = 6\n')
    told: list[dict[str, object]] = [
        {"do": "plan-edition", "pieces": 24, "proofs": 0, "conditioning": 0, "route": route},
        {"do": "declare"},
        {"do": "pour", "count": 8},
        {"do": "dry", "molds": "all"},
        {"do": "cast", "molds": "all"},
        *({"do": "fire", "firing": firing, "count": 8} for firing in ("bisque", "glaze")),
        {"do": "decorate", "count": 6},
        {"do": "load", "firing": "third", "count": 4},
    ]
    book, now = open_book(tmp_path), datetime(2026, 11, 25, 12, tzinfo=UTC)
    with book.store:
        for n, command in enumerate(told):
            book.do({**command, "id": f"t-{n}", "edition": EDITION, "go_on": True}, now)
        with book.reading() as reading:
            own, later = (
                read_edition(
                    open_brief(brief), now.date() + timedelta(days), reading, book.zone
                ).standing
                for days in (0, 7)
            )
    assert own is not None
    assert (own.waiting["third"], own.prepared["third"]) == (4, 2)
    assert later is not None
    assert (own.week_loads, later.week_loads) == (3, 0.5)


def test_proofs_that_the_book_does_not_tell_are_the_briefs(tmp_path: Path) -> None:
    """A plan goes on from the book; what was never typed there is taken from the brief, and said."""
    lay_out(tmp_path)
    file = open_brief(tmp_path / "editions" / "reed-bowl.toml")
    book = open_book(tmp_path)
    now = datetime(2026, 11, 25, 12, tzinfo=UTC)
    with book.store:
        book.do({"do": "plan-edition", "id": "p", "edition": EDITION, "pieces": 24}, now)
        with book.reading() as reading:
            own = read_edition(file, now.date(), reading, book.zone)
        assert own.standing is not None
        assert (own.standing.proofs, own.standing.from_brief) == (2, ("2 proofs",))
        book.do({"do": "declare", "id": "d", "edition": EDITION, "proofs": 0}, now)
        with book.reading() as reading:
            own = read_edition(file, now.date(), reading, book.zone)
        assert own.standing is not None
        assert (own.standing.proofs, own.standing.from_brief) == (0, ())


def test_a_block_mold_in_the_book_dries_from_the_day_it_was_made(tmp_path: Path) -> None:
    """By pencil: made on 20 November it dries the usual 14 days, to 4 December, and is cast after that."""
    lay_out(tmp_path)
    brief = tmp_path / "editions" / "reed-bowl.toml"
    brief.write_text(brief.read_text().replace('"masters"', '"original"'))
    made = {"do": "make-form", "what": "block mold", "name": "block mold", "at": "2026-11-20"}
    book, now = open_book(tmp_path), datetime(2026, 11, 25, 12, tzinfo=UTC)
    with book.store:
        book.do({"do": "plan-edition", "id": "p", "edition": EDITION, "pieces": 24}, now)
        book.do({**made, "id": "m", "edition": EDITION}, now)
        with book.reading() as reading:
            own = read_edition(open_brief(brief), WEDNESDAY, reading, book.zone)
    case = build_case(own.brief, own.studio, WEDNESDAY, standing=own.standing)
    drying, tests = case.before.stages[:2]
    assert (drying.name, drying.ends) == ("block mold drying", date(2026, 12, 4))
    assert (tests.name, tests.starts) == ("test casts", date(2026, 12, 7))  # the Monday after


def test_molds_poured_before_the_test_casts_are_approved_are_told(tmp_path: Path) -> None:
    """The plan drops the test casts then, and says why, until a form is approved."""
    lay_out(tmp_path)
    brief = tmp_path / "editions" / "reed-bowl.toml"
    brief.write_text(brief.read_text().replace('"masters"', '"original"'))
    told: list[tuple[str, dict[str, object]]] = [
        ("", {"do": "plan-edition", "pieces": 24}),
        ("", {"do": "make-form", "what": "block mold", "name": "block mold"}),
        ("molds", {"do": "pour", "count": 2}),
        ("", {"do": "approve", "form": 1}),
    ]
    book, now = open_book(tmp_path), datetime(2026, 11, 25, 12, tzinfo=UTC)
    with book.store:
        for n, (unapproved, command) in enumerate(told):
            book.do({**command, "id": f"t-{n}", "edition": EDITION, "go_on": True}, now)
            with book.reading() as reading:
                own = read_edition(open_brief(brief), now.date(), reading, book.zone).standing
            assert own is not None
            assert own.unapproved == unapproved


def test_a_mold_that_was_weighed_is_planned_as_the_shelf_says(tmp_path: Path) -> None:
    """By pencil: 0.2 kg a day, 0.75 kg above the 5 % of water that may stay: four days after the 25th.

    Poured on the 21st, by the usual days it would be the 1st of December.
    """
    lay_out(tmp_path)
    file = open_brief(tmp_path / "editions" / "reed-bowl.toml")
    book, now = open_book(tmp_path), datetime(2026, 11, 25, 12, tzinfo=UTC)
    masses = {22: "5.06 kg", 23: "4.86 kg", 24: "4.66 kg", 25: "4.46 kg"}
    told: list[dict[str, object]] = [
        {"do": "plan-edition", "pieces": 24},
        {"do": "pour", "count": 2, "at": "2026-11-21"},
        *({"do": "weigh", "mold": 1, "mass": m, "at": f"2026-11-{d}"} for d, m in masses.items()),
    ]
    with book.store:
        for n, command in enumerate(told):
            book.do({**command, "id": f"t-{n}", "edition": EDITION, "go_on": True}, now)
        with book.reading() as reading:
            own = read_edition(file, WEDNESDAY, reading, book.zone)
            rows = weighed_of(reading, EDITION, "M-001", book.zone)
    here = BriefHere(file.path, own.brief, own.studio)
    shelf = drying_of(rows, here, "metric", book.zone, stopped=False)
    assert shelf.ready == (date(2026, 11, 28), date(2026, 11, 29))
    case = build_case(own.brief, own.studio, WEDNESDAY, standing=own.standing)
    ready = {
        case.mold_label(at): case.day(old.poured_day + int(case.draws.mold_dry_days[0, at]))
        for at, old in enumerate(case.edition.already.molds)
    }
    assert ready == {"M-001": date(2026, 11, 29), "M-002": date(2026, 12, 1)}
    assert drying_note(case, poured=True) == "7 to 14 days; planned with 10, the middle"
    damp = case.with_edition(replace(case.edition, beside_days=3.04))
    assert drying_note(damp, poured=True) == (
        "7 to 14 days for one mold; planned with 10, the middle, and 3.0 more for each other mold that is wet"
    )
    late = case.with_edition(replace(case.edition, mold_dry_days=16))
    assert drying_note(late, poured=True).startswith(
        "7 to 14 days for one mold; the calendar gives 16"
    )
    first = replace(case.edition.already, molds=case.edition.already.molds[:1])
    weighed = case.with_edition(replace(case.edition, already=first))
    assert drying_note(weighed, poured=False) == "by their weighings"


def test_only_the_work_that_is_put_off_is_put_off(tmp_path: Path) -> None:
    """The plan begins tomorrow only where nothing is left of its day; weighing is none of its work.

    A note that is taken back puts nothing off, nor does one of another day.
    """
    lay_out(tmp_path)
    brief = tmp_path / "editions" / "reed-bowl.toml"
    book, now = open_book(tmp_path), datetime(2026, 11, 25, 12, tzinfo=UTC)
    note = {"do": "note", "edition": EDITION, "about": "not today"}

    def planned(today: date) -> tuple[bool, tuple[str, ...]]:
        plan = plan_from_book(brief, today, runs=100)
        assert plan.book is not None
        first = next(one for one in plan.calendar if one.doing)
        return first.date == today, plan.book.put_off

    with book.store:
        book.do({"do": "plan-edition", "id": "p", "edition": EDITION, "pieces": 24}, now)
        assert planned(WEDNESDAY) == (True, ())
        book.do(note | {"id": "w", "text": "weigh molds"}, now)
        assert planned(WEDNESDAY) == (True, ())
        written = book.do(note | {"id": "n", "text": "pour"}, now)
        assert planned(WEDNESDAY) == (False, ())
        book.do({"do": "correct", "id": "c", "entry": written.seq, "void": True}, now)
        assert planned(WEDNESDAY)[0]
