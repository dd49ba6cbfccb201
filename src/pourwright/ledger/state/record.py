"""What lots, readings, stocktakes, notes, photos and the bench's clocks do to the state."""

from __future__ import annotations

from collections.abc import Callable

from pourwright.ledger.entry import STUDIO, Entry
from pourwright.ledger.said import many
from pourwright.ledger.thermometer import minutes_after_contact
from pourwright.ledger.things import Things

_TOLD_OF_A_LOG = (
    "batch", "mold", "spare", "lot", "consistency", "contact", "thickness", "one_face",
    "mix_temperature", "room_temperature", "poured",
)  # fmt: skip


def lot_mixed(things: Things, entry: Entry) -> str:
    """Take in ``lot-mixed``: a lot is mixed or opened."""
    body, name = entry.body, entry.body["made"][0]
    doc = {
        "edition": STUDIO, "what": body["what"], "name": body.get("name", ""), "at": entry.at,
        "mass": body.get("mass"), "water": body.get("water"), "readings": 0, "last": None,
    }  # fmt: skip
    things.put("lot", name, doc)
    return f"{name}: {body['what']}{', ' + doc['name'] if doc['name'] else ''}."


def lot_read(things: Things, entry: Entry) -> str:
    """Take in ``lot-read``: a lot is read before use."""
    body = entry.body
    lot = things.get("lot", body["lot"])
    assert lot is not None  # noqa: S101 - rule_what_is_named_is_known
    taken = {key: body[key] for key in ("liter_weight", "flow", "temperature") if key in body}
    lot |= {"readings": lot["readings"] + 1, "last": {"at": entry.at, **taken}}
    things.put("lot", body["lot"], lot)
    things.put(
        "reading", entry.id, {"edition": STUDIO, "lot": body["lot"], "at": entry.at, **taken}
    )
    shown = ", ".join(one["typed"] for one in taken.values())
    return f"{body['lot']} read: {shown}."


def thermometer_logged(things: Things, entry: Entry) -> str:
    """Take in ``thermometer-logged``: what a thermometer in a setting part read."""
    body = entry.body
    minutes = minutes_after_contact(body["readings"], body.get("contact"))
    doc = {
        "edition": body["edition"], "at": entry.at, "degc": list(body["readings"]["degc"]),
        "after_min": [f"{one:f}" for one in minutes],
        **{key: body.get(key) for key in _TOLD_OF_A_LOG},
    }  # fmt: skip
    things.put("heat", entry.id, doc)
    where = body.get("batch") or body.get("mold") or body["spare"]
    return f"Thermometer in {where}: {many(len(minutes), 'reading')}."


def stock_counted(things: Things, entry: Entry) -> str:
    """Take in ``stock-counted``: a stocktake."""
    body = entry.body
    doc = {
        "edition": body["edition"],
        "at": entry.at,
        "counts": dict(body["counts"]),
        "book": dict(body["book"]),
    }
    things.put("stocktake", entry.id, doc)
    differ = sum(body["counts"][key] != body["book"][key] for key in body["counts"])
    if not differ:
        return "Stocktake: all as in the book."
    return f"Stocktake: {many(differ, 'count')} other than in the book."


def note_made(things: Things, entry: Entry) -> str:
    """Take in ``note-made``: a note about anything."""
    body = entry.body
    doc = {"edition": entry.scope, "at": entry.at, "about": body.get("about"), "text": body["text"]}
    things.put("note", entry.id, doc)
    return f"Noted{' about ' + body['about'] if 'about' in body else ''}."


def photo_id(scope: str, digest: str) -> str:
    """Return the id of a photo's document.

    Parameters
    ----------
    scope : str
        The edition, or the studio.
    digest : str
        SHA-256 of the photo.
    """
    return f"{scope}/{digest}"


def photo_kept(things: Things, entry: Entry) -> str:
    """Take in ``photo-kept``: a photo is kept."""
    body, about = entry.body, entry.body.get("about")
    doc = {"edition": entry.scope, "at": entry.at, "about": about, "erased": None}
    things.put("photo", photo_id(entry.scope, body["digest"]), doc)
    piece = things.get("piece", about) if about else None
    if piece is not None and about and piece["edition"] == entry.scope:
        piece["photos"] = [*piece["photos"], body["digest"]]
        things.put("piece", about, piece)
    return f"Photo kept{' of ' + about if about else ''}."


def photo_erased(things: Things, entry: Entry) -> str:
    """Take in ``photo-erased``: a photo is erased."""
    key = photo_id(entry.scope, entry.body["digest"])
    doc = things.get("photo", key)
    assert doc is not None  # noqa: S101 - rule_photo_is_known
    things.put("photo", key, doc | {"erased": entry.at, "why": entry.body.get("why")})
    return "Photo erased; its digest stays in the book."


def step_id(body: object) -> str:
    """Return the id of a bench step's document.

    Parameters
    ----------
    body : mapping
        The body of the entry that starts or ends it.
    """
    assert isinstance(body, dict)  # noqa: S101 - the body of an entry
    return f"{body['edition']}/{body['what']}/{body['step']}"


def step_started(things: Things, entry: Entry) -> str:
    """Take in ``step-started``: the bench clock starts a step."""
    body = dict(entry.body)
    doc = {
        "edition": body["edition"], "what": body["what"], "step": body["step"],
        "target": body.get("target"), "started": entry.at, "ended": None,
    }  # fmt: skip
    things.put("step", step_id(body), doc)
    return f"{body['what']}: {body['step']} started."


def step_ended(things: Things, entry: Entry) -> str:
    """Take in ``step-ended``: the bench clock ends a step."""
    body = dict(entry.body)
    doc = things.get("step", step_id(body))
    assert doc is not None  # noqa: S101 - rule_step_is_running
    things.put("step", step_id(body), doc | {"ended": entry.at})
    return f"{body['what']}: {body['step']} ended."


APPLY: dict[str, Callable[[Things, Entry], str]] = {
    "lot-mixed": lot_mixed,
    "lot-read": lot_read,
    "thermometer-logged": thermometer_logged,
    "stock-counted": stock_counted,
    "note-made": note_made,
    "photo-kept": photo_kept,
    "photo-erased": photo_erased,
    "step-started": step_started,
    "step-ended": step_ended,
}
"""What each kind does."""
