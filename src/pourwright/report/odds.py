"""The odds in words: dates as ranges, molds for a chance, what may be promised, what the date depends on."""

from __future__ import annotations

from pourwright.plan.plan import MoldsRow, Plan, Replacement, RiskRow, word_for
from pourwright.report.blocks import (
    Align,
    Block,
    FactRow,
    Facts,
    Row,
    Section,
    Table,
    Text,
)
from pourwright.report.plan_charts import plan_figures
from pourwright.report.saying import Say, count, listed, priced_about

OWN_CASTS_FOR_NUMBERS = 30
"""Casts of the studio's own before a chance is shown as a number."""
COST_NOTE = "Cost is the average of all the ways it may go."
SURPLUS = {
    "destroy": "what is over is destroyed",
    "seconds": "what is over is sold as seconds",
    "keep unsigned": "what is over is kept, unsigned",
}
LIMITS = {
    "molds": "the molds",
    "kiln": "the kiln",
    "hours": "the hands",
    "drying": "drying",
    "preparation": "the days before the first pour",
}
VERDICTS = {
    "likely": "is likely to hold",
    "tight": "is tight",
    "unlikely": "is unlikely to hold",
    "cannot": "cannot be kept",
}
"""What is said of the date wished for."""

Columns = tuple[tuple[str, Align], ...]


def odds_words(plan: Plan) -> Section:
    """Return the odds of the date, and what is safe to decide on them."""
    odds, say = plan.odds, Say.of(plan)
    figures = plan_figures(plan)
    blocks: list[Block] = [Text(_lead(plan)), Facts(_facts(plan, say)), figures["fan"]]
    blocks += [figures["molds"], _molds(plan, say)]
    if odds.molds_for_chance.help:
        blocks += [Text(_limit(plan)), _help(plan)]
    if odds.safe_to_offer.by_date:
        blocks.append(_offer(plan))
    blocks += [Text(_risk_lead())]
    blocks += [figures["risks"]] if "risks" in figures else []
    blocks += [_risks(plan), figures["use"], Text(_detail(plan), "note")]
    return Section("odds", "The odds", tuple(blocks), folded=True)


def odds_word(plan: Plan, chance: float | None) -> str:
    """Return a chance as a word, or as a number once the studio has counted casts of its own."""
    odds = plan.odds
    if chance is None:
        return ""
    if odds.own_casts >= OWN_CASTS_FOR_NUMBERS:
        return f"{100 * chance:.0f} %"
    return word_for(chance, odds.confidence)


def verdict(plan: Plan, chance: float) -> str:
    """Return what is said of the date wished for at a chance, such as "is tight"."""
    if plan.odds.own_casts >= OWN_CASTS_FOR_NUMBERS:
        return f"holds with a chance of {percent(chance)}"
    return VERDICTS[word_for(chance, plan.odds.confidence)]


def percent(share: float) -> str:
    """Return a share as whole percent.

    Examples
    --------
    >>> percent(0.9)
    '90 %'
    """
    return f"{100 * share:.0f} %"


def _lead(plan: Plan) -> str:
    odds, answer = plan.odds, plan.answer
    expected = (
        "The calendar is one way that it may go; here is what chance does to it: "
        "losses that come in whole loads, molds that soften early, plaster that dries fast or slowly."
    )
    if answer.deadline is None or odds.chance is None:
        return expected
    date = f"your date, {Say.of(plan).day(answer.deadline)}, {verdict(plan, odds.chance)}"
    return f"With {count(answer.molds, 'mold')} {date}. {expected}"


def promised(plan: Plan, safe: str, rests: str) -> tuple[str, str]:
    """Return what may be promised and what that rests on: nothing before the test casts are approved."""
    if plan.awaits_approval and plan.odds.safe_to_offer.today:
        return "none yet", f"before the test casts are approved; then {safe} {rests}"
    return safe, rests


def promised_of(plan: Plan) -> str:
    """Return the pieces that may be promised, of how many where it is not all of them."""
    safe, pieces = plan.odds.safe_to_offer.today, plan.edition.pieces
    return count(pieces, "piece") if safe >= pieces else f"{safe} of the {pieces} pieces"


def _facts(plan: Plan, say: Say) -> tuple[FactRow, ...]:
    odds, finish = plan.odds, plan.odds.finish
    casts, offer = odds.casts, odds.safe_to_offer
    rows: list[FactRow] = [
        (
            "Finish",
            say.span(finish.p10, finish.p90),
            "eight times in ten it ends between these dates",
        ),
        (
            "Even odds by",
            say.day(finish.p50),
            f"the calendar ends on {say.day(odds.expected_finish)}. {odds.apart}".removesuffix(
                ". "
            ),
        ),
        (
            "Most depends on",
            listed(odds.carried_by),
            "the two assumptions that change the date most",
        ),
        (
            "Safe to promise",
            *promised(
                plan,
                promised_of(plan),
                f"{'for your date' if odds.word else 'for the late end of the range'}, "
                f"at {percent(offer.confidence)}; proofs are kept back",
            ),
        ),
        (
            "Casts to be sure",
            str(casts.to_start),
            (
                f"so that all come out at {percent(casts.confidence)}, first casts of new molds apart; about "
                f"{casts.surplus_p50} good ones too many then, and {SURPLUS[casts.fate]}"
            ),
        ),
    ]
    return tuple(rows + [_replacement(one, say) for one in odds.replacements])


