"""What opens a window where none opens as asked: each proposal, asked for, gives the window it promises."""

from __future__ import annotations

import math
from typing import Any

import pytest

from latewood.catalogue import Catalogue

SITE = {"latitude": "41 deg", "longitude": "-74 deg", "timezone": "America/New_York"}
OIL = "clear-penetrating-oil"


def days(highest: float, *, first: str = "2026-06-14", count: int = 4, **other: str) -> dict[str, Any]:
    year_month = first[:8]
    weather = {"relative_humidity": "60 %", "wet_spells": "none", "cloud": "20 %", "wind_speed": "2 m/s"} | other
    return {
        "days": [
            {"date": f"{year_month}{int(first[8:]) + more:02d}", "warmest": f"{highest} degC"}
            | {"coldest": f"{highest - 10} degC"}
            | weather
            for more in range(count)
        ]
    }


@pytest.fixture
def ask(lw: Catalogue):
    def asked(**request: Any) -> dict[str, Any]:
        return lw.calculate("cure-windows", **{"coating": OIL, "brief": True, "most": 100} | SITE | request)

    return asked


def kinds(answer: dict[str, Any]) -> list[str]:
    return [one["kind"] for one in answer["result"]["proposals"]]


def plain(change: dict[str, Any]) -> dict[str, Any]:
    """Return the fields of a change as a request sends them: quantities as text."""

    def sent(value: Any) -> Any:
        if isinstance(value, dict):
            if value.keys() == {"value", "unit"}:
                return f"{value['value']} {value['unit']}"
            return {name: sent(one) for name, one in value.items()}
        return [sent(one) for one in value] if isinstance(value, list) else value

    return {name: sent(value) for name, value in change.items()}


def keeps(ask: Any, request: dict[str, Any]) -> list[str]:
    """Ask again with every change that is proposed; each gives the window it promised."""
    first = ask(**request)
    for one in first["result"]["proposals"]:
        change = plain(one["change"])
        taken = {name: value for name, value in request.items() if not ("steps" in change and name == "laying_time")}
        again = ask(**taken | change)["result"]["windows"]
        assert again[int(one["window"]["id"]) - 1] == one["window"]
        assert one["last_end"] >= one["window"]["latest_start"]
    return kinds(first)


def test_a_hot_day_opens_in_shade_and_in_parts(ask):
    request = {"weather": days(26)}
    answer = ask(**request)
    assert answer["result"]["windows"] == []
    assert keeps(ask, request) == ["smaller-parts", "shade", "more-people"]
    parts, shade, people = answer["result"]["proposals"]
    assert shade["change"]["shade"] == [{"comes": "00:00", "goes": "12:00", "share": {"value": 100.0, "unit": "%"}}]
    assert parts["parts_fitting"] >= parts["floor_parts"] == 3
    assert people["crews"] == 3
    # It stands first: in the sentence of the answer, and before all other findings.
    assert answer["result"]["text"].startswith(
        "No: no start works as asked in this weather. What opens one: coat 3 parts"
    )
    assert answer["findings"][0].id == "window-opens"
    assert answer["findings"][0].params == {"proposals": ["smaller-parts", "shade", "more-people"]}


def test_an_early_start_opens_a_day_that_gets_hot(ask):
    request = {"weather": days(18), "laying_time": "2.5 h", "shift": {"opens": "08:00", "closes": "17:00"}}
    assert keeps(ask, request)[0] == "earlier-hours"
    first = ask(**request)["result"]["proposals"][0]
    assert first["change"]["shift"]["opens"] in ("07:00", "06:00")
    assert first["window"]["starts"][11:16] == first["change"]["shift"]["opens"]


def test_a_late_finish_opens_an_evening(ask):
    """Boards are too hot until six, when the crew leaves."""
    request = {"weather": days(22), "laying_time": "1.5 h", "shift": {"opens": "12:00", "closes": "18:00"}}
    assert "later-hours" in keeps(ask, request)
    late = next(one for one in ask(**request)["result"]["proposals"] if one["kind"] == "later-hours")
    assert late["change"]["shift"]["closes"] == "20:00"
    assert late["window"]["starts"][11:16] == "18:00"


def test_smaller_parts_alone_open_a_morning_of_measured_boards(ask):
    """Boards that were measured are not shaded: 20 °C until eight, 40 °C from nine until the crew leaves."""
    clock = [hour % 24 for hour in range(96)]
    columns = {
        "air_temperature": {"values": [20.0] * 96, "unit": "degC"},
        "relative_humidity": {"values": [50.0] * 96, "unit": "%"},
        "rain": {"values": [0.0] * 96, "unit": "mm"},
        "surface_temperature": {"values": [40.0 if 9 <= hour < 22 else 20.0 for hour in clock], "unit": "degC"},
    }
    weather = {"start": "2026-06-14T00:00:00-04:00", "step": "1 h", "stamp": "start", "columns": columns}
    request = {"weather": weather, "laying_time": "6 h", "shift": {"opens": "07:00", "closes": "19:00"}}
    assert keeps(ask, request) == ["smaller-parts", "more-people"]
    parts = ask(**request)["result"]["proposals"][0]
    assert (parts["floor_parts"], parts["parts_fitting"], parts["change"]["laying_time"]["value"]) == (3, 3, 2.0)
    assert parts["window"]["starts"][11:16] == "07:00"


