"""Getting an old surface off, in a plan: which steps, in which order, and what a doubt stops."""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path
from typing import Any

import msgspec
import pytest
from tests.engine.lead_tests import NO_LEAD
from tests.engine.plan.buying import finishes

from latewood.job_files import read_file
from latewood.problems import InputProblem
from latewood.wire import Options

JOBS = Path(__file__).parents[3] / "examples" / "jobs"
MAIN = {"id": "main", "outline": "0 0, 24 0, 24 16, 0 16 ft"}
NORTH = {"id": "north", "part_of": "main", "outline": "0 12, 24 12, 24 16, 0 16 ft"}
STEP = {"id": "step", "length": "6 ft", "width": "4 ft"}
IPE = {
    "species": "ipe",
    "treatment": "none",
    "old_coating": "none",
    "coating": "clear-penetrating-oil",
    "surface": "sanded",
    "signs": ["grey"],
    "structure": "sound",
}
PINE = {
    **IPE,
    "species": "southern-yellow-pine",
    "treatment": "copper",
    "treatment_evidence": "end-tag",
    "coating": "semi-transparent-oil-stain",
}
UNPROVEN = {name: value for name, value in PINE.items() if name != "treatment_evidence"}


@pytest.fixture
def plan(lw):
    def planned(*zones: dict[str, Any], **job: Any) -> dict[str, Any]:
        tree = {"schema": 1, "zones": list(zones) or [MAIN], **job}
        return msgspec.json.decode(msgspec.json.encode(lw.plan(tree, Options())))

    return planned


def steps(answer):
    return {step["id"]: step for step in answer["steps"] if step["status"] != "not-planned"}


def ids(answer, what="findings"):
    return {entry["id"] for entry in answer[what]}


def order(answer):
    return [step["id"] for step in answer["steps"]]


def test_a_job_that_says_nothing_of_the_surface_is_measured_and_bought_for_only(plan):
    answer = plan(defaults={name: value for name, value in IPE.items() if name not in ("signs", "structure")})
    assert {step["calculator"] for step in steps(answer).values()} == {"area", "coverage"}


def test_looking_comes_first_and_buying_last(plan):
    answer = plan(defaults=IPE)
    wanted = ["area", "condition", "preparation", "wash", "coverage-clear-penetrating-oil"]
    assert [name for name in order(answer) if name in wanted] == wanted
    assert all(steps(answer)[name]["why"] for name in wanted[1:4])
    assert steps(answer)["preparation"]["result"]["recommendation"] == "sand"
    assert steps(answer)["wash"]["status"] == "skipped"
    assert "nothing is washed" in steps(answer)["wash"]["why"]


def test_areas_add_up_over_zones(plan):
    answer = steps(plan(MAIN, NORTH, defaults=IPE, choices={"route": "wash-and-sand"}))
    washed = [answer[f"wash-{zone}"]["result"] for zone in ("main", "north")]
    alone = steps(plan(defaults=IPE, choices={"route": "wash-and-sand"}))["wash"]["result"]
    volume = math.fsum(one["stages"][0]["solution_volume"]["value"] for one in washed)
    assert volume == pytest.approx(alone["stages"][0]["solution_volume"]["value"], rel=1e-6)


def test_a_chosen_route_is_planned_and_washed_before_it_is_sanded(plan):
    choices = {"route": "wash-and-sand", "pressure": "1000 psi", "near": ["plants"]}
    defaults = {**PINE, "frame": {"material": "metal"}}
    answer = plan(defaults=defaults, choices={**choices, "pressure_rule": "contractor"})
    washed = steps(answer)["wash"]["result"]
    assert [stage["role"] for stage in washed["stages"]] == ["cleaner", "brightener"]
    assert {"plants", "run-off"} == {one["id"] for one in washed["protection"]}
    assert {"wash-waits", "dry-after-wash"} <= ids(answer)
    assert "wash-chemicals" in ids(answer, "cautions")
    kinds = [step["does"] for step in steps(answer)["preparation"]["result"]["routes"][0]["steps"]]
    assert kinds.index("wash") < kinds.index("sand") if "wash" in kinds else "sand" in kinds


