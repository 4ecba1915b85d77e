"""Sequences by zone and part, held against what a master of the trade insists on. Vectors stand in the checks."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bundled import bundled
from tests.engine.by_hand.case import between, draws

from latewood.messages import in_english
from latewood.problems import InputProblem
from latewood.uncertainty import spread

USUAL = [{"grade": id} for id in ("p40", "p60", "p80", "p100", "p120", "p150", "p180", "p220")]
IPE = {"species": "ipe", "coating": "clear-penetrating-oil", "condition": "grey", "treatment": "none"}
PINE = {
    "species": "southern-yellow-pine",
    "coating": "semi-transparent-oil-stain",
    "condition": "grey",
    "treatment": "none",
    "treatment_evidence": "test",
}


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def row(result, id="main-field"):
    [found] = [one for one in result.rows if one.id == id]
    return found


def face(part, **more):
    return {"zone": "main", "part": part, "area": "10 m2", **more}


def refused(run, **fields):
    with pytest.raises(InputProblem) as caught:
        run("abrasive-sequence", **fields)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def test_a_patch_that_leaves_no_grey_is_the_whole_sequence(run):
    """Common practice, no source: P120 can be enough on sound grey hardwood, and then one grade is the sequence."""
    result, ledger = run("abrasive-sequence", area="40 m2", patches=[{"grade": "p120", "grey_left": False}], **IPE)
    assert row(result).sequence == "p120"
    assert [step.passes for step in row(result).steps] == [1]
    assert row(result).worst_ratio is None
    assert "start-assumed" not in ids(ledger)
    # Two passes of the same patch take twice the time: the patch overrules the model.
    patches = [{"grade": "p120", "grey_left": False, "passes": 2}]
    twice, _ = run("abrasive-sequence", area="40 m2", patches=patches, **IPE)
    assert spread.value(row(twice).time) == pytest.approx(2 * spread.value(row(result).time))


def test_a_patch_that_leaves_grey_asks_for_the_next_coarser_trial(run):
    result, ledger = run("abrasive-sequence", area="40 m2", patches=[{"grade": "p120", "grey_left": True}], **IPE)
    assert row(result).trials == "p120, p80"
    assert row(result).next_trial == "p80"
    assert row(result).sequence == "p80"
    assert "start-assumed" in ids(ledger)


def test_the_finest_patch_that_did_it_counts_and_failures_only_without_one(run):
    patches = [{"grade": id, "grey_left": left} for id, left in (("p120", True), ("p80", False), ("p60", False))]
    result, _ = run("abrasive-sequence", area="40 m2", patches=patches, **IPE)
    assert row(result).sequence == "p80"


def test_a_grade_asked_for_goes_first_but_not_past_a_patch_that_failed(run):
    patches = [{"grade": "p80", "grey_left": True}]
    result, ledger = run("abrasive-sequence", first_grade="p80", patches=patches, **IPE)
    assert row(result).sequence == "p80"
    assert "first-grade-failed" in ids(ledger)
    result, ledger = run("abrasive-sequence", first_grade="p60", patches=patches, **IPE)
    assert row(result).sequence == "p60, p80"
    assert "first-grade-failed" not in ids(ledger)


def test_a_patch_that_nothing_at_hand_betters_is_no_sequence(run):
    """Coating over left grey is never the answer: fetch a coarser grade."""
    patches = [{"grade": "p60", "grey_left": True}]
    result, ledger = run("abrasive-sequence", stock=[{"grade": "p60"}, {"grade": "p80"}], patches=patches, **PINE)
    assert row(result).status == "impossible"
    assert row(result).fetch == "p50"
    assert {"patch-not-enough", "grade-to-fetch"} <= ids(ledger)


def test_a_patch_of_one_zone_says_nothing_of_another(run):
    faces = [face("field"), {**face("field"), "zone": "north"}]
    patches = [{"zone": "north", "grade": "p120", "grey_left": False}]
    result, ledger = run("abrasive-sequence", faces=faces, patches=patches, **IPE)
    assert (row(result).sequence, row(result, "north-field").sequence) == ("p80", "p120")
    # One plane, two last grades: a halo.
    assert "edge-halo" in ids(ledger)


def test_a_patch_with_another_machine_is_said(run):
    patches = [{"grade": "p120", "grey_left": False, "machine": "geared-orbit-150"}]
    _, ledger = run("abrasive-sequence", patches=patches, **IPE)
    assert "patch-other-machine" in ids(ledger)


def test_without_a_patch_the_table_is_an_assumption(run):
    """Softwood: bare grey P60; splintered P36 to P40. Hand rails P80 to P100, boards P60 to P80 (a household guide)."""
    result, ledger = run("abrasive-sequence", faces=[face("field"), face("guard", item="south")], **PINE)
    assert row(result).sequence == "p60, p80"
    assert row(result, "main-guard-south").sequence.endswith("p100")
    assert row(result).next_trial == row(result).trials.split(", ")[0]
    assert "start-assumed" in ids(ledger)
    worn, _ = run("abrasive-sequence", **{**PINE, "condition": "splintered"})
    assert row(worn).sequence.split(", ")[0] in {"p36", "p40"}


def test_how_to_try_is_told_until_somebody_has(run):
    """Production never goes finer to coarser; a trial does, and is told in order. Common practice, no source."""
    result, _ = run("abrasive-sequence", **PINE)
    assert [step.id for step in result.protocol] == [str(place) for place in range(1, len(result.protocol) + 1)]
    assert "hidden" in in_english(result.protocol[0].message)
    tried, _ = run("abrasive-sequence", patches=[{"grade": "p80", "grey_left": False}], **PINE)
    assert tried.protocol == ()


def test_perimeter_ends_as_its_field_does(run):
    faces = [face("perimeter", length="20 m"), face("field")]
    result, ledger = run(
        "abrasive-sequence", faces=faces, patches=[{"part": "field", "grade": "p120", "grey_left": False}], **IPE
    )
    assert [one.id for one in result.rows] == ["main-perimeter", "main-field"]
    assert row(result, "main-perimeter").sequence.split(", ")[-1] == "p120"
    assert "edge-halo" not in ids(ledger)


def test_another_last_grade_or_another_pattern_in_one_plane_shows(run):
    faces = [face("field"), face("perimeter", length="20 m")]
    _, ledger = run("abrasive-sequence", faces=faces, parts=[{"part": "perimeter", "last_grade": "p120"}], **PINE)
    assert "edge-halo" in ids(ledger)
    _, ledger = run("abrasive-sequence", faces=faces, parts=[{"part": "perimeter", "machine": "hand-block"}], **PINE)
    assert "edge-halo" in ids(ledger)
    _, ledger = run("abrasive-sequence", faces=faces, **PINE)
    assert "edge-halo" not in ids(ledger)


def test_stairs_are_never_finer_than_the_floor(run):
    faces = [face("field"), face("stair", item="steps", count=4)]
    parts = [{"part": "stair", "last_grade": "p120"}]
    result, ledger = run("abrasive-sequence", faces=faces, parts=parts, **PINE)
    assert row(result, "main-stair-steps").sequence.split(", ")[-1] == "p80"
    assert "stairs-finer" in ids(ledger)


def test_a_last_grade_too_fine_costs_uptake_and_life(run):
    """By hand: from P80 to P220, 201 to 68 um, a quarter of it half filled, at the rate of the coating."""
    result, ledger = run("abrasive-sequence", last_grade="p220", **PINE)
    assert "last-too-fine" in ids(ledger)
    rate = bundled().shelf.record("coating", PINE["coating"]).spreading["sanded"]["high"].si
    expected = 1 - 0.25 * (201e-6 - 68e-6) * rate / 2
    assert spread.value(row(result).uptake) == pytest.approx(expected)
    assert spread.value(row(result).relative_life) < spread.value(row(result).uptake) < 1
    coarse, ledger = run("abrasive-sequence", last_grade="p80", **PINE)
    assert spread.value(row(coarse).uptake) == pytest.approx(1)
    assert "last-too-fine" not in ids(ledger)


@pytest.mark.parametrize("last", ["p150", "p600", "p1500"])
def test_finer_than_p120_is_said_of_every_penetrating_floor(run, last):
    """Grades from P40 to P1500 are on the market: all are taken as stock."""
    for wood in (IPE, PINE):
        _, ledger = run("abrasive-sequence", last_grade=last, **wood)
        assert "last-too-fine" in ids(ledger)


def test_a_film_may_end_finer_and_takes_no_more_for_it(run):
    result, ledger = run("abrasive-sequence", **{**PINE, "coating": "solid-colour-stain"})
    assert row(result).sequence.endswith("p100")
    assert row(result).uptake is None
    assert "last-too-fine" not in ids(ledger)


def test_the_other_practice_ends_finer(run):
    """Practitioners disagree where to end: 60 to 80, or 80 and then 120. Each is a record; the basis says which."""
    result, ledger = run("abrasive-sequence", practice="smooth-feel", **PINE)
    assert row(result).sequence.endswith("p120")
    assert "last-too-fine" not in ids(ledger)
    _, ledger = run("abrasive-sequence", **PINE)
    assert "input/practice" in {used.path for used in ledger.basis}


def test_grooves_refuse_a_flat_pad_and_nothing_else_does(run):
    faces = [face("field", profile="grooved"), face("guard", item="south")]
    result, ledger = run("abrasive-sequence", faces=faces, **PINE)
    assert (row(result).status, row(result, "main-guard-south").status) == ("refused", "planned")
    [finding] = [finding for finding in ledger.findings if finding.id == "grooved-face"]
    assert finding.severity == "stop"
    shaped, ledger = run(
        "abrasive-sequence", profile="grooved", parts=[{"part": "field", "machine": "profile-linear"}], **PINE
    )
    assert row(shaped).status == "planned"
    assert "no-pace" not in ids(ledger), "there is no area to take a time for"


def test_holes_that_do_not_match_cost_life(run):
    def discs(**disc):
        stock = [{"grade": id, "diameter": "150 mm", **disc} for id in ("p60", "p80")]
        result, ledger = run("abrasive-sequence", area="40 m2", stock=stock, **PINE)
        return sum(disc.typical_count for disc in result.abrasives), "holes-do-not-match" in ids(ledger)

    matching, said = discs(disc_holes=15)
    assert not said
    assert discs(disc_holes=6)[1]
    # Half to four fifths of the life, so a quarter more discs to twice as many.
    assert 1.25 <= discs(disc_holes=6)[0] / matching <= 2.1
    assert discs(disc_holes=0, net=True) == (matching, False)


def test_discs_of_another_size_do_not_go_on_the_pad(run):
    stock = [{"grade": "p60", "diameter": "125 mm"}, {"grade": "p80", "diameter": "150 mm"}]
    result, _ = run("abrasive-sequence", stock=stock, first_grade="p60", **PINE)
    assert (row(result).status, row(result).fetch) == ("impossible", "p60")


def test_a_larger_pad_lasts_and_gains_by_its_size(run):
    """Pads of 125 and 150 mm: width 1.20, area 1.44 times; the gain in pace lies between."""
    times = [
        spread.value(
            row(run("abrasive-sequence", area="40 m2", parts=[{"part": "field", "machine": id}], **PINE)[0]).time
        )
        for id in ("random-orbit-125", "random-orbit-150")
    ]
    assert 1.20 < times[0] / times[1] < 1.44


def test_at_hand_are_not_bought_again(run):
    stock = [{"grade": "p60"}, {"grade": "p80", "at_hand": 5}]
    result, _ = run("abrasive-sequence", area="40 m2", stock=stock, **PINE)
    by_grade = {disc.abrasive: disc for disc in result.abrasives}
    assert (by_grade["p60"].at_hand, by_grade["p80"].at_hand) == (0, 5)
    assert all(disc.to_buy == disc.count - disc.at_hand for disc in result.abrasives)
    assert all(disc.typical_count <= disc.count for disc in result.abrasives)


def test_wear_as_measured_counts_discs_by_time(run):
    """10 ln 3 = 10.986 min to a disc, by the worked example; a disc that never gets so slow is one disc."""
    wear = {"steady": "40 %", "falling": "60 %", "wear_rate": "0.1 1/min", "change_at": "60 %"}
    result, _ = run("abrasive-sequence", area="40 m2", wear=wear, **PINE)
    minutes = spread.value(row(result).time) / 60
    assert sum(disc.typical_count for disc in result.abrasives) == -int(-minutes // 10.986)
    result, ledger = run("abrasive-sequence", area="40 m2", wear={**wear, "change_at": "40 %"}, **PINE)
    assert [disc.count for disc in result.abrasives] == [1, 1]
    assert "disc-never-slow" in ids(ledger)


def test_pressing_hard_changes_no_number(run):
    plain, _ = run("abrasive-sequence", area="40 m2", **PINE)
    pressed, ledger = run("abrasive-sequence", area="40 m2", pressing="hard", **PINE)
    assert [step.passes for step in row(pressed).steps] == [step.passes for step in row(plain).steps]
    assert spread.value(pressed.time) == spread.value(plain.time)
    assert "pressing-does-not-help" in ids(ledger)


def test_half_the_speed_takes_twice_the_time(run):
    def time(speed):
        parts = [{"part": "field", "speed_fraction": speed}]
        return run("abrasive-sequence", area="40 m2", parts=parts, **PINE)

    (slow, _), (usual, _), (fast, ledger) = time("30 %"), time("60 %"), time("100 %")
    assert spread.value(slow.time) == pytest.approx(2 * spread.value(usual.time))
    assert spread.value(fast.time) < spread.value(usual.time)
    assert "speed-high" in ids(ledger)


def test_dense_wood_takes_longer_and_is_sanded_less_deep(run):
    pine, ipe = (run("abrasive-sequence", area="40 m2", **wood)[0] for wood in (PINE, IPE))
    assert spread.value(ipe.removal) < spread.value(pine.removal)
    assert spread.value(row(ipe).steps[0].per_pass) < spread.value(row(pine).steps[0].per_pass)


def test_flattening_is_a_choice_of_its_own(run):
    grey, flat = (run("abrasive-sequence", flattening=depth, **PINE)[0] for depth in ("0 mm", "0.5 mm"))
    assert spread.value(row(flat).layer) - spread.value(row(grey).layer) == pytest.approx(0.5e-3)


def test_a_measured_layer_counts_as_it_is(run):
    result, ledger = run("abrasive-sequence", layer="250 um", first_grade="p60", last_grade="p80", **PINE)
    # 250 um, and a quarter of 269 um for the scratches of P60.
    assert spread.value(result.removal) == pytest.approx(250e-6 + 0.25 * 269e-6)
    assert "input/layer" in {used.path for used in ledger.basis}


def test_bare_years_need_a_table_of_the_species(run):
    known, _ = run("abrasive-sequence", years_bare=8, **{**PINE, "species": "douglas-fir"})
    later, _ = run("abrasive-sequence", years_bare=40, **{**PINE, "species": "douglas-fir"})
    last, _ = run("abrasive-sequence", years_bare=16, **{**PINE, "species": "douglas-fir"})
    assert spread.value(row(known).layer) < spread.value(row(last).layer) == spread.value(row(later).layer)
    _, ledger = run("abrasive-sequence", years_bare=8, **IPE)
    assert "no-erosion-table" in ids(ledger)


GAPS = [face("field", area="40 m2"), face("gap-faces", length="280 m")]


@pytest.mark.parametrize(
    ("treatment", "passes", "hours"),
    # Common practice and judgement: ease 35 m/h on each edge, shaped pad 40 m/h, by hand 10 m/h.
    [("none", 0, None), ("clean-only", 0, None), ("ease-edges", 2, 16), ("machine-profile", 1, 7), ("hand", 1, 28)],
)
def test_gap_treatments(run, treatment, passes, hours):
    [gaps] = run("abrasive-sequence", faces=GAPS, gap_treatment=treatment, **IPE)[0].gaps
    assert (gaps.id, gaps.passes) == (treatment, passes)
    assert (gaps.time is None) == (hours is None)
    if hours is not None:
        assert spread.value(gaps.time) / 3600 == pytest.approx(hours)
    assert (gaps.cleaning == "none") == (treatment == "none")


def test_gaps_are_cleaned_only_unless_somebody_asks_for_more(run):
    result, _ = run("abrasive-sequence", faces=GAPS, **IPE)
    assert [gap.id for gap in result.gaps] == ["clean-only"]
    assert result.gaps[0].full_depth_time is None
    assert run("abrasive-sequence", area="40 m2", **IPE)[0].gaps == ()
    two, _ = run("abrasive-sequence", faces=GAPS, gap_treatment="machine-profile", gap_filled=False, **IPE)
    assert two.gaps[0].passes == 2


def test_zones_may_treat_their_gaps_apart(run):
    faces = [
        {**face, "zone": zone, **({"gap_treatment": treatment} if face["part"] == "gap-faces" else {})}
        for zone, treatment in (("main", "hand"), ("north", "clean-only"))
        for face in GAPS
    ]
    result, ledger = run("abrasive-sequence", faces=faces, **IPE)
    assert [(gap.id, gap.length) for gap in result.gaps] == [("hand", 280), ("clean-only", 280)]
    assert [gap.time is None for gap in result.gaps] == [False, True]
    assert "input/gap_treatment" not in {used.path for used in ledger.basis}


def test_full_depth_is_a_line_of_its_own(run):
    plain, _ = run("abrasive-sequence", faces=GAPS, gap_treatment="machine-profile", gap_filled=True, **IPE)
    deep, _ = run(
        "abrasive-sequence", faces=GAPS, gap_treatment="machine-profile", gap_filled=True, gap_scope="full-depth", **IPE
    )
    assert spread.value(deep.gaps[0].time) == spread.value(plain.gaps[0].time)
    assert spread.value(deep.gaps[0].full_depth_time) / 3600 == pytest.approx(28)
    _, ledger = run("abrasive-sequence", faces=GAPS, gap_scope="full-depth", **IPE)
    assert "gap-scope-without-work" in ids(ledger)


@pytest.mark.parametrize(
    ("more", "cleaning"),
    [
        ({"downwind_clear": True}, "blow"),
        ({}, "rake-and-vacuum"),
        ({"downwind_clear": False}, "rake-and-vacuum"),
        ({"downwind_clear": True, "treatment": "unknown"}, "rake-and-vacuum"),
        ({"downwind_clear": True, "treatment": "arsenical"}, "rake-and-vacuum"),
        ({"downwind_clear": True, "old_coating": "unknown"}, "rake-and-vacuum"),
        ({"downwind_clear": True, "old_coating": "paint", "year_built": 1990, "jurisdiction": "US-GA"}, "blow"),
    ],
)
def test_gaps_are_blown_only_where_it_harms_nobody(run, more, cleaning):
    """Only before sanding, only with lead and arsenic ruled out, only with nobody downwind."""
    assert run("abrasive-sequence", faces=GAPS, **{**IPE, **more})[0].gaps[0].cleaning == cleaning


def test_packed_gaps_are_raked(run):
    loose, packed = (
        run("abrasive-sequence", faces=GAPS, packed_gaps=share, **IPE)[0].gaps[0].cleaning_time
        for share in ("0 %", "50 %")
    )
    # Common practice: 60 m/h by hand.
    assert (spread.central(packed) - spread.central(loose)) / 3600 == pytest.approx(140 / 60)


def test_gap_faces_without_their_length_are_said(run):
    result, ledger = run("abrasive-sequence", faces=[face("gap-faces")], gap_treatment="hand", **IPE)
    assert "gap-length-missing" in ids(ledger)
    assert result.rows == ()


@pytest.mark.parametrize(
    ("more", "finding", "severity"),
    [
        ({"old_coating": "paint"}, "lead-not-sanded", "stop"),
        ({"treatment": "arsenical"}, "arsenic-not-sanded", "stop"),
        ({"treatment": "unknown", "treatment_evidence": None}, "arsenic-not-sanded", "stop"),
        ({"treatment": "creosote"}, "creosote-stop", "stop"),
        ({"treatment": "pentachlorophenol"}, "pentachlorophenol-stop", "stop"),
    ],
)
def test_hazards_stop_the_machine(run, engine, more, finding, severity):
    asked = {name: value for name, value in {**PINE, **more}.items() if value is not None}
    result, ledger = run("abrasive-sequence", area="40 m2", **asked)
    assert [one.status for one in result.rows] == ["refused"]
    assert (result.abrasives, result.time, result.dust_mass, result.removal) == ((), None, None, None)
    assert [f.severity for f in ledger.findings if f.id == finding] == [severity]
    assert ledger.cautions(engine.shelf.records("caution").values())


def test_sanding_an_oiled_deck_makes_dust_that_heats_itself(run, engine):
    _, ledger = run("abrasive-sequence", area="40 m2", old_coating="clear-penetrating-oil", **IPE)
    assert "self-heating-waste" in {c.id for c in ledger.cautions(engine.shelf.records("caution").values())}


def test_a_film_is_better_stripped_than_sanded(run):
    site = {"year_built": 1995, "jurisdiction": "US-GA"}
    result, ledger = run("abrasive-sequence", area="40 m2", **{**PINE, "condition": "old-film"}, **site)
    assert row(result).sequence.split(", ")[0] in {"p24", "p36", "p40"}
    assert "strip-first" in ids(ledger)


def test_upright_parts_are_milder_than_the_floor(run):
    faces = [face("field"), face("guard", item="g"), face("guard", item="h", condition="raised-grain")]
    result, _ = run("abrasive-sequence", faces=faces, **{**PINE, "condition": "raised-grain"})
    layers = [spread.value(one.layer) for one in result.rows]
    assert layers[1] < layers[0] == layers[2]


def test_own_grades_take_part_by_their_size(run):
    stock = [{"grade": "p60"}, {"id": "net-a", "grain_size": "190 um"}]
    result, _ = run("abrasive-sequence", stock=stock, **PINE)
    assert row(result).sequence == "p60, net-a"
    [own] = [grade for grade in result.grades if grade.id == "net-a"]
    assert (own.system, own.fepa_p, own.cami) == ("other", "p80", "cami-80")
    mixed, _ = run("abrasive-sequence", stock=[{"grade": "cami-60"}, {"grade": "cami-80"}], **PINE)
    assert row(mixed).sequence == "cami-60, cami-80"


def test_amounts_that_are_not_known_are_left_out(run):
    result, _ = run("abrasive-sequence", **PINE)
    assert (result.time, result.dust_mass, result.vacuum_time, result.abrasives) == (None, None, None, ())
    faces = [face("perimeter"), face("stair", item="s")]
    result, _ = run("abrasive-sequence", faces=faces, **PINE)
    assert {one.time for one in result.rows} == {None}
    assert all(one.dust_mass is not None for one in result.rows)


def test_a_machine_without_a_pace_is_said(run):
    result, ledger = run("abrasive-sequence", area="40 m2", parts=[{"part": "field", "machine": "hand-block"}], **PINE)
    assert row(result).time is None
    assert "no-pace" in ids(ledger)


@pytest.mark.parametrize(
    ("fields", "pointer", "code"),
    [
        ({"area": "4 m2", "faces": [face("field")]}, "/faces", "conflict"),
        ({"faces": [face("field"), face("field")]}, "/faces/1", "repeated"),
        ({"first_grade": "p120", "last_grade": "p60"}, "/last_grade", "conflict"),
        ({"first_grade": "80"}, "/first_grade", "ambiguous"),
        ({"stock": [{"grade": "p60", "id": "x"}]}, "/stock/0", "conflict"),
        ({"stock": [{"id": "x"}]}, "/stock/0", "missing"),
        ({"stock": [{"id": "p60", "grain_size": "1 um"}]}, "/stock/0/id", "conflict"),
        (
            {"stock": [{"id": "x", "grain_size": "1 um"}, {"id": "x", "grain_size": "2 um"}]},
            "/stock/1/grain_size",
            "conflict",
        ),
        ({"parts": [{"part": "field"}, {"part": "field"}]}, "/parts/0", "repeated"),
        ({"patches": [{"zone": "north", "grade": "p80", "grey_left": True}]}, "/patches/0/zone", "unknown-id"),
        (
            {"wear": {"steady": "50 %", "falling": "60 %", "wear_rate": "1 1/min", "change_at": "60 %"}},
            "/wear/falling",
            "conflict",
        ),
    ],
)
def test_what_cannot_be_meant_is_refused(run, fields, pointer, code):
    assert (pointer, code) in refused(run, **{**PINE, **fields})


GRAIN = bundled().shelf.records("abrasive")
GRADES = ["p24", "p36", "p40", "p50", "p60", "p80", "p100", "p120", "p150"]
quick = settings(max_examples=40, deadline=None)


@quick
@given(
    stock=st.sets(st.sampled_from(GRADES), min_size=1),
    condition=st.sampled_from(["faded-oil", "grey", "raised-grain", "splintered", "old-film"]),
    species=st.sampled_from(["ipe", "douglas-fir", "western-redcedar", "teak"]),
)
def test_every_sequence_runs_coarse_to_fine_in_steps_small_enough(run, stock, condition, species):
    asked = {"species": species, "condition": condition, "coating": "clear-penetrating-oil"}
    asked |= {"treatment": "none", "treatment_evidence": "test", "year_built": 2010, "jurisdiction": "US"}
    result, ledger = run("abrasive-sequence", stock=[{"grade": id} for id in sorted(stock)], **asked)
    sizes = {id: GRAIN[id].grain_size.si for id in row(result).sequence.split(", ") if id}
    order = [sizes[id] for id in row(result).sequence.split(", ") if id]
    assert order == sorted(order, reverse=True)
    assert all(a / b <= 1.75 * (1 + 1e-9) for a, b in pairwise(order))
    if row(result).status == "planned":
        assert set(sizes) <= stock
    else:
        assert row(result).fetch
        assert set(row(result).fetch.split(", ")).isdisjoint(stock)
        assert "grade-to-fetch" in ids(ledger)


def test_an_old_film_is_paced_for_the_film(engine):
    """Paces and lives over a film are stated for a usual film: at its depth, an hour does 3 m2 and a disc 0.8 m2.

    Grey of 100 to 200 µm is √(100·200) = 141.42 µm at 500 kg/m3, in cedar of 365 kg/m3 193.73 µm; a film of 80 to
    250 µm, √(80·250) = 141.42 µm, lies on any wood. So 335.15 µm take 40/3 = 13.33 h and 50 discs, twice the depth
    twice that. Hand-worked from judgement and common practice, no source.
    """
    site = {"year_built": 1995, "jurisdiction": "US-GA", "treatment": "none", "treatment_evidence": "test"}
    for times in (1, 2):
        answer = engine.calculate(
            "abrasive-sequence",
            area="40 m2",
            species="western-redcedar",
            coating="semi-transparent-oil-stain",
            condition="old-film",
            layer=f"{times * 335.15} um",
            first_grade="p36",
            last_grade="p36",
            **site,
        )
        [face] = answer["result"]["rows"]
        assert face["steps"][0]["time"]["value"] == pytest.approx(times * 40 / 3, rel=1e-3)
        [discs] = answer["result"]["abrasives"]
        assert discs["typical_count"] == pytest.approx(times * 50, abs=1)


def test_over_an_old_film_only_the_first_grade_clogs(engine):
    """The first grade takes the film off and wears as over film; the second works in bare wood, and lasts longer.

    At the depth its life is stated for, the first needs one disc for 0.3, 0.8 or 1.5 m2. The second has 0.7, 2 or 3 m2
    of softwood to a disc, times 1.5 to 2. Common practice, no source. Drawn by itself here, so a disc may differ.
    """
    answer = engine.calculate(
        "abrasive-sequence",
        area="40 m2",
        species="western-redcedar",
        coating="semi-transparent-oil-stain",
        condition="old-film",
        layer="335.15 um",
        first_grade="p36",
        last_grade="p40",
        year_built=1995,
        jurisdiction="US-GA",
        treatment="none",
        treatment_evidence="test",
    )
    worn = [40 / draws(1, 0.3, 0.8, 1.5), 40 / (draws(2, 0.7, 2, 3) * draws(3, *between(1.5, 2)))]
    own = [float(np.quantile(one, 0.5)) for one in worn]
    each = [one * float(np.quantile(sum(worn), 0.5)) / sum(own) for one in own]
    count = {row["abrasive"]: row["typical_count"] for row in answer["result"]["abrasives"]}
    assert count == {"p36": pytest.approx(each[0], abs=1.5), "p40": pytest.approx(each[1], abs=1.5)}
