"""Wash: solvent strippers are never mixed; bleach and peroxide, acid and caustic, acid and peroxide never meet."""

import pytest
from tests.engine.lead_tests import NO_LEAD

from latewood.problems import InputProblem

FILM = {"area": "20 m2", "species": "western-redcedar", "treatment": "none", "soil": ["film"], "old_coating": "paint"}
FILM |= {"year_built": 2019, "frame": {"material": "metal"}, **NO_LEAD}


@pytest.fixture
def wash(run, engine):
    def wash(**given):
        result, ledger = run("wash", **{**FILM, **given})
        shown = {c.id: c for c in ledger.cautions(engine.shelf.records("caution").values())}
        return result, {finding.id: finding for finding in ledger.findings}, shown

    return wash


@pytest.mark.parametrize(
    ("jurisdiction", "finding", "within", "words"),
    [
        # Regulation (EU) 276/2010, REACH Annex XVII entry 59: professional use on sites ended 2012-06-06.
        ("DE", "solvent-stripper-stop", "no", "6 June 2012"),
        ("FR", "solvent-stripper-stop", "no", "6 June 2012"),
        # Health and Safety Executive: trained and certified professionals only.
        ("GB", "solvent-stripper-not-planned", "unknown", "certificate of competence"),
        # 84 FR 11420 (read); 89 FR 39254, 40 CFR 751 subpart B (recalled).
        ("US-NY", "solvent-stripper-stop", "no", "28 April 2026"),
        # No rule is known here.
        ("BR", "solvent-stripper-not-planned", "unknown", "Ask the authority"),
        (None, "solvent-stripper-not-planned", "unknown", "Ask the authority"),
    ],
)
def test_dichloromethane_is_never_mixed_and_the_place_says_who_may_use_it(wash, jurisdiction, finding, within, words):
    place = {} if jurisdiction is None else {"jurisdiction": jurisdiction}
    result, found, shown = wash(stages=[{"agent": "dichloromethane"}, {"agent": "oxalic-acid"}], **place)
    assert (result.verdict, result.stages, result.water_volume) == ("stop", (), None)
    assert found[finding].severity == "stop"
    assert found[finding].params["within"] == within
    assert words in found[finding].message
    assert shown["solvent-stripper"].severity == "danger"


#: Names of CAS 75-09-2, as 40 CFR part 751, subpart B, and safety data sheets write them.
@pytest.mark.parametrize(
    "said",
    [
        *("methylene chloride", "DCM", "Methylene dichloride", "Methylene-Chloride", "75-09-2", "CAS 75-09-2"),
        *("DCM stripper", "cloruro de metileno", "Chlorure de méthylène"),
    ],
)
def test_dichloromethane_is_stopped_by_each_of_its_names(wash, said):
    result, found, shown = wash(stages=[{"agent": said}], jurisdiction="US-NY")
    assert (result.verdict, result.stages) == ("stop", ())
    assert found["solvent-stripper-stop"].params["agent"] == "dichloromethane"
    assert shown["solvent-stripper"].severity == "danger"


def test_what_is_no_name_of_it_is_unknown(wash):
    for said in ("DCM-free stripper", "washing soda"):
        with pytest.raises(InputProblem) as caught:
            wash(stages=[{"agent": said}])
        assert [(fault.pointer, fault.code) for fault in caught.value.faults] == [("/stages/0/agent", "unknown-id")]


def test_another_stripper_goes_with_the_caution_to_read_the_label(wash):
    result, _, shown = wash(stages=[{"agent": "hydroxide-stripper"}, {"agent": "oxalic-acid"}], jurisdiction="US-NY")
    assert result.verdict == "go"
    assert "Read the label" in shown["solvent-stripper"].do[0]
    result, _, shown = wash(soil=["dirt"], old_coating="none", stages=[{"agent": "detergent"}])
    assert result.verdict == "go"
    assert "solvent-stripper" not in shown


BLEACH, OXYGEN, SOAP = ({"agent": agent} for agent in ("hypochlorite", "percarbonate", "detergent"))
DIRT = {"soil": ["dirt", "mildew"], "old_coating": "none"}


# NaOCl + H2O2 = NaCl + H2O + O2, with heat; percarbonate sets peroxide free in water.
@pytest.mark.parametrize(
    "stages",
    [
        [{**BLEACH, "rinsed": False}, OXYGEN],
        [{**OXYGEN, "rinsed": False}, BLEACH],
        [{**BLEACH, "rinsed": False}, {**SOAP, "rinsed": False}, OXYGEN],
        [{**BLEACH, "mixed_with": ["peroxide"]}],
        [{**OXYGEN, "mixed_with": ["hypochlorite"]}],
        [{**SOAP, "mixed_with": ["peroxide", "hypochlorite"]}],
    ],
)
def test_bleach_left_in_before_percarbonate_stops(wash, stages):
    result, found, shown = wash(stages=stages, **DIRT)
    assert result.verdict == "stop"
    assert found["bleach-before-percarbonate"].severity == "stop"
    assert "bleach-before-percarbonate" in shown


@pytest.mark.parametrize("stages", [[BLEACH, OXYGEN], [{**BLEACH, "rinsed": False}, SOAP, OXYGEN]])
def test_bleach_that_is_rinsed_off_goes_with_the_caution(wash, stages):
    result, found, shown = wash(stages=stages, **DIRT)
    assert result.verdict == "go"
    assert "bleach-before-percarbonate" not in found
    assert "bleach-before-percarbonate" in shown


