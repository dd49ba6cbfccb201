"""``pourwright shape MODEL``: what a model's shape tells before a gram of plaster is mixed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

if TYPE_CHECKING:
    from pourwright.shape.look import Shows
    from pourwright.shape.model_units import Unit
    from pourwright.shape.no_seam import NoSeam
    from pourwright.shape.records import Parting, Shape, Up

PARTINGS = (
    "drop-out",
    "halves",
    "halves and base",
    "halves and top",
    "halves, base and top",
    "three sides",
    "three sides and base",
    "four sides",
    "four sides and base",
)
EXAMPLES = """\b
Examples:
  pourwright shape mug.stl
  pourwright shape mug.obj --unit in --up y
  pourwright shape mug.3mf --drawn fired --shrinkage "12 %"
  pourwright shape mug.stl --wall "5 mm" --test-wall "4 mm" --test-minutes "8 min"
  pourwright shape mug.stl --parting best
  pourwright shape mug.stl --parts 3 --no-seam "0, -40, 45, 12 mm"
  pourwright shape mug.stl --mold mold
  pourwright shape mug.stl --mold mold --masters --printer "220 x 220 x 250 mm"
  pourwright shape mug.glb --json > mug.json
"""


@click.command("shape", epilog=EXAMPLES)
@click.argument("model", type=click.Path(path_type=Path))
@click.option(
    "--unit",
    type=click.Choice(["mm", "cm", "m", "in"]),
    help="What the model's lengths are in. Without it: what the file states, or the only unit in which "
    "the piece has a size that is cast.",
)
@click.option(
    "--up",
    type=click.Choice(["x", "-x", "y", "-y", "z", "-z"]),
    help="The model's axis that points to where slip is poured in. Without it: z, or -z if only the foot "
    "is level.",
)
@click.option(
    "--drawn",
    type=click.Choice(["mold", "fired"]),
    default="mold",
    show_default=True,
    help="Which size the model is drawn at: the mold's, or the fired piece's.",
)
@click.option(
    "--shrinkage",
    metavar="TEXT",
    help='From the mold to the fired piece, of the length. Such as "12 %".',
)
@click.option("--wall", metavar="TEXT", help='The wall wanted. Such as "5 mm".')
@click.option(
    "--minutes",
    metavar="TEXT",
    help='Or how long the slip stands, with a test cast. Such as "12 min".',
)
@click.option("--test-wall", metavar="TEXT", help='Wall of a test cast. Such as "4 mm".')
@click.option("--test-minutes", metavar="TEXT", help='How long it stood. Such as "8 min".')
@click.option(
    "--pour",
    metavar="TEXT",
    help="How high the level face is that slip is poured through, above the piece's lowest point at "
    'the size of the mold. Without it: the top. Such as "104 mm".',
)
@click.option(
    "--liter-weight",
    metavar="TEXT",
    help='What the slip weighs, to tell how much is topped up. Such as "1780 g/l".',
)
@click.option(
    "--loss",
    metavar="TEXT",
    help='What the dry clay loses in firing, to tell the fired mass. Such as "11 %".',
)
@click.option(
    "--parting",
    type=click.Choice(["best", *PARTINGS]),
    help="Tell how a mold comes off the piece, parted so; best is the fewest parts that do.",
)
@click.option(
    "--heading",
    type=float,
    metavar="DEGREES",
    help="Which way the first side of the mold is pulled, from the x axis toward the y axis. Without it: "
    "the best of 72.",
)
@click.option(
    "--parts",
    type=int,
    metavar="NUMBER",
    help="How many parts the mold is to have. Without it: the fewest that do.",
)
@click.option(
    "--no-seam",
    "no_seams",
    multiple=True,
    metavar="TEXT",
    help="A place that no seam may run across, such as a stamp: the middle of a ball and its radius, "
    '"0, -40, 45, 12 mm", or two corners of a box, "-10, -50, 30, 10, -30, 60 mm", at the size of the '
    "mold. It may be given more than once.",
)
@click.option(
    "--mold",
    "folder",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Make the mold's parts with spare, natches and strap grooves, and write them there as STL and 3MF; "
    "files of the same name are replaced.",
)
@click.option(
    "--order",
    metavar="TEXT",
    help='With --mold: the order in which its parts come off. Such as "base, half 2, half 1". Without it: '
    "top, base, then the sides.",
)
@click.option(
    "--around", metavar="TEXT", default="30 mm", show_default=True, help="Plaster around the piece."
)
@click.option(
    "--spare",
    metavar="TEXT",
    default="25 mm",
    show_default=True,
    help="How high the spare stands above the opening; it widens upward to pour into.",
)
@click.option(
    "--round",
    metavar="TEXT",
    default="4 mm",
    show_default=True,
    help="Radius of the block's upright edges; as much as around the piece makes a rounded block.",
)
@click.option(
    "--masters",
    is_flag=True,
    help="With --mold: write the form of each part's master too, to be printed and filled with rubber.",
)
@click.option(
    "--rubber-density",
    metavar="TEXT",
    help='Of the cured rubber, from its data sheet, to tell its mass. Such as "1.1 kg/l".',
)
@click.option(
    "--printer",
    metavar="TEXT",
    help="What your printer prints, to tell which forms are too big for it: width, depth, height. "
    'Such as "220 x 220 x 250 mm".',
)
@click.option(
    "--lift",
    metavar="TEXT",
    default="23 kg",
    show_default=True,
    help="What one person lifts at most; the answer says what is heavier.",
)
@click.option(
    "--consistency",
    type=float,
    default=70.0,
    show_default=True,
    help="Parts of water to 100 of plaster, as the bag gives it.",
)
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    show_default=True,
    help="Units the answer is shown in.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON and nothing else.")
def shape_command(
    model: Path,
    unit: Unit | None,
    up: Up | None,
    drawn: Shows,
    parting: Parting | Literal["best"] | None,
    heading: float | None,
    parts: int | None,
    no_seams: tuple[str, ...],
    folder: Path | None,
    consistency: float,
    printer: str | None,
    order: str | None,
    units: str,
    *,
    masters: bool,
    as_json: bool,
    **typed: str | None,
) -> None:
    """Tell what the shape in a MODEL comes to, an STL, OBJ, PLY, 3MF or GLB file.

    Its size at the mold and fired, what is wrong with its surface and where, and what it
    holds if it is drawn hollow; with a wall or a casting time, the clay and the slip of a
    cast, what does not drain and what casts solid; with a parting, how a mold comes off and
    where it would hold; with --mold, its parts as bodies. The model's file is never
    changed.
    """
    from pourwright.extras import require_extra

    require_extra("shape")
    from pourwright.cli.progress import working
    from pourwright.plan.shape import CastWish, MoldWish, shape_of
    from pourwright.shape.look import Wish

    told = {name: _read(name, text) for name, text in typed.items()}
    lengths = (told.pop(name) or 0.0 for name in ("around", "spare", "round"))
    around_mm, spare_mm, round_mm = lengths
    lift_kg = told.pop("lift") or 0.0
    told_density = told.pop("rubber_density")
    wish = Wish(unit, up, drawn, told.pop("shrinkage"))
    cast = CastWish(**{FIELDS[name]: value for name, value in told.items()})
    is_asked = any(one is not None for one in (parting, heading, parts)) or bool(no_seams)
    way = None if parting == "best" else parting
    mold = MoldWish(
        is_asked,
        way,
        heading,
        folder,
        around_mm,
        spare_mm,
        round_mm,
        consistency,
        masters,
        told_density,
        None if printer is None else _read_printer(printer),
        () if order is None else tuple(one.strip() for one in order.split(",")),
        parts,
        tuple(_read_no_seam(one) for one in no_seams),
    )
    with working("Looking at the model"):
        shape = shape_of(model, wish, cast, mold)
    _show(shape, units, lift_kg, as_json=as_json)


FIELDS = {
    "wall": "wall_mm",
    "minutes": "minutes",
    "test_wall": "test_wall_mm",
    "test_minutes": "test_min",
    "pour": "pour_mm",
    "liter_weight": "liter_weight_g_per_l",
    "loss": "loss_on_ignition",
}
"""What each option of the cast is called inside."""

DIMENSIONS = {
    "around": "length",
    "spare": "length",
    "round": "length",
    "lift": "mass",
    "rubber_density": "density",
    "shrinkage": "fraction",
    "wall": "length",
    "minutes": "duration",
    "test_wall": "length",
    "test_minutes": "duration",
    "pour": "length",
    "liter_weight": "liter weight",
    "loss": "fraction",
}
"""What each option measures."""


def _read(name: str, text: str | None) -> float | None:
    from pourwright.quantities import read

    path = f"--{name.replace('_', '-')}"
    return None if text is None else read(text, DIMENSIONS[name], path=path)


def _read_printer(text: str) -> tuple[float, float, float]:
    """Return three lengths; a unit behind the last goes for all that have none. [mm]"""
    from pourwright.errors import BadInput
    from pourwright.quantities import read

    words = [one.strip() for one in text.replace("×", "x").split("x")]
    unit = words[-1].lstrip("0123456789., ")
    if len(words) != 3 or not unit:
        right = 'give width, depth and height, such as "220 x 220 x 250 mm"'
        raise BadInput.one("--printer", text, right)
    lengths = [one if one[-1:].isalpha() else f"{one} {unit}" for one in words]
    wide, deep, high = (read(one, "length", path="--printer") for one in lengths)
    return wide, deep, high


def _read_no_seam(text: str) -> NoSeam:
    """Return a ball of its middle and radius, or a box of two corners; the unit stands at the end."""
    from pourwright.errors import BadInput
    from pourwright.quantities import read
    from pourwright.shape.no_seam import NoSeam

    bare = text.rstrip("abcdefghijklmnopqrstuvwxyz ")
    unit = text[len(bare) :].strip()
    try:
        told = [float(one) for one in bare.split(",")]
        scale = read(f"1 {unit}", "length", path="--no-seam") if unit else 0.0
        lengths = [one * scale for one in told]
    except ValueError:
        lengths = []
    if unit and len(lengths) == 4 and lengths[3] > 0:
        x, y, z, radius = lengths
        return NoSeam((x, y, z), (radius,) * 3, is_ball=True, told=text)
    if (
        unit
        and len(lengths) == 6
        and all(a != b for a, b in zip(lengths, lengths[3:], strict=False))
    ):
        corners = list(zip(lengths, lengths[3:], strict=False))
        x, y, z = ((a + b) / 2 for a, b in corners)
        wide, deep, high = (abs(b - a) / 2 for a, b in corners)
        return NoSeam((x, y, z), (wide, deep, high), is_ball=False, told=text)
    right = (
        'give the middle of a ball and its radius, such as "0, -40, 45, 12 mm", or two corners of a '
        'box, such as "-10, -50, 30, 10, -30, 60 mm"'
    )
    raise BadInput.one("--no-seam", text, right)


def _show(shape: Shape, units: str, lift_kg: float, *, as_json: bool) -> None:
    if as_json:
        import msgspec

        click.echo(msgspec.json.format(msgspec.json.encode(shape), indent=2).decode())
        return
    from pourwright.cli.show import console_for, show_sections
    from pourwright.report.shape import shape_sections, shape_title

    show_sections(console_for(), shape_title(shape), shape_sections(shape, units, lift_kg))
