"""What a sanding job may say that does not add up, or that nobody would do: each of it is said."""

import pytest

from latewood.uncertainty import spread

IPE = {"species": "ipe", "coating": "clear-penetrating-oil", "condition": "grey", "treatment": "none"}
FIELD = {"zone": "main", "part": "field", "area": "10 m2"}
EDGE = {"zone": "main", "part": "perimeter", "area": "2 m2", "length": "16 m"}
GAPS = {"zone": "main", "part": "gap-faces", "area": "13 m2", "length": "250 m"}


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def sequences(run, **job):
    result, ledger = run("abrasive-sequence", **{**IPE, **job})
    return {row.id: row.sequence for row in result.rows}, ledger, result


def patch(grade, grey, **more):
    return {"grade": grade, "grey_left": grey, **more}


@pytest.mark.parametrize(
    ("patches", "sequence", "disagree"),
    [
        # Common practice: P120 without grey is the whole sequence; with grey the next coarser trial follows.
        ([patch("p120", False)], "p120", False),
        ([patch("p120", True)], "p80", False),
        # A second pass that does what one did not is no contradiction; nor is a coarser grade that does.
        ([patch("p120", True), patch("p120", False, passes=3)], "p120", False),
        ([patch("p120", True), patch("p80", False)], "p80", False),
        # A deck weathers unevenly: the worse spot counts.
        ([patch("p120", False), patch("p120", True)], "p80", True),
        ([patch("p60", True), patch("p120", False)], "p50, p80", True),
        ([patch("p60", True), patch("p120", False), patch("p40", False)], "p40, p60, p80", True),
        # Two machines may well differ.
        (
            [
                patch("p120", False, machine="random-orbit-150"),
                patch("p120", True, machine="random-orbit-125"),
            ],
            "p120",
            False,
        ),
    ],
)
def test_patches_that_disagree(run, patches, sequence, disagree):
    found, ledger, _ = sequences(run, area="40 m2", patches=patches)
    assert found == {"main-field": sequence}
    assert ("patches-disagree" in ids(ledger)) is disagree


@pytest.mark.parametrize(
    ("job", "many"),
    [
        ({}, False),
        ({"layer": "5000 um"}, True),
        ({"flattening": "5 mm"}, True),
        ({"parts": [{"part": "field", "speed_fraction": "1 %"}]}, True),
        ({"patches": [patch("p120", False, passes=20)]}, True),
    ],
)
def test_nobody_goes_over_a_floor_so_often(run, job, many):
    _, ledger, result = sequences(run, area="40 m2", **job)
    assert ("many-passes" in ids(ledger)) is many
    assert (max(step.passes for row in result.rows for step in row.steps) > 5) is many


def test_a_pass_takes_its_time_however_little_comes_off(run):
    """A scuff through what is left of an oil is the least a pass is counted as."""
    layers = ("0 um", "1 um", "23.8 um")
    nothing, little, scuff = (sequences(run, area="40 m2", layer=layer)[2].time for layer in layers)
    assert 0 < spread.value(nothing) == pytest.approx(spread.value(little))
    assert spread.value(little) == pytest.approx(spread.value(scuff), rel=0.01)


def test_what_no_face_can_use_is_said(run):
    parts, patches = [{"part": "guard", "last_grade": "p120"}], [patch("p80", False, part="stair")]
    _, ledger, _ = sequences(run, faces=[FIELD], parts=parts, patches=patches)
    assert {"part-not-sanded", "patch-not-used"} <= ids(ledger)
    parts[0]["part"] = "field"
    _, ledger, _ = sequences(run, faces=[FIELD], parts=parts, patches=[patch("p80", False)])
    assert not {"part-not-sanded", "patch-not-used"} & ids(ledger)


def test_discs_of_another_size_are_no_stock_for_a_machine(run):
    """What lies there fits the large pad only; the message does not send for a grade that is in the box."""
    stock = [{"grade": grade, "diameter": "150 mm"} for grade in ("p60", "p80")]
    found, ledger, result = sequences(run, faces=[FIELD, EDGE], stock=stock)
    assert [row.status for row in result.rows] == ["planned", "impossible"]
    said = next(finding for finding in ledger.findings if finding.id == "grade-to-fetch")
    assert "of another size" in said.message
    assert found["main-field"] == found["main-perimeter"] == "p80"
    _, ledger, _ = sequences(run, faces=[FIELD], stock=[{"grade": "p1500"}])
    said = next(finding for finding in ledger.findings if finding.id == "grade-to-fetch")
    assert "of another size" not in said.message


@pytest.mark.parametrize(("years", "beyond"), [(16, False), (17, True), (100, True)])
def test_erosion_is_tabulated_for_sixteen_years(run, years, beyond):
    """Wood Handbook, FPL-GTR-190, Table 16-2: 4 to 16 years."""
    _, ledger, _ = sequences(run, area="40 m2", species="western-redcedar", years_bare=years)
    assert ("beyond-erosion-table" in ids(ledger)) is beyond


@pytest.mark.parametrize(("last", "said"), [("p24", True), ("p60", True), ("p80", False)])
def test_a_last_grade_too_coarse_is_said(run, last, said):
    """Dense hardwood before oil ends at 80 (a guide to oiling it)."""
    _, ledger, result = sequences(run, area="40 m2", last_grade=last)
    assert ("last-too-coarse" in ids(ledger)) is said
    assert (spread.value(result.rows[0].uptake) > 1.01) is said


def test_dirt_in_gaps_is_not_cleaned_in_no_time(run):
    _, ledger, result = sequences(run, faces=[GAPS])
    assert result.gaps[0].cleaning_time is None
    assert "gap-floor-missing" in ids(ledger)
    _, ledger, result = sequences(run, faces=[FIELD, GAPS])
    assert spread.value(result.gaps[0].cleaning_time) > 0
    assert "gap-floor-missing" not in ids(ledger)
