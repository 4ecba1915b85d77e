"""Where the sun stands, against pvlib and the printed example of the reference algorithm."""

from __future__ import annotations

import warnings
from datetime import datetime
from typing import Any

import numpy as np
import pytest

from latewood.formulas import sun

pd = pytest.importorskip("pandas")
with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what pvlib's own imports warn of is not ours
    import pvlib

PLACES = [(36.1, -79.95), (51.5, 0.0), (-33.9, 151.2), (69.6, 18.9), (0.0, -60.0), (64.1, -21.9)]


def hours_of(year: int) -> tuple[Any, Any]:
    """Every 37 minutes of a year: all times of day in all seasons."""
    index = pd.date_range(f"{year}-01-01", f"{year}-12-31", freq="37min", tz="UTC")
    return index, index.tz_localize(None).to_numpy().astype("datetime64[s]").astype(float)


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
@pytest.mark.parametrize("year", [1990, 2026, 2049])
def test_position_against_the_reference_library(latitude, longitude, year):
    """pvlib 0.16, NREL's algorithm (0.0003 degrees). The almanac claims 0.01 degrees in each coordinate of the sun."""
    index, times = hours_of(year)
    theirs = pvlib.solarposition.get_solarposition(index, latitude, longitude, method="nrel_numpy")
    here = {"time": times, "latitude": np.radians(latitude), "longitude": np.radians(longitude)}
    elevation = np.degrees(sun.solar_elevation(**here))
    assert np.abs(elevation - theirs["elevation"]).max() < 0.015
    azimuth = np.degrees(sun.solar_azimuth(**here))
    apart = (azimuth - theirs["azimuth"] + 180) % 360 - 180
    # An azimuth error grows as the sun nears the zenith: compare the distance on the sky.
    assert np.abs(apart * np.cos(np.radians(elevation))).max() < 0.015


def test_position_against_the_printed_example():
    """Reda and Andreas 2004, NREL/TP-560-34302, example of 2003-10-17: zenith 50.11162°, azimuth 194.34024° (recalled).

    The printed zenith holds refraction, 0.0137 degrees there.
    """
    at = datetime.fromisoformat("2003-10-17T12:30:30-07:00").timestamp()
    here = {"time": at, "latitude": np.radians(39.742476), "longitude": np.radians(-105.1786)}
    assert 90 - np.degrees(sun.solar_elevation(**here)) == pytest.approx(50.11162 + 0.0137, abs=0.01)
    assert np.degrees(sun.solar_azimuth(**here)) == pytest.approx(194.34024, abs=0.01)


def test_clear_sky_against_the_reference_library():
    degrees = np.linspace(-20, 90, 441)
    ours = sun.clear_sky_irradiance(elevation=np.radians(degrees))
    theirs = pvlib.clearsky.haurwitz(pd.Series(90 - degrees))["ghi"].to_numpy()
    assert ours == pytest.approx(theirs, abs=1e-6)


def test_clear_sky_lies_among_the_models():
    """Ineichen 939.7, simplified Solis 1018.2 W/m² at 36.1 N on 21 June at noon (pvlib 0.16): allow 8 %."""
    at = datetime.fromisoformat("1990-06-21T12:00:00-05:00").timestamp()
    up = sun.solar_elevation(time=at, latitude=np.radians(36.1), longitude=np.radians(-79.95))
    ours = sun.clear_sky_irradiance(elevation=up)
    assert ours == pytest.approx(939.7, rel=0.08)
    assert ours == pytest.approx(1018.2, rel=0.08)


@pytest.mark.filterwarnings("ignore:.*dayofyear")  # pvlib's use of pandas, not ours
def test_diffuse_share_against_the_reference_library():
    """pvlib.irradiance.erbs; its own extraterrestrial irradiance differs by the constant, 1366.1 instead of 1360.8."""
    index, times = hours_of(2026)
    up = sun.solar_elevation(time=times, latitude=np.radians(36.1), longitude=np.radians(-79.95))
    bright = np.where(up > np.radians(3), 0.6 * 1000 * np.sin(up), 0.0)
    ours = sun.diffuse_share(clearness=sun.clearness_index(irradiance=bright, elevation=up, time=times))
    theirs = pvlib.irradiance.erbs(pd.Series(bright, index), pd.Series(90 - np.degrees(up), index), index)
    day = bright > 0
    share = (theirs["dhi"] / theirs["ghi"] if "ghi" in theirs else theirs["dhi"] / pd.Series(bright, index)).to_numpy()
    assert np.abs(ours[day] - share[day]).max() < 0.03


@pytest.mark.parametrize(("cloud", "share"), [(0.0, 1.0), (0.5, 0.929), (1.0, 0.25)])
def test_cloud_takes_its_part(cloud, share):
    """Kasten and Czeplak 1980: an overcast sky leaves a quarter; half cover takes 7 % (0.75 × 0.5^3.4 = 0.071)."""
    assert sun.irradiance_under_cloud(clear_sky=800.0, cloud=cloud) == pytest.approx(800 * share, rel=1e-3)


def test_full_shade_leaves_the_sky():
    assert sun.irradiance_in_shade(irradiance=900.0, diffuse=0.15, shade=1.0) == pytest.approx(135)
    assert sun.irradiance_in_shade(irradiance=900.0, diffuse=0.15, shade=0.0) == 900


def test_a_float_gives_a_float():
    here = {"time": 1e9, "latitude": 0.6, "longitude": 0.1}
    for found in (sun.clear_sky_irradiance(elevation=0.5), sun.diffuse_share(clearness=0.5)):
        assert type(found) is float
    assert np.ndim(sun.solar_elevation(**here)) == 0