@pytest.mark.parametrize("species", ["ipe", "southern-yellow-pine", "western-redcedar"])
@pytest.mark.parametrize("old", ["none", "clear-penetrating-oil", "solid-colour-stain", "unknown"])
def test_no_wash_is_ever_planned_after_final_sanding(plan, species, old):
    """Trade rule, over every route a job may choose: the wash step goes with a route that sands last, or not at all."""
    for route, treatment in product(
        ("sand", "wash-and-sand", "strip-and-sand", "refresh", "hand-wash"), ("none", "copper")
    ):
        defaults = {**IPE, "species": species, "old_coating": old, "treatment": treatment}
        site = {"jurisdiction": "US-NY", "year_built": 2010}
        answer = plan(defaults=defaults, choices={"route": route}, site=site)
        # Where the route leaves a film, the oil is stopped and the purchase has no name.
        bought = next(id for id in order(answer) if id.startswith("coverage"))
        assert order(answer).index("wash") < order(answer).index(bought)
        done = steps(answer)["preparation"]["result"]
        rows = {row["id"]: [step["does"] for step in row["steps"]] for row in done["routes"]}
        wets = {"wash", "hand-wash", "strip", "neutralise"}
        for kinds in rows.values():
            last = max((i for i, does in enumerate(kinds) if does in ("sand", "scuff")), default=len(kinds))
            assert not wets & set(kinds[last:])
        left = {row["finding"] for row in answer["stopped"] if row["id"] == "main"}
        assert ("result" in steps(answer)["wash"]) is (bool(wets & set(rows[route])) and not left)
        film_left = old == "solid-colour-stain" and route not in ("strip-and-sand", "sand-off-film")
        assert left == ({"penetrating-over-film"} if film_left else set())


def test_the_weather_of_the_job_decides_how_long_a_wash_waits(plan):
    def waits(humidity):
        columns = {
            "air_temperature": {"unit": "degC", "values": [20.0] * 240},
            "relative_humidity": {"unit": "%", "values": [humidity] * 240},
        }
        weather = {"start": "2026-06-01T08:00:00+00:00", "step": "1 h", "stamp": "start", "columns": columns}
        answer = plan(defaults=IPE, weather=weather, choices={"route": "wash-and-sand"})
        return steps(answer)["preparation"]["result"]["drying_time"]["value"]

    assert waits(70.0) > waits(60.0) > waits(45.0)


def test_the_mean_climate_of_the_job_does_so_where_there_is_no_weather(plan):
    def waits(**moisture):
        answer = plan(defaults=IPE, moisture=moisture, choices={"route": "wash-and-sand"})
        return steps(answer)["preparation"]["result"]["drying_time"]["value"]

    dry, damp = {"relative_humidity": "45 %"}, {"relative_humidity": "68 %"}
    assert waits(temperature="20 degC", **dry) < waits(temperature="20 degC", **damp)
    assert waits(temperature="20 degC", **damp, moisture_limit="18 %") < waits(
        temperature="20 degC", **damp, moisture_limit="15 %"
    )


def test_a_crew_shares_the_work_before_it_coats(plan):
    alone, both = (
        steps(plan(defaults=IPE, crew=crew))["preparation"]["result"]
        for crew in ({"appliers": 1}, {"appliers": 1, "wipers": 1})
    )
    sand = {name: {row["id"]: row for row in r["routes"]}["sand"] for name, r in (("one", alone), ("two", both))}
    assert sand["two"]["elapsed"]["value"] < sand["one"]["elapsed"]["value"]
    assert sand["two"]["steps"] == sand["one"]["steps"]


# Structure first


def test_a_doubt_stops_the_finish_of_that_part_and_not_of_the_rest(plan):
    answer = plan({**MAIN, "structure": "doubt"}, STEP, defaults=IPE)
    found = steps(answer)
    gates = {row["id"]: row["gate"] for row in found["condition"]["result"]["components"]}
    assert (gates["main"], gates["step"]) == ("stop-structure", "refinish")
    assert found["preparation-main"]["status"] == "stopped"
    assert "result" not in found["preparation-main"]
    assert found["preparation-step"]["result"]["recommendation"] == "sand"
    (coated,) = found["coverage-clear-penetrating-oil"]["result"]["zones"]
    assert coated["id"] == "step"
    assert {"stop-structure"} <= {f["id"] for f in answer["findings"] if f["severity"] == "stop"}
    assert "structure-in-doubt" in ids(answer, "cautions")


def test_a_loose_guard_stops_the_guard_only(plan):
    guards = [
        {"id": "west", "length": "12 ft", "signs": ["wobbly"]},
        {"id": "east", "length": "12 ft", "structure": "sound"},
    ]
    answer = plan(defaults=IPE, guards=guards)
    gates = {row["id"]: row["gate"] for row in steps(answer)["condition"]["result"]["components"]}
    assert gates["main/guards/west"] == "stop-structure"
    assert gates["main/guards/east"] == gates["main"] == "refinish"
    both = plan(defaults=IPE, guards=[{**guards[0], "signs": []}, guards[1]])
    volume = {
        n: steps(a)["coverage-clear-penetrating-oil"]["result"]["volume"]["value"]
        for n, a in (("one", answer), ("two", both))
    }
    assert volume["one"] < volume["two"]