def test_steps_are_divided_as_steps(ask):
    steps = [{"id": "one", "kind": "sand", "duration": "4 h"}, {"id": "two", "kind": "coat", "duration": "4 h"}]
    request = {"weather": days(26), "steps": steps}
    assert "smaller-parts" in keeps(ask, request)
    parts = next(one for one in ask(**request)["result"]["proposals"] if one["kind"] == "smaller-parts")
    assert [step["id"] for step in parts["change"]["steps"]] == ["one", "two"]
    assert "parts_fitting" not in parts


def test_another_finish_is_proposed_where_its_limits_are_met(ask):
    """Latex needs 10 °C for a day, oil 2 °C in the night (Wood Handbook, chapter 16, and a house builder's rule)."""
    weather = days(15, cloud="100 %", count=8)
    request = {"coating": "waterborne-stain", "weather": weather, "other_coatings": ["waterborne-stain", OIL]}
    assert keeps(ask, request) == ["another-finish"]
    other = ask(**request)["result"]["proposals"][0]
    assert (other["id"], other["change"]) == (f"another-finish-{OIL}", {"coating": OIL})


def test_in_rain_nothing_opens_one_and_the_answer_says_so(ask):
    answer = ask(weather=days(20, wet_spells="0-24"))
    assert answer["result"]["proposals"] == []
    assert answer["findings"][0].id == "nothing-opens-window"
    assert "No other hours, shade, smaller parts or larger crew open one." in answer["result"]["text"]


def test_a_start_that_fails_has_another(ask):
    request = {"weather": days(20, cloud="100 %"), "start": "2026-06-14T22:00:00-04:00"}
    assert keeps(ask, request) == ["another-start"]
    answer = ask(**request)
    assert answer["result"]["verdict"] == "no"
    again = ask(**request | plain(answer["result"]["proposals"][0]["change"]))
    assert again["result"]["verdict"] != "no"


def test_starts_with_little_room_have_more_elsewhere(ask):
    request = {"weather": days(22), "laying_time": "2 h"}
    answer = ask(**request)
    assert answer["result"]["windows"]
    assert answer["findings"][0].id == "one-start-fits"
    assert answer["result"]["text"].startswith("Yes: start Sun 14 Jun, 07:00. Only one start fits: Sun 14 Jun, 07:00.")
    keeps(ask, request)
    assert all(one["opens_for"]["value"] >= 1 for one in answer["result"]["proposals"])


def test_nothing_is_proposed_where_a_window_has_room(ask):
    answer = ask(weather=days(20, cloud="100 %"))
    assert answer["result"]["windows"]
    assert answer["result"]["proposals"] == []
    assert answer["findings"][0].id != "little-room"


def test_a_record_of_months_is_no_forecast(ask):
    hours = 24 * 22
    columns = {
        "air_temperature": {"values": [35.0] * hours, "unit": "degC"},
        "relative_humidity": {"values": [40.0] * hours, "unit": "%"},
        "rain": {"values": [0.0] * hours, "unit": "mm"},
    }
    weather = {"start": "2026-06-01T00:00:00-04:00", "step": "1 h", "stamp": "start", "columns": columns}
    answer = ask(weather=weather)
    assert (answer["result"]["windows"], answer["result"]["proposals"]) == ([], [])
    assert "nothing-opens-window" not in {one.id for one in answer["findings"]}
    assert "What opens one" not in answer["result"]["text"]


def test_what_was_laid_is_wiped_on_boards_that_get_hot(ask):
    """The limit is of the boards that are coated; what lies on them is wiped sooner the hotter they get.

    Measured boards: 25 °C until ten, 40 °C after. Three hours of laying from seven on end at ten, the wiping after.
    """
    clock = [hour % 24 for hour in range(96)]
    columns = {
        "air_temperature": {"values": [20.0] * 96, "unit": "degC"},
        "relative_humidity": {"values": [50.0] * 96, "unit": "%"},
        "rain": {"values": [0.0] * 96, "unit": "mm"},
        "surface_temperature": {"values": [40.0 if 10 <= hour < 22 else 25.0 for hour in clock], "unit": "degC"},
    }
    weather = {"start": "2026-06-14T00:00:00-04:00", "step": "1 h", "stamp": "start", "columns": columns}
    answer = ask(weather=weather, laying_time="3 h")
    first = min(answer["result"]["windows"], key=lambda window: window["starts"])
    assert (first["starts"][11:16], first["latest_start"][11:16]) == ("07:00", "07:00")
    # By the fast clock, 66 kJ/mol (J. Agric. Food Chem. 53 (2005) 9073): 20 min at 23 °C are 4.7 min at 40 °C.
    said = next(one for one in answer["findings"] if one.id == "wipe-soon")
    assert said.params["within"] == pytest.approx(
        20 / math.exp(66e3 / 8.314462618 * (1 / 296.15 - 1 / 313.15)), abs=0.1
    )
    rain = {"values": [0.1 if hour == 10 else 0.0 for hour in clock], "unit": "mm"}
    wet = ask(weather=weather | {"columns": columns | {"rain": rain}}, laying_time="3 h")
    assert wet["result"]["windows"] == []
