"""The weather as sent, against the clocks and the arithmetic it must keep."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.bundled import bundled

from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.weather import Hours, Place, Weather, reckoned_rain, resolve
from latewood.weather.resolve import bridged
from latewood.wire import Context, struct_reader

SHELF = bundled().shelf
BOSTON = Place(latitude=np.radians(42.36), longitude=np.radians(-71.06), timezone="America/New_York")


def series(count: int = 24, **changed: Any) -> dict[str, Any]:
    columns = {
        "air_temperature": {"unit": "degC", "values": [10.0] * count},
        "relative_humidity": {"unit": "%", "values": [60.0] * count},
    }
    return {"start": "2026-05-04T00:00:00-04:00", "step": "1 h", "stamp": "start", "columns": columns} | changed


def read(raw: Any) -> Weather:
    ctx = Context(SHELF)
    found = struct_reader(Weather).read(raw, "/weather", ctx)
    ctx.finish()
    return found  # type: ignore[no-any-return]


def hours(raw: Any, place: Place = BOSTON) -> tuple[Hours, Ledger]:
    ledger = Ledger("test")
    return resolve(read(raw), place, ledger), ledger


def faults(raw: Any, place: Place = BOSTON) -> dict[str, str]:
    with pytest.raises(InputProblem) as problem:
        hours(raw, place)
    return {fault.pointer: fault.code for fault in problem.value.faults}


def found(ledger: Ledger) -> set[str]:
    return {finding.id for finding in ledger.findings}


def test_units_become_si_and_null_is_not_zero():
    columns = {
        "air_temperature": {"unit": "degF", "values": [50, None, 68]},
        "relative_humidity": {"unit": "%", "values": [60, 60, 60]},
        "rain": {"unit": "in", "values": [0, None, 0.1]},
    }
    got, ledger = hours(series(columns=columns))
    assert got.air_temperature.tolist() == pytest.approx([283.15, 288.15, 293.15])
    assert got.rain is not None
    assert got.rain[[0, 2]].tolist() == pytest.approx([0, 2.54e-3])
    assert np.isnan(got.rain[1])
    assert found(ledger) == {"weather-gaps"}


def test_an_end_stamp_names_the_hour_before():
    first, _ = hours(series(stamp="start"))
    last, _ = hours(series(stamp="end"))
    assert (first.start - last.start).total_seconds() == 3600
    assert first.start == datetime(2026, 5, 4, 4, tzinfo=UTC)


def test_local_clocks_jump_and_the_series_does_not():
    """Boston, 2026-03-08: clocks go from 02:00 to 03:00; the series goes on in equal steps."""
    got, _ = hours(series(6, start="2026-03-08T00:00:00-05:00"))
    assert [got.at(i).hour for i in range(6)] == [0, 1, 3, 4, 5, 6]
    assert np.diff(got.times).tolist() == [3600.0] * 5
    assert got.local_clock.tolist() == [0, 1, 3, 4, 5, 6]


@pytest.mark.parametrize("start", ["2026-03-08T02:30:00", "2026-11-01T01:30:00"])
def test_local_times_that_clocks_skip_or_show_twice_are_refused(start):
    """Dates of the change: US Energy Policy Act of 2005, second Sunday of March and first of November, at 2 o'clock."""
    assert faults(series(start=start)) == {"/weather/start": "conflict"}


@pytest.mark.parametrize("start", ["2026-03-08T01:30:00", "2026-11-01T02:30:00"])
def test_other_local_times_of_those_days_are_taken(start):
    got, _ = hours(series(start=start))
    assert got.at(0).isoformat().startswith(start)


