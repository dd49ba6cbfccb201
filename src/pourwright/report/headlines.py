"""What each section of a plan comes to, in the line that stands for it while it is folded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping

from pourwright.plan.plan import NOT_GIVEN, Plan
from pourwright.report.buying import PLURAL
from pourwright.report.plaster import mixed
from pourwright.report.saying import Say, count, listed, priced_about, sentence

_FEW = 3
"""So many things are named; of more it is told how many there are."""


def headline(section: str, plan: Plan) -> str:
    """Return the line that stands for a folded section, empty for one that stands open.

    Parameters
    ----------
    section : str
        The section's id.
    plan : Plan
        The plan that it is of.
    """
    said = _HEADLINES.get(section)
    return sentence(said(plan))[:-1] if said else ""


def _book(plan: Plan) -> str:
    book = plan.book
    if book is None:
        return ""
    later = book.days_later
    how = "" if later is None else "ends when the first plan said, "
    if later:
        how = f"ends {count(abs(later), 'day')} {'later' if later > 0 else 'sooner'} than the first plan said, "
    molds = count(len(book.molds), "mold") if book.molds else "no mold"
    return f"{how}{book.finished or 'none'} finished, {molds} in use"


def _pour_list(plan: Plan) -> str:
    plaster, say = plan.plaster, Say.of(plan)
    first = say.day_in_week(plaster.session_list[0].date)
    batches = count(mixed(plaster.batches), "batch", "batches")
    return f"{count(plaster.sessions, 'session')} of {batches} in all, the first on {first}"


def _to_buy(plan: Plan) -> str:
    buys = [one for one in plan.to_buy if one.count]
    if not buys:
        return "nothing" if plan.to_buy else "not known"
    things = [
        one.what if one.unit else PLURAL.get(one.shop_unit, f"{one.shop_unit}s") for one in buys
    ]
    told = listed(things) if len(things) <= _FEW else count(len(things), "thing")
    return f"{told}, the first used on {Say.of(plan).day_in_week(buys[0].by)}"


def _molds(plan: Plan) -> str:
    answer = plan.answer
    best = max(answer.relief, key=lambda one: one.days_gained, default=None)
    gain = ""
    if best is not None and best.days_gained:
        gain = f"; {best.what} would gain {count(best.days_gained, 'day')}"
    return f"{answer.molds} in use, {answer.molds_poured or 'none'} to pour{gain}"


def _stages(plan: Plan) -> str:
    ends = max(plan.stages, key=lambda one: one.ends)
    first = min(one.starts for one in plan.stages)
    return f"{Say.of(plan).span(first, ends.ends)}, {ends.name} last"


def _plaster(plan: Plan) -> str:
    plaster, say = plan.plaster, Say.of(plan)
    bags = f"{count(plaster.bags, 'bag')} of {say.bought(plaster.bag_kg)}"
    return (
        f"{say.mass(plaster.total_plaster_kg)} in all, {bags}; consistency {plaster.consistency:g}"
    )


def _drying(plan: Plan) -> str:
    drying = plan.drying
    days = f"{drying.days_low:g} to {drying.days_high:g} days"
    return f"{days}, {Say.of(plan).mass(drying.water_to_lose_kg)} of water to lose"


def _casting(plan: Plan) -> str:
    casting, say = plan.casting, Say.of(plan)
    told = []
    if casting.fill_l is not None:
        told.append(f"{say.volume(casting.fill_l)} fill a mold")
    if casting.minutes is not None:
        told.append(f"about {say.duration(casting.minutes)}")
    return ", ".join(told) or "neither slip nor minutes are known"


def _kiln(plan: Plan) -> str:
    return ", ".join(
        f"{one.name} to cone {one.cone} in {count(one.loads, 'load')}" for one in plan.kiln.firings
    )


def _glaze(plan: Plan) -> str:
    dry_kg = plan.glaze.dry_kg
    if dry_kg is None:
        return "how much a piece takes is not known"
    return f"{Say.of(plan).mass(dry_kg)} of dry glaze"


def _numbers(plan: Plan) -> str:
    numbers = plan.numbers
    proofs = f"; at most {count(numbers.proofs, 'proof')}" if numbers.proofs else ""
    return f"{numbers.first} to {numbers.last}{proofs}"


def _cost(plan: Plan) -> str:
    cost, say = plan.cost, Say.of(plan)
    total = f"about {priced_about(cost.total)} {say.currency}"
    if cost.total is None:
        total = "no price is given"
    left_out = len(cost.not_priced)
    return f"{total}, {count(left_out, 'thing')} not priced" if cost.lines and left_out else total


def _dimensions(plan: Plan) -> str:
    dimensions = plan.dimensions
    if not dimensions.given:
        return "no shrinkage test is given"
    return listed([one.name.lower() for one in dimensions.steps])


def _odds(plan: Plan) -> str:
    finish = plan.odds.finish
    span = Say.of(plan).span(finish.p10, finish.p90)
    return f"eight times in ten {span}; most depends on {listed(plan.odds.carried_by)}"


def _sources(plan: Plan) -> str:
    many = Counter("left open" if one.value == NOT_GIVEN else one.kind for one in plan.sources)
    kinds = {"default": "by default", "brief": "in the brief", "studio": "in the studio file"}
    told = [f"{many[kind]} {words}" for kind, words in kinds.items() if many[kind]]
    return listed(told)


_HEADLINES: Mapping[str, Callable[[Plan], str]] = {
    "book": _book,
    "pour-list": _pour_list,
    "to-buy": _to_buy,
    "molds": _molds,
    "stages": _stages,
    "plaster": _plaster,
    "drying": _drying,
    "casting": _casting,
    "kiln": _kiln,
    "glaze": _glaze,
    "numbers": _numbers,
    "cost": _cost,
    "dimensions": _dimensions,
    "odds": _odds,
    "sources": _sources,
}
"""What is consulted now and then; the answer, what it comes to and the calendar stand open."""
