"""What sanding a floor does not reach: gap faces, lattice and undersides, and whether gap faces are coated at all."""

import pytest
from tests.bundled import bundled

from latewood.problems import InputProblem
from latewood.wire import Options

WOOD = {
    "species": "southern-yellow-pine",
    "treatment": "none",
    "old_coating": "none",
    "coating": "semi-transparent-oil-stain",
    "surface": "sanded",
}
BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}
ZONE = {"id": "main", "length": "16 ft", "width": "12 ft", "boards": BOARDS}
#: Gap faces of 12 x 16 ft worked by hand: 25 gaps of 192 in, two faces 1 in high (m2).
GAPS = 9600 * 0.0254**2
#: Semi-transparent stain, Wood Handbook p. 375: 200-400 ft2/gal on smooth wood, 100-200 on weathered: half as far.
TWICE = 2.0


@pytest.fixture(scope="module")
def plan():
    engine = bundled()

    def plan(*zones, **job):
        defaults = {**WOOD, **job.pop("defaults", {})}
        return engine.plan({"schema": 1, "defaults": defaults, "zones": list(zones) or [ZONE], **job}, Options())

    return plan


def coverage(answer):
    return next(step["result"] for step in answer["steps"] if step["id"].startswith("coverage"))


def area(answer):
    return answer["steps"][0]["result"]


def first_coat(answer):
    """Return the first coat, of whose volume no other number has a part."""
    return coverage(answer)["coats"][0]["volume"]["value"]


def found(answer, id):
    return [finding for finding in answer["findings"] if finding.id == id]


def assumed(answer, id):
    return [row for row in answer["assumptions"] if row["id"] == id]


def used(answer):
    return {line.path: line for line in answer["basis"]}


def test_gap_faces_stay_weathered_where_the_floor_is_sanded(plan):
    """With gaps sanded all faces take 200-400; left weathered their share counts double."""
    faces = area(plan())["face_total"]["value"]
    plain, sanded = plan(), plan({**ZONE, "gap_treatment": "hand"})
    assert first_coat(plain) / first_coat(sanded) == pytest.approx((faces + (TWICE - 1) * GAPS) / faces, rel=1e-4)
    (said,) = found(plain, "faces-left-weathered")
    assert said.params["faces"] == ["main-gap-faces"]
    assert said.params["area"] == pytest.approx(GAPS, abs=1e-3)
    assert not found(sanded, "faces-left-weathered")
    assert used(plain)["input/zones/0/gap_treatment"].given == "clean-only"
    assert "input/zones/0/gap_treatment" not in used(sanded)


@pytest.mark.parametrize(
    ("treatment", "weathered"),
    [("none", True), ("clean-only", True), ("ease-edges", True), ("machine-profile", False), ("hand", False)],
)
def test_only_some_treatments_sand_the_faces_of_gaps(plan, treatment, weathered):
    answer = plan({**ZONE, "gap_treatment": treatment})
    assert bool(found(answer, "faces-left-weathered")) is weathered


@pytest.mark.parametrize("surface", ["planed", "rough-sawn", "weathered"])
def test_wood_that_is_not_sanded_is_alike_on_all_its_faces(plan, surface):
    answer = plan(defaults={"surface": surface})
    assert not found(answer, "faces-left-weathered")
    rate = coverage(answer)["coats"][0]["spreading_rate"]["value"]
    # One rate for all: 200-400 or 100-200 ft2/gal, their geometric mean, in m2/L.
    smooth = (200 * 400) ** 0.5 * 0.3048**2 / 3.785411784
    assert rate == pytest.approx(smooth if surface == "planed" else smooth / TWICE, rel=1e-4)


def test_whether_gap_faces_are_coated_is_a_choice_that_is_said(plan):
    coated, bare = plan(), plan({**ZONE, "gap_faces": "bare"})
    assert used(coated)["input/zones/0/gap_faces"].given == "coated"
    (said,) = assumed(coated, "default-gap-faces")
    assert (said["field"], said["assumed"], said["components"]) == ("/zones/0/gap_faces", "coated", ["main"])
    # What bare gaps save of the finish, by the two plans; sums of medians are not medians of sums.
    amounts = [coverage(answer)["volume"]["value"] for answer in (coated, bare)]
    assert said["effect"] == pytest.approx(1 - amounts[1] / amounts[0], rel=0.05)
    areas = [coverage(answer)["zones"][0]["area"]["value"] for answer in (coated, bare)]
    assert areas[0] - areas[1] == pytest.approx(GAPS)
    assert not assumed(bare, "default-gap-faces")
    (said,) = found(bare, "gap-faces-bare")
    assert said.pointer == "/zones/0/gap_faces"
    asked = plan({**ZONE, "gap_faces": "coated"})
    assert not assumed(asked, "default-gap-faces")
    assert first_coat(asked) == first_coat(coated)


def test_defaults_of_gaps_hold_for_every_zone_that_says_nothing_else(plan):
    zones = [ZONE, {**ZONE, "id": "other", "gap_faces": "coated"}]
    answer = plan(*zones, defaults={"gap_faces": "bare", "gap_treatment": "hand"})
    areas = {zone["id"]: zone["area"]["value"] for zone in coverage(answer)["zones"]}
    assert areas["other"] - areas["main"] == pytest.approx(GAPS)


def test_gaps_of_a_floor_that_is_not_coated_are_not_spoken_of(plan):
    answer = plan({**ZONE, "material": "composite"}, {**ZONE, "id": "wood"})
    (said,) = assumed(answer, "default-gap-faces")
    assert said["components"] == ["wood"]


