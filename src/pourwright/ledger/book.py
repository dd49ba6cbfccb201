"""The book: commands in, answers out, each kept or refused whole."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from msgspec import UNSET
from msgspec.structs import replace

from pourwright.errors import Asks, BadInput, Complaint, Refused, StudioError, as_written
from pourwright.ledger.answer import BookAnswer, BookRefusal, answer_text
from pourwright.ledger.commands.moments import read_at, read_zone
from pourwright.ledger.commands.reading import Fields, read_fields, read_value
from pourwright.ledger.commands.resolve import resolve
from pourwright.ledger.corrections import (
    asks_what_is_shipped,
    corrected_lead,
    new_body,
    rule_corrected_entry_is_known,
    rule_correction_is_only_voided,
    rule_correction_says_one_thing,
    scope_corrected,
)
from pourwright.ledger.documents import PhotoDoc
from pourwright.ledger.entry import STUDIO, Draft, Entry, day_in, instant, written_instant
from pourwright.ledger.file.chain import Checkpoint, Fault
from pourwright.ledger.file.store import Store
from pourwright.ledger.file.stored_things import stored_answer
from pourwright.ledger.file.transaction import Head, Reading, Writing
from pourwright.ledger.file.verify import verify
from pourwright.ledger.file.witness import PUT_BACK, seen_before, witness_faults
from pourwright.ledger.kinds.fields import ENVELOPE, Kind
from pourwright.ledger.kinds.table import BY_KIND, kind_of
from pourwright.ledger.photo_files import PHOTOS, erase_photo
from pourwright.ledger.replaying import CORRECTED, View, replay, take_in
from pourwright.ledger.rules.questions import (
    TWICE_WITHIN,
    UNASKED,
    Asking,
    asked_of,
    cast_before,
    cast_before_said,
    same_before,
    slips_of,
    twice_said,
)
from pourwright.ledger.rules.table import ALREADY, refusals
from pourwright.ledger.state.apply import count_labels, counters
from pourwright.ledger.state.record import photo_id
from pourwright.ledger.things import Things

LAST_LOOKED_AT = 30
"""How many of the last entries are looked at for one that says the same. [-]"""


@dataclass(frozen=True, slots=True)
class _Command:
    """A command, read as far as it can be without the book."""

    kind: Kind
    id: str
    digest: str
    at: str
    zone: str
    by: str
    go_on: bool
    fields: Fields


class Book:
    """An append-only record of what happened, and what it makes true.

    Parameters
    ----------
    store : Store
        The database.
    zone : str, optional
        The studio's time zone.
    prefer : {"us", "imperial"}, optional
        Whose pint a pint is.
    dry_days : int, optional
        How soon a mold is dry in this studio, at the soonest; without it the book asks of no
        mold whether it can be dry. [days]
    """

    def __init__(
        self,
        store: Store,
        zone: str = "UTC",
        prefer: str | None = None,
        dry_days: int | None = None,
    ) -> None:
        self.store = store
        store.replay = replay
        self.zone = zone
        self.prefer = prefer
        self.dry_days = dry_days

    def do(self, command: object, now: datetime) -> BookAnswer:
        """Keep what a command says, once, or refuse it whole.

        Parameters
        ----------
        command : object
            As it was sent: a mapping with ``do``, ``id`` and the fields of the verb.
        now : datetime
            The studio's clock, with a time zone.

        Raises
        ------
        BadInput
            If the command cannot be read.
        Refused
            If a rule stands against it, or, as `Asks`, if the book asks first and the command
            does not say to go on. Nothing was written in any of these cases.
        """
        fields = command if isinstance(command, Mapping) else {}
        _refuse_half_names(fields)
        try:
            read = self._read(command, now)
        except BadInput:
            known = self._kept_before(command)
            if known is None:
                raise
            return known
        _refuse_half_values(fields)  # what no field's own reading minds
        with self.store.writing() as writing:
            answer = self._kept_or_new(writing, read, now)
        if read.kind.verb == "erase-photo" and self.store.path is not None:
            self._erase_file(self.store.path.parent, str(read.fields["digest"]))
        return answer

    def _erase_file(self, folder: Path, digest: str) -> None:
        """Erase a photo's file, after its entry, unless another edition names the same photo."""
        with self.reading() as reading:
            is_wanted = photo_is_named(reading.things, digest)
        if not is_wanted:
            erase_photo(folder / PHOTOS, digest)

    def _kept_or_new(self, writing: Writing, read: _Command, now: datetime) -> BookAnswer:
        """Return what a command was answered before, or keep it and answer it."""
        before = writing.answer_of(read.id)
        if before is not None:
            return _same_answer(read, *before)
        if self.store.doubt and not read.go_on:
            raise Asks([f"{self.store.doubt} {PUT_BACK}"], ["asks_whether_it_is_the_book"])
        if read.kind.kind == CORRECTED:
            answer = self._correct(writing, read, now)
        else:
            answer = self._keep(writing, read, now)
        if self.store.doubt:
            self.store.go_on()
        writing.keep_answer(read.id, read.digest, answer_text(answer))
        return answer

    def _kept_before(self, command: object) -> BookAnswer | None:
        """Return what a command was answered that could not be read any more.

        A tap that was kept and is sent again the day after is too old to be a tap; it has its
        answer all the same.
        """
        given = command.get("id") if isinstance(command, Mapping) else None
        if (
            not isinstance(command, Mapping)
            or not isinstance(given, str)
            or not given.isprintable()
        ):
            return None
        with self.store.reading() as reading:
            before = reading.answer_of(" ".join(given.split()))
        if before is None or before[0] != digest_of(command):
            return None
        return stored_answer(before[1])

    def _read(self, command: object, now: datetime) -> _Command:
        if not isinstance(command, Mapping):
            raise BadInput.one(
                "the command", as_written(command), 'write fields, such as {"do": "cast"}'
            )
        kind = kind_of(command.get("do"))
        complaints: list[Complaint] = []
        found: Fields = {}
        try:
            fields = read_fields(kind, command, self.prefer)
        except BadInput as wrong:
            complaints += wrong.complaints
        for one in ENVELOPE:
            value = command.get(one.name)
            if (
                one.name not in ("id", "by", "edition", "go_on")
                or value is None
                or (one.name == "edition" and kind.scope == "studio")
            ):
                continue
            try:
                found[one.name] = read_value(one, value)
            except BadInput as wrong:
                complaints += wrong.complaints
        if command.get("id") is None:
            complaints += BadInput.one(
                "id", None, "write an id of its own, such as phone-1-000412"
            ).complaints
        try:
            zone = read_zone(command.get("zone"), self.zone)
            at = read_at(command, now, zone)
        except BadInput as wrong:
            complaints += wrong.complaints
        if complaints:
            raise BadInput(complaints)
        if "edition" in found:
            fields["edition"] = found["edition"]
        return _Command(
            kind=kind,
            id=str(found["id"]),
            digest=digest_of(command),
            at=at,
            zone=zone,
            by=str(found.get("by", "")),
            go_on=bool(found.get("go_on")),
            fields=fields,
        )

    def _keep(self, writing: Writing, read: _Command, now: datetime) -> BookAnswer:
        view = View(writing.things, read.zone)
        body = resolve(view, read.kind, read.fields)
        against = refusals(view, read.kind.kind, body)
        if against:
            raise Refused((said for _, said in against), (name for name, _ in against))
        asking = Asking(day_in(read.at, read.zone), self.dry_days)
        asked = asked_of(view, read.kind.kind, body, asking)
        if not read.go_on:
            slips = slips_of(view, read.kind.kind, body, asking)
            questions = [*asked, *slips, *_twice(writing, read, body, now)]
            if questions:
                raise Asks((said for _, said in questions), (name for name, _ in questions))
        kept = [self.store.doubt] if self.store.doubt else []
        kept += [said for _, said in asked]
        if kept:
            body["asked"] = kept
        entry = writing.append(_draft(read, body), now)
        said, findings = take_in(writing.things, entry, view)
        count_labels(writing.things, entry.kind, body)
        return _answer(entry, said, findings)

    def _correct(self, writing: Writing, read: _Command, now: datetime) -> BookAnswer:
        told = read.fields
        rule_correction_says_one_thing(told)
        ref: Any = told["entry"]
        target = rule_corrected_entry_is_known(writing.entry(ref), ref)
        rule_correction_is_only_voided(target, told)
        entries = list(writing.entries(target.scope))
        asked = asks_what_is_shipped(writing.things, target, entries, told)
        if asked and not read.go_on:
            raise Asks(asked, ["asks_what_is_shipped"])
        body: Fields = {"entry": target.seq, "kind": target.kind, "void": bool(told.get("void"))}
        if target.scope != STUDIO:
            body["edition"] = target.scope
        if "why" in told:
            body["why"] = told["why"]
        if not body["void"]:
            changes: Any = told["changes"]
            body["body"], when = new_body(
                writing.things, target, entries, changes, now, self.prefer
            )
            body |= {"when": when} if when else {}
        things, now_said = scope_corrected(writing.things, target, entries, body)
        entry = writing.append(_draft(read, body, corrects=target.id), now)
        writing.things.replace(target.scope, things)
        as_corrected: Any = body.get("body") or {}
        count_labels(writing.things, target.kind, as_corrected)
        verb = BY_KIND[target.kind].verb
        said = f"Entry {target.seq} ({verb}) did not happen."
        if not body["void"]:
            said = corrected_lead(target) + now_said
        elif now_said:
            said += f" Entry {target.body['entry']} says again: {now_said}"
        return replace(_answer(entry, said, []), made=tuple(as_corrected.get("made", ())))

    def reading(self) -> AbstractContextManager[Reading]:
        """Give the book as it is at this moment: its ``things``, ``entries`` and ``head``."""
        return self.store.reading()

    def entries(self, scope: str | None = None, after: int = 0) -> Iterator[Entry]:
        """Yield entries in order, of one scope or all, behind a place."""
        with self.store.reading() as reading:
            yield from reading.entries(scope, after)

    def head(self) -> Head:
        """Return the end of the book: seq, digest and when it was recorded."""
        with self.store.reading() as reading:
            return reading.head()

    def verify(self, checkpoints: Sequence[Checkpoint] = ()) -> list[Fault]:
        """Return everything that is not as it was written; the documents are worked out again.

        Parameters
        ----------
        checkpoints : sequence of Checkpoint
            Known from elsewhere; what this computer last saw in the book is compared in any case.
        """
        seen = seen_before(self.store.path) if self.store.path else None
        with self.store.reading() as reading:
            return verify(reading, checkpoints, replay) + witness_faults(seen, reading)

    def rebuild(self) -> list[str]:
        """Work every document out again from the entries, and return what was otherwise before.

        Returns
        -------
        list of str
            Kind and id of each document that differed; empty for a sound book.
        """
        with self.store.writing() as writing:
            again = replay(writing.entries())
            before = {row[:2]: row[2:] for row in writing.things.rows()}
            after = {row[:2]: row[2:] for row in again.rows()}
            differ = sorted(
                key for key in before.keys() | after.keys() if before.get(key) != after.get(key)
            )
            if differ:
                writing.things.replace(None, again)
        return [" ".join(key) for key in differ]