def test_where_all_is_in_doubt_nothing_is_bought(plan):
    answer = plan({**MAIN, "structure": "failed"}, defaults=IPE)
    assert finishes(answer) == []
    assert steps(answer)["coverage"]["status"] == "stopped"
    assert "in doubt" in steps(answer)["coverage"]["why"]


@pytest.mark.parametrize(
    ("fields", "status"),
    [
        ({"signs": ["water-under"]}, "stopped"),
        ({"signs": ["rot"], "affected": "60 %"}, "stopped"),
        ({"material": "composite"}, "stopped"),
    ],
)
def test_what_stands_before_refinishing_holds_the_route_up(plan, fields, status):
    answer = plan(defaults={**IPE, **fields})
    assert steps(answer)["preparation"]["status"] == status
    assert steps(answer)["preparation"]["why"]


def test_wood_that_may_hold_arsenic_is_neither_sanded_nor_pressure_washed(plan):
    site = {"jurisdiction": "US-GA", "year_built": 1996}
    answer = plan(defaults={**UNPROVEN, "treatment": "unknown"}, site=site, choices={"pressure": "800 psi"})
    assert steps(answer)["preparation"]["result"]["chosen"] == "hand-wash"
    assert steps(answer)["wash"]["result"]["verdict"] == "go"
    assert "pressure_ceiling" not in steps(answer)["wash"]["result"]
    assert {"coating-over-grey", "rinse-by-hose"} <= ids(answer)


def test_the_wall_beside_the_floor_is_asked_about(plan):
    """Edge tools touch painted walls of older houses (40 CFR 745: built before 1978)."""
    beside = {**MAIN, "edges": {"wall_sides": [1]}}
    for built, suspicion in ((1970, "suspected"), (1990, "no")):
        answer = plan(beside, defaults=IPE, site={"jurisdiction": "US-NY", "year_built": built})
        rows = {row["id"]: row for row in steps(answer)["condition"]["result"]["components"]}
        assert rows["surroundings/walls"]["lead_paint"] == suspicion
        assert rows["main"]["gate"] == "refinish"
    assert "surroundings/walls" not in str(plan(defaults=IPE)["steps"])


def test_what_is_open_is_asked(plan):
    answer = plan(defaults={"signs": ["grey"], "coating": "clear-penetrating-oil"})
    topics = {q["topic"] for q in steps(answer)["condition"]["result"]["questions"]}
    assert {"wood", "preservative", "old-coating", "structure", "year", "jurisdiction"} <= topics


def test_choices_are_read_and_wrong_ones_refused(plan):
    with pytest.raises(InputProblem) as caught:
        plan(defaults=IPE, choices={"route": "sandd", "pressures": "5 bar"})
    assert {fault.pointer for fault in caught.value.faults} == {"/choices/route", "/choices/pressures"}
    assert steps(plan(defaults={"species": "ipe"}, choices={"prefer": "least-wood"}))["preparation"]["result"]


@pytest.mark.parametrize(
    ("job", "routes"),
    [
        # Grey treated pine, small and dry: sanded in a day; washing would add a night and be sanded all the same.
        ("millrace", {"preparation": "sand"}),
        # Oiled ipe: grey and patchy in the open, so sanded; under the roof drops still bead, so refreshed.
        ("terrace", {"preparation-terrace": "sand", "preparation-roofed": "refresh"}),
        # An unknown peeling film on cedar comes off before an oil goes on.
        ("two_levels", {"preparation-upper": "sand-off-film", "preparation-lower": "sand-off-film"}),
    ],
)
def test_example_decks_are_argued_as_a_careful_contractor_would(lw, job, routes):
    answer = msgspec.json.decode(msgspec.json.encode(lw.plan(read_file(JOBS / f"{job}.toml"), Options())))
    found = steps(answer)
    for name, route in routes.items():
        result = found[name]["result"]
        assert result["chosen"] == result["recommendation"] == route
        assert result["routes"][0]["id"] == route
        assert all(row["reasons"] for row in result["routes"])
        assert found[name.replace("preparation", "wash")]["status"] == "skipped"
    assert not {f["id"] for f in answer["findings"] if f["severity"] == "stop"}
    assert not {"coating-over-grey", "coating-over-film"} & ids(answer)


# What is seen, and what that forbids


