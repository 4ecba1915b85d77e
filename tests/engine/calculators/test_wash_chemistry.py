"""Chemicals on wood that may hold arsenic, and over a frame that may: detergent and water by hand is all there is.

IRG/WP 99-50128: washes with phosphoric, citric and oxalic acid raise losses from arsenical wood; strong oxidisers set
soluble hexavalent chromium free. Studies of 2001 and 2002: percarbonate does so too. Caustics: judgement.
"""

from __future__ import annotations

from typing import Any

import pytest

from latewood.messages import in_english
from latewood.uncertainty import spread

STOPS = {
    "citric-acid": "acid-on-arsenical",
    "oxalic-acid": "acid-on-arsenical",
    "percarbonate": "oxidiser-on-arsenical",
    "hypochlorite": "bleach-on-arsenical",
    "hydroxide-stripper": "caustic-on-arsenical",
    "detergent": None,
}
OLD = {"year_built": 1998, "jurisdiction": "US-NY"}
NEW = {"year_built": 2015, "jurisdiction": "US-NY"}
PINE = {"species": "southern-yellow-pine", "old_coating": "none"}
IPE = {"species": "ipe", "treatment": "none", "old_coating": "none"}
TAGGED = {"treatment": "copper", "treatment_evidence": "end-tag"}
#: Boards, frame and site of which the wash may set arsenic free, and of which it may not.
REACHED = [
    {**PINE, "treatment": "arsenical", **NEW},
    {**PINE, "treatment": "copper", **OLD},
    {**PINE, "treatment": "none", "treatment_evidence": "owner-says", **OLD},
    {**PINE, **TAGGED, **OLD},
    {**IPE, **OLD},
    {**IPE},
    {**IPE, **OLD, "frame": {"treatment": "copper"}},
    {**IPE, **OLD, "frame": {"treatment": "copper", "treatment_evidence": "owner-says"}},
    {**IPE, **NEW, "frame": {"treatment": "arsenical"}},
    # Australia: not in boards from 2007 on, in frames to this day.
    {**PINE, "year_built": 2015, "jurisdiction": "AU"},
]
FREE = [
    {**PINE, **TAGGED, **OLD, "frame": TAGGED},
    {**IPE, **OLD, "frame": {"material": "metal"}},
    {**IPE, **OLD, "frame": {"species": "western-redcedar"}},
    {**IPE, **OLD, "frame": {"treatment": "none", "treatment_evidence": "test"}},
    {**IPE, **NEW},
    {**PINE, **NEW},
]


def ids(ledger: Any, *severities: str) -> set[str]:
    return {f.id for f in ledger.findings if not severities or f.severity in severities}


@pytest.mark.parametrize("agent", STOPS)
@pytest.mark.parametrize("wood", REACHED)
def test_a_named_chemical_stops_where_it_sets_arsenic_free(run, agent, wood):
    result, ledger = run("wash", area="30 m2", stages=[{"agent": agent}], **wood)
    assert result.verdict == ("go" if STOPS[agent] is None else "stop")
    assert ids(ledger, "stop") == ({STOPS[agent]} if STOPS[agent] else set())
    if STOPS[agent]:
        assert (result.stages, result.water_volume, result.waste) == ((), None, ())


@pytest.mark.parametrize("agent", STOPS)
@pytest.mark.parametrize("wood", FREE)
def test_it_does_not_where_nothing_may_hold_arsenic(run, agent, wood):
    result, ledger = run("wash", area="30 m2", stages=[{"agent": agent}], **wood)
    assert result.verdict == "go"
    assert ids(ledger, "stop") == set()
    assert "people" not in {one.id for one in result.protection}


@pytest.mark.parametrize(
    ("mixed", "stop"),
    [
        ("acid", "acid-on-arsenical"),
        ("peroxide", "oxidiser-on-arsenical"),
        ("hypochlorite", "bleach-on-arsenical"),
        ("ammonia", "caustic-on-arsenical"),
        ("detergent", None),
    ],
)
def test_what_is_mixed_into_a_detergent_counts(run, mixed, stop):
    stage = {"agent": "detergent", "mixed_with": [mixed]}
    _, ledger = run("wash", area="30 m2", stages=[stage], **REACHED[0])
    assert ids(ledger, "stop") == ({stop} if stop else set())


@pytest.mark.parametrize("soil", [["grey", "dirt"], ["algae"], ["mildew", "iron-stain"], ["oil"]])
@pytest.mark.parametrize("wood", REACHED)
def test_unasked_it_is_detergent_and_water_by_hand(run, engine, wood, soil):
    result, ledger = run("wash", area="30 m2", soil=soil, **wood)
    assert result.verdict == "go"
    assert {stage.agent.id for stage in result.stages} <= {"detergent"}
    assert result.pressure_start is None
    assert result.pressure_ceiling is None
    (said,) = [f for f in ledger.findings if f.id == "detergent-by-hand"]
    assert said.severity == "danger"
    assert "children and pets" in said.message
    assert "run-off" in said.message
    protected = {one.id: one.message for one in result.protection}
    assert protected["people"].id == "protect-people"
    assert all(row.hazardous != "no" for row in result.waste)
    shown = {c.id for c in ledger.cautions(engine.shelf.records("caution").values())}
    assert "arsenical-treatment" in shown


@pytest.mark.parametrize("wood", REACHED)
def test_a_jet_stops(run, wood):
    """A published study: washing under pressure sets arsenic and chromium free (deckmagazine.com)."""
    result, ledger = run("wash", area="30 m2", pressure="400 psi", **wood)
    assert result.verdict == "stop"
    assert "pressure-on-arsenical" in ids(ledger, "stop")


