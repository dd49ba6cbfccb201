"""Temperature and humidity that take crystal water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.errors import OutOfRange
from pourwright.materials.drying.dehydration import (
    RISK_SAYS,
    DehydrationRisk,
    dehydration_risk,
    equilibrium_humidity,
    log_solubility_gypsum,
    log_solubility_hemihydrate,
)


def test_the_warmer_the_more_humid_the_air_must_be() -> None:
    celsius = np.arange(5.0, 105.0)

    assert np.all(np.diff(equilibrium_humidity(celsius)) > 0)


def test_plaster_of_paris_dissolves_better_than_gypsum_until_they_change_places() -> None:
    """In pure water near 101 degC by measurement; our two sheets put it six degrees higher."""
    assert log_solubility_hemihydrate(25.0) > log_solubility_gypsum(25.0)
    assert equilibrium_humidity(100.0) < 1 < equilibrium_humidity(110.0)


@pytest.mark.parametrize(
    ("temperature", "humidity", "dried", "risk"),
    [
        (49.0, 0.90, 0.0, DehydrationRisk.STOP),
        (48.9, 0.90, 1.0, DehydrationRisk.NONE),  # more humid than the balance
        (48.9, 0.10, 0.92, DehydrationRisk.NONE),  # its own evaporation cools it
        (48.9, 0.10, 0.93, DehydrationRisk.HIGH),
        (45.1, 0.40, 0.99, DehydrationRisk.HIGH),
        (45.0, 0.40, 0.99, DehydrationRisk.WATCH),
        (40.1, 0.40, 0.99, DehydrationRisk.WATCH),
        (40.0, 0.115, 0.99, DehydrationRisk.NONE),
        (40.0, 0.002, 0.99, DehydrationRisk.HIGH),
        (40.0, 0.0499, 0.99, DehydrationRisk.HIGH),
        (40.0, 0.0501, 0.99, DehydrationRisk.NONE),
        (39.9, 0.002, 0.99, DehydrationRisk.NONE),
        (20.0, 0.10, 1.0, DehydrationRisk.NONE),  # below the balance, and too slow to matter
    ],
)
def test_the_rules(
    temperature: float, humidity: float, dried: float, risk: DehydrationRisk
) -> None:
    """
    Makers of plaster: 49 degC at most. Wilkes, Atchley and Childs (2004): 40 degC at
    0.2 % takes crystal water, at 11 to 12 % none is reported.
    """
    assert dehydration_risk(temperature, humidity, dried) is risk


@given(st.floats(20, 80), st.floats(0, 1), st.floats(0, 1))
def test_risk_never_falls_with_heat_or_dryness(t: float, rh: float, dried: float) -> None:
    here = dehydration_risk(t, rh, dried)

    assert dehydration_risk(min(t + 5, 120), rh, dried) >= here or rh > 0.3
    assert dehydration_risk(t, rh / 2, dried) >= here
    assert dehydration_risk(t, rh, (1 + dried) / 2) >= here


def test_every_risk_has_its_sentence() -> None:
    assert set(RISK_SAYS) == set(DehydrationRisk)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: equilibrium_humidity(-0.1), "temperature"),
        (lambda: log_solubility_gypsum(120.1), "temperature"),
        (lambda: log_solubility_hemihydrate(np.nan), "temperature"),
        (lambda: dehydration_risk(121.0, 0.5, 0.5), "air temperature"),
        (lambda: dehydration_risk(45.0, 50.0, 0.5), "relative humidity"),
        (lambda: dehydration_risk(45.0, 0.5, 93.0), "share of the water"),
        (lambda: dehydration_risk(np.nan, 0.5, 0.5), "air temperature"),
    ],
)
def test_impossible_air_is_refused(call: object, match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        call()  # type: ignore[operator]


def test_all_the_air_there_is_may_be_asked_about() -> None:
    assert dehydration_risk(0.0, 1.0, 1.0) is DehydrationRisk.NONE
    assert dehydration_risk(120.0, 0.0, 0.0) is DehydrationRisk.STOP
    assert [int(risk) for risk in DehydrationRisk] == [0, 1, 2, 3]


def test_ordinary_air_takes_no_water_from_gypsum_at_room_temperature() -> None:
    """
    CaSO4.2H2O gives CaSO4.0.5H2O and 1.5 H2O, so that in balance the water's activity to
    the power of 1.5 is K_gypsum / K_hemihydrate. Thermoddem's sheets print the logarithms
    at 25 degC as -4.60 and -3.92.
    """
    assert equilibrium_humidity(25.0) ** 1.5 == pytest.approx(
        10.0 ** (-4.60) / 10.0 ** (-3.92), rel=0.03
    )


@pytest.mark.parametrize(("humidity", "dried"), [(1.01, 0.5), (0.5, 1.01), (-0.01, 0.5)])
def test_more_than_all_is_refused(humidity: float, dried: float) -> None:
    with pytest.raises(OutOfRange):
        dehydration_risk(45.0, humidity, dried)


def test_air_in_balance_takes_nothing() -> None:
    """At the balance itself neither side gains, and 5 % is not yet as dry as the caution means."""
    assert dehydration_risk(46.0, float(equilibrium_humidity(46.0)), 1.0) is DehydrationRisk.NONE
    assert dehydration_risk(40.0, 0.05, 1.0) is DehydrationRisk.NONE
