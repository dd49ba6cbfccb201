"""What one field of a brief says about another.

Each check complains of values that are all right alone and cannot be together.
A value that could not be read is None here, and has its complaint already.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import timedelta

from pourwright.briefs.read_tables import Values
from pourwright.briefs.records import ToldAs
from pourwright.briefs.studio_file import plaster_told
from pourwright.errors import NotDoable
from pourwright.materials.plaster.mix import Plaster, batch_from_water, wet_density
from pourwright.materials.plaster.volumes import (
    volume_from_box,
    volume_from_dry_mass,
    volume_from_water_fill,
)
from pourwright.quantities import short
from pourwright.reading import Sheet, day, why_past
from pourwright.simulation.pours import Mix, largest_mix_l, usable_l

LONGEST_YEARS = 10
LEAST_PASSED = 0.05
"""Share of casts that must be left after all losses; below it nobody plans."""


def check_dates(values: Values, sheet: Sheet) -> None:
    """Complain of days in the past, and of a deadline before the start."""
    today, units = sheet.today, sheet.units
    assert today is not None  # noqa: S101 - a brief is read on a day
    start, deadline = values.get("edition.start"), values.get("edition.deadline")
    for path, told in (("edition.start", start), ("edition.deadline", deadline)):
        if told is None:
            continue
        if why := why_past(told, today, units):
            sheet.complain(path, _day(values, path, units), why)
        elif (told - today) > timedelta(days=366 * LONGEST_YEARS):
            sheet.complain(
                path,
                _day(values, path, units),
                f"it must be within {LONGEST_YEARS} years of today, {day(today, units=units)}",
            )
    if start and deadline and today <= deadline <= start:
        sheet.complain(
            "edition.deadline",
            _day(values, "edition.deadline", units),
            f"it must come after the start, {day(start, units=units)}",
        )


def _day(values: Values, path: str, units: str) -> str:
    typed = values.typed(path)
    return (
        f"{typed} ({day(values.get(path), units=units)})"
        if typed.lower().startswith('"in ')
        else typed
    )


def check_counts(values: Values, sheet: Sheet) -> None:
    """Complain of more proofs than pieces, and of more molds than are allowed."""
    pieces, proofs = values.get("edition.pieces"), values.get("edition.proofs")
    if pieces and proofs and proofs > pieces:
        sheet.complain(
            "edition.proofs", str(proofs), f"it must not be more than the {pieces} pieces"
        )
    molds, most = values.get("edition.molds"), values.get("edition.molds_at_most")
    if molds and most and molds > most:
        sheet.complain(
            "edition.molds",
            str(molds),
            f"it must not be more than edition.molds_at_most, which is {most}",
        )


def check_life(values: Values, sheet: Sheet) -> None:
    """Complain of a mold that gives nothing after its conditioning casts."""
    life, conditioning = values.get("mold.life"), values.get("mold.conditioning")
    if life is not None and conditioning is not None and life <= conditioning:
        thrown = (
            f"first {conditioning} casts of a mold are"
            if conditioning > 1
            else "first cast of a mold is"
        )
        sheet.complain(
            "mold.life",
            str(life),
            f"the {thrown} thrown away (mold.conditioning), so it must be at least {conditioning + 1}",
        )


def check_casting(values: Values, sheet: Sheet) -> None:
    """Complain of more slip drained than filled, and of half a test cast."""
    fill, drained = values.get("casting.fill"), values.get("casting.drained")
    if fill is not None and drained is not None and drained >= fill:
        sheet.complain(
            "casting.drained",
            values.typed("casting.drained"),
            f"it must be less than what was filled, {values.typed('casting.fill')}",
        )
    if drained is not None and not values.was_written("casting.fill"):
        sheet.complain("casting.drained", values.typed("casting.drained"), "write casting.fill too")
    wall, area = values.get("casting.wall"), values.get("casting.area")
    if wall and area and fill and wall / 1000 * area * 1000 > fill:
        sheet.complain(
            "casting.area",
            values.typed("casting.area"),
            f"a wall of {values.typed('casting.wall')} on it is more clay than the fill of "
            f"{values.typed('casting.fill')} brings",
        )
    _check_kept(values, sheet)
    _check_together(values, sheet, "casting.test", ("wall", "time"))


KEPT_TO_WALL = (0.9, 2.0)
"""Slip kept over the clay of the wall: slip of 1650 to 1980 g/l loses water into it, 1.1 to 1.5
times; the rest is for the spare and for reading a wall. Our own choice."""


def _check_kept(values: Values, sheet: Sheet) -> None:
    """Complain where wall and area tell another cast than fill and drained do."""
    fill, drained = values.get("casting.fill"), values.get("casting.drained")
    wall, area = values.get("casting.wall"), values.get("casting.area")
    if None in (fill, drained, wall, area) or drained >= fill:
        return
    kept_l, wall_l = fill - drained, wall * area
    low, high = KEPT_TO_WALL
    if low * wall_l <= kept_l <= high * wall_l:
        return
    kept, least, most = (
        short(one, "volume", sheet.units) for one in (kept_l, 1.1 * wall_l, 1.5 * wall_l)
    )
    sheet.complain(
        "casting.drained",
        values.typed("casting.drained"),
        f"fill less drained keeps {kept} of slip, and a wall of {values.typed('casting.wall')} on "
        f"{values.typed('casting.area')} keeps {least} to {most}; measure again, one of the four is off",
    )


def check_shrinkage(values: Values, sheet: Sheet) -> None:
    """Complain of half a shrinkage test, and of a total below its drying."""
    path = "dimensions.shrinkage"
    _check_together(values, sheet, path, ("dry", "fired", "fired_on"))
    dry, fired = values.get(f"{path}.dry"), values.get(f"{path}.fired")
    if values.get(f"{path}.fired_on") == "total" and None not in (dry, fired) and fired < dry:
        sheet.complain(
            f"{path}.fired",
            values.typed(f"{path}.fired"),
            f"a total has the drying in it, so it must be at least {values.typed(f'{path}.dry')}",
        )


def _check_together(values: Values, sheet: Sheet, table: str, keys: tuple[str, ...]) -> None:
    """Complain of what is missing from a group that is only useful whole."""
    written = [key for key in keys if values.was_written(f"{table}.{key}")]
    if written and len(written) < len(keys):
        for key in (key for key in keys if key not in written):
            sheet.complain(
                f"{table}.{key}", None, f"it belongs to {table}.{written[0]}; write both"
            )


def check_losses(values: Values, sheet: Sheet) -> None:
    """Complain of losses that together leave next to nothing."""
    passed = 1.0
    for step in ("casting", "drying", "bisque", "glaze", "third"):
        passed *= 1 - (values.get(f"losses.{step}") or 0.0)
    if passed < LEAST_PASSED:
        sheet.complain(
            "losses",
            f"{1 - passed:.0%} in all".replace("%", " %"),
            "together they must leave at least 5 % of the casts",
        )


CHECKS: tuple[Callable[[Values, Sheet], None], ...] = (
    check_dates,
    check_counts,
    check_life,
    check_casting,
    check_shrinkage,
    check_losses,
)


# --- a mold's parts: each told in one way, and none larger than a mix can be

WAYS: dict[str, ToldAs] = {
    "mix_water": "recipe",
    "water": "water",
    "volume": "volume",
    "box": "box",
    "dry_mass": "dry mass",
}
_WHOLE = ("mold.dry_mass", "mold.mix_water")
_WRITE_ONE = (
    "tell it in one way: water, volume, box with displaced, dry_mass, or mix_water with batches"
)


def told_as(values: Values, path: str) -> ToldAs:
    """Return in which way a part is told; a recipe gives its volume as well."""
    return next(way for key, way in WAYS.items() if values.get(f"{path}.{key}") is not None)


def recipe_volume_l(values: Values, path: str, plaster: Plaster, spare: float) -> float:
    """Return what batches of a recipe fill, the spare in them taken off. [l]"""
    batch = batch_from_water(values.get(f"{path}.mix_water"), plaster)
    return float(batch.volume_l) * (values.get(f"{path}.batches") or 1.0) / (1 + spare)


def check_parts(values: Values, sheet: Sheet, studio: Values | None) -> None:
    """Complain of a mold that is not told, or told twice, or too large to mix."""
    if "mold" in values.failed or "mold.parts" in values.failed:
        return
    parts = values.lists.get("mold.parts", 0)
    whole = [path for path in _WHOLE if values.was_written(path)]
    if parts:
        for path in whole:
            right = "the parts are told too; keep one of the two"
            sheet.complain(path, values.typed(path), right)
    elif len(whole) > 1:
        right = "mold.dry_mass is told too; keep one of the two"
        sheet.complain("mold.mix_water", values.typed("mold.mix_water"), right)
    elif not whole:
        dry, water = ("14 lb", "2 qt") if sheet.units == "us" else ("6.4 kg", "2 l")
        sheet.complain(
            "mold",
            "not told",
            f'write dry_mass = "{dry}" or the recipe, mix_water = "{water}" and batches = 3, for one '
            "complete mold, or its parts below [[mold.parts]]",
        )
    for path in ("mold", *(f"mold.parts[{number}]" for number in range(1, parts + 1))):
        _check_recipe(values, sheet, path)
    for number in range(1, parts + 1):
        _check_part(values, sheet, f"mold.parts[{number}]")
    _check_names(values, sheet, parts)
    paths = [f"mold.parts[{number}]" for number in range(1, parts + 1)] or ["mold"]
    if studio is not None:
        for path in paths:
            _check_fits(values, sheet, studio, path)


def _check_recipe(values: Values, sheet: Sheet, path: str) -> None:
    """Complain of batches without the water that goes into one."""
    batches = f"{path}.batches"
    if values.was_written(batches) and not values.was_written(f"{path}.mix_water"):
        sheet.complain(
            batches, values.typed(batches), "write mix_water too, the water of one batch"
        )


def _check_part(values: Values, sheet: Sheet, path: str) -> None:
    ways = [key for key in WAYS if values.was_written(f"{path}.{key}")]
    if not ways:
        sheet.complain(path, "not told", _WRITE_ONE)
    elif len(ways) > 1:
        sheet.complain(path, f"told in {len(ways)} ways ({', '.join(ways)})", _WRITE_ONE)
    displaced = values.get(f"{path}.displaced")
    if displaced is None or "box" not in ways:
        if displaced is not None:
            sheet.complain(
                f"{path}.displaced",
                values.typed(f"{path}.displaced"),
                "it belongs to a box: write box too",
            )
        return
    box = values.get(f"{path}.box")
    frame_l = box[0] * box[1] * box[2] / 1e6 if box else None
    if frame_l is not None and displaced >= frame_l:
        sheet.complain(
            f"{path}.displaced",
            values.typed(f"{path}.displaced"),
            f"it must be less than the box, which holds {short(frame_l, 'volume', sheet.units)}",
        )


def _check_names(values: Values, sheet: Sheet, parts: int) -> None:
    seen: dict[str, int] = {}
    for number in range(1, parts + 1):
        name = values.get(f"mold.parts[{number}].name")
        if name in seen:
            sheet.complain(
                f"mold.parts[{number}].name",
                f'"{name}"',
                f"part {seen[name]} has that name; give each its own",
            )
        elif name:
            seen[name] = number


def _check_fits(values: Values, sheet: Sheet, studio: Values, path: str) -> None:
    """Complain of a part that the bucket or the mixer cannot take in one mix."""
    plaster = plaster_told(studio)
    if plaster is None:
        return
    volume_l = _volume_l(values, path, plaster, studio.get("plaster.spare"))
    most = _most_in_a_mix(studio, plaster)
    if volume_l is None or most is None:
        return
    fills_l, holds = most
    key = next(key for key in WAYS if values.get(f"{path}.{key}") is not None)
    if key == "mix_water":  # a recipe's batches are mixed one after the other
        volume_l /= max(math.ceil(values.get(f"{path}.batches") or 1.0), 1)
    if volume_l <= fills_l * (1 + 1e-9):
        return
    sheet.complain(
        f"{path}.{key}",
        values.typed(f"{path}.{key}"),
        f"that is {short(volume_l, 'volume', sheet.units)} of plaster, and one mix in the studio's {holds} fills "
        f"{short(fills_l, 'volume', sheet.units)}, the spare taken off (plaster.{holds})",
        "Tell the mold's parts one by one."
        if path == "mold" and key != "mix_water"
        else "A batch of this recipe needs a larger bucket."
        if key == "mix_water"
        else f"This part needs a larger {holds}.",
    )


def _most_in_a_mix(studio: Values, plaster: Plaster) -> tuple[float, str] | None:
    """Return the most that the parts of one mix may fill [l], and what limits it."""
    bucket_l, mixer_kg = studio.get("plaster.bucket"), studio.get("plaster.mixer")
    spare, step_kg = studio.get("plaster.spare"), studio.get("plaster.scale_step")
    if None in (bucket_l, spare, step_kg):
        return None  # one of them could not be read
    wet = float(wet_density(plaster))
    limit_l = largest_mix_l(wet, bucket_l=bucket_l, mixer_kg=mixer_kg)
    mix = Mix(float(plaster.consistency), wet, spare=spare, step_kg=step_kg, limit_l=limit_l)
    try:
        return usable_l(mix), "bucket" if limit_l == bucket_l else "mixer"
    except NotDoable:
        return None  # a scale too coarse for so small a mix, which the plan tells


def _volume_l(values: Values, path: str, plaster: Plaster, spare: float | None) -> float | None:
    water, volume = values.get(f"{path}.water"), values.get(f"{path}.volume")
    box, dry_kg = values.get(f"{path}.box"), values.get(f"{path}.dry_mass")
    displaced = values.get(f"{path}.displaced") or 0.0
    if values.get(f"{path}.mix_water") is not None:
        return None if spare is None else recipe_volume_l(values, path, plaster, spare)
    if volume is not None:
        return float(volume)
    if water is not None:
        return float(volume_from_water_fill(water))
    if box is not None:
        length, width, height = box
        holds_it = displaced < length * width * height / 1e6
        return float(volume_from_box(length, width, height, displaced)) if holds_it else None
    return float(volume_from_dry_mass(dry_kg, plaster)) if dry_kg is not None else None
