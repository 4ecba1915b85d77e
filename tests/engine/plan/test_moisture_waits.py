"""What of a plan waits for readings and drops: windows, purchases, sanding and the route.

Published: answers of a Forest Products Laboratory researcher in a magazine: where water beads on new treated wood, wait
two to three weeks, test again, then sand lightly.
"""

from datetime import date, timedelta

import pytest
from tests.engine.plan.buying import finishes
from tests.plans import planned

NEW = {
    "schema": 1,
    "units": "metric",
    "as_of": "2026-06-20",
    "site": {
        "timezone": "Europe/London",
        "latitude": "52 deg",
        "longitude": "0 deg",
        "year_built": 2026,
        "jurisdiction": "US",
    },
    "defaults": {
        "species": "southern-yellow-pine",
        "treatment": "copper",
        "old_coating": "none",
        "coating": "semi-transparent-oil-stain",
    },
    "zones": [
        {"id": "open", "exposure": "roofed", "outline": "0 0, 6 0, 6 4, 0 4 m"},
        {"id": "loft", "exposure": "roofed", "outline": "0 4, 6 4, 6 8, 0 8 m"},
    ],
    "moisture": {"now": "2026-06-20T09:00", "new_wood_age": "21 d"},
    "readings": [
        {
            "zone": zone,
            "reading": "12 %",
            "taken": "2026-06-20T08:00",
            "wood_temperature": "20 degC",
            "pin_depth": "8 mm",
        }
        for zone in ("open", "loft") * 3
    ],
    "drop_tests": [{"zone": "open", "beads": True, "taken": "2026-06-20T08:30"}],
}


def days(first, count):
    start = date.fromisoformat(first)
    line = {"coldest": "16 degC", "warmest": "26 degC", "relative_humidity": "55 %"}
    return {"days": [{"date": str(start + timedelta(days=n)), **line} for n in range(count)]}


def new_deck(**more):
    return planned({**NEW, **more}, units="metric")


def of_kind(plan, calculator):
    return {step["id"]: step for step in plan["steps"] if step["calculator"] == calculator}


def test_no_window_comes_before_new_treated_wood_is_tested_again():
    """Wait two to three weeks and test again: on 4 July at the earliest."""
    (step,) = of_kind(new_deck(weather=days("2026-06-20", 24)), "cure-windows").values()
    assert "Sat 4 Jul, 08:30: open is tested again with drops of water" in step["why"]
    assert step["result"]["windows"]
    assert min(window["starts"] for window in step["result"]["windows"]) >= "2026-07-04T08:30"
    assert step["result"]["verdict"] != "yes"
    assert any("put drops of water on open again" in first for first in step["result"]["first"])
    soaks = [{"zone": "open", "soak_time": "10 s", "taken": "2026-06-20T08:30"}]
    (at_once,) = of_kind(new_deck(weather=days("2026-06-20", 24), drop_tests=soaks), "cure-windows").values()
    assert min(window["starts"] for window in at_once["result"]["windows"]) < "2026-06-24"


@pytest.mark.parametrize("first", ["2026-06-10", "2026-06-20"])
def test_no_window_is_promised_where_the_weather_ends_before(first):
    """The wait runs from the drop, whenever the weather begins."""
    (step,) = of_kind(new_deck(weather=days(first, 20 if first < "2026-06-20" else 10)), "cure-windows").values()
    assert step["status"] == "skipped"
    assert "Sat 4 Jul, 08:30, when the weather given has ended" in step["why"]
    assert "result" not in step


def test_what_is_bought_rests_on_the_drops():
    plan = new_deck()
    (bought,) = of_kind(plan, "coverage").values()
    assert "open is tested again from Sat 4 Jul, 08:30" in bought["why"]
    (finding,) = (one for one in plan["findings"] if one["id"] == "purchase-rests-on-drops")
    assert finding["params"]["zones"] == ["open"]
    assert "drops of water from Sat 4 Jul, 08:30" in finding["message"]
    dry = new_deck(drop_tests=[{"zone": "open", "soak_time": "10 s", "taken": "2026-06-20T08:30"}])
    assert "purchase-rests-on-drops" not in {one["id"] for one in dry["findings"]}
    assert "why" not in of_kind(dry, "coverage").popitem()[1]


