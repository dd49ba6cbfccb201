"""A model's shape for people: what it is, what was wrong with it, what its wall comes to."""

from __future__ import annotations

from pourwright.quantities import short, show
from pourwright.report.blocks import Block, Caution, FactRow, Facts, Section, Table, Text
from pourwright.shape.mesh import Place
from pourwright.shape.records import (
    FAULTS,
    LEAST_DRAGS_M2,
    Air,
    Clay,
    Look,
    Master,
    Mold,
    MoldPart,
    PartMass,
    Pulls,
    Release,
    Shape,
    Undercut,
    Wall,
    Why,
)

SLIP_KG_PER_L = 1.8
"""What slip weighs, near enough to say how heavy a full mold is. [kg/l]"""

BREAKS_MM = 5.0
"""Plaster behind the piece that is thinner breaks off. Common practice, no source. [mm]"""

LIFT_KG = 23.0
"""What one person lifts at most, close to the body and seldom: the load constant of the revised
lifting equation. Waters, Putz-Anderson and Garg, NIOSH publication 94-110, 1994. [kg]"""

UNIT_FROM = {
    "told": "as you say",
    "file": "as the file says",
    "size": "the file does not say; in any other unit nobody would cast it. "
    "If that is wrong: pourwright shape --unit",
}
"""Who says what a model's lengths are in."""

STAYS: dict[Why, str] = {
    "pocket": "it would have to run upward",
    "narrow": "the passage is narrower than 3 mm",
    "sealed": "clay has closed the passage",
}
"""Why slip stays where it is."""


_MOST_PLACES = 10
"""Places of undercut that are listed; the rest are counted."""


def shape_sections(shape: Shape, units: str, lift_kg: float = LIFT_KG) -> tuple[Section, ...]:
    """Return all that is told of a model.

    Parameters
    ----------
    shape : Shape
        What was found.
    units : {"metric", "us"}
        Units it is shown in.
    lift_kg : float
        What one person lifts at most. [kg]
    """
    sections = [_model(shape.look, units), _surface(shape.look)]
    if shape.wall is not None and shape.clay is not None:
        sections.append(_wall(shape.wall, shape.clay, units))
    if shape.release is not None:
        sections.append(_mold(shape.release, units))
    if shape.mold is not None:
        sections.append(_parts(shape.mold, shape.parts, units, lift_kg))
    if shape.masters:
        sections.append(_masters(shape.masters, units))
    return tuple(sections)


def shape_title(shape: Shape) -> str:
    """Return the title above the sections.

    Parameters
    ----------
    shape : Shape
        What was found.
    """
    return f"The shape of {shape.look.file}."


def shape_verdict(shape: Shape, units: str) -> str:
    """Return in a sentence how the mold comes off; empty where that was not asked.

    Parameters
    ----------
    shape : Shape
        What was found.
    units : {"metric", "us"}
        Units it is shown in.
    """
    return _verdict(shape.release.chosen, units) if shape.release else ""


def shape_facts(shape: Shape, units: str, lift_kg: float = LIFT_KG) -> tuple[FactRow, ...]:
    """Return what is looked for first, for beside the model.

    Parameters
    ----------
    shape : Shape
        What was found.
    units : {"metric", "us"}
        Units it is shown in.
    lift_kg : float
        What one person lifts at most. [kg]
    """
    look, wall, clay = shape.look, shape.wall, shape.clay
    rows: list[FactRow] = [
        ("Size of the mold", _size(look.body.size_mm, units), _drawn(look, "mold"))
    ]
    if look.body.fired_size_mm is not None:
        rows.append(("Fired", _size(look.body.fired_size_mm, units), _drawn(look, "fired")))
    if wall is not None and clay is not None:
        rows += _cast_facts(wall, clay, units)
    elif look.void:
        rows.append(("Holds", show(look.void.capacity_l, "volume", units), "brimful, as drawn"))
    if shape.mold is not None:
        rows += _mold_facts(shape.mold, shape.parts, units, lift_kg)
    return tuple(rows)


def part_weights(shape: Shape, units: str) -> tuple[FactRow, ...]:
    """Return what is weighed for each part of the mold: its name, its plaster, then water and weight.

    Parameters
    ----------
    shape : Shape
        What was found.
    units : {"metric", "us"}
        Units it is shown in.
    """
    parts = shape.mold.parts if shape.mold else ()
    return tuple(
        (
            part.name,
            f"{show(one.plaster_kg, 'mass', units)} of plaster",
            f"{show(one.water_kg, 'mass', units)} of water; {show(one.wet_kg, 'mass', units)} wet, {show(one.dry_kg, 'mass', units)} dry",
        )
        for part, one in zip(parts, shape.parts, strict=True)
    )


