"""What the witness cones say of a kiln that reads off.

The controller shows a temperature; the cones beside the ware show the heat work.
Their difference is the kiln's own offset, to be taken off the next schedule. It
is often larger than any difference between two charts.

What this page leaves out: that the offset grows as a thermocouple ages and
differs from shelf to shelf. Set cones in every load that matters.
"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.errors import NotDoable
from pourwright.materials.kiln.cones import (
    Kind,
    cone_name,
    cone_names,
    cone_temperature,
)
from pourwright.materials.kiln.heat_work import PRINTED_END_DEGC
from pourwright.materials.kiln.holds import degrees_that_a_hold_saves
from pourwright.materials.ranges import require_between

BEND_MIN = (15.0, 25.0)
"""From a cone's first bend until its tip touches; two charts print 15 to 25 and 15 to 22. [min]"""


@dataclass(frozen=True, slots=True)
class Offset:
    """How far a kiln's reading is from what its cones say.

    Parameters
    ----------
    reached_low_degc, reached_high_degc : float
        What the ware got, as the temperature of the charts. [degC]
    offset_degc : float
        What the ware got less what the controller showed; the middle. [degC]
    error_degc : float
        Half the range, and no less than the charts themselves are good to. [degC]
    """

    reached_low_degc: float
    reached_high_degc: float
    offset_degc: float
    error_degc: float


def witness_offset(
    shown_degc: float,
    cone_down: str | float,
    cone_standing: str | float,
    rate_degc_per_h: float = 60.0,
    kind: Kind = "self-supporting",
    hold_min: float = 0.0,
) -> Offset:
    """Return a kiln's offset from the hottest cone that is down and the next that stands.

    The ware got at least the end of the one and less than the beginning of the
    other, which starts to bend 15 to 25 minutes before its end.

    Parameters
    ----------
    shown_degc : float
        Top temperature that the controller showed, 500 to 1400. [degC]
    cone_down : str or float
        Hottest cone whose tip touches.
    cone_standing : str or float
        Coolest cone that has not begun to bend.
    rate_degc_per_h : float
        Heating rate over the last 100 degC, as the charts print it. [degC/h]
    kind : {"self-supporting", "large"}
        The kind of the cones.
    hold_min : float
        Hold at the top, 0 to 240; its heat work is taken off, which is known for
        cones 019 to 10. [min]

    Returns
    -------
    Offset
        What the ware got and the kiln's offset. [degC]

    Raises
    ------
    NotDoable
        If the standing cone is not the hotter one, or a cone is not charted.
    OutOfRange
        If a value is outside its range.

    Notes
    -----
    With a hold, what is returned as reached is the true temperature of the ware,
    below the charts' by what the hold did.

    Examples
    --------
    >>> seen = witness_offset(1210.0, "6", "7")
    >>> f"{seen.offset_degc:+.0f} degC, good to {seen.error_degc:.0f}"
    '+13 degC, good to 3'
    """
    require_between("temperature shown", shown_degc, "degC", 500.0, 1400.0)
    names = cone_names(kind)
    down, standing = cone_name(cone_down), cone_name(cone_standing)
    low, end = (
        float(cone_temperature(cone, rate_degc_per_h, kind).temperature_degc)
        for cone in (down, standing)
    )
    if names.index(standing) <= names.index(down):
        raise NotDoable(
            f"cone {standing} stands and cone {down} is down, but {standing} is not the hotter; "
            "were the two mixed up, or was a leading nought left out?"
        )
    # The latest possible beginning, so that the range holds whatever the bend took.
    high = max(low, end - rate_degc_per_h * BEND_MIN[0] / 60)
    held = _held_degc(down, hold_min, rate_degc_per_h, kind)
    low, high = low - held, high - held
    middle = (low + high) / 2
    return Offset(low, high, middle - shown_degc, max((high - low) / 2, PRINTED_END_DEGC))


def _held_degc(cone: str, hold_min: float, rate_degc_per_h: float, kind: Kind) -> float:
    """Return the degrees that a hold stands in for; none without a hold."""
    if hold_min == 0:
        return 0.0
    return degrees_that_a_hold_saves(cone, hold_min, rate_degc_per_h, kind)


def shown_for_cone(
    cone: str | float,
    offset_degc: float,
    rate_degc_per_h: float = 60.0,
    kind: Kind = "self-supporting",
    hold_min: float = 0.0,
) -> float:
    """Return the temperature to set on a kiln of known offset for a cone.

    Parameters
    ----------
    cone : str or float
        Cone wanted at the ware.
    offset_degc : float
        What the ware gets less what is shown, -150 to 150. [degC]
    rate_degc_per_h : float
        Heating rate over the last 100 degC, as the charts print it. [degC/h]
    kind : {"self-supporting", "large"}
        The kind of cone.
    hold_min : float
        Hold at the top, 0 to 240, known for cones 019 to 10. [min]

    Returns
    -------
    float
        Temperature to set. [degC]

    Raises
    ------
    OutOfRange
        If the offset is larger: have the thermocouple looked at.
    NotDoable
        If the cone is not charted.

    Examples
    --------
    One studio needs 1210 degC shown where the chart has 1222 [1]_:

    >>> shown_for_cone("6", 12.0)
    1210.0

    References
    ----------
    .. [1] A US studio's page on firing: 2210 degF shown for cone 6, 2232 charted.
    """
    require_between("offset of the kiln", offset_degc, "degC", -150.0, 150.0)
    charted = cone_temperature(cone, rate_degc_per_h, kind).temperature_degc
    held = _held_degc(cone_name(cone), hold_min, rate_degc_per_h, kind)
    return float(charted) - held - offset_degc
