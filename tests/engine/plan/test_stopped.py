"""What one step stops is stopped in every later one, and a purchase says what it rests on.

Common practice, no source, but where a source is named: nothing is bought, protected for or timed for a part that may
not be worked on.
"""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from tests.engine.plan.buying import abrasives, finishes
from tests.engine.plan.deck_parts import Deck, planned_for_stopped

from latewood.wire import Options

BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}
MAIN = {"id": "main", "length": "12 ft", "width": "10 ft", "edges": {"wall_sides": [1]}}
LOW = {"id": "low", "length": "8 ft", "width": "8 ft", "level": "-2 ft", "edges": {"wall_sides": [1]}}
CEDAR = {
    "species": "western-redcedar",
    "treatment": "none",
    "old_coating": "none",
    "coating": "semi-transparent-oil-stain",
    "surface": "sanded",
    "signs": ["grey"],
    "structure": "sound",
    "boards": BOARDS,
}
GUARD = {"id": "south", "zone": "main", "length": "12 ft", "height": "36 in", "signs": ["grey"], "structure": "sound"}
PAINTED = {**GUARD, "old_coating": "paint", "signs": ["film-peeling"]}
SITE = {"jurisdiction": "US-NY", "year_built": 2015, "timezone": "America/New_York"}
DAY = {"warmest": "20 degC", "coldest": "12 degC", "relative_humidity": "55 %", "wet_spells": "none"}
WEATHER = {"days": [{"date": f"2026-05-0{day}", **DAY, "wind_speed": "2 m/s", "cloud": "100 %"} for day in range(4, 8)]}
WHOLE = {"weather": WEATHER, "crew": {"appliers": 1, "wipers": 1}, "fastening": {"fastener": "screw"}}


@pytest.fixture
def plan(lw):
    def planned(*zones: dict[str, Any], **job: Any) -> dict[str, Any]:
        tree = {"schema": 1, "site": SITE, "defaults": CEDAR, "zones": list(zones) or [MAIN], **job}
        answer = msgspec.json.decode(msgspec.json.encode(lw.plan(tree, Options(units="metric"))))
        assert not list(planned_for_stopped(Deck(tree, answer)))
        return answer

    return planned


def steps(answer):
    return {step["id"]: step for step in answer["steps"]}


def results(answer, calculator):
    return [step["result"] for step in answer["steps"] if step["calculator"] == calculator and "result" in step]


def stopped(answer):
    return {(row["id"], row["finding"]) for row in answer["stopped"]}


def bought(answer):
    return {part["id"] for result in results(answer, "coverage") for part in result["parts"]}


def found(answer, id):
    return [finding for finding in answer["findings"] if finding["id"] == id]


def test_a_sound_deck_keeps_every_step(plan):
    answer = plan(guards=[GUARD], **WHOLE)
    assert answer["stopped"] == []
    for calculator in ("masking", "fasteners", "abrasive-sequence", "coverage", "cure-windows", "wipe-cadence"):
        assert results(answer, calculator), calculator
    assert {"field", "guard"} <= bought(answer)
    assert answer["totals"]["hand_over"]


@pytest.mark.parametrize(
    ("floor", "finding"),
    [
        ({"structure": "doubt"}, "stop-structure"),
        ({"signs": ["rot"], "affected": "60 %"}, "replace"),
        ({"signs": ["water-under"]}, "fix-cause-first"),
        ({"material": "composite"}, "composite-refused"),
        ({"treatment": "arsenical", "species": "southern-yellow-pine"}, "route-forbidden"),
    ],
)
def test_every_gate_and_forbidden_route_stops_each_later_step(plan, floor, finding):
    choices = {"choices": {"route": "sand"}} if finding == "route-forbidden" else {}
    answer = plan({**MAIN, **floor}, **choices, **WHOLE)
    assert ("main", finding) in stopped(answer)
    after = [step for step in answer["steps"] if step["calculator"] not in ("area", "condition", "preparation")]
    after = [step for step in after if step["status"] != "not-planned"]
    assert not [step["id"] for step in after if "result" in step]
    assert {step["calculator"] for step in after} >= {"wash", "masking", "fasteners", "abrasive-sequence", "coverage"}
    assert all("main" in step["why"] for step in after if finding != "composite-refused")
    assert finishes(answer) == []
    assert "hand_over" not in answer["totals"]
    assert abrasives(answer) == []