def _cast_facts(wall: Wall, clay: Clay, units: str) -> list[FactRow]:
    thick = short(wall.wall_mm, "length", units)
    kept = show(wall.kept_l, "volume", units)
    rows: list[FactRow] = [
        ("Clay kept", kept, f"a wall of {thick}; {show(clay.wet_kg, 'mass', units)} wet")
    ]
    if wall.opening is not None:
        fired = clay.fired_capacity_l
        holds = show(wall.capacity_l if fired is None else fired, "volume", units)
        rows.append(("Holds", holds, "the fresh cast, brimful" if fired is None else "fired"))
    if wall.solids:
        volume = show(sum(one.volume_l for one in wall.solids), "volume", units)
        closed = show(max(clay.solid_min), "duration") if clay.solid_min else ""
        places = "1 place" if len(wall.solids) == 1 else f"{len(wall.solids)} places"
        rows.append(
            ("Casts solid", volume, f"{places}, closed after {closed}" if closed else places)
        )
    return rows


def _mold_facts(
    mold: Mold, parts: tuple[PartMass, ...], units: str, lift_kg: float
) -> list[FactRow]:
    rows: list[FactRow] = [("Slip to fill", show(mold.fill_l, "volume", units), "with the spare")]
    full_kg = _full_kg(mold, parts)
    than = "more" if full_kg > lift_kg else "less"
    limit = f"{than} than the {show(lift_kg, 'mass', units)} that one person lifts"
    rows.append(("Wet and full of slip", show(full_kg, "mass", units), limit))
    if mold.seams:
        rows.append(("Pulls hardest", *_hardest(mold, units)))
    return rows


def _model(look: Look, units: str) -> Section:
    body = look.body
    rows: list[FactRow] = [
        ("File", f"{look.kind}, {look.triangles:,} triangles", f"SHA-256 {look.sha256[:12]}..."),
        ("Unit", look.unit, UNIT_FROM[look.unit_from]),
        ("Up", f"the model's {look.up} axis", "slip is poured in from there"),
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
    told = (
        "It is drawn as a hollow vessel."
        if look.void
        else ("It is drawn as a solid: the outside, around which a mold is made.")
    )
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
        (
            ("Fault", "left"),
            ("How many", "right"),
            ("The worst, at x, y, z in mm", "left"),
            ("Mended", "left"),
        ),
        rows,
        note="Places are those of the file, in millimeters.",
    )
    lead = "The surface had to be mended; the file itself is left as it was."
    return Section("surface", "The surface", (Text(lead, "lead"), found))


def _where(place: Place) -> str:
    return ", ".join(f"{one:g}" for one in place)


# --- the wall


def _wall(wall: Wall, clay: Clay, units: str) -> Section:
    thick = short(wall.wall_mm, "length", units)
    lead = Text(f"A wall of {thick}, at the size of the mold and without the spare.", "lead")
    blocks: list[Block] = [lead, Facts(_wall_rows(wall, clay, units))]
    if wall.opening is None:
        no_opening = (
            "There is no level face at the top to pour through, so nothing can drain: the clay is "
            "reckoned as if plaster stood all round. "
            "If slip is poured elsewhere: pourwright shape --up, or pourwright shape --pour."
        )
        blocks.append(Text(no_opening))
    if wall.stays:
        blocks.append(_stays(wall, units))
    if wall.solids:
        blocks.append(_solids(wall, clay, units))
    return Section("wall", "The wall", (*blocks, *_wall_notes(wall)))


