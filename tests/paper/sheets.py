"""A sheet of each kind for tests: as it is, and swollen with everything that could break a page."""

from collections.abc import Iterator
from typing import Any

import msgspec
from msgspec.structs import replace

from pourwright.paper.casting import HELD, THROWN, CastingSheet, EditionToCast, MoldToCast
from pourwright.paper.day import TYPED_IN, DaySheet, TaskShown, TasksShown
from pourwright.paper.kiln import KilnSheet, LoadToFire
from pourwright.paper.lot import Card, FactShown, LotSheet, ReadingShown
from pourwright.paper.plan import plan_printed
from pourwright.paper.pour import pour_sheet
from pourwright.paper.printing import Care, Sheet
from pourwright.paper.shopping import NOTE, ShoppingSheet, ToBuyShown
from pourwright.paper.tags import SCRATCH, Tag, TagSheet, qr_svg
from pourwright.studio.day import BLANKS, BROKEN, TITLES, Doing
from tests.plans import sample_plan

LONG = (
    "An uncommonly long-winded name, given by somebody who paid by the word, for a tureen with "
    "Unterglasurmalereiverzierungen"
)
TRICKY = '#import "x" $a$ *b* _c_ `d` <e> @f // g /* h */ \\ [i] {j} "k" = l\n- m'
"""All that would mean something to the layout language, if it were read as markup."""


TYPED = {"title", "of", "foot", "name", "fills"}
"""Fields that hold what people typed; the others hold figures and words of ours."""


UNPRINTED = {"qr", "svg", "is_a"}
"""Fields that hold a picture."""


def sample_sheets() -> dict[str, Sheet]:
    """Return a sheet of each kind, by the kind's name."""
    return {
        "pour": pour_sheet(sample_plan()),
        "shopping": _shopping(),
        "plan": plan_printed(sample_plan()),
        "casting": _casting(),
        "day": _day(),
        "kiln": _kiln(),
        "lot": _lot(),
        "tags": _tags(),
    }


CARE = Care("Clay dust", "Fettle damp, sponge seams instead of sanding them, clean wet.")
BY_THE_BOOK = "Seven Gulls Loft · by the book up to entry 130"


def _casting() -> CastingSheet:
    rows = (
        MoldToCast("M-004", "17", ""),
        MoldToCast("M-005", "25", HELD),
        MoldToCast("M-012", "1", THROWN),
    )
    times = "fill 950 ml, stands 15 min (by your test cast: 13:27 to 23:02 min), wall 4.5 mm"
    return CastingSheet(
        title="Wed 25 Nov 2026",
        of="Casting sheet",
        foot=BY_THE_BOOK,
        slip="S-003",
        editions=(
            EditionToCast("Fern jug", times, rows),
            EditionToCast("Gale flask", "", rows[:1]),
        ),
        causes="stuck, torn opening, handle crack, collapse, other",
        cautions=(CARE,),
    )


def grown(sheet: Sheet, rows: int, text: str = "") -> Sheet:
    """Return a sheet with so many rows in its lists, and a text after whatever people typed.

    A list that holds lists stays as long as it is, or five hundred sessions would have as many rows.
    """
    return msgspec.convert(_grown(msgspec.to_builtins(sheet), rows, text), type(sheet))


def _grown(data: Any, rows: int, text: str) -> Any:
    if isinstance(data, dict):
        return {
            name: f"{value} {text}".strip() if name in TYPED else _grown(value, rows, text)
            for name, value in data.items()
        }
    if isinstance(data, list | tuple) and data and isinstance(data[0], dict):
        if any(_has_list(one) for one in data):
            return [_grown(one, rows, text) for one in data[:rows]]
        return [_grown(data[0], rows, text)] * rows
    if isinstance(data, list | tuple) and data and isinstance(data[0], list | tuple):
        return [data[0]] * min(rows, 50)
    return data


def _has_list(data: dict[str, Any]) -> bool:
    return any(isinstance(value, list | tuple) for value in data.values())