@given(st.integers(0, 10 * 365 * 24 * 4))
def test_a_local_time_that_is_taken_comes_back(quarters):
    local = datetime.fromisoformat("2020-01-01T00:00:00") + timedelta(minutes=15 * quarters)
    zone = ZoneInfo("America/New_York")
    first, second = (local.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    text = local.isoformat(timespec="seconds")
    if first == second:
        got, _ = hours(series(start=text))
        assert got.at(0).replace(tzinfo=None) == local
    else:
        assert faults(series(start=text)) == {"/weather/start": "conflict"}


def test_a_local_time_needs_a_zone():
    assert faults(series(start="2026-05-04T06:00"), Place()) == {"/weather/start": "missing"}
    got, _ = hours(series(start="2026-05-04T06:00", timezone="Europe/Oslo"), Place())
    assert got.start == datetime(2026, 5, 4, 4, tzinfo=UTC)


def test_an_unknown_zone_is_refused_with_the_nearest():
    with pytest.raises(InputProblem, match="America/New_York"):
        read(series(timezone="America/NewYork"))


@pytest.mark.parametrize("start", ["2026-02-30T00:00:00Z", "2026-5-4T00:00:00Z", "2026-05-04", "26-05-04T00:00:00Z"])
def test_what_is_no_instant_is_refused(start):
    with pytest.raises(InputProblem):
        read(series(start=start))


def test_a_series_needs_its_parts_and_equal_lengths():
    raw = series()
    del raw["stamp"], raw["columns"]["relative_humidity"]
    raw["columns"]["rain"] = {"unit": "mm", "values": [0.0]}
    assert faults(raw) == {
        "/weather/stamp": "missing",
        "/weather/columns/relative_humidity": "missing",
        "/weather/columns/rain": "ragged",
    }
    assert faults({}) == {"/weather/columns": "conflict"}


def test_no_rain_column_is_not_dry_weather():
    got, ledger = hours(series())
    assert got.rain is None
    assert "rain-not-recorded" in found(ledger)
    dry = {"unit": "mm", "values": [0.0] * 24}
    got, ledger = hours(series(columns=series()["columns"] | {"rain": dry}))
    assert got.rain is not None
    assert found(ledger) == set()


def test_a_season_without_a_drop_is_not_believed():
    count = 2160
    rain = {"unit": "mm", "values": [0.0] * count}
    got, ledger = hours(series(count, columns=series(count)["columns"] | {"rain": rain}))
    assert got.rain is None
    assert found(ledger) == {"rain-all-zero", "rain-not-recorded"}


def test_short_gaps_are_bridged_and_long_ones_stay_unknown():
    values = np.array([1.0, np.nan, 3.0, np.nan, np.nan, np.nan, np.nan, 8.0, np.nan])
    filled = bridged(values, 3)
    assert filled[:3].tolist() == [1, 2, 3]
    assert np.isnan(filled[3:7]).all()
    assert np.isnan(filled[8])
    assert bridged(values, 4)[3:7].tolist() == pytest.approx([4, 5, 6, 7])


@pytest.mark.parametrize(
    ("column", "at", "code"),
    [
        ({"unit": "degC", "values": [10.0] * 23 + [200]}, "/values/23", "out-of-range"),
        ({"unit": "degC", "values": [10.0] * 23 + [10**400]}, "/values/23", "out-of-range"),
        ({"unit": "degF", "values": [10.0] * 23 + [1e308]}, "/values/23", "out-of-range"),
        ({"unit": "degC", "values": [10.0] * 23 + [True]}, "/values/23", "wrong-type"),
        ({"unit": "mm", "values": [10.0] * 24}, "/unit", "unknown-unit"),
        ({"unit": "degC", "values": []}, "/values", "out-of-range"),
        ({"unit": "degC", "values": "10"}, "/values", "wrong-type"),
        ({"unit": "degC"}, "/values", "missing"),
        ({"unit": "degC", "values": [1.0], "value": 1}, "/value", "unknown-field"),
        ("10 degC", "", "wrong-type"),
    ],
)
def test_a_bad_column_is_refused_at_its_place(column, at, code):
    raw = series(columns=series()["columns"] | {"air_temperature": column})
    assert faults(raw) == {f"/weather/columns/air_temperature{at}": code}


DAYS = [
    {
        "date": f"2026-10-{day}",
        "warmest": "15 degC",
        "coldest": "3 degC",
        "relative_humidity": "70 %",
        "wet_spells": "none",
    }
    for day in (10, 11, 12)
]


def test_days_become_hours_between_their_extremes():
    got, ledger = hours({"days": DAYS})
    assert len(got) == 72
    assert got.synthetic
    assert "synthetic-weather" in found(ledger)
    celsius = got.air_temperature - 273.15
    assert celsius.min() == pytest.approx(3, abs=0.3)
    assert celsius.max() == pytest.approx(15, abs=0.3)
    middle = celsius[24:48]
    assert got.at(24 + int(middle.argmax())).hour in (13, 14)
    # Sunrise in Boston on 2026-10-11 is about 06:55 by clocks there (any almanac).
    assert got.at(24 + int(middle.argmin())).hour in (6, 7)
    assert float(np.mean(got.relative_humidity[24:48])) == pytest.approx(0.70, abs=0.03)
    assert got.rain is not None
    assert not got.rain.any()


def test_a_day_of_summer_time_has_its_own_length():
    days = [DAYS[0] | {"date": f"2026-03-{day}"} for day in ("07", "08", "09")]
    got, _ = hours({"days": days})
    assert len(got) == 71


def test_hours_of_rain_are_wet_and_a_silent_day_is_unknown():
    days = [DAYS[0] | {"wet_spells": "14-17, 20-21"}, {k: v for k, v in DAYS[1].items() if k != "wet_spells"}]
    got, ledger = hours({"days": days})
    assert got.rain is not None
    assert np.flatnonzero(got.rain[:24] > 0).tolist() == [14, 15, 16, 20]
    assert np.isnan(got.rain[24:]).all()
    assert "weather-gaps" in found(ledger)


def test_days_must_follow_and_need_a_zone():
    assert faults({"days": [DAYS[0], DAYS[2]]}) == {"/weather/days/1/date": "conflict"}
    assert faults({"days": [DAYS[0] | {"coldest": "20 degC"}]}) == {"/weather/days/0/coldest": "conflict"}
    assert faults({"days": DAYS}, Place()) == {"/weather/timezone": "missing"}
    with pytest.raises(InputProblem):
        read({"days": [DAYS[0] | {"wet_spells": "17-14"}]})


def test_humidity_follows_from_the_dew_point():
    columns = {
        "air_temperature": {"unit": "degC", "values": [20.0] * 3},
        "dew_point": {"unit": "degC", "values": [9.27, 12.01, 20.0]},
    }
    got, _ = hours(series(columns=columns))
    # 20 °C: dew points of 9.27 at 50 % and 12.01 at 60 % (PsychroLib 2.5).
    assert got.relative_humidity.tolist() == pytest.approx([0.50, 0.60, 1.0], abs=0.002)


@pytest.mark.parametrize(("day", "hours"), [("2026-03-08", 23), ("2026-11-01", 25), ("2026-05-04", 24)])
@pytest.mark.parametrize("by", ["days", "columns"])
def test_a_chance_of_a_day_is_for_all_its_hours_by_local_clocks(day, hours, by):
    """US clocks change on the second Sunday of March and the first of November (15 U.S.C. 260a): 23 and 25 hours."""
    line = {"warmest": "20 degC", "coldest": "10 degC", "relative_humidity": "60 %"}
    following = str(datetime.fromisoformat(day).date() + timedelta(days=1))
    raw: dict[str, Any] = {
        "days": [
            {"date": day, "rain_chance": "80 %", **line},
            {"date": following, "rain_chance": "10 %", **line},
        ]
    }
    if by == "columns":
        raw = series(hours + 24, start=f"{day}T00:00", rain_chance_period="day")
        raw["columns"]["rain_chance"] = {"unit": "%", "values": [80.0] * hours + [10.0] * 24}
    ctx, ledger = Context(SHELF), Ledger("weather")
    weather = struct_reader(Weather).read(raw, "/weather", ctx)
    ctx.finish()
    found = resolve(weather, BOSTON, ledger)
    assert found.day_chance is not None
    assert list(found.day_chance) == pytest.approx([0.8] * hours + [0.1] * 24)
    rain = reckoned_rain(found, 0.5, ledger)
    (wet,) = np.flatnonzero(rain)
    assert (wet, found.at(int(wet)).hour) == (hours - 1, 23)
    (said,) = (one for one in ledger.findings if one.id == "rain-chance-for-drying")
    assert "from midnight to midnight" in said.message


def test_a_day_with_two_chances_and_hours_beside_days_are_refused():
    shifted = series(24, start="2026-05-04T12:00", rain_chance_period="day")
    shifted["columns"]["rain_chance"] = {"unit": "%", "values": [80.0] * 18 + [10.0] * 6}
    line = {"date": "2026-05-04", "warmest": "20 degC", "coldest": "10 degC", "relative_humidity": "60 %"}
    for raw, pointer in (
        (shifted, "/weather/columns/rain_chance"),
        (series() | {"days": [line]}, "/weather/columns"),
    ):
        ctx = Context(SHELF)
        weather = struct_reader(Weather).read(raw, "/weather", ctx)
        ctx.finish()
        with pytest.raises(InputProblem) as problem:
            resolve(weather, BOSTON, Ledger("weather"))
        assert [fault.pointer for fault in problem.value.faults] == [pointer]