def test_each_reason_is_listed_with_its_finding(plan):
    answer = plan({**MAIN, "structure": "failed"}, guards=[{**GUARD, "signs": ["wobbly"]}])
    listed = {row["id"]: row for row in answer["stopped"]}
    assert listed.keys() == {"main", "main/frame", "main/guards/south"}
    assert listed["main/guards/south"]["why"] == "seen on it: wobbly"
    assert {row["finding"] for row in answer["stopped"]} <= {finding["id"] for finding in answer["findings"]}
    assert list(answer)[:4] == ["job", "components", "stopped", "verdicts"]


def test_the_text_says_first_what_is_stopped(lw):
    tree = {"schema": 1, "defaults": CEDAR, "zones": [{**MAIN, "structure": "doubt"}]}
    why = "what it stands on (frame) is in doubt"
    shown = " ".join(lw.plan_text(tree, Options()).split())
    assert f" of floor STOP, do not prepare; STOP, do not coat: {why} Start: " in shown
    # The frame comes first: it has to be repaired before what stands on it.
    assert "DO FIRST 1 Stopped (frame): the person who looked was not sure of it. " in shown
    assert f" 2 Stopped: {why}. " in shown
    tree["zones"] = [MAIN]
    assert "STOP" not in lw.plan_text(tree, Options())


@pytest.mark.parametrize("part", ["fascia", "skirting", "lattice", "bench"])
@pytest.mark.parametrize("structure", ["failed", "doubt"])
def test_nothing_is_planned_for_what_is_fixed_to_a_frame_in_doubt(plan, part, structure):
    """Common practice, no source: what hangs on a frame is not sanded while the frame may give way."""
    sizes = {"fascia": {"size": "2x10"}, "bench": {"width": "400 mm", "thickness": "32 mm"}}
    more = sizes.get(part, {"height": "500 mm"})
    extra = {"id": "front", "zone": "main", "part": part, "length": "10 ft", **more}
    answer = plan({**MAIN, "structure": structure}, LOW, extras=[extra])
    assert ("main/extras/front", "stop-structure") in stopped(answer)
    words = {row["verdict"] for row in answer["verdicts"] if "main/extras/front" in row["components"]}
    assert words == {"stop"}
    assert all("main/extras/front" not in row["places"] for row in answer["purchases"])
    assert all("main/extras/front" not in row["components"] for row in answer["hours"])
    sound = plan(MAIN, LOW, extras=[extra])
    assert sound["stopped"] == []
    assert any("main/extras/front" in row["places"] for row in sound["purchases"] if row["kind"] == "finish")


# An old film under the new finish


@pytest.mark.parametrize("floor", [{"structure": "doubt"}, {"old_coating": "paint", "signs": ["film-sound"]}])
def test_a_peeling_guard_on_a_stopped_floor_is_neither_masked_nor_stained(plan, floor):
    """The floor is in doubt, or may hold lead (40 CFR 745: before 1978): nothing takes the paint off its guard."""
    site = {**SITE, "year_built": 1960}
    answer = plan({**MAIN, **floor}, guards=[PAINTED], site=site, **WHOLE)
    assert "main/guards/south" in {part for part, _ in stopped(answer)}
    assert not results(answer, "masking") + results(answer, "coverage")
    if "structure" not in floor:
        (stop,) = found(answer, "penetrating-over-film")
        assert (stop["severity"], stop["params"]["of"]) == ("stop", "main/guards/south")
        assert "Remove the film down to the wood" in stop["message"]
        assert "railing south" in steps(answer)["masking"]["why"]


def test_a_film_that_the_sander_takes_off_stops_nothing(plan):
    """The guard is sanded with its floor: its paint is off when the stain goes on."""
    answer = plan(guards=[PAINTED])
    assert answer["stopped"] == []
    assert {"field", "guard"} <= bought(answer)


