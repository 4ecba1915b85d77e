"""What part moisture promises, item by item: published checks, three decks, three zones of one deck, its cost in steps.

Where a promise is held in full elsewhere, the test here holds that the holding is there and passes.
"""

import json
import re
from pathlib import Path

import msgspec
import numpy as np
import pytest
from tests.bundled import bundled

from latewood.formulas.drying import Air, Boards, dry
from latewood.job_files import read_file
from latewood.verify import verify
from latewood.wire import Options

ROOT = Path(__file__).parents[2]
LW = bundled()


@pytest.fixture(scope="module")
def checks():
    """Return the outcomes of all published checks by group."""
    groups = {}
    report = verify(LW)
    for outcome in report.checks:
        groups.setdefault(outcome.id.split("/")[0], []).append(outcome)
    return groups, report


def test_verify_holds_every_cell_of_the_moisture_table(checks):
    """Wood Handbook, table 4-2: 19 humidities by 11 temperatures, each within the 0.07 points found there."""
    cells = [*checks[0]["moisture-table"], *checks[0]["moisture-table-recalled"]]
    assert len({cell.id for cell in cells}) == 19 * 11
    assert {cell.tolerance for cell in cells} == {"0.07 %"}
    assert all(cell.passed for cell in cells)


@pytest.mark.parametrize(
    ("groups", "against"),
    [
        (("dew-point-sheet", "dew-point-climate"), "reported"),
        (("dew-point-psychrolib", "dew-point-coolprop"), "reference-library"),
    ],
)
def test_verify_holds_dew_points_against_tables_and_two_libraries(checks, groups, against):
    for group in groups:
        outcomes = checks[0][group]
        assert outcomes
        assert all(outcome.passed and outcome.against == against for outcome in outcomes)


@pytest.mark.parametrize(
    "group",
    [
        "meter-rule-handbook",
        "meter-rule-manuals",
        "meter-rule-australia",
        "meter-curve-worked",
        "meter-correction-dense",
        "movement-handbook-shrinkage",
        "movement-handbook-coefficient",
        "sheet-series",
        "sheet-early",
    ],
)
def test_verify_holds_meters_shrinkage_and_the_analytic_series(checks, group):
    assert checks[0][group]
    assert all(outcome.passed for outcome in checks[0][group])


def test_moisture_readiness_has_independent_evidence(checks):
    assert checks[1].calculators["moisture-readiness"] >= 5


def planned(deck):
    plan = LW.plan(read_file(ROOT / "examples" / "jobs" / f"{deck}.toml"), Options(units="metric"))
    tree = json.loads(msgspec.json.encode(plan))
    return tree, {step["id"]: step for step in tree["steps"]}


@pytest.mark.parametrize(
    ("deck", "verdicts"),
    [
        ("new_pine", {"open": "not-ready", "under-roof": "not-ready"}),
        ("mixed_boards", {"south": "not-ready", "east": "ready", "north": "not-ready"}),
        ("washed_hardwood", {"terrace": "not-ready"}),
    ],
)
def test_three_decks_whose_plans_a_practitioner_would_agree_with(deck, verdicts):
    """Measure and do not count days; find the water first; do not trust readings from before a wash."""
    _, steps = planned(deck)
    zones = steps["moisture-readiness"]["result"]["zones"]
    assert {zone["id"]: zone["verdict"] for zone in zones} == verdicts
    shown = re.findall(rf"^\| `{deck}` \| `([\w-]+)` \| ([\w-]+) \|", (ROOT / "README.md").read_text(), re.MULTILINE)
    assert dict(shown) == verdicts


def test_one_deck_three_zones():
    """Shower ahead: read again. A little over the limit: no. Water on a board that reads low: no. The deck: no."""
    count = 96
    taken = "2026-05-04T09:00:00Z"
    reads = {"open": (11, 11.5, 12), "edge": (13, 13.5, 15.6), "wet": (11, 11, 12)}
    answer = LW.answer(
        "moisture-readiness",
        {
            "zones": [{"id": "open"}, {"id": "edge", "exposure": "roofed"}, {"id": "wet", "exposure": "roofed"}],
            "species": "douglas-fir",
            "weathered": False,
            "coating": "solid-colour-stain",
            "readings": [
                {"zone": zone, "reading": f"{value} %", "pin_depth": "7 mm", "wood_temperature": "20 degC"}
                | {"taken": taken, "surface_wet": zone == "wet"}
                for zone, values in reads.items()
                for value in values
            ],
            "weather": {
                "start": "2026-05-03T09:00:00Z",
                "step": "1 h",
                "stamp": "start",
                "columns": {
                    "air_temperature": {"unit": "degC", "values": [20.0] * count},
                    "relative_humidity": {"unit": "%", "values": [65.0] * count},
                    "rain": {"unit": "mm", "values": [2.0 if hour == 29 else 0.0 for hour in range(count)]},
                },
            },
            "now": taken,
            "start": "2026-05-05T08:00:00Z",
        },
        Options(),
    )
    verdicts = {zone["id"]: zone["verdict"] for zone in answer["result"]["zones"]}
    assert verdicts == {"open": "ready-if-reread", "edge": "not-ready", "wet": "not-ready"}
    assert answer["result"]["verdict"] == "not-ready"


def test_choosing_a_wash_says_that_the_deck_then_waits():
    zone = {"id": "main", "length": "6 m", "width": "4 m", "species": "ipe", "treatment": "none", "old_coating": "none"}
    job = {
        "schema": 1,
        "zones": [zone | {"coating": "clear-penetrating-oil", "surface": "weathered"}],
        "choices": {"route": "wash-and-sand"},
        "moisture": {"temperature": "20 degC", "relative_humidity": "65 %"},
    }
    plan = LW.plan(job, Options())
    waits = [finding for finding in plan["findings"] if finding.id == "wait-after-wetting"]
    assert waits
    assert "days" in waits[0].message
    assert "without a source" in waits[0].message


def test_a_year_of_hours_takes_little_more_than_a_step_an_hour(solved):
    """Short steps follow each wetting and no more; ``tests/bench/drying.py`` has what a step costs."""
    hours = 8760
    hour = np.arange(hours)[:, None]
    wave = np.cos(2 * np.pi * (hour % 24 - 15) / 24)
    temperature = 285 + 5 * wave
    rain = np.where(hour % 72 == 8, 1.0, 0.0)
    exchange = np.full((hours, 1), 5e-8)
    air = Air(3600.0, temperature, 0.7 - 0.15 * wave, temperature, exchange, exchange, rain)
    one = np.ones(1)
    board = Boards(one * 450, one * 0.025, one * 0.12, one * 0.6, one * 0.001, one * 0.1, one * 0, one * 0, one)
    course = dry(board, air, outer=0.006)
    assert course.outer.shape == (hours + 1, 1)
    assert hours < len(solved) < 1.5 * hours
