"""Every sign has an effect or a stated reason, in preparation and in condition, whatever covers the wood.

What each sign calls for is common practice, no source.
"""

from typing import get_args

import pytest

from latewood.messages import Style, clause, in_english, shipped
from latewood.rules.sign_meanings import MEANINGS
from latewood.rules.signs import FILM, Sign
from latewood.uncertainty import spread

SIGNS = get_args(Sign)
ROUTES = ("sand", "wash-and-sand", "strip-and-sand", "sand-off-film", "refresh", "hand-wash")
COVERED = {
    "bare": {"old_coating": "none"},
    "oil": {"old_coating": "clear-penetrating-oil", "beading": "in-part"},
    "film": {"old_coating": "solid-colour-stain"},
}
PINE = {
    "area": "20 m2",
    "species": "southern-yellow-pine",
    "treatment": "copper",
    "treatment_evidence": "end-tag",
    "frame": {"material": "metal"},
    "year_built": 2015,
    "jurisdiction": "US-GA",
    "coating": "semi-transparent-oil-stain",
    "temperature": "20 degC",
    "relative_humidity": "60 %",
    "crew": 2,
}
#: What stands before any route.
STOPPING = {"rot", "soft-spots", "insects", "sagging", "water-under"}
#: What a light pass over the old coat does not do.
NOT_SCUFFED = {"grey", "raised-grain", "splinters", "cupping", "furrows", "furred", "worn-tracks", "algae", *FILM}
CLEANED = {"algae", "mildew", "iron-stain", "extractive-bleed"}


@pytest.fixture
def prepared(run):
    def prepared(**given):
        result, ledger = run("preparation", **{**PINE, **given})
        return result, {row.id: row for row in result.routes}, {f.id for f in ledger.findings}

    return prepared


def label(sign):
    return shipped().speaker(Style()).word("sign", sign)


def test_every_sign_has_its_meaning():
    assert list(MEANINGS) == list(SIGNS)
    assert all(in_english(clause(meaning.look)).endswith(".") for meaning in MEANINGS.values())


@pytest.mark.parametrize("covered", COVERED)
@pytest.mark.parametrize("sign", SIGNS)
def test_every_sign_has_an_effect_on_every_route(prepared, sign, covered):
    """All signs, routes and coverings: something comes of each, and it is not that nothing was seen."""
    for route in ROUTES:
        result, rows, _ = prepared(**COVERED[covered], signs=[sign], route=route)
        (found,) = result.signs
        assert (found.id, bool(found.message)) == (sign, True)
        kinds = [step.does for step in rows[route].steps]
        if sign in STOPPING:
            assert found.effect == "stops"
            assert {row.standing for row in rows.values()} == {"forbidden"}
            assert result.recommendation == "none"
        elif found.effect == "cleaned-first":
            # Steel that stains comes out before water reaches it.
            assert kinds[kinds[0] == "set-heads"] in ("wash", "hand-wash", "neutralise", "strip")
            assert rows[route].drying_time is not None
        elif found.effect == "sanded-off":
            assert "sand" in kinds
        elif found.effect == "stripped-off":
            assert "strip" in kinds
        else:
            assert found.effect in ("heads-first", "measured-first", "repaired-first", "stays")
        if found.effect == "stays":
            assert "sand" not in kinds or sign in FILM


@pytest.mark.parametrize("sign", SIGNS)
def test_no_sign_changes_nothing(prepared, sign):
    """Beside the same oiled floor without it: a standing, hours, days or a finding differ."""

    def answer(**given):
        _, rows, findings = prepared(**COVERED["oil"], **given)
        return findings, {
            name: (row.standing, len(row.steps), row.shadow_patches, tuple(row.damage_reasons))
            for name, row in rows.items()
        }

    assert answer(signs=[sign]) != answer(signs=[])


@pytest.mark.parametrize("sign", [s for s in SIGNS if s in NOT_SCUFFED])
def test_a_scuff_is_not_enough_where_a_sign_forbids_it(prepared, sign):
    result, rows, _ = prepared(**COVERED["oil"], signs=[sign])
    assert rows["refresh"].standing == "unsuitable"
    assert result.recommendation != "refresh"


def test_a_floor_without_signs_is_refreshed(prepared):
    assert prepared(**COVERED["oil"], signs=[])[0].recommendation == "refresh"


@pytest.mark.parametrize("sign", sorted(CLEANED - {"algae"}))
def test_what_is_not_sanded_off_is_cleaned_off_first_with_hours_and_days(prepared, sign):
    """On a refresh: an agent, its water, its hours, and the wait until the wood is dry again."""
    _, plain, _ = prepared(**COVERED["oil"], signs=[])
    _, rows, _ = prepared(**COVERED["oil"], signs=[sign])
    clean, before = rows["refresh"], plain["refresh"]
    assert clean.standing in ("possible", "recommended")
    assert next(step for step in clean.steps if step.does != "set-heads").agent is not None
    assert spread.central(clean.rinse_volume) > 0
    assert clean.ready_morning > before.ready_morning
    added = [step for step in clean.steps if step.agent is not None]
    assert spread.central(clean.work_time) - spread.central(before.work_time) > 0.99 * sum(
        spread.central(step.work_time) for step in added
    )


