"""Reminders at the plaster bench: a few lines for each phase, which the maker edits."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from pourwright.briefs.toml_file import load
from pourwright.errors import BadInput, as_written
from pourwright.files import write_whole

FILE = "reminders.toml"
PHASES = ("weigh", "sift", "soak", "mix", "cream", "pour", "set", "heat", "cool", "open")
WHEN: Mapping[str, str] = MappingProxyType(
    {
        "weigh": "As you weigh",
        "sift": "As plaster goes into water",
        "soak": "While it soaks",
        "mix": "While you mix",
        "cream": "Until it creams",
        "pour": "As you pour",
        "set": "Once it is poured",
        "heat": "While it warms",
        "cool": "Once it has been hot",
        "open": "When you open it",
    }
)
"""What each phase's lines wait for, as its note says it."""
LONGEST = 600
"""Characters that a phase may hold: more is not read with wet hands."""

USUAL: Mapping[str, str] = MappingProxyType(
    {
        "weigh": "Release on the rubber, thin, wiped dry.\nMaster level, its jacket strapped.",
        "sift": "Plaster into water, low and slow, until it stands in islands.",
        "soak": "Leave it alone until it is dark all over.",
        "mix": "Blades under the surface: no air goes in.",
        "cream": "A finger drawn over the surface leaves a trace.",
        "pour": "Into the lowest corner, in one stream.\nKnock the bench for bubbles.",
        "set": "Scratch the mold's name while it is soft.\nScrape the top level.",
        "heat": "Rinse bucket and mixer into the settling bucket.",
        "cool": "Open it when it has been hot, is cooling, and is firm to the fingernail.",
        "open": "Bevel the edges. Strap the parts together to dry.",
    }
)
"""What stands there until it is edited; common practice, no source."""


def reminders(folder: Path) -> dict[str, tuple[str, ...]]:
    """Return the lines of each phase: the maker's own, else the usual ones."""
    own = _own(folder / FILE)
    return {name: tuple(own.get(name, USUAL[name]).splitlines()) for name in PHASES}


def _own(path: Path) -> dict[str, str]:
    if not path.is_file():
        return {}
    told = load(path, usual=FILE).get("plaster", {})
    if not isinstance(told, dict):
        return {}
    return {name: text for name, text in told.items() if isinstance(text, str)}


def write_reminders(folder: Path, typed: Mapping[str, object]) -> None:
    """Keep the maker's own lines in ``reminders.toml``.

    Parameters
    ----------
    folder : Path
        The studio's.
    typed : mapping
        Text by phase; one that is missing has no lines.

    Raises
    ------
    BadInput
        If a text is too long.
    """
    import tomlkit

    lines = {name: _tidy(name, typed.get(name, "")) for name in PHASES}
    write_whole(folder / FILE, tomlkit.dumps({"version": 1, "plaster": lines}))


def _tidy(name: str, text: object) -> str:
    lines = [line.strip() for line in str(text).splitlines() if line.strip()]
    whole = "\n".join("".join(char for char in line if char.isprintable()) for line in lines)
    if len(whole) > LONGEST:
        right = f"write at most {LONGEST} characters, a few short lines"
        raise BadInput.one(name, as_written(whole), right)
    return whole
