"""The answer of a plan, in one look."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from pourwright.plan.plan import (
    EVEN_CHANCE,
    NOT_GIVEN,
    WORTH_CHASING,
    CostPlan,
    FromBook,
    FurtherMolds,
    Plan,
    PlanWay,
    same_cost,
)
from pourwright.report.blocks import FactRow, Facts, Glance, Row, Section, Table, Text
from pourwright.report.blocks import Outcome as Tone
from pourwright.report.buying import has_test_casts
from pourwright.report.first import next_pour, to_see_to, week_ahead
from pourwright.report.odds import (
    VERDICTS,
    help_molds,
    odds_word,
    percent,
    promised,
    promised_of,
    verdict,
)
from pourwright.report.plan_charts import ways_figure
from pourwright.report.saying import RARE, Say, count, in_ten, listed, priced_about, sentence

LIMITS = {
    "molds": "the molds",
    "kiln": "the kiln",
    "hours": "hands",
    "drying": "drying",
    "preparation": "getting to masters",
}


_FEW = 4
"""So many things without a price are named in the answer; the rest stands under Cost."""

TONES: dict[str | None, Tone] = {"likely": "holds", "unlikely": "late", "cannot": "late"}
"""How the answer stands there; what is not named is open."""


def answer_words(plan: Plan) -> Section:
    """Return the answer: by when, how many molds, what to weigh and to do this week, what to get for it."""
    rows = (*_doing(plan), *next_pour(plan))
    glance = Glance(_sentence(plan), rows, tone=_tone(plan))
    day = tuple(map(Text, _from_the_day(plan.book))) if plan.book else ()
    return Section("answer", "The answer", (glance, *day, *week_ahead(plan), *to_see_to(plan)))


def outlook_words(plan: Plan) -> Section:
    """Return what the plan comes to: casts, last safe pour, what limits, cost, and the plans beside it."""
    say = Say.of(plan)
    rows = (*_casting(plan), *_outlook(plan, say))
    first = (Text(_first_claims(plan)),) if plan.beside else ()
    ways = _ways(plan, say) if len(plan.ways) > 1 else Text(_alone(plan))
    note = Text(_honest(plan), "note")
    return Section(
        "outlook", "What it comes to", (Facts(rows), ways_figure(plan), *first, ways, note)
    )


def _ways(plan: Plan, say: Say) -> Table:
    """Return the plans that cannot be beaten, side by side."""
    ways = plan.ways
    in_use = [str(way.molds) for way in ways]
    poured = [str(way.molds_poured) for way in ways]
    rows: list[Row] = [("Molds", *poured)]
    if in_use != poured:
        rows = [("Molds in use", *in_use), ("Molds to pour", *poured)]
    rows.append(("Even odds by", *(say.day(way.finish.p50, weekday=False) for way in ways)))
    if len({way.loads for way in ways}) > 1:
        loads = "Kiln loads after tests" if has_test_casts(plan) else "Kiln loads"
        rows.append((loads, *(str(way.loads) for way in ways)))
    if plan.answer.deadline is not None:
        rows.append(("Your date", *(odds_word(plan, way.chance) for way in ways)))
    if any(way.cost is not None for way in ways):
        rows.append((f"Cost, {say.currency}", *(priced_about(way.cost) for way in ways)))
    if not hands_priced(plan):
        rows.append(("Hands' work", *(f"{way.hands_h:.0f} h" for way in ways)))
    return Table(
        caption=f"Plans at the ends{_which(plan)}{_sooner(plan) or f', none beaten in {compared_in(plan)}'}",
        columns=(("Plan", "left"), *((_name(plan, way), "left") for way in ways)),
        rows=tuple(rows),
        strong=tuple(at for at, way in enumerate(ways, 1) if way.recommended),
        note=_one_cost(plan),
    )


def _one_cost(plan: Plan) -> str:
    """Return which of the plans that cost the same is the cheapest, empty where it alone costs so little."""
    priced = hands_priced(plan)
    cheapest, *others = sorted(plan.ways, key=lambda way: "cheapest" not in way.names)
    spent, *more = (way.cost if priced else way.hands_h for way in (cheapest, *others))
    if spent is None or not any(one is not None and same_cost(spent, one) for one in more):
        return ""
    what, best = ("cost", "the cheapest") if priced else ("hours", "the one of least work")
    return f"Of plans with the same {what} within half a percent, the soonest is {best}."


def _from_the_day(book: FromBook) -> Iterator[str]:
    """Yield what was done, or left, in a way that changes the plan."""
    if book.unapproved:
        yield _unapproved(book)
    if book.put_off:
        yield (
            f"Not today: {listed(book.put_off)}. The days below still count on it; the plan of tomorrow "
            "tells what that costs."
        )


def _unapproved(book: FromBook) -> str:
    """Return why the plan has no test casts although none was approved."""
    made = "Molds were poured" if book.unapproved == "molds" else "Masters were made"
    return (
        f"{made} before the test casts were approved, so this plan takes them as approved and goes on "
        f"without them; where a cast is refused after all, the {book.unapproved} have to be made again."
    )


def hands_priced(plan: Plan) -> bool:
    """Return whether an hour of hands has a price; if it has none, plans are compared by hours."""
    labor = [one for one in plan.sources if one.field == "prices.labor"]
    return all(one.value != NOT_GIVEN for one in labor)


def compared_in(plan: Plan) -> str:
    """Return what plans are compared in."""
    return f"{'cost' if hands_priced(plan) else 'hours of hands'}, finish and molds at once"


def _sooner(plan: Plan) -> str:
    """Return what this plan gains over the cheapest and for how much, empty where it is the cheapest."""
    cheapest = next(way for way in plan.ways if "cheapest" in way.names)
    taken = next(way for way in plan.ways if way.recommended)
    days = (cheapest.finish.p50 - taken.finish.p50).days
    priced = hands_priced(plan)
    spent, least = (one.cost if priced else one.hands_h for one in (taken, cheapest))
    if not spent or not least or days <= 0:
        return ""
    more = float(spent) / float(least) - 1
    much = percent(more) if more >= 0.01 else "under 1 %"
    gain = (
        f"; this is {count(days, 'day')} before the {'cheapest' if priced else 'one of least work'}"
    )
    return f"{gain}, for {much} more{'' if priced else ' hours'}" if more > 0 else gain


def _alone(plan: Plan) -> str:
    """Return that no other plan stands beside this one."""
    kept = " in time" if plan.odds.word == "likely" else ""
    cheaper = "cheaper" if hands_priced(plan) else "with fewer hours of hands"
    return f"No other plan{kept} was found {cheaper}, sooner or with fewer molds."


def _name(plan: Plan, way: PlanWay) -> str:
    """Return what a plan is best at, and whether it is this one."""
    asked = any(one.field == "edition.molds" and one.kind == "brief" for one in plan.sources)
    best = "Best for the money" if hands_priced(plan) else "Best for the work"
    if any((one.chance or 0.0) >= WORTH_CHASING for one in plan.ways):
        best = "Best for your date"
    names = [_named(plan, one) for one in way.names]
    name = sentence(listed(names))[:-1] if names else "As asked" if asked else best
    return f"{name} (this plan)" if way.recommended else name


def _which(plan: Plan) -> str:
    """Return which plans stand at the ends where not all may: those that keep the date, if any does."""
    named = [way for way in plan.ways if way.names]
    kept = all((way.chance or 0.0) >= plan.odds.confidence for way in named)
    return " of those that keep your date" if kept and len(named) < len(plan.ways) else ""


def _named(plan: Plan, name: str) -> str:
    """Return what a plan is best at; without a price for hands none is called cheap."""
    return "least work" if name == "cheapest" and not hands_priced(plan) else name


def _first_claims(plan: Plan) -> str:
    """Return which editions have the first claim on the room, and until when."""
    others = (f"{one.name}, until {Say.of(plan).day(one.finish)}" for one in plan.beside)
    return f"Before it on kiln and hands: {'; '.join(others)}."


def _tone(plan: Plan) -> Tone:
    """Return whether the date wished for is likely to hold."""
    return TONES.get(plan.odds.word, "open")


def wanted(plan: Plan) -> str:
    """Return what the edition is: its pieces, and its proofs if it has any."""
    edition = plan.edition
    proofs = edition.proofs
    pieces = count(edition.pieces, "piece")
    return f"{pieces} and up to {count(proofs, 'proof')}" if proofs else pieces


def _sentence(plan: Plan) -> str:
    """Return the answer as one sentence."""
    odds, deadline, say = plan.odds, plan.answer.deadline, Say.of(plan)
    sure, by = percent(odds.confidence), say.day(odds.surely, weekday=False)
    done = f"{wanted(plan)} by {by}, at {sure}"
    if deadline is None or odds.word is None:
        return f"{done}."
    held = f"{done}. Your date, {say.day(deadline, weekday=False)}, {VERDICTS[odds.word]}"
    if odds.first_date is None:
        return f"{held}."
    molds = f", with {count(odds.first_date_molds, 'mold')}" if odds.first_date_molds else ""
    return f"{held}; the first that can is {say.day(odds.first_date, weekday=False)}{molds}."


def _doing(plan: Plan) -> tuple[FactRow, ...]:
    """Return how many molds are to be poured, and what is finished where something is."""
    answer, book, further = plan.answer, plan.book, plan.odds.further_molds
    poured, at_once = answer.molds_poured, answer.molds
    more = "" if further is None else f", {_how_likely(further.chance)} {further.molds} more later"
    day = answer.first_pour
    first = "" if day is None else f"first pour {Say.of(plan).day_in_week(day)}"
    there = len(book.molds) if book is not None else 0
    if there:
        used = f"{there} at hand"
    else:
        used = f"{at_once} at once, {poured - at_once} as they wear" if poured > at_once else ""
    molds = ("Molds to pour", f"{poured or 'none'}{more}")
    told = (first, used, _more_poured(further), _other_lives(plan))
    rows: tuple[FactRow, ...] = ((*molds, "; ".join(filter(None, told))),)
    if book is None or not book.finished:
        return rows
    of = str(plan.edition.pieces + plan.edition.proofs)
    proofs = (
        f", up to {count(plan.edition.proofs, 'proof')} among them" if plan.edition.proofs else ""
    )
    return (*rows, ("Finished", str(book.finished), f"of {of}{proofs}"))


def _other_lives(plan: Plan) -> str:
    """Return how many molds it takes if one gives other casts than counted on, where nobody knows how many."""
    life, poured = plan.molds[0].life, plan.answer.molds_poured
    others = []
    for one in plan.lives:
        molds = one.molds + one.replaced
        if molds != poured:
            others.append(f"{molds} if {'only ' if one.life < life else ''}{one.life}")
    return ", ".join((f"counted on {life} casts a mold", *others)) if others else ""


def _how_likely(chance: float) -> str:
    even = 0.5
    return "probably" if chance > even else "perhaps"


def _more_poured(further: FurtherMolds | None) -> str:
    """Return how often the molds to pour are not enough, and how often more are poured lest they are not."""
    if further is None:
        return ""
    poured = f"{in_ten(further.chance)} more are poured to be safe"
    if further.too_few < RARE:
        return poured
    lacking = f"{in_ten(further.too_few)} these are not enough"
    same = in_ten(further.chance) == in_ten(further.too_few)
    return lacking if same else f"{lacking}, {poured}"


def _casting(plan: Plan) -> tuple[FactRow, ...]:
    """Return how many casts are to be started, besides those in work where something is."""
    book, thrown = plan.book, plan.answer.conditioning_casts
    in_work = book is not None and (book.finished or book.load or any(s.count for s in book.stages))
    need = plan.edition.pieces + plan.edition.proofs
    casts = "besides those in work" if in_work else f"for {need} good ones"
    used = plan.cost.used_up
    if round(used.casts) > plan.answer.casts:
        proofs = plan.edition.proofs
        why = ": loads spoil, lost proofs are not redone" if proofs else " with spoiled loads"
        casts += f", {used.casts:.0f} on average{why}"
    if thrown:
        casts += f"; {thrown} more, first of each mold, thrown away"
    return (("Casts to start", str(plan.answer.casts), casts),)


def _outlook(plan: Plan, say: Say) -> tuple[FactRow, ...]:
    """Return finish, last safe pour, what limits, and cost."""
    answer = plan.answer
    rows = [] if len(plan.ways) > 1 else [_even_odds(plan, say)]
    late = plan.odds.word in ("unlikely", "cannot")
    if late:
        rows += _remedy(plan)
    elif answer.last_safe_pour is not None:
        rows.append(("Last safe pour", say.day(answer.last_safe_pour), _pour_note(plan)))
    offer = plan.odds.safe_to_offer
    when = "by your date" if answer.deadline else f"by {say.day(plan.odds.finish.p90)}"
    safe, rests = promised_of(plan), f"{when}, at {percent(offer.confidence)}"
    rows.append(("Safe to promise", *promised(plan, safe, rests)))
    limit = LIMITS.get(answer.limited_by, answer.limited_by)
    rows.append(("What limits", limit, _relief(plan)))
    if plan.book is not None:
        spent = plan.cost.total
        rows.append(("Still to be spent", _about(spent, say), _cost_note(plan)))
        return tuple(rows)
    rows.append(("Cost a piece", _about(plan.cost.per_piece, say), _cost_note(plan)))
    return tuple(rows)


def _about(amount: Decimal | None, say: Say) -> str:
    """Return a mean over runs in the studio's money. [currency]"""
    return say.money(amount) if amount is None else f"{priced_about(amount)} {say.currency}"


