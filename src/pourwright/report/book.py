"""What the book says is there, and the first plan beside the new one, in words."""

from __future__ import annotations

from pourwright.plan.plan import Forecast, FromBook, StandingMold
from pourwright.report.blocks import Align, Block, Facts, Section, Table, Text
from pourwright.report.saying import Say, count

_FIELDS = {
    "losses.casting": "Lost in casting",
    "losses.drying": "Lost in drying",
    "losses.bisque": "Lost in the bisque",
    "losses.glaze": "Lost in the glaze firing",
    "losses.third": "Lost in the third firing",
    "mold.life": "Casts a mold gives",
    "drying.days_low": "Days a mold dries, the short end",
    "drying.days_high": "Days a mold dries, the long end",
}


def book_words(book: FromBook, say: Say) -> Section:
    """Return the new forecast beside the first, what is there, and what the studio has counted."""
    blocks: list[Block] = [Text(_lead(book))]
    if book.from_brief:
        told = ", ".join(book.from_brief)
        blocks.append(Text(f"Taken from the brief, because the book does not tell it: {told}."))
    if book.first_plan is not None:
        blocks.append(_beside(book, book.first_plan, say))
    blocks.append(Facts(_facts(book, say)))
    if book.molds:
        blocks.append(_molds(book, say))
    blocks.append(_own(book) if book.own else Text("Nothing counted yet stands behind the plan."))
    return Section("book", "From the book", tuple(blocks))


def _lead(book: FromBook) -> str:
    later = book.days_later
    now = f"The plan goes on from the book, {count(book.entries, 'entry', 'entries')}"
    if later is None:
        return f"{now}. The brief that was planned first is not in it, so there is nothing to compare with."
    if not later:
        return f"{now}, and ends when the first plan said."
    how = "later" if later > 0 else "sooner"
    return f"{now}, and ends {count(abs(later), 'day')} {how} than the first plan said."


def _beside(book: FromBook, first: Forecast, say: Say) -> Table:
    columns: tuple[tuple[str, Align], ...] = (
        ("Plan", "left"),
        ("Finish", "left"),
        ("End, eight times in ten", "left"),
        ("Your date", "left"),
    )
    rows = tuple(
        (
            f"{name}, {say.day(one.as_of, weekday=False)}",
            say.day(one.finish, weekday=False),
            say.span(one.p10, one.p90),
            one.word or "none given",
        )
        for name, one in (("First", first), ("Now", book.now))
    )
    return Table(
        caption="The first plan and the new one", columns=columns, rows=rows, narrow="cards"
    )


def _facts(book: FromBook, say: Say) -> tuple[tuple[str, str, str], ...]:
    rows = [("Finished", str(book.finished), "inspected, good and packed")]
    rows += [(one.stage.capitalize(), str(one.count), "") for one in book.stages]
    if (load := book.load) is not None:
        since = f"since {say.day(load.since)}"
        rows.append((f"In the kiln, {load.firing}", str(load.pieces), since))
    rows.append(("Still to be cast for", str(book.wanted), "wanted beyond all of these"))
    return tuple(rows)


def _molds(book: FromBook, say: Say) -> Table:
    return Table(
        caption="Molds in use",
        columns=(("Mold", "left"), ("Casts given", "right"), ("Poured", "left"), ("Dry", "left")),
        rows=tuple(
            (
                m.label,
                str(m.casts),
                say.day(m.poured, weekday=False),
                _dry(m, say),
            )
            for m in book.molds
        ),
        narrow="fit",
    )


def _dry(mold: StandingMold, say: Say) -> str:
    if mold.dry or mold.ready_from is None or mold.ready_by is None:
        return "yes" if mold.dry else "not yet"
    return f"{say.span(mold.ready_from, mold.ready_by)}, by its weighings"


def _own(book: FromBook) -> Table:
    return Table(
        caption="What the studio has counted itself",
        columns=(("Figure", "left"), ("Now", "left"), ("From", "left")),
        rows=tuple((_FIELDS.get(one.field, one.field), one.value, one.source) for one in book.own),
        note="A count replaces the brief's figure little by little, by the weight beside it; from 90 % on the figure is called the studio's own. Pieces of one load count as fewer, because they share a fire.",
        narrow="list",
    )
