"""Weather and work that ask too much, contradict themselves, or say less than they seem to."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from latewood.problems import InputProblem

FIRST = "2026-05-04T12:00:00-04:00"


def findings(answer: Any) -> dict[str, Any]:
    return {finding.id: finding for finding in answer["findings"]}


def pointers(problem: pytest.ExceptionInfo[InputProblem]) -> set[str]:
    return {fault.pointer for fault in problem.value.faults}


def test_rain_within_the_longer_rain_safe_time_is_a_no(ask):
    """A sheet's 6 to 24 hours: the hand-over says 24, and rain at 23 is not waved through by the 6."""
    rain = np.zeros(96)
    rain[36] = 2.0
    sheet = {"product": {"rain_safe": "6-24 h"}, "laying_time": "1 h", "start": FIRST}
    answer = ask(air_temperature=23, rain=rain, more=sheet)
    assert answer["result"]["verdict"] == "no"
    text = answer["result"]["text"].replace("\u00a0", " ")
    assert "it needs 24 h at 23 °C and 50 %, 25 h here" in text
    rain = np.roll(rain, 3)  # the hour of rain itself does not count, hence 25
    assert ask(air_temperature=23, rain=rain, more=sheet)["result"]["verdict"] != "no"


def test_where_a_coat_is_never_safe_the_hours_needed_are_said_all_the_same(ask):
    rain = np.zeros(96)
    rain[30::6] = 1.0
    text = ask(air_temperature=8, rain=rain, more={"start": FIRST, "laying_time": "1 h"})["result"]["text"]
    said = "it needs 24 h at 23 °C and 50 %, which this weather never gives"
    assert said in text.replace("\u00a0", " ")


def test_hours_whose_rain_nobody_knows_are_not_called_rain(ask):
    rain: list[Any] = [0.0] * 96
    rain[30:60] = [None] * 30
    answer = ask(rain=rain, more={"start": FIRST, "laying_time": "1 h"})
    assert answer["result"]["verdict"] == "no"
    assert "rain comes" not in answer["result"]["text"]
    assert "not known from this forecast: no rain before the coat is rain-safe" in answer["result"]["text"]


@pytest.mark.parametrize("column", ["rain", "wind_speed", "cloud", "irradiance", "surface_temperature", "dew_point"])
def test_a_column_without_a_value_is_as_one_left_out(ask, column):
    place = {"latitude": "41.2 deg", "longitude": "-73.9 deg", "board_temperature": "heat-balance"}
    usual = {"cloud": 90} if column != "cloud" else {}
    empty = ask(**{**usual, column: [None] * 96}, more=place)
    without = ask(**{**usual, column: None}, more=place)
    assert empty["result"] == without["result"]
    assert findings(empty)["weather-column-empty"].pointer == f"/weather/columns/{column}"


def test_nothing_is_done_on_a_coat_before_it_can_be_walked_on(ask):
    """Scuffing between coats waits for the first to dry, however the family lays its second."""
    steps = [
        {"id": "first", "kind": "coat", "duration": "1 h"},
        {"id": "scuff", "kind": "sand", "duration": "1 h"},
        {"id": "second", "kind": "coat", "duration": "1 h"},
    ]
    for family in ("semi-transparent-oil-stain", "waterborne-stain", "clear-penetrating-oil"):
        line = {event["id"]: event for event in ask(family, count=240, more={"steps": steps})["result"]["timeline"]}
        assert line["scuff"]["starts"][:10] > line["first"]["ends"][:10]


def test_a_refused_start_lays_its_coats_out_as_far_apart_as_they_must_be(ask):
    rain = np.zeros(96)
    rain[36] = 2.0
    result = ask("waterborne-stain", rain=rain, more={"start": FIRST, "laying_time": "1 h"})["result"]
    assert result["verdict"] == "no"
    line = {event["id"]: event for event in result["timeline"]}
    assert line["coat-2"]["starts"] >= line["coat-1-next-coat"]["starts"]


def test_wiping_after_hours_is_what_stops_a_late_start(ask):
    late = {"start": "2026-05-04T17:00:00-04:00", "laying_time": "1.75 h", "shift": {"closes": "19:00"}}
    text = ask(more=late | {"shift": {"closes": "19:00", "daylight_only": False}})["result"]["text"]
    assert "first coat: outside working hours or daylight, wiping included" in text


