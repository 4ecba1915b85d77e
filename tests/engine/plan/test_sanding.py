"""Between the route and the finish: what is protected, which heads are set, what is sanded, and why in this order."""

from __future__ import annotations

import re
from typing import Any

import msgspec
import pytest
from tests.engine.lead_tests import NO_LEAD
from tests.engine.plan.buying import abrasives

from latewood.problems import InputProblem
from latewood.wire import Options

FT = 0.3048  # exactly: NIST SP 811
BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}
MAIN = {"id": "main", "outline": "0 0, 16 0, 16 12, 0 12 ft", "boards": BOARDS, "edges": {"wall_sides": [3]}}
NORTH = {"id": "north", "part_of": "main", "outline": "0 8, 16 8, 16 12, 0 12 ft"}
PINE = {
    "species": "southern-yellow-pine",
    "treatment": "copper",
    "treatment_evidence": "end-tag",
    "old_coating": "none",
    "coating": "semi-transparent-oil-stain",
    "surface": "sanded",
    "signs": ["grey"],
    "structure": "sound",
}
#: The order of work: protect, wash, fasteners, sand; and only then the finish.
ORDER = ["area", "condition", "preparation", "masking", "wash", "fasteners", "abrasive-sequence"]


@pytest.fixture
def plan(lw):
    def planned(*zones: dict[str, Any], **job: Any) -> dict[str, Any]:
        tree = {"schema": 1, "defaults": PINE, "zones": list(zones) or [MAIN], **job}
        return msgspec.json.decode(msgspec.json.encode(lw.plan(tree, Options())))

    return planned


def steps(answer):
    return {step["id"]: step for step in answer["steps"] if step["status"] != "not-planned"}


def rows(answer):
    return {row["id"]: row for row in steps(answer)["abrasive-sequence"]["result"]["rows"]}


def ids(answer):
    return {finding["id"] for finding in answer["findings"]}


def test_the_order_of_work_and_a_reason_for_each_step(plan):
    answer = plan()
    order = [*steps(answer)]
    assert order[: len(ORDER)] == ORDER
    assert order[len(ORDER)].startswith("coverage")
    assert all(step["why"] for step in answer["steps"][1 : len(ORDER)])


def test_no_wash_ever_comes_after_sanding(plan):
    for signs in (["grey"], ["mildew", "algae"], ["film-peeling"], ["raised-grain", "splinters"]):
        for route in (None, "sand", "wash-and-sand"):
            choices = {"choices": {"route": route}} if route else {}
            order = [step["id"] for step in plan(defaults={**PINE, "signs": signs}, **choices)["steps"]]
            assert order.index("wash") < order.index("abrasive-sequence")


def test_a_job_that_asks_only_for_an_area_is_not_told_to_sand(plan):
    plain = {name: value for name, value in PINE.items() if name not in ("signs", "structure")}
    assert not {"masking", "fasteners", "abrasive-sequence"} & steps(plan(defaults=plain)).keys()
    # A table about any of it is a question about all of it, though nobody looked at the deck.
    for table in ({"sanding": {"practice": "smooth-feel"}}, {"stock": [{"grade": "p80"}]}, {"fastening": {}}):
        answer = plan(defaults=plain, **table)
        assert {"masking", "fasteners", "abrasive-sequence"} <= steps(answer).keys()
        assert "preparation" not in steps(answer)


def test_the_deck_is_sanded_face_by_face(plan):
    """12 x 16 ft: 676 fasteners as in the published take-off; perimeter and field end at one grade."""
    answer = plan(guards=[{"id": "south", "length": "12 ft"}])
    found = rows(answer)
    assert {"main-field", "main-perimeter", "main-end-grain", "main-guard-south"} <= found.keys()
    assert found["main-field"]["sequence"].split(", ")[-1] == found["main-perimeter"]["sequence"].split(", ")[-1]
    assert steps(answer)["fasteners"]["result"]["inspected"] == 676
    assert [gap["id"] for gap in steps(answer)["abrasive-sequence"]["result"]["gaps"]] == ["clean-only"]
    assert "edge-halo" not in ids(answer)


