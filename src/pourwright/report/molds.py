"""How many molds, what each thing adds to the bare arithmetic, and other sizes."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from pourwright.plan.plan import MoldCount, Plan, Relief, TwoSteps, same_cost
from pourwright.report.answer import compared_in
from pourwright.report.blocks import Align, Block, Row, Section, Table, Text
from pourwright.report.odds import odds_word, percent
from pourwright.report.saying import RARE, Say, count, in_ten, listed, priced_about, sentence

Columns = tuple[tuple[str, Align], ...]


def molds_words(plan: Plan) -> Section:
    """Return the table of mold counts, the ladder, and the sizes and lives beside it."""
    say = Say.of(plan)
    blocks: list[Block] = [
        Text(
            "More molds cast faster until something else is full. Each row is the plan that is made if "
            "so many molds are asked for; where every one is beaten by another in "
            f"{compared_in(plan)}, the row is left out."
        ),
        _counts(plan, say),
    ]
    if any(map(_gains, plan.answer.relief)):
        blocks += [Text("What each would gain, alone:"), _reliefs(plan, say)]
    if plan.answer.breaks:
        blocks.append(Text(_breaks(plan)))
    if plan.ladder:
        blocks += [
            Text(
                "The bare arithmetic of the trade is one cast a mold each working day with nothing "
                "lost. What comes on top of it:"
            ),
            _ladder(plan),
        ]
    blocks += [Text(_declare_note(plan)), _from_molds(plan)]
    if plan.lives:
        blocks += [Text(_life_note(plan)), _lives(plan)]
    if len(plan.sizes) > 1:
        blocks += [Text("Other sizes, before the edition is declared:"), _sizes(plan, say)]
    if plan.two_steps:
        blocks.append(Text(_two_steps(plan)))
    return Section("molds", "How many molds", tuple(blocks))


def _breaks(plan: Plan) -> str:
    """Return what a break costs where there is only one of a kind."""
    return " ".join(
        f"If {one.what} breaks, which happens in about {percent(one.chance)} of such editions, "
        f"there is another in {count(one.days, 'day')}."
        for one in plan.answer.breaks
    )


def _counts(plan: Plan, say: Say) -> Table:
    """Return one row for each number of molds that gains something; columns without a word are left out."""
    rows = [row for row in plan.molds if row.chosen or not _is_beaten(row, plan.molds)]
    dated = plan.answer.deadline is not None
    chances = {row.molds: row.chance for row in plan.odds.molds_for_chance.rows}
    words = [odds_word(plan, chances.get(row.count)) for row in rows] if dated else []
    priced = any(row.cost is not None for row in rows)
    columns: Columns = (
        ("Molds", "left"),
        ("Even odds by", "left"),
        ("Working days", "right"),
        ("Casts a mold", "right"),
        ("Replaced", "right"),
        ("Sessions", "right"),
        *((("Your date", "left"),) if dated else ()),
        *(((f"Cost, {say.currency}", "right"),) if priced else ()),
    )
    return Table(
        caption="Even odds by number of molds in use",
        columns=columns,
        rows=tuple(
            _count_row(row, words[at : at + 1], say, priced=priced) for at, row in enumerate(rows)
        ),
        marked=tuple(i for i, row in enumerate(rows) if row.chosen),
        mark_word="this plan",
        note="The cost leaves out what is not priced." if plan.cost.not_priced and priced else "",
    )


def _is_beaten(row: MoldCount, rows: Sequence[MoldCount]) -> bool:
    """Return whether fewer molds are done as soon for no more money."""
    return any(
        other.count < row.count
        and other.finish <= row.finish
        and (
            row.cost is None
            or other.cost is None
            or other.cost <= row.cost
            or same_cost(other.cost, row.cost)
        )
        for other in rows
    )


def _count_row(row: MoldCount, words: list[str], say: Say, *, priced: bool) -> Row:
    """Return the cells for one number of molds, with the word for the date if there is one."""
    cells = [
        str(row.count),
        say.day(row.finish, weekday=False),
        str(row.working_days),
        f"{row.casts_per_mold:g} of {row.life}",
        str(row.replaced),
        str(row.sessions),
        *words,
    ]
    if priced:
        cells.append(priced_about(row.cost))
    return tuple(cells)


def _declare_note(plan: Plan) -> str:
    there, poured = _at_hand(plan), plan.answer.molds_poured
    many, has = " poured", ""
    if there:
        many = f", the {there} at hand among them,"
        still = {0: "none is", 1: "1 is"}.get(poured, f"{poured} are")
        has = f" This plan has {there + poured}, of which {still} still to be poured."
    return (
        f"With so many molds{many} and no more, so many numbered pieces may be declared at "
        f"{percent(plan.odds.confidence)}, each mold cast until it is worn out.{has}{_enough(plan)}"
    )


def _molds_enough(plan: Plan, pieces: int) -> int | None:
    """Return the fewest molds with which so many pieces may be declared, None where none shown are enough."""
    enough = (row.molds_poured for row in plan.odds.from_molds if row.pieces >= pieces)
    return next(enough, None)


def _enough(plan: Plan) -> str:
    """Return why the plan pours other than the fewest molds for its pieces."""
    pieces, poured = plan.edition.pieces, _at_hand(plan) + plan.answer.molds_poured
    enough = _molds_enough(plan, pieces)
    if enough is None or enough == poured:
        return ""
    need = f" For {count(pieces, 'piece')} {enough} would do"
    if enough < poured:
        return f"{need}; with {poured} it is done sooner."
    return (
        f" To be as sure of {count(pieces, 'piece')} without another pour takes {enough}; this plan "
        f"has {poured}, and one that wears or breaks too early is followed by another."
    )


def _sizes_note(plan: Plan) -> str:
    """Return which sizes take more molds than their plan pours, if none of these fails early."""
    short = [
        f"{row.pieces} take {enough}"
        for row in plan.sizes
        if (enough := _molds_enough(plan, row.pieces)) and enough > row.molds_poured
    ]
    if not short or _at_hand(plan):
        return ""
    sure = percent(plan.odds.confidence)
    return f"To be sure of the pieces at {sure} without another pour, {listed(short)}."


def _at_hand(plan: Plan) -> int:
    """Return the molds that the book says are there; the plan pours its own beside them."""
    return len(plan.book.molds) if plan.book is not None else 0


def _from_molds(plan: Plan) -> Table:
    """Return the pieces that molds allow to declare, and what one more mold adds."""
    rows = plan.odds.from_molds
    before = [None, *rows[:-1]]
    return Table(
        caption="Pieces that may be declared, by molds" + ("" if _at_hand(plan) else " poured"),
        columns=(
            ("Molds" if _at_hand(plan) else "Molds poured", "left"),
            ("Pieces", "right"),
            ("One more mold adds", "right"),
        ),
        rows=tuple(
            (
                str(row.molds_poured),
                str(row.pieces),
                "" if last is None else str(row.pieces - last.pieces),
            )
            for row, last in zip(rows, before, strict=True)
        ),
        marked=tuple(
            at
            for at, row in enumerate(rows)
            if row.molds_poured == _at_hand(plan) + plan.answer.molds_poured
        ),
        mark_word="this plan",
        narrow="fit",
    )


def _gains(one: Relief) -> bool:
    """Return whether a change gains anything: days, or money saved."""
    return one.days_gained > 0 or (one.added_cost or 0) < 0


def _reliefs(plan: Plan, say: Say) -> Table:
    """Return what would bring the finish forward, what it gains and what it costs or saves."""
    rows = [one for one in plan.answer.relief if _gains(one)]
    idle = [one.what for one in plan.answer.relief if one not in rows]
    notes = [f"Nothing is gained by {listed(idle)}."] if idle else []
    if priced := any(one.added_cost is not None for one in rows):
        notes.append("Cost: with a plus what it adds, with a minus what it saves.")
    cost: Columns = ((f"Cost, {say.currency}", "right"),) if priced else ()
    return Table(
        caption="What would be done sooner",
        columns=(("If there were", "left"), ("Sooner by", "right"), *cost),
        rows=tuple(
            (
                sentence(one.what)[:-1],
                _added(one.days_gained),
                *((_more_or_less(_added_cost(plan, one)),) if priced else ()),
            )
            for one in rows
        ),
        note=" ".join(notes),
        narrow="fit",
    )


def _added_cost(plan: Plan, relief: Relief) -> Decimal | None:
    """Return what a relief adds; of one more mold the difference of the costs that stand beside the molds."""
    added, paid = relief.added_cost, plan.cost.total
    if relief.what != "one more mold" or added is None or paid is None:
        return added
    return Decimal(priced_about(paid + added)) - Decimal(priced_about(paid))


def _more_or_less(amount: Decimal | None) -> str:
    """Return an amount that may be added or saved, with its sign."""
    if amount is None:
        return "not priced"
    return f"{'+' if amount > 0 else ''}{priced_about(amount)}" if amount else "nothing"


def _ladder(plan: Plan) -> Table:
    """Return the finish as each thing is counted in, one after the other."""
    return Table(
        caption="From bare arithmetic to this plan",
        columns=(("Counted in", "left"), ("Finish", "left"), ("Adds", "right")),
        rows=tuple(
            (
                sentence(step.step)[:-1],
                Say.of(plan).day(step.finish, weekday=False),
                _added(step.days_added) if index else "",
            )
            for index, step in enumerate(plan.ladder)
        ),
        note="The first dates are those of the last cast; from the drying of ware on, of the last "
        "finished piece.",
        narrow="fit",
    )


def _added(days: int) -> str:
    """Return days added, or that there are none."""
    return count(days, "day") if days else "nothing"


def _sizes(plan: Plan, say: Say) -> Table:
    """Return the plan for other numbers of pieces."""
    priced = any(row.cost is not None for row in plan.sizes)
    cost: Columns = ((f"Cost, {say.currency}", "right"),) if priced else ()
    return Table(
        caption="Even odds by size of the edition",
        columns=(
            ("Pieces", "left"),
            ("In use", "right"),
            ("Poured", "right"),
            ("Casts", "right"),
            ("Even odds by", "left"),
            *cost,
        ),
        rows=tuple(
            (
                str(row.pieces),
                str(row.molds),
                str(row.molds_poured),
                str(row.casts),
                say.day(row.finish, weekday=False),
                *((priced_about(row.cost),) if priced else ()),
            )
            for row in plan.sizes
        ),
        marked=tuple(i for i, r in enumerate(plan.sizes) if r.pieces == plan.edition.pieces),
        mark_word="this plan",
        note=_sizes_note(plan),
    )


def _two_steps(plan: Plan) -> str:
    """Return until when this edition may become a larger one, and what must wait until then."""
    told = []
    for step in plan.two_steps:
        if step.decide_by is None:
            told.append(f"{step.pieces} would not keep your date.")
            continue
        told.append(
            f"{step.pieces} can be decided on until {Say.of(plan).day(step.decide_by)}: "
            f"{_molds_then(step)}."
        )
    return (
        f"To make {plan.edition.pieces} now and leave more open, keep the masters and number nothing "
        f"until it is decided, for a number tells the size of its edition. {' '.join(told)}"
    )


def _molds_then(step: TwoSteps) -> str:
    """Return what a larger edition takes beyond this one's molds, and how often that is too few."""
    short = "" if step.too_few < RARE else f"{in_ten(step.too_few)} these are not enough"
    if step.molds:
        return f"pour {count(step.molds, 'mold')} more then{short and f'; {short}'}"
    return f"the molds may do; {short}, and more are poured then" if short else "the molds do"


def _life_note(plan: Plan) -> str:
    """Return that the life of a mold is not known, and what settles it."""
    shown = max(row.life for row in plan.molds)
    return (
        f"How many casts a mold gives is not known yet. The plan counts on {shown}. Compare every "
        "fifth cast with the first good one: the cast at which detail has gone soft is the life."
    )


def _lives(plan: Plan) -> Table:
    """Return the plan for other lives of a mold."""
    used = {row.life for row in plan.molds}
    return Table(
        caption="If a mold lasts",
        columns=(
            ("Casts a mold", "left"),
            ("Molds", "right"),
            ("Replaced", "right"),
            ("Even odds by", "left"),
        ),
        rows=tuple(
            (
                str(row.life),
                str(row.molds),
                str(row.replaced),
                Say.of(plan).day(row.finish, weekday=False),
            )
            for row in plan.lives
        ),
        marked=tuple(i for i, row in enumerate(plan.lives) if row.life in used),
        mark_word="this plan",
    )
