"""A sample studio of our own invention, with one edition closed, one half way and one planned.

Its days are counted back from today, so that whoever opens it finds it in the middle of
its work. Everything in its book is written as a studio writes it, by commands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from pourwright.errors import BadInput
from pourwright.ledger.book import Book
from pourwright.studio.book import BOOK_FILE, STUDIO_FILE, open_book
from pourwright.studio.sample_story import BRIEFS, STORY, STUDIO, ZONE

EVENING = time(18, 0)
_SATURDAY = 5


def lay_out_sample(folder: Path, now: datetime) -> int:
    """Lay out the sample studio in a folder.

    Parameters
    ----------
    folder : Path
        Where it is laid out; made if there is none.
    now : datetime
        The instant, with its time zone; the story ends the working day before.

    Returns
    -------
    int
        The entries of its book; 0 if a studio is there already, which stays as it is.

    Raises
    ------
    BadInput
        If something else is in the folder.
    """
    if (folder / BOOK_FILE).exists() and (folder / STUDIO_FILE).exists():
        return 0
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BadInput.one("FOLDER", str(folder), "write a folder that is empty, or a new one")
    here = now.astimezone(ZoneInfo(ZONE))
    _write_files(folder, here.date())
    book = open_book(folder)
    with book.store:
        return _tell(book, here.date(), commands(here.date()))


def _write_files(folder: Path, today: date) -> None:
    (folder / "editions").mkdir(parents=True, exist_ok=True)
    (folder / STUDIO_FILE).write_text(STUDIO, encoding="utf-8")
    for name, brief in BRIEFS.items():
        path = folder / "editions" / f"{name}.toml"
        path.write_text(in_days(brief, today), encoding="utf-8")


def _tell(book: Book, today: date, told: Iterable[tuple[int, dict[str, Any]]]) -> int:
    """Write down what happened, each thing in the evening of its day."""
    entries = 0
    for ago, command in told:
        evening = datetime.combine(work_day(today, ago), EVENING, ZoneInfo(ZONE))
        entries = int(book.do(command, evening)["seq"])
    return entries


def commands(today: date) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield the story as commands, each with how many working days ago it happened.

    Parameters
    ----------
    today : date
        The day it is.
    """
    for number, (ago, verb, fields) in enumerate(sorted(STORY, key=lambda one: -one[0])):
        command = {"do": verb, "id": f"sample-{number:03d}", **fields}
        if verb == "plan-edition":
            command["brief"] = in_days(BRIEFS[fields["edition"]], today)
        yield ago, command


def work_day(today: date, ago: int) -> date:
    """Return the working day, Monday to Friday, that was so many working days ago.

    Parameters
    ----------
    today : date
        The day it is.
    ago : int
        Working days before it, at least one; less than none for days ahead. [-]

    Examples
    --------
    >>> work_day(date(2036, 3, 3), 1).isoformat(), work_day(date(2036, 3, 3), -1).isoformat()
    ('2036-02-29', '2036-03-04')
    """
    step, left, day = (-1 if ago > 0 else 1), abs(ago), today
    while left:
        day += timedelta(days=step)
        left -= day.weekday() < _SATURDAY
    return day


def in_days(text: str, today: date) -> str:
    """Return a brief with its days written out: ``{-60}`` is sixty working days ahead.

    Parameters
    ----------
    text : str
        The brief.
    today : date
        The day it is.

    Examples
    --------
    >>> in_days("start = {2}", date(2036, 3, 5))
    'start = 2036-03-03'
    """
    head, *rest = text.split("{")
    parts = (one.split("}", 1) for one in rest)
    return head + "".join(work_day(today, int(ago)).isoformat() + after for ago, after in parts)