def test_fasteners_are_set_below_what_will_be_sanded_off(plan):
    answer = plan()
    removal = steps(answer)["abrasive-sequence"]["result"]["removal"]
    depth = steps(answer)["fasteners"]["result"]["set_depth"]
    assert (removal["unit"], depth["unit"]) == ("um", "mm")
    assert depth["value"] == pytest.approx(removal["high"] / 1000 + 1)


@pytest.mark.parametrize(
    ("signs", "old", "route", "first"),
    [
        (["grey"], "none", "sand", {"p60"}),
        (["raised-grain"], "none", "sand", {"p40", "p50", "p60"}),
        (["splinters", "grey"], "none", "sand", {"p36", "p40"}),
        (["film-peeling"], "solid-colour-stain", "sand-off-film", {"p24", "p30", "p36", "p40"}),
        (["film-peeling"], "solid-colour-stain", "strip-and-sand", {"p40", "p50", "p60"}),
        (["grey"], "none", "wash-and-sand", {"p80"}),
        ([], "clear-penetrating-oil", "refresh", {"p80"}),
    ],
)
def test_what_is_seen_and_the_route_decide_where_to_begin(plan, signs, old, route, first):
    site = {"jurisdiction": "US-GA", "year_built": 2015}
    answer = plan(defaults={**PINE, "signs": signs, "old_coating": old}, site=site, choices={"route": route})
    assert rows(answer)["main-field"]["sequence"].split(", ")[0] in first


def test_patch_stock_and_machine_are_taken_from_the_job(plan):
    answer = plan(
        patches=[{"grade": "p80", "grey_left": False}],
        stock=[{"grade": "p60"}, {"grade": "p80", "at_hand": 3}],
        machines=[{"part": "field", "machine": "geared-orbit-150", "speed_fraction": "60 %"}],
        sanding={"gap_filled": True, "packed_gaps": "10 %", "downwind_clear": True},
    )
    field = rows(answer)["main-field"]
    assert (field["sequence"], field["machine"]) == ("p80", "geared-orbit-150")
    discs = steps(answer)["abrasive-sequence"]["result"]["abrasives"]
    assert sum(row["at_hand"] for row in discs) == 3
    assert steps(answer)["abrasive-sequence"]["result"]["gaps"][0]["cleaning"] == "blow"


def test_discs_are_on_the_shopping_list(plan, lw):
    stock = [{"grade": "p60", "at_hand": 1000}, {"grade": "p80"}]
    answer = plan(stock=stock)
    bought = abrasives(answer)
    assert {row["grade"] for row in bought} == {"p80"}
    assert all(row["count"] > 0 for row in bought)
    text = lw.plan_text({"schema": 1, "defaults": PINE, "zones": [MAIN], "stock": stock}, Options())
    assert re.search(
        rf"^[A-Z][a-z ]+, \d+ mm, disc(, likely \(buy\))?: P80 .*\b{bought[0]['count']}\b", text, re.MULTILINE
    )


def test_zones_treat_their_gaps_as_they_say(plan):
    answer = plan({**MAIN, "gap_treatment": "machine-profile"}, {**NORTH, "gap_treatment": "none"})
    gaps = {gap["id"]: gap for gap in steps(answer)["abrasive-sequence"]["result"]["gaps"]}
    assert gaps.keys() == {"machine-profile", "none"}
    assert "time" in gaps["machine-profile"]
    assert "time" not in gaps["none"]


def test_what_is_not_finished_smooth_is_not_sanded(plan):
    guards = [
        {"id": "plastic", "length": "6 ft", "material": "composite"},
        {"id": "rough", "length": "6 ft", "surface": "rough-sawn"},
        {"id": "grey", "length": "6 ft", "coating": "leave-to-grey"},
        {"id": "wood", "length": "6 ft"},
    ]
    assert {id for id in rows(plan(guards=guards)) if "guard" in id} == {"main-guard-wood"}


def test_what_is_in_doubt_is_not_sanded(plan):
    answer = plan(guards=[{"id": "loose", "length": "6 ft", "structure": "doubt"}, {"id": "firm", "length": "6 ft"}])
    assert {id for id in rows(answer) if "guard" in id} == {"main-guard-firm"}


