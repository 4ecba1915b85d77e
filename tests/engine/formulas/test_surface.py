"""The temperature of a board's face, against another solver of the same balance and against what is published of it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants, optimize

from latewood.formulas import surface

KELVIN = 273.15


def ours(air, dew, sun, wind, absorptance, cloud=0.0, below=0.0):
    found = surface.board_surface_temperature(
        air_temperature=air + KELVIN,
        irradiance=sun,
        sky=surface.sky_emissivity(dew_point=dew + KELVIN, cloud=cloud),
        convection=surface.convection(wind_speed=wind),
        absorptance=absorptance,
        emissivity=0.9,
        below=below,
    )
    return found - KELVIN


def solved(air, dew, sun, wind, absorptance, cloud=0.0, below=0.0):
    """The balance written out anew and solved by Brent's method (scipy)."""
    warm = air + KELVIN
    clear = 0.711 + 0.56 * dew / 100 + 0.73 * (dew / 100) ** 2
    sky = clear + (1 - clear) * cloud

    def excess(t):
        radiation = 0.9 * constants.sigma * (sky * warm**4 - t**4)
        return absorptance * sun + radiation - (2.8 + 3 * wind + below) * (t - warm)

    return optimize.brentq(excess, 150, 500, xtol=1e-10) - KELVIN


@given(
    st.floats(-30, 40),
    st.floats(0, 25),
    st.floats(0, 1200),
    st.floats(0, 12),
    st.floats(0.2, 0.95),
    st.floats(0, 1),
    st.floats(0, 5),
)
def test_it_balances(air, below_air, sun, wind, absorptance, cloud, below):
    args = (air, air - below_air, sun, wind, absorptance, cloud, below)
    # Four Newton steps leave microkelvins, and a millikelvin in the far corner: frost, still air, full sun, black.
    assert ours(*args) == pytest.approx(solved(*args), abs=2e-3)


@pytest.mark.parametrize(
    ("weather", "celsius"),
    [
        ((25, 15, 900, 1, 0.40), 48.87),
        ((25, 15, 900, 3, 0.40), 41.08),
        ((25, 15, 900, 1, 0.65), 65.94),
        ((25, 15, 900, 3, 0.65), 53.23),
        ((15, 8, 600, 2, 0.65), 36.44),
        ((25, 15, 900, 1, 0.85), 78.61),
        ((30, 18, 1000, 1, 0.65), 74.95),
        ((15, 12, 0, 1, 0.65), 7.93),
        ((15, 12, 0, 1, 0.65, 1.0), 15.00),
    ],
)
def test_vectors_computed_elsewhere(weather, celsius):
    """Computed independently of this code from the same published relations, to hundredths of a kelvin."""
    assert ours(*weather) == pytest.approx(celsius, abs=0.006)


def test_a_clear_night_cools_boards_as_measured():
    """Exposed faces lie 5 to 8 K below the air at night (J. Fac. Agr. Kyushu Univ. 56, 2011, citing TenWolde 1997)."""
    cooled = [15 - ours(15, dew, 0, wind, 0.65) for dew, wind in [(12, 1), (8, 1.5), (5, 2)]]
    assert min(cooled) > 4.5
    assert max(cooled) < 8.5


def test_arrays_pass():
    air = np.array([25.0, 15.0])
    found = ours(air, np.array([15.0, 12.0]), np.array([900.0, 0.0]), np.array([1.0, 1.0]), 0.65)
    assert found.tolist() == pytest.approx([65.94, 7.93], abs=0.006)


@pytest.mark.parametrize(("share", "celsius"), [(0.052 * 17, 72.9), (0.026 * 17, 49.5)])
def test_sol_air_of_dark_and_light(share, celsius):
    """ASHRAE: α/h_o is 0.052 and 0.026 m²K/W for dark and light faces, the sky takes 3.9 K; 30 °C and 900 W/m²."""
    found = surface.sol_air_temperature(
        air_temperature=30 + KELVIN, irradiance=900.0, absorptance=share, exchange=17.0, sky_loss=3.9 * 17
    )
    assert found - KELVIN == pytest.approx(celsius, abs=0.05)
