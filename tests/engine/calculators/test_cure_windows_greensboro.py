"""A typical year at Greensboro (TMY3, in the installed pvlib) against counts made from the file by another route.

The reference counts are of the file's own columns: temperature within limits, humidity at most 85 %, temperature at
least 3 K above the recorded dew point, no rain in the hour; boards in shade, as warm as the air.
"""

from __future__ import annotations

import warnings
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.truth.board_days import slab_of
from tests.truth.heat_slab import Outdoors, faces

from latewood.formulas import board_heat, clockwork, cure, surface
from latewood.weather.files import read_weather

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what pvlib's own imports warn of is not ours
    import pvlib

FILE = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
KELVIN = 273.15


@pytest.fixture(scope="module")
def year() -> dict[str, Any]:
    return read_weather(FILE, year=1990)


@pytest.fixture(scope="module")
def frame() -> Any:
    """The file as pvlib reads it, rain in mm."""
    read, _ = pvlib.iotools.read_tmy3(FILE, map_variables=False, coerce_year=1990)
    return read.assign(rain=read["Lprecip depth (mm)"] / 10)


@pytest.fixture(scope="module")
def answered(engine, year) -> Any:
    def answer(coating: str, coldest: str, hottest: str) -> Any:
        product = {
            "coldest": coldest,
            "hottest": hottest,
            "highest_humidity": "85 %",
            "dew_point_spread": "3 K",
            "highest_wind": "80 m/s",
        }
        asked = {"coating": coating, "weather": year, "board_temperature": "air", "product": product}
        return engine.calculate("cure-windows", **asked)["result"]

    return answer


@pytest.mark.parametrize(
    ("coating", "limits", "hours", "daylight"),
    [("waterborne-stain", (10, 35), 3846, 2807), ("clear-penetrating-oil", (5, 32), 4498, 3013)],
)
def test_hours_that_pass_in_shade(answered, frame, coating, limits, hours, daylight):
    low, high = limits
    warm = frame["Dry-bulb (C)"]
    passes = (
        (warm >= low)
        & (warm <= high)
        & (frame["RHum (%)"] <= 85)
        & (warm - frame["Dew-point (C)"] >= 3.0 - 1e-9)
        & (frame["rain"] == 0)
    )
    assert (int(passes.sum()), int((passes & (frame["GHI (W/m^2)"] > 0)).sum())) == (hours, daylight)
    result = answered(coating, f"{low} degC", f"{high} degC")
    assert result["passing_time"]["value"] == pytest.approx(hours, abs=1)
    assert result["passing_daylight"]["value"] == pytest.approx(daylight, abs=1)


def test_the_longest_run_that_passes(answered):
    """65 h from 30 April 11:00, across the end of a month that is spliced there."""
    assert answered("waterborne-stain", "10 degC", "35 degC")["longest_passing"]["value"] == 65


ROWS = [
    ("05-01 01:00", 12.2, 6.5, 1.1, 0, 0, 4.272),
    ("05-01 04:00", 13.9, 7.2, 0.0, 0, 1, 3.542),
    ("05-01 06:00", 12.8, 8.9, 3.1, 10, 6, 11.294),
    ("05-01 08:00", 17.8, 7.8, 4.1, 193, 9, 23.552),
    ("05-01 12:00", 28.3, 10.0, 4.1, 877, 3, 51.847),
    ("05-01 18:00", 27.8, 10.0, 2.6, 203, 4, 32.419),
]


@pytest.mark.parametrize(("stamp", "air", "dew", "wind", "sun", "tenths", "board"), ROWS)
def test_board_temperatures_of_a_day(frame, stamp, air, dew, wind, sun, tenths, board):
    row = frame.loc[f"1990-{stamp}"].squeeze()
    columns = ["Dry-bulb (C)", "Dew-point (C)", "Wspd (m/s)", "GHI (W/m^2)", "OpqCld (tenths)"]
    assert [float(row[name]) for name in columns] == [air, dew, wind, sun, tenths]
    found = surface.board_surface_temperature(
        air_temperature=air + KELVIN,
        irradiance=float(sun),
        sky=surface.sky_emissivity(dew_point=dew + KELVIN, cloud=tenths / 10),
        convection=surface.convection(wind_speed=wind),
        absorptance=0.65,
        emissivity=0.9,
        below=0.0,
    )
    assert found - KELVIN == pytest.approx(board, abs=1e-3)


