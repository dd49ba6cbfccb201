"""The bench: slip, and what both benches share."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from pourwright.errors import BadInput, NotDoable, as_written
from pourwright.ledger.causes import CASTING_CAUSES, GIVEN_UP
from pourwright.studio.bench.clocks import shown_clock
from pourwright.studio.bench.plaster import plaster_bench
from pourwright.studio.bench.slip import BROKEN, retimed, slip_bench
from pourwright.studio.care import SLIP, care_here
from pourwright.studio.records import noted_of
from pourwright.studio.shelf import asked_before_filling
from pourwright.web.desk import desk_of, who_asks
from pourwright.web.forms import Form, Shown, Typed, TypedForm, filled, hidden, measured
from pourwright.web.refused import keep_page
from pourwright.web.render import back, new_id, page

if TYPE_CHECKING:
    from pourwright.studio.bench.slip import SlipBench, SlipCard

router = APIRouter()


@router.get("/bench")
def bench(request: Request) -> Response:
    """Show both benches, and how many clocks run at each."""
    desk = desk_of(request)
    with desk.book.reading() as reading:
        slip = [c for one in slip_bench(reading, desk.folder, desk.now()) for c in one.cards]
        plaster = plaster_bench(reading, desk.folder, desk.now())
    return page(
        request,
        "bench.html",
        title="Bench",
        here="bench",
        resting=sum(c.phase == "idle" for c in slip),
        running=sum(c.is_running for c in slip),
        batches=sum(len(one.cards) for one in plaster),
    )


@router.get("/bench/slip")
def slip(request: Request) -> Response:
    """Show a tile for each mold at its place, and which of them spoils first."""
    return page(request, "bench_slip.html", **_slip_shown(request, {}))


@router.post("/bench/slip/wall")
def enter_wall(request: Request, typed: TypedForm) -> Response:
    """Give the molds that still stand the time of a wall that was measured in a cut spare."""
    keep_page(request, "bench_slip.html", typed=typed, **_slip_shown(request, typed))
    desk, who = desk_of(request), who_asks(request)
    with desk.book.reading() as reading:
        commands, said = retimed(reading, desk.folder, typed, desk.now(), desk.units)
    for command in commands:
        desk.do(command, who)
    return back("/bench/slip", said)


@router.post("/bench/slip/cast")
def cast_many(request: Request, typed: TypedForm) -> Response:
    """Write down the casts of all molds but some, with what was lost and why."""
    shown = _slip_shown(request, typed)
    keep_page(request, "bench_slip.html", typed=typed, **shown)
    answer = desk_of(request).do(cast_command(typed), who_asks(request))
    return back("/bench/slip", answer)


def cast_command(typed: Typed) -> dict[str, object]:
    """Return the book's command for the form that casts all molds but some.

    ``of`` are the molds that the form showed, ``out`` those that were left out, and ``lost-stuck``
    and the like counts of a cause.

    Examples
    --------
    >>> typed = {"edition": "e", "of": "M-001, M-002", "out": ["M-002"], "lost-stuck": "1"}
    >>> cast_command(typed | {"id": "a"})["molds"], cast_command(typed | {"id": "a"})["lost"]
    ('M-001', '1 stuck')
    """
    out = typed.get("out", [])
    left = [out] if isinstance(out, str) else list(out)
    causes = {cause: str(typed.get(f"lost-{_slug(cause)}", "0")) for cause in CASTING_CAUSES}
    for cause, count in causes.items():
        if not (count.isascii() and count.isdecimal() and len(count) < 5):
            name = f"lost-{_slug(cause)}"
            raise BadInput.one(name, as_written(count), f"write how many were lost: {cause}")
    lost = ", ".join(f"{int(count)} {cause}" for cause, count in causes.items() if int(count))
    command: dict[str, object] = {
        "do": "cast",
        "id": typed.get("id") or new_id(),
        "edition": typed.get("edition"),
    }
    command["molds"] = _molds_of(str(typed.get("of", "")), left)
    return command | ({"lost": lost} if lost else {}) | _told(typed, ("lot", "note", "go_on"))


def _molds_of(shown: str, left: list[str]) -> str:
    """Return the molds that were cast: those that the form showed, but for those left out."""
    if not shown:
        return f"all except {', '.join(left)}" if left else "all"
    molds = [one for one in shown.split(", ") if one not in left]
    if not molds:
        raise NotDoable(
            "Every mold is ticked as left out, so no cast would be written down. "
            "Leave those unticked that were cast."
        )
    return ", ".join(molds)


def _told(typed: Typed, names: Iterable[str]) -> dict[str, object]:
    return {name: typed[name] for name in names if typed.get(name)}


def _slug(cause: str) -> str:
    return cause.replace(" ", "-")


def _is_all_wet(bench: SlipBench) -> bool:
    return not any(card.phase != BROKEN and (card.dry or card.is_running) for card in bench.cards)


def _slip_shown(request: Request, typed: Typed) -> dict[str, Any]:
    desk = desk_of(request)
    with desk.book.reading() as reading:
        found = slip_bench(reading, desk.folder, desk.now())
        not_yet = [
            asked_before_filling(reading, desk.folder, b, desk.units, desk.now()) for b in found
        ]
        noted = [noted_of(reading, one.edition, desk.now()) for one in found]
    benches = sorted(found, key=_is_all_wet)  # what can be filled stands first
    cards = [card for one in benches for card in one.cards]
    standing = [card for card in cards if card.phase == "fill"]
    return {
        "title": "Slip",
        "here": "bench",
        "benches": benches,
        "cards": cards,
        "causes": [(one, _slug(one)) for one in CASTING_CAUSES],
        "given_up": GIVEN_UP,
        "wall": _wall_form(standing, benches, typed, desk.units) if standing else None,
        "not_yet": {label: why for one in not_yet for label, why in one.items()},
        "noted": {label: words for one in noted for label, words in one.items()},
        "cautions": care_here(desk.folder, SLIP, ("slip",)),
        "many": len(benches) > 1,
        "path": "/bench/slip",
        "clock": shown_clock,
        "now_ms": desk.clock.now_ms(),
        "fettle": {label: start for one in benches for label, start in one.fettle.items()},
    }


def _wall_form(
    standing: list[SlipCard], benches: list[SlipBench], typed: Typed, units: str
) -> Form:
    """Return the form of a cut spare: the mold, the wall that was found, the wall wanted."""
    wanted = next((one.wall for one in benches if one.wall), "")
    such = "1/8 in" if units == "us" else "4.2 mm"
    fields = (
        hidden("id", new_id()),
        Shown(
            "cut",
            "Mold whose spare was cut",
            kind="choice",
            required=True,
            choices=tuple((card.label, card.label) for card in standing),
            values=(standing[0].label,),
        ),
        measured(
            Shown(
                "wall",
                "Wall found",
                kind="code",
                required=True,
                hint="Cut the spare, measure the wall.",
            ),
            "length",
            such,
            units,
        ),
        measured(
            Shown(
                "wanted",
                "Wall wanted",
                kind="code",
                need="as the brief says" if wanted else "needed, no brief tells it",
            ),
            "length",
            such,
            units,
        ),
    )
    return Form(
        action="/bench/slip/wall",
        submit="Set the clocks by this wall",
        first=filled(fields, ({"wanted": wanted} if wanted else {}) | dict(typed)),
    )