@pytest.mark.parametrize(
    ("drops", "low"),
    [
        ([{"zone": "open", "beads": True}], 14),
        ([{"zone": "open", "soak_time": "60 s"}], 14),
        ([{"zone": "open", "beads": True, "taken": "2026-06-10T08:30"}], 4),
        (
            [
                {"zone": "open", "beads": True, "taken": "2026-06-10T08:30"},
                {"zone": "open", "soak_time": "10 s", "taken": "2026-06-19T08:30"},
            ],
            None,
        ),
        (
            [
                {"zone": "open", "beads": True, "taken": "2026-06-01T08:30"},
                {"zone": "open", "beads": True, "taken": "2026-06-19T08:30"},
            ],
            None,
        ),
        ([{"zone": "loft", "beads": True}], None),
    ],
)
def test_the_route_waits_for_the_drops_of_the_job(drops, low):
    zones = [{**NEW["zones"][0], "signs": []}, NEW["zones"][1]]
    plan = new_deck(zones=zones, drop_tests=drops, machines=[])
    prepared = of_kind(plan, "preparation")["preparation-open"]["result"]
    assert (prepared["test_again_after"]["low"] / 24 if "test_again_after" in prepared else None) == low
    sanded = of_kind(plan, "abrasive-sequence")["abrasive-sequence"]
    assert ("open is tested again from" in sanded["why"]) == (low is not None)


@pytest.mark.parametrize("weather", [None, days("2026-06-20", 24), days("2026-06-12", 40), days("2026-06-22", 30)])
@pytest.mark.parametrize(
    ("taken", "now", "day"),
    [
        ("2026-06-20T08:30", "2026-06-20T09:00", "2026-07-04"),
        # Nobody tests in the evening: two weeks later is the next morning.
        ("2026-06-19T20:30", "2026-06-20T09:00", "2026-07-04"),
        ("2026-06-20T20:30", "2026-06-20T21:00", "2026-07-05"),
        (None, "2026-06-20T09:00", "2026-07-04"),
        (None, None, "2026-07-04"),
    ],
)
def test_the_route_the_moisture_and_the_windows_name_one_day(taken, now, day, weather):
    """Two weeks at the earliest: the retest is the next thing to do, and every step counts from it."""
    zones = [{**NEW["zones"][0], "signs": []}]
    readings = [row for row in NEW["readings"] if row["zone"] == "open"]
    drop = {"zone": "open", "beads": True} | ({} if taken is None else {"taken": taken})
    moisture = {"new_wood_age": "21 d"} | ({} if now is None else {"now": now})
    more = {"temperature": "20 degC", "relative_humidity": "55 %"} if weather is None else {}
    given = {"weather": weather} if weather is not None else {}
    plan = new_deck(zones=zones, readings=readings, drop_tests=[drop], moisture=moisture | more, machines=[], **given)
    (prepared,) = of_kind(plan, "preparation").values()
    assert prepared["result"]["test_again_on"] == day
    (read,) = of_kind(plan, "moisture-readiness").values()
    assert read["result"]["zones"][0]["test_again"][:10] == day
    shown = f"{date.fromisoformat(day):%-d %b}"
    assert f"open is tested again from {shown}" in of_kind(plan, "abrasive-sequence")["abrasive-sequence"]["why"]
    assert any(shown in one["message"] for one in plan["findings"] if one["id"] == "new-wood-beads")
    if weather is None:
        return
    row = next(row for row in prepared["result"]["routes"] if row["id"] == prepared["result"]["chosen"])
    first = date.fromisoformat(weather["days"][0]["date"])
    ready = first + timedelta(days=row["ready_morning"] - 1)
    assert timedelta(0) <= ready - date.fromisoformat(day) <= timedelta(days=3)
    (window,) = of_kind(plan, "cure-windows").values()
    assert f"no coat starts before {ready:%a %-d %b}" in window["why"]


def test_other_wood_that_beads_waits_for_nothing():
    old = {"moisture": {"now": "2026-06-20T09:00"}, "site": {**NEW["site"], "year_built": 2010}}
    plan = new_deck(**old, weather=days("2026-06-20", 10))
    assert not any(one["id"] == "purchase-rests-on-drops" for one in plan["findings"])
    assert all(step["status"] == "done" for step in of_kind(plan, "cure-windows").values())


def washed(weather, **more):
    zones = [{**NEW["zones"][0], "signs": ["grey"], "structure": "sound", "exposure": "roofed"}]
    site = {**NEW["site"], "year_built": 2015}
    given = {"zones": zones, "site": site, "choices": {"route": "wash-and-sand"}, "weather": weather, **more}
    defaults = {**NEW["defaults"], "treatment_evidence": "end-tag", "frame": {"material": "metal"}}
    return new_deck(**{"readings": [], "drop_tests": [], "moisture": {}, "defaults": defaults, **given})


def turning(first, damp, dry, after):
    """Days that are damp at first and dry from one on, or the other way round."""
    made = days(first, 30)
    made["days"] = [
        {**day, "relative_humidity": damp if place < after else dry} for place, day in enumerate(made["days"])
    ]
    return made


