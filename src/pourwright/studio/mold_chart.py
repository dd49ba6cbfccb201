"""A mold's weighings as a picture."""

from __future__ import annotations

from datetime import timedelta

from pourwright.errors import NotDoable
from pourwright.report.charts.palette import Scheme
from pourwright.report.charts.records import LOOKS
from pourwright.studio.shelf import Drying


def weighings_svg(label: str, drying: Drying, width: str, scheme: Scheme) -> bytes:
    """Return the weighings of a mold as an SVG file.

    Parameters
    ----------
    label : str
        The mold.
    drying : Drying
        Its weighings, and when they say that it is dry.
    width : {"phone", "desktop"}
        The size it is drawn in.
    scheme : {"light", "dark"}
        The page it is for.

    Returns
    -------
    bytes

    Raises
    ------
    NotDoable
        If there are not two days with a weighing.
    """
    from pourwright.report.charts.render import svg_image
    from pourwright.report.charts.weighings import weighings_chart

    by_day = {}
    for days, kg in zip(drying.days, drying.masses_kg, strict=True):
        if drying.first is not None:
            by_day[drying.first + timedelta(days=int(days + 0.5))] = kg  # the last of a day counts
    if len(by_day) < 2:
        raise NotDoable(
            f"{label} was weighed on fewer than two days; there is nothing to draw yet."
        )
    rows = [{"date": day, "kg": kg} for day, kg in sorted(by_day.items())]
    look = next(one for one in LOOKS if one.name == width)
    spec = weighings_chart(rows, look, dry_kg=drying.dry_kg, dry=drying.dry)
    return svg_image(spec, scheme, title=f"Weighings of {label}", alt=drying.says)
