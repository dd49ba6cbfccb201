"""The plaster bench: choose, weigh, and follow a batch until it is opened."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from pourwright.errors import BadInput, as_written
from pourwright.studio.bench.batches import batches_for, wanted_parts
from pourwright.studio.bench.clocks import shown_clock
from pourwright.studio.bench.heat import heat_shown, heat_svg, windows_words
from pourwright.studio.bench.heat_logs import log_named
from pourwright.studio.bench.plaster import (
    log_links,
    next_batch,
    phase_words,
    plaster_bench,
    scratched,
    written_down,
)
from pourwright.studio.care import PLASTER, care_here
from pourwright.studio.reminders import reminders, write_reminders
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import Form, Shown, Typed, TypedForm, filled, hidden
from pourwright.web.kept_fits import consistency_of, fits_now, plaster_heat
from pourwright.web.pictures import AskedLook, picture
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

if TYPE_CHECKING:
    from pourwright.studio.bench.batches import BatchSheet
    from pourwright.studio.bench.heat_fits import HeatWindows
    from pourwright.studio.bench.plaster import PlasterBench, PlasterCard

router = APIRouter()

HERE = "/bench/plaster"


@router.get(HERE)
def plaster(request: Request) -> Response:
    """Show the batches at work, and what can be poured."""
    return page(request, "bench_plaster.html", **_shown(request, dict(request.query_params)))


@router.post(HERE)
def choose(request: Request, typed: TypedForm) -> Response:
    """Work out what to weigh for the molds or parts that were chosen."""
    shown = _shown(request, typed)
    benches: list[PlasterBench] = shown["benches"]
    keep_page(request, "bench_plaster.html", typed=typed, **shown)
    offered = _offered(desk_of(request), benches, typed)
    return page(request, "bench_plaster.html", **shown | {"offered": offered})


@router.post("/bench/plaster/write")
def write_down(request: Request, typed: TypedForm) -> Response:
    """Write an opened batch into the book, and end its clock."""
    shown = _shown(request, typed)
    keep_page(request, "bench_plaster.html", typed=typed, **shown)
    benches: list[PlasterBench] = shown["benches"]
    card = _card_named(benches, str(typed.get("batch", "")))
    desk, who = desk_of(request), who_asks(request)
    answers = [
        desk.do(command, who)
        for command in written_down(card, typed, str(typed.get("id") or new_id()))
    ]
    return back(HERE, answers[0])


@router.get("/bench/plaster/reminders")
def reminders_form(request: Request) -> Response:
    """Show the reminders of each phase, to be edited."""
    return page(request, "reminders.html", **_reminders_shown(request, {}))


@router.post("/bench/plaster/reminders")
def keep_reminders(request: Request, typed: TypedForm) -> Response:
    """Keep the reminders as the maker wrote them."""
    keep_page(request, "reminders.html", typed=typed, **_reminders_shown(request, typed))
    write_reminders(desk_of(request).folder, typed)
    return back(HERE, "The reminders are kept.")


@router.get("/bench/plaster/heat/{log}.svg")
def heat_picture(request: Request, log: str, look: AskedLook) -> Response:
    """Draw a thermometer log and the law through it."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        found = log_named(reading.things, log, consistency_of(desk))
    if found is None:
        raise HTTPException(404)
    fit = fits_now(desk, [found])[found]
    return picture(heat_svg(found, fit, desk.units, desk.zone.key, look.width, look.scheme))


def _heat_shown(desk: Desk) -> tuple[dict[str, Any], HeatWindows]:
    """Return what thermometer logs say of the plaster at hand: the latest one, and windows of all."""
    consistency = consistency_of(desk)
    lot, logs, fits, windows = plaster_heat(desk)
    shown = [heat_shown(one, fits[one], desk.units, desk.zone.key) for one in logs[:1]]
    told = {"consistency": f"{consistency:.0f}", **({"lot": lot} if lot else {})}
    return {
        "logs": shown,
        "windows": windows_words(windows, consistency, desk.units),
        "told": told,
    }, windows


def _shown(request: Request, typed: Typed) -> dict[str, Any]:
    desk = desk_of(request)
    heat, windows = _heat_shown(desk)
    with desk.book.reading() as reading:
        benches = plaster_bench(reading, desk.folder, desk.now(), windows)
        to_log = log_links(reading.things, benches, desk.now(), heat["told"], HERE)
    return {
        "heat": heat,
        "to_log": to_log,
        "title": "Plaster",
        "here": "bench",
        "path": HERE,
        "benches": benches,
        "offered": [],
        "cards": [card for one in benches for card in one.cards],
        "many": len(benches) > 1,
        "forms": [_choice_form(one, typed) for one in benches],
        "scratched": scratched,
        **_opened(benches, typed),
        "clock": shown_clock,
        "now_ms": desk.clock.now_ms(),
        "reminders": reminders(desk.folder),
        "cautions": care_here(desk.folder, PLASTER, ("plaster",)),
        "chosen": str(typed.get("edition", "")),
        "batch_typed": str(typed.get("batch", "")),
    }


