"""What every page needs at hand: the studio's folder, its book, the clock, the devices."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, TypeAlias
from zoneinfo import ZoneInfo

from fastapi import Request

from pourwright.briefs.folder import brief_path, file_digests
from pourwright.briefs.studio_file import studio_now
from pourwright.errors import BadInput
from pourwright.ledger.file.chain import read_checkpoint
from pourwright.ledger.file.transaction import Head
from pourwright.ledger.file.trouble import BookGone, BookTrouble
from pourwright.ledger.file.witness import PUT_BACK
from pourwright.studio.book import SOONEST_DRY_DAYS
from pourwright.studio.commands import do_as_one_act, open_studio_book
from pourwright.web import heavy
from pourwright.web.clock import Clock
from pourwright.web.devices import HERE, Devices, Who
from pourwright.web.feed import Feed
from pourwright.web.pairing import Pairing
from pourwright.web.worker import Worker

if TYPE_CHECKING:
    from pourwright.briefs.records import Studio
    from pourwright.ledger.answer import BookAnswer
    from pourwright.plan.plan import Plan
    from pourwright.studio.commands import Book
    from pourwright.studio.plans import NoPlan


PLAN_MIN = 5.0
"""A plan takes seconds; on a computer that is busy with other things, minutes."""
MOST_PLANS = 32
"""Kept in memory, gone with the server; a plan is some hundred kilobytes."""

PlanKey: TypeAlias = tuple[str, str, date, tuple[str, str, str]]
"""The edition, the head of the book, the day, and the digests of brief, studio's file and shape."""


