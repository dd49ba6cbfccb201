"""The shape of a field of a command, and the shape of a kind of entry.

The tables of kinds are the only place that knows them. They drive the reading
of commands, the options of the command line, the published schema and the guide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pourwright import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class BookField(fields.Field):
    """One field of a command; its kind may also be what a book alone is told, such as labels.

    Parameters
    ----------
    letter : str, optional
        The letter of the labels that it takes.
    is_new : bool, optional
        Whether its labels are of things that are made by it, and not in the book yet.
    """

    letter: str = ""
    is_new: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of entry, and the command that makes it.

    Parameters
    ----------
    verb : str
        What a command says to do, such as ``"cast"``.
    kind : str
        What the entry is called, noun and past tense: ``"casts-made"``.
    scope : {"edition", "studio"}
        Whether it belongs to one edition or to the studio.
    meaning : str
        What it records, one sentence.
    fields : tuple of BookField
        What the command takes beside ``do``, ``id``, ``at``, ``age_s``, ``by``,
        ``zone`` and, for an edition's kinds, ``edition``.
    example : dict
        A command that may be written.
    words : str
        What a page calls it where the verb alone is no maker's word.
    """

    verb: str
    kind: str
    scope: Literal["edition", "studio", "either"]
    meaning: str
    fields: tuple[BookField, ...]
    example: dict[str, object]
    words: str = ""

    @property
    def title(self) -> str:
        """What it is called on a page.

        Examples
        --------
        >>> from pourwright.ledger.kinds.table import BY_VERB
        >>> BY_VERB["count-casts"].title, BY_VERB["break-part"].title
        ('Count casts', 'A part broke')
        """
        return self.words or self.verb.replace("-", " ").capitalize()

    def field(self, name: str) -> BookField | None:
        """Return the field of that name, or None."""
        return next((one for one in self.fields if one.name == name), None)


ENVELOPE: tuple[BookField, ...] = (
    BookField(
        name="do",
        kind="text",
        required=True,
        example="cast",
        meaning="What happened: one of the verbs.",
    ),
    BookField(
        name="id",
        kind="text",
        required=True,
        high=80,
        example="phone-1-000412",
        meaning="The command's own id: the same command again gives the same answer.",
    ),
    BookField(
        name="at",
        kind="date",
        example="2027-03-01",
        source="now",
        meaning="When it happened: a date, or an instant with its offset.",
    ),
    BookField(
        name="age_s",
        kind="whole",
        low=0,
        high=43_200,
        example=90,
        source="0",
        meaning="Seconds since it happened, for a tap that a phone has kept; 12 hours at most.",
    ),
    BookField(
        name="by",
        kind="text",
        high=80,
        example="wheel room phone",
        source="nobody named",
        meaning="The device or the person, as you like to be named.",
    ),
    BookField(
        name="zone",
        kind="text",
        high=60,
        example="Europe/Copenhagen",
        source="the studio's zone",
        meaning="The time zone in which the clock was read.",
    ),
    BookField(
        name="edition",
        kind="id",
        example="tide-cup",
        source="worked out from what is named, or the only edition that is open",
        meaning="The edition that it belongs to.",
    ),
    BookField(
        name="go_on",
        kind="yes or no",
        example=True,
        source="no: what the book asks about is not written",
        meaning="Whether to write it although the book asked; what was asked stays a finding.",
    ),
)
"""The fields that every command may have."""