def _wall_rows(wall: Wall, clay: Clay, units: str) -> tuple[FactRow, ...]:
    volume = {
        name: show(getattr(wall, f"{name}_l"), "volume", units)
        for name in ("fill", "kept", "drained", "capacity")
    }
    rows: list[FactRow] = []
    if clay.minutes is not None:
        rows.append(
            ("Casting time", show(clay.minutes, "duration"), "on a flat face, by your test cast")
        )
    rows += [
        ("Clay kept", volume["kept"], "the fresh cast"),
        ("Wet", show(clay.wet_kg, "mass", units), "with 20 % of water, as practice has it"),
        ("Dry", show(clay.dry_kg, "mass", units), "bone dry; solids of 2.6 kg/l"),
    ]
    if clay.fired_kg is not None:
        rows.append(("Fired", show(clay.fired_kg, "mass", units), "without glaze"))
    if wall.opening is not None:
        at = (
            f"up to the face {show(wall.opening.height_mm, 'length', units)} above the lowest point"
        )
        rows.append(("Slip to fill", volume["fill"], at))
    if clay.top_up_l is not None:
        rows.append(("To top up", show(clay.top_up_l, "volume", units), "while it casts"))
    if wall.opening is not None:
        rows += [
            ("Drains", volume["drained"], "when the mold is turned over"),
            ("Holds", volume["capacity"], "the fresh cast, brimful"),
        ]
        if clay.fired_capacity_l is not None:
            fired = show(clay.fired_capacity_l, "volume", units)
            rows.append(("Holds, fired", fired, "brimful, without glaze"))
    return tuple(rows)


def _stays(wall: Wall, units: str) -> Table:
    rows = tuple(
        (STAYS[one.why], show(one.volume_l, "volume", units), _where(one.at_mm))
        for one in wall.stays
    )
    return Table(
        "Slip that stays when the mold is turned over",
        (("Why", "left"), ("How much", "right"), ("At x, y, z in mm", "left")),
        rows,
        note="Tilt and turn it while it drains; what stays makes a thick place that dries last and can crack.",
    )


def _solids(wall: Wall, clay: Clay, units: str) -> Table:
    times = [show(one, "duration") for one in clay.solid_min] or ["needs a test cast"] * len(
        wall.solids
    )
    rows = tuple(
        (
            show(one.volume_l, "volume", units),
            _where(one.at_mm),
            short(one.deepest_mm, "length", units),
            time,
        )
        for one, time in zip(wall.solids, times, strict=True)
    )
    return Table(
        f"Places that cast solid at {short(wall.wall_mm, 'length', units)}",
        (
            ("How much", "right"),
            ("At x, y, z in mm", "left"),
            ("Closed at a wall of", "right"),
            ("After", "right"),
        ),
        rows,
        note="A solid place shrinks and dries more slowly than the wall beside it.",
    )


def _wall_notes(wall: Wall) -> tuple[Block, ...]:
    places = "Places are at the size of the mold, from the model's own origin, its lowest point at height 0."
    fine = f"Counted in cells of {wall.cell_mm:.2g} mm; places in cells of about 1 mm."
    said = f"{places} {fine}" if wall.stays or wall.solids else fine
    thickness = (
        "The wall is taken to be as thick everywhere. Edges that reach into the cast have less plaster "
        "behind them and cast thinner."
    )
    full = Caution(
        "A mold full of slip is heavy: two people, or a tilting frame, and straps that hold."
    )
    return Text(said, "note"), Text(thickness, "note"), full


# --- the mold


def _mold(release: Release, units: str) -> Section:
    chosen = release.chosen
    blocks: list[Block] = [Text(_verdict(chosen, units), "lead")]
    if chosen.is_curved:
        blocks.append(Text(_BENT))
    blocks.append(_tried(release, units))
    if release.undercuts:
        where = f"Where {release.chosen.parting} would hold"
        blocks.append(_places(where, release.undercuts, units))
    if release.any_pulls:
        blocks += _any_direction(release, units)
    draft = release.draft
    steep = Facts(
        (
            (
                "Leans under 1°",
                show(draft.under_1_deg, "fraction"),
                "of the face: it drags as it comes off",
            ),
            ("Leans under 3°", show(draft.under_3_deg, "fraction"), "of the face"),
        )
    )
    notes = (
        "On a round piece a strip beside each seam always leans little: of a tube parted in halves, one "
        "hundredth of the girth leans under 1°. Undercuts are told as the triangles have them, however "
        "small. What is cut away is shut in behind the piece, between the seams."
    )
    return Section("mold", "How a mold comes off", (*blocks, steep, Text(notes, "note")))


_BENT = (
    "No flat seam does with so few parts: it would shut plaster in, and slip would make a fin there. So "
    "this one follows the line in which the piece turns away from the pull, and runs out from there to "
    "the sides of the block. A board cannot lay it out: print the parts or the forms of their masters. If "
    "you would rather have flat seams, ask for a way with more parts: pourwright shape --parting."
)


