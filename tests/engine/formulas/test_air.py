"""Moist air, held against printed tables and two libraries."""

import numpy as np
import psychrolib
import pytest
from CoolProp import HumidAirProp
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import air

ZERO = 273.15
SEA_LEVEL = 101325.0


@pytest.fixture(autouse=True)
def metric():
    psychrolib.SetUnitSystem(psychrolib.SI)


def dew(t, h):
    return air.dew_point(temperature=t + ZERO, relative_humidity=h) - ZERO


#: Vapour pressure of water, CRC Handbook of Chemistry and Physics (Lide), kPa; as reprinted in an encyclopaedia.
HANDBOOK = {0: 0.6113, 5: 0.8726, 10: 1.2281, 15: 1.7056, 20: 2.3388, 25: 3.1690, 30: 4.2455, 40: 7.3814, 50: 12.344}


@pytest.mark.parametrize(("t", "kilopascal"), HANDBOOK.items())
def test_saturation_over_water_as_in_the_handbook(t, kilopascal):
    """The Magnus form lies up to 0.31 % below the exact pressure from 0 to 50 °C."""
    assert air.saturation_pressure_over_water(temperature=t + ZERO) == pytest.approx(kilopascal * 1000, rel=0.004)


#: Over ice, mm of mercury; table A-1 of a hygrometer manual of 1998.
ICE = {-20: 0.776, -15: 1.241, -10: 1.950, -5: 3.013, -2: 3.880, 0: 4.579}


@pytest.mark.parametrize(("t", "millimetres"), ICE.items())
def test_saturation_over_ice_as_in_a_manual(t, millimetres):
    """133.322 Pa to the millimetre; the table is rounded to 0.001, at most 0.06 %, and older than Sonntag's fit."""
    assert air.saturation_pressure_over_ice(temperature=t + ZERO) == pytest.approx(millimetres * 133.322, rel=0.004)


@pytest.mark.parametrize("t", np.arange(0.0, 41.0, 5.0))
def test_saturation_against_two_libraries(t):
    """0.4 %: Magnus against Hyland and Wexler (psychrolib) and against IAPWS (CoolProp)."""
    ours = air.saturation_pressure_over_water(temperature=t + ZERO)
    assert ours == pytest.approx(psychrolib.GetSatVapPres(t), rel=0.004)
    # CoolProp gives the vapour in saturated moist air; its enhancement factor is 1.004 at sea level.
    share = HumidAirProp.HAPropsSI("psi_w", "T", t + ZERO, "R", 1.0, "P", SEA_LEVEL)
    assert ours * 1.004 == pytest.approx(share * SEA_LEVEL, rel=0.004)


@pytest.mark.parametrize("t", np.arange(0.0, 41.0, 4.0))
@pytest.mark.parametrize("h", [0.1, 0.3, 0.5, 0.65, 0.8, 0.95, 1.0])
def test_dew_and_frost_point_against_psychrolib(t, h):
    """0.05 K. The library answers with the frost point below 0 °C; we keep the two apart."""
    theirs = psychrolib.GetTDewPointFromRelHum(t, h)
    ours = dew(t, h) if theirs >= 0 else air.frost_point(temperature=t + ZERO, relative_humidity=h) - ZERO
    assert ours == pytest.approx(theirs, abs=0.05)


@pytest.mark.parametrize(("t", "h"), [(5, 0.9), (10, 0.8), (20, 0.3), (20, 0.65), (30, 0.4), (30, 0.6), (40, 0.2)])
def test_dew_point_against_coolprop(t, h):
    theirs = HumidAirProp.HAPropsSI("D", "T", t + ZERO, "R", h, "P", SEA_LEVEL) - ZERO
    assert dew(t, h) == pytest.approx(theirs, abs=0.05)


def test_dew_point_below_freezing_is_over_water():
    """At 0 °C and 10 % frost forms 2.7 K above the temperature at which supercooled dew would."""
    assert air.frost_point(temperature=ZERO, relative_humidity=0.1) - ZERO - dew(0, 0.1) == pytest.approx(2.7, abs=0.1)


@pytest.mark.parametrize("t", np.arange(0.0, 41.0, 4.0))
@pytest.mark.parametrize("h", [0.1, 0.3, 0.5, 0.65, 0.8, 0.95, 1.0])
def test_bulbs_against_psychrolib(t, h):
    """0.05 K; the library answers with the ice bulb below 0 °C."""
    theirs = psychrolib.GetTWetBulbFromRelHum(t, h, SEA_LEVEL)
    bulb = air.wet_bulb if theirs >= 0 else air.ice_bulb
    ours = bulb(temperature=t + ZERO, relative_humidity=h, pressure=SEA_LEVEL) - ZERO
    assert ours == pytest.approx(theirs, abs=0.05)


@pytest.mark.parametrize(("t", "h", "p"), [(20, 0.5, SEA_LEVEL), (35, 0.3, SEA_LEVEL), (25, 0.5, 84556.0)])
def test_wet_bulb_against_coolprop(t, h, p):
    theirs = HumidAirProp.HAPropsSI("B", "T", t + ZERO, "R", h, "P", p) - ZERO
    assert air.wet_bulb(temperature=t + ZERO, relative_humidity=h, pressure=p) - ZERO == pytest.approx(theirs, abs=0.05)


def test_pressure_at_height():
    """ICAO standard atmosphere: 84 556 Pa at 1500 m; psychrolib uses the same equation."""
    assert air.standard_pressure(elevation=1500.0) == pytest.approx(84556, abs=1)
    assert air.standard_pressure(elevation=0.0) == pytest.approx(psychrolib.GetStandardAtmPressure(0), rel=1e-9)


temperatures = st.floats(233, 330)
humidities = st.floats(0.01, 1.0)


@given(t=temperatures, h=humidities)
def test_saturating_at_the_dew_point_gives_the_vapour_back(t, h):
    found = air.dew_point(temperature=t, relative_humidity=h)
    vapour = air.vapour_pressure(temperature=t, relative_humidity=h)
    assert air.saturation_pressure_over_water(temperature=found) == pytest.approx(vapour, rel=1e-9)
    frost = air.frost_point(temperature=t, relative_humidity=h)
    assert air.saturation_pressure_over_ice(temperature=frost) == pytest.approx(vapour, rel=1e-9)


@given(t=st.floats(263, 318), h=humidities)
def test_the_wet_bulb_lies_between_dew_point_and_air(t, h):
    bulb = air.wet_bulb(temperature=t, relative_humidity=h, pressure=SEA_LEVEL)
    assert air.dew_point(temperature=t, relative_humidity=h) - 1e-3 <= bulb <= t + 1e-9


def test_arrays_pass_and_agree_with_single_values():
    t, h = np.array([[273.15], [293.15], [308.15]]), np.array([0.2, 0.6, 1.0])
    for function in (air.dew_point, air.frost_point, air.vapour_pressure):
        grid = function(temperature=t, relative_humidity=h)
        assert grid.shape == (3, 3)
        assert grid[1, 1] == pytest.approx(function(temperature=293.15, relative_humidity=0.6), rel=1e-12)
    grid = air.wet_bulb(temperature=t, relative_humidity=h, pressure=SEA_LEVEL)
    assert grid[1, 1] == pytest.approx(air.wet_bulb(temperature=293.15, relative_humidity=0.6, pressure=SEA_LEVEL))
