"""A job with a crew is planned in bands; one without is not asked."""

import msgspec
import pytest

from latewood.problems import InputProblem
from latewood.wire import Options

BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg"}
MAIN = {"id": "main", "outline": "0 0, 16 0, 16 12, 0 12 ft", "boards": BOARDS, "edges": {"wall_sides": [1]}}
JOB = {
    "schema": 1,
    "site": {"jurisdiction": "US-NY"},
    "defaults": {"species": "ipe", "coating": "clear-penetrating-oil"},
    "crew": {"appliers": 1, "wipers": 1, "surface_temperature": "23 degC"},
    "zones": [MAIN],
}


@pytest.fixture
def plan(lw):
    def plan(**changed):
        job = {name: value for name, value in {**JOB, **changed}.items() if value is not None}
        return msgspec.json.decode(msgspec.json.encode(lw.plan(job, Options(units="metric"))))

    return plan


def rhythms(answer):
    asked = (step for step in answer["steps"] if step["status"] != "not-planned")
    return {step["id"]: step for step in asked if step["calculator"] == "wipe-cadence"}


def test_a_job_without_a_crew_is_not_asked(plan):
    assert not rhythms(plan(crew=None))


def test_the_boards_of_the_take_off_are_the_courses(plan):
    """12 ft across at 142.875 mm: 25.6 boards, so 26; 16 ft of wall are cut in with their bands."""
    answer = plan()
    (step,) = rhythms(answer).values()
    assert (step["id"], step["status"]) == ("wipe-cadence-clear-penetrating-oil", "done")
    bands = step["result"]["bands"]
    area = next(one for one in answer["steps"] if one["id"] == "area")["result"]
    assert bands[-1]["last_course"] == area["boards"] == 26
    assert sum(band["edge_length"]["value"] for band in bands) == pytest.approx(area["obstacle_edge"]["value"])
    assert step["result"]["area"]["value"] == pytest.approx(26 * 0.142875 * 16 * 0.3048)
    assert step["result"]["verdict"] == "yes"
    coverage = next(one for one in answer["steps"] if one["calculator"] == "coverage")["result"]
    assert step["result"]["cloths"] == pytest.approx(coverage["applied"]["value"] / 0.5, abs=1)
    caution = next(one for one in answer["cautions"] if one["id"] == "self-heating-waste")
    assert step["id"] in caution["steps"]


def test_the_regime_goes_by_the_wood_of_each_zone(plan):
    pine = {**MAIN, "id": "pine", "outline": "0 20, 16 20, 16 32, 0 32 ft", "species": "southern-yellow-pine"}
    answer = plan(zones=[MAIN, pine], defaults={"species": "ipe", "coating": "semi-transparent-oil-stain"})
    found = {name: step["result"]["regime"] for name, step in rhythms(answer).items()}
    assert found == {
        "wipe-cadence-semi-transparent-oil-stain-ipe": "one-flood-coat",
        "wipe-cadence-semi-transparent-oil-stain-southern-yellow-pine": "wet-on-wet",
    }


def test_what_is_not_wiped_and_what_is_not_known_is_said(plan):
    painted = rhythms(plan(defaults={"species": "ipe", "coating": "paint"}))
    assert [step["status"] for step in painted.values()] == ["skipped"]
    nothing = rhythms(plan(defaults={"species": "ipe"}))
    assert [step["status"] for step in nothing.values()] == ["skipped"]
    unknown = rhythms(plan(zones=[{"id": "main", "area": "200 ft2"}]))
    assert [(step["status"], step["unlock"]) for step in unknown.values()] == [("blocked", ["/zones/0/boards/size"])]
    other = {"id": "rest", "area": "20 ft2"}
    partly = rhythms(plan(zones=[MAIN, other]))
    assert [step["status"] for step in partly.values()] == ["partial"]
    pier = {**MAIN, "outline": "0 0, 16 0, 16 250, 0 250 ft", "edges": None}
    wide = rhythms(plan(zones=[{name: value for name, value in pier.items() if value is not None}]))
    assert [step["status"] for step in wide.values()] == ["skipped"]


def test_what_the_rhythm_refuses_is_said_of_the_crew(plan):
    with pytest.raises(InputProblem) as caught:
        plan(crew={"appliers": 1, "edges_ahead": 2})
    assert [fault.pointer for fault in caught.value.faults] == ["/crew/edges_ahead"]
    with pytest.raises(InputProblem) as caught:
        plan(crew={"appliers": 1, "wiping": {"regime": "wet-on-wet"}})
    assert [fault.pointer for fault in caught.value.faults] == ["/crew/wiping/wipe"]


def test_a_finish_in_doubt_is_not_planned(plan):
    answer = plan(zones=[{**MAIN, "structure": "doubt"}])
    assert [step["status"] for step in rhythms(answer).values()] == ["stopped"]


@pytest.mark.parametrize("exposure", ["open", "roofed"])
def test_the_deadline_goes_by_the_boards_in_the_best_window(plan, lw, exposure):
    """Fair days in May: boards in sun are warmer than the air, those under a roof as warm as it."""
    days = [
        {"date": f"2026-05-0{day}", "warmest": "21 degC", "coldest": "12 degC", "relative_humidity": "60 %"}
        | {"wet_spells": "none", "cloud": "90 %", "wind_speed": "3 m/s"}
        for day in range(4, 8)
    ]
    site = {"latitude": "41.2 deg", "longitude": "-73.9 deg", "timezone": "America/New_York"}
    zone = {**MAIN, "exposure": exposure}
    answer = plan(site=site, zones=[zone], crew={"appliers": 1, "wipers": 1}, weather={"days": days})
    (step,) = rhythms(answer).values()
    windows = lw.calculate(
        "cure-windows",
        coating="clear-penetrating-oil",
        exposure=exposure,
        # What stores heat: 5/4 boards of ipe, 1 in thick.
        species="ipe",
        thickness="1 in",
        **site,
        weather={"days": days},
    )["result"]
    # The plan's own window: its crew takes another time over a coat than nobody in particular.
    planned = next(one for one in answer["steps"] if one["calculator"] == "cure-windows")["result"]
    best = planned["windows"][0]
    warmest = max(
        hour["surface_temperature"]["value"]
        for hour in windows["hours"]
        if best["best_start"][:13] <= hour["id"][:13] and hour["id"][:16] < best["ends"][:16]
    )
    assert best["warmest_boards"]["value"] == warmest
    alone = lw.calculate(
        "wipe-cadence",
        coating="clear-penetrating-oil",
        species="ipe",
        surface_temperature=f"{warmest} degC",
        course_length="4 m",
        pitch="143 mm",
        courses=6,
        appliers=1,
    )["result"]
    assert step["result"]["wipe_after"]["value"] == pytest.approx(alone["wipe_after"]["value"], rel=1e-6)
    told = plan(site=site, zones=[zone], weather={"days": days})
    assert next(iter(rhythms(told).values()))["result"]["wipe_after"]["value"] == 15