def _even_odds(plan: Plan, say: Say) -> FactRow:
    """Return by when half of all ways end; beside other plans their table tells it."""
    ends = plan.odds.finish
    return "Even odds by", say.day(ends.p50), f"eight times in ten {say.span(ends.p10, ends.p90)}"


def _pour_note(plan: Plan) -> str:
    """Return what the last safe pour date is safe for."""
    target = "your odds" if plan.answer.deadline else "this finish"
    return f"a last mold by then keeps {target}"


def _remedy(plan: Plan) -> list[FactRow]:
    """Return what alone would make a late date likely, or at least even."""
    helps = [one for one in plan.odds.molds_for_chance.help if one.chance >= EVEN_CHANCE]
    if not helps:
        return []
    best = max(helps, key=lambda one: one.chance)
    held, molds = verdict(plan, best.chance), help_molds(plan)
    beside = "" if molds == plan.answer.molds else f"with {count(molds, 'mold')} "
    return [("What would help", best.what, f"{beside}your date {held} then")]


def _relief(plan: Plan) -> str:
    """Return what would loosen the limit most."""
    gains = [r for r in plan.answer.relief if r.days_gained > 0]
    if not gains:
        return "nothing small brings the finish forward"
    cures = [r for r in gains if r.limit == plan.answer.limited_by]
    best = max(cures or gains, key=lambda r: r.days_gained)
    gained = count(best.days_gained, "day")
    if cures:
        return f"{best.what} gains {gained}"
    return f"nothing small loosens that; {best.what} would gain {gained}"