def test_a_route_that_sands_nothing_leaves_heads_alone(plan):
    answer = plan(
        {**MAIN, "boards": {**BOARDS, "profile": "grooved", "groove_depth": "2 mm", "groove_spacing": "8 mm"}}
    )
    chosen = steps(answer)["preparation"]["result"]["chosen"]
    assert chosen == "hand-wash"
    assert steps(answer)["fasteners"]["status"] == "skipped"
    assert steps(answer)["abrasive-sequence"]["status"] == "skipped"
    assert [row["id"] for row in steps(answer)["masking"]["result"]["works"]] == ["washing", "brushing"]


def test_fasteners_nobody_can_count_are_asked_for(plan):
    answer = plan({"id": "main", "area": "20 m2"})
    assert steps(answer)["fasteners"]["status"] == "blocked"
    assert steps(answer)["fasteners"]["unlock"] == ["/zones/0/boards/joist_spacing"]
    some = plan(MAIN, {"id": "yard", "area": "20 m2"})
    assert steps(some)["fasteners"]["status"] == "partial"
    assert [zone["id"] for zone in steps(some)["fasteners"]["result"]["zones"]] == ["main"]


def test_masking_measures_the_outline(plan):
    """16 ft of house wall; 40 ft open with two free corners: (40 ft x 1.5 m + 2 x 1.5 m x 1.5 m) x 1.1, by hand."""
    [sanding, _] = steps(plan())["masking"]["result"]["works"]
    assert sanding["tape_length"]["value"] == pytest.approx(16 * FT)
    assert sanding["sheet_area"]["value"] == pytest.approx((40 * FT * 1.5 + 2 * 1.5**2) * 1.1)
    by_length = {**MAIN, "edges": {"wall_length": "16 ft"}}
    [sanding, _] = steps(plan(by_length))["masking"]["result"]["works"]
    assert sanding["tape_length"]["value"] == pytest.approx(16 * FT)


def test_an_inner_corner_needs_no_sheet_of_its_own(plan):
    """An L of six open sides has five outer corners and one inner, whose square two strips share. By hand."""
    zone = {"id": "main", "outline": "0 0, 6 0, 6 2, 3 2, 3 5, 0 5 m"}
    [sanding, _] = steps(plan(zone))["masking"]["result"]["works"]
    assert sanding["sheet_area"]["value"] == pytest.approx((22 * 1.5 + (5 - 1) * 1.5**2) * 1.1)


def test_a_boundary_narrows_the_corners_too(plan):
    """Others' property 1 m away: 40 ft of strip and two corners, each 1 m wide."""
    answer = plan(surroundings={"boundary": "1 m"})
    [sanding, _] = steps(answer)["masking"]["result"]["works"]
    assert sanding["sheet_area"]["value"] == pytest.approx((40 * FT * 1.0 + 2 * 1.0**2) * 1.1)


def test_a_part_of_a_zone_has_no_edge_of_its_own(plan):
    [one, _], [two, _] = (steps(plan(*zones))["masking"]["result"]["works"] for zones in ((MAIN,), (MAIN, NORTH)))
    assert one["sheet_area"] == two["sheet_area"]


def test_what_lies_round_the_deck_counts(plan):
    around = {
        "below": "lower-deck",
        "boundary": "1 m",
        "house_openings": 2,
        "wall_coating": "paint",
        "plants": [{"id": "roses", "area": "7 m2"}],
    }
    answer = plan(surroundings=around, site={"jurisdiction": "US-GA", "year_built": 1950})
    [sanding, _] = steps(answer)["masking"]["result"]["works"]
    assert (sanding["goes_by"], sanding["openings_shut"]) == ("sanding-lead", 2)
    assert sanding["plant_area"]["value"] == 7
    assert sanding["screen_length"]["value"] == pytest.approx(40 * FT)
    assert {"falls-through", "lead-cover", "screen-at-boundary"} <= ids(answer)


