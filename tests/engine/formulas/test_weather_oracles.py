"""The stored values of library oracles, computed anew by the libraries they are from."""

from __future__ import annotations

import tomllib
import warnings
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import numpy as np
import pandas as pd
import psychrolib
import pytest
from scipy import constants, optimize

import latewood_plugins
from latewood.quantities import units

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what pvlib's own imports warn of is not ours
    import pvlib

#: pvlib's use of pandas, not ours.
pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear")

KELVIN = 273.15


def stored(name: str) -> Iterator[tuple[dict[str, float], float]]:
    """Yield the inputs of each case in SI, and the stored value in its own unit."""
    raw = tomllib.loads((files(latewood_plugins) / "checks" / f"{name}.toml").read_text("utf-8"))
    assert raw["against"] == "reference-library"
    for case in raw["cases"]:
        given = {}
        for argument, text in case["input"].items():
            dimension = next(d.id for d in units.DIMENSIONS.values() if text.split(" ", 1)[1] in d.spellings)
            given[argument] = units.read(text, dimension)
        yield given, float(case["expected"]["value"].split(" ")[0])


def at(time: float) -> Any:
    return pd.DatetimeIndex([pd.Timestamp(time, unit="s", tz="UTC")])


@pytest.mark.parametrize("place", ["greensboro", "london", "sydney"])
def test_places_of_the_sun(place):
    for what, column in (("elevation", "elevation"), ("azimuth", "azimuth")):
        for given, value in stored(f"solar-{what}-{place}".replace("-", "_")):
            latitude, longitude = np.degrees(given["latitude"]), np.degrees(given["longitude"])
            found = pvlib.solarposition.get_solarposition(at(given["time"]), latitude, longitude, method="nrel_numpy")
            assert float(found[column].iloc[0]) == pytest.approx(value, abs=2e-4)


def test_clear_skies():
    for given, value in stored("clear_sky_haurwitz"):
        zenith = pd.Series([90 - np.degrees(given["elevation"])])
        assert float(pvlib.clearsky.haurwitz(zenith)["ghi"].iloc[0]) == pytest.approx(value, abs=1e-3)
    values = [value for _, value in stored("clear_sky_models")]
    index = pd.DatetimeIndex(["1990-06-21 12:00"]).tz_localize("Etc/GMT+5")
    place = pvlib.location.Location(36.1, -79.95, "Etc/GMT+5", 273)
    found = [float(place.get_clearsky(index, model=model)["ghi"].iloc[0]) for model in ("ineichen", "simplified_solis")]
    assert found == pytest.approx(values, rel=2e-3)


def test_clearness_and_diffuse_share():
    for given, value in stored("clearness_index"):
        above = pvlib.irradiance.get_extra_radiation(at(given["time"])[0], solar_constant=1360.8)
        zenith = 90 - np.degrees(given["elevation"])
        found = pvlib.irradiance.clearness_index(given["irradiance"], zenith, above, min_cos_zenith=0.065)
        assert 100 * float(found) == pytest.approx(value, abs=1e-3)
    index = pd.DatetimeIndex(["2026-03-20 12:00"], tz="UTC")
    above = float(np.ravel(pvlib.irradiance.get_extra_radiation(index))[0])
    for given, value in stored("diffuse_share_erbs"):
        bright = given["clearness"] * above * np.cos(np.radians(60))
        found = pvlib.irradiance.erbs(pd.Series([bright], index), pd.Series([60.0], index), index)
        assert 100 * float(found["dhi"].iloc[0]) / bright == pytest.approx(value, abs=1e-3)


@pytest.mark.parametrize("time", ["day", "night"])
def test_balances_of_boards(time):
    for given, value in stored(f"board_temperature_{time}"):

        def excess(t: float, given: dict[str, float] = given) -> float:
            air = given["air_temperature"]
            radiation = given["emissivity"] * constants.sigma * (given["sky"] * air**4 - t**4)
            carried = (given["convection"] + given["below"]) * (t - air)
            return given["absorptance"] * given["irradiance"] + radiation - carried

        assert optimize.brentq(excess, 150, 500, xtol=1e-10) - KELVIN == pytest.approx(value, abs=1e-4)


def test_vapour_deficits():
    psychrolib.SetUnitSystem(psychrolib.SI)
    for given, value in stored("vapour_deficit"):
        at_face = psychrolib.GetSatVapPres(given["surface_temperature"] - KELVIN)
        in_air = given["relative_humidity"] * psychrolib.GetSatVapPres(given["air_temperature"] - KELVIN)
        assert at_face - in_air == pytest.approx(value, abs=0.01)
