"""Which cautions stand where: the usual ones of a step, and the studio's own words after them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from pourwright.briefs.toml_file import load
from pourwright.calculators.question import care
from pourwright.cautions import ALL_WORK, CAUTIONS, CareText, Work
from pourwright.errors import BadInput, as_written
from pourwright.files import write_whole

FILE = "care.toml"
LONGEST = 600
OWN_TITLE = "In this studio"


def usual(work: str) -> tuple[CareText, ...]:
    """Return the usual cautions of a kind of work; they are never taken away."""
    return tuple(one for one in CAUTIONS if one.work == work)


def own_care(folder: Path) -> dict[str, str]:
    """Return the studio's own text for each kind of work, empty where it has none."""
    path = folder / FILE
    told = load(path, usual=FILE).get("care", {}) if path.is_file() else {}
    known = told if isinstance(told, dict) else {}
    return {work: known[work] if isinstance(known.get(work), str) else "" for work in ALL_WORK}


def write_own_care(folder: Path, typed: Mapping[str, object]) -> None:
    """Keep the studio's own words of caution.

    Parameters
    ----------
    folder : Path
        The studio's.
    typed : mapping
        Text by kind of work; one that is missing has none.

    Raises
    ------
    BadInput
        If a text is too long.
    """
    import tomlkit

    told = {work: _tidy(work, typed.get(work, "")) for work in ALL_WORK}
    write_whole(folder / FILE, tomlkit.dumps({"version": 1, "care": told}))


def _tidy(work: str, text: object) -> str:
    whole = " ".join("".join(one if one.isprintable() else " " for one in str(text)).split())
    if len(whole) > LONGEST:
        raise BadInput.one(work, as_written(whole), f"write at most {LONGEST} characters")
    return whole


PLASTER = ("Plaster dust", "Setting plaster burns", "Mixer and bucket", "Plaster waste")
SLIP = ("Lifting", "Clay dust")
KILN = ("Damp ware bursts", "A kiln at work")

_PLASTER: tuple[tuple[str, ...], tuple[Work, ...]] = (PLASTER, ("plaster",))
_DRYING: tuple[tuple[str, ...], tuple[Work, ...]] = (("Lifting", "Heat for drying"), ("drying",))
_SLIP: tuple[tuple[str, ...], tuple[Work, ...]] = (SLIP, ("slip",))
_KILN: tuple[tuple[str, ...], tuple[Work, ...]] = (
    (*KILN, "Decals and lusters"),
    ("bisque", "glaze", "third"),
)
_BREAKING: tuple[tuple[str, ...], tuple[Work, ...]] = (("Engraving and breaking",), ("numbers",))

AT_VERB: dict[str, tuple[tuple[str, ...], tuple[Work, ...]]] = {
    "make-form": (("Rubber", "Release and alcohol spray"), ("rubber",)),
    "pour": _PLASTER,
    "pour-part": _PLASTER,
    "log-thermometer": (("Setting plaster burns",), ("plaster",)),
    "weigh": _DRYING,
    "dry": _DRYING,
    "test-cast": _SLIP,
    "cast": _SLIP,
    "load": _KILN,
    "fire": _KILN,
    "unload": _KILN,
    "glaze": (("Glaze powder", "Food and drink"), ("glaze",)),
    "mark": _BREAKING,
    "break": _BREAKING,
    "destroy": _BREAKING,
    "destroy-form": _BREAKING,
    "mix-lot": (
        ("Soda ash and silicate", "Glaze powder", "Plaster dust"),
        ("slip", "glaze", "plaster"),
    ),
}
"""Titles of the usual cautions, and the kinds of work, of verbs whose work can hurt."""


def care_here(folder: Path, titles: tuple[str, ...], work: tuple[Work, ...]) -> list[CareText]:
    """Return cautions by their titles, then the studio's own words about some kinds of work."""
    own = own_care(folder)
    mine = [
        CareText("", one, OWN_TITLE, own[one], "the studio's own words") for one in work if own[one]
    ]
    return [*care(*titles), *mine]


def care_at(folder: Path, verb: str) -> list[CareText]:
    """Return what is to be taken care of in the work that a verb writes down."""
    titles, work = AT_VERB.get(verb, ((), ()))
    return care_here(folder, titles, work)