def _choice_form(bench: PlasterBench, typed: Typed) -> dict[str, Any]:
    """Return the form that chooses molds or parts of an edition; None without its brief."""
    here = bench.here
    told: dict[str, Any] = {
        "edition": bench.edition,
        "name": bench.name,
        "form": None,
        "fault": "",
    }
    if here is None or here.brief is None:
        return told | {"fault": here.fault if here else ""}
    mine = typed if typed.get("edition") == bench.edition else {}
    fields = [
        hidden("edition", bench.edition),
        Shown(
            "molds",
            "Complete molds",
            kind="code",
            inputmode="numeric",
            size=4,
            need="or parts, below",
        ),
    ]
    rest = [
        Shown(f"part-{n}", part.name, kind="code", inputmode="numeric", size=4)
        for n, part in enumerate(here.brief.mold.parts, 1)
    ]
    form = Form(
        action=f"{HERE}#sheets",
        submit="What to weigh",
        first=filled(fields, mine),
        rest=filled(rest, mine),
        rest_title="Parts, as spares or for a mold",
    )
    return told | {"form": form}


def _offered(desk: Desk, benches: list[PlasterBench], typed: Typed) -> list[dict[str, Any]]:
    """Return the batches for what was chosen, each with the tap that starts it."""
    bench = next((one for one in benches if one.edition == typed.get("edition")), None)
    here = bench.here if bench else None
    if bench is None or here is None or here.brief is None or here.studio is None:
        told = typed.get("edition")
        raise BadInput.one(
            "edition", as_written(told) if told else None, "choose one of the open editions"
        )
    brief, studio = here.brief, here.studio
    wanted = wanted_parts(brief, typed)
    if not wanted:
        raise BadInput.one("molds", None, "write how many complete molds, or how many of a part")
    with desk.book.reading() as reading:
        first = next_batch(reading.things, bench.edition)
    batches: tuple[BatchSheet, ...] = batches_for(brief, studio, wanted, first)
    return [
        {"batch": one, "start": {"edition": bench.edition, "what": one.name, "step": "weigh"}}
        for one in batches
    ]


def _opened(benches: list[PlasterBench], typed: Typed) -> dict[str, Any]:
    """Return the first batch that is opened, and the form that writes it down."""
    for bench in benches:
        for card in bench.cards:
            if card.phase == "open":
                return {"opened": card.what, "write": _write_form(card, bench.lots, typed)}
    return {"opened": "", "write": None}


def _write_form(card: PlasterCard, lots: tuple[str, ...], typed: Typed) -> Form:
    """Return the form that writes a batch down once it is opened."""
    whole = card.batch is None or bool(card.batch.whole_molds)
    count = card.batch.whole_molds if card.batch and card.batch.whole_molds else 1
    fields = [
        hidden("id", new_id()),
        hidden("batch", card.what),
    ]
    if whole:
        fields.append(
            Shown(
                "came_out",
                "Complete molds that came out",
                kind="code",
                inputmode="numeric",
                size=4,
                value=str(count),
                required=True,
            )
        )
    rest = [
        Shown(
            "lot",
            "Plaster lot",
            kind="code",
            size=8,
            value=lots[0] if lots else "",
            hint="As on the bag. Such as: B-001.",
        ),
        Shown(
            "water_temperature",
            "Temperature of the water",
            kind="code",
            size=8,
            hint="If it was taken. Such as: 20 C.",
        ),
        Shown("note", "Note", kind="long"),
    ]
    mine = typed if typed.get("batch") == card.what else {}
    return Form(
        action=f"{HERE}/write",
        submit=f"Write {card.short} down",
        first=filled([*fields, *rest[:2]], mine),
        rest=filled(rest[2:], mine),
    )


def _card_named(benches: list[PlasterBench], what: str) -> PlasterCard:
    cards = [card for one in benches for card in one.cards]
    found = next((card for card in cards if card.what == what), None)
    if found is None:
        raise BadInput.one(
            "batch", as_written(what) if what else None, "it must be a batch at work"
        )
    return found


def _reminders_shown(request: Request, typed: Typed) -> dict[str, Any]:
    kept = reminders(desk_of(request).folder)
    fields = [
        Shown(
            name, phase_words(name), kind="long", value="\n".join(lines), rows=3, need="a line each"
        )
        for name, lines in kept.items()
    ]
    form = Form(
        action=f"{HERE}/reminders", submit="Keep them", first=filled(fields, typed), cancel=HERE
    )
    return {"title": "Reminders", "here": "bench", "path": HERE, "form": form}