def test_nothing_but_detergent_runs_over_creosote(run):
    frame = {"frame": {"treatment": "creosote"}}
    for agent, stop in STOPS.items():
        result, ledger = run("wash", area="30 m2", stages=[{"agent": agent}], **IPE, **NEW, **frame)
        assert (result.verdict == "stop") is (stop is not None)
        assert all(id.endswith("-over-frame") for id in ids(ledger, "stop"))
    assert run("wash", area="30 m2", pressure="400 psi", **IPE, **NEW, **frame)[0].verdict == "stop"
    result, ledger = run("wash", area="30 m2", **IPE, **NEW, **frame)
    assert [stage.agent.id for stage in result.stages] == ["detergent"]
    assert "no-work-on-frame" in ids(ledger, "danger")


@pytest.mark.parametrize("wood", REACHED)
def test_every_route_follows_the_same_rule(run, wood):
    """What preparation reckons is what wash mixes: one recipe, one prohibition."""
    result, _ = run("preparation", area="30 m2", **wood)
    rows = {row.id: row for row in result.routes}
    for row in rows.values():
        agents = {step.agent.id for step in row.steps if step.agent is not None}
        assert agents <= {"detergent"}, row.id
        assert not {step.does for step in row.steps} & {"wash", "strip", "neutralise"}
    assert rows["strip-and-sand"].standing == "forbidden"
    assert any("chromium" in in_english(reason) for reason in rows["strip-and-sand"].reasons)
    hand, _ = run("wash", area="30 m2", route="hand-wash", **wood)
    (step,) = [step for step in rows["hand-wash"].steps if step.agent is not None]
    assert spread.value(step.solution_volume) == pytest.approx(spread.value(hand.stages[0].solution_volume))


@pytest.mark.parametrize("soil", [["mildew", "iron-stain", "film"], ["grey"], ["mildew"], ["iron-stain"]])
@pytest.mark.parametrize("route", [None, "hand-wash"])
def test_wood_that_only_detergent_may_reach_is_scrubbed_with_it(run, soil, route):
    """Old wood has dirt on it, whatever else was named; what detergent leaves is said. Common practice, no source."""
    asked = {"route": route} if route else {}
    result, ledger = run("wash", area="30 m2", **REACHED[0], soil=soil, **asked)
    assert [stage.agent.id for stage in result.stages] == ["detergent"]
    assert result.wetting is not None
    found = {finding.id for finding in ledger.findings}
    assert "detergent-by-hand" in found
    assert ("soil-left" in found) is (soil != ["grey"] or route is None)


def test_a_wash_of_nothing_is_said(run):
    """A spot after sanding over a frame that no acid may reach has no agent left."""
    spot = {"area": "1 m2", "species": "ipe", "treatment": "none", "sanded": True, "spot": True, "soil": ["iron-stain"]}
    result, ledger = run("wash", **spot)
    assert (result.stages, result.wetting, result.waste) == ((), None, ())
    found = {finding.id for finding in ledger.findings}
    assert {"nothing-to-wash", "soil-left"} <= found
    assert "detergent-by-hand" not in found


@pytest.mark.parametrize("pressure", [None, "400 psi"])
def test_what_is_scrubbed_by_hand_gets_no_jet(run, pressure):
    """Where a jet would do, another route is taken. Common practice, no source."""
    given = {
        "area": "30 m2",
        "species": "ipe",
        "treatment": "none",
        "frame": {"material": "metal"},
        "route": "hand-wash",
    }
    result, ledger = run("wash", **given, **({"pressure": pressure} if pressure else {}))
    assert result.stages
    assert (result.pressure_start, result.pressure_ceiling, result.fan_angle, result.standoff) == (None,) * 4
    (said,) = [finding for finding in ledger.findings if finding.id == "rinse-by-hose"]
    assert said.severity == ("warning" if pressure else "note")


def test_what_the_wash_leaves_is_not_called_cleaned(run):
    signs = ["mildew", "iron-stain", "algae"]
    result, _ = run("preparation", area="30 m2", **REACHED[0], signs=signs, route="hand-wash")
    assert {one.id: one.effect for one in result.signs} == {
        "mildew": "stays",
        "iron-stain": "stays",
        "algae": "cleaned-first",
    }


def test_a_suspected_frame_does_not_keep_the_sander_off(run):
    """Rinse water runs over the frame; sanding the boards does not reach it."""
    result, _ = run("preparation", area="30 m2", **IPE, **OLD, signs=["grey"])
    assert result.arsenical == "no"
    assert result.recommendation == "sand"
    rows = {row.id: row for row in result.routes}
    assert rows["wash-and-sand"].standing != "forbidden"
    sanded, _ = run("abrasive-sequence", area="30 m2", **IPE, **OLD)
    assert sanded.rows[0].status == "planned"


def test_every_chemical_says_what_it_does_to_arsenical_wood_and_by_which_source(engine):
    """No agent of the shelf that acts on such wood is without its sentence, or the sentence without its source."""
    agents = engine.shelf.records("wash-agent")
    said = {id: {(one.id, one.source) for one in agent.acts_as} for id, agent in agents.items()}
    assert said.pop("detergent") == said.pop("dichloromethane") == set()
    assert all(said.values())
    assert said["oxalic-acid"] == said["citric-acid"] == {("acid", "irg-99-50128")}
    assert said["hypochlorite"] == {("oxidiser", "irg-99-50128")}