def _twice(writing: Writing, read: _Command, body: Fields, now: datetime) -> list[tuple[str, str]]:
    """Return the question whether the same thing happened twice, if it was just written down."""
    kind = read.kind.kind
    if kind in UNASKED or "numbers" in body:
        return []
    happened = instant(read.at) if len(read.at) > len("2027-03-01") else now
    since = written_instant(min(now, happened) - TWICE_WITHIN)  # a phone that was away comes late
    head = writing.head()
    if head.recorded < since:  # nothing at all was written so lately
        return []
    lately = writing.lately(kind, head.seq - LAST_LOOKED_AT, since)
    if kind == "casts-made":
        standing = [one for one in lately if not writing.corrections([one.id])]
        if names := cast_before(body, read.at, read.zone, standing):
            return [("asks_whether_it_happened_twice", cast_before_said(names))]
    before = same_before(body, read.at, read.zone, lately)
    if before is None or writing.corrections([before.id]):
        return []
    return [("asks_whether_it_happened_twice", twice_said(before, read.zone))]


_HALF = "it holds half a character; type it again"
"""Half of a pair of surrogates is no character and cannot be written down. It comes from a terminal
that is not in UTF-8, or from a program that cuts a pair in two."""


def _refuse_half_names(command: Mapping[str, object]) -> None:
    if not all(map(_is_text, command)):
        raise BadInput.one("a field's name", "not all text", _HALF)


