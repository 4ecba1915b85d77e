"""Cautions of a plan: each comes where its danger is planned, names its parts and steps, and stays away elsewhere."""

from typing import Any

import pytest
from tests.bundled import bundled
from tests.engine.plan.buying import finishes

from latewood.messages import Style, shipped
from latewood.report import report, text
from latewood.wire import Options

FLOOR = {"id": "main", "length": "16 ft", "width": "12 ft", "boards": {"size": "5/4x6", "joist_spacing": "16 in"}}
WOOD = {"species": "ipe", "treatment": "none", "old_coating": "none", "coating": "clear-penetrating-oil"}
GUARD = {"id": "south", "length": "12 ft", "structure": "sound"}


@pytest.fixture(scope="module")
def plan():
    engine = bundled()
    return lambda **job: engine.plan({"schema": 1, "defaults": WOOD, **job}, Options())


def cautions(answer):
    return {caution.id: caution for caution in answer["cautions"]}


# Edges people fall from


@pytest.mark.parametrize(
    ("jurisdiction", "level", "severity"),
    [
        # International Residential Code, R312.1: more than 30 in above grade.
        ("US-NY", "30 in", None),
        ("US-NY", "30.1 in", "warning"),
        # National Building Code of Canada 9.8.8 (recalled): more than 600 mm.
        ("CA-ON", "600 mm", None),
        ("CA-ON", "601 mm", "warning"),
        # Where the place is not known the lowest of all counts (judgement).
        (None, "601 mm", "warning"),
        (None, None, None),
    ],
)
def test_a_high_floor_without_a_named_guard(plan, jurisdiction, level, severity):
    site = {} if jurisdiction is None else {"site": {"jurisdiction": jurisdiction}}
    zone = FLOOR if level is None else {**FLOOR, "level": level}
    found = cautions(plan(zones=[zone], **site)).get("fall-from-edge")
    assert (None if found is None else found.severity) == severity
    guards = [
        {**GUARD, "id": id, "length": long} for id, long in (("east", "12 ft"), ("west", "12 ft"), ("south", "16 ft"))
    ]
    assert "fall-from-edge" not in cautions(plan(zones=[zone], guards=guards, **site))


# What share of the edge must be guarded, and how uneven ground may be: common practice, no source.
@pytest.mark.parametrize(
    ("walls", "long", "said"),
    [
        # 56 ft round, of which one side of 16 ft may be at the house: 40 ft are open.
        ({}, "3 ft", True),
        ({}, "29 ft", True),
        ({}, "31 ft", False),
        # Two sides of 16 ft and 12 ft at walls: 28 ft are open.
        ({"edges": {"wall_sides": [3, 4]}}, "20 ft", True),
        ({"edges": {"wall_sides": [3, 4]}}, "22 ft", False),
        ({"edges": {"wall_length": "44 ft"}}, "12 ft", False),
    ],
)
def test_a_guard_along_a_piece_of_the_edge_guards_no_floor(plan, walls, long, said):
    answer = plan(zones=[{**FLOOR, "level": "10 ft", **walls}], guards=[{**GUARD, "length": long}])
    assert ("fall-from-edge" in cautions(answer)) is said


@pytest.mark.parametrize(("rise", "said"), [("9 ft", True), ("31 in", True), ("20 in", False)])
def test_stairs_tell_how_high_a_floor_stands(plan, rise, said):
    """International Residential Code, R312.1: more than 30 in above grade."""
    stairs = [{"id": "steps", "rise": rise, "width": "36 in"}]
    answer = plan(zones=[FLOOR], stairs=stairs, site={"jurisdiction": "US-NY"})
    assert ("fall-from-edge" in cautions(answer)) is said
    assert "height-contradicted" not in {one.id for one in answer["findings"]}


@pytest.mark.parametrize(
    ("level", "rise", "told"),
    [("12 in", "9 ft", True), ("9 ft", "20 in", True), ("24 in", "31 in", False), ("9 ft", "9 ft", False)],
)
def test_stairs_that_rise_to_another_height_are_named(plan, level, rise, told):
    stairs = [{"id": "steps", "rise": rise, "width": "36 in"}]
    answer = plan(zones=[{**FLOOR, "level": level}], stairs=stairs, site={"jurisdiction": "US-NY"})
    found = [one for one in answer["findings"] if one.id == "height-contradicted"]
    assert bool(found) is told
    assert "fall-from-edge" in cautions(answer) or rise == "31 in"


def test_stairs_between_two_floors_tell_nothing_of_the_ground(plan):
    low = {**FLOOR, "level": "14 in"}
    high = {**FLOOR, "id": "upper", "level": "44 in"}
    stairs = [{"id": "steps", "zone": "main", "rise": "30 in", "width": "36 in"}]
    answer = plan(zones=[low, high], stairs=stairs, site={"jurisdiction": "US-NY"})
    assert "height-contradicted" not in {one.id for one in answer["findings"]}
    assert set(cautions(answer)["fall-from-edge"].places) == {"upper"}