class Desk:
    """One studio that is served, from the folder of ``studio.toml``, ``editions`` and ``book.db``.

    ``names`` are the names and addresses that this computer has in the network, and ``port``
    stands in the address that a phone opens.
    """

    def __init__(
        self,
        folder: Path,
        clock: Clock,
        *,
        lan: bool = False,
        names: tuple[str, ...] = (),
        port: int = 0,
    ) -> None:
        self.folder, self.clock = folder, clock
        self.lan, self.names, self.port = lan, names, port
        self.devices = Devices(folder / "devices.db")
        self.feed = Feed(folder / "calendar.db")
        self.pairing = Pairing()
        self.worker = Worker()
        self._plans: dict[PlanKey, Plan | NoPlan] = {}
        self._planning = Lock()
        self._studio_read: tuple[object, Studio | None, str] | None = None

    @property
    def book(self) -> Book:
        """The book, opened at the first use; it reads quantities as the studio does."""
        book = self._book
        studio = self.studio
        book.zone, book.prefer = self.zone.key, "us" if self.units == "us" else None
        book.dry_days = studio.drying.days_low if studio else SOONEST_DRY_DAYS
        return book

    @cached_property
    def _book(self) -> Book:
        return open_studio_book(self.folder)

    def doubt(self, who: Who, kept: str) -> str:
        """Return why nobody may read or write until it is said here to go on; empty if nothing is wrong.

        Parameters
        ----------
        who : Who
            Who asks.
        kept : str
            What its device keeps of the book that it saw, as `seen_by_devices` gave it.
        """
        try:
            store = self._book.store
            seen = _seen(kept, self.devices.line)
            if seen is not None:
                store.compare(f"A phone ({who.name})", seen)
        except BookGone as gone:
            return str(gone)
        except BookTrouble:
            return ""  # the page says it
        return f"{store.doubt} {PUT_BACK}" if store.doubt else ""

    def seen_by_devices(self) -> str:
        """Return what a device is to keep of the book as it is now; empty for one that is not open yet."""
        opened: Book | None = self.__dict__.get("_book")
        is_there = opened is not None and opened.store.last.seq > 0
        return f"{self.devices.line}.{opened.store.last.checkpoint}" if opened and is_there else ""

    def go_on(self, command: Mapping[str, object], who: Who) -> BookAnswer:
        """Go on with the book that lies here, and say so in it.

        Parameters
        ----------
        command : mapping
            The note that says why.
        who : Who
            Who says so.

        Raises
        ------
        StudioError
            If the note is refused; it is not gone on with then.
        """
        if "_book" not in self.__dict__:
            self._book = open_studio_book(self.folder, anew=True)
        answer = self.do({**command, "do": "note", "go_on": True}, who)
        self.devices.new_line()
        return answer

    def plan_now(self, edition: str) -> Plan | NoPlan | None:
        """Return the plan of an edition, worked out if it has to be; a few seconds of work.

        None if no brief of it lies in the studio's folder.
        """
        path = brief_path(self.folder, edition)
        with self._planning:  # who has waited finds what was worked out meanwhile
            key = self._plan_key(edition, self._head())
            if key not in self._plans and path is not None:
                given = (self.folder, path, self.today())
                plan = self.worker.call(heavy.edition_plan, *given, longest_min=PLAN_MIN)
                if len(self._plans) >= MOST_PLANS:  # the oldest goes
                    del self._plans[next(iter(self._plans))]
                self._plans[key] = plan
            return self._plans.get(key)

    def plan_kept(self, edition: str) -> Plan | NoPlan | None:
        """Return a plan that still holds: nothing was written, no file changed, it is the same day."""
        return self._plans.get(self._plan_key(edition, self._head()))

    def plan_before(self, edition: str) -> Plan | NoPlan | None:
        """Return the plan of an edition that was worked out last, whatever was written since."""
        plans = reversed(list(self._plans.items()))
        return next((plan for (one, *_), plan in plans if one == edition), None)

    def plans_kept(self, editions: Iterable[str]) -> dict[str, Plan | NoPlan | None]:
        """Return the plans of several editions as :meth:`plan_kept` has them; the book is asked once."""
        head = self._head()
        return {one: self._plans.get(self._plan_key(one, head)) for one in editions}

    def _head(self) -> str:
        with self.book.reading() as reading:
            return reading.head().digest

    def _plan_key(self, edition: str, head: str) -> PlanKey:
        return edition, head, self.today(), file_digests(self.folder, edition)

    def close(self) -> None:
        """End the worker and let go of the files."""
        self.worker.close()
        self.devices.close()
        self.feed.close()
        opened: Book | None = self.__dict__.get("_book")
        if opened is not None:
            opened.store.close()

    def now(self) -> datetime:
        """Return the instant in the studio's zone."""
        return self.clock.now().astimezone(self.zone)

    def today(self) -> date:
        """Return the day it is in the studio's zone."""
        return self.now().date()

    @property
    def studio(self) -> Studio | None:
        """What ``studio.toml`` says; None if there is none or it cannot be used."""
        return self._read_studio()[0]

    @property
    def studio_fault(self) -> str:
        """Why ``studio.toml`` cannot be used; empty if it can, or if there is none."""
        return self._read_studio()[1]

    @property
    def name(self) -> str:
        """What the studio is called."""
        studio = self.studio
        is_named = studio is not None and studio.origins["studio.name"].kind != "default"
        return studio.studio.name if studio and is_named else "The studio"

    @property
    def zone(self) -> ZoneInfo:
        """The studio's time zone; UTC until it is told."""
        studio = self.studio
        return ZoneInfo(studio.studio.zone) if studio else ZoneInfo("UTC")

    @property
    def units(self) -> str:
        """The units that quantities are shown in."""
        studio = self.studio
        return studio.studio.units if studio else "metric"

    @property
    def currency(self) -> str:
        """What prices are in; empty until it is told."""
        studio = self.studio
        return studio.studio.currency if studio else ""

    def do(self, command: Mapping[str, object], who: Who = HERE) -> BookAnswer:
        """Have the book write down a command as ``Book.do`` takes it, and return its answer.

        The name of who asks stands in the entry unless ``by`` is given.

        Raises
        ------
        StudioError
            If the command cannot be read, or the book refuses it.
        """
        named = {"by": who.name, "zone": self.zone.key, **command}
        return do_as_one_act(self.book, named, self.clock.now())

    def _read_studio(self) -> tuple[Studio | None, str]:
        """Read ``studio.toml`` again only if it was written since."""
        path = self.folder / "studio.toml"
        try:
            stamp: object = (path.stat().st_mtime_ns, path.stat().st_size)
        except OSError:
            stamp = None
        if self._studio_read is None or self._studio_read[0] != stamp:
            self._studio_read = stamp, *studio_now(path, self.clock.now().date())
        return self._studio_read[1], self._studio_read[2]


def _seen(kept: str, line: str) -> Head | None:
    """Return the end of the book that a device saw, None if it tells nothing that counts."""
    its_line, _, checkpoint = kept.partition(".")
    if its_line != line:
        return None
    try:
        seen = Head(*read_checkpoint(checkpoint))
    except BadInput:
        return None
    return seen if seen.seq else None


def desk_of(request: Request) -> Desk:
    """Return the studio that a request is about."""
    desk: Desk = request.app.state.desk
    return desk


def who_asks(request: Request) -> Who:
    """Return who asks; the door has let nobody else through."""
    who: Who = request.state.who
    return who
