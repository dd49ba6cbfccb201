"""The plaster bench: a pour day, from its session laid out to its molds in the book."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.errors import Asks, BadInput, NotDoable, as_written
from pourwright.ledger.observations import FAILED, block_share
from pourwright.ledger.said import many, names_said
from pourwright.plan.plan import Plan
from pourwright.studio.bench.batches import batches_for, wanted_parts
from pourwright.studio.bench.clocks import shown_clock, words_now
from pourwright.studio.bench.heat import USUAL_OPENING_MIN, heat_shown, windows_words
from pourwright.studio.bench.plaster import (
    REASONS,
    day_weights,
    log_links,
    next_batch,
    plaster_bench,
    scratched,
)
from pourwright.studio.bench.plaster_written import as_before, written_down
from pourwright.studio.bench.pour_day import (
    ASKED_BEFORE,
    asked_of_masters,
    asked_of_the_day,
    batches_of_plan,
    laid_out,
    lay_out_batches,
    next_pour,
    not_made_yet,
    number_of,
    pour_words,
)
from pourwright.studio.care import PLASTER, care_here
from pourwright.studio.editions import in_work
from pourwright.studio.reminders import WHEN, reminders, write_reminders
from pourwright.web.desk import Desk, desk_of, who_asks
from pourwright.web.forms import Form, Shown, Typed, TypedForm, filled, hidden, measured
from pourwright.web.kept_fits import consistency_of, plaster_heat
from pourwright.web.refused import GO_ON, keep_page
from pourwright.web.render import back, new_id, page

if TYPE_CHECKING:
    from collections.abc import Mapping

    from pourwright.briefs.records import Brief, Studio
    from pourwright.ledger.answer import BookAnswer
    from pourwright.studio.bench.heat_fits import HeatWindows
    from pourwright.studio.bench.plaster import PlasterBench, PlasterCard
    from pourwright.web.devices import Who

router = APIRouter()

HERE = "/bench/plaster"


@router.get(HERE)
def plaster(request: Request) -> Response:
    """Show the batches at work, and what can be poured."""
    return page(request, "bench_plaster.html", **_shown(request, dict(request.query_params)))


@router.post(HERE)
def choose(request: Request, typed: TypedForm) -> Response:
    """Lay out the molds or parts that were chosen, as batches of today."""
    shown = _shown(request, typed)
    keep_page(request, "bench_plaster.html", typed=typed, **shown)
    desk = desk_of(request)
    bench, brief, studio = _briefed(shown["benches"], typed)
    wanted = wanted_parts(brief, typed)
    if not wanted:
        raise BadInput.one("molds", None, "write how many complete molds, or how many of a part")
    _ask(_masters_asked(desk, bench, list(wanted)), typed)
    first = _first_number(desk, bench.edition)
    sheets = batches_for(brief, studio, wanted, first)
    lay_out_batches(desk.folder, desk.today(), bench.edition, sheets, str(typed.get("id", "")))
    return back(HERE)


@router.post("/bench/plaster/day")
def lay_out_session(request: Request, typed: TypedForm) -> Response:
    """Lay out the session that the plan has for today; some seconds of work if it is not there."""
    shown = _shown(request, typed)
    keep_page(request, "bench_plaster.html", typed=typed, **shown)
    desk, today = desk_of(request), desk_of(request).today()
    bench, brief, studio = _briefed(shown["benches"], typed)
    if not any(one.edition == bench.edition for one in laid_out(desk.folder, today)):
        plan = desk.plan_now(bench.edition)
        if not isinstance(plan, Plan):
            raise NotDoable(plan.fault if plan else f"No brief of {bench.name} can be planned.")
        pour = next_pour(plan, today, bench.block_begun)
        if pour is None:
            raise NotDoable(_nothing_to_pour(bench))
        masters = _masters_asked(desk, bench, [""]) if pour.session is not None else ()
        _ask((*asked_of_the_day(plan, pour, typed.get("day"), today), *masters), typed)
        first = _first_number(desk, bench.edition)
        sheets = batches_of_plan(plan, brief, studio, pour, first)
        once = f"session of {bench.edition}"  # two may press while the plan is worked out
        lay_out_batches(desk.folder, today, bench.edition, sheets, once)
        return back(HERE, f"Laid out for today: {pour_words(plan, pour)} by the plan.")
    return back(HERE)


@router.post("/bench/plaster/write")
def write_down(request: Request, typed: TypedForm) -> Response:
    """Write the batches that are done into the book, and end their clocks."""
    shown = _shown(request, typed)
    keep_page(request, "bench_plaster.html", typed=typed, **shown)
    bench = _meant(shown["benches"], typed)
    desk, who = desk_of(request), who_asks(request)
    with desk.book.reading() as reading:
        commands = list(as_before(reading, written_down(bench, typed)))
    answers = [_written(desk, command, who) for command in commands]
    return back(HERE, _written_words(answers), undo=[one.seq for one in answers])


def _ask(asked: tuple[str, ...], typed: Typed) -> None:
    """Ask before batches are laid out, all at once."""
    if asked and not typed.get(GO_ON):
        raise Asks(asked, [ASKED_BEFORE])


def _masters_asked(desk: Desk, bench: PlasterBench, parts: list[str]) -> tuple[str, ...]:
    is_begun = any(not block_share(card.what) for card in bench.cards)
    with desk.book.reading() as reading:
        return asked_of_masters(
            reading.things, bench.edition, parts, desk.today(), is_begun=is_begun
        )


def _written(desk: Desk, command: Mapping[str, object], who: Who) -> BookAnswer:
    """Write down a batch; what was asked before it was weighed is not asked once more."""
    try:
        return desk.do(command, who)
    except Asks as asks:
        if set(asks.rules) != {ASKED_BEFORE}:
            raise
    return desk.do({**command, GO_ON: True}, who)


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


def _heat_shown(desk: Desk) -> tuple[dict[str, Any], HeatWindows]:
    """Return what thermometer logs say of the plaster at hand: the latest one, and windows of all."""
    consistency = consistency_of(desk)
    lot, logs, fits, windows = plaster_heat(desk)
    zone, studio = desk.zone.key, desk.studio
    set_min = studio.pouring.set_min if studio else USUAL_OPENING_MIN
    shown = [heat_shown(one, fits[one], desk.units, zone, studio) for one in logs[:1]]
    told = {"consistency": f"{consistency:.0f}", **({"lot": lot} if lot else {})}
    return {
        "logs": shown,
        "windows": windows_words(windows, consistency, desk.units, set_min),
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
        "cards": [card for one in benches for card in one.cards],
        "waits": {card.key: one.waits_for(card) for one in benches for card in one.cards},
        "weights": day_weights(benches, desk.units),
        "many": len(benches) > 1,
        "sessions": [
            (one, desk.plan_kept(one.edition) is None, *_session_form(desk, one)) for one in benches
        ],
        "forms": [_choice_form(one, typed) for one in benches],
        "writes": [(one, _write_form(one, typed, desk.units)) for one in benches],
        "laid": {one.edition for one in laid_out(desk.folder, desk.today())},
        "reasons": [(f"{FAILED}{one}", one) for one in REASONS],
        "scratched": scratched,
        "clock": shown_clock,
        "words": words_now,
        "now_ms": desk.clock.now_ms(),
        "reminders": reminders(desk.folder),
        "cautions": care_here(desk.folder, PLASTER, ("plaster",)),
        "chosen": str(typed.get("edition", "")),
        "is_writing": _is_writing(typed),
        "is_session": "session" in typed,
    }


def _written_words(answers: list[BookAnswer]) -> str:
    """Return what the book answered to a day's batches, in one sentence."""
    poured = [one for one in answers if one.kind != "step-ended"]
    molds = [label for one in poured for label in one.made if label.startswith("M")]
    said = [f"{many(len(molds), 'mold')} poured: {_first_to_last(molds)}"] if molds else []
    parts = [one for one in poured if one.made and one.made[0] not in molds]
    said += [one.said.rpartition("is corrected: ")[2].rstrip(".") for one in parts]
    if nothing := sum(not one.made for one in poured):
        said.append(f"{many(nothing, 'batch', 'batches')} gave no mold")
    return "; ".join(said) + "." if said else "All of it is written down already."