def _cost_note(plan: Plan) -> str:
    """Return that the cost is an average, its range, and what it leaves out."""
    cost = plan.cost
    if cost.total is None:
        return _unpriced(plan)
    whole = "" if plan.book is not None else f"{priced_about(cost.total)} in all "
    return f"{whole}on average{_eight_in_ten(cost)}; {_unpriced(plan)}"


def _eight_in_ten(cost: CostPlan) -> str:
    """Return the range that a cost is in eight times in ten, empty where it is always the same."""
    low, high = priced_about(cost.p10), priced_about(cost.p90)
    return f", eight in ten {low} to {high}" if low != high else ""


def _unpriced(plan: Plan) -> str:
    """Return what the cost leaves out."""
    if not plan.cost.lines:
        return "no prices are written yet; plans are compared by hours"
    missing = [what for what, _ in not_priced(plan)]
    if len(missing) > _FEW:
        return f"without {', '.join(missing[: _FEW - 1])} and {len(missing) - _FEW + 1} more"
    return f"without {listed(missing, 'or')}" if missing else "everything is priced"


def not_priced(plan: Plan) -> list[tuple[str, str]]:
    """Return what the cost leaves out, each with the reason, which may be empty."""
    found = (one.partition(": ") for one in plan.cost.not_priced)
    return [(" ".join(reversed(what.split(", "))), why) for what, _, why in found]


def _honest(plan: Plan) -> str:
    """Return how far the dates can be trusted."""
    limits = plan.answer.best_found
    proof = " No plan can finish earlier with these numbers." if limits.proved else ""
    ends, apart = f"its own end is {Say.of(plan).day(plan.answer.finish)}", plan.odds.apart
    drying = "" if apart else " and with the days for drying that let it end near the even odds"
    return (
        f"The calendar shows one way it may go, losses at their average{drying}; {ends}. {apart}".rstrip()
        + f" What chance does to it, and what it depends on, stands under The odds.{proof}"
    )
