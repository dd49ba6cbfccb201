"""A mold's parts: each told in one way, and none larger than a mix can be."""

from __future__ import annotations

from pourwright.briefs.read_field import Sheet, short
from pourwright.briefs.read_tables import Values
from pourwright.briefs.records import ToldAs
from pourwright.briefs.studio_file import plaster_of
from pourwright.errors import NotDoable
from pourwright.materials.plaster.mix import Plaster, wet_density
from pourwright.materials.plaster.volumes import (
    volume_from_box,
    volume_from_dry_mass,
    volume_from_water_fill,
)
from pourwright.simulation.pours import Mix, largest_mix_l, usable_l

WAYS: dict[str, ToldAs] = {
    "water": "water",
    "volume": "volume",
    "box": "box",
    "dry_mass": "dry mass",
}
_WRITE_ONE = "tell it in one way: water, volume, box with displaced, or dry_mass"


def told_as(values: Values, path: str) -> ToldAs:
    """Return in which way a part is told."""
    return next(way for key, way in WAYS.items() if values.get(f"{path}.{key}") is not None)


def check_parts(values: Values, sheet: Sheet, studio: Values | None) -> None:
    """Complain of a mold that is not told, or told twice, or too large to mix."""
    if "mold" in values.failed or "mold.parts" in values.failed:
        return
    parts = values.lists.get("mold.parts", 0)
    if parts and values.was_written("mold.dry_mass"):
        sheet.complain(
            "mold.dry_mass",
            values.typed("mold.dry_mass"),
            "the parts are told too; keep one of the two",
        )
    elif not parts and not values.was_written("mold.dry_mass"):
        sheet.complain(
            "mold",
            "not told",
            'write dry_mass = "6.4 kg" for one complete mold, or its parts below [[mold.parts]]',
        )
    for number in range(1, parts + 1):
        _check_part(values, sheet, f"mold.parts[{number}]")
    _check_names(values, sheet, parts)
    paths = [f"mold.parts[{number}]" for number in range(1, parts + 1)] or ["mold"]
    if studio is not None:
        for path in paths:
            _check_fits(values, sheet, studio, path)


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
            f"{path}.displaced", values.typed(f"{path}.displaced"),
            f"it must be less than the box, which holds {short(frame_l, 'volume', sheet.units)}",
        )  # fmt: skip


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
    plaster = plaster_of(studio)
    if plaster is None:
        return
    volume_l, most = _volume_l(values, path, plaster), _most_in_a_mix(studio, plaster)
    if volume_l is None or most is None or volume_l <= most[0] * (1 + 1e-9):
        return
    fills_l, holds = most
    key = next(key for key in WAYS if values.get(f"{path}.{key}") is not None)
    sheet.complain(
        f"{path}.{key}", values.typed(f"{path}.{key}"),
        f"that is {short(volume_l, 'volume', sheet.units)} of plaster, and one mix in the studio's {holds} fills "
        f"{short(fills_l, 'volume', sheet.units)}, the spare taken off (plaster.{holds})",
        "Tell the mold's parts one by one." if path == "mold" else f"This part needs a larger {holds}.",
    )  # fmt: skip


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


def _volume_l(values: Values, path: str, plaster: Plaster) -> float | None:
    water, volume = values.get(f"{path}.water"), values.get(f"{path}.volume")
    box, dry_kg = values.get(f"{path}.box"), values.get(f"{path}.dry_mass")
    displaced = values.get(f"{path}.displaced") or 0.0
    if volume is not None:
        return float(volume)
    if water is not None:
        return float(volume_from_water_fill(water))
    if box is not None:
        length, width, height = box
        holds_it = displaced < length * width * height / 1e6
        return float(volume_from_box(length, width, height, displaced)) if holds_it else None
    return float(volume_from_dry_mass(dry_kg, plaster)) if dry_kg is not None else None
