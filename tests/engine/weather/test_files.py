"""Weather files against the year at Greensboro that pvlib carries, its readers, and small files written here."""

from __future__ import annotations

import warnings
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.bundled import bundled

from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.weather import Hours, Place, Weather, resolve
from latewood.weather.files import kind_of, read_weather
from latewood.wire import Context, struct_reader

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what pvlib's own imports warn of is not ours
    import pvlib

DATA = Path(pvlib.__file__).parent / "data"
GREENSBORO = DATA / "723170TYA.CSV"
SHELF = bundled().shelf


def hours_of(tree: dict[str, Any], zone: str | None = None) -> tuple[Hours, set[str]]:
    ctx = Context(SHELF)
    weather: Weather = struct_reader(Weather).read(tree, "/weather", ctx)
    ctx.finish()
    ledger = Ledger("test")
    return resolve(weather, Place(timezone=zone), ledger), {finding.id for finding in ledger.findings}


@pytest.fixture(scope="module")
def greensboro() -> Hours:
    hours, findings = hours_of(read_weather(GREENSBORO, year=1990))
    assert findings == {"rain-in-tenths", "typical-year"}
    return hours


def test_a_typical_year_as_another_library_reads_it(greensboro):
    """pvlib.iotools.read_tmy3, column by column."""
    frame, _ = pvlib.iotools.read_tmy3(GREENSBORO, map_variables=False, coerce_year=1990)
    for ours, theirs in (
        (greensboro.air_temperature - 273.15, frame["Dry-bulb (C)"]),
        (greensboro.dew_point - 273.15, frame["Dew-point (C)"]),
        (greensboro.relative_humidity * 100, frame["RHum (%)"]),
        (greensboro.wind_speed, frame["Wspd (m/s)"]),
        (greensboro.irradiance, frame["GHI (W/m^2)"]),
        (greensboro.cloud * 10, frame["OpqCld (tenths)"]),
    ):
        assert ours == pytest.approx(theirs.to_numpy(), abs=1e-9)
    # Stamps end their hour: 01:00 is the hour from midnight.
    assert greensboro.at(0).isoformat() == "1990-01-01T00:00:00-05:00"
    assert (greensboro.start.timestamp() + 3600) == frame.index[0].timestamp()


def test_a_year_of_rain_at_greensboro(greensboro):
    """358 wet hours, 834.5 mm: the file's own numbers are hundredths of an inch in tenths of a millimetre."""
    assert int((greensboro.rain > 0).sum()) == 358
    assert float(greensboro.rain.sum()) == pytest.approx(0.8345)


def test_rain_that_is_missing_in_most_hours_is_not_rain():
    """Sand Point: 8011 of 8760 hours are missing, the rest are totals of up to four days."""
    hours, findings = hours_of(read_weather(DATA / "703165TY.csv", year=1990))
    assert hours.rain is None
    assert findings >= {"rain-mostly-missing", "rain-not-recorded", "typical-year"}


def test_a_leap_year_has_a_day_that_the_file_has_not():
    hours, findings = hours_of(read_weather(GREENSBORO, year=2028))
    assert len(hours) == 8784
    gone = np.isnan(hours.air_temperature)
    assert {hours.at(int(index)).date().isoformat() for index in np.flatnonzero(gone)} == {"2028-02-29"}
    assert "weather-gaps" in findings


EPW_HEADER = (
    "LOCATION,Somewhere,-,ZZZ,made up,000000,52.30,4.77,1.0,-2.0\n"
    "DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\n"
    "COMMENTS 1,invented\nCOMMENTS 2,invented\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
)


def epw(tmp_path: Path, rain: list[str], year: int = 2019) -> Path:
    lines = []
    for index, depth in enumerate(rain):
        day, hour = divmod(index, 24)
        fields = [str(year), "5", str(day + 1), str(hour + 1), "60", "?", "12.5", "7.1", "70", "101300"]
        fields += ["0"] * 3 + ["250"] + ["0"] * 7 + ["3.2", "6", "5"] + ["0"] * 9 + [depth, "1"]
        lines.append(",".join(fields))
    path = tmp_path / "made_up.epw"
    path.write_text(EPW_HEADER + "\n".join(lines) + "\n")
    return path