def test_nothing_to_do_needs_no_protection(plan):
    plastic = {name: said for name, said in PINE.items() if not name.startswith("treatment")} | {
        "material": "composite"
    }
    assert steps(plan(defaults=plastic))["masking"]["status"] == "skipped"


def test_an_old_film_is_asked_about_before_an_old_oil(plan):
    """Of the parts that are worked on, a painted one decides; one that is stopped is not touched."""
    rail = {"id": "rail", "length": "3 m", "old_coating": "paint", "surface": "weathered"}
    floor = {**MAIN, "old_coating": "clear-penetrating-oil", **NO_LEAD}
    site = {"jurisdiction": "US-GA", "year_built": 1950}
    painted = plan(floor, guards=[{**rail, "coating": "paint"}], site=site)
    assert steps(painted)["masking"]["result"]["lead_paint"] == "suspected"


@pytest.mark.parametrize(
    ("table", "pointer"),
    [
        ({"machines": [{"part": "field"}, {"part": "field"}]}, "/machines/0"),
        ({"stock": [{"id": "mine"}]}, "/stock/0"),
        ({"patches": [{"zone": "south", "grade": "p80", "grey_left": True}]}, "/patches/0/zone"),
        ({"fastening": {"sample": {"inspected": 1, "proud": 2}}}, "/fastening/sample/proud"),
        ({"machines": [{"part": "field", "machine": "random-orbit-155"}]}, "/machines/0/machine"),
    ],
)
def test_what_cannot_be_meant_is_refused_at_its_place_in_the_job(plan, table, pointer):
    with pytest.raises(InputProblem) as caught:
        plan(**table)
    assert pointer in {fault.pointer for fault in caught.value.faults}


def test_a_finer_last_grade_reaches_the_purchase(plan):
    """What the sanding step says of uptake is what the coverage step reckons with, face by face."""

    def volume(answer):
        step = next(step for step in answer["steps"] if step["calculator"] == "coverage")["result"]
        return {part["id"]: part["volume"]["value"] for part in step["parts"]}

    usual, finer = (plan(sanding={"last_grade": grade}) for grade in ("p80", "p150"))
    field = rows(finer)["main-field"]
    assert field["uptake"]["value"] < 97
    assert field["relative_life"]["value"] < field["uptake"]["value"]
    before, after = volume(usual), volume(finer)
    # The rate itself is not known well and stands in the uptake too, so medians agree to a percent or so.
    assert after["field"] / before["field"] == pytest.approx(field["uptake"]["value"] / 100, rel=0.02)
    assert after["gap-faces"] == pytest.approx(before["gap-faces"])
    assert {"last-too-fine", "uptake-after-sanding"} <= ids(finer)
    used = {line["path"]: line for line in finer["basis"]}
    assert used["input/uptake/main-field"]["si"]["value"] == pytest.approx(field["uptake"]["value"] / 100)
    assert "input/uptake/main-field" not in {line["path"] for line in usual["basis"]}


def test_no_uptake_is_handed_on_where_nothing_is_sanded(plan):
    answer = plan({**MAIN, "surface": "weathered"}, sanding={"last_grade": "p150"})
    assert not [line for line in answer["basis"] if line["path"].startswith("input/uptake")]


def test_a_hired_drum_asks_for_deep_heads_and_flat_boards(plan):
    """1/8 in below the surface, a householders' guide; no drum on cupped boards, answers of the floor trade."""
    drum = [{"part": "field", "machine": "floor-drum"}]
    answer = plan(machines=drum)
    assert steps(answer)["fasteners"]["result"]["set_depth"]["value"] == pytest.approx(3.175)
    assert rows(answer)["main-field"]["status"] == "planned"
    assert {"sheet", "disc"} <= {row["form"] for row in abrasives(answer)}
    cupped = plan(defaults={**PINE, "signs": ["grey", "cupping"]}, machines=drum)
    assert rows(cupped)["main-field"]["status"] == "refused"
    assert rows(cupped)["main-perimeter"]["status"] == "planned"
    assert "drum-on-cupped-boards" in ids(cupped)
    assert all(row["machine"] != "floor-drum" for row in abrasives(cupped))
