"""What a sheet of the book is made from: the book at one moment, the day, the studio's customs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

from pourwright.briefs.folder import BriefHere, brief_here
from pourwright.briefs.records import Studio
from pourwright.briefs.studio_file import STUDIO_FILE, studio_now
from pourwright.cautions import CAUTIONS
from pourwright.ledger.book import Book
from pourwright.ledger.documents import EditionDoc
from pourwright.ledger.file.transaction import Reading
from pourwright.paper.label_size import LabelSize
from pourwright.paper.printing import Care
from pourwright.quantities import show
from pourwright.report.saying import day
from pourwright.studio.editions import in_work


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """The studio, as a sheet of its book finds it.

    Parameters
    ----------
    reading : Reading
        The book at one moment.
    folder : Path
        The studio's.
    day : date
        The day that the sheet is for.
    zone : str
        The studio's.
    studio : Studio or None
        What its file says.
    of : tuple of str
        Labels of the things that are asked about; empty for all there are.
    address : str
        The address by which phones open the studio; empty if none can.
    labels : LabelSize or None
        The size of the labels that tags are printed on; None for plain paper.
    """

    reading: Reading
    folder: Path
    day: date
    zone: str
    studio: Studio | None
    of: tuple[str, ...] = ()
    address: str = ""
    labels: LabelSize | None = None

    @property
    def units(self) -> str:
        """The units that quantities are shown in."""
        return self.studio.studio.units if self.studio else "metric"

    @property
    def name(self) -> str:
        """What the studio is called."""
        return self.studio.studio.name if self.studio else "The studio"

    @property
    def noon(self) -> datetime:
        """An instant of the day, for what counts by instants; the clock is not asked."""
        return datetime.combine(self.day, time(12), ZoneInfo(self.zone))

    @property
    def day_said(self) -> str:
        """The day as the studio writes it."""
        return day(self.day, units=self.units)

    @property
    def foot(self) -> str:
        """Whose the sheet is, and up to which entry of the book it goes."""
        return f"{self.name} · by the book up to entry {self.reading.head().seq}"

    def show(self, value: float | None, dimension: str) -> str:
        """Return a quantity in the studio's units, empty if it is not known. [any]"""
        return "" if value is None else show(value, dimension, self.units)

    def editions(self) -> Iterator[tuple[EditionDoc, BriefHere | None]]:
        """Yield the open editions, and what their briefs say."""
        for doc in in_work(self.reading).docs:
            yield doc, self.brief(doc.edition)

    def brief(self, edition: str) -> BriefHere | None:
        """Return what the brief of an edition says, None if there is none here."""
        return brief_here(self.folder, edition, self.day)

    def cautions(self, *asked: str) -> tuple[Care, ...]:
        """Return the cautions of some kinds of work, or of some titles."""
        return tuple(
            Care(one.title, one.said(self.units))
            for one in CAUTIONS
            if one.work in asked or one.title in asked
        )


def at_hand(
    reading: Reading,
    book: Book,
    folder: Path,
    day: date,
    of: tuple[str, ...] = (),
    address: str = "",
    labels: LabelSize | None = None,
) -> AtHand:
    """Return the studio in a folder, as a sheet finds it; the parameters are those of `AtHand`."""
    studio, _ = studio_now(folder / STUDIO_FILE, day)
    return AtHand(
        reading=reading,
        folder=folder,
        day=day,
        zone=book.zone,
        studio=studio,
        of=of,
        address=address,
        labels=labels,
    )