def _verdict(chosen: Pulls, units: str) -> str:
    way = f"{chosen.parting.capitalize()}{_toward(chosen)}"
    if chosen.undercut_m2 * 1e6 < 1 and not _cut(chosen):
        return f"{way}: every face comes off."
    missed = f"{show(chosen.undercut_m2, 'area', units)} of the face is not reached"
    trimmed = (
        f", {show(_cut(chosen), 'volume', units)} of plaster is to be cut away"
        if _cut(chosen)
        else ""
    )
    return f"{way}: {missed} ({show(1 - chosen.reached, 'fraction')}){trimmed}."


def _toward(pulls: Pulls) -> str:
    if pulls.heading_deg is None:
        return ", pulled off downward"
    if pulls.sides_deg:
        *most, last = (f"{one:g}°" for one in pulls.sides_deg)
        return f" of unequal width, pulled toward {', '.join(most)} and {last}"
    seam = " and a seam that follows the parting line" if pulls.is_curved else ""
    return f", the first pulled toward {pulls.heading_deg:g}°{seam}"


def _cut(pulls: Pulls) -> float:
    """Return what is cut away, 0 where that is under a hundredth of a milliliter. [l]"""
    return pulls.trimmed_l if pulls.trimmed_l >= 1e-5 else 0.0


def _tried(release: Release, units: str) -> Table:
    rows = tuple(
        (
            one.parting
            + (", unequal" if one.sides_deg else ", bent seam" if one.is_curved else ""),
            str(one.parts),
            "down" if one.heading_deg is None else f"{one.heading_deg:g}°",
            show(one.undercut_m2, "area", units),
            show(one.trimmed_l, "volume", units),
        )
        for one in release.tried
    )
    marked = release.tried.index(release.chosen)
    return Table(
        "Ways to part the mold",
        (
            ("Way", "left"),
            ("Parts", "right"),
            ("First pulled", "right"),
            ("Not reached", "right"),
            ("Cut away", "right"),
        ),
        rows,
        marked=(marked,),
        note="Degrees go from the x axis (0°) toward the y axis (90°), level.",
    )


def _any_direction(release: Release, units: str) -> list[Block]:
    """Return what parts reach at most, and where as many as were chosen hold whatever is done."""
    rows = tuple(
        (
            str(one.parts),
            f"{100 * one.reached:.2f} %",
            show(release.face_m2 * (1 - one.reached), "area", units),
        )
        for one in release.any_pulls
    )
    most = Table(
        "At most, pulled in any direction",
        (("Parts", "right"), ("Reached", "right"), ("Not reached", "right")),
        rows,
        note="No way to part with so many parts reaches more, but for a few tenths of a percent. Whether "
        "plaster can be parted so, in which order and with which seams, is not looked into. What stays "
        "unreached has to be filled in or taken off the model, or be cast by itself and luted on.",
    )
    bound = release.bound
    if bound is None or not bound.held:
        return [most]
    where = f"Where {_so_many(bound.parts)} would hold in any direction"
    return [most, _places(where, bound.held, units)]


def _so_many(parts: int) -> str:
    return "one part" if parts == 1 else f"{parts} parts"


def _places(title: str, held: tuple[Undercut, ...], units: str) -> Table:
    shown = held[:_MOST_PLACES]
    rows = tuple((show(one.area_m2, "area", units), _where(one.at_mm)) for one in shown)
    more = len(held) - len(shown)
    return Table(
        title,
        (("How much", "right"), ("At x, y, z in mm", "left")),
        rows,
        note=f"And {more} smaller ones." if more else "",
    )


# --- the parts of the mold


def _parts(mold: Mold, parts: tuple[PartMass, ...], units: str, lift_kg: float) -> Section:
    lead = (
        f"{_counted(mold)} in a block of {_size(mold.block_mm, units)}: along the first pull, across it, and high. "
        f"They come off in this order, each along its pull."
    )
    table = Table(
        "The parts, and what to weigh for each",
        (
            ("Part", "left"),
            ("Pulled", "right"),
            ("Volume", "right"),
            ("Plaster", "right"),
            ("Water", "right"),
            ("Wet", "right"),
            ("Dry", "right"),
            ("Thinnest", "right"),
        ),
        tuple(_part_row(part, one, units) for part, one in zip(parts, mold.parts, strict=True)),
        note="Nothing is added for waste. Degrees go from the x axis toward the y axis. Thinnest is the plaster "
        "behind the piece, 5 mm and more from a seam.",
    )
    pictures = (
        "Beside them are written: all parts as one 3MF, this answer as JSON for a brief, two pictures, and the "
        "model that the edition's page turns. The "
        "mold opened has a tint for each part. The piece from three sides is orange where it leans less than "
        "1° away from its pull, ocher under 3°, and violet where it holds."
    )
    return Section(
        "parts",
        "The parts of the mold",
        (
            Text(lead, "lead"),
            table,
            Facts(_mold_rows(mold, parts, units)),
            Text(pictures, "note"),
            *_warnings(mold, parts, units, lift_kg),
        ),
    )