def test_undersides_of_treads_and_benches_stay_weathered_unless_they_are_said_to_be_sanded(plan):
    """Three treads of 36 by 11 in, and a seat of 6 ft by 16 in, seen from below: 1188 and 1152 in2."""
    stair = {"id": "steps", "rise": "31 in", "width": "36 in", "going": "10 in", "nosing": "1 in", "riser_form": "open"}
    seat = {"id": "seat", "part": "bench", "length": "6 ft", "width": "16 in"}
    plain = plan({**ZONE, "gap_faces": "bare"}, stairs=[stair], extras=[seat])
    below = {face["id"]: face["area"]["value"] for face in area(plain)["faces"] if face.get("side") == "underside"}
    assert below == pytest.approx(
        {"main-stair-steps-underside": 1188 * 0.0254**2, "main-bench-seat-underside": 1152 * 0.0254**2}
    )
    (said,) = found(plain, "faces-left-weathered")
    assert said.params["faces"] == ["main-bench-seat-underside", "main-stair-steps-underside"]
    sanded = {"underside_surface": "sanded"}
    other = plan({**ZONE, "gap_faces": "bare"}, stairs=[{**stair, **sanded}], extras=[{**seat, **sanded}])
    assert not found(other, "faces-left-weathered")
    total = coverage(other)["zones"][0]["area"]["value"]
    assert first_coat(plain) / first_coat(other) == pytest.approx((total + sum(below.values())) / total, rel=1e-4)


def test_a_lattice_is_weathered_unless_its_own_surface_is_given(plan):
    lattice = {"id": "skirt", "part": "lattice", "length": "4 m", "height": "500 mm"}
    job = {"defaults": {"gap_faces": "bare"}}
    (said,) = found(plan(**job, extras=[lattice]), "faces-left-weathered")
    assert said.params["faces"] == ["main-lattice-skirt"]
    assert not found(plan(**job, extras=[{**lattice, "surface": "sanded"}]), "faces-left-weathered")


@pytest.mark.parametrize(
    ("job", "pointer"),
    [
        ({"stairs": [{"id": "s", "rise": "31 in", "underside_surface": "sanded"}]}, "/stairs/0/underside_surface"),
        (
            {"stairs": [{"id": "s", "rise": "31 in", "riser_form": "open", "undersides": False}]},
            "/stairs/0/underside_surface",
        ),
        (
            {"extras": [{"id": "f", "part": "fascia", "length": "4 m", "size": "2x10"}]},
            "/extras/0/underside_surface",
        ),
        ({"extras": [{"id": "b", "part": "bench", "area": "1 m2"}]}, "/extras/0/underside_surface"),
    ],
)
def test_a_surface_of_an_underside_that_is_not_there(plan, job, pointer):
    table, (given,) = next(iter(job.items()))
    with pytest.raises(InputProblem) as caught:
        plan(**{table: [{**given, "underside_surface": "sanded"}]})
    assert [(fault.pointer, fault.code) for fault in caught.value.faults] == [(pointer, "conflict")]


def test_pad_and_labour_rule_of_the_job_reach_the_take_off(plan):
    """A pad of 150 mm takes a strip a fifth wider; the rule of 1908 counts a guard three times its side, not four."""
    zone = {**ZONE, "edges": {"wall_length": "16 ft", "inside_corners": 0}}
    guard = {"id": "g", "length": "12 ft", "height": "36 in", "rail_clearance": "200 mm", "posts": 0}
    job = {"guards": [guard]}
    narrow = area(plan(zone, pad_width="125 mm", labour_allowance="by-part", **job))
    wide = area(plan(zone, pad_width="150 mm", labour_allowance="painting-cyclopedia-1908", **job))

    def of(result, part, name):
        return next(row[name]["value"] for row in result["parts"] if row["id"] == part)

    assert of(wide, "perimeter", "area") / of(narrow, "perimeter", "area") == pytest.approx(1.2)
    assert of(wide, "guard", "area_for_labour") / of(narrow, "guard", "area_for_labour") == pytest.approx(3 / 4)
    with pytest.raises(InputProblem) as caught:
        plan(zone, labour_allowance="by-parts", pad_width="125")
    assert {(f.pointer, f.nearest) for f in caught.value.faults} == {
        ("/labour_allowance", "by-part"),
        ("/pad_width", None),
    }


def test_findings_of_the_take_off_point_into_the_job(plan):
    zone = {key: value for key, value in ZONE.items() if key != "boards"}
    answer = plan(zone, defaults={"species": "ipe", "boards": BOARDS})
    (said,) = found(answer, "nominal-hardwood")
    assert said.pointer == "/defaults/boards/size"
    (said,) = found(answer, "edge-work-not-given")
    assert said.pointer == "/zones/0/edges"


@pytest.mark.parametrize("stated", [None, "sanded"])
def test_what_no_machine_sands_is_bought_for_as_weathered(stated):
    """Wood Handbook p. 375: weathered wood takes about twice what smooth wood takes."""
    given = {"species": "ipe", "treatment": "none", "old_coating": "none", "coating": "clear-penetrating-oil"}
    given |= {"signs": ["grey", "proud-fasteners"], "structure": "sound"} | ({"surface": stated} if stated else {})
    job = {"schema": 1, "zones": [{"id": "main", "length": "6 m", "width": "4 m"}], "defaults": given}
    held = {"fastening": {"heads_can_be_set": False}}
    answers = [bundled().plan({**job, **more}, Options()) for more in ({}, held)]
    sanded, washed = (coverage(answer)["volume"]["value"] for answer in answers)
    assert washed > 1.3 * sanded
    said = [{finding.id for finding in answer["findings"]} for answer in answers]
    assert ["coated-unsanded" in ids for ids in said] == [False, True]
