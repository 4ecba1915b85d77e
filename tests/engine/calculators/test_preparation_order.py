"""What comes first on a floor: steel that stains, hollows no sander takes out, and drops on new treated wood."""

from __future__ import annotations

import pytest

from latewood.messages import in_english

IPE = {
    "area": "30 m2",
    "species": "ipe",
    "treatment": "none",
    "old_coating": "none",
    "signs": ["grey"],
    "coating": "clear-penetrating-oil",
    "crew": 2,
    "frame": {"material": "metal"},
}


@pytest.fixture
def found(run):
    def found(**given):
        return run("preparation", **{**IPE, **given})

    return found


def ids(ledger, severity=None):
    return {f.id for f in ledger.findings if severity in (None, f.severity)}


#: Steel that stains comes out first, slime is washed off, the wood sanded, black spots treated. Common practice.
@pytest.mark.parametrize("signs", [["grey", "algae", "iron-stain"], ["grey", "iron-stain"]])
@pytest.mark.parametrize("prefer", ["soonest", "least-work", "least-wood"])
def test_no_acid_goes_over_steel_that_stains(found, signs, prefer):
    result, _ = found(signs=signs, prefer=prefer)
    for route in result.routes:
        does = [step.does for step in route.steps]
        if route.id in ("sand", "wash-and-sand"):
            assert "neutralise" not in does
        if {"wash", "hand-wash", "neutralise"} & set(does):
            assert does[0] == "set-heads"
    chosen = next(route for route in result.routes if route.id == result.chosen)
    assert ("wash" in [step.does for step in chosen.steps]) >= ("algae" in signs)
    iron = next(sign for sign in result.signs if sign.id == "iron-stain")
    assert "only what stays black" in in_english(iron.message)
    clean = found(signs=["grey", "iron-stain"], fastening={"fastener_material": "stainless"})[0]
    assert all(step.does != "set-heads" for route in clean.routes for step in route.steps)


def test_hollows_too_deep_turn_the_route_to_one_that_does_not_sand(found):
    """From 3 mm the boards are turned or replaced; judgement, no source."""
    cupped = {"signs": ["grey", "cupping"], "underside_moisture": "13 %"}
    flat = found(**cupped, cup_depth="2.9 mm")[0]
    assert flat.chosen == "sand"
    result, ledger = found(**cupped, cup_depth="3 mm")
    assert result.chosen == "hand-wash"
    assert "cup-too-deep" in ids(ledger, "warning")
    for route in result.routes:
        assert any(why.id == "too-hollow-to-sand" for why in route.reasons) is (route.id != "hand-wash")
    cup = next(sign for sign in result.signs if sign.id == "cupping")
    assert (cup.effect, "turn or replace" in in_english(cup.message)) == (
        "repaired-first",
        True,
    )


def test_shallow_hollows_are_sanded_down_to_their_bottom(found):
    """2 mm of hollow and 1 mm above the heads, where 2.5 mm lie above them: they go deeper, or no disc goes there."""
    cupped = {
        "signs": ["grey", "cupping"],
        "underside_moisture": "13 %",
        "cup_depth": "2 mm",
        "fastener_cover": "2.5 mm",
    }
    result, _ = found(**cupped)
    assert "set-heads" in [step.does for step in next(r for r in result.routes if r.id == "sand").steps]
    for fastening in ({"heads_can_be_set": False}, {"fastener": "hidden-clip"}):
        held, _ = found(**cupped, fastening=fastening)
        assert next(r for r in held.routes if r.id == "sand").standing == "forbidden"
        assert held.chosen == "hand-wash"
        deep, _ = found(**{**cupped, "fastener_cover": "3.5 mm", "fastening": fastening})
        assert deep.chosen == "sand"


def test_new_treated_wood_is_asked_for_drops(found):
    """Water that beads keeps a finish out: wait, test again, then sand lightly. Common practice, no source."""
    pine = {"species": "southern-yellow-pine", "treatment": "copper", "treatment_evidence": "end-tag"}
    new = {**pine, "signs": [], "new_wood_age": "2 week", "year_built": 2025}
    silent, ledger = found(**new)
    assert "beading" in silent.rests_on
    assert "new-wood-untested" in ids(ledger, "warning")
    for beading, asked in (("beads", True), ("in-part", True), ("soaks-in", False)):
        result, ledger = found(**new, beading=beading)
        assert ("beading" in result.rests_on) is asked
        assert "new-wood-untested" not in ids(ledger)
    assert "beading" not in found(**{**new, "new_wood_age": "260 week"})[0].rests_on