def _mold_rows(mold: Mold, parts: tuple[PartMass, ...], units: str) -> tuple[FactRow, ...]:
    rows: list[FactRow] = [("Slip to fill", show(mold.fill_l, "volume", units), "with the spare")]
    rows += [
        ("Natch", _where(one.at_mm), f"x, y, z in mm, on {one.on}, into {one.into}")
        for one in mold.natches
    ]
    rows += [
        ("Seam", show(one.length_mm, "length", units), f"on the piece, {' and '.join(one.between)}")
        for one in mold.seams
    ]
    if len(mold.seams) > 1:
        whole_mm = sum(one.length_mm for one in mold.seams)
        rows.append(("Seams in all", show(whole_mm, "length", units), "to fettle on each cast"))
    if mold.seams:
        rows.append(("Pulls hardest", *_hardest(mold, units)))
    if mold.cut_l >= 1e-5:
        rows.append(
            ("Cut away", show(mold.cut_l, "volume", units), "it was shut in behind the piece")
        )
    if mold.crumbs_l >= 1e-5:
        rows.append(("Left out", show(mold.crumbs_l, "volume", units), "loose crumbs of plaster"))
    rows += [
        (
            "Air stays",
            _where(one.at_mm),
            f"x, y, z in mm, {short(one.deep_mm, 'length', units)} deep: {_let_out(one)}",
        )
        for one in mold.air[:_MOST_PLACES]
    ]
    rows += [
        (
            "Vent",
            _where(one),
            "x, y, z in mm, up to the face to pour at: air leaves there; cut off what casts in it",
        )
        for one in mold.vents
    ]
    rows += [("File", one.file, "") for one in parts]
    return tuple(rows)


def _let_out(air: Air) -> str:
    """Return how the maker lets air out."""
    if air.lean_deg is None or air.toward_deg is None:
        return "leaning does not help; part the mold so that a seam runs there, and scratch a vent along it"
    return (
        f"lean the mold by {air.lean_deg:g}°, its side toward {air.toward_deg:g}° down, until slip "
        "stands in the spare"
    )


def _hardest(mold: Mold, units: str) -> tuple[str, str]:
    """Return the part that pulls hardest, or several that are alike, and why."""
    hardest = mold.hardest
    one = hardest[0]
    if one.drags_m2 >= LEAST_DRAGS_M2:
        why = f"{show(one.drags_m2, 'area', units)} of its face lean under 1° and drag"
    else:
        deep = short(one.deep_mm, "length", units)
        why = f"its face is the deepest, {deep} along its pull; none leans under 1°"
    return " and ".join(one.name for one in hardest), f"each: {why}" if len(hardest) > 1 else why


def _counted(mold: Mold) -> str:
    count = len(mold.parts)
    return "One part" if count == 1 else f"{count} parts"


def _part_row(part: PartMass, one: MoldPart, units: str) -> tuple[str, ...]:
    masses = (part.plaster_kg, part.water_kg, part.wet_kg, part.dry_kg)
    level = "up" if one.pull[2] > 0 else "down"
    return (
        one.name,
        level if one.heading_deg is None else f"{one.heading_deg:g}°",
        show(one.volume_l, "volume", units),
        *(show(mass, "mass", units) for mass in masses),
        short(one.thinnest_mm, "length", units),
    )


