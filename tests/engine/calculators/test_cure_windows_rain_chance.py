"""A chance of rain for a whole day: what it leaves for the hours that count, with its range, and what is said of it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.engine.calculators.conftest import weather

from latewood.problems import InputProblem
from latewood.wire import Options

#: From midnight, four days of hours; the oil asks for a dry day before, and is safe from rain after 24 h at 23 °C.
HOURS = 96


def findings(answer: Any) -> dict[str, Any]:
    return {finding.id: finding for finding in answer["findings"]}


def by_day(*chances: float) -> list[float]:
    return [float(chance) for chance in chances for _ in range(24)]


@pytest.fixture(scope="module")
def asked(ask: Any) -> Any:
    """Ask about fair hours with chances of rain by day, or by ``period``."""

    def asked(*chances: float, period: str | None = "day", **more: Any) -> Any:
        made = weather(24 * len(chances), rain=None, rain_chance=by_day(*chances), **more.pop("columns", {}))
        if period is not None:
            made["rain_chance_period"] = period
        return ask(more={"weather": made, "laying_time": "2 h", **more})

    return asked


def share(quantity: dict[str, Any]) -> float:
    assert quantity["unit"] == "%"
    return quantity["value"] / 100  # type: ignore[no-any-return]  # decoded JSON


def test_a_chance_of_the_day_in_every_hour_no_longer_forbids_the_week(asked: Any) -> None:
    """Twenty and twenty-five per cent a day, typed into each hour: workable at a risk, however they are typed."""
    as_hours = asked(40, 10, 10, 10, period="step")
    as_days = asked(40, 10, 10, 10)
    assert as_hours["result"]["windows"][0]["best_start"] > "2026-05-06"
    assert as_days["result"]["windows"][0]["best_start"] < "2026-05-07"
    assert asked(20, 20, 20, 20)["result"]["verdict"] == "at-risk"
    assert asked(2, 2, 2, 2)["result"]["verdict"] == "yes"


def test_the_chance_in_the_hours_that_count_by_hand(asked: Any) -> None:
    """20 % a day from 07:00 for h hours: even 1 − 0.8^(h/24), one shower 1 − Π(1 − 0.2·part), most 1 − 0.8·0.8."""
    answer = asked(20, 20, 20, 20, start="2026-05-04T07:00:00-04:00")
    risk = answer["result"]["rain_risk"]
    assert risk["starts"].startswith("2026-05-04T07:00")
    hours = (np.datetime64(risk["ends"][:19]) - np.datetime64("2026-05-04T07:00:00")) / np.timedelta64(1, "h")
    assert 24 < hours < 41
    assert share(risk["chance"]) == pytest.approx(1 - 0.8 ** (hours / 24), rel=1e-3)
    shower = 1 - (1 - 0.2 * 17 / 24) * (1 - 0.2 * (hours - 17) / 24)
    assert share(risk["chance_least"]) == pytest.approx(shower, rel=1e-3)
    assert share(risk["chance_most"]) == pytest.approx(1 - 0.8 * 0.8)
    said = findings(answer)["rain-chance-by-day"]
    assert said.params["chance"] == pytest.approx(share(risk["chance"]), abs=1e-4)
    shown = [f"{share(risk[name]) * 100:.0f}\u00a0%" for name in ("chance", "chance_least", "chance_most")]
    assert all(one in said.message for one in shown)


def test_rain_in_just_these_hours_and_rain_before_are_risks_of_their_own(asked: Any) -> None:
    """Even spread passes the limit of 30 %, the worst case does not; a wet day before only puts the start in doubt."""
    spread = asked(20, 20, 20, 20, start="2026-05-05T07:00:00-04:00", rain_chance_error="0 %")
    assert set(findings(spread)["forecast-risk"].params["breaks"]) == {"rain-just-then"}
    wet = asked(70, 5, 5, 5, start="2026-05-05T09:00:00-04:00", rain_chance_error="0 %")
    assert wet["result"]["verdict"] == "at-risk"
    assert findings(wet)["forecast-risk"].params["breaks"] == ["rain-before"]
    assert "look before you start" in wet["result"]["text"]


def test_where_only_the_chance_stops_it_the_least_risky_start_is_named(asked: Any) -> None:
    answer = asked(60, 60, 45, 45)
    assert answer["result"]["verdict"] == "no"
    assert answer["result"]["nearest"]["gates"] == ["rain-likely-later"]
    said = findings(answer)["rain-chance-stops"]
    assert 0.40 < said.params["least"] < said.params["chance"] < said.params["most"]
    borne = asked(60, 60, 45, 45, rain_chance_limit="65 %", rain_chance_error="0 %")
    assert borne["result"]["verdict"] == "at-risk"
    assert share(borne["result"]["rain_risk"]["chance"]) <= 0.65


@pytest.mark.parametrize("chance", [0, 100])
def test_a_day_that_is_sure_is_as_good_as_recorded(asked: Any, chance: int) -> None:
    answer = asked(*[chance] * 4)
    assert answer["result"]["verdict"] == ("yes" if chance == 0 else "no")
    assert "rain-chance-by-day" not in findings(answer)


def test_a_line_a_day_means_the_day(engine: Any) -> None:
    days = [
        {
            "date": f"2026-05-0{4 + place}",
            "warmest": "23 degC",
            "coldest": "16 degC",
            "relative_humidity": "55 %",
            "rain_chance": "20 %",
        }
        for place in range(4)
    ]
    usual = {"coating": "clear-penetrating-oil", "timezone": "America/New_York", "board_temperature": "air"}

    def ask(**more: Any) -> Any:
        return engine.calculate("cure-windows", **usual, laying_time="2 h", weather={"days": days, **more})

    answer = ask()
    assert answer["result"]["verdict"] == "at-risk"
    assert share(answer["result"]["rain_risk"]["chance_most"]) == pytest.approx(0.36)
    period = next(line for line in answer["basis"] if line.path == "input/weather/rain_chance_period")
    assert (period.given, period.kind) == ("day", "default")
    hourly = ask(rain_chance_period="step")
    assert hourly["result"].get("rain_risk") is None
    assert hourly["result"]["windows"][0]["breaks"][:1] == ["wetter"]


def test_a_chance_that_is_the_same_all_day_is_asked_about(asked: Any) -> None:
    said = findings(asked(40, 40, 40, 40, period=None))["rain-chance-looks-daily"]
    assert said.pointer == "/weather/columns/rain_chance"
    assert said.params["chance"] == pytest.approx(0.4)
    assert "rain-chance-looks-daily" not in findings(asked(40, 40, 40, 40, period="step"))
    assert "rain-chance-looks-daily" not in findings(asked(40, 40, 40, 40))
    assert "rain-chance-looks-daily" not in findings(asked(0, 0, 100, 0, period=None))


def test_hours_that_differ_do_not_look_daily(ask: Any) -> None:
    chances = by_day(10, 10, 10, 10)
    chances[30] = 15.0
    assert "rain-chance-looks-daily" not in findings(ask(rain=None, rain_chance=chances))


def test_two_chances_for_one_day_are_refused(ask: Any) -> None:
    chances = by_day(10, 10, 10, 10)
    chances[30] = 15.0
    made = {**weather(HOURS, rain=None, rain_chance=chances), "rain_chance_period": "day"}
    with pytest.raises(InputProblem) as caught:
        ask(more={"weather": made})
    [fault] = caught.value.faults
    assert (fault.pointer, fault.code) == ("/weather/columns/rain_chance", "conflict")
    assert "5 May 2026" in fault.detail


def test_a_period_without_a_chance_is_refused(ask: Any) -> None:
    with pytest.raises(InputProblem) as caught:
        ask(more={"weather": {**weather(HOURS), "rain_chance_period": "day"}})
    assert [fault.pointer for fault in caught.value.faults] == ["/weather/rain_chance_period"]


def test_a_day_without_a_chance_is_unknown_and_one_value_serves_its_day(ask: Any) -> None:
    once: list[Any] = [None] * HOURS
    once[6], once[30] = 5.0, 5.0
    made = {**weather(HOURS, rain=None, rain_chance=once), "rain_chance_period": "day"}
    answer = ask(more={"weather": made, "start": "2026-05-04T07:00:00-04:00"})
    assert answer["result"]["verdict"] in ("yes", "at-risk")
    late = ask(more={"weather": made, "start": "2026-05-05T12:00:00-04:00"})
    assert late["result"]["verdict"] == "no"
    assert "not known from this forecast" in late["result"]["text"]


def test_recorded_rain_counts_beside_the_chance_of_its_day(ask: Any) -> None:
    rain = np.zeros(HOURS)
    rain[15] = 2.0
    made = {**weather(HOURS, rain=rain, rain_chance=by_day(5, 5, 5, 5)), "rain_chance_period": "day"}
    answer = ask(more={"weather": made, "start": "2026-05-04T09:00:00-04:00"})
    assert answer["result"]["verdict"] == "no"
    assert "rain-later" in findings(answer)["start-fails"].params["gates"]


def test_under_a_roof_no_chance_counts(asked: Any) -> None:
    answer = asked(80, 80, 80, 80, exposure="roofed")
    assert answer["result"]["verdict"] == "yes"
    assert answer["result"].get("rain_risk") is None


def test_boards_sanded_the_day_before_may_be_rained_on(ask: Any) -> None:
    steps = [
        {"id": "sand", "kind": "sand", "duration": "6 h", "wait": "14 h"},
        {"id": "coat-1", "kind": "coat", "duration": "2 h"},
    ]

    def sanded(*chances: float) -> dict[str, Any]:
        made = {**weather(HOURS, rain=None, rain_chance=by_day(*chances)), "rain_chance_period": "day"}
        return findings(ask(more={"steps": steps, "weather": made, "start": "2026-05-04T12:00:00-04:00"}))

    wet, dry = sanded(90, 2, 2, 2), sanded(4, 4, 4, 4)
    assert "chance of 44\u00a0%" in wet["bare-boards-wetted"].message  # 18:00 to 08:00: 1 − 0.1^(6/24)·0.98^(8/24)
    assert "bare-boards-wetted" not in dry
    assert "is 2.4\u00a0%" in dry["bare-overnight"].message


def test_the_working_shows_each_day(lw: Any) -> None:
    days = [
        {"date": f"2026-05-0{4 + place}", "warmest": "23 degC", "coldest": "16 degC", "relative_humidity": "55 %"}
        | {"rain_chance": chance}
        for place, chance in enumerate(("10 %", "20 %", "5 %", "5 %"))
    ]
    answer = lw.calculate(
        "cure-windows",
        options=Options(working=True),
        coating="clear-penetrating-oil",
        timezone="America/New_York",
        board_temperature="air",
        laying_time="2 h",
        start="2026-05-04T08:00",
        weather={"days": days},
    )
    lines = [line for line in answer["sheet"] if line["formula"] in ("chance-in-hours", "chance-of-either")]
    assert [line["formula"] for line in lines[:3]] == ["chance-in-hours", "chance-in-hours", "chance-of-either"]
    assert lines[-1]["result"]["value"] == pytest.approx(answer["result"]["rain_risk"]["chance"]["value"], rel=1e-3)
