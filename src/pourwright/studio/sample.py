"""A sample studio of our own invention, with one edition closed, one half way and one planned.

Its days are counted back from today, so that whoever opens it finds it in the middle of
its work. Everything in its book is written as a studio writes it, by commands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from pourwright.briefs.studio_file import STUDIO_FILE
from pourwright.errors import BadInput
from pourwright.ledger.book import Book
from pourwright.studio.book import BOOK_FILE, open_book

Told = tuple[int, str, dict[str, Any]]
"""How many working days ago, the verb, and its fields."""

ZONE = "Europe/Copenhagen"
DISH, JUG, FLASK = "moth-dish", "fern-jug", "gale-flask"

STUDIO = """# A sample studio: no such people, no such room.
version = 1

[studio]
name = "Seven Gulls Loft"
country = "DK"
zone = "Europe/Copenhagen"
currency = "DKK"

[time]
hours_a_day = "5 h"

[plaster]
consistency = 70
bag = "25 kg"
bucket = "12 l"
scale_step = "10 g"

[pouring]
working_time = "3 min"
set = "50 min"

[drying]
days_low = 8
days_high = 13

[kiln]
volume = "120 l"
loads_a_week = 2
energy_price = "2.40 DKK/kWh"

[slip]
liter_weight = "1760 g/l"

[prices]
packing = "22.00 DKK/piece"
labor = "190.00 DKK/h"
"""

BRIEFS = {
    DISH: """# A flat dish with a moth in relief. Closed.
version = 1
studio = "../studio.toml"

[edition]
id = "moth-dish"
name = "Moth dish"
pieces = 24
proofs = 2
start = {230}

[preparation]
have = "original"

[mold]
life = 20
conditioning = 1
dry_mass = "4.1 kg"

[casting]
fill = "0.7 l"

[firing]
glaze_load = 10
bisque_load = 17

[sale]
price = "380.00 DKK"
""",
    JUG: """# A jug with a fern up its side: three plaster parts, marked before the glaze.
version = 1
studio = "../studio.toml"

[edition]
id = "fern-jug"
name = "Fern jug"
pieces = 36
proofs = 3
start = {75}
deadline = {-55}

[preparation]
have = "approved"

[mold]
life = 24
conditioning = 1

[[mold.parts]]
name = "left half"
water = "1.55 kg"

[[mold.parts]]
name = "right half"
water = "1.52 kg"

[[mold.parts]]
name = "foot"
water = "0.44 kg"

[casting]
fill = "0.95 l"
wall = "4.5 mm"

[casting.test]
wall = "4 mm"
time = "12 min"

[firing]
glaze_load = 9
bisque_load = 16

[numbers]
marked = "before glaze"

[sale]
price = "690.00 DKK"
""",
    FLASK: """# A flat flask for one stem. Planned, and nothing promised yet.
version = 1
studio = "../studio.toml"

[edition]
id = "gale-flask"
name = "Gale flask"
pieces = 20
proofs = 2
sizes = [16, 28]
start = {4}
deadline = {-120}

[preparation]
have = "original"

[mold]
conditioning = 1

[[mold.parts]]
name = "front"
water = "1.1 kg"

[[mold.parts]]
name = "back"
water = "1.1 kg"

[firing]
glaze_load = 11