@pytest.mark.parametrize(
    ("rain", "finding"), [(["0.0"] * 48, "rain-all-zero"), (["999"] * 48, "rain-all-missing")], ids=["zero", "missing"]
)
def test_an_epw_without_rain_is_not_trusted_to_be_dry(tmp_path, rain, finding):
    """IWEC files say 0.0 all year, the European service's 999: neither recorded rain."""
    hours, findings = hours_of(read_weather(epw(tmp_path, rain)))
    assert hours.rain is None
    assert {finding, "rain-not-recorded"} <= findings


def test_an_epw_with_rain_is_read(tmp_path):
    hours, findings = hours_of(read_weather(epw(tmp_path, ["0.0"] * 40 + ["2.5"] * 8)))
    assert findings == set()
    assert hours.rain is not None
    assert float(hours.rain.sum()) == pytest.approx(0.02)
    assert hours.air_temperature[0] == pytest.approx(285.65)
    assert (hours.irradiance[0], hours.wind_speed[0], hours.cloud[0]) == (250, 3.2, pytest.approx(0.5))
    assert hours.at(0).isoformat() == "2019-05-01T00:00:00+01:00"


def test_an_epw_as_another_library_reads_it(tmp_path):
    path = epw(tmp_path, ["0.0"] * 40 + ["2.5"] * 8)
    frame, _ = pvlib.iotools.read_epw(str(path))
    hours, _ = hours_of(read_weather(path))
    assert hours.air_temperature - 273.15 == pytest.approx(frame["temp_air"].to_numpy())
    assert hours.irradiance == pytest.approx(frame["ghi"].to_numpy())
    assert hours.rain * 1000 == pytest.approx(frame["liquid_precipitation_depth"].to_numpy())


def table(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "weather.csv"
    path.write_text(text)
    return path


def test_a_table_with_local_times_across_summer_time(tmp_path):
    """Oslo, 2026-03-29: 02:00 does not exist; 2026-10-25: 02:00 comes twice."""
    heading = "time [start Europe/Oslo],air_temperature [degF],relative_humidity [%],rain [mm]\n"
    spring = "".join(f"2026-03-29 {hour:02}:00,50,60,0\n" for hour in (0, 1, 3, 4))
    hours, findings = hours_of(read_weather(table(tmp_path, heading + spring)))
    assert [hours.at(index).hour for index in range(4)] == [0, 1, 3, 4]
    assert findings == set()
    autumn = "".join(f"2026-10-25 {hour:02}:00,50,60,0\n" for hour in (1, 2, 2, 3))
    hours, _ = hours_of(read_weather(table(tmp_path, heading + autumn)))
    assert [hours.at(index).utcoffset().total_seconds() / 3600 for index in range(4)] == [2, 2, 1, 1]
    assert np.diff(hours.times).tolist() == [3600] * 3
    with pytest.raises(InputProblem, match="is skipped"):
        read_weather(table(tmp_path, heading + spring.replace("03:00", "02:00")))


def test_rows_left_out_and_empty_cells_are_not_recorded(tmp_path):
    text = (
        "time [end],air_temperature [degC],relative_humidity [%],rain [mm]\n"
        "2026-05-04T01:00:00Z,10,60,0\n2026-05-04T02:00:00Z,11,61,\n2026-05-04T04:00:00Z,13,63,0.2\n"
    )
    hours, findings = hours_of(read_weather(table(tmp_path, text)))
    assert (hours.air_temperature - 273.15).tolist() == pytest.approx([10, 11, 12, 13])
    assert np.isnan(hours.rain).tolist() == [False, True, True, False]
    assert hours.at(0).isoformat() == "2026-05-04T00:00:00+00:00"
    assert "weather-gaps" in findings


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("time,air_temperature\n2026-05-04T01:00:00Z,1\n2026-05-04T02:00:00Z,1\n", "line 1: heading 2"),
        ("time,air_temprature [degC]\n2026-05-04T01:00:00Z,1\n2026-05-04T02:00:00Z,1\n", "air_temperature"),
        ("time [middle],rain [mm]\n2026-05-04T01:00:00Z,1\n2026-05-04T02:00:00Z,1\n", "first heading"),
        ("time [start Europe/Olso],rain [mm]\n2026-05-04T01:00,1\n2026-05-04T02:00,1\n", "Europe/Oslo"),
        ("time,rain [mm]\n2026-05-04T01:00,1\n2026-05-04T02:00,1\n", "no offset"),
        ("time,rain [mm]\n2026-05-04T01:00:00Z,1\n2026-05-04T02:00:00Z,1,2\n", "line 3: 3 cells under 2 headings"),
        ("time,rain [mm]\n2026-05-04T01:00:00Z,1\n2026-05-04T02:00:00Z,wet\n", "not a number"),
        ("time,rain [mm]\n2026-05-04T01:00:00Z,1\n2026-05-04T02:00:00Z,inf\n", "not a finite number"),
        ("time,rain [mm]\n2026-05-04T02:00:00Z,1\n2026-05-04T01:00:00Z,1\n", "line 3: the row is not later than"),
        ("time,rain [mm]\n2026-05-04T01:00:00Z,1\n2026-05-04T02:00:00Z,1\n2026-05-04T03:30:00Z,1\n", "equal steps"),
        ("time,rain [mm]\n2026-05-04T01:00:00Z,1\n", "two rows"),
        ("day,rain [mm]\n", "not a weather file"),
        (EPW_HEADER + "2019,5,1,x\n", "line 9: not a line of an EPW file"),
        ("LOCATION,Somewhere\n", "line 1"),
        (EPW_HEADER, "no hour of weather"),
        ("1,A,NC,-5.0,36,-79,273\nDate (MM/DD/YYYY),Time (HH:MM)\n", "line 2: column Dry-bulb"),
    ],
)
def test_what_is_no_weather_file_is_refused_at_its_line(tmp_path, text, words):
    with pytest.raises(InputProblem, match=words):
        read_weather(table(tmp_path, text))