@pytest.mark.parametrize(
    ("guard", "stop"),
    [
        # Forest Products Laboratory, LabNotes: a penetrating finish cannot be used over a film that is left.
        ({"old_coating": "paint"}, "penetrating-over-film"),
        ({"old_coating": "none", "signs": ["film-sound"]}, "penetrating-over-film"),
        # Common practice, no source: what hides less needs the old film off.
        ({"old_coating": "paint", "coating": "waterborne-stain"}, "less-opaque-over-film"),
        ({"old_coating": "paint", "coating": "solid-colour-stain"}, None),
        ({"old_coating": "semi-transparent-oil-stain"}, None),
        ({"old_coating": "paint", "coating": "leave-to-grey"}, None),
    ],
)
def test_a_guard_that_is_not_sanded_keeps_its_film(plan, guard, stop):
    """Its surface is coated as it is, by the job; so are fascia and stairs alike."""
    kept = {**GUARD, "surface": "weathered", **guard}
    answer = plan(guards=[kept])
    assert stopped(answer) == ({("main/guards/south", stop)} if stop else set())
    assert ("guard" in bought(answer)) is (stop is None)
    assert "field" in bought(answer)


def test_a_route_that_leaves_the_film_stops_the_floor(plan):
    film = {**CEDAR, "old_coating": "solid-colour-stain", "signs": ["film-sound"]}
    for route, holds in (("hand-wash", False), ("sand", False), ("sand-off-film", True), ("strip-and-sand", True)):
        answer = plan(defaults=film, choices={"route": route}, **WHOLE)
        assert (stopped(answer) == set()) is holds
        assert ("field" in bought(answer)) is holds
        assert bool(results(answer, "cure-windows")) is holds


def test_a_film_stripped_and_not_sanded_is_off(plan):
    """The job coats its floor as it is: a stripper alone takes the film off, a sander that is not used does not."""
    film = {**CEDAR, "old_coating": "solid-colour-stain", "signs": ["film-sound"], "surface": "weathered"}
    assert stopped(plan(defaults=film, choices={"route": "strip-and-sand"})) == set()
    assert stopped(plan(defaults=film, choices={"route": "sand-off-film"})) == {("main", "penetrating-over-film")}


def test_faces_out_of_reach_keep_their_film_and_are_left_out(plan):
    """Common practice, no source: a sander gets into neither gaps nor lattice nor under treads."""
    film = {**CEDAR, "old_coating": "solid-colour-stain", "signs": ["film-peeling"]}
    stair = {"id": "steps", "rise": "24 in", "width": "48 in", "undersides": True, "signs": ["film-peeling"]}
    screen = {"id": "screen", "part": "lattice", "length": "6 ft", "height": "30 in", "signs": ["film-sound"]}
    screen |= {"slat_width": "38 mm", "opening": "44 mm", "thickness": "6 mm"}
    answer = plan(defaults=film, stairs=[{**stair, "structure": "sound"}], extras=[screen])
    assert stopped(answer) == {("main/extras/screen", "penetrating-over-film")}
    assert bought(answer) == {"field", "perimeter", "end-grain", "stair"}
    (left,) = found(answer, "film-out-of-reach")
    assert left["params"]["parts"] == ["main", "main/stairs/steps"]
    worked = plan({**MAIN, "gap_treatment": "machine-profile"}, defaults=film)
    assert "gap-faces" in bought(worked)
    assert not found(worked, "film-out-of-reach")


def test_a_job_that_asks_for_a_purchase_only_is_held_to_it_too(plan):
    quiet = {name: value for name, value in CEDAR.items() if name not in ("signs", "structure", "surface")}
    painted = {**quiet, "old_coating": "paint"}
    assert stopped(plan(defaults=painted)) == {("main", "penetrating-over-film")}
    assert stopped(plan(defaults={**painted, "surface": "weathered"})) == {("main", "penetrating-over-film")}
    believed = plan(defaults={**painted, "surface": "sanded", "gap_faces": "bare"})
    assert stopped(believed) == set()
    assert [finding["severity"] for finding in found(believed, "film-off-by-then")] == ["warning"]
    assert not found(plan(defaults=quiet), "film-off-by-then")