def printed_texts(sheet: Sheet) -> Iterator[str]:
    """Yield every text that a sheet prints: its title names the file, a drawing has a sentence."""
    data = msgspec.to_builtins(sheet)
    unprinted = {"title", "of"} if isinstance(sheet, TagSheet | LotSheet) else {"title"}
    unprinted |= {"foot"} if isinstance(sheet, TagSheet) else set()
    return _texts({name: data[name] for name in data if name not in unprinted})


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for name, value in data.items():
            if not name.endswith("_said") and name not in UNPRINTED:
                yield from _texts(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from _texts(value)


def _day() -> DaySheet:
    def group(doing: Doing, *rows: TaskShown) -> TasksShown:
        return TasksShown(TITLES[doing], tuple(one.words for one in BLANKS[doing]), rows)

    return DaySheet(
        title="Wed 25 Nov 2026",
        of="Day sheet",
        foot=BY_THE_BOOK,
        groups=(
            group("read", TaskShown("S-003", "", "white stoneware, third bucket")),
            group("cast", TaskShown("M-004", "Fern jug", "cast 17")),
            group("weigh", TaskShown("M-007", "Fern jug", "drying for 12 days")),
        ),
        broken=tuple(one.words for one in BROKEN),
        causes="A cast is lost by: stuck, torn opening, handle crack, collapse, other.",
        typed_in=TYPED_IN,
        cautions=(CARE,),
    )


def _shopping() -> ShoppingSheet:
    rows = (
        ToBuyShown("2 bags of plaster, 25 kg each", "33.7 kg", "4 kg", "Mon 10 Aug 2026"),
        ToBuyShown("12 straps", "12", "", "Mon 10 Aug 2026"),
    )
    foot = "Seven Gulls Loft · harbor-cup, planned on Mon 3 Aug 2026"
    return ShoppingSheet(
        title="To buy: Harbor cup", of="Harbor cup", foot=foot, rows=rows, note=NOTE
    )


def _kiln() -> KilnSheet:
    load = LoadToFire(
        title="L-010 · glaze",
        name="Fern jug",
        words="6 pieces",
        note="glaze of Fern jug, closed since Tue 24 Nov 2026",
        cone="6",
        marked=("7", "AP 2"),
        full=6,
        holds=9,
        places_said="A shelf with 6 pieces, the marked ones by their numbers.",
        is_third=False,
    )
    return KilnSheet(
        title="Kiln loads: Wed 25 Nov 2026",
        of="Kiln load sheet · Wed 25 Nov 2026",
        foot=BY_THE_BOOK,
        loads=(load,),
        causes=("warp", "crack", "bisque crack", "crawl", "other"),
        cautions=(CARE,),
    )


def _lot() -> LotSheet:
    card = Card(
        label="S-003",
        name="white stoneware, third bucket",
        facts=(FactShown("Dry", "20 kg", ""), FactShown("Water", "7.8 kg", "")),
        readings=(ReadingShown("Wed 18 Nov 2026", "1744 g/l", "36 s", "17 C"),),
        lines=7,
        is_read=True,
        qr=qr_svg("http://studio.lan:8484/lots/S-003"),
        opens_said="A code that opens lot S-003 in the studio.",
    )
    bag = replace(card, label="B-001", name="pottery plaster", readings=(), is_read=False, qr="")
    return LotSheet(
        title="Lot cards: S-003, B-001", of="Lot card", foot=BY_THE_BOOK, cards=(card, bag)
    )


def _tags() -> TagSheet:
    mold = Tag(
        label="M-004",
        of="Fern jug",
        part="mold of 3 parts",
        mass="dry about 3.88 kg; weighed\u00a0________",
        day="poured 27 Aug 2026",
        given=16,
        boxes=24,
        qr=qr_svg("http://studio.lan:8484/shelf/M-004"),
        opens_said="A code that opens mold M-004 in the studio.",
    )
    master = Tag(
        label="F-002",
        of="Fern jug",
        part="master: left half",
        mass="of lot R-001",
        day="made 13 Jan 2026",
        qr=qr_svg("http://studio.lan:8484/records?about=F-002"),
        opens_said="A code that opens F-002 in the studio.",
    )
    lot = Tag(
        label="S-003",
        of="white stoneware, third bucket",
        part="slip",
        mass="",
        day="mixed or opened 17 Nov 2026",
    )
    return TagSheet(
        title="Tags: M-004 and 2 more",
        of="Tags",
        foot=BY_THE_BOOK,
        width_mm=95,
        height_mm=54,
        cut=True,
        note=SCRATCH,
        tags=(mold, master, lot),
    )
