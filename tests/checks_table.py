"""Print every published figure beside ours: ``python -m tests.checks_table``."""

from __future__ import annotations

import sys
from collections.abc import Iterable

from tests.sources.check import GRADES, Check, all_checks

HEADINGS = ("law", "published", "ours", "deviation", "tolerance", "unit", "grade", "source")


def row(check: Check) -> tuple[str, ...]:
    """Return the cells of one check; a row that does not count is in brackets."""
    name = check.law if check.counted else f"({check.law})"
    figures = (check.published, float(check.ours()), check.deviation, check.tolerance)
    return (name, *(f"{figure:.4g}" for figure in figures), check.unit, check.grade, check.source)


def table(rows: Iterable[tuple[str, ...]]) -> str:
    """Return the rows under their headings, in columns."""
    lines = [HEADINGS, *rows]
    widths = [max(len(line[column]) for line in lines) for column in range(len(HEADINGS))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )


def summary(checks: list[Check]) -> str:
    """Return the counts that close the table."""
    counted = [check for check in checks if check.counted]
    laws, sources = {check.law for check in counted}, {check.source for check in counted}
    failed = sum(not check.holds for check in checks)
    return (
        f"{len(laws)} laws, {len(sources)} sources, {len(counted)} counted rows"
        f" (and {len(checks) - len(counted)} shown, in brackets, but not counted); {failed} out of tolerance."
    )


def main() -> int:
    """Print the table and its legend; fail if a figure is out of tolerance."""
    checks = all_checks()
    print(table(row(check) for check in sorted(checks, key=lambda check: check.law)))
    print()
    print("\n".join(f"{grade}: {meaning}" for grade, meaning in GRADES.items()))
    print()
    print(summary(checks))
    return 0 if all(check.holds for check in checks) else 1


if __name__ == "__main__":
    sys.exit(main())