def _first_to_last(labels: list[str]) -> str:
    return labels[0] if len(labels) == 1 else f"{labels[0]} to {labels[-1]}"


def _meant(benches: list[PlasterBench], typed: Typed) -> PlasterBench:
    """Return the bench of the edition that a form means."""
    told = typed.get("edition")
    found = next((one for one in benches if one.edition == told), None)
    if found is None:
        right = "choose one of the open editions"
        raise BadInput.one("edition", as_written(told) if told else None, right)
    return found


def _briefed(benches: list[PlasterBench], typed: Typed) -> tuple[PlasterBench, Brief, Studio]:
    """Return the bench of the edition that a form means, with its brief and its studio."""
    bench = _meant(benches, typed)
    here = bench.here
    if here is None or here.brief is None or here.studio is None:
        raise NotDoable(f"No brief of {bench.name} can be read, so its batches have no weights.")
    return bench, here.brief, here.studio


def _first_number(desk: Desk, edition: str) -> int:
    with desk.book.reading() as reading:
        others = [one.edition for one in in_work(reading).docs]
        return next_batch(reading.things, edition, laid_out(desk.folder, desk.today()), others)


def _session_form(desk: Desk, bench: PlasterBench) -> tuple[str, Form | None]:
    """Return the form that lays out the plan's session, and what is said of it; none if it would be refused.

    Its day and its batches are told if the plan is at hand: working it out takes seconds.
    """
    plan = desk.plan_kept(bench.edition)
    today, begun = desk.today(), bench.block_begun
    if plan is not None and not isinstance(plan, Plan):
        return plan.fault, None
    pour = next_pour(plan, today, begun) if plan is not None else None
    if plan is not None and pour is None:
        return _nothing_to_pour(bench), None
    words = "What the plan has poured today, or next: its batches, their parts, their weights."
    submit, shown = "Lay out the session", ""
    if plan is not None and pour is not None:
        missing = names_said(not_made_yet(plan, pour))
        words = f"Not made yet: {missing}." if missing else "By the plan."
        submit, shown = f"Lay out {pour_words(plan, pour)}", pour.date.isoformat()
    fields = (hidden("edition", bench.edition), hidden("session", "yes"), hidden("day", shown))
    return words, Form(action=f"{HERE}/day", submit=submit, first=fields)


