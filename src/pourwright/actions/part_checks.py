"""A mold's parts: each told in one way, and none larger than a mix can be."""

from __future__ import annotations

from pourwright.actions.read_field import Sheet, short
from pourwright.actions.read_tables import Values
from pourwright.actions.records import ToldAs
from pourwright.actions.studio import plaster_of
from pourwright.materials.plaster import Plaster, batch_for_volume
from pourwright.materials.volumes import (
    volume_from_box,
    volume_from_dry_mass,
    volume_from_water_fill,
)

WAYS: dict[str, ToldAs] = {"water": "water", "volume": "volume", "box": "box", "dry_mass": "dry mass"}
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
            "mold.dry_mass", values.typed("mold.dry_mass"), "the parts are told too; keep one of the two"
        )
    elif not parts and not values.was_written("mold.dry_mass"):
        sheet.complain(
            "mold", "not told", 'write dry_mass = "6.4 kg" for one complete mold, or its parts below [[mold.parts]]'
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
                f"{path}.displaced", values.typed(f"{path}.displaced"), "it belongs to a box: write box too"
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
                f"mold.parts[{number}].name", f'"{name}"', f"part {seen[name]} has that name; give each its own"
            )
        elif name:
            seen[name] = number


def _check_fits(values: Values, sheet: Sheet, studio: Values, path: str) -> None:
    """Complain of a part that the bucket or the mixer cannot take in one mix."""
    plaster = plaster_of(studio)
    volume_l = plaster and _volume_l(values, path, plaster)
    spare = studio.get("plaster.spare")
    if not volume_l or plaster is None or spare is None:
        return
    batch = batch_for_volume(volume_l, plaster, spare)
    mix_l, mix_kg = volume_l * (1 + spare), float(batch.water_kg + batch.plaster_kg)
    key = next(key for key in WAYS if values.get(f"{path}.{key}") is not None)
    for limit, dimension, needed, holds in (
        ("plaster.bucket", "volume", mix_l, "bucket"),
        ("plaster.mixer", "mass", mix_kg, "mixer"),
    ):
        most = studio.get(limit)
        if most is None or needed <= most * (1 + 1e-9):
            continue
        sheet.complain(
            f"{path}.{key}", values.typed(f"{path}.{key}"),
            f"with the spare it is a mix of {short(needed, dimension, sheet.units)}, and the studio's {holds} "
            f"takes {short(most, dimension, sheet.units)} ({limit})",
            "Tell the mold's parts one by one." if path == "mold" else f"This part needs a larger {holds}.",
        )  # fmt: skip


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
