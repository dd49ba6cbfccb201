"""What must not happen to lots and photos."""

from __future__ import annotations

from pourwright.ledger.documents import LotDoc, PhotoDoc
from pourwright.ledger.entry import Body, scope_of
from pourwright.ledger.labels import label
from pourwright.ledger.rules.edition import Refusals
from pourwright.ledger.state.apply import counters
from pourwright.ledger.state.record import photo_id
from pourwright.ledger.thermometer import LONGEST_MIN, minutes_after_contact
from pourwright.ledger.things import Things, told_day

_LATEST_FIRST_MIN = 720
"""A clock reading that would be the first this long after plaster met water was before it. [min]"""


def rule_lot_is_known(things: Things, body: Body) -> Refusals:
    """Hold that a lot is entered before it is read."""
    name = body["lot"]
    if things.get(LotDoc, name) is None:
        last = counters(things).highest(name[0])
        known = f"the last one is {label(name[0], last)}" if last else "there is none yet"
        yield f"There is no lot {name} in the book; {known}."


def rule_something_is_read(_: Things, body: Body) -> Refusals:
    """Hold that a reading reads something."""
    if not any(key in body for key in ("liter_weight", "flow", "temperature")):
        yield "Nothing was read; write liter_weight, flow or temperature."


def rule_thermometer_stood_in_something(_: Things, body: Body) -> Refusals:
    """Hold that a log is of a batch, a mold or a spare part."""
    if not any(key in body for key in ("batch", "mold", "spare")):
        yield "Nothing says where the thermometer stood; write batch, mold or spare."


def rule_clock_readings_have_a_start(_: Things, body: Body) -> Refusals:
    """Hold that readings by the clock are counted from plaster meeting water, and come after it."""
    readings, contact = body["readings"], body.get("contact")
    if "clock_min" not in readings:
        return
    if contact is None:
        yield "The readings are times of day; write contact, when plaster met water, such as 14:02."
        return
    minutes = minutes_after_contact(readings, contact)
    if minutes[0] > _LATEST_FIRST_MIN:
        yield f"The first reading is before plaster met water at {contact}; correct one of them."
    elif minutes[-1] > LONGEST_MIN:
        yield f"The last reading is more than {LONGEST_MIN} min after plaster met water at {contact}."


def rule_photo_is_new(things: Things, body: Body) -> Refusals:
    """Hold that one photo is kept once of one thing, and an erased one is not kept again."""
    photo = things.get(PhotoDoc, photo_id(scope_of(body), body["digest"]))
    about = body.get("about")
    if photo and (photo.erased or about is None or about in photo.shows):
        yield f"That photo was kept on {told_day(things, photo.at)} already."


def rule_photo_is_known(things: Things, body: Body) -> Refusals:
    """Hold that a photo is erased once, and only if it was kept."""
    photo = things.get(PhotoDoc, photo_id(scope_of(body), body["digest"]))
    if photo is None:
        yield f"There is no photo {body['digest'][:12]} of {scope_of(body)} in the book."
    elif photo.erased:
        yield f"That photo was erased on {told_day(things, photo.erased)} already."