def test_what_is_washed_in_a_plan_dries_by_the_days_after_its_wash():
    """Derived: the crew of one needs days for the wash of 600 m2; the first days are over when it ends."""
    big = [{**NEW["zones"][0], "outline": "0 0, 30 0, 30 20, 0 20 m", "signs": ["grey"], "structure": "sound"}]
    plan = washed(turning("2026-06-20", "75 %", "40 %", after=3), zones=big)
    (prepared,) = of_kind(plan, "preparation").values()
    row = next(row for row in prepared["result"]["routes"] if row["id"] == "wash-and-sand")
    assert row["washed_at"] > "2026-06-23"
    after = next(step for id, step in of_kind(plan, "moisture-readiness").items() if id.startswith("moisture-after"))
    (zone,) = after["result"]["zones"]
    assert zone["dry_by"] > row["washed_at"]
    steady = washed(days("2026-06-20", 30) | turning("2026-06-20", "40 %", "40 %", after=3), zones=big)
    (other,) = next(
        step for id, step in of_kind(steady, "moisture-readiness").items() if id.startswith("moisture-after")
    )["result"]["zones"]
    # The damp days before the wash leave their moisture in the boards: it dries a little later, not as in damp days.
    assert zone["time_to_ready"]["value"] == pytest.approx(other["time_to_ready"]["value"], rel=0.25)
    short = washed(days("2026-06-20", 2), zones=big)
    skipped = next(step for id, step in of_kind(short, "moisture-readiness").items() if id.startswith("moisture-after"))
    assert skipped["status"] == "skipped"
    assert "after the weather given ends" in skipped["why"]
    assert "wash-beyond-weather" in {one["id"] for one in short["findings"]}
    assert all(step["status"] == "skipped" for step in of_kind(short, "cure-windows").values())


def test_a_start_that_was_planned_before_the_wash_is_done_does_not_fail_the_plan():
    plan = washed(days("2026-06-20", 20), moisture={"start": "2026-06-20T07:00"})
    after = next(step for id, step in of_kind(plan, "moisture-readiness").items() if id.startswith("moisture-after"))
    assert after["status"] == "done"


@pytest.mark.parametrize("weather", [None, days("2026-06-20", 30)])
@pytest.mark.parametrize("said", ["drops", "sign"])
def test_the_step_of_wiping_names_the_day_that_windows_and_purchase_name(said, weather):
    """Two weeks at the earliest: wiping times without that day would be read as times for today."""
    boards = {"size": "5/4x6", "gap": "3 mm", "direction": "0 deg", "joist_spacing": "400 mm"}
    coat = {"coating": "semi-transparent-oil-stain", "boards": boards}
    drops = NEW["drop_tests"] if said == "drops" else []
    zone = {**NEW["zones"][0], "signs": []} | ({} if said == "drops" else {"beading": "beads"})
    more = {} if weather is None else {"weather": weather}
    plan = new_deck(
        zones=[zone],
        readings=[row for row in NEW["readings"] if row["zone"] == "open"],
        drop_tests=drops,
        defaults={**NEW["defaults"], **coat},
        crew={"appliers": 2, "wipers": 1},
        **more,
    )
    (cadence,) = of_kind(plan, "wipe-cadence").values()
    assert cadence["status"] == "done", cadence
    (bought,) = of_kind(plan, "coverage").values()
    assert "4 Jul" in bought["why"]
    if weather is None:
        assert "4 Jul" in cadence["why"]
        return
    (window,) = of_kind(plan, "cure-windows").values()
    start = window["why"].split("no coat starts before ")[1].split(": ")[0]
    assert "4 Jul" in start or "5 Jul" in start
    assert f"no coat starts before {start}" in cadence["why"]


@pytest.mark.parametrize(
    "drops",
    [
        [{"zone": "open", "beads": True}],
        # It has waited once, and is sanded now.
        [{"zone": "open", "beads": True, "taken": f"2026-06-{day}T08:30"} for day in ("01", "19")],
    ],
)
def test_planed_wood_that_beads_is_sanded_lightly_in_every_step(drops):
    """If water beads, wait two to three weeks, test again, then sand lightly: planed boards too."""
    given = {"zones": [{**NEW["zones"][0], "signs": []}], "readings": [], "machines": []}
    planed = {**NEW["defaults"], "surface": "planed"}
    plan = new_deck(**given, drop_tests=drops, defaults=planed)
    (sanding,) = of_kind(plan, "abrasive-sequence").values()
    assert sanding["status"] == "done"
    assert "planed-sanded-lightly" in {one["id"] for one in plan["findings"]}
    sanded = new_deck(**given, drop_tests=drops, defaults={**planed, "surface": "sanded"})
    assert finishes(plan) == finishes(sanded)
    soaks = new_deck(**given, drop_tests=[{"zone": "open", "soak_time": "10 s"}], defaults=planed)
    assert of_kind(soaks, "abrasive-sequence").popitem()[1]["status"] == "skipped"
    assert "planed-sanded-lightly" not in {one["id"] for one in soaks["findings"]}