def test_a_high_floor_nothing_is_done_on_asks_for_no_guard(plan):
    bare = {key: value for key, value in WOOD.items() if key != "coating"}
    assert "fall-from-edge" not in cautions(plan(zones=[{**FLOOR, "level": "3 m"}], defaults=bare))


@pytest.mark.parametrize("bad", [{"signs": ["missing"]}, {"signs": ["loose-fixing"]}, {"structure": "failed"}])
def test_a_guard_that_is_off_or_loose_makes_the_edge_a_danger(plan, bad):
    floor = {**FLOOR, "structure": "sound", "signs": ["grey"]}
    answer = plan(zones=[floor], guards=[{**GUARD, **bad}])
    fall = cautions(answer)["fall-from-edge"]
    assert (fall.severity, set(fall.places)) == ("danger", {"main", "main/guards/south"})
    looked = next(step for step in answer["steps"] if step["id"] == "condition")["result"]["components"]
    gates = {row["id"]: row["gate"] for row in looked}
    assert (gates["main/guards/south"], gates["main"]) == ("stop-structure", "refinish")


# Sanding


SEEN = {**FLOOR, "structure": "sound", "signs": ["grey"]}
SANDED = {"noise", "wood-dust", "wood-dust-fire", "mains-near-wet-boards"}


def test_powered_sanding_brings_its_cautions_and_nothing_else_does(plan):
    answer = plan(zones=[SEEN], guards=[GUARD], choices={"route": "sand"})
    found = cautions(answer)
    assert SANDED | {"hand-arm-vibration"} <= set(found)
    assert {found[id].severity for id in SANDED} == {"warning"}
    assert not SANDED & set(cautions(plan(zones=[FLOOR])))
    assert "heat-on-old-paint" not in found
    assert "solvent-stripper" not in found


@pytest.mark.parametrize(
    ("change", "severity"),
    [
        # Sparks from steel into dust: trade pages on fires of floor sanders.
        ({"signs": ["grey", "proud-fasteners"]}, "danger"),
        ({"signs": ["grey", "rusty-fasteners"]}, "danger"),
        ({"signs": ["grey", "loose-fasteners"]}, "warning"),
    ],
)
def test_proud_steel_makes_dust_a_danger(plan, change, severity):
    found = cautions(plan(zones=[{**SEEN, **change}], choices={"route": "sand"}))
    assert found["wood-dust-fire"].severity == severity


def test_an_old_film_that_comes_off_warns_of_heat_guns(plan):
    # 40 CFR 745.85(a)(3): heat guns only below 1100 degF; a danger where lead is not ruled out.
    painted = {"zones": [{**FLOOR, "structure": "sound", "signs": ["film-peeling"]}]}
    painted["defaults"] = {**WOOD, "old_coating": "paint", "coating": "paint"}
    new = cautions(
        plan(**painted, site={"year_built": 2015, "jurisdiction": "US-NY"}, choices={"route": "sand-off-film"})
    )
    assert new["heat-on-old-paint"].severity == "warning"
    assert not any(action.startswith("Have the film tested") for action in new["heat-on-old-paint"].do)
    # No stripping is planned: old cans may be reached for all the same.
    assert new["solvent-stripper"].severity == "warning"
    # Where lead stops the plan somebody may still reach for a heat gun.
    old = cautions(plan(**painted, site={"year_built": 1965, "jurisdiction": "US-NY"}))
    assert old["heat-on-old-paint"].severity == "danger"


@pytest.mark.parametrize(
    ("change", "severity"),
    [
        ({}, "warning"),
        ({"zones": [{**SEEN, "surface_wet": True}]}, "danger"),
        ({"wetting": [{"cause": "rained", "at": "2026-05-04T06:00:00-04:00"}]}, "danger"),
    ],
)
def test_wet_boards_make_mains_a_danger(plan, change, severity):
    found = cautions(plan(**{"zones": [SEEN], "choices": {"route": "sand"}, **change}))
    assert found["mains-near-wet-boards"].severity == severity


# Spraying: judgement, but for the limit of wind


SPRAY = {"choices": {"application": "airless-spray"}}


def step(answer, id):
    return next(one for one in answer["steps"] if one["id"].startswith(id))


@pytest.mark.parametrize(
    ("given", "finding"),
    [
        ({"surroundings": {"below": "water"}}, "drift-over-water"),
        ({"surroundings": {"below": "ground", "boundary": "2 m"}}, "drift-on-neighbours"),
    ],
)
def test_spraying_over_water_or_beside_neighbours_is_not_planned(plan, given, finding):
    answer = plan(zones=[FLOOR], crew={"appliers": 1}, **given, **SPRAY)
    assert finding in {one.id for one in answer["findings"] if one.severity == "stop"}
    assert cautions(answer)["spray-drift"].severity == "danger"
    for id in ("coverage", "wipe-cadence"):
        held = step(answer, id)
        assert (held["status"], "result" in held) == ("blocked", False)
        assert "brush, roll or pad" in held["why"]
    assert finishes(answer) == []
    brushed = plan(zones=[FLOOR], crew={"appliers": 1}, **given)
    assert step(brushed, "coverage")["status"] == "done"
    assert "spray-drift" not in cautions(brushed)