@pytest.mark.parametrize(("day", "slow", "fast"), [("05-01", 23.658, 24.733), ("06-12", 22.334, 22.422)])
def test_hours_of_cure_in_a_day(frame, day, slow, fast):
    """23 rows, 01:00 to 23:00, at the temperature of the air, by 50 and by 66 kJ/mol."""
    warm = frame.loc[f"1990-{day} 01:00" : f"1990-{day} 23:00", "Dry-bulb (C)"].to_numpy() + KELVIN
    for energy, hours in ((50e3, slow), (66e3, fast)):
        rates = cure.oxidative_rate(temperature=warm, activation_energy=energy)
        assert cure.equivalent_time(rates=rates, step=1.0) == pytest.approx(hours, abs=6e-4)


@pytest.mark.parametrize(("energy", "within", "total"), [(50e3, 24, 13.1243), (66e3, 25, 12.4442)])
def test_twelve_hours_of_cure_from_30_april(frame, energy, within, total):
    warm = frame.loc["1990-04-30 11:00":, "Dry-bulb (C)"].to_numpy() + KELVIN
    running = clockwork.running(cure.oxidative_rate(temperature=warm, activation_energy=energy))
    assert int(np.ceil(clockwork.reached(running, [0.0], 12.0)[0])) == within
    assert running[within] == pytest.approx(total, abs=1e-4)


def test_boards_get_wet_in_the_evening_where_the_air_is_dry(engine, year):
    """12 June: dew on the boards at 21:00 and 22:00, in air 2 to 3 K above its dew point, as finite differences say.

    A board that stored nothing and gave nothing off below would be wet at 02:00 too.
    """
    first = 161 * 24  # 11 June, hour from midnight
    cut = {
        name: {"unit": column["unit"], "values": column["values"][first : first + 48]}
        for name, column in year["columns"].items()
    }
    weather = {**year, "columns": cut, "start": "1990-06-11T01:00:00-05:00"}
    place = {"latitude": "36.1 deg", "longitude": "-79.95 deg"}
    asked = {"coating": "clear-penetrating-oil", "weather": weather, "board_colour": "grey", **place}
    rows = engine.calculate("cure-windows", **asked)["result"]["hours"]
    warm, dew, wind, light, cloud = (
        np.array(cut[name]["values"], float)
        for name in ("air_temperature", "dew_point", "wind_speed", "irradiance", "cloud")
    )
    grey = engine.shelf.record("board-colour", "grey")
    out = Outdoors(
        air=warm + 273.15,
        irradiance=light,
        sky=surface.sky_emissivity(dew_point=dew + 273.15, cloud=cloud / 100),
        convection=surface.convection(wind_speed=wind),
        below=board_heat.exchange_below(air_temperature=warm + 273.15),
        absorptance=grey.absorptance.si,
        emissivity=grey.emissivity.si,
    )
    reference = faces(slab_of(550.0, 0.025, 293.15), out) - 273.15
    # The engine begins with a board that has settled, the reference with one as warm as the air.
    found = np.array([row["surface_temperature"]["value"] for row in rows])
    assert np.abs(found - reference)[6:].max() < 2.0
    wet = {row["id"][:16] for row in rows if row["dew_point_spread"]["value"] < 0}
    dewy = {row["id"][:16] for row, here, there in zip(rows, reference, dew, strict=True) if here < there}
    # Rows of the file are stamped at their end: 21:00 is the hour from 20:00.
    assert {stamp for stamp in wet if stamp.startswith("1990-06-12")} == {"1990-06-12T20:00", "1990-06-12T21:00"}
    assert {stamp for stamp in dewy if stamp.startswith("1990-06-12")} == {"1990-06-12T20:00", "1990-06-12T21:00"}
