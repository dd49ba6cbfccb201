"""What can be done with an edition now, each step leading to the form that writes it down."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import urlencode

from pourwright.ledger.said import listed
from pourwright.ledger.stages import last_stage, stage_when_marked
from pourwright.ledger.things import Doc, Things
from pourwright.plan.standing_from_book import edition_doc
from pourwright.studio.answers import owed
from pourwright.studio.edition import feet

_KEPT_OFTEN = ("original", "model file")


def next_steps(things: Things, edition: str) -> list[tuple[str, str, str]]:
    """Return what can be done with an edition now: words, address and how strongly it is shown.

    Parameters
    ----------
    things : Things
        The book's documents.
    edition : str
        The edition.

    Returns
    -------
    list of (str, str, str)
        The last is ``""``, ``"quiet"`` or ``"grave"``.
    """
    doc = edition_doc(things, edition)
    if doc["state"] == "closed":
        which = owed(things, edition)["numbers"]["which"]
        settle = [(f"Settle {n}", _to("settle", edition, numbers=n), "quiet") for n in which[:3]]
        return [*_of_pieces(edition, doc), *settle]
    if doc["state"] == "planned":
        size = {"pieces": doc["pieces"], "proofs": doc["proofs"]}
        return [
            ("Declare it", _to("declare", edition, **size), ""),
            ("Change its size", _to("change-size", edition, **size), "quiet"),
        ]
    return [
        *_of_numbers(things, doc), *_of_pieces(edition, doc), ("Surplus", _to("surplus", edition), "quiet"),
        *_of_the_form(things, doc), ("Close it", _to("close", edition), "grave"),
    ]  # fmt: skip


def _of_numbers(things: Things, doc: Doc) -> Iterator[tuple[str, str, str]]:
    edition = doc["edition"]
    there = doc["ware"][stage_when_marked(doc)]
    numbers, proofs = (_to_make(things, edition, kind) for kind in ("numbered", "proof"))
    if numbers and there:
        run = _run(numbers[:there])
        yield f"Mark {run}", _to("mark", edition, numbers=run), ""
    if proofs and there > len(numbers):
        run = _run([one.rpartition(" ")[2] for one in proofs[: there - len(numbers)]])
        to = _to("mark", edition, numbers=run, kind="proof")
        yield f"Mark {doc['proof_kind']} {run}", to, "quiet" if numbers else ""
    for n in owed(things, edition)["numbers"]["which"][:3]:
        yield f"Replace {n}", _to("mark", edition, numbers=n, evidence=_evidence(things, edition, n)), "quiet"  # fmt: skip
    if doc["ware"][last_stage(doc["route"])] or doc["named"][last_stage(doc["route"])]:
        yield "Inspect and finish", _to("finish", edition), "quiet"


def _to_make(things: Things, edition: str, kind: str) -> list[str]:
    return [foot.label for foot in feet(things, edition, kind) if foot.word == "to make"]


def _run(numbers: list[str]) -> str:
    """Return numbers as they are typed: the first and the last of each unbroken run.

    Examples
    --------
    >>> _run(["3"]), _run(["1", "2", "5", "7", "8"])
    ('3', '1-2, 5, 7-8')
    """
    runs: list[list[str]] = []
    for one in numbers:
        if runs and int(runs[-1][-1]) + 1 == int(one):
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else run[0] for run in runs)


def _of_the_form(things: Things, doc: Doc) -> Iterator[tuple[str, str, str]]:
    """Yield what is left to do with all that could remake the form, once every number is made."""
    edition = doc["edition"]
    if any(_to_make(things, edition, kind) for kind in ("numbered", "proof")):
        return

    def left(kind: str) -> list[tuple[str, Doc]]:
        gone = ("destroyed", "in use") if kind == "part" else ("destroyed",)
        found = things.of(kind, edition)
        return [(name, one) for name, one in found if one["state"] not in gone and not one["kept"]]

    molds, spares = (", ".join(name for name, _ in left(kind)) for kind in ("mold", "part"))
    if molds or spares:
        yield "Destroy the molds", _to("destroy", edition, molds=molds, spares=spares), "quiet"
    forms = [name for name, one in left("form") if one["what"] not in _KEPT_OFTEN]
    if forms:
        to = _to("destroy-form", edition, forms=", ".join(forms))
        yield f"Destroy {listed(forms)}", to, "quiet"
    rest = [name for name, one in left("form") if one["what"] in _KEPT_OFTEN]
    if rest:
        yield f"Declare {listed(rest)} kept", _to("keep-form", edition, forms=", ".join(rest)), "quiet"  # fmt: skip


def _evidence(things: Things, edition: str, n: int) -> str:
    """Return what showed the loss of the number's last bearer, if it was told."""
    number = things.get("number", f"{edition}/{n}") or {"bearers": []}
    piece = things.get("piece", number["bearers"][-1]) if number["bearers"] else None
    return str((piece or {}).get("evidence") or "")


def _of_pieces(edition: str, doc: Doc) -> Iterator[tuple[str, str, str]]:
    if doc["piece_states"].get("here"):
        yield "Sell", _to("sell", edition), "quiet"
        yield "Ship", _to("ship", edition), "quiet"
        yield "A piece broke", _to("break", edition), "quiet"


def _to(verb: str, edition: str, **fields: object) -> str:
    told = {name: value for name, value in fields.items() if value != ""}
    return f"/do/{verb}?{urlencode({'edition': edition, **told, 'back': f'/editions/{edition}'})}"
