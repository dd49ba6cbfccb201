"""A sample studio of our own invention, with one edition closed, one half way and one planned.

Its days are counted back from today, so that whoever opens it finds it in the middle of
its work. Everything in its book is written as a studio writes it, by commands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from importlib.resources import files
from pathlib import Path
from zoneinfo import ZoneInfo

from pourwright.briefs.studio_file import STUDIO_FILE
from pourwright.errors import BadInput
from pourwright.ledger.book import Book
from pourwright.studio.book import BOOK_FILE, open_book

Told = tuple[int, str, dict[str, object]]
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
    FLASK: """# A flat flask for one stem, its mold worked out from a model. Planned, and nothing promised yet.
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
shape = "gale-flask-mold/gale-flask-shape.json"

[firing]
glaze_load = 11

[sale]
price = "540.00 DKK"
""",
}


def _told(ago: int, verb: str, **fields: object) -> Told:
    return ago, verb, fields


def _dish(ago: int, verb: str, **fields: object) -> Told:
    return _told(ago, verb, edition=DISH, **fields)


def _jug(ago: int, verb: str, **fields: object) -> Told:
    return _told(ago, verb, edition=JUG, **fields)


def _flask(ago: int, verb: str, **fields: object) -> Told:
    return _told(ago, verb, edition=FLASK, **fields)


def _casts(edition: str, days: range, lost: dict[int, str], **more: object) -> Iterator[Told]:
    """Yield one cast from every mold on each day, with what was lost on some."""
    for ago in days:
        told: dict[str, object] = {"molds": "all", **more}
        if ago in lost:
            told["lost"] = lost[ago]
        yield _told(ago, "cast", edition=edition, **told)


_DISH_STORY: tuple[Told, ...] = (
    _dish(
        230, "plan-edition", name="Moth dish", pieces=24, proofs=2, life=20, molds=3, claim_days=50
    ),
    _dish(230, "make-form", what="original", name="carved plaster original"),
    _dish(226, "make-form", what="block mold"),
    _dish(219, "test-cast", form="F-002", count=3, good=2, lost="1 warp", wall="5.1 mm"),
    _dish(208, "approve", form="F-002", height="31 mm", wall="4.6 mm"),
    _told(206, "mix-lot", what="rubber", name="tin-free, first can"),
    _dish(205, "make-form", what="master", name="master of the dish", lot="R-001", cure_test="yes"),
    _dish(
        203,
        "declare",
        pieces=24,
        proofs=2,
        kinds="numbered, AP",
        terms="No casts after closing; molds and master are destroyed.",
    ),
    _told(200, "mix-lot", what="plaster", name="pottery plaster, first bag", mass="25 kg"),
    _dish(200, "pour", count=3, lot="B-001", water_temperature="19 C"),
    _told(192, "weigh", mold="M-001", mass="4.62 kg"),
    _told(190, "weigh", mold="M-001", mass="4.13 kg"),
    _told(189, "weigh", mold="M-001", mass="4.12 kg"),
    _dish(188, "dry", molds="1-3"),
    _told(
        188,
        "mix-lot",
        what="slip",
        name="white stoneware, first bucket",
        mass="30 kg",
        water="11.7 kg",
    ),
    _told(187, "read-lot", lot="S-001", liter_weight="1762 g/l", flow="44 s", temperature="18 C"),
    *_casts(DISH, range(186, 174, -1), {183: "1 stuck", 178: "1 warp"}, lot="S-001"),
    _told(181, "read-lot", lot="S-001", liter_weight="1768 g/l", flow="49 s"),
    _dish(174, "load", firing="bisque", count=14),
    _told(172, "unload", load="L-001", lost="1 bisque crack", cones="04 down"),
    _dish(171, "load", firing="bisque", count=17),
    _told(169, "unload", load="L-002", cones="04 down, 03 soft"),
    _told(168, "mix-lot", what="glaze", name="celadon, first bucket", mass="5 kg", water="4.2 kg"),
    _told(168, "read-lot", lot="G-001", liter_weight="1450 g/l"),
    _dish(167, "glaze", count=10, lot="G-001"),
    _dish(167, "fire", firing="glaze", count=10, cones="6 down"),
    _dish(163, "glaze", count=10, lot="G-001"),
    _dish(163, "fire", firing="glaze", count=10, lost="1 crawl", cones="6 down, 7 soft"),
    _dish(160, "glaze", count=10, lot="G-001"),
    _dish(160, "fire", firing="glaze", count=10, cones="6 down"),
    _dish(158, "finish", count=28, lost="1 chip"),
    _dish(157, "mark", kind="proof", numbers="1-2"),
    _dish(157, "mark", numbers="1-24"),
    _dish(150, "break", pieces="11", evidence="shard in box 1"),
    _dish(149, "mark", numbers="11", evidence="shard in box 1"),
    _dish(146, "sell", pieces="1-22", price="380.00 DKK", reference="spring list"),
    _dish(145, "ship", pieces="1-22"),
    _dish(140, "give", pieces="AP 2", reference="the carver of the original"),
    _dish(132, "return", pieces="5", note="wrong address"),
    _dish(131, "ship", pieces="5"),
    _dish(120, "break", pieces="17", evidence="photo from the buyer", note="fell from a wall"),
    _dish(92, "surplus", fate="destroyed", count=1),
    _dish(91, "destroy", molds="all", how="broken up, gypsum waste", go_on=True),
    _dish(
        91,
        "destroy-form",
        forms="F-002, F-003",
        how="broken up; the rubber shredded",
        filler="1.9 kg",
        go_on=True,
    ),
    _dish(
        91, "keep-form", forms="F-001", where="the loft's wall", why="shown beside the first proof"
    ),
    _dish(90, "close", nothing_else="yes"),
)

_JUG_STORY: tuple[Told, ...] = (
    _jug(
        75,
        "plan-edition",
        name="Fern jug",
        pieces=36,
        proofs=3,
        life=24,
        molds=4,
        marked="before glaze",
        parts="left half, right half, foot",
        claim_days=60,
    ),
    _jug(75, "make-form", what="block mold"),
    _jug(74, "approve", form="F-004", height="206 mm", wall="3.9 mm"),
    _told(72, "mix-lot", what="rubber", name="tin-free, second can"),
    _jug(
        70,
        "make-form",
        what="master",
        name="master of the left half",
        part="left half",
        lot="R-002",
        cure_test="yes",
    ),
    _jug(
        69,
        "make-form",
        what="master",
        name="master of the right half",
        part="right half",
        lot="R-002",
        cure_test="yes",
    ),
    _jug(
        68,
        "make-form",
        what="master",
        name="master of the foot",
        part="foot",
        lot="R-002",
        cure_test="yes",
    ),
    _jug(
        67,
        "declare",
        pieces=36,
        proofs=3,
        kinds="numbered, AP",
        terms="No casts after closing; molds and masters are destroyed.",
    ),
    _told(64, "mix-lot", what="plaster", name="pottery plaster, second bag", mass="25 kg"),
    _jug(
        64,
        "pour",
        count=3,
        lot="B-002",
        water_temperature="20 C",
        soak="2 min",
        mix="3 min",
        set="21 min",
    ),
    _jug(
        64,
        "log-thermometer",
        mold="M-004",
        thickness="46 mm",
        one_face="yes",
        lot="B-002",
        poured="8 min",
        mix_temperature="20.5 C",
        room_temperature="19 C",
        readings="4 min 20.5 C; 8 min 21.1 C; 12 min 22.1 C; 16 min 25.4 C; 20 min 29 C; 24 min 34.7 C; 28 min 40.5 C; "
        "32 min 44.9 C; 36 min 48.9 C; 40 min 49.9 C; 45 min 50.1 C; 50 min 49.4 C; 60 min 49.1 C; 70 min 47.9 C",
    ),
    _jug(64, "pour-part", part="foot", lot="B-002"),
    # by its brief such a mold weighs 5.56 kg when it is opened and 3.88 kg dry
    _told(57, "weigh", mold="M-004", mass="4.16 kg"),
    _told(55, "weigh", mold="M-004", mass="3.90 kg"),
    _told(54, "weigh", mold="M-004", mass="3.89 kg"),
    _jug(54, "dry", molds="4-6"),
    _told(
        53,
        "mix-lot",
        what="slip",
        name="white stoneware, second bucket",
        mass="40 kg",
        water="15.6 kg",
    ),
    _told(53, "read-lot", lot="S-002", liter_weight="1759 g/l", flow="41 s", temperature="19 C"),
    *_casts(JUG, range(52, 46, -1), {50: "1 torn opening", 48: "1 handle crack"}, lot="S-002"),
    _told(46, "break-part", mold="M-006", part="foot", how="slipped off the bench"),
    _told(46, "swap-part", mold="M-006", part="foot", spare="T-001"),
    _jug(45, "judge", molds="4-6", verdict="same", reference="the first test cast"),
    _jug(44, "load", firing="bisque", count=13),
    _told(42, "unload", load="L-006", lost="1 bisque crack", cones="04 down"),
    _jug(40, "mark", kind="proof", numbers="1-3"),
    _jug(40, "mark", numbers="1-6"),
    _told(40, "mix-lot", what="glaze", name="celadon, second bucket", mass="6 kg", water="5.1 kg"),
    _jug(40, "glaze", pieces="AP 1, AP 2, AP 3, 1-6", lot="G-002"),
    _jug(
        40,
        "fire",
        firing="glaze",
        pieces="AP 1, AP 2, AP 3, 1-6",
        lost_pieces="4 crawl",
        cones="6 down",
    ),
    _jug(38, "finish", pieces="AP 1, AP 2, AP 3, 1-3, 5, 6"),
    _jug(37, "dry", molds="6"),
    _told(36, "read-lot", lot="S-002", liter_weight="1771 g/l", flow="53 s", temperature="21 C"),
    *_casts(JUG, range(34, 27, -1), {32: "1 stuck", 29: "1 pinhole"}, lot="S-002"),
    _jug(26, "lose", stage="greenware", lost="1 warp"),
    _jug(25, "judge", molds="4", verdict="softer", reference="AP 1"),
    _jug(24, "fire", firing="bisque", count=16, lost="1 bisque crack", cones="04 down"),
    _jug(22, "mark", numbers="7-15"),
    _jug(21, "glaze", pieces="7-15", lot="G-002"),
    _jug(21, "load", firing="glaze", pieces="7-15"),
    _told(
        19,
        "unload",
        load="L-009",
        lost_pieces="9 warp",
        cones="6 down, 7 soft",
        evidence="shard in box 2",
    ),
    _jug(18, "finish", pieces="7, 8, 10-13"),
    _jug(15, "sell", pieces="1, 2, 3, 5, 7", price="690.00 DKK"),
    _jug(14, "ship", pieces="1, 2, 3"),
    _jug(12, "mark", numbers="16-22"),
    _jug(10, "count-stock", counts={"greenware": 3, "bisque": 9}, note="shelf by shelf"),
    _told(8, "mix-lot", what="plaster", name="pottery plaster, third bag", mass="25 kg"),
    _jug(8, "pour", count=1, lot="B-003"),
    _jug(
        8,
        "log-thermometer",
        mold="M-007",
        thickness="46 mm",
        one_face="yes",
        lot="B-003",
        poured="9 min",
        mix_temperature="18.5 C",
        room_temperature="17 C",
        readings="5 min 18.6 C; 10 min 19.1 C; 15 min 21.7 C; 20 min 25.3 C; 25 min 31.6 C; 30 min 37.3 C; 35 min 43.5 C; "
        "40 min 47.3 C; 45 min 47.7 C; 55 min 47.6 C; 65 min 46.4 C",
    ),
    _told(
        6,
        "mix-lot",
        what="slip",
        name="white stoneware, third bucket",
        mass="20 kg",
        water="7.8 kg",
    ),
    _told(5, "read-lot", lot="S-003", liter_weight="1744 g/l", flow="36 s", temperature="17 C"),
    *_casts(JUG, range(5, 2, -1), {4: "1 torn opening"}, molds="4-6", lot="S-003"),
    _told(4, "weigh", mold="M-007", mass="5.02 kg"),
    _told(3, "weigh", mold="M-007", mass="4.90 kg"),
    _told(2, "weigh", mold="M-007", mass="4.79 kg"),
    _jug(2, "glaze", pieces="16-21", lot="G-002"),
    _jug(2, "load", firing="glaze", pieces="16-21"),
    _jug(
        1,
        "note",
        about="M-004",
        text="the fern's tip is getting soft; hold it beside AP 1 after the next cast",
    ),
)

_FLASK_STORY: tuple[Told, ...] = (
    _flask(4, "plan-edition", name="Gale flask", pieces=20, proofs=2, parts="base, half 1, half 2"),
    _flask(4, "make-form", what="original", name="carved clay original"),
    _flask(1, "note", text="try the lip two millimeters wider before the block mold"),
)

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
    book = open_book(folder, anew=True)  # invented; what lay here before was no more
    book.store.go_on()
    with book.store:
        return _tell(book, here.date(), sample_commands(here.date()))


def _write_files(folder: Path, today: date) -> None:
    (folder / "editions").mkdir(parents=True, exist_ok=True)
    (folder / STUDIO_FILE).write_text(STUDIO, encoding="utf-8")
    for name, brief in BRIEFS.items():
        path = folder / "editions" / f"{name}.toml"
        path.write_text(in_days(brief, today), encoding="utf-8")
    mold = folder / "editions" / f"{FLASK}-mold"
    mold.mkdir()
    for one in (files("pourwright.studio") / "sample_mold").iterdir():
        (mold / one.name).write_bytes(one.read_bytes())


def _tell(book: Book, today: date, told: Iterable[tuple[int, dict[str, object]]]) -> int:
    """Write down what happened, each thing in the evening of its day."""
    entries = 0
    for ago, command in told:
        evening = datetime.combine(work_day(today, ago), EVENING, ZoneInfo(ZONE))
        entries = book.do(command, evening).seq
    return entries


def sample_commands(today: date) -> Iterator[tuple[int, dict[str, object]]]:
    """Yield the story as commands, each with how many working days ago it happened."""
    for number, (ago, verb, fields) in enumerate(sorted(STORY, key=lambda one: -one[0])):
        command: dict[str, object] = {"do": verb, "id": f"sample-{number:03d}", **fields}
        if verb == "plan-edition":
            command["brief"] = in_days(BRIEFS[str(fields["edition"])], today)
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

    Examples
    --------
    >>> in_days("start = {2}", date(2036, 3, 5))
    'start = 2036-03-03'
    """
    head, *rest = text.split("{")
    parts = (one.split("}", 1) for one in rest)
    return head + "".join(work_day(today, int(ago)).isoformat() + after for ago, after in parts)