@pytest.mark.parametrize("route", ["sand", "sand-off-film", "refresh"])
def test_slime_is_washed_off_before_anything_else(prepared, route):
    covered = "film" if route == "sand-off-film" else "oil"
    _, rows, findings = prepared(**COVERED[covered], signs=["algae"])
    first = rows[route].steps[0]
    assert (first.id, first.agent.id) == ("clean-first", "detergent")
    assert rows[route].ready_morning > 1
    assert "seen-algae" in findings


def test_thin_mildew_goes_with_the_sanding(prepared):
    _, rows, findings = prepared(**COVERED["bare"], signs=["mildew"])
    assert [step.does for step in rows["sand"].steps] == ["sand", "vacuum"]
    assert "seen-mildew" in findings


@pytest.mark.parametrize(
    ("given", "stopped"),
    [
        ({"signs": ["rot"]}, True),
        ({"signs": ["rot"], "affected": "10 %"}, False),
        ({"signs": ["rot"], "affected": "40 %"}, True),
        ({"signs": ["cupping"], "underside_moisture": "30 %"}, True),
        ({"signs": ["cupping"], "underside_moisture": "15 %", "cup_depth": "1 mm"}, False),
        ({"signs": ["split"]}, False),
    ],
)
def test_what_stops_a_floor(prepared, engine, run, given, stopped):
    """25 % is the threshold of decay (Emmerich et al. 2020); a third of the boards is judgement."""
    result, _, findings = prepared(**COVERED["bare"], **given)
    assert (result.chosen == "none") is stopped
    assert ("no-route" in findings) is stopped
    _, ledger = run("preparation", **{**PINE, **COVERED["bare"], **given})
    cautions = {caution.id for caution in ledger.cautions(engine.shelf.records("caution").values())}
    assert ("structure-in-doubt" in cautions) is stopped


def test_cupping_is_measured_before_a_coat_is_refreshed(prepared):
    for more, standing in (
        ({}, "unsuitable"),
        ({"cup_depth": "1 mm"}, "unsuitable"),
        ({"cup_depth": "1 mm", "underside_moisture": "14 %"}, "recommended"),
        ({"cup_depth": "4 mm", "underside_moisture": "14 %"}, "unsuitable"),
    ):
        assert prepared(**COVERED["oil"], signs=["cupping"], **more)[1]["refresh"].standing == standing


# Condition


@pytest.mark.parametrize("covered", COVERED)
@pytest.mark.parametrize("part", ["boards", "frame", "ledger", "guard", "stair", "fascia", "lattice", "bench", "wall"])
def test_condition_lists_every_sign(run, part, covered):
    old = COVERED[covered]["old_coating"]
    for sign in SIGNS:
        for material in ("wood", "composite"):
            one = {"id": "it", "part": part, "material": material, "signs": [sign], "old_coating": old}
            row = run("condition", components=[one], year_built=2015, jurisdiction="US")[0].components[0]
            assert any(label(sign) in in_english(reason) for reason in row.reasons), (sign, material)
            assert clause("nothing-against") not in row.reasons


def test_nothing_stands_against_it_only_where_nothing_was_seen(run):
    one = {"id": "it", "part": "boards", "old_coating": "none", "treatment": "none", "treatment_evidence": "test"}
    row = run("condition", components=[one])[0].components[0]
    assert [in_english(reason) for reason in row.reasons] == ["not known yet: structure, wood"]
    frame = {"id": "under", "part": "frame", "material": "metal", "structure": "sound"}
    row = run("condition", components=[{**one, "species": "ipe"}, frame])[0].components[0]
    assert row.reasons == (clause("nothing-against"),)


# What cannot be seen stands against it all the same: common practice, no source.
@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"treatment": "arsenical"}, "the wood holds arsenic"),
        ({"species": "southern-yellow-pine"}, "arsenic is not ruled out"),
        ({"species": "ipe", "old_coating": "paint"}, "lead"),
        ({"species": "ipe", "old_coating": "paint", "lead_test": "found"}, "lead"),
    ],
)
def test_what_may_be_in_it_stands_against_it(run, said, words):
    for part in ("boards", "guard"):
        one = {"id": "it", "part": part, "old_coating": "none", **said}
        row = run("condition", components=[one], year_built=1970, jurisdiction="US-NY")[0].components[0]
        assert words in " ".join(map(in_english, row.reasons))
        assert not any("stands against it" in in_english(reason) for reason in row.reasons)


@pytest.mark.parametrize("treatment", ["creosote", "pentachlorophenol"])
def test_no_coat_is_spoken_of_where_no_work_is_planned(run, treatment):
    one = {"id": "it", "part": "boards", "signs": ["grey"], "treatment": treatment}
    row = run("condition", components=[one])[0].components[0]
    assert row.gate == "stop-hazard"
    assert not any("coat" in in_english(reason) for reason in row.reasons)


