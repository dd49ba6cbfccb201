"""How long a mold takes to dry: a constant rate, then a falling one, always as a range.

This is the weakest forecast of the workshop. The falling rate hangs on one figure,
the critical saturation, that no readable source has measured for mold plaster; it
was set so that two workshops' drying times come out. Weigh the mold:
`pourwright.materials.drying.weighings` tightens the forecast.

What this page leaves out: air that changes over the day, molds that shade each other,
the drying of a *used* mold, which is slower, and anything uneven in the wall.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.materials.drying.evaporation import (
    ROOM_RADIATION_W_PER_M2_K,
    heat_transfer,
    wet_face,
)
from pourwright.materials.plaster.mix import (
    Plaster,
    dry_density,
    free_water,
    porosity,
)
from pourwright.materials.plaster.volumes import water_density
from pourwright.materials.ranges import (
    Floats,
    Range,
    plain,
    require_between,
    require_more_than,
)

CRITICAL_SATURATION = (0.05, 0.10, 0.20)
"""Share of the pores still filled when the rate begins to fall: calibrated, not published.

Set so that small molds take 7 days and large ones 10 to 14 in a room of 27 degC.
"""
UNTIL_DRY = 0.99
"""Share of the free water gone when the weight has stopped to change."""

# Gauss-Legendre, eight points between 0 and 1: exact for the gentle curve of 1/rate.
_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(8)
_POINTS, _WEIGHTS = (_POINTS + 1) / 2, _WEIGHTS / 2


@dataclass(frozen=True, slots=True)
class Room:
    """The air that molds dry in; what is not told is taken as a range.

    Parameters
    ----------
    temperature_c : float, optional
        Air temperature; else 16 to 24. [degC]
    relative_humidity : float, optional
        0 to 1; else 0.35 to 0.65. [-]
    air_speed_m_per_s : float, optional
        Along the molds; else 0.2 to 1.0. [m/s]
    """

    temperature_c: float | None = None
    relative_humidity: float | None = None
    air_speed_m_per_s: float | None = None


USUAL_TEMPERATURE_C = (24.0, 20.0, 16.0)
USUAL_HUMIDITY = (0.35, 0.50, 0.65)
USUAL_AIR_SPEED_M_PER_S = (1.0, 0.5, 0.2)
"""Quick, likely and slow air of a heated workshop: common practice, no source."""


def open_area(length_mm: Floats, width_mm: Floats, height_mm: Floats, *, on_rack: bool) -> Floats:
    """Return the outside of a block-shaped mold that the air reaches.

    All six faces, or five on a board. Strapped parts dry from the outside only:
    give the sides of the whole strapped block.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float or array
        Outer sides of the block. [mm]
    on_rack : bool
        Whether air reaches it from below.

    Returns
    -------
    float or array
        Open area. [m2]

    Raises
    ------
    OutOfRange
        If a side is not more than zero.

    Examples
    --------
    >>> round(open_area(200.0, 150.0, 120.0, on_rack=False), 3)
    0.114
    """
    for side, value in (("length", length_mm), ("width", width_mm), ("height", height_mm)):
        require_more_than(f"{side} of the mold", value, "mm")
    ends = length_mm * width_mm
    return (2 * (length_mm + width_mm) * height_mm + ends * (2 if on_rack else 1)) / 1e6


def drying_depth(volume_l: Floats, open_area_m2: Floats) -> Floats:
    """Return the plaster behind each piece of open face.

    ``volume/area``: half the thickness of a slab open on both sides, all of it
    where one side is closed.

    Parameters
    ----------
    volume_l : float or array
        Plaster. [l]
    open_area_m2 : float or array
        Faces that the air reaches. [m2]

    Returns
    -------
    float or array
        Depth. [mm]

    Raises
    ------
    OutOfRange
        If a figure is not more than zero.

    Examples
    --------
    >>> round(drying_depth(3.2, 0.13), 1)
    24.6
    """
    require_more_than("volume of the mold", volume_l, "l")
    require_more_than("open area of the mold", open_area_m2, "m2")
    return volume_l / open_area_m2


def drying_hours(
    plaster: Plaster,
    depth_mm: Floats,
    temperature_c: Floats,
    relative_humidity: Floats,
    heat_w_per_m2_k: Floats,
    *,
    until: Floats = UNTIL_DRY,
    critical_saturation: Floats = CRITICAL_SATURATION[1],
    radiation_w_per_m2_k: Floats = ROOM_RADIATION_W_PER_M2_K,
) -> Floats:
    """Return the hours until a share of the free water has gone, in steady air.

    Until the mean saturation falls to S_c the wet face gives the rate
    (`pourwright.materials.drying.evaporation.wet_face`); below it a dry layer
    ``d = depth (1 - S/S_c)`` slows vapor and heat, and ``t = integral of dW/J``.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    depth_mm : float or array
        Plaster behind the open faces, see `drying_depth`; 2 to 200. [mm]
    temperature_c : float or array
        Air temperature, 2 to 70. [degC]
    relative_humidity : float or array
        0 to 0.95. [-]
    heat_w_per_m2_k : float or array
        Coefficient of heat transfer, see
        `pourwright.materials.drying.evaporation.heat_transfer`. [W/(m2 K)]
    until : float or array
        Share of the free water gone, 0 to 1. [-]
    critical_saturation : float or array
        Share of the pores filled when the rate begins to fall, 0.01 to 0.6. [-]
    radiation_w_per_m2_k : float or array
        Radiation from the room. [W/(m2 K)]

    Returns
    -------
    float or array
        Hours. [h]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Notes
    -----
    Seck et al. [1]_ found that plaster dries slower than a simple porous body,
    since gypsum crystallizes just under the face, and that the rate falls
    dramatically after repeated wetting: a first drying is the best there is.

    Examples
    --------
    A slab of 50 mm, open on both sides, at 20 degC and 50 %:

    >>> mix = Plaster("pottery plaster", 70, "the bag")
    >>> round(drying_hours(mix, 25.0, 20.0, 0.5, 9.5) / 24, 1)
    10.3

    References
    ----------
    .. [1] Seck et al., J. Mater. Sci. 50 (2015) 2491, abstract.
    """
    require_between("plaster behind the open face", depth_mm, "mm", 2.0, 200.0)
    require_between("relative humidity", relative_humidity, "of saturation", 0.0, 0.95)
    require_between("share of the free water gone", until, "of it", 0.0, 1.0)
    require_between("critical saturation", critical_saturation, "of the pores", 0.01, 0.6)
    depth = np.asarray(depth_mm, dtype=np.float64)
    first = np.asarray(free_water(plaster)) * depth
    full = np.asarray(porosity(plaster)) * water_density(20.0) * depth
    critical = np.minimum(critical_saturation * full, first)
    last = first * (1 - np.asarray(until))
    air = (temperature_c, relative_humidity, heat_w_per_m2_k, radiation_w_per_m2_k)
    constant = wet_face(*air).water_g_per_m2_h / 1000
    hours = (first - np.maximum(critical, last)) / constant
    return plain(hours + _falling_hours(depth, critical, np.minimum(last, critical), air))


def _falling_hours(
    depth_mm: Floats, critical: Floats, last: Floats, air: tuple[Floats, ...]
) -> Floats:
    """Return the hours from the critical water content to the last one. [h]."""
    span = np.asarray(critical - last)[..., None]
    water = np.asarray(last)[..., None] + span * _POINTS
    layer = np.asarray(depth_mm)[..., None] * (1 - water / np.asarray(critical)[..., None])
    temperature, humidity, heat, radiation = (np.asarray(a)[..., None] for a in air)
    face = wet_face(temperature, humidity, heat, radiation, dry_layer_mm=np.clip(layer, 0.0, 200.0))
    return plain(np.sum(_WEIGHTS * span / (np.asarray(face.water_g_per_m2_h) / 1000), axis=-1))


def drying_forecast(
    plaster: Plaster, depth_mm: float, room: Room | None = None, until: float = UNTIL_DRY
) -> Range:
    """Return the days until a mold has dried, as a range.

    `drying_hours` at the likely figures; then each of temperature, humidity, air
    speed, coefficient of heat transfer and critical saturation alone at its quick
    and its slow end. Their effects on the logarithm of the time are added in
    quadrature, since they do not conspire.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    depth_mm : float
        Plaster behind the open faces, see `drying_depth`. [mm]
    room : Room, optional
        What is known of the air; the range is wide without it.
    until : float
        Share of the free water gone. [-]

    Returns
    -------
    Range
        Days. [days]

    Raises
    ------
    OutOfRange
        If a figure is outside its range.

    Examples
    --------
    >>> days = drying_forecast(Plaster("pottery plaster", 70, "the bag"), 25.0)
    >>> f"{days.low:.0f} to {days.high:.0f} days"
    '7 to 22 days'
    """
    room = room or Room()
    ends = {
        "temperature": _ends(room.temperature_c, USUAL_TEMPERATURE_C),
        "humidity": _ends(room.relative_humidity, USUAL_HUMIDITY),
        "speed": _ends(room.air_speed_m_per_s, USUAL_AIR_SPEED_M_PER_S),
        "heat": (2, 1, 0),
        "critical": CRITICAL_SATURATION,
    }
    likely = {name: triple[1] for name, triple in ends.items()}
    hours = _hours(plaster, depth_mm, until, likely)
    low, high = 0.0, 0.0
    for name, (quick, _, slow) in ends.items():
        low += np.log(_hours(plaster, depth_mm, until, likely | {name: quick}) / hours) ** 2
        high += np.log(_hours(plaster, depth_mm, until, likely | {name: slow}) / hours) ** 2
    days = hours / 24
    source = "drying model; critical saturation calibrated to two workshops' accounts"
    return Range(
        days * float(np.exp(-np.sqrt(low))), days, days * float(np.exp(np.sqrt(high))), source
    )


def _ends(told: float | None, usual: tuple[float, float, float]) -> tuple[float, float, float]:
    """Return quick, likely and slow; all the same where the maker told the figure."""
    return usual if told is None else (told, told, told)


def _hours(plaster: Plaster, depth_mm: float, until: float, at: dict[str, float]) -> float:
    """Return the drying time for one set of figures. [h]."""
    coefficients = heat_transfer(at["speed"])
    heat = (coefficients.low, coefficients.likely, coefficients.high)[int(at["heat"])]
    return float(
        drying_hours(
            plaster,
            depth_mm,
            at["temperature"],
            at["humidity"],
            heat,
            until=until,
            critical_saturation=at["critical"],
        )
    )


def share_gone(plaster: Plaster, left: Floats) -> Floats:
    """Return the share of the free water that has gone when some is left.

    ``1 - left x dry/free water``: what `drying_hours` calls ``until``.

    Parameters
    ----------
    plaster : Plaster
        The mix.
    left : float or array
        Free water over dry mass: 0.05 is a good working mold. [-]

    Returns
    -------
    float or array
        Share gone, 0 where the fresh mold holds less than that. [-]

    Raises
    ------
    OutOfRange
        If ``left`` is not between 0 and 1.

    Examples
    --------
    >>> round(share_gone(Plaster("pottery plaster", 70, "the bag"), 0.05), 2)
    0.88
    """
    require_between("free water left", left, "of the dry mass", 0.0, 1.0, "5 % is written 0.05.")
    return plain(np.maximum(1 - left * dry_density(plaster) / free_water(plaster), 0.0))