def _refuse_half_values(command: Mapping[str, object]) -> None:
    for name, value in command.items():
        if not _is_text(value):
            raise BadInput.one(name, "not all text", _HALF)


def _is_text(value: object) -> bool:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def digest_of(command: Mapping[str, object]) -> str:
    """Return what tells a command from another with the same id.

    A tap that is sent again has grown older, and a question may have been answered meanwhile;
    so both are left out.
    """
    content = {key: value for key, value in command.items() if key not in ("age_s", "go_on")}
    text = json.dumps(content, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def refusal_of(command: object, error: StudioError) -> BookRefusal:
    """Return the answer that a door gives when a command is refused."""
    given = command.get("id") if isinstance(command, Mapping) else None
    sentences = tuple(str(error).splitlines())
    known = given if isinstance(given, str) and _is_text(given) else None
    rules = error.rules if isinstance(error, Refused) else ()
    is_there = bool(rules) and set(rules) <= set(ALREADY)
    return BookRefusal(
        id=known,
        refused=sentences,
        asks=True if isinstance(error, Asks) else UNSET,
        already=True if is_there else UNSET,
    )


def _same_answer(read: _Command, its_digest: str, answer: str) -> BookAnswer:
    if its_digest != read.digest:
        raise Refused(
            [f"The id {read.id} was used for another command; give this one an id of its own."],
            ["rule_one_id_one_command"],
        )
    return stored_answer(answer)


def _draft(read: _Command, body: Fields, corrects: str | None = None) -> Draft:
    return Draft(
        kind=read.kind.kind,
        at=read.at,
        zone=read.zone,
        by=read.by,
        command_id=read.id,
        body=body,
        corrects=corrects,
    )


def _answer(entry: Entry, said: str, findings: list[str]) -> BookAnswer:
    return BookAnswer(
        id=entry.command_id,
        entry=entry.id,
        seq=entry.seq,
        kind=entry.kind,
        said=said,
        made=tuple(entry.body.get("made", ())),
        late=entry.is_late,
        findings=tuple(findings),
    )


# --- whether the book still needs a photo's file


def photo_is_named(things: Things, digest: str) -> bool:
    """Return whether an edition or the studio names a photo that it did not erase."""
    scopes = (STUDIO, *counters(things).editions)
    photos = (things.get(PhotoDoc, photo_id(scope, digest)) for scope in scopes)
    return any(photo is not None and not photo.erased for photo in photos)