def test_a_painted_guard_that_is_sanded_bare_says_so_beside_its_oil(plan):
    """Penetrating over film: LabNotes of the Forest Products Laboratory; that all of it comes off: common practice."""
    oiled = {**CEDAR, "old_coating": "clear-penetrating-oil", "coating": "clear-penetrating-oil", "signs": ["grey"]}
    guard = {"id": "south", "length": "3 m", "old_coating": "paint", "signs": ["film-sound"], "structure": "sound"}
    answer = plan(defaults=oiled, guards=[guard])
    assert "guard" in bought(answer)
    (said,) = found(answer, "film-off-by-then")
    assert (said["severity"], said["params"]["parts"]) == ("warning", ["main/guards/south"])
    assert not found(plan(defaults=oiled, guards=[{**guard, "old_coating": "none", "signs": []}]), "film-off-by-then")


# A wash that may not be done, and what rests on it


def test_a_wash_stopped_by_its_pressure_stops_what_rests_on_it(plan):
    choices = {"route": "wash-and-sand", "pressure": "3000 psi"}
    answer = plan({**MAIN, "exposure": "open"}, choices=choices, **WHOLE)
    assert stopped(answer) == {("main", "pressure-erodes")}
    assert not results(answer, "abrasive-sequence") + results(answer, "coverage") + results(answer, "masking")
    gentle = plan(choices={**choices, "pressure": "400 psi"}, **WHOLE)
    assert gentle["stopped"] == []
    assert {row["id"] for row in results(gentle, "masking")[0]["works"]} == {"washing", "sanding", "brushing"}


def test_only_what_is_worked_on_is_protected(plan):
    """Two floors; while one is stopped, neither its edges nor its gaps ask for sheet."""
    both, one = plan(MAIN, LOW), plan({**MAIN, "structure": "doubt"}, LOW)
    alone = plan(LOW)
    sheets = [results(answer, "masking")[0]["sheet_area"]["value"] for answer in (both, one, alone)]
    assert sheets[0] > sheets[1] == pytest.approx(sheets[2])
    assert steps(one)["masking"]["status"] == "partial"
    assert "main" in steps(one)["masking"]["why"]
    assert steps(both)["masking"]["status"] == "done"


def test_a_coating_that_is_stopped_in_part_or_whole_says_so(plan):
    answer = plan({**MAIN, "structure": "doubt"}, {**LOW, "coating": "clear-penetrating-oil"}, **WHOLE)
    named = steps(answer)
    assert named["coverage-semi-transparent-oil-stain"]["status"] == "stopped"
    assert named["coverage-clear-penetrating-oil"]["status"] == "done"
    assert named["cure-windows"]["status"] == named["wipe-cadence"]["status"] == "stopped"
    assert all("main" in named[id]["why"] for id in ("cure-windows", "wipe-cadence"))
    mixed = plan({**MAIN, "structure": "doubt"}, LOW)
    assert steps(mixed)["coverage-semi-transparent-oil-stain"]["status"] == "partial"


# What is still open


def test_a_purchase_says_which_questions_it_rests_on(plan):
    asked = plan({**MAIN, "structure": "not-looked", "old_coating": "unknown"})
    (row,) = finishes(asked)
    questions = {question["id"] for question in results(asked, "condition")[0]["questions"]}
    assert {"main/frame-structure", "main-old-coating"} <= set(row["rests_on"]) <= questions
    assert steps(asked)["coverage-semi-transparent-oil-stain"]["rests_on"] == row["rests_on"]
    (finish,) = (one for one in asked["purchases"] if one["kind"] == "finish")
    assert "rests-on-open-questions" in {one["id"] for one in finish["conditions"]}
    # The list of questions says what is open; no finding repeats it.
    assert {"structure", "old-coating"} <= {row["topic"] for row in asked["questions"]}
    assert not found(asked, "questions-open")
    sure = plan()
    assert "rests_on" not in finishes(sure)[0]
    assert sure["questions"] == []
    assert all(one["id"] != "rests-on-open-questions" for row in sure["purchases"] for one in row["conditions"])


