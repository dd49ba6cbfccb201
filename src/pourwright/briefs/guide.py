"""The site's page of the two files, made from the tables of fields; ``make docs`` writes it."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.briefs import edition_fields, studio_fields
from pourwright.briefs.fields import FileField, FileTable
from pourwright.briefs.text import toml_value
from pourwright.fields import guide_rows
from pourwright.units import DIMENSIONS, KINDS, unit_words

_HEAD = """\
# The brief and the studio

A plan is made from two files.
`edition.toml` is the brief of one edition; `studio.toml` is the room, the kiln, the people and the prices that editions share.
`pourwright ask` asks the first questions and writes both, with what was told and the fields that are set next; `pourwright ask --every-field` prints every field.

Both are TOML: a table's name in brackets, then `name = value`, one to a line; text and quantities in quotes; what follows a `#` is not read.
A name that is not on this page is refused, and the nearest one is told.
Everything that is wrong in both files is told at once.

## How things are written

| what | such as |
| --- | --- |
{kinds}

| units of | that are read, long words too |
| --- | --- |
{words}

- A quantity is a number and its unit, or several: `"6 lb 3 oz"`, `"1 h 30 min"`, `"4 3/4 in"`. A number alone is refused.
- A comma is refused, since it can be read in two ways: write `"2.5 l"` or `"2500 l"`.
- A bare pint, gallon, cup or fluid ounce is the US one in a studio with `units = "us"`; in a metric studio say which: `"2 US gal"`, `"1 imperial pint"`. A quart is the US one.
- What slip or glaze weighs may be its specific gravity: `"1.75"` is 1750 g/l. Mixing water is weighed or measured: `"4 lb 3 oz"` or `"2 qt"`.
- A share is `"6 %"` or `0.06`; `6` is refused.
- A price names its currency and what it is for: `"18 EUR/kg"`, `"0.31 EUR per kWh"`. It is always the studio's currency.
- A day is `"2027-03-01"`, `"1 March 2027"`, `"Mar 1, 2027"`, `"today"`, `"in 10 days"`, `"in 26 weeks"` or `"in 6 months"`, counted from the day of the plan.
- Days off are a day, a stretch, or a stretch of every year: `"2027-08-02"`, `"2027-08-02 to 2027-08-15"`, `"12-24 to 01-02"`.

What only a test can tell is never assumed: shrinkage, the casting rate, the coat of glaze.
Without it the plan says which test gives it.
"""


def fields_page() -> str:
    """Return the page, as Markdown."""
    kinds = "\n".join(
        f"| {one.article} | `{one.example(None)}` or `{one.example('us')}` |"
        if one.metric != one.us
        else f"| {one.article} | `{one.example(None)}` |"
        for one in DIMENSIONS.values()
    )
    words = "\n".join(
        f"| {KINDS[kind].split(' ', 1)[1]} | {', '.join(f'`{one}`' for one in names)} |"
        for kind, names in unit_words().items()
    )
    files = (
        ("edition.toml", edition_fields.FIELDS, edition_fields.TABLES),
        ("studio.toml", studio_fields.FIELDS, studio_fields.TABLES),
    )
    pages = [_file(name, fields, tables) for name, fields, tables in files]
    return _HEAD.format(kinds=kinds, words=words) + "".join(pages)


def _file(name: str, fields: Sequence[FileField], tables: Sequence[FileTable]) -> str:
    lines = ["", f"## {name}", "", *_table(fields, "")]
    for table in tables:
        title = table.name.replace("[]", "")
        shown = f"[[{title}]]" if table.name.endswith("[]") else f"[{title}]"
        lines += ["", f"### `{shown}`", "", table.about, ""]
        lines += _table(fields, table.name)
    return "\n".join(lines) + "\n"


def _table(fields: Sequence[FileField], table: str) -> list[str]:
    inside = [one for one in fields if one.table == table]
    return guide_rows(inside, lambda one: one.name.rpartition(".")[2], toml_value)