def _replacement(one: Replacement, say: Say) -> FactRow:
    cost = "" if one.session_cost is None else f", for {say.money(one.session_cost)} of hands"
    return (
        "Replacement pour",
        say.span(one.pour_p10, one.pour_p90),
        f"a session for {count(one.molds, 'mold')}{cost}; poured {percent(one.chance_poured)} of the time",
    )


def _molds(plan: Plan, say: Say) -> Table:
    rows, confidence = plan.odds.molds_for_chance.rows, plan.odds.confidence
    dated = plan.answer.deadline is not None
    priced = any(row.cost is not None for row in rows)
    columns: Columns = (
        ("Molds", "left"),
        ("Finish, eight times in ten", "left"),
        *((("Your date", "left"),) if dated else ()),
        *(((f"Cost, {say.currency}", "right"),) if priced else ()),
    )
    marked = tuple(i for i, row in enumerate(rows) if row.molds == plan.answer.molds)
    least = plan.odds.molds_for_chance.molds
    note = f"{count(least, 'mold')} are the fewest for {percent(confidence)}." if least else ""
    return Table(
        caption="Molds and the odds of the date",
        columns=columns,
        rows=tuple(_mold_row(plan, row, dated=dated, priced=priced) for row in rows),
        marked=marked,
        mark_word="this plan",
        note=" ".join(
            filter(None, (note.replace("1 mold are", "1 mold is"), COST_NOTE if priced else ""))
        ),
    )


def _mold_row(plan: Plan, row: MoldsRow, *, dated: bool, priced: bool) -> Row:
    cells = [str(row.molds), Say.of(plan).span(row.p10, row.p90)]
    if dated:
        cells.append(odds_word(plan, row.chance))
    if priced:
        cells.append(priced_about(row.cost))
    return tuple(cells)


def _limit(plan: Plan) -> str:
    odds = plan.odds
    limit = odds.molds_for_chance.limit
    what = "" if limit is None else LIMITS[limit]
    return (
        (
            f"No number of molds that was looked at keeps your date at {percent(odds.confidence)}: "
            f"{what} hold it back. {_nearest(plan)} each of these alone would change the odds:"
        )
        .replace("the kiln hold", "the kiln holds")
        .replace("drying hold", "drying holds")
    )


def _nearest(plan: Plan) -> str:
    """Return with which molds the help is told."""
    molds = help_molds(plan)
    if molds == plan.answer.molds:
        return f"With the {count(molds, 'mold')} of this plan"
    return f"With {count(molds, 'mold')}, which come{'s' * (molds == 1)} nearest,"


def help_molds(plan: Plan) -> int:
    """Return the molds beside which help is told."""
    return plan.odds.molds_for_chance.help_molds or plan.answer.molds


def _help(plan: Plan) -> Table:
    rows, offer = plan.odds.molds_for_chance.help, plan.odds.safe_to_offer
    pieces = plan.edition.pieces
    return Table(
        caption="What would help",
        columns=(("Change", "left"), ("Your date then", "left")),
        rows=tuple((row.what, _better(plan, row.chance)) for row in rows),
        note=f"A smaller edition fires its last loads sooner, so that more of it is done by your date than the "
        f"{offer.today} that are safe of this plan's {pieces}."
        if 0 < offer.today < pieces
        else "",
        narrow="fit",
    )


def _better(plan: Plan, chance: float) -> str:
    rows = plan.odds.molds_for_chance.rows
    before = next(row.chance or 0.0 for row in rows if row.molds == help_molds(plan))
    word = odds_word(plan, chance)
    if chance <= before + 0.02:
        return f"{word}, hardly better"
    return f"{word}, {'much better' if chance > before + 0.2 else 'better'}"


def _offer(plan: Plan) -> Table:
    offer = plan.odds.safe_to_offer
    approved = ", once the test casts are approved" if plan.awaits_approval else ""
    return Table(
        caption=f"Pieces that may be promised{approved}, at {percent(offer.confidence)}",
        columns=(("By", "left"), ("Pieces", "right")),
        rows=tuple((Say.of(plan).day(row.date), str(row.pieces)) for row in offer.by_date),
        narrow="fit",
    )


def _risk_lead() -> str:
    return (
        "What the date depends on. Each thing goes from one end of what is likely to the other, the "
        "rest left to chance, and moves the average finish by so many days; beside it stands the cheap measurement that would settle it."
    )


def _risks(plan: Plan) -> Table:
    return Table(
        caption="What changes the date, the most first",
        columns=(
            ("What", "left"),
            ("From and to", "left"),
            ("Changes the date by", "right"),
            ("Settle it", "left"),
        ),
        rows=tuple(_risk_row(row) for row in plan.odds.risks),
        narrow="list",
    )


def _risk_row(row: RiskRow) -> Row:
    moved = count(row.days, "day") if row.days else "hardly"
    return row.what, f"{row.low} to {row.high}", moved, row.measure


def _detail(plan: Plan) -> str:
    odds = plan.odds
    chance = "" if odds.chance is None else f" In {percent(odds.chance)} of them your date is kept."
    own = odds.own_casts
    trust = (
        f"The losses rest on {own} casts of your own."
        if own
        else "The losses are not yet counted in your own studio, so the chance is said in words above: "
        f"after {OWN_CASTS_FOR_NUMBERS} casts of your own (losses.from_casts) it is shown as a number."
    )
    thousands = "," if plan.studio.units == "us" else " "
    number = f"{odds.runs:,}".replace(",", thousands)
    runs = f"In detail: {number} ways it may go were played through."
    return " ".join(filter(None, (f"{runs}{chance}", trust, odds.bias_note)))