def _nothing_to_pour(bench: PlasterBench) -> str:
    return (
        f"The plan of {bench.name} has no more molds to pour. "
        "Choose below what is to be poured all the same."
    )


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
    is_others = _is_writing(typed) or "session" in typed
    is_mine = typed.get("edition") == bench.edition and not is_others
    fields = [
        hidden("id", new_id()),
        hidden("edition", bench.edition),
        Shown(
            "molds",
            "Complete molds",
            kind="code",
            inputmode="numeric",
            size=4,
            need="or parts below, or both",
        ),
    ]
    rest = [
        Shown(f"part-{n}", part.name, kind="code", inputmode="numeric", size=4, part=n)
        for n, part in enumerate(here.brief.mold.parts, 1)
    ]
    form = Form(
        action=HERE,
        submit="Lay them out",
        first=filled(fields, typed if is_mine else {}),
        rest=filled(rest, typed if is_mine else {}),
        rest_title="Parts, as spares or for a mold",
    )
    return told | {"form": form}


def _is_writing(typed: Typed) -> bool:
    return "writing" in typed


def _write_form(bench: PlasterBench, typed: Typed, units: str) -> Form | None:
    """Return the form that writes down the batches that are done; None if there are none."""
    done = bench.to_write
    if not done:
        return None
    several = [
        (card, card.batch.whole_molds if card.batch else 1)
        for card in done
        if not card.failed and (card.batch is None or card.batch.whole_molds > 1)
    ]
    fields = [
        hidden("edition", bench.edition),
        hidden("writing", "yes"),
        *(
            Shown(
                f"came-{number_of(card.what)}",
                f"{card.short.capitalize()}: complete molds that came out",
                kind="code",
                inputmode="numeric",
                size=4,
                value=str(molds),
                required=True,
            )
            for card, molds in several
        ),
        Shown(
            "lot",
            "Plaster lot",
            kind="code",
            size=8,
            value=bench.lots[0] if bench.lots else "",
            hint="As on the bag. Such as: B-001.",
        ),
    ]
    water = Shown(
        "water_temperature", "Temperature of the water", kind="code", hint="If it was taken."
    )
    rest = [measured(water, "temperature", "", units), Shown("note", "Note", kind="long")]
    is_mine = typed.get("edition") == bench.edition and _is_writing(typed)
    return Form(
        action=f"{HERE}/write",
        submit=_write_words(done),
        first=filled(fields, typed if is_mine else {}),
        rest=filled(rest, typed if is_mine else {}),
    )


def _write_words(done: list[PlasterCard]) -> str:
    """Return what is written down, as the button says it."""
    labels = [one for card in done for one in card.labels]
    if not labels:
        return f"Write {many(len(done), 'batch', 'batches')} down"
    return f"Write {_first_to_last(labels)} down"


def _reminders_shown(request: Request, typed: Typed) -> dict[str, Any]:
    kept = reminders(desk_of(request).folder)
    fields = [
        Shown(name, WHEN[name], kind="long", value="\n".join(lines), rows=3, need="a line each")
        for name, lines in kept.items()
    ]
    form = Form(
        action=f"{HERE}/reminders", submit="Keep them", first=filled(fields, typed), cancel=HERE
    )
    return {"title": "Reminders", "here": "bench", "path": HERE, "form": form}
