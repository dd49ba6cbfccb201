"""One book, one answer: every place that tells of an edition tells the same, after any entry."""

import json
import os
import random
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from pourwright.errors import StudioError
from pourwright.plan.plan import Plan
from pourwright.report.saying import day
from pourwright.studio.plans import spoken_for
from pourwright.studio.what_if import Wish
from pourwright.web import heavy
from tests.ledger.toy import rounds
from tests.web.bench_fixtures import AtBench
from tests.web.sample import WEDNESDAY, plain
from tests.web.sample import own as own

JUG = "fern-jug"


def an_entry(chosen: random.Random) -> tuple[str, dict[str, Any]]:
    """Return something that may happen to the jug; the book may refuse it."""
    count = chosen.randint(1, 4)
    mold = f"M-{chosen.randint(4, 9):03}"
    stage = chosen.choice(("greenware", "bisque", "fired"))
    return chosen.choice(
        (
            ("cast", {"molds": mold, "lost": chosen.choice(("", "1 stuck"))}),
            ("cast", {"molds": "all"}),
            ("lose", {"stage": stage, "lost": f"{count} warp"}),
            ("pour", {"count": count}),
            ("dry", {"molds": mold}),
            ("load", {"firing": chosen.choice(("bisque", "glaze")), "count": count}),
            ("unload", {"load": f"L-{chosen.randint(9, 16):03}"}),
            ("glaze", {"count": count}),
            ("finish", {"count": count}),
            ("mark", {"numbers": str(chosen.randint(1, 36))}),
            ("judge", {"molds": mold, "verdict": chosen.choice(("same", "softer", "too soft"))}),
            ("sell", {"pieces": str(chosen.randint(1, 36)), "price": "690.00 DKK"}),
        )
    )


@pytest.mark.rounds
def test_every_place_gives_the_answer_of_the_plan(own: AtBench) -> None:
    # each entry is some seconds of planning; `ENTRIES=200` walks on for a quarter of an hour
    wanted = int(os.environ.get("ENTRIES", rounds(1, 40)))
    chosen, entries = random.Random(7), 0
    while entries < wanted:
        verb, fields = an_entry(chosen)
        told = {name: value for name, value in fields.items() if value}
        try:
            own.do(verb, edition=JUG, **told)
        except StudioError:  # not every mold is dry, not every stage holds so many
            continue
        entries += 1
        same_everywhere(own)


def printed_plan(brief: Path, folder: Path) -> str:
    """Return what the command prints."""
    told = ["plan", str(brief), "--book", str(folder), "--json", "--today", str(WEDNESDAY)]
    return subprocess.run(
        [sys.executable, "-m", "pourwright", *told],
        capture_output=True,
        text=True,
        check=True,
    ).stdout


def same_everywhere(studio: AtBench) -> None:
    desk = studio.app.state.desk
    brief = desk.folder / "editions" / f"{JUG}.toml"
    plan = desk.plan_now(JUG)
    assert isinstance(plan, Plan)
    odds = plan.odds
    with desk.book.reading() as reading:
        spoken = spoken_for(reading.things, JUG)
    left, ends = max(odds.safe_to_offer.today - spoken, 0), odds.finish
    offer = f"{left} of {plan.edition.pieces}"

    for path in ("/", f"/offered/{JUG}"):
        shown = re.search(r'class="offer-count">(.*?)</p>', studio.get(path).text, re.DOTALL)
        assert shown is not None
        assert plain(shown[1]).strip() == offer, path

    for path in (f"/editions/{JUG}", f"/editions/{JUG}/plan"):
        page = plain(studio.get(path).text)
        assert day(ends.p50, weekday=False) in page, path

    asked = desk.worker.call(heavy.what_if, desk.folder, brief, desk.today(), Wish())
    assert (asked.forecast.p10, asked.forecast.p50, asked.forecast.p90) == (
        ends.p10,
        ends.p50,
        ends.p90,
    )
    assert (asked.forecast.finish, asked.forecast.word) == (plan.answer.finish, odds.word)
    assert (asked.molds, asked.casts) == (
        plan.answer.molds,
        plan.answer.casts + plan.answer.conditioning_casts,
    )
    assert asked.cost == next(row.cost for row in plan.molds if row.chosen)

    printed = json.loads(printed_plan(brief, desk.folder))
    assert printed["odds"]["finish"] == {
        name: str(getattr(ends, name)) for name in ("p10", "p50", "p90")
    }
    assert printed["odds"]["safe_to_offer"]["today"] == odds.safe_to_offer.today
    assert printed["odds"]["word"] == odds.word
    assert printed["answer"]["finish"] == str(plan.answer.finish)
    assert printed["cost"]["total"] == (None if plan.cost.total is None else str(plan.cost.total))
