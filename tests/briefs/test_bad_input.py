"""What can be wrong with the two files: each case gives its sentence, and nothing else escapes."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import NamedTuple

import pytest

from pourwright.briefs.reading import read_brief
from pourwright.briefs.studio_file import read_studio
from pourwright.errors import BadInput

TODAY = date(2031, 3, 3)

STUDIO = """\
version = 1
[studio]
currency = "EUR"
[time]
people = 1
[plaster]
bucket = "10 l"
[pouring]
session = "6 h"
[drying]
days_high = 14
[kiln]
loads_a_week = 2
[slip]
solids_density = 2.6
[prices]
packing = "2 EUR/piece"
"""
US_STUDIO = STUDIO.replace('currency = "EUR"', 'currency = "EUR"\nunits = "us"')
EDITION = """\
version = 1
[edition]
id = "reed-cup"
pieces = 24
[preparation]
test_casts = 4
[mold]
life = 25
[[mold.parts]]
name = "left"
water = "1.9 kg"
[[mold.parts]]
name = "right"
volume = "1.8 l"
[casting]
fill = "0.8 l"
[losses]
drying = "3 %"
[firing]
glaze_load = 12
[glaze]
area = "600 cm2"
[dimensions]
height = "90 mm"
[numbers]
marked = "end"
"""


def s(old: str, new: str) -> str:
    """Return the studio with a line changed."""
    assert old in STUDIO
    return STUDIO.replace(old, new, 1)


def e(old: str, new: str) -> str:
    """Return the edition with a line changed."""
    assert old in EDITION
    return EDITION.replace(old, new, 1)


def in_table(text: str, table: str, line: str) -> str:
    """Return the file with a line added to a table."""
    assert f"[{table}]\n" in text
    return text.replace(f"[{table}]\n", f"[{table}]\n{line}\n", 1)


class Case(NamedTuple):
    """A studio and an edition, and what the one complaint must say."""

    name: str
    studio: str
    edition: str
    path: str
    says: tuple[str, ...]


def wrong_edition(name: str, edition: str, path: str, *says: str) -> Case:
    return Case(name, STUDIO, edition, path, says)


def wrong_studio(name: str, studio: str, path: str, *says: str) -> Case:
    return Case(name, studio, EDITION, path, says)


def wrong_line(name: str, table: str, line: str, *says: str) -> Case:
    """A line added to the edition; its own key is the path complained of."""
    key = line.partition("=")[0].strip()
    return Case(name, STUDIO, in_table(EDITION, table, line), f"{table}.{key}", says)


def wrong_studio_line(name: str, table: str, line: str, *says: str) -> Case:
    """A line added to the studio; its own key is the path complained of."""
    key = line.partition("=")[0].strip()
    return Case(name, in_table(STUDIO, table, line), EDITION, f"{table}.{key}", says)


LEFT, RIGHT = "mold.parts[1]", "mold.parts[2]"
WATER = 'water = "1.9 kg"'

CASES = (
    # --- names
    wrong_edition("misspelled key", e("life = 25", "lief = 25"), "mold.lief", "25", "no such field", "mold.life"),
    wrong_edition("misspelled table", e("[casting]", "[castng]"), "castng", "a table", "Did you mean casting?"),
    wrong_edition("misspelled key in a part", e(WATER, 'watr = "1.9 kg"\nvolume = "1.9 l"'), f"{LEFT}.watr",
                  '"1.9 kg"', "Did you mean mold.parts[1].water?"),
    wrong_edition("misspelled choice", e('"end"', '"leather hard"'), "numbers.marked", '"leather hard"',
                  '"leather-hard", "before glaze", "end"', "Did you mean leather-hard?"),
    wrong_edition("a name like no other", in_table(EDITION, "glaze", "zebra = 1"), "glaze.zebra", "1", "area, coat"),
    wrong_edition("a field of the other file", in_table(EDITION, "mold", "loads_a_week = 2"), "mold.loads_a_week",
                  "2", "kiln.loads_a_week", "studio.toml"),
    wrong_edition("a field of another table", in_table(EDITION, "mold", "glaze_load = 2"), "mold.glaze_load",
                  "2", "firing.glaze_load"),
    wrong_edition("a key with a line end in it", EDITION + '"a\\nb" = 1\n', 'numbers."a?b"', "1", "no such field"),
    wrong_studio("misspelled key of the studio", s('bucket = "10 l"', 'buckt = "10 l"'), "plaster.buckt",
                 '"10 l"', "Did you mean plaster.bucket?"),
    wrong_studio("misspelled table of the studio", s("[plaster]", "[plasters]"), "plasters", "a table",
                 "Did you mean plaster?"),
    wrong_studio_line("misspelled weekday", "time", 'working_days = ["mon", "tus"]', '"tus"', '"tue"', "Did you mean"),
    wrong_edition("a table where a value belongs", in_table(EDITION, "mold", "conditioning = {casts = 1}"),
                  "mold.conditioning", "a table", "a whole number"),
    wrong_edition("a value where a table belongs", e('[casting]\nfill = "0.8 l"', "").replace(
                  "version = 1", "version = 1\ncasting = 3"), "casting", "3", "it must be a table", "[casting]"),
    wrong_edition("a table where a list of tables belongs", e("[[mold.parts]]\nname = \"left\"\nwater = \"1.9 kg\"\n"
                  "[[mold.parts]]", "[mold.parts]"), "mold.parts", "a table", "[[mold.parts]]"),
    # --- what must be there
    wrong_edition("no pieces", e("pieces = 24\n", ""), "edition.pieces", "missing", "pieces = 48"),
    wrong_edition("no id", e('id = "reed-cup"\n', ""), "edition.id", "missing", 'id = "tide-cup"'),
    wrong_edition("no glaze load", e("glaze_load = 12\n", ""), "firing.glaze_load", "missing", "glaze_load = 18"),
    wrong_studio("a third of a load a week", s("loads_a_week = 2\n", "loads_a_week = 2.3\n"), "kiln.loads_a_week",
                 "2.3", "write 2 or 2.5"),
    wrong_studio("a load in four weeks", s("loads_a_week = 2\n", 'loads_a_week = "0.25 a week"\n'), "kiln.loads_a_week",
                 "0.25", "write 0.5 or 1"),
    wrong_studio("no loads a week", s("loads_a_week = 2\n", ""), "kiln.loads_a_week", "missing", "loads_a_week = 2"),
    wrong_edition("no version", e("version = 1\n", ""), "version", "missing", "version = 1"),
    wrong_edition("a newer version", e("version = 1", "version = 7"), "version", "7", "reads version 1", "newer release"),
    wrong_edition("a version before the first", e("version = 1", "version = 0"), "version", "0", "version = 1"),
    wrong_studio("a newer version of the studio", s("version = 1", "version = 2"), "version", "2", "reads version 1"),
    wrong_edition("a version in quotes", e("version = 1", 'version = "1"'), "version", '"1"', "Leave out the quotes"),
    wrong_edition("no mold", EDITION[: EDITION.index("[[mold.parts]]")] + EDITION[EDITION.index("[casting]"):],
                  "mold", "not told", "dry_mass", "[[mold.parts]]"),
    # --- dimensions and numbers
    wrong_edition("a mass where a volume belongs", e('fill = "0.8 l"', 'fill = "6 lb"'), "casting.fill", '"6 lb"',
                  "that is a mass", "a volume belongs here"),
    wrong_edition("a volume where a mass belongs", e(WATER, 'water = "2 l"'), f"{LEFT}.water", '"2 l"',
                  "that is a volume", "a mass belongs here"),
    wrong_edition("a comma", e('fill = "0.8 l"', 'fill = "2,5 l"'), "casting.fill", '"2,5 l"', '"2.5 l"', '"2500 l"'),
    wrong_edition("a bare number", e('fill = "0.8 l"', "fill = 0.8"), "casting.fill", "0.8", "which unit", '"0.85 l"'),
    wrong_edition("a bare pint in a metric studio", e('fill = "0.8 l"', 'fill = "2 pints"'), "casting.fill",
                  '"2 pints"', '"2 US pints"', '"2 imperial pints"'),
    wrong_edition("an unknown unit", e('fill = "0.8 l"', 'fill = "2 jugs"'), "casting.fill", '"2 jugs"', "jugs",
                  "not a unit of volume"),
    wrong_edition("a misspelled unit", e(WATER, 'water = "2 klio"'), f"{LEFT}.water", '"2 klio"', "Did you mean kilo?"),
    wrong_edition("no number", e(WATER, 'water = "kg"'), f"{LEFT}.water", '"kg"', "a number and its unit"),
    wrong_edition("an empty quantity", e(WATER, 'water = ""'), f"{LEFT}.water", '""', '"1.9 kg"'),
    wrong_edition("not a number", e("life = 25", "life = nan"), "mold.life", "nan", "whole number", "unknown"),
    wrong_edition("infinite", e('fill = "0.8 l"', "fill = inf"), "casting.fill", "inf", "a volume"),
    wrong_edition("negative mass", e(WATER, 'water = "-1.9 kg"'), f"{LEFT}.water", '"-1.9 kg"', "between 5 g and 150 kg"),
    wrong_edition("nothing", e(WATER, 'water = "0 kg"'), f"{LEFT}.water", '"0 kg"', "between 5 g and 150 kg"),
    wrong_edition("a three-tonne part", e(WATER, 'water = "3 t"'), f"{LEFT}.water", '"3 t"', "150 kg"),
    wrong_edition("a share above one", e('drying = "3 %"', "drying = 3"), "losses.drying", "3", '"3 %"'),
    wrong_edition("a confidence of nothing", e("pieces = 24", 'pieces = 24\nconfidence = "0 %"'),
                  "edition.confidence", '"0 %"', "50 %"),
    wrong_edition("a confidence of certainty", e("pieces = 24", 'pieces = 24\nconfidence = "100 %"'),
                  "edition.confidence", '"100 %"', "99 %"),
    wrong_edition("a confidence that is a count", e("pieces = 24", "pieces = 24\nconfidence = 90"),
                  "edition.confidence", "90", '"90 %"'),
    wrong_edition("fewer than no casts counted", e('drying = "3 %"', 'drying = "3 %"\nfrom_casts = -1'),
                  "losses.from_casts", "-1", "0"),
    wrong_studio("most loads spoiled", s("loads_a_week = 2", 'loads_a_week = 2\nspoiled_loads = "80 %"'),
                 "kiln.spoiled_loads", '"80 %"', "50 %"),
    wrong_edition("everything lost", e('drying = "3 %"', 'drying = "100 %"'), "losses.drying", '"100 %"',
                  "less than 100 %"),
    wrong_edition("less than nothing lost", e('drying = "3 %"', 'drying = "-3 %"'), "losses.drying", '"-3 %"',
                  "at least 0 %"),
    wrong_edition("a true share", e('drying = "3 %"', "drying = true"), "losses.drying", "true", "a share", '"2 %"'),
    wrong_edition("a huge whole number", e("pieces = 24", "pieces = " + "9" * 40), "edition.pieces", "more than 18 digits",
                  "between 1 and 10000"),
    wrong_studio("a huge number", s("solids_density = 2.6", "solids_density = 1" + "0" * 400), "slip.solids_density",
                 "more than 18 digits", "a number"),
    # --- counts
    wrong_edition("no piece at all", e("pieces = 24", "pieces = 0"), "edition.pieces", "0", "between 1 and 10000"),
    wrong_edition("a million pieces", e("pieces = 24", "pieces = 1000000"), "edition.pieces", "1000000", "10000"),
    wrong_edition("half a piece", e("pieces = 24", "pieces = 24.5"), "edition.pieces", "24.5", "a whole number"),
    wrong_edition("a whole number with decimals", e("pieces = 24", "pieces = 24.0"), "edition.pieces", "24.0", "Write 24."),
    wrong_edition("a number in quotes", e("pieces = 24", 'pieces = "24"'), "edition.pieces", '"24"', "Leave out the quotes"),
    wrong_line("more proofs than pieces", "edition", "proofs = 25", "25", "the 24 pieces"),
    wrong_line("a size of nothing", "edition", "sizes = [12, 0]", "0", "between 1 and"),
    wrong_line("sizes that are no list", "edition", "sizes = 12", "12", "a list in brackets"),
    wrong_line("a hundred sizes", "edition", f"sizes = {list(range(1, 101))}", "[1, 2", "at most 60"),
    wrong_line("more molds than allowed", "edition", "molds = 5\nmolds_at_most = 4", "5", "edition.molds_at_most", "4"),
    wrong_edition("a spaced id", e('"reed-cup"', '"Reed Cup!"'), "edition.id", '"Reed Cup!"', "small letters", '"reed-cup"'),
    wrong_edition("an id too short", e('"reed-cup"', '"rc"'), "edition.id", '"rc"', "3 to 60"),
    wrong_line("an empty name", "edition", 'name = " "', '" "', "1 to 80 letters"),
    wrong_line("a name that is a number", "edition", "name = 7", "7", "text in quotes"),
    wrong_line("a name of a thousand letters", "edition", f'name = "{"x" * 1000}"', "xxx...", "1 to 80 letters"),
    # --- days
    wrong_line("a deadline in the past", "edition", 'deadline = "2030-12-24"', '2030-12-24', "in the past; today is Mon 3 Mar 2031"),
    wrong_line("a start in the past", "edition", "start = 2031-01-07", "2031-01-07", "in the past"),
    wrong_line("a deadline before the start", "edition", 'deadline = "in 2 weeks"\nstart = "in 3 weeks"',
               "in 2 weeks", "Mon 17 Mar 2031", "after the start, Mon 24 Mar 2031"),
    wrong_line("a deadline in a hundred years", "edition", 'deadline = "2131-01-01"', "2131-01-01", "within 10 years"),
    wrong_line("a day that is none", "edition", 'deadline = "2031-02-30"', '"2031-02-30"', "no such day"),
    wrong_line("a day the other way round", "edition", 'deadline = "24.12.2031"', '"24.12.2031"', "The year comes first"),
    wrong_line("a day in words", "edition", 'deadline = "next spring"', '"next spring"', '"in 6 months"'),
    wrong_line("a time of day", "edition", "deadline = 2031-12-24T12:00:00", "2031-12-24", "Leave out the time"),
    wrong_line("weeks without end", "edition", 'deadline = "in 9999 weeks"', '"in 9999 weeks"', "within 10 years"),
    wrong_studio_line("days off that are none", "time", 'off = ["summer"]', '"summer"', '"12-24 to 01-02"'),
    wrong_studio_line("days off that end before they begin", "time", 'off = ["2031-08-15 to 2031-08-02"]',
                      "2031-08-15 to 2031-08-02", "must not come after"),
    wrong_studio_line("a day off that no year has", "time", 'off = ["02-30"]', '"02-30"', "2027-08-02"),
    wrong_studio_line("the whole year off", "time", 'off = ["01-01 to 12-31"]', "01-01 to 12-31", "no working day"),
    # --- the mold
    wrong_edition("a life of nothing", e("life = 25", "life = 0"), "mold.life", "0", "between 1 and 500"),
    wrong_edition("a life of conditioning only", e("life = 25", "life = 2\nconditioning = 2"), "mold.life", "2",
                  "mold.conditioning", "at least 3"),
    wrong_edition("a life in words", e("life = 25", 'life = "unknwon"'), "mold.life", '"unknwon"', "Did you mean unknown?"),
    wrong_edition("a part told in no way", e(WATER + "\n", ""), LEFT, "not told", "water, volume, box"),
    wrong_edition("a part told in two ways", e(WATER, WATER + '\nvolume = "1.9 l"'), LEFT, "2 ways", "water, volume"),
    wrong_line("parts and a recipe", "mold", 'mix_water = "2 qt"', '"2 qt"', "the parts are told too"),
    wrong_edition("batches without their water", e(WATER, WATER + "\nbatches = 2"), f"{LEFT}.batches", "2",
                  "write mix_water too"),
    wrong_edition("a recipe larger than the bucket", e(WATER, 'mix_water = "8 l"\nbatches = 2'),
                  f"{LEFT}.mix_water", '"8 l"', "plaster.bucket", "larger bucket"),
    wrong_line("parts and a dry mass", "mold", 'dry_mass = "4 kg"', '"4 kg"', "the parts are told too"),
    wrong_edition("two parts of one name", e('"right"', '"left"'), f"{RIGHT}.name", '"left"', "part 1 has that name"),
    wrong_edition("displaced without a box", e(WATER, WATER + '\ndisplaced = "0.2 l"'), f"{LEFT}.displaced", '"0.2 l"',
                  "write box too"),
    wrong_edition("more displaced than the box holds",
                  e(WATER, 'box = ["200 mm", "100 mm", "50 mm"]\ndisplaced = "1.2 l"'), f"{LEFT}.displaced",
                  '"1.2 l"', "which holds 1 l"),
    wrong_edition("a flat box", e(WATER, 'box = ["200 mm", "100 mm"]'), f"{LEFT}.box", "200 mm", "length, width and height"),
    wrong_edition("a box of masses", e(WATER, 'box = ["200 mm", "100 mm", "5 kg"]'), f"{LEFT}.box[3]", '"5 kg"', "a length"),
    wrong_edition("a box of 40 m", e(WATER, 'box = ["40 m", "100 mm", "50 mm"]'), f"{LEFT}.box[1]", '"40 m"', "2 m"),
    wrong_edition("a part larger than the bucket", e(WATER, 'water = "11 kg"'), f"{LEFT}.water", '"11 kg"',
                  "11 l of plaster", "fills 9.52 l", "plaster.bucket", "larger bucket"),
    Case(
        "a part larger than the mixer", in_table(STUDIO, "plaster", 'mixer = "3.05 kg"'),
        e('"1.8 l"', '"1.2 l"'), f"{LEFT}.water", ("1.9 l", "fills 1.84 l", "plaster.mixer", "larger mixer")),
    wrong_edition("a whole mold larger than the bucket",
                  EDITION[: EDITION.index("[[mold.parts]]")] + 'dry_mass = "14 kg"\n' + EDITION[EDITION.index("[casting]"):],
                  "mold.dry_mass", '"14 kg"', "plaster.bucket", "parts one by one"),
    wrong_edition("a hundred parts", e("[[mold.parts]]\n", '[[mold.parts]]\nvolume = "1 l"\n' * 100 + "[[mold.parts]]\n"),
                  "mold.parts", "102", "at most 60"),
    # --- casting, firing, glaze, shrinkage
    wrong_line("more drained than filled", "casting", 'drained = "0.9 l"', '"0.9 l"', '"0.8 l"'),
    wrong_line("slip data that contradict each other", "casting",
               'drained = "0.2 l"\nwall = "4 mm"\narea = "400 cm2"', "casting.drained",
               "keeps 600 ml of slip", "one of the four is off."),
    wrong_edition("drained, and no fill", e('fill = "0.8 l"', 'drained = "0.5 l"'), "casting.drained", '"0.5 l"',
                  "casting.fill too"),
    wrong_line("more wall than slip", "casting", 'area = "3000 cm2"\nwall = "4 mm"', '"3000 cm2"', '"0.8 l"'),
    Case(
        "half a test cast", STUDIO, in_table(EDITION, "casting", 'test = {wall = "4 mm"}'), "casting.test.time",
        ("missing", "casting.test.wall")),
    wrong_line("a cone that is none", "firing", 'glaze_cone = "44"', '"44"', '"022" to "14"'),
    wrong_line("a cone without quotes", "firing", "bisque_cone = 4", "4", "in quotes", "06 is not 6"),
    wrong_line("a yes in quotes", "firing", 'glaze_gate = "yes"', '"yes"', "true or false"),
    wrong_line("a bisque load that holds nothing", "firing", "bisque_load = 0", "0", "between 1 and"),
    wrong_line("a coat as a thickness", "glaze", 'coat = "0.8 mm"', '"0.8 mm"', "a length", "a mass per area"),
    Case(
        "half a shrinkage test", STUDIO,
        in_table(EDITION, "dimensions", 'shrinkage = {dry = "5 %", fired = "7 %"}'),
        "dimensions.shrinkage.fired_on", ("missing", "dimensions.shrinkage.dry")),
    wrong_edition("a total below its drying",
                  in_table(EDITION, "dimensions", 'shrinkage = {dry = "5 %", fired = "4 %", fired_on = "total"}'),
                  "dimensions.shrinkage.fired", '"4 %"', "at least", '"5 %"'),
    wrong_edition("losses that leave nothing", e('drying = "3 %"', 'drying = "90 %"\nglaze = "60 %"'), "losses",
                  "in all", "at least 5 %"),
    # --- the studio
    wrong_studio("a bucket of 40 m", s('"10 l"', '"40 m"'), "plaster.bucket", '"40 m"', "a length", "a volume"),
    wrong_studio("a bucket of a cubic meter", s('"10 l"', '"1 m3"'), "plaster.bucket", '"1 m3"', "500 l"),
    wrong_studio("a kiln that is loaded before it has cooled", s("loads_a_week = 2", "loads_a_week = 6"), "kiln.loads_a_week", "6",
                 "takes 2 days", "4 times a week at most", "write 4 or fewer"),
    wrong_studio("a kiln that fires nothing", s("loads_a_week = 2", "loads_a_week = 0"), "kiln.loads_a_week", "0",
                 "between 0.5 and 14"),
    wrong_studio_line("a kiln that holds nothing", "kiln", 'volume = "0 l"', '"0 l"', "between 1 l and"),
    wrong_studio_line("no hours in a day", "time", 'hours_a_day = "0 h"', '"0 h"', "between 10 min and 24 h"),
    wrong_studio_line("more hours than a day has", "time", 'hours_a_day = "25 h"', '"25 h"', "24 h"),
    wrong_studio_line("nobody works on any day", "time", "working_days = []", "[]", "one day at least"),
    Case(
        "nobody works", s("people = 1", "people = 0"), EDITION, "time.people", ("0", "between 1 and 50")),
    wrong_studio_line("molds that are dry when poured", "drying", "days_low = 0", "0", "between 1 and 120"),
    wrong_studio_line("drying upside down", "drying", "days_low = 20", "20", "drying.days_high", "14"),
    wrong_studio("a session shorter than its setup", s('"6 h"', '"2 h"'), "pouring.session", '"2 h"', '"3 h"'),
    wrong_studio_line("too much water", "plaster", "consistency = 700", "700", "between 25 and 120"),
    wrong_studio_line("a ratio as consistency", "plaster", "consistency = 0.7", "0.7", "between 25 and 120",
                      "A ratio of 0.7 is written 70."),
    wrong_studio_line("a yield no plaster has", "plaster", "yield_l_per_kg = 2.0", "2.0", "1.07 l/kg"),
    wrong_studio_line("an unknown country", "studio", 'country = "XX"', '"XX"', "ISO 3166"),
    wrong_studio_line("a country in small letters", "studio", 'country = "dk"', '"dk"', "Did you mean DK?"),
    wrong_studio_line("an unknown region", "studio", 'region = "ZZ"\ncountry = "GB"', '"ZZ"', "ENG", "SCT"),
    wrong_studio_line("a region without its country", "studio", 'region = "VT"', '"VT"', "studio.country"),
    wrong_studio_line("holidays of no country", "time", "public_holidays = true", "true", "studio.country"),
    wrong_studio_line("an unknown zone", "studio", 'zone = "Europe/Copenhagn"', "Copenhagn",
                      "Did you mean Europe/Copenhagen?"),
    wrong_studio_line("a zone that is a path", "studio", 'zone = "../../etc/passwd"', "passwd", "IANA"),
    wrong_studio("an unknown currency", s('"EUR"\n', '"EURO"\n').replace('packing = "2 EUR/piece"\n', ""), "studio.currency",
                 '"EURO"', "ISO 4217", "Did you mean EUR?"),
    wrong_studio("another currency", s('"2 EUR/piece"', '"2 USD/piece"'), "prices.packing", '"2 USD/piece"',
                 "currency is EUR"),
    wrong_studio("a price with a sign", s('"2 EUR/piece"', '"€2"'), "prices.packing", '"€2"', "EUR for €"),
    wrong_studio("a price alone", s('"2 EUR/piece"', "2"), "prices.packing", "2", '"12.40 EUR/piece"'),
    wrong_studio_line("a slip weighed in a small cup", "slip", 'liter_weight = "180 g/l"', '"180 g/l"',
                      "between 1200 g/l and", "100 ml cup"),
    Case("a limit in a US studio is told in its units", US_STUDIO.replace('"10 l"', '"200 gal"'), EDITION,
         "plaster.bucket", ('"200 gal"', "132 gal")),
    Case("a comma in a US studio", US_STUDIO, e('fill = "0.8 l"', 'fill = "1,5 qt"'), "casting.fill",
         ('"1,5 qt"', '"1.5 qt"')),
    # --- not TOML
    Case("an empty edition", STUDIO, "", "the file", ("empty", "version = 1", "pourwright ask")),
    Case("only blanks", STUDIO, " \n\n", "the file", ("empty",)),
    Case("an empty studio", "", EDITION, "the file", ("empty",)),
    wrong_edition("a quantity without quotes", e(WATER, "water = 1.9 kg"), "line 11, column 13", "water = 1.9 kg",
                  'water = "1.9 kg"'),
    wrong_edition("text without quotes", e('id = "reed-cup"', "id = reed-cup"), "line 3, column 6", 'id = "reed-cup"'),
    wrong_edition("a quote not closed", e('name = "left"', 'name = "left'), "line 10, column 13", "a quote is not closed"),
    wrong_edition("a bracket not closed", e("[mold]", "[mold"), "line 7, column 6", "stands alone in brackets"),
    wrong_edition("curly quotes", e('"end"', "\u201cend\u201d"), "line 26, column 10", "straight quotes"),
    wrong_edition("a line of prose", e("[mold]", "the mold\n[mold]"), "line 7, column 5", "a name, an equals sign"),
    wrong_edition("a key twice", e("pieces = 24", "pieces = 24\npieces = 36"), "line 5, column 12", "written twice"),
    wrong_edition("a table twice", EDITION + "[mold]\n", "line 27, column 6", "written twice"),
    wrong_edition("a list inside lists", e("pieces = 24", "pieces = " + "[" * 3000), "the file", "nested too deeply"),
    wrong_edition("a number of ten thousand digits", e("pieces = 24", "pieces = " + "9" * 10_000), "the file", "digits"),
    wrong_studio("prose", "Dear potter, please fire twice a week.", "line 1, column 6", "a name, an equals sign"),
    # --- the studio's name in the brief
    wrong_edition("a studio that is not there", 'studio = "elsewhere.toml"\n' + EDITION, "studio", '"elsewhere.toml"',
                  "no such file", "studio.toml"),
    wrong_edition("a studio that is a folder", 'studio = "."\n' + EDITION, "studio", "a folder", "studio.toml"),
    wrong_edition("a studio that is a number", "studio = 3\n" + EDITION, "studio", "3", "text in quotes"),
    wrong_edition("a studio with a name beyond any disk", f'studio = "{"x" * 280}"\n' + EDITION, "studio", "xxx",
                  "cannot be read"),
    wrong_edition("a studio with a null in its name", 'studio = "a\\u0000b"\n' + EDITION, "studio", "one line"),
)  # fmt: skip


def complaints_of(folder: Path, studio: str | bytes, edition: str | bytes) -> BadInput:
    for name, text in (("studio.toml", studio), ("edition.toml", edition)):
        (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(BadInput) as caught:
        read_brief(folder / "edition.toml", TODAY)
    return caught.value


def test_there_are_many_cases_and_each_has_a_name():
    assert len(CASES) >= 90
    assert len({case.name for case in CASES}) == len(CASES)


def test_the_files_that_the_cases_change_are_right(tmp_path):
    (tmp_path / "studio.toml").write_text(STUDIO)
    (tmp_path / "edition.toml").write_text(EDITION)

    brief, studio = read_brief(tmp_path / "edition.toml", TODAY)

    assert (brief.edition.pieces, studio.kiln.loads_a_week) == (24, 2)


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_one_thing_wrong_gives_one_sentence(case, tmp_path):
    error = complaints_of(tmp_path, case.studio, case.edition)

    assert len(error.complaints) == 1, str(error)
    sentence = str(error)
    assert error.complaints[0].path.startswith(case.path), sentence
    assert "\n" not in sentence
    assert len(sentence) < 700
    for part in case.says:
        assert part in sentence


def write_both(folder: Path) -> Path:
    (folder / "studio.toml").write_text(STUDIO)
    (folder / "edition.toml").write_text(EDITION)
    return folder / "edition.toml"


def sentence_of(path: Path) -> str:
    with pytest.raises(BadInput) as caught:
        read_brief(path, TODAY)
    return str(caught.value)


def test_everything_wrong_in_both_files_is_told_at_once(tmp_path):
    studio = s("loads_a_week = 2", "loads_a_week = 0").replace('"10 l"', '"10 kg"')
    edition = (
        e("pieces = 24", "pieces = 0")
        .replace("life = 25", "lief = 25")
        .replace('"0.8 l"', '"2,5 l"')
    )

    error = complaints_of(tmp_path, studio, edition)

    assert {(one.file, one.path) for one in error.complaints} == {
        ("studio.toml", "kiln.loads_a_week"),
        ("studio.toml", "plaster.bucket"),
        ("edition.toml", "edition.pieces"),
        ("edition.toml", "mold.lief"),
        ("edition.toml", "casting.fill"),
    }
    assert len(str(error).split("\n")) == 5


def test_a_broken_studio_does_not_hide_what_is_wrong_with_the_brief(tmp_path):
    error = complaints_of(tmp_path, "not TOML", e("pieces = 24", "pieces = 0"))

    assert [one.path for one in error.complaints] == ["edition.pieces", "line 1, column 5"]


def test_a_thousand_wrong_names_are_not_all_told(tmp_path):
    edition = EDITION + "".join(f"zq{number} = 1\n" for number in range(1000))

    error = complaints_of(tmp_path, STUDIO, edition)

    assert len(error.complaints) <= 61


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (bytes(range(256)) * 40, "not text"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "not text"),
        ("id = \"caf\u00e9\"".encode("latin-1"), "save the file as UTF-8"),
        (b"\xff\xfev\x00e\x00r\x00", "not text"),
        (b'version = 1\n\x07bell = "x"', "this is not TOML"),
        (b"version = 1\r", "not TOML"),
    ],
)  # fmt: skip
def test_noise_is_refused(text, says, tmp_path):
    assert says in str(complaints_of(tmp_path, STUDIO, text))
    assert says in str(complaints_of(tmp_path, text, EDITION))


def test_fifty_megabytes_are_refused_by_their_size(tmp_path):
    path = write_both(tmp_path)
    with path.open("wb") as file:
        file.truncate(50_000_000)  # a hole on the disk, 50 MB to whoever reads it

    assert "larger than 1 MB" in sentence_of(path)


def test_a_mark_at_the_start_and_windows_line_ends_are_read(tmp_path):
    path = write_both(tmp_path)
    path.write_bytes(b"\xef\xbb\xbf" + EDITION.replace("\n", "\r\n").encode())

    assert read_brief(path, TODAY)[0].edition.pieces == 24


def test_a_folder_is_answered_with_the_file_in_it(tmp_path):
    write_both(tmp_path)

    sentence = sentence_of(tmp_path)

    assert "a folder" in sentence
    assert "edition.toml" in sentence


def test_a_file_that_is_not_there_names_those_that_are(tmp_path):
    path = write_both(tmp_path)

    assert (
        "there is no such file. In that folder there is edition.toml, studio.toml."
        in sentence_of(path.with_name("editoin.toml"))
    )
    assert "there is no such file" in sentence_of(tmp_path / "no" / "such" / "folder.toml")


def test_a_file_that_may_not_be_read_says_so(tmp_path, monkeypatch):
    """Whoever runs the tests may read everything, so the system's answer is played."""
    path = write_both(tmp_path)

    def refused(*_args: object, **_more: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)

    assert "you may not read it" in sentence_of(path)


def test_a_pipe_or_a_null_in_a_name_is_refused(tmp_path):
    assert "cannot be read" in sentence_of(tmp_path / "a\0b")


def test_a_studio_is_read_alone_with_the_same_sentences(tmp_path):
    path = tmp_path / "studio.toml"
    path.write_text(s("loads_a_week = 2", "loads_a_week = 0"))

    with pytest.raises(BadInput, match="studio.toml: kiln.loads_a_week is 0"):
        read_studio(path, TODAY)


@pytest.mark.parametrize("today", [date(1, 1, 1), date(9999, 12, 31)])
def test_any_day_can_be_today(today, tmp_path):
    path = write_both(tmp_path)
    path.write_text(in_table(EDITION, "edition", 'deadline = "in 20 weeks"'))

    if today.year == 1:
        assert read_brief(path, today)[0].edition.start == today
    else:
        with pytest.raises(BadInput, match="no calendar goes that far"):
            read_brief(path, today)