@pytest.mark.parametrize("surface", ["weathered", "planed", "rough-sawn"])
def test_a_coat_over_grey_that_is_left_is_a_finding(plan, surface):
    """Forest Products Laboratory: weathered wood is no ground for a coat; the grey comes off first."""
    answer = plan(defaults={**IPE, "surface": surface})
    found = [f for f in answer["findings"] if f["id"] == "coating-over-grey"]
    assert [(f["severity"], f["pointer"]) for f in found] == [("warning", "/zones/0/surface")]
    assert surface in steps(answer)["abrasive-sequence"]["why"]
    assert "coating-over-grey" not in ids(plan(defaults=IPE))
    assert ("coating-over-grey" in ids(plan(defaults={**IPE, "surface": surface, "signs": []}))) is (
        surface == "weathered"
    )


def test_the_grey_of_a_guard_is_its_own(plan):
    guard = {"id": "rail", "zone": "main", "length": "10 ft", "height": "36 in", "structure": "sound"}
    answer = plan(defaults=IPE, guards=[{**guard, "surface": "weathered"}])
    assert [f["params"]["of"] for f in answer["findings"] if f["id"] == "coating-over-grey"] == ["main/guards/rail"]


@pytest.mark.parametrize(
    ("given", "choices", "stop"),
    [
        ({"treatment": "arsenical", "old_coating": "paint"}, {}, "no-route"),
        ({"treatment": "arsenical"}, {"route": "sand"}, "route-forbidden"),
        ({"treatment": "unknown"}, {"route": "wash-and-sand", "pressure": "1000 psi"}, "route-forbidden"),
        ({"old_coating": "paint"}, {"route": "strip-and-sand"}, "route-forbidden"),
    ],
)
def test_nothing_is_planned_where_a_hazard_forbids_the_route(plan, given, choices, stop):
    """No machine sanding where arsenic or lead is not ruled out (40 CFR 745.85): no wash, discs, litres nor clock."""
    answer = plan(defaults={**UNPROVEN, **given}, choices=choices, crew={"appliers": 2})
    assert stop in {f["id"] for f in answer["findings"] if f["severity"] == "stop"}
    after = [step for step in answer["steps"] if step["calculator"] not in ("area", "condition", "preparation")]
    assert {step["calculator"] for step in after if "result" in step} <= {"masking"}
    assert {"wash", "abrasive-sequence", "coverage"} <= {step["calculator"] for step in after}
    assert not finishes(answer)


def test_one_forbidden_floor_does_not_refuse_the_other(plan):
    zones = [{"id": "old", "length": "12 ft", "width": "8 ft", "treatment": "arsenical"}]
    zones += [{"id": "new", "length": "12 ft", "width": "8 ft", "level": "1 m"}]
    answer = plan(*zones, defaults=PINE, choices={"route": "sand"})
    sanded = steps(answer)["abrasive-sequence"]["result"]["rows"]
    assert {row["zone"] for row in sanded} == {"new"}
    assert steps(answer)["wash-old"]["status"] == "stopped"


@pytest.mark.parametrize("old", [None, "none"])
def test_a_film_nobody_named_is_held_for_lead_in_every_step(plan, old):
    """40 CFR 745: built before 1978."""
    given = {k: v for k, v in {**PINE, "signs": ["film-peeling"], "old_coating": old}.items() if v is not None}
    answer = plan(defaults=given, site={"year_built": 1950, "jurisdiction": "US-NY"})
    assert {step["result"]["lead_paint"] for step in answer["steps"] if "lead_paint" in step.get("result", {})} == {
        "suspected"
    }
    assert "lead-paint" in ids(answer, "cautions")
    assert "no-route" in ids(answer)


def test_nothing_is_planned_before_it_was_built(plan):
    with pytest.raises(InputProblem) as caught:
        plan(defaults=PINE, site={"year_built": 2066, "jurisdiction": "US"}, as_of="2026-05-01")
    assert [(f.pointer, f.code) for f in caught.value.faults] == [("/site/year_built", "conflict")]


@pytest.mark.parametrize("treatment", ["arsenical", "unknown"])
@pytest.mark.parametrize("spoken", [True, False])
def test_a_guard_that_may_hold_arsenic_is_not_sanded_with_the_floor(plan, treatment, spoken):
    """CPSC guidance on arsenical wood: its dust is kept from arising; no machine sanding (judgement)."""
    own = {"species": "southern-yellow-pine", "treatment": treatment, "structure": "sound"}
    guard = {"id": "rail", "zone": "main", "length": "10 ft", "height": "36 in", **own}
    floor = IPE if spoken else {k: v for k, v in IPE.items() if k not in ("signs", "structure")}
    if not spoken:
        guard.pop("structure")
    answer = plan(defaults=floor, guards=[guard], **({} if spoken else {"sanding": {"practice": "open-grain"}}))
    rows = steps(answer)["abrasive-sequence"]["result"]["rows"]
    stops = {f["id"] for f in answer["findings"] if f["severity"] == "stop"}
    assert {row["part"] for row in rows} & {"guard"} == set()
    assert "arsenic-not-sanded" in stops
    assert any(row["part"] == "field" for row in rows)
    clean = plan(
        defaults=IPE, guards=[{**guard, "treatment": "none", "treatment_evidence": "test", "structure": "sound"}]
    )
    assert "arsenic-not-sanded" not in ids(clean)
    assert "guard" in {row["part"] for row in steps(clean)["abrasive-sequence"]["result"]["rows"]}