@pytest.mark.parametrize("stages", [[BLEACH], [OXYGEN], [{**BLEACH, "rinsed": False}, SOAP]])
def test_one_of_them_is_no_clash(wash, stages):
    result, found, shown = wash(stages=stages, **DIRT)
    assert result.verdict == "go"
    assert "bleach-before-percarbonate" not in {*found, *shown}


CAUSTIC, ACID, CITRIC = ({"agent": agent} for agent in ("hydroxide-stripper", "oxalic-acid", "citric-acid"))


# International Chemical Safety Card 0360 (recalled): sodium hydroxide reacts violently with acids. Spatter, and that a
# wet film between does not rinse: common practice, no source.
@pytest.mark.parametrize(
    ("stages", "pointer"),
    [
        ([{**CAUSTIC, "mixed_with": ["acid"]}], "/stages/0/mixed_with"),
        ([{**CAUSTIC, "rinsed": False}, ACID], "/stages/0/rinsed"),
        ([{**CAUSTIC, "rinsed": False}, CITRIC], "/stages/0/rinsed"),
        ([{**ACID, "rinsed": False}, CAUSTIC], "/stages/0/rinsed"),
        ([{**CAUSTIC, "rinsed": False}, {**SOAP, "rinsed": False}, ACID], "/stages/0/rinsed"),
        ([{**CAUSTIC, "rinsed": False}, {**SOAP, "mixed_with": ["acid"]}], "/stages/0/rinsed"),
    ],
)
def test_acid_and_caustic_that_meet_stop(run, stages, pointer):
    result, ledger = run("wash", **FILM, stages=stages)
    assert (result.verdict, result.stages) == ("stop", ())
    found = [(finding.severity, finding.pointer) for finding in ledger.findings if finding.id == "acid-and-caustic"]
    assert found == [("stop", pointer)]


@pytest.mark.parametrize("stages", [[CAUSTIC, ACID], [{**CAUSTIC, "rinsed": True}, CITRIC], [CAUSTIC]])
def test_caustic_that_is_rinsed_off_is_neutralised_by_an_acid(wash, stages):
    result, found, _ = wash(stages=stages)
    assert result.verdict == "go"
    assert "acid-and-caustic" not in found


# Acid sets carbonic gas and peroxide free from percarbonate, and makes peroxyacids: common practice, no source.
@pytest.mark.parametrize(
    "stage",
    [
        {**ACID, "mixed_with": ["peroxide"]},
        {**OXYGEN, "mixed_with": ["acid"]},
        {**SOAP, "mixed_with": ["acid", "peroxide"]},
    ],
)
def test_acid_and_peroxide_are_never_mixed(wash, stage):
    result, found, _ = wash(stages=[stage], **DIRT)
    assert result.verdict == "stop"
    assert found["acid-and-peroxide"].severity == "stop"
    assert wash(stages=[OXYGEN, ACID], **DIRT)[0].verdict == "go"


# H2O2 breaks down in strong alkali, with heat; acids neutralise ammonia, with heat: common practice, no source.
@pytest.mark.parametrize(
    ("first", "then", "id"),
    [
        (OXYGEN, ACID, "acid-and-peroxide"),
        (ACID, OXYGEN, "acid-and-peroxide"),
        (OXYGEN, CITRIC, "acid-and-peroxide"),
        ({**SOAP, "mixed_with": ["acid"]}, {**SOAP, "mixed_with": ["ammonia"]}, "acid-and-ammonia"),
        (CAUSTIC, {**SOAP, "mixed_with": ["peroxide"]}, "caustic-and-peroxide"),
        ({**SOAP, "mixed_with": ["peroxide"]}, CAUSTIC, "caustic-and-peroxide"),
    ],
)
def test_what_must_not_be_mixed_does_not_follow_unrinsed(run, first, then, id):
    result, ledger = run("wash", **FILM, stages=[{**first, "rinsed": False}, then])
    assert result.verdict == "stop"
    assert [(f.severity, f.pointer) for f in ledger.findings if f.id == id] == [("stop", "/stages/0/rinsed")]
    assert id not in {f.id for f in run("wash", **FILM, stages=[{**first, "rinsed": True}, then])[1].findings}


@pytest.mark.parametrize(
    ("stage", "id"),
    [
        ({**SOAP, "mixed_with": ["acid", "ammonia"]}, "acid-and-ammonia"),
        ({**ACID, "mixed_with": ["ammonia"]}, "acid-and-ammonia"),
        ({**CAUSTIC, "mixed_with": ["peroxide"]}, "caustic-and-peroxide"),
    ],
)
def test_what_boils_or_foams_is_never_mixed(run, stage, id):
    result, ledger = run("wash", **FILM, stages=[stage])
    assert result.verdict == "stop"
    assert [(f.severity, f.pointer) for f in ledger.findings if f.id == id] == [("stop", "/stages/0/mixed_with")]


# NaOCl and ammonia give off chloramines; NaOCl and hydrogen peroxide give off oxygen with heat.
@pytest.mark.parametrize(
    ("first", "then", "id"),
    [
        ("hypochlorite", "ammonia", "hypochlorite-not-rinsed"),
        ("hypochlorite", "peroxide", "bleach-before-percarbonate"),
    ],
)
def test_what_clashes_in_two_mixes_of_one_agent_is_named(wash, first, then, id):
    stages = [{**SOAP, "mixed_with": [first], "rinsed": False}, {**SOAP, "mixed_with": [then]}]
    result, found, _ = wash(stages=stages, **DIRT)
    assert result.verdict == "stop"
    said = f"Mild neutral detergent with {then} in it must not follow Mild neutral detergent with {first} in it"
    assert found[id].message.startswith(said)
