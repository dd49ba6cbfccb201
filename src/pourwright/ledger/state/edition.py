"""What entries about an edition and its forms do to the state."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pourwright.ledger.entry import Entry
from pourwright.ledger.said import listed, many
from pourwright.ledger.stages import stages_of
from pourwright.ledger.state.casts import add_counts
from pourwright.ledger.things import Doc, Things

WHOLE = "mold"
"""What the only part of a mold is called, if the brief names none."""


def edition_of(things: Things, entry: Entry) -> Doc:
    """Return the document of an entry's edition, which the rules have seen to be there.

    Parameters
    ----------
    things : Things
        The state.
    entry : Entry
        The entry.
    """
    found = things.get("edition", entry.body["edition"])
    assert found is not None  # noqa: S101 - rule_edition_is_known
    return found


def edition_planned(things: Things, entry: Entry) -> str:
    """Take in ``edition-planned``: an edition is planned."""
    body = entry.body
    name = body["edition"]
    route = body.get("route", "bisque and glaze")
    stages = stages_of(route)
    doc: Doc = {
        "edition": name,
        "name": body.get("name", name),
        "state": "planned",
        "planned_at": entry.at,
        "pieces": body["pieces"],
        "proofs": body.get("proofs", 0),
        "proof_kind": body.get("proof_kind", "AP"),
        "route": route,
        "marked": body.get("marked", "end"),
        "conditioning": body.get("conditioning", 1),
        "life": body.get("life"),
        "parts": body.get("parts", [WHOLE]),
        "molds_planned": body.get("molds"),
        "claim_days": body.get("claim_days", 0),
        "fate": body.get("fate", "destroy"),
        "frozen": False,
        "proofs_frozen": False,
        "closed": None,
        "molds": 0,
        "cast": 0,
        "thrown": 0,
        "good": 0,
        "lost": {},
        "lost_unnamed": 0,
        "tried": {},
        "ware": dict.fromkeys(stages, 0),
        "named": dict.fromkeys(stages, 0),
        "loaded": 0,
        "loaded_named": 0,
        "surplus": {},
        "marked_in_all": 0,
        "piece_states": {},
        "numbers": {},
        "proof_numbers": {},
        "last_away": None,
    }
    things.put("edition", name, doc)
    return (
        f"{doc['name']} is planned: {many(doc['pieces'], 'piece')}, {many(doc['proofs'], 'proof')}."
    )


def edition_declared(things: Things, entry: Entry) -> str:
    """Take in ``edition-declared``: the edition is declared."""
    edition = edition_of(things, entry)
    edition["state"] = "declared"
    edition["declared_at"] = entry.at
    _size(edition, entry.body)
    things.put("edition", entry.body["edition"], edition)
    return f"{edition['name']} is declared: {_size_said(edition)}."


def edition_resized(things: Things, entry: Entry) -> str:
    """Take in ``edition-resized``: n or the proofs change."""
    edition = edition_of(things, entry)
    _size(edition, entry.body)
    things.put("edition", entry.body["edition"], edition)
    return f"{edition['name']} is now {_size_said(edition)}."


def _size(edition: Doc, body: Any) -> None:
    for key in ("pieces", "proofs"):
        edition[key] = body.get(key, edition[key])


def _size_said(edition: Doc) -> str:
    return f"{many(edition['pieces'], 'numbered piece')} and {many(edition['proofs'], 'proof')}"


def edition_closed(things: Things, entry: Entry) -> str:
    """Take in ``edition-closed``: the edition is closed."""
    edition = edition_of(things, entry)
    made = made_of(edition)
    edition["state"] = "closed"
    edition["closed"] = {
        "at": entry.at, "made": made, "of": edition["pieces"], "short": made < edition["pieces"],
    }  # fmt: skip
    things.put("edition", entry.body["edition"], edition)
    return f"{edition['name']} is closed at {made} of {edition['pieces']}."


def made_of(edition: Doc) -> int:
    """Return how many numbers have been made good: a living piece, or one broken after it left.

    Parameters
    ----------
    edition : dict
        The edition's document.
    """
    numbers = edition["numbers"]
    return int(numbers.get("living", 0) + numbers.get("gone", 0))


def form_made(things: Things, entry: Entry) -> str:
    """Take in ``form-made``: a thing that can make the form."""
    body = entry.body
    name = body["made"][0]
    doc: Doc = {
        "edition": body["edition"],
        "what": body["what"],
        "name": body.get("name", body["what"]),
        "part": body.get("part"),
        "lot": body.get("lot"),
        "cure_test": body.get("cure_test"),
        "state": "here",
        "made_at": entry.at,
        "kept": None,
        "approved": None,
        "tests": {"casts": 0, "good": 0, "lost": {}},
    }
    things.put("form", name, doc)
    return f"{name}: {doc['name']}."


def casts_tested(things: Things, entry: Entry) -> str:
    """Take in ``casts-tested``: test casts from the block mold."""
    body, form = entry.body, _form(things, entry.body["form"])
    lost = dict(body.get("lost", {}))
    rest = body["count"] - sum(lost.values())
    good = body.get("good", rest)
    if rest > good:
        add_counts(lost, {"other": rest - good})
    tests = form["tests"]
    tests["casts"] += body["count"]
    tests["good"] += good
    add_counts(tests["lost"], lost)
    things.put("form", body["form"], form)
    return f"{many(body['count'], 'test cast')} from {body['form']}, {good} good."


def form_approved(things: Things, entry: Entry) -> str:
    """Take in ``form-approved``: the fired test casts are judged good."""
    body, form = entry.body, _form(things, entry.body["form"])
    measured = {key: body[key] for key in ("height", "wall") if key in body}
    form["approved"] = {"at": entry.at, **measured}
    things.put("form", body["form"], form)
    return f"{body['form']} ({form['what']}) is approved."


def form_destroyed(things: Things, entry: Entry) -> str:
    """Take in ``form-destroyed``: a form is destroyed."""
    for name in entry.body["forms"]:
        form = _form(things, name)
        form |= {"state": "destroyed", "destroyed_at": entry.at, "how": entry.body.get("how")}
        things.put("form", name, form)
    return f"{listed(entry.body['forms'])} destroyed."


def form_kept(things: Things, entry: Entry) -> str:
    """Take in ``form-kept``: what could remake the form is declared kept, with where and why."""
    body = entry.body
    kept = {"at": entry.at, "where": body["where"], "why": body.get("why")}
    named = {"form": "forms", "mold": "molds", "part": "spares"}
    for kind, key in named.items():
        for name in body.get(key, ()):
            doc = things.get(kind, name)
            assert doc is not None  # noqa: S101 - rule_what_is_named_is_known
            doc["kept"] = kept
            things.put(kind, name, doc)
    names = [name for key in named.values() for name in body.get(key, ())]
    return f"{listed(names)} declared kept: {body['where']}."


def _form(things: Things, name: str) -> Doc:
    form = things.get("form", name)
    assert form is not None  # noqa: S101 - rule_what_is_named_is_known
    return form


APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "edition-planned": edition_planned,
    "edition-declared": edition_declared,
    "edition-resized": edition_resized,
    "edition-closed": edition_closed,
    "form-made": form_made,
    "casts-tested": casts_tested,
    "form-approved": form_approved,
    "form-destroyed": form_destroyed,
    "form-kept": form_kept,
}
"""What each kind does."""