def test_a_start_whose_later_steps_lie_beyond_the_weather_says_so(ask):
    steps = [
        {"id": "wash", "kind": "clean", "duration": "1 h", "wait": "200 h"},
        {"id": "coat", "kind": "coat", "duration": "1 h"},
    ]
    result = ask(more={"steps": steps, "start": FIRST})["result"]
    assert "coat: the forecast ends before it can begin" in result["text"]
    assert result["timeline"] == []


def test_work_longer_than_the_weather_is_named_with_its_hours(ask):
    nearest = ask(count=72, more={"laying_time": "40 h"})["result"]["nearest"]
    assert nearest["gates"] == ["too-short"]
    assert "first coat takes 40\u00a0h" in nearest["text"]


def test_no_earliest_start_after_the_weather(ask):
    with pytest.raises(InputProblem) as problem:
        ask(more={"earliest": "2026-06-01T00:00:00Z"})
    assert pointers(problem) == {"/earliest"}


@pytest.mark.parametrize(
    ("product", "at"),
    [
        ({"coldest": "30 degC", "hottest": "10 degC"}, "/product/hottest"),
        ({"hottest": "3 degC"}, "/product/hottest"),
        ({"coldest": "35 degC"}, "/product/coldest"),
    ],
)
def test_a_sheet_that_no_board_can_meet_is_refused(ask, product, at):
    with pytest.raises(InputProblem) as problem:
        ask(more={"product": product})
    assert pointers(problem) == {at}


def test_a_shift_over_midnight_is_told_how_to_be_asked_for(ask):
    with pytest.raises(InputProblem) as problem:
        ask(more={"shift": {"opens": "20:00", "closes": "04:00"}})
    assert "over midnight" in str(problem.value.faults[0].expected)


@pytest.mark.parametrize(
    ("start", "zone", "latitude", "longitude"),
    [
        ("2026-12-10T00:00:00+01:00", "Europe/Oslo", 69.6, 18.9),
        ("2026-06-10T00:00:00+02:00", "Europe/Oslo", 69.6, 18.9),
        ("2026-06-10T00:00:00Z", "Antarctica/South_Pole", -90, 0),
        ("2026-10-03T00:00:00+10:30", "Australia/Lord_Howe", -31.5, 159.1),
        ("2026-03-28T00:00:00+05:45", "Asia/Kathmandu", 27.7, 85.3),
        ("2026-03-07T00:00:00", "America/New_York", 41.2, -73.9),
    ],
)
def test_any_place_on_earth_is_answered(ask, start, zone, latitude, longitude):
    """Polar night and day, the south, clocks that jump by half an hour, and zones off the hour."""
    place = {"latitude": f"{latitude} deg", "longitude": f"{longitude} deg", "timezone": zone}
    answer = ask(cloud=100, more=place, start=start)
    result = answer["result"]
    dark = start.startswith("2026-12") or latitude == -90
    assert (list(result["nearest"]["gates"]) == ["working-hours"]) if dark else (result["verdict"] != "no")
    opens = {window["starts"][11:13] for window in result["windows"]}
    assert all(hour >= "07" for hour in opens)


@pytest.mark.parametrize(
    ("asked", "coats", "minutes"),
    [
        # Wood Handbook, ch. 16: a second coat after 20 to 60 min on wood that takes it up, wiped an hour after it.
        ({"species": "southern-yellow-pine"}, 2, 60),
        # Dense hardwood: one flood coat, wiped 15 to 20 min after (common practice, no source).
        ({"species": "ipe"}, 1, 15),
        # Nobody said which wood: the shorter clock.
        ({}, 1, 15),
        ({"species": "southern-yellow-pine", "product": {"regime": "one-flood-coat"}}, 1, 15),
        ({"product": {"regime": "wet-on-wet"}}, 2, 60),
        ({"species": "ipe", "product": {"wipe": "25-30 min"}}, 1, 25),
    ],
)
def test_wood_and_sheet_decide_how_a_stain_is_laid(ask, asked, coats, minutes):
    answer = ask("semi-transparent-oil-stain", count=200, air_temperature=23, more=asked)
    line = {event["id"]: event for event in answer["result"]["timeline"]}
    assert [id for id in line if id in ("coat-1", "coat-2")] == [f"coat-{n + 1}" for n in range(coats)]
    assert f"first boards {minutes}" in line[f"coat-{coats}-wipe-first"]["text"]
    assert ("species-not-given" in findings(answer)) == (asked == {})