@pytest.mark.parametrize(
    ("said", "topic"),
    [
        ({"signs": ["grey", "cupping"]}, "cupping"),
        ({"signs": ["grey", "split"]}, "extent"),
        ({"old_coating": "unknown", "coating": "paint"}, "old-coating"),
    ],
)
def test_every_step_rests_on_what_may_turn_its_route(plan, said, topic):
    """Purchase, hours, bands and windows of a floor hang on its route; those of the floor beside it do not."""
    answer = plan({**MAIN, **said}, {**LOW, "coating": "clear-penetrating-oil"}, **WHOLE)
    every = [step for step in answer["steps"] if "result" in step and step["calculator"] not in ("area", "condition")]
    aside = {"preparation-low", "coverage-clear-penetrating-oil", "cure-windows-clear-penetrating-oil"}
    aside |= {step["id"] for step in every if step["calculator"] == "wipe-cadence" and "clear" in step["id"]}
    rests = {step["id"]: f"main-{topic}" in step.get("rests_on", ()) for step in every}
    assert {id for id, named in rests.items() if named} >= rests.keys() - aside - {"wash-low"}
    assert not [id for id in aside & rests.keys() if rests[id]]
    assert {"coverage", "abrasive-sequence"} <= {step["calculator"] for step in every}
    mine = "coverage-paint" if "coating" in said else "coverage-semi-transparent-oil-stain"
    (bought,) = [row for row in finishes(answer) if row["id"] == mine]
    assert f"main-{topic}" in bought["rests_on"]


def test_a_purchase_rests_on_the_questions_of_its_own_parts(plan):
    coat = {"coating": "clear-penetrating-oil"}
    answer = plan({**MAIN, **coat}, {**LOW, "old_coating": "unknown"})
    rests = {row["id"]: row.get("rests_on", []) for row in finishes(answer)}
    assert rests["coverage-clear-penetrating-oil"] == []
    assert "low-old-coating" in rests["coverage-semi-transparent-oil-stain"]


def test_the_shopping_list_names_what_is_open(lw):
    tree = {"schema": 1, "site": SITE, "defaults": {**CEDAR, "structure": "not-looked"}, "zones": [MAIN]}
    text = lw.plan_text(tree, Options())
    assert "answer the open questions first." in " ".join(text[text.index("TO BUY") :].split())


# What no machine may sand


def test_a_part_is_stopped_where_the_sanding_it_was_to_get_is_refused(plan):
    """CPSC guidance on arsenical wood: no sanding, and a penetrating finish on what is left as it is."""
    pine = {"species": "southern-yellow-pine", "treatment": "unknown"}
    site = {**SITE, "year_built": 1998}
    beside = plan(guards=[{**GUARD, **pine}], site=site)
    assert stopped(beside) == {("main/guards/south", "arsenic-not-sanded")}
    assert "guard" not in bought(beside)
    as_it_is = plan(guards=[{**GUARD, **pine, "surface": "weathered"}], site=site)
    assert as_it_is["stopped"] == []
    assert "guard" in bought(as_it_is)
    # Of a deck that is pine throughout nothing is sanded: washed by hand, its guard is coated like its floor.
    whole = plan(defaults={**CEDAR, **pine}, guards=[GUARD], site=site)
    assert whole["stopped"] == []
    assert {"field", "guard"} <= bought(whole)
    assert [one["severity"] for one in found(whole, "arsenic-not-sanded")] == ["danger"]


@pytest.mark.parametrize("sign", ["rot", "soft-spots", "insects"])
def test_a_rotten_member_is_replaced_before_it_is_coated(plan, sign):
    """Common practice, no source: how far it goes is found out first, for a board of the fascia as for the floor."""
    fascia = {"id": "rim", "zone": "main", "part": "fascia", "length": "10 ft", "size": "2x8", "structure": "sound"}
    answer = plan(extras=[{**fascia, "signs": ["grey", sign]}])
    assert stopped(answer) == {("main/extras/rim", "replace")}
    assert bought(answer) & {"field", "fascia"} == {"field"}
    assert "fascia" in bought(plan(extras=[{**fascia, "signs": ["grey", "split"]}]))
