"""Cure-windows and preparation: heat, dark and mains go by the hours in which people are at work."""

from datetime import date

import numpy as np
import pytest

from latewood.rules.work import daylight

SAND = [{"id": "sand", "kind": "sand", "duration": "4 h"}]
BOSTON = {"latitude": "42.4 deg", "longitude": "-71.1 deg"}


def cautions(answer):
    return {caution.id: caution for caution in answer["cautions"]}


@pytest.mark.parametrize(
    ("celsius", "humidity", "severity"),
    [
        # OSHA's guide to the heat index: up to 91 degF caution, above it precautions; its proposal starts at 80 degF.
        # By the weather service's equation 79.7 degF at 26.7 degC and 40 %, 80.3 at 27 degC.
        (26.5, 40, None),
        (27.2, 40, "warning"),
        (32.0, 40, "warning"),
        (33.5, 40, "danger"),
        (40.0, 20, "danger"),
        (25.0, 90, None),
        (27.5, 90, "warning"),
        (29.0, 90, "danger"),
    ],
)
def test_heat_at_work_is_a_danger(ask, celsius, humidity, severity):
    answer = ask(air_temperature=celsius, relative_humidity=humidity, more={"steps": SAND})
    assert answer["result"]["verdict"] != "no"
    found = cautions(answer).get("heat-stress")
    assert (None if found is None else found.severity) == severity


def test_heat_counts_while_people_are_at_work(ask):
    """Forty degrees at noon, eighteen until ten: whoever starts at seven and works two hours does not meet them."""
    hours = np.tile(np.where(np.isin(np.arange(24), range(10, 20)), 40.0, 18.0), 4)
    early = {"steps": [{"id": "sand", "kind": "sand", "duration": "2 h"}], "start": "2026-05-04T07:00:00-04:00"}
    noon = {**early, "start": "2026-05-04T11:00:00-04:00"}
    assert "heat-stress" not in cautions(ask(air_temperature=list(hours), relative_humidity=30, more=early))
    assert (
        cautions(ask(air_temperature=list(hours), relative_humidity=30, more=noon))["heat-stress"].severity == "danger"
    )


def test_hours_that_cannot_be_taken_bring_no_caution(ask):
    """Nothing is planned where every hour is frozen: neither heat nor noise is spoken of."""
    answer = ask(air_temperature=-5.0, more={"steps": [*SAND, {"id": "coat-1", "kind": "coat", "duration": "2 h"}]})
    assert answer["result"]["verdict"] == "no"
    assert not {"heat-stress", "noise", "work-after-dark", "mains-near-wet-boards"} & set(cautions(answer))


@pytest.mark.parametrize(
    ("shift", "said"),
    [
        # By the almanac the sun sets about 19:48 in Boston on 4 May 2026.
        ({"opens": "07:00", "closes": "19:00", "daylight_only": False}, False),
        ({"opens": "07:00", "closes": "22:00", "daylight_only": False}, True),
        ({"opens": "04:00", "closes": "12:00", "daylight_only": False}, True),
        ({"opens": "07:00", "closes": "22:00", "daylight_only": True}, False),
        (None, False),
    ],
)
def test_shifts_that_reach_past_sunset_are_work_after_dark(ask, shift, said):
    more = {"steps": SAND, **BOSTON} | ({} if shift is None else {"shift": shift})
    assert ("work-after-dark" in cautions(ask(more=more))) is said


def test_wiping_after_sunset_is_work_after_dark(ask):
    shift = {"opens": "07:00", "closes": "22:00", "daylight_only": False}
    late = {**BOSTON, "shift": shift, "start": "2026-05-04T17:45:00-04:00", "laying_time": "2 h"}
    answer = ask(more=late)
    assert answer["result"]["verdict"] != "no"
    assert "work-after-dark" in cautions(answer)


@pytest.mark.parametrize(("rain", "severity"), [(0.0, "warning"), ([0.0] * 60 + [4.0] + [0.0] * 35, "danger")])
def test_rain_makes_mains_on_boards_a_danger(ask, rain, severity):
    answer = ask(rain=rain, more={"steps": SAND})
    assert cautions(answer)["mains-near-wet-boards"].severity == severity


def test_coating_alone_needs_no_mains(ask):
    assert not {"mains-near-wet-boards", "noise", "wood-dust-fire"} & set(cautions(ask()))


# By the almanac: 15 h 17 min in Boston at midsummer, 9 h 05 min at midwinter; refraction and the sun's disc add 8 min.
@pytest.mark.parametrize(
    ("day", "latitude", "hours"),
    [((2026, 6, 21), 42.4, 15.2), ((2026, 12, 21), 42.4, 9.0), ((2026, 3, 20), 0.0, 12.0), ((2026, 6, 21), 70.0, 24.0)],
)
def test_length_of_a_day(day, latitude, hours):
    assert daylight(date(*day), np.radians(latitude)) / 3600 == pytest.approx(hours, abs=0.12)


PREPARED = {"area": "30 m2", "species": "ipe", "treatment": "none", "old_coating": "none", "signs": ["grey"]}


@pytest.mark.parametrize(
    ("climate", "severity"),
    [
        ({}, None),
        ({"temperature": "20 degC", "relative_humidity": "65 %"}, None),
        ({"temperature": "30 degC", "relative_humidity": "40 %"}, "warning"),
        ({"temperature": "40 degC", "relative_humidity": "30 %"}, "danger"),
    ],
)
def test_preparation_in_the_heat(engine, climate, severity):
    found = cautions(engine.calculate("preparation", **PREPARED, route="sand", **climate)).get("heat-stress")
    assert (None if found is None else found.severity) == severity


@pytest.mark.parametrize(("day", "said"), [("2026-06-21", False), ("2026-12-21", True)])
def test_a_working_day_longer_than_the_light(engine, day, said):
    asked = {**PREPARED, "route": "sand", "day_length": "12 h", "latitude": "42.4 deg", "start": day}
    assert ("work-after-dark" in cautions(engine.calculate("preparation", **asked))) is said


# By the almanac: 5 h 53 min in Oslo or Helsinki at midwinter, none at 68 degrees north; 18 h 50 min at midsummer.
@pytest.mark.parametrize(
    ("day", "latitude", "said"),
    [
        ("2026-12-21", "60 deg", True),
        ("2026-12-21", "68 deg", True),
        ("2026-06-21", "60 deg", False),
        ("2026-06-21", "-60 deg", True),
        ("2026-12-21", "30 deg", False),
    ],
)
def test_a_working_day_that_was_left_out_is_held_against_the_light_too(engine, day, latitude, said):
    asked = {**PREPARED, "route": "sand", "latitude": latitude, "start": day}
    assert ("work-after-dark" in cautions(engine.calculate("preparation", **asked))) is said


def test_light_that_is_gone_by_the_last_day_counts(engine):
    """At 55 degrees north a day has 8 h of sun at the end of November, and less than that from then on."""
    asked = {**PREPARED, "area": "200 m2", "route": "sand", "latitude": "55 deg", "start": "2026-11-15"}
    assert "work-after-dark" in cautions(engine.calculate("preparation", **asked))
    assert "work-after-dark" not in cautions(engine.calculate("preparation", **asked | {"area": "1 m2"}))