[sale]
price = "540.00 DKK"
""",
}


def _casts(edition: str, days: range, lost: dict[int, str], **more: Any) -> Iterator[Told]:
    """Yield one cast from every mold on each day, with what was lost on some."""
    for ago in days:
        told = {"lost": lost[ago]} if ago in lost else {}
        yield ago, "cast", {"edition": edition, "molds": "all", **more, **told}


_DISH = {"edition": DISH}
_DISH_STORY: tuple[Told, ...] = (
    (230, "plan-edition", {**_DISH, "name": "Moth dish", "pieces": 24, "proofs": 2, "life": 20, "molds": 3, "claim_days": 50}),
    (230, "make-form", {**_DISH, "what": "original", "name": "carved plaster original"}),
    (226, "make-form", {**_DISH, "what": "block mold"}),
    (219, "test-cast", {**_DISH, "form": "F-002", "count": 3, "good": 2, "lost": "1 warp", "wall": "5.1 mm"}),
    (208, "approve", {**_DISH, "form": "F-002", "height": "31 mm", "wall": "4.6 mm"}),
    (206, "mix-lot", {"what": "rubber", "name": "tin-free, first can"}),
    (205, "make-form", {**_DISH, "what": "master", "name": "master of the dish", "lot": "R-001", "cure_test": "yes"}),
    (203, "declare", {**_DISH, "pieces": 24, "proofs": 2, "kinds": "numbered, AP", "terms": "No casts after closing; molds and master are destroyed."}),
    (200, "mix-lot", {"what": "plaster", "name": "pottery plaster, first bag", "mass": "25 kg"}),
    (200, "pour", {**_DISH, "count": 3, "lot": "B-001", "water_temperature": "19 C"}),
    (192, "weigh", {"mold": "M-001", "mass": "4.62 kg"}),
    (190, "weigh", {"mold": "M-001", "mass": "4.13 kg"}),
    (189, "weigh", {"mold": "M-001", "mass": "4.12 kg"}),
    (188, "dry", {**_DISH, "molds": "1-3"}),
    (188, "mix-lot", {"what": "slip", "name": "white stoneware, first bucket", "mass": "30 kg", "water": "11.7 kg"}),
    (187, "read-lot", {"lot": "S-001", "liter_weight": "1762 g/l", "flow": "44 s", "temperature": "18 C"}),
    *_casts(DISH, range(186, 174, -1), {183: "1 stuck", 178: "1 warp"}, lot="S-001"),
    (181, "read-lot", {"lot": "S-001", "liter_weight": "1768 g/l", "flow": "49 s"}),
    (174, "load", {**_DISH, "firing": "bisque", "count": 14}),
    (172, "unload", {"load": "L-001", "lost": "1 bisque crack", "cones": "04 down"}),
    (171, "load", {**_DISH, "firing": "bisque", "count": 17}),
    (169, "unload", {"load": "L-002", "cones": "04 down, 03 soft"}),
    (168, "mix-lot", {"what": "glaze", "name": "celadon, first bucket", "mass": "5 kg", "water": "4.2 kg"}),
    (168, "read-lot", {"lot": "G-001", "liter_weight": "1450 g/l"}),
    (167, "glaze", {**_DISH, "count": 10, "lot": "G-001"}),
    (167, "fire", {**_DISH, "firing": "glaze", "count": 10, "cones": "6 down"}),
    (163, "glaze", {**_DISH, "count": 10, "lot": "G-001"}),
    (163, "fire", {**_DISH, "firing": "glaze", "count": 10, "lost": "1 crawl", "cones": "6 down, 7 soft"}),
    (160, "glaze", {**_DISH, "count": 10, "lot": "G-001"}),
    (160, "fire", {**_DISH, "firing": "glaze", "count": 10, "cones": "6 down"}),
    (158, "finish", {**_DISH, "count": 28, "lost": "1 chip"}),
    (157, "mark", {**_DISH, "kind": "proof", "numbers": "1-2"}),
    (157, "mark", {**_DISH, "numbers": "1-24"}),
    (150, "break", {**_DISH, "pieces": "11", "evidence": "shard in box 1"}),
    (149, "mark", {**_DISH, "numbers": "11", "evidence": "shard in box 1"}),
    (146, "sell", {**_DISH, "pieces": "1-22", "price": "380.00 DKK", "reference": "spring list"}),
    (145, "ship", {**_DISH, "pieces": "1-22"}),
    (140, "give", {**_DISH, "pieces": "AP 2", "reference": "the carver of the original"}),
    (132, "return", {**_DISH, "pieces": "5", "note": "wrong address"}),
    (131, "ship", {**_DISH, "pieces": "5"}),
    (120, "break", {**_DISH, "pieces": "17", "evidence": "photo from the buyer", "note": "fell from a wall"}),
    (92, "surplus", {**_DISH, "fate": "destroyed", "count": 1}),
    (91, "destroy", {**_DISH, "molds": "all", "how": "broken up, gypsum waste"}),
    (91, "destroy-form", {**_DISH, "forms": "F-002, F-003", "how": "broken up; the rubber shredded"}),
    (91, "keep-form", {**_DISH, "forms": "F-001", "where": "the loft's wall", "why": "shown beside the first proof"}),
    (90, "close", {**_DISH, "nothing_else": "yes"}),
)  # fmt: skip

_JUG = {"edition": JUG}
_JUG_STORY: tuple[Told, ...] = (
    (75, "plan-edition", {
        **_JUG, "name": "Fern jug", "pieces": 36, "proofs": 3, "life": 24, "molds": 4, "marked": "before glaze",
        "parts": "left half, right half, foot", "claim_days": 60,
    }),
    (75, "make-form", {**_JUG, "what": "block mold"}),
    (74, "approve", {**_JUG, "form": "F-004", "height": "206 mm", "wall": "3.9 mm"}),
    (72, "mix-lot", {"what": "rubber", "name": "tin-free, second can"}),
    (70, "make-form", {**_JUG, "what": "master", "name": "master of the left half", "part": "left half", "lot": "R-002", "cure_test": "yes"}),
    (69, "make-form", {**_JUG, "what": "master", "name": "master of the right half", "part": "right half", "lot": "R-002", "cure_test": "yes"}),
    (68, "make-form", {**_JUG, "what": "master", "name": "master of the foot", "part": "foot", "lot": "R-002", "cure_test": "yes"}),
    (67, "declare", {**_JUG, "pieces": 36, "proofs": 3, "kinds": "numbered, AP", "terms": "No casts after closing; molds and masters are destroyed."}),
    (64, "mix-lot", {"what": "plaster", "name": "pottery plaster, second bag", "mass": "25 kg"}),
    (64, "pour", {**_JUG, "count": 3, "lot": "B-002", "water_temperature": "20 C", "soak": "2 min", "mix": "3 min", "set": "21 min"}),
    (64, "log-thermometer", {
        **_JUG, "mold": "M-004", "thickness": "46 mm", "one_face": "yes", "lot": "B-002", "poured": "8 min",
        "mix_temperature": "20.5 C", "room_temperature": "19 C",
        "readings": "4 min 20.5 C; 8 min 21.1 C; 12 min 22.1 C; 16 min 25.4 C; 20 min 29 C; 24 min 34.7 C; 28 min 40.5 C; "
        "32 min 44.9 C; 36 min 48.9 C; 40 min 49.9 C; 45 min 50.1 C; 50 min 49.4 C; 60 min 49.1 C; 70 min 47.9 C",
    }),
    (64, "pour-part", {**_JUG, "part": "foot", "lot": "B-002"}),
    (57, "weigh", {"mold": "M-004", "mass": "6.31 kg"}),
    (55, "weigh", {"mold": "M-004", "mass": "5.84 kg"}),
    (54, "weigh", {"mold": "M-004", "mass": "5.83 kg"}),
    (54, "dry", {**_JUG, "molds": "4-6"}),
    (53, "mix-lot", {"what": "slip", "name": "white stoneware, second bucket", "mass": "40 kg", "water": "15.6 kg"}),
    (53, "read-lot", {"lot": "S-002", "liter_weight": "1759 g/l", "flow": "41 s", "temperature": "19 C"}),
    *_casts(JUG, range(52, 46, -1), {50: "1 torn opening", 48: "1 handle crack"}, lot="S-002"),
    (46, "break-part", {"mold": "M-006", "part": "foot", "how": "slipped off the bench"}),
    (46, "swap-part", {"mold": "M-006", "part": "foot", "spare": "T-001"}),
    (45, "judge", {**_JUG, "molds": "4-6", "verdict": "same", "reference": "the first test cast"}),
    (44, "load", {**_JUG, "firing": "bisque", "count": 13}),
    (42, "unload", {"load": "L-006", "lost": "1 bisque crack", "cones": "04 down"}),
    (40, "mark", {**_JUG, "kind": "proof", "numbers": "1-3"}),
    (40, "mark", {**_JUG, "numbers": "1-6"}),
    (40, "mix-lot", {"what": "glaze", "name": "celadon, second bucket", "mass": "6 kg", "water": "5.1 kg"}),
    (40, "glaze", {**_JUG, "pieces": "AP 1, AP 2, AP 3, 1-6", "lot": "G-002"}),
    (40, "fire", {**_JUG, "firing": "glaze", "pieces": "AP 1, AP 2, AP 3, 1-6", "lost_pieces": "4 crawl", "cones": "6 down"}),
    (38, "finish", {**_JUG, "pieces": "AP 1, AP 2, AP 3, 1-3, 5, 6"}),
    (37, "dry", {**_JUG, "molds": "6"}),
    (36, "read-lot", {"lot": "S-002", "liter_weight": "1771 g/l", "flow": "53 s", "temperature": "21 C"}),
    *_casts(JUG, range(34, 27, -1), {32: "1 stuck", 29: "1 pinhole"}, lot="S-002"),
    (26, "lose", {**_JUG, "stage": "greenware", "lost": "1 warp"}),
    (25, "judge", {**_JUG, "molds": "4", "verdict": "softer", "reference": "AP 1"}),
    (24, "fire", {**_JUG, "firing": "bisque", "count": 16, "lost": "1 bisque crack", "cones": "04 down"}),
    (22, "mark", {**_JUG, "numbers": "7-15"}),
    (21, "glaze", {**_JUG, "pieces": "7-15", "lot": "G-002"}),
    (21, "load", {**_JUG, "firing": "glaze", "pieces": "7-15"}),
    (19, "unload", {"load": "L-009", "lost_pieces": "9 warp", "cones": "6 down, 7 soft", "evidence": "shard in box 2"}),
    (18, "finish", {**_JUG, "pieces": "7, 8, 10-13"}),
    (15, "sell", {**_JUG, "pieces": "1, 2, 3, 5, 7", "price": "690.00 DKK"}),
    (14, "ship", {**_JUG, "pieces": "1, 2, 3"}),
    (12, "mark", {**_JUG, "numbers": "16-22"}),
    (10, "count-stock", {**_JUG, "counts": {"greenware": 3, "bisque": 9}, "note": "shelf by shelf"}),
    (8, "mix-lot", {"what": "plaster", "name": "pottery plaster, third bag", "mass": "25 kg"}),
    (8, "pour", {**_JUG, "count": 1, "lot": "B-003"}),
    (8, "log-thermometer", {
        **_JUG, "mold": "M-007", "thickness": "46 mm", "one_face": "yes", "lot": "B-003", "poured": "9 min",
        "mix_temperature": "18.5 C", "room_temperature": "17 C",
        "readings": "5 min 18.6 C; 10 min 19.1 C; 15 min 21.7 C; 20 min 25.3 C; 25 min 31.6 C; 30 min 37.3 C; 35 min 43.5 C; "
        "40 min 47.3 C; 45 min 47.7 C; 55 min 47.6 C; 65 min 46.4 C",
    }),
    (6, "mix-lot", {"what": "slip", "name": "white stoneware, third bucket", "mass": "20 kg", "water": "7.8 kg"}),
    (5, "read-lot", {"lot": "S-003", "liter_weight": "1744 g/l", "flow": "36 s", "temperature": "17 C"}),
    *_casts(JUG, range(5, 2, -1), {4: "1 torn opening"}, molds="4-6", lot="S-003"),
    (4, "weigh", {"mold": "M-007", "mass": "6.88 kg"}),
    (3, "weigh", {"mold": "M-007", "mass": "6.57 kg"}),
    (2, "weigh", {"mold": "M-007", "mass": "6.33 kg"}),
    (2, "glaze", {**_JUG, "pieces": "16-21", "lot": "G-002"}),
    (2, "load", {**_JUG, "firing": "glaze", "pieces": "16-21"}),
    (1, "note", {**_JUG, "about": "M-004", "text": "the fern's tip is getting soft; hold it beside AP 1 after the next cast"}),
)  # fmt: skip

_FLASK = {"edition": FLASK}
_FLASK_STORY: tuple[Told, ...] = (
    (4, "plan-edition", {**_FLASK, "name": "Gale flask", "pieces": 20, "proofs": 2, "parts": "front, back"}),
    (4, "make-form", {**_FLASK, "what": "original", "name": "carved clay original"}),
    (1, "note", {**_FLASK, "text": "try the lip two millimeters wider before the block mold"}),
)  # fmt: skip

STORY: tuple[Told, ...] = (*_DISH_STORY, *_JUG_STORY, *_FLASK_STORY)
"""Everything that happened, each edition in its order."""


EVENING = time(18, 0)
_SATURDAY = 5


def lay_out_sample(folder: Path, now: datetime) -> int:
    """Lay out the sample studio in a folder.

    Parameters
    ----------
    folder : Path
        Where it is laid out; made if there is none.
    now : datetime
        The instant, with its time zone; the story ends the working day before.

    Returns
    -------
    int
        The entries of its book; 0 if a studio is there already, which stays as it is.

    Raises
    ------
    BadInput
        If something else is in the folder.
    """
    if (folder / BOOK_FILE).exists() and (folder / STUDIO_FILE).exists():
        return 0
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BadInput.one("FOLDER", str(folder), "write a folder that is empty, or a new one")
    here = now.astimezone(ZoneInfo(ZONE))
    _write_files(folder, here.date())
    book = open_book(folder)
    with book.store:
        return _tell(book, here.date(), commands(here.date()))


def _write_files(folder: Path, today: date) -> None:
    (folder / "editions").mkdir(parents=True, exist_ok=True)
    (folder / STUDIO_FILE).write_text(STUDIO, encoding="utf-8")
    for name, brief in BRIEFS.items():
        path = folder / "editions" / f"{name}.toml"
        path.write_text(in_days(brief, today), encoding="utf-8")


def _tell(book: Book, today: date, told: Iterable[tuple[int, dict[str, Any]]]) -> int:
    """Write down what happened, each thing in the evening of its day."""
    entries = 0
    for ago, command in told:
        evening = datetime.combine(work_day(today, ago), EVENING, ZoneInfo(ZONE))
        entries = int(book.do(command, evening)["seq"])
    return entries


def commands(today: date) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield the story as commands, each with how many working days ago it happened.

    Parameters
    ----------
    today : date
        The day it is.
    """
    for number, (ago, verb, fields) in enumerate(sorted(STORY, key=lambda one: -one[0])):
        command = {"do": verb, "id": f"sample-{number:03d}", **fields}
        if verb == "plan-edition":
            command["brief"] = in_days(BRIEFS[fields["edition"]], today)
        yield ago, command


def work_day(today: date, ago: int) -> date:
    """Return the working day, Monday to Friday, that was so many working days ago.

    Parameters
    ----------
    today : date
        The day it is.
    ago : int
        Working days before it, at least one; less than none for days ahead. [-]

    Examples
    --------
    >>> work_day(date(2036, 3, 3), 1).isoformat(), work_day(date(2036, 3, 3), -1).isoformat()
    ('2036-02-29', '2036-03-04')
    """
    step, left, day = (-1 if ago > 0 else 1), abs(ago), today
    while left:
        day += timedelta(days=step)
        left -= day.weekday() < _SATURDAY
    return day


def in_days(text: str, today: date) -> str:
    """Return a brief with its days written out: ``{-60}`` is sixty working days ahead.

    Parameters
    ----------
    text : str
        The brief.
    today : date
        The day it is.

    Examples
    --------
    >>> in_days("start = {2}", date(2036, 3, 5))
    'start = 2036-03-03'
    """
    head, *rest = text.split("{")
    parts = (one.split("}", 1) for one in rest)
    return head + "".join(work_day(today, int(ago)).isoformat() + after for ago, after in parts)
