"""``pourwright shape MODEL``: what a model's shape tells before a gram of plaster is mixed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pourwright.shape.look import Shows, Up
    from pourwright.shape.model_units import Unit
    from pourwright.shape.records import Shape

EXAMPLES = """\b
Examples:
  pourwright shape mug.stl
  pourwright shape mug.obj --unit in --up y
  pourwright shape mug.3mf --drawn fired --shrinkage "12 %"
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
    default="z",
    show_default=True,
    help="The model's axis that points to where slip is poured in.",
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
    up: Up,
    drawn: Shows,
    shrinkage: str | None,
    units: str,
    *,
    as_json: bool,
) -> None:
    """Tell what the shape in a MODEL comes to, an STL, OBJ, PLY, 3MF or GLB file.

    Its size at the mold and fired, what is wrong with its surface and where, and what it
    holds if it is drawn hollow. The file is never changed.
    """
    from pourwright.shape.extra import require_extra

    require_extra()
    from pourwright.cli.progress import working
    from pourwright.quantities import read
    from pourwright.shape.look import Wish, look_at
    from pourwright.shape.records import Shape

    share = None if shrinkage is None else read(shrinkage, "fraction", path="--shrinkage")
    with working("Looking at the model"):
        looked = look_at(model, Wish(unit, up, drawn, share))
    _show(Shape(looked.look), units, as_json=as_json)


def _show(shape: Shape, units: str, *, as_json: bool) -> None:
    if as_json:
        import msgspec

        click.echo(msgspec.json.format(msgspec.json.encode(shape), indent=2).decode())
        return
    from pourwright.cli.show import console_for, show_sections
    from pourwright.report.shape import shape_sections, shape_title

    show_sections(console_for(), shape_title(shape), shape_sections(shape, units))
