"""Moist air and evaporation, from textbooks' worked examples and the steam tables."""

from __future__ import annotations

from functools import partial

from pourwright.materials.drying import air, evaporation
from tests.sources.check import Check

R7 = "IAPWS R7-97(2012), verification values of the saturation line, tables 35 and 36"
GEANKOPLIS = "Geankoplis, Transport Processes and Unit Operations, example 9.3-1, p. 526"
TREYBAL = "Treybal, Mass-Transfer Operations, illustration 7.6, p. 234"
TREYBAL_DRY = "Treybal, Mass-Transfer Operations, illustration 12.4 (b), p. 676"
COULSON = "Coulson and Richardson, Chemical Engineering 2, examples 16.3 and 16.5: latent heat"
LIBRARY = "ASHRAE 2017 equations through a psychrometric library, and a second property library"
STEAM = "IAPWS-97 through a general-purpose steam library: latent heat"
GEANKOPLIS_DRY = "Geankoplis, Transport Processes and Unit Operations, example 9.6-3"
MARRERO = "textbook tables of diffusivity: water vapor in air at 25 degC"

F80 = (80 - 32) / 1.8
WET_BULBS = (
    (20, 0.50, 13.78),
    (25, 0.50, 17.89),
    (20, 0.60, 15.14),
    (30, 0.40, 20.06),
    (40, 0.20, 22.03),
    (45, 0.15, 23.27),
)
DEFICITS = ((20, 0.50, 1169), (25, 0.50, 1585), (45, 0.15, 8154))
LATENT = ((25.0, 2441.7), (45.0, 2394.0), (48.9, 2384.6))
LATENT_SET = ((0.01, 2500.9), (20.0, 2453.5), (100.0, 2256.5))


def _treybal_coefficient() -> float:
    """Return the book's own coefficient: 5.90 G^0.71/d^0.29 for its duct and air. [W/(m2 K)]"""
    volume = (0.00283 + 0.00456 * 0.01) * (65 + 273)
    mass_flux = 3.0 * (1 + 0.01) / volume
    diameter = 4 * 0.1 * 0.7 / (2 * (0.7 + 0.1))
    return float(5.90 * mass_flux**0.71 / diameter**0.29)


def _book_flux(heat: float, air_c: float, surface_c: float, latent_kj: float) -> float:
    """Return h (T - Ts)/L, as the book works it. [g/(m2 h)]"""
    return heat * (air_c - surface_c) / latent_kj * 3600


def _our_flux(air_c: float, water: float, heat: float) -> float:
    """Return ours for the same air, without radiation. [g/(m2 h)]"""
    humidity = air.relative_humidity(air_c, water)
    return float(evaporation.wet_face(air_c, humidity, heat, 0.0).water_g_per_m2_h)