def test_rot_without_its_extent_stops_a_floor_in_condition_too(run):
    for affected, gate in ((None, "stop-structure"), ("10 %", "repair-some"), ("50 %", "replace")):
        one = {"id": "it", "part": "boards", "signs": ["rot"], "structure": "sound"}
        given = one if affected is None else {**one, "affected": affected}
        assert run("condition", components=[given])[0].components[0].gate == gate


def test_cupping_is_asked_about(run):
    one = {"id": "it", "part": "boards", "signs": ["cupping"]}
    asked = {question.topic for question in run("condition", components=[one])[0].questions}
    assert "cupping" in asked
    measured = {**one, "cup_depth": "1 mm", "underside_moisture": "14 %"}
    assert "cupping" not in {q.topic for q in run("condition", components=[measured])[0].questions}


# Abrasive-sequence


FLOOR = {"zone": "main", "part": "field", "area": "20 m2"}
SOUND = {"species": "ipe", "treatment": "none", "old_coating": "none", "coating": "clear-penetrating-oil"}


@pytest.mark.parametrize(
    ("signs", "like"), [(["grey"], "grey"), (["furred"], "raised-grain"), (["splinters"], "splintered"), ([], "grey")]
)
def test_signs_say_what_a_sander_meets(run, signs, like):
    by_sign, ledger = run("abrasive-sequence", **SOUND, area="20 m2", signs=signs)
    by_word, _ = run("abrasive-sequence", **SOUND, area="20 m2", condition=like)
    assert by_sign.rows[0].sequence == by_word.rows[0].sequence
    assert ("default-condition" in {f.id for f in ledger.findings}) is (not signs)
    on_face, _ = run("abrasive-sequence", **SOUND, faces=[{**FLOOR, "signs": signs}])
    assert on_face.rows[0].sequence == by_sign.rows[0].sequence


@pytest.mark.parametrize("sign", sorted(STOPPING))
def test_what_a_sign_stops_no_machine_sands(run, sign):
    faces = [{**FLOOR, "signs": [sign]}, {**FLOOR, "zone": "other"}]
    result, ledger = run("abrasive-sequence", **SOUND, faces=faces)
    assert [row.status for row in result.rows] == ["refused", "planned"]
    (said,) = [f for f in ledger.findings if f.id == "sign-stops"]
    assert (said.severity, said.pointer) == ("stop", "/faces/0/signs")


def test_a_film_that_is_seen_counts_in_the_sequence_too(run):
    """40 CFR 745: a film of before 1978 is not dry-sanded without shroud and HEPA."""
    given = {**SOUND, "area": "20 m2", "signs": ["film-peeling"], "year_built": 1960, "jurisdiction": "US"}
    result, ledger = run("abrasive-sequence", **given)
    assert result.rows[0].status == "refused"
    assert "lead-not-sanded" in {f.id for f in ledger.findings}


def test_what_signs_call_for_besides_is_said_in_the_sequence(run):
    _, ledger = run("abrasive-sequence", **SOUND, area="20 m2", signs=["mildew", "algae", "proud-fasteners"])
    assert {"seen-mildew", "seen-algae", "seen-proud-fasteners"} <= {f.id for f in ledger.findings}


# IRG/WP 99-50128: acids raise losses from arsenical wood.


@pytest.mark.parametrize("sign", ["iron-stain", "extractive-bleed"])
@pytest.mark.parametrize("over", [{"treatment": "arsenical"}, {"frame": {"treatment": "arsenical"}}])
def test_no_acid_is_advised_where_arsenic_is_not_ruled_out(prepared, run, sign, over):
    asked = {**COVERED["bare"], "signs": [sign], **over}
    for route in ROUTES:
        result, rows, _ = prepared(**asked, route=route)
        assert not any("oxalic" in in_english(one.message) for one in result.signs)
        assert {step.agent.id for row in rows.values() for step in row.steps if step.agent} <= {"detergent"}
    _, ledger = run("preparation", **{**PINE, **asked})
    assert not any("oxalic" in (line.note or "") for line in ledger.basis if line.path.startswith("input/signs/"))
    if "treatment" in over:
        one = {"id": "it", "part": "boards", "signs": [sign], **over}
        assert not any(
            "oxalic" in in_english(why) for why in run("condition", components=[one])[0].components[0].reasons
        )


# That a sander does not take deep hollows out, and that measured is not asked again: common practice, no source.
@pytest.mark.parametrize(("depth", "deep"), [("1 mm", False), ("6 mm", True)])
def test_hollows_that_were_measured_are_not_asked_for_again(run, depth, deep):
    asked = {"area": "20 m2", "species": "ipe", "old_coating": "none", "signs": ["cupping"]}
    measured = {"cup_depth": depth, "underside_moisture": "14 %"}
    assert "seen-cupping" in {one.id for one in run("preparation", **asked)[1].findings}
    found = {one.id for one in run("preparation", **asked, **measured)[1].findings}
    assert "seen-cupping" not in found
    assert ("cup-too-deep" in found) is deep
