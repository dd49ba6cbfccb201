"""What one field of a brief says about another.

Each check complains of values that are all right alone and cannot be together.
A value that could not be read is None here, and has its complaint already.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from pourwright.briefs.read_field import Sheet
from pourwright.briefs.read_tables import Values

LONGEST_YEARS = 10
LEAST_PASSED = 0.05
"""Share of casts that must be left after all losses; below it nobody plans."""


def check_dates(values: Values, sheet: Sheet) -> None:
    """Complain of days in the past, and of a deadline before the start."""
    today = sheet.today
    start, deadline = values.get("edition.start"), values.get("edition.deadline")
    for path, day in (("edition.start", start), ("edition.deadline", deadline)):
        if day is None:
            continue
        if day < today:
            sheet.complain(path, _day(values, path), f"it is in the past; today is {today}")
        elif (day - today) > timedelta(days=366 * LONGEST_YEARS):
            sheet.complain(
                path,
                _day(values, path),
                f"it must be within {LONGEST_YEARS} years of today, {today}",
            )
    if start and deadline and today <= deadline <= start:
        sheet.complain(
            "edition.deadline",
            _day(values, "edition.deadline"),
            f"it must come after the start, {start}",
        )


def _day(values: Values, path: str) -> str:
    typed = values.typed(path)
    return f"{typed} ({values.get(path)})" if typed.startswith('"in ') else typed


def check_counts(values: Values, sheet: Sheet) -> None:
    """Complain of more proofs than pieces, and of more molds than are allowed."""
    pieces, proofs = values.get("edition.pieces"), values.get("edition.proofs")
    if pieces and proofs and proofs > pieces:
        sheet.complain(
            "edition.proofs", str(proofs), f"it must not be more than the {pieces} pieces"
        )
    molds, most = values.get("edition.molds"), values.get("edition.molds_at_most")
    if molds and most and molds > most:
        sheet.complain(
            "edition.molds",
            str(molds),
            f"it must not be more than edition.molds_at_most, which is {most}",
        )


def check_life(values: Values, sheet: Sheet) -> None:
    """Complain of a mold that gives nothing after its conditioning casts."""
    life, conditioning = values.get("mold.life"), values.get("mold.conditioning")
    if life is not None and conditioning is not None and life <= conditioning:
        thrown = (
            f"first {conditioning} casts of a mold are"
            if conditioning > 1
            else "first cast of a mold is"
        )
        sheet.complain(
            "mold.life", str(life),
            f"the {thrown} thrown away (mold.conditioning), so it must be at least {conditioning + 1}",
        )  # fmt: skip


def check_casting(values: Values, sheet: Sheet) -> None:
    """Complain of more slip drained than filled, and of half a test cast."""
    fill, drained = values.get("casting.fill"), values.get("casting.drained")
    if fill is not None and drained is not None and drained >= fill:
        sheet.complain(
            "casting.drained", values.typed("casting.drained"),
            f"it must be less than what was filled, {values.typed('casting.fill')}",
        )  # fmt: skip
    if drained is not None and not values.was_written("casting.fill"):
        sheet.complain("casting.drained", values.typed("casting.drained"), "write casting.fill too")
    wall, area = values.get("casting.wall"), values.get("casting.area")
    if wall and area and fill and wall / 1000 * area * 1000 > fill:
        sheet.complain(
            "casting.area", values.typed("casting.area"),
            f"a wall of {values.typed('casting.wall')} on it is more clay than the fill of "
            f"{values.typed('casting.fill')} brings",
        )  # fmt: skip
    _check_together(values, sheet, "casting.test", ("wall", "time"))


def check_shrinkage(values: Values, sheet: Sheet) -> None:
    """Complain of half a shrinkage test, and of a total below its drying."""
    path = "dimensions.shrinkage"
    _check_together(values, sheet, path, ("dry", "fired", "fired_on"))
    dry, fired = values.get(f"{path}.dry"), values.get(f"{path}.fired")
    if values.get(f"{path}.fired_on") == "total" and None not in (dry, fired) and fired < dry:
        sheet.complain(
            f"{path}.fired", values.typed(f"{path}.fired"),
            f"a total has the drying in it, so it must be at least {values.typed(f'{path}.dry')}",
        )  # fmt: skip


def _check_together(values: Values, sheet: Sheet, table: str, keys: tuple[str, ...]) -> None:
    """Complain of what is missing from a group that is only useful whole."""
    written = [key for key in keys if values.was_written(f"{table}.{key}")]
    if written and len(written) < len(keys):
        for key in (key for key in keys if key not in written):
            sheet.complain(
                f"{table}.{key}", None, f"it belongs to {table}.{written[0]}; write both"
            )


def check_losses(values: Values, sheet: Sheet) -> None:
    """Complain of losses that together leave next to nothing."""
    passed = 1.0
    for step in ("casting", "drying", "bisque", "glaze", "third"):
        passed *= 1 - (values.get(f"losses.{step}") or 0.0)
    if passed < LEAST_PASSED:
        sheet.complain(
            "losses", f"{1 - passed:.0%} in all".replace("%", " %"),
            "together they must leave at least 5 % of the casts",
        )  # fmt: skip


CHECKS: tuple[Callable[[Values, Sheet], None], ...] = (
    check_dates,
    check_counts,
    check_life,
    check_casting,
    check_shrinkage,
    check_losses,
)