CHECKS = [
    Check(
        "drying.air.saturation_pressure",
        R7,
        3536.58941,
        lambda: air.saturation_pressure(300 - 273.15),
        0.000005,
        "Pa",
        note="300 K",
    ),
    Check(
        "drying.air.dew_point",
        R7,
        372.755919,
        lambda: air.dew_point(1e5) + 273.15,
        0.0000005,
        "K",
        note="0.1 MPa",
    ),
    Check(
        "drying.air.saturation_pressure",
        GEANKOPLIS,
        3.50,
        lambda: air.saturation_pressure(F80) / 1000,
        0.005,
        "kPa",
        note="80 degF, printed as 26.7 degC",
    ),
    Check(
        "drying.air.humidity_ratio",
        GEANKOPLIS,
        0.01742,
        lambda: air.humidity_ratio(F80, 2760 / air.saturation_pressure(F80), 101300.0),
        0.000005,
        "kg/kg",
        note="partial pressure 2.76 kPa, pressure 101.3 kPa",
    ),
    Check(
        "drying.air.humidity_ratio",
        GEANKOPLIS,
        0.02226,
        lambda: air.humidity_ratio(F80, 1.0, 101300.0),
        0.00004,
        "kg/kg",
        note="saturated at 80 degF; the print's own 3.50 kPa is good to 0.005",
    ),
    Check(
        "drying.air.relative_humidity",
        TREYBAL,
        29.6,
        lambda: 100 * air.relative_humidity(55.0, 0.030),
        0.15,
        "%",
        note="0.030 kg/kg at 55 degC; the print takes 118 mmHg, good to half a unit",
    ),
    Check(
        "drying.air.dew_point",
        TREYBAL,
        31.5,
        lambda: air.dew_point(4662.0),
        0.25,
        "degC",
        note="4662 Pa; read from a chart",
    ),
    Check(
        "drying.air.air_volume",
        TREYBAL,
        0.974,
        lambda: air.air_volume(55.0, 0.030),
        0.006,
        "m3/kg",
        note="interpolated in the print between 0.93 and 1.10",
    ),
    Check(
        "drying.air.latent_heat",
        COULSON,
        2449.0,
        lambda: air.latent_heat(295 - 273.15),
        0.5,
        "kJ/kg",
        note="295 K",
    ),
    Check(
        "drying.air.latent_heat",
        COULSON,
        2410.0,
        lambda: air.latent_heat(312 - 273.15),
        5.0,
        "kJ/kg",
        note="312 K, printed to the ten",
    ),
    *(
        Check(
            "drying.air.latent_heat",
            STEAM,
            printed,
            partial(air.latent_heat, celsius),
            1.0,
            "kJ/kg",
            grade="LIBRARY",
            note=f"{celsius:g} degC; our parabola claims 0.05 %",
        )
        for celsius, printed in LATENT
    ),
    *(
        Check(
            "drying.air.latent_heat",
            STEAM,
            printed,
            partial(air.latent_heat, celsius),
            0.2,
            "kJ/kg",
            grade="LIBRARY",
            counted=False,
            note=f"{celsius:g} degC. Not counted: the parabola runs through it.",
        )
        for celsius, printed in LATENT_SET
    ),
    *(
        Check(
            "drying.air.wet_bulb",
            LIBRARY,
            printed,
            partial(air.wet_bulb, celsius, humidity),
            0.01,
            "degC",
            grade="LIBRARY",
            note=f"{celsius} degC, {100 * humidity:.0f} %, 101325 Pa",
        )
        for celsius, humidity, printed in WET_BULBS
    ),
    *(
        Check(
            "drying.air.vapor_pressure",
            LIBRARY,
            printed,
            lambda t=celsius, rh=humidity: air.saturation_pressure(t) - air.vapor_pressure(t, rh),
            2.0,
            "Pa",
            grade="LIBRARY",
            note=f"deficit at {celsius} degC, {100 * humidity:.0f} %; the library's own fit of the"
            " saturation line differs from IAPWS by 0.02 %",
        )
        for celsius, humidity, printed in DEFICITS
    ),
    Check(
        "drying.evaporation.wet_face",
        TREYBAL_DRY,
        _book_flux(_treybal_coefficient(), 65.0, 28.5, 2435.0),
        lambda: _our_flux(65.0, 0.01, _treybal_coefficient()),
        0.058 * _book_flux(_treybal_coefficient(), 65.0, 28.5, 2435.0),
        "g/(m2 h)",
        grade="WORKED",
        note="the book's coefficient; it takes the face at adiabatic saturation although its own"
        " measured psychrometric ratio, 950 J/(kg K) for 1005, is 5.8 % off that: the tolerance",
    ),
    Check(
        "drying.evaporation.wet_face",
        GEANKOPLIS_DRY,
        3390.0,
        lambda: _our_flux(65.6, 0.010, 62.45),
        0.06 * 3390,
        "g/(m2 h)",
        grade="MEMORY",
        counted=False,
        note="h 62.45, wet bulb 28.9 degC. Not counted: the result is from memory.",
    ),
    Check(
        "drying.evaporation.vapor_diffusivity",
        MARRERO,
        2.6e-5,
        lambda: evaporation.vapor_diffusivity(25.0),
        0.1e-5,
        "m2/s",
        grade="MEMORY",
        counted=False,
        note="printed between 2.5e-5 and 2.6e-5. Not counted: from memory.",
    ),
]