def test_what_is_left_to_grey_is_not_prepared_unless_a_route_is_asked_for(plan):
    grey = {**IPE, "coating": "leave-to-grey"}
    assert steps(plan(defaults=grey))["preparation"]["status"] == "skipped"
    asked = plan(defaults=grey, choices={"route": "wash-and-sand"})
    assert steps(asked)["wash"]["result"]["verdict"] == "go"


BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}


def test_proud_heads_are_set_once_and_in_the_same_hours(plan):
    """Common practice, no source: set or replace, then sand. Route and fasteners step say the same hours."""
    given = {**PINE, "treatment_evidence": "end-tag", "signs": ["grey", "proud-fasteners"], "boards": BOARDS}
    site = {"jurisdiction": "US-GA", "year_built": 2015}
    held = {"fastener": "screw", "sample": {"inspected": 60, "proud": 5}}
    for more in ({}, {"fastener_cover": "-1 mm"}, {"signs": ["grey", "iron-stain"]}):
        found = steps(plan(defaults={**given, **more}, fastening=held, site=site))
        route = found["preparation"]["result"]["routes"][0]
        assert route["id"] == found["preparation"]["result"]["chosen"] == "sand"
        heads = next(step for step in route["steps"] if step["does"] == "set-heads")
        for end in ("low", "value", "high"):
            assert heads["work_time"][end] == pytest.approx(found["fasteners"]["result"]["time"][end], rel=1e-9)


def test_heads_that_cannot_be_set_leave_the_hand_wash(plan):
    given = {**IPE, "fastener_cover": "-1 mm", "boards": BOARDS}
    answer = plan(defaults=given, fastening={"heads_can_be_set": False})
    assert steps(answer)["preparation"]["result"]["chosen"] == "hand-wash"
    assert steps(answer)["fasteners"]["status"] == "skipped"


def test_slime_on_an_oiled_floor_is_washed_off_in_a_step_of_its_own(plan):
    """Common practice, no source: slime first, then dry, then read again."""
    given = {**IPE, "old_coating": "clear-penetrating-oil", **NO_LEAD, "signs": ["algae", "grey"]}
    found = steps(plan(defaults=given, choices={"route": "sand"}))
    assert [stage["agent"] for stage in found["wash"]["result"]["stages"]] == ["detergent"]
    chosen = next(row for row in found["preparation"]["result"]["routes"] if row["id"] == "sand")
    assert chosen["steps"][0]["agent"] == "detergent"
    assert chosen["drying_time"]["value"] > 0
    assert found["moisture-after-wash"]["status"] == "blocked"
    assert "abrasive-sequence" in found


def test_the_boathouse_is_mended_washed_and_sanded_in_that_order(lw):
    """Common practice, no source: steel that stains comes out before sanding, slime off before anything else."""
    answer = msgspec.json.decode(msgspec.json.encode(lw.plan(read_file(JOBS / "boathouse.toml"), Options())))
    found = steps(answer)
    assert found["preparation-sunny"]["result"]["chosen"] == "sand"
    assert found["preparation-waterside"]["result"]["chosen"] == "wash-and-sand"
    assert [stage["agent"] for stage in found["wash-waterside"]["result"]["stages"]] == ["detergent"]
    assert "Treat only what stays black with oxalic acid" in found["wash-sunny"]["why"]
    heads = next(
        step for step in found["preparation-sunny"]["result"]["routes"][0]["steps"] if step["does"] == "set-heads"
    )
    rows = {row["id"]: row for row in found["fasteners"]["result"]["zones"]}
    assert heads["work_time"]["value"] == pytest.approx(rows["sunny"]["time"]["value"], rel=1e-9)
    assert {"seen-algae", "seen-iron-stain", "seen-proud-fasteners", "heads-replaced"} <= ids(answer)
    assert found["coverage-tinted-penetrating-oil"]["result"]["volume"]["value"] > 0
    assert not {finding["id"] for finding in answer["findings"] if finding["severity"] == "stop"}