def test_an_oil_of_one_coat_is_laid_twice_only_where_its_sheet_says_when(ask):
    twice = {"regime": "wet-on-wet", "wipe": "60 min"}
    with pytest.raises(InputProblem) as problem:
        ask(more={"product": twice})
    assert pointers(problem) == {"/product/second_coat"}
    with pytest.raises(InputProblem) as problem:
        ask(more={"product": {"regime": "wet-on-wet"}})
    assert pointers(problem) == {"/product/wipe"}
    result = ask(more={"product": twice | {"second_coat": "30-45 min"}})["result"]
    line = {event["id"]: event for event in result["timeline"]}
    assert line["coat-2"]["starts"][11:16] == "09:30"


def test_two_coats_on_wood_that_takes_one_wait_for_the_first_to_dry(ask):
    steps = [{"id": name, "kind": "coat", "duration": "1 h"} for name in ("coat-1", "coat-2")]
    more = {"steps": steps, "species": "ipe"}
    line = {
        event["id"]: event for event in ask("semi-transparent-oil-stain", count=240, more=more)["result"]["timeline"]
    }
    assert line["coat-2"]["starts"][:10] > line["coat-1"]["ends"][:10]


SUNNY = {"latitude": "41.2 deg", "longitude": "-73.9 deg", "board_temperature": "heat-balance"}


def test_what_is_taken_for_wind_and_cloud_is_said_where_it_closes_the_day(ask):
    """Beaufort: force 1, light air, is 0.3 to 1.5 m/s; force 2, a light breeze, 1.6 to 3.3 m/s."""
    still = ask(air_temperature=20, wind_speed=None, more=SUNNY)
    assert still["result"]["nearest"]["gates"] == ["hot"]
    said = findings(still)["boards-at-extremes"]
    assert said.params["not_recorded"] == ["wind_speed", "cloud"]
    assert "light air of 1\u00a0m/s" in said.message
    windy = ask(air_temperature=20, wind_speed=3, more=SUNNY)
    assert windy["result"]["verdict"] != "no"
    first = min(window["starts"] for window in windy["result"]["windows"])
    assert findings(still)["breeze-would-do"].params["start"] == first
    assert findings(windy)["boards-at-extremes"].params["not_recorded"] == ["cloud"]
    assert "breeze-would-do" not in findings(windy)


@pytest.mark.parametrize(
    "more",
    [
        {"board_temperature": "air"},
        {"exposure": "roofed"},
        {"latitude": None, "longitude": None},
    ],
)
def test_nothing_is_said_of_wind_and_cloud_where_no_board_hangs_on_them(ask, more):
    asked = {name: value for name, value in {**SUNNY, **more}.items() if value is not None}
    assert "boards-at-extremes" not in findings(ask(wind_speed=None, more=asked))
    measured = ask(wind_speed=None, surface_temperature=20, more=SUNNY)
    assert "boards-at-extremes" not in findings(measured)
    assert "boards-at-extremes" not in findings(ask(wind_speed=2, cloud=50, more=SUNNY))


def test_boards_of_which_nothing_is_known_give_no_plain_yes(ask):
    """Neither place nor irradiance nor a measurement: sun may heat the boards by tens of kelvins."""
    nowhere = {"board_temperature": "heat-balance"}
    answer = ask(more=nowhere)
    assert answer["result"]["verdict"] == "at-risk"
    assert "boards-unknown" in answer["result"]["windows"][0]["breaks"]
    assert "sun heats the boards" in answer["result"]["text"]
    assert ask(more={"board_temperature": "air"})["result"]["verdict"] == "yes"
    assert ask(surface_temperature=20, more=nowhere)["result"]["verdict"] == "yes"
    assert ask(more=nowhere | {"exposure": "roofed"})["result"]["verdict"] == "yes"
