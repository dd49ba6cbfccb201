"""A model's shape for people: what it is, what was wrong with it, what its wall comes to."""

from __future__ import annotations

from pourwright.quantities import show
from pourwright.report.blocks import FactRow, Facts, Section, Table, Text
from pourwright.shape.mesh import Place
from pourwright.shape.records import FAULTS, Look, Shape

UNIT_FROM = {
    "told": "as you say",
    "file": "as the file says",
    "size": "the file does not say; in any other unit nobody would cast it. "
    "Say --unit if that is wrong",
}
"""Who says what a model's lengths are in."""


def shape_sections(shape: Shape, units: str) -> tuple[Section, ...]:
    """Return all that is told of a model.

    Parameters
    ----------
    shape : Shape
        What was found.
    units : {"metric", "us"}
        Units it is shown in.
    """
    return _model(shape.look, units), _surface(shape.look)


def shape_title(shape: Shape) -> str:
    """Return the title above the sections.

    Parameters
    ----------
    shape : Shape
        What was found.
    """
    return f"The shape of {shape.look.file}."


def _model(look: Look, units: str) -> Section:
    body = look.body
    rows: list[FactRow] = [
        ("File", f"{look.kind}, {look.triangles:,} triangles", f"SHA-256 {look.sha256[:12]}..."),
        ("Unit", look.unit, UNIT_FROM[look.unit_from]),
        ("Size of the mold", _size(body.size_mm, units), _drawn(look, "mold")),
    ]
    if body.fired_size_mm is not None and look.shrinkage is not None:
        shrunk = f"after {show(look.shrinkage, 'fraction')} of shrinkage"
        rows.append(
            ("Size fired", _size(body.fired_size_mm, units), _drawn(look, "fired") or shrunk)
        )
    rows += [
        ("Volume", show(body.volume_l, "volume", units), "of the outside, at the size of the mold"),
        ("Surface", show(body.area_m2, "area", units), "of the outside, at the size of the mold"),
    ]
    if void := look.void:
        brim = (
            f"brimful, as drawn; the brim is {show(void.brim_mm, 'length', units)} above the foot"
        )
        rows.append(("Inside", show(void.capacity_l, "volume", units), brim))
        if void.fired_capacity_l is not None:
            fired = show(void.fired_capacity_l, "volume", units)
            rows.append(("Inside, fired", fired, "brimful"))
        rows.append(("Clay as drawn", show(void.clay_l, "volume", units), "outside less inside"))
    told = "It is drawn as a hollow vessel." if look.void else (
        "It is drawn as a solid: the outside, around which a mold is made."
    )  # fmt: skip
    return Section("model", "The model", (Text(told, "lead"), Facts(tuple(rows))))


def _drawn(look: Look, size: str) -> str:
    return "as it is drawn" if look.shows == size else ""


def _size(size_mm: Place, units: str) -> str:
    return " × ".join(show(one, "length", units) for one in size_mm)


def _surface(look: Look) -> Section:
    if not look.faults:
        sound = "The surface is closed and sound; nothing had to be mended."
        return Section("surface", "The surface", (Text(sound, "lead"),))
    rows = tuple(
        (f"{FAULTS[one.kind]}", f"{one.count:,}", _where(one.at_mm), one.mended)
        for one in look.faults
    )
    found = Table(
        "What was wrong, and what was done",
        (("Fault", "left"), ("How many", "right"), ("The worst, at x, y, z in mm", "left"), ("Mended", "left")),
        rows,
        note="Places are those of the file, in millimeters.",
    )  # fmt: skip
    lead = "The surface had to be mended; the file itself is left as it was."
    return Section("surface", "The surface", (Text(lead, "lead"), found))


def _where(place: Place) -> str:
    return ", ".join(f"{one:g}" for one in place)