def test_spraying_where_nothing_is_near(plan):
    far = plan(zones=[FLOOR], surroundings={"below": "ground", "boundary": "30 m"}, **SPRAY)
    assert step(far, "coverage")["status"] == "done"
    assert "spraying" in {row["id"] for row in step(far, "masking")["result"]["works"]}
    assert cautions(far)["spray-drift"].severity == "warning"


def test_spraying_without_a_word_of_what_is_near_is_warned_of(plan):
    answer = plan(zones=[FLOOR], **SPRAY)
    assert step(answer, "coverage")["status"] == "done"
    assert cautions(answer)["spray-drift"].severity == "warning"
    assert step(answer, "condition")["status"] == "not-planned", "a way of coating asks for no look at the deck"
    near = plan(zones=[FLOOR], choices={**SPRAY["choices"], "near": ["pond"]})
    assert cautions(near)["spray-drift"].severity == "danger"
    assert "spray-drift" not in cautions(plan(zones=[FLOOR], choices={"application": "roller"}))


# Waste


def test_a_plan_joins_the_waste_of_its_steps(plan):
    answer = plan(zones=[SEEN], crew={"appliers": 1, "wipers": 1}, choices={"route": "sand"})
    found = {(row["id"], row["step"]) for row in answer["totals"]["waste"]}
    assert {id for id, _ in found} == {"masking-film", "sanding-dust", "leftover-finish", "oily-cloths"}
    steps = {one["id"]: one for one in answer["steps"]}
    for row in answer["totals"]["waste"]:
        own = next(one for one in steps[row["step"]]["result"]["waste"] if one["id"] == row["id"])
        assert {**own, "step": row["step"]} == row
        assert row["waste_mass"]["unit"] == "kg"
        assert row["container"]
        assert row["ending"]


def told(answer: Any, *, full: bool = False) -> str:
    """The report of a plan in one line."""
    speaker = shipped().speaker(Style())
    return " ".join(text(report(answer, speaker), speaker, width=80, full=full).split())


def test_the_text_of_a_plan_says_where_waste_ends(plan):
    shown = told(plan(zones=[SEEN], crew={"appliers": 1}, choices={"route": "sand"}), full=True)
    said = shown[shown.index(" WASTE ") :]
    assert "Cloths with drying oil in them: " in said
    assert "spread them flat outdoors until hard" in said


# Whom a caution is about


def test_a_stopped_guard_does_not_take_a_caution_from_the_deck(plan):
    """Cloths and masking of the floor catch fire though only the guard, which lead stops, has oil on it by the job."""
    oiled = {**GUARD, "old_coating": "clear-penetrating-oil", "lead_test": "found"}
    answer = plan(zones=[SEEN], guards=[oiled])
    assert [stop["id"] for stop in answer["stopped"]] == ["main/guards/south"]
    (waste,) = [one for one in answer["cautions"] if one.id == "self-heating-waste"]
    assert set(waste.places) == {"main", "main/guards/south"}
    assert f"{waste.title.upper()} Where: all parts " in told(answer)


def test_the_zone_that_is_washed_is_named_beside_the_one_that_is_sanded(plan):
    as_it_is = {**SEEN, "id": "north", "surface": "weathered"}
    answer = plan(zones=[SEEN, as_it_is], choices={"route": "wash-and-sand"})
    (mains,) = [one for one in answer["cautions"] if one.id == "mains-near-wet-boards"]
    assert (mains.severity, set(mains.places)) == ("danger", {"main", "north"})


def test_lead_of_one_part_is_not_said_of_the_others_that_are_covered_with_it(plan):
    old = {**GUARD, "old_coating": "unknown"}
    answer = plan(zones=[SEEN], guards=[old], site={"year_built": 1960, "jurisdiction": "US-NY"})
    assert cautions(answer)["lead-paint"].places == ("main/guards/south",)


def test_dust_that_sensitises_is_said_of_what_is_sanded_only(plan):
    """All wood dust is rated carcinogenic (IARC Monographs 62); redcedar also sensitises, where a machine sands it."""
    stopped = {**GUARD, "species": "western-redcedar", "old_coating": "paint", "lead_test": "found"}
    found = cautions(plan(zones=[SEEN], guards=[stopped], choices={"route": "sand"}))
    assert "sensitising-dust" not in found
    assert found["wood-dust"].places == ("main",)
    cedar = cautions(plan(zones=[{**SEEN, "species": "western-redcedar"}], guards=[stopped], choices={"route": "sand"}))
    assert cedar["sensitising-dust"].places == ("main",)
    # Dust of a wood known to sensitise is graver than that of any wood.
    assert (cedar["sensitising-dust"].severity, cedar["wood-dust"].severity) == ("danger", "warning")
