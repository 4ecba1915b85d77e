"""Moisture in a plan: zones by coating, readings in their place, and the wait after a wash."""

import json
import re
from pathlib import Path

import msgspec
import pytest
from tests.bundled import bundled

from latewood.job_files import read_file
from latewood.problems import InputProblem
from latewood.wire import Options

CLIMATE = {"temperature": "20 degC", "relative_humidity": "65 %"}
FLOOR = {
    "length": "6 m",
    "width": "4 m",
    "species": "ipe",
    "treatment": "none",
    "old_coating": "none",
    "coating": "clear-penetrating-oil",
    "surface": "sanded",
}


def planned(**tables):
    plan = bundled().plan({"schema": 1, "zones": [{"id": "main", **FLOOR}]} | tables, Options())
    return plan, {step["id"]: step for step in plan["steps"]}


def read(zone, percent):
    return {"zone": zone, "reading": f"{percent} %", "pin_depth": "6 mm", "wood_temperature": "20 degC"}


def test_a_job_that_says_nothing_of_moisture_is_not_asked():
    moist = {id: step for id, step in planned()[1].items() if id.startswith("moisture")}
    assert [(step["status"], step["unlock"]) for step in moist.values()] == [("not-planned", ["/readings"])]


def test_readings_are_judged():
    _, steps = planned(readings=[read("main", n) for n in (12, 12, 13, 12, 12)], moisture=CLIMATE)
    zone = steps["moisture-readiness"]["result"]["zones"][0]
    assert (zone["verdict"], zone["count"], zone["readings_wanted"]) == ("ready", 5, 5)


def test_zones_go_with_their_coating():
    zones = [
        {"id": "main", **FLOOR},
        {"id": "side", **FLOOR, "coating": "paint", "species": "douglas-fir", "part_of": "main", "length": "2 m"},
    ]
    readings = [read("side", 17), read("main", 15.5), read("side", 17)]
    _, steps = planned(zones=zones, readings=readings, moisture=CLIMATE)
    main, side = (
        steps[f"moisture-readiness-{coating}"]["result"]["zones"][0] for coating in ("clear-penetrating-oil", "paint")
    )
    assert (main["count"], side["count"]) == (1, 2)
    assert (main["moisture_limit"]["value"], side["moisture_limit"]["value"]) == pytest.approx((16, 15))
    assert side["verdict"] == "not-ready"


def test_a_wash_makes_the_deck_wait_and_the_plan_says_how_long():
    route = {"choices": {"route": "wash-and-sand"}}
    plan, steps = planned(**route, moisture=CLIMATE)
    zone = steps["moisture-after-wash"]["result"]["zones"][0]
    assert zone["verdict"] == "not-ready"
    assert 12 < zone["time_to_ready"]["value"] < 96
    assert "3 to 4\u00a0days" in steps["moisture-after-wash"]["why"]
    said = [finding for finding in plan["findings"] if finding.id == "wait-after-wetting"]
    assert said
    assert said[0].step == "moisture-after-wash"
    _, bare = planned(**route)
    assert bare["moisture-after-wash"]["status"] == "blocked"
    assert "/weather" in bare["moisture-after-wash"]["unlock"]


def test_readings_from_before_do_not_speak_of_after_the_wash():
    _, steps = planned(
        choices={"route": "wash-and-sand"}, moisture=CLIMATE, readings=[read("main", 12) for _ in range(5)]
    )
    assert steps["moisture-readiness"]["result"]["verdict"] == "ready"
    assert steps["moisture-after-wash"]["result"]["verdict"] == "not-ready"


def test_where_nothing_is_washed_nothing_waits():
    assert "moisture-after-wash" not in planned(choices={"route": "sand"}, moisture=CLIMATE)[1]


@pytest.mark.parametrize("table", ["readings", "drop_tests", "wetting"])
def test_what_lies_in_no_zone_is_refused_where_it_stands(table):
    row = {
        "readings": read("loft", 12),
        "drop_tests": {"zone": "loft", "beads": True},
        "wetting": {"cause": "washed", "zone": "loft"},
    }[table]
    with pytest.raises(InputProblem) as problem:
        planned(**{table: [row]})
    assert problem.value.faults[0].pointer == f"/{table}/0/zone"


def test_faults_point_into_the_job():
    with pytest.raises(InputProblem) as problem:
        planned(moisture={"temperature": "20 degC"})
    assert problem.value.faults[0].pointer == "/moisture/relative_humidity"
    with pytest.raises(InputProblem) as problem:
        planned(moisture=CLIMATE | {"now": "2026-05-04T09:00"})
    assert problem.value.faults[0].pointer == "/moisture/now"


ROOT = Path(__file__).parents[3]
SHOWN = re.findall(
    r"^\| `(\w+)` \| `([\w-]+)` \| ([\w-]+) \| ([\d.]+) % \| (.+) h \|$", (ROOT / "README.md").read_text(), re.MULTILINE
)


def test_the_page_shows_three_decks():
    assert {deck for deck, *_ in SHOWN} == {"new_pine", "mixed_boards", "washed_hardwood"}
    assert len(SHOWN) == 6


@pytest.mark.parametrize("row", SHOWN, ids=[" ".join(row[:2]) for row in SHOWN])
def test_the_page_tells_what_the_plans_say(row):
    """What a practitioner would say too: the low side under a roof last, water found first, no trust in 48 hours."""
    deck, name, verdict, highest, hours = row
    plan = bundled().plan(read_file(ROOT / "examples" / "jobs" / f"{deck}.toml"), Options(units="metric"))
    steps = {step["id"]: step for step in json.loads(msgspec.json.encode(plan))["steps"]}
    zone = next(zone for zone in steps["moisture-readiness"]["result"]["zones"] if zone["id"] == name)
    assert zone["verdict"] == verdict
    assert f"{zone['highest']['value'] + 1e-9:.1f}" == highest
    time = zone["time_to_ready"]
    told = [f"{time[end]:.0f}" for end in ("low", "high")] if "low" in time else [f"{time['value']:.0f}"]
    assert hours == " to ".join(told)
    ids = {finding.id for finding in plan["findings"]}
    assert (
        ids
        >= {
            "new_pine": {"wet-zone"},
            "mixed_boards": {"wet-zone", "wet-spot"},
            "washed_hardwood": {"wait-after-wetting"},
        }[deck]
    )