def _warnings(
    mold: Mold, parts: tuple[PartMass, ...], units: str, lift_kg: float
) -> tuple[Block, ...]:
    blocks: list[Block] = []
    slippery = _without_natches(mold)
    if slippery:
        few = f"There is no room for a natch {slippery}, so they can slip. Give more plaster: pourwright shape --around."
        blocks.append(Text(few))
    sharp = [one for one in mold.parts if one.sharp_mm >= 20]
    if sharp:
        words = ", ".join(f"{show(one.sharp_mm, 'length', units)} of {one.name}" for one in sharp)
        blocks.append(Text(f"Edges along the piece sharper than 45°, which chip: {words}."))
    thin = [one for one in mold.parts if one.thinnest_mm < BREAKS_MM]
    if thin:
        words = ", ".join(
            f"{short(one.thinnest_mm, 'length', units)} of {one.name} at {_where(one.thinnest_at_mm)}"
            for one in thin
        )
        blocks.append(
            Text(
                f"Plaster so thin breaks off before the mold is worn: {words} (x, y, z in mm). Widen the gap "
                "in the model there, or fill it."
            )
        )
    if not any(one.pull[2] for one in mold.parts):
        blocks.append(
            Text(
                "The seam runs across the foot: fettle it level, or the piece rocks. A base keeps it off the "
                "foot: pourwright shape --parting, such as halves and base."
            )
        )
    blocks.append(Caution(_heavy(mold, parts, units, lift_kg)))
    opens = (
        "Each part is what is left once all is taken out that lies behind a face leaning back, so the way "
        "along its pull is free. Grooves take a strap of an inch; edges along the seams are beveled, but for "
        "the face to pour at."
    )
    return (*blocks, Text(opens, "note"))


def _without_natches(mold: Mold) -> str:
    """Return between which parts that touch there is no natch; empty if there is one everywhere."""
    names = [one.name for one in mold.parts]
    held = {frozenset((one.on, one.into)) for one in mold.natches}
    sides = [one.name for one in mold.parts if one.heading_deg is not None]
    ends = [one for one in names if one not in sides]
    pairs = [(end, side) for end in ends for side in sides]
    pairs += list(zip(sides, [*sides[1:], *sides[:1]], strict=True))
    missing = {frozenset(pair) for pair in pairs if len(set(pair)) == 2} - held
    told = sorted(" and ".join(sorted(pair)) for pair in missing)
    return f"between {', '.join(told)}" if told else ""


def _full_kg(mold: Mold, parts: tuple[PartMass, ...]) -> float:
    """Return what the mold weighs wet and full of slip. [kg]"""
    return sum(one.wet_kg for one in parts) + SLIP_KG_PER_L * mold.fill_l


def _heavy(mold: Mold, parts: tuple[PartMass, ...], units: str, lift_kg: float) -> str:
    wet_kg = sum(one.wet_kg for one in parts)
    dry_kg = sum(one.dry_kg for one in parts)
    full_kg = _full_kg(mold, parts)
    limit = show(lift_kg, "mass", units)
    said = (
        f"The mold weighs {show(dry_kg, 'mass', units)} dry, {show(wet_kg, 'mass', units)} wet, and wet and "
        f"full of slip about {show(full_kg, 'mass', units)}"
    )
    if full_kg > lift_kg:
        return (
            f"{said}: more than the {limit} that one person lifts. Turn it by two, or on a frame."
        )
    heaviest = f"{said}: less than the {limit} that one person lifts close to the body and seldom."
    return f"{heaviest} Turning it full strains the wrists: take two, or a frame."


# --- the forms of the masters


def _masters(masters: tuple[Master, ...], units: str) -> Section:
    lead = (
        "Print each form as it stands, fill it with rubber, and take the rubber out: it is the master in "
        "which the part is poured, its back open and screeded level."
    )
    fits = {None: "not told", True: "in one", False: "too big"}
    table = Table(
        "The forms, and the rubber of each",
        (
            ("Part", "left"),
            ("Form", "right"),
            ("Rubber", "right"),
            ("Mass", "right"),
            ("Printer", "left"),
        ),
        tuple(
            (
                one.part,
                _size(one.size_mm, units),
                show(one.rubber_l, "volume", units),
                "" if one.rubber_kg is None else show(one.rubber_kg, "mass", units),
                fits[one.fits],
            )
            for one in masters
        ),
        note="Nothing is added for what stays in the cup. The back has neither strap grooves nor beveled "
        "edges: they are cut into the plaster.",
    )
    big = [one.part for one in masters if one.fits is False]
    blocks: list[Block] = [Text(lead, "lead"), table]
    if big:
        blocks.append(
            Text(
                f"Too big for the printer: {', '.join(big)}. Print it in pieces and glue them, or give less "
                "plaster: pourwright shape --around."
            )
        )
    blocks.append(
        Caution(
            "Uncured rubber irritates skin and lungs: gloves, eye protection, moving air. A fresh resin "
            "print can keep rubber from curing: try a patch first. The rubber's safety sheet decides."
        )
    )
    return Section("masters", "The forms of the masters", tuple(blocks))