def test_a_file_that_is_not_there_or_not_text(tmp_path):
    with pytest.raises(InputProblem, match="cannot be read"):
        read_weather(tmp_path / "gone.csv")
    binary = tmp_path / "binary.csv"
    binary.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputProblem, match="UTF-8"):
        read_weather(binary)


def test_files_tell_themselves_apart(tmp_path):
    assert kind_of(GREENSBORO.read_text()) == "tmy3"
    assert kind_of(EPW_HEADER) == "epw"
    assert kind_of("time,rain [mm]\n") == "csv"
    assert kind_of("hello\n") == "unknown"


def test_a_column_of_chances_for_whole_days(tmp_path):
    lines = ["time [start Europe/Oslo],air_temperature [degC],relative_humidity [%],rain_chance_day [%]"]
    lines += [f"2026-06-0{1 + hour // 24}T{hour % 24:02}:00,18,60,{40 if hour < 24 else 10}" for hour in range(48)]
    path = tmp_path / "days.csv"
    path.write_text("\n".join(lines))
    tree = read_weather(path)
    assert tree["rain_chance_period"] == "day"
    hours, said = hours_of(tree)
    assert hours.rain_chance is None
    assert hours.day_chance is not None
    assert (hours.day_chance[0], hours.day_chance[-1]) == pytest.approx((0.4, 0.1))
    assert "rain-not-recorded" not in said
    path.write_text("\n".join(lines).replace("rain_chance_day", "rain_chance"))
    hours, said = hours_of(read_weather(path))
    assert hours.rain_chance is not None
    assert "rain-chance-looks-daily" in said


def test_one_quantity_in_two_columns_is_refused(tmp_path):
    path = tmp_path / "twice.csv"
    head = "time [start],air_temperature [degC],relative_humidity [%],rain_chance [%],rain_chance_day [%]"
    rows = [f"2026-06-01T0{hour}:00Z,18,60,10,40" for hour in range(3)]
    path.write_text("\n".join([head, *rows]))
    with pytest.raises(InputProblem) as caught:
        read_weather(path)
    assert "same quantity" in caught.value.faults[0].detail
