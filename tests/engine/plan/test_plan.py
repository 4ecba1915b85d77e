"""From a job to a plan: what is read, what is refused, which steps come of it and what they say."""

from __future__ import annotations

import math
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.engine.plan.buying import finishes
from tests.generated import examples

from latewood.plan import Job
from latewood.problems import InputProblem
from latewood.wire import Components, Options, struct_reader

FT = 0.3048  # exactly: NIST SP 811
MAIN = {"id": "main", "outline": "0 0, 24 0, 24 16, 0 16 ft"}
NORTH = {"id": "north", "part_of": "main", "outline": "0 12, 24 12, 24 16, 0 16 ft"}
BARE = {"treatment": "none", "old_coating": "none"}
PINE = {"species": "southern-yellow-pine"}
OILED = {**BARE, "species": "ipe", "coating": "clear-penetrating-oil", "surface": "sanded"}
slow = settings(deadline=None, suppress_health_check=list(HealthCheck), database=None)


@pytest.fixture
def plan(lw):
    def planned(*zones: dict[str, Any], options: Options | None = None, **job: Any) -> dict[str, Any]:
        tree = {"schema": 1, "zones": list(zones) or [MAIN], **job}
        return msgspec.json.decode(msgspec.json.encode(lw.plan(tree, options or Options())))

    return planned


@pytest.fixture
def refused(plan):
    def faults(*zones: dict[str, Any], **job: Any) -> dict[str, Any]:
        with pytest.raises(InputProblem) as problem:
            plan(*zones, **job)
        assert len({fault.pointer for fault in problem.value.faults}) == len(problem.value.faults)
        return {fault.pointer: fault for fault in problem.value.faults}

    return faults


def steps(answer: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {step["id"]: step for step in answer["steps"] if step["status"] != "not-planned"}


def ids(answer: dict[str, Any], what: str) -> set[str]:
    return {entry["id"] for entry in answer[what]}


# What is refused


def test_a_job_is_refused_with_every_fault_in_it(refused):
    found = refused(
        {**MAIN, "coatin": "x", "species": "cedar"},
        {"id": "North", "length": "12"},
        schema=1,
        defaults={"old_coating": "linseed", "surface": "sandy"},
        site={"timezone": "America/New_Yrok", "currency": "USX", "jurisdiction": "Oz!", "year_built": 1500},
        as_of="2026-02-30",
        prices=[],
        hours=[],
    )
    codes = {pointer: fault.code for pointer, fault in found.items()}
    assert codes == {
        "/prices": "not-yet",
        "/hours": "unknown-field",
        "/zones/0/coatin": "unknown-field",
        "/zones/0/species": "ambiguous",
        "/zones/1/id": "bad-text",
        "/zones/1/length": "unit-missing",
        "/defaults/old_coating": "unknown-id",
        "/defaults/surface": "unknown-choice",
        "/site/timezone": "unknown-id",
        "/site/currency": "unknown-id",
        "/site/jurisdiction": "bad-text",
        "/site/year_built": "out-of-range",
        "/as_of": "bad-date",
    }
    assert found["/zones/0/coatin"].nearest == "coating"
    assert found["/site/timezone"].nearest == "America/New_York"
    assert found["/defaults/surface"].nearest == "sanded"
    assert "none" in found["/defaults/old_coating"].expected


@pytest.mark.parametrize("name", ["power", "prices"])
def test_later_tables_are_refused_as_such(refused, name):
    """The tables that a later version adds (job format, schema 1)."""
    assert {pointer: fault.code for pointer, fault in refused(**{name: []}).items()} == {f"/{name}": "not-yet"}


@pytest.mark.parametrize("schema", [2, "1", None, True])
def test_a_job_says_its_schema(refused, schema):
    assert set(refused(schema=schema)) == {"/schema"}


def test_a_job_needs_schema_and_zones(lw):
    with pytest.raises(InputProblem) as problem:
        lw.plan({}, Options())
    assert {(fault.pointer, fault.code) for fault in problem.value.faults} == {
        ("/schema", "missing"),
        ("/zones", "missing"),
    }


def test_an_empty_deck_is_refused(refused, lw):
    with pytest.raises(InputProblem, match="0 items"):
        lw.plan({"schema": 1, "zones": []}, Options())


@pytest.mark.parametrize("part_of", ["main", "nowhere"])
def test_a_zone_lies_in_another_that_exists(refused, part_of):
    assert "/zones/0/part_of" in refused({**MAIN, "part_of": part_of})


def test_zones_have_names_of_their_own(refused):
    assert "/zones/1/id" in refused(MAIN, {**MAIN})


@pytest.mark.parametrize("name", ["Europe/London", "UTC", "Etc/GMT+5", "America/Argentina/Buenos_Aires"])
def test_time_zones_of_the_iana_list(plan, name):
    assert plan(site={"timezone": name})["steps"]


@pytest.mark.parametrize("name", ["Mars/Base", "EU/Berlin"])
def test_other_time_zones_are_refused(refused, name):
    assert refused(site={"timezone": name})["/site/timezone"].code == "unknown-id"


# Steps


def test_the_steps_of_a_plain_deck(plan):
    answer = plan(defaults=OILED)
    assert [(s["id"], s["calculator"], s["status"]) for s in steps(answer).values()] == [
        ("area", "area", "done"),
        ("coverage-clear-penetrating-oil", "coverage", "done"),
    ]
    assert answer["totals"]["area"]["value"] == pytest.approx(24 * 16 * FT**2, rel=1e-8)
    (bought,) = finishes(answer)
    result = steps(answer)["coverage-clear-penetrating-oil"]["result"]
    assert (bought["id"], bought["volume"]) == ("coverage-clear-penetrating-oil", result["volume"])
    assert bought["text"] == " + ".join(f"{can['count']} × {can['label']}" for can in bought["containers"])


def test_a_step_answers_as_the_calculator_does(plan, lw):
    """384 ft2 of one wood: the plan must buy what a caller who knows the area buys."""
    planned = steps(plan(defaults=OILED, site={"jurisdiction": "US-NY"}))["coverage-clear-penetrating-oil"]["result"]
    alone = lw.calculate(
        "coverage",
        area="384 ft2",
        species="ipe",
        coating="clear-penetrating-oil",
        surface="sanded",
        jurisdiction="US-NY",
    )["result"]
    assert planned["volume"]["value"] == pytest.approx(alone["volume"]["value"], rel=1e-8)
    assert planned["purchase"]["text"] == alone["purchase"]["text"]


def test_each_coating_is_bought_for_itself(plan):
    other = {"id": "step", "length": "6 ft", "width": "4 ft", "coating": "semi-transparent-oil-stain"}
    answer = plan(MAIN, other, defaults=OILED)
    found = steps(answer)
    areas = {
        name: [(zone["id"], zone["area"]["value"]) for zone in found[name]["result"]["zones"]]
        for name in found
        if name != "area"
    }
    assert areas == {
        "coverage-clear-penetrating-oil": [("main", pytest.approx(384 * FT**2, rel=1e-8))],
        "coverage-semi-transparent-oil-stain": [("step", pytest.approx(24 * FT**2, rel=1e-8))],
    }
    assert [one["id"] for one in finishes(answer)] == list(areas)


def test_coats_part_a_purchase(plan):
    answer = plan({**MAIN, "coats": 2}, {"id": "step", "length": "6 ft", "width": "4 ft"}, defaults=OILED)
    assert set(steps(answer)) == {"area", "coverage-clear-penetrating-oil-2", "coverage-clear-penetrating-oil"}


def test_a_region_leaves_the_zone_it_lies_in(plan):
    answer = plan(MAIN, {**NORTH, "species": "western-redcedar"}, defaults=OILED)
    zones = {z["id"]: z["area"]["value"] for z in steps(answer)["area"]["result"]["zones"]}
    assert zones == {"main": pytest.approx(288 * FT**2, rel=1e-8), "north": pytest.approx(96 * FT**2, rel=1e-8)}
    assert answer["totals"]["area"]["value"] == pytest.approx(384 * FT**2, rel=1e-8)


def test_a_plan_without_a_coating_skips_the_purchase(plan):
    answer = plan(defaults=BARE)
    (skipped,) = [step for step in answer["steps"] if step["calculator"] == "coverage"]
    assert (skipped["status"], skipped["id"]) == ("not-planned", "coverage")
    assert skipped["why"]
    assert "result" not in skipped
    assert finishes(answer) == []
    (said,) = [finding for finding in answer["findings"] if finding["id"] == "no-coating-named"]
    assert said["pointer"] == "/zones/0/coating"


def test_a_plan_without_any_wood_is_blocked_and_says_where(plan):
    answer = plan(MAIN, NORTH, defaults={**BARE, "coating": "clear-penetrating-oil"})
    step = steps(answer)["coverage-clear-penetrating-oil"]
    assert (step["status"], step["unlock"]) == ("blocked", ["/zones/0/species", "/zones/1/species"])
    assert "result" not in step
    assert steps(answer)["area"]["status"] == "done"
    assert finishes(answer) == []


def test_what_is_known_is_planned_though_a_zone_is_not(plan):
    answer = plan(MAIN, {**NORTH, "species": "ipe"}, defaults={**BARE, "coating": "clear-penetrating-oil"})
    step = steps(answer)["coverage-clear-penetrating-oil"]
    assert (step["status"], step["unlock"]) == ("partial", ["/zones/0/species"])
    assert [zone["id"] for zone in step["result"]["zones"]] == ["north"]
    assert step["result"]["zones"][0]["area"]["value"] == pytest.approx(96 * FT**2, rel=1e-8)


def test_a_composite_zone_is_measured_and_left_out(plan):
    answer = plan(MAIN, {**NORTH, "material": "composite"}, defaults=OILED)
    assert answer["totals"]["area"]["value"] == pytest.approx(384 * FT**2, rel=1e-8)
    (zone,) = steps(answer)["coverage-clear-penetrating-oil"]["result"]["zones"]
    assert zone["id"] == "main"
    (said,) = [finding for finding in answer["findings"] if finding["id"] == "composite-left-out"]
    assert (said["severity"], said["pointer"], said["params"]) == ("warning", "/zones/1/material", {"zone": "north"})
    (caution,) = [one for one in answer["cautions"] if one["id"] == "composite-not-refinishable"]
    assert caution["places"] == ["north"]


# Cautions


@pytest.mark.parametrize(
    ("fields", "site", "expected"),
    [
        ({"treatment": "arsenical"}, {}, True),
        ({"treatment": "unknown"}, {}, True),
        ({"treatment": "unknown"}, {"year_built": 1995, "jurisdiction": "US-NY"}, True),
        # US EPA, cancellation of residential uses of CCA: no treating for decks from 2004.
        ({"treatment": "unknown"}, {"year_built": 2004, "jurisdiction": "US-NY"}, True),
        ({"treatment": "unknown"}, {"year_built": 2005, "jurisdiction": "US-NY"}, False),
        ({"treatment": "unknown"}, {"year_built": 2005}, True),
        ({"treatment": "unknown"}, {"jurisdiction": "US-NY"}, True),
        # OILED is of dense hardwood, which takes hardly any up; of copper, chromated copper arsenate is one.
        ({"treatment": "none"}, {"year_built": 1980, "jurisdiction": "US-NY"}, False),
        ({"treatment": "copper"}, {"year_built": 1980, "jurisdiction": "US-NY"}, True),
        ({**PINE, "treatment": "none"}, {"year_built": 1980, "jurisdiction": "US-NY"}, True),
        ({**PINE, "treatment": "copper"}, {"year_built": 1980, "jurisdiction": "US-NY"}, True),
        ({**PINE, "treatment": "copper", "treatment_evidence": "owner-says"}, {}, True),
        ({**PINE, "treatment": "copper", "treatment_evidence": "end-tag"}, {}, False),
    ],
)
def test_arsenic(plan, fields, site, expected):
    answer = plan(defaults={**OILED, **fields}, site=site)
    assert ("arsenical-treatment" in ids(answer, "cautions")) is expected


@pytest.mark.parametrize(
    ("old", "site", "expected"),
    [
        ("none", {"year_built": 1950, "jurisdiction": "US-NY"}, False),
        ("unknown", {}, True),
        ("unknown", {"year_built": 1950, "jurisdiction": "US-NY"}, True),
        # 16 CFR 1303: paint with lead banned from consumer use from 1978.
        ("solid-colour-stain", {"year_built": 1977, "jurisdiction": "US-NY"}, True),
        ("solid-colour-stain", {"year_built": 1978, "jurisdiction": "US-NY"}, False),
        ("solid-colour-stain", {"year_built": 1978}, True),
        # 40 CFR 745.103: paint or other surface coatings.
        ("clear-penetrating-oil", {"year_built": 1950, "jurisdiction": "US-NY"}, True),
        ("clear-penetrating-oil", {"year_built": 1978, "jurisdiction": "US-NY"}, False),
    ],
)
def test_lead(plan, old, site, expected):
    answer = plan(defaults={**OILED, "old_coating": old}, site=site)
    assert ("lead-paint" in ids(answer, "cautions")) is expected


def test_a_year_that_decides_is_in_the_basis(plan):
    answer = plan(
        defaults={**OILED, "treatment": "unknown", "old_coating": "unknown"},
        site={"year_built": 1996, "jurisdiction": "US-NY"},
    )
    lines = {line["path"]: line for line in answer["basis"]}
    for path in ("region/us/arsenical_until/boards", "region/us/lead_paint_before"):
        assert lines[path]["used_by"] == ["plan"]
        assert lines[path]["source"]


def test_no_component_hides_the_danger_of_a_zone(plan):
    """A zone named like another zone's guard: neither's facts may be taken for the other's."""
    zones = [{**MAIN}, {"id": "main-south", "length": "2 m", "width": "2 m", "treatment": "arsenical"}]
    answer = plan(*zones, defaults=OILED, guards=[{"id": "south", "zone": "main", "length": "3 m"}])
    (caution,) = [one for one in answer["cautions"] if one["id"] == "arsenical-treatment"]
    assert caution["places"] == ["main-south"]


def test_a_stair_and_a_guard_of_one_name_are_two_things(plan):
    answer = plan(
        defaults=OILED,
        stairs=[{"id": "south", "rise": "31 in", "treatment": "arsenical"}],
        guards=[{"id": "south", "length": "3 m"}],
    )
    (caution,) = [one for one in answer["cautions"] if one["id"] == "arsenical-treatment"]
    assert caution["places"] == ["main/stairs/south"]


def test_silence_is_not_taken_for_safety(plan):
    answer = plan(MAIN, {**NORTH, "treatment": "none", "material": "wood"}, defaults={"old_coating": "none"})
    said = {finding["id"]: finding for finding in answer["findings"]}
    assert said["treatment-not-given"]["pointer"] == "/zones/0/treatment"
    assert said["treatment-not-given"]["params"] == {"zones": ["main"]}
    assert "old-coating-not-given" not in said
    assert "old-coating-not-given" in ids(plan(), "findings")


def test_a_caution_names_every_step_that_calls_for_it(plan):
    other = {"id": "step", "length": "6 ft", "width": "4 ft", "coating": "semi-transparent-oil-stain"}
    answer = plan(MAIN, other, defaults=OILED)
    (oil,) = [one for one in answer["cautions"] if one["id"] == "self-heating-waste"]
    assert oil["steps"] == ["coverage-clear-penetrating-oil", "coverage-semi-transparent-oil-stain"]


# The answer as a whole


def test_the_basis_is_given_once_and_names_its_steps(plan):
    answer = plan(MAIN, {**NORTH, "coats": 2}, defaults=OILED)
    paths = [line["path"] for line in answer["basis"]]
    assert len(paths) == len(set(paths))
    assert all(line["used_by"] for line in answer["basis"])


def test_findings_name_their_step_or_a_place_in_the_job(plan):
    for finding in plan(MAIN, NORTH, defaults=OILED)["findings"]:
        assert "step" in finding or finding["pointer"].startswith("/"), finding


def test_units_of_the_job_and_of_the_query(plan):
    def unit(**more: Any) -> str:
        return str(plan(defaults=OILED, **more)["totals"]["area"]["unit"])

    assert unit() == "m2"
    assert unit(units="us") == "ft2"
    assert unit(units="us", options=Options(units="metric")) == "m2"
    assert unit(options=Options(units="us")) == "ft2"


def test_the_working_is_with_its_step(plan):
    answer = plan(defaults=OILED, options=Options(working=True))
    assert all("sheet" in step for step in steps(answer).values())
    assert steps(answer)["coverage-clear-penetrating-oil"]["sheet"]
    assert all("sheet" not in step for step in plan(defaults=OILED)["steps"])


def test_the_same_bytes_twice(lw):
    job = {"schema": 1, "zones": [MAIN, NORTH], "defaults": OILED}
    assert msgspec.json.encode(lw.plan(job, Options())) == msgspec.json.encode(lw.plan(job, Options()))


def test_a_zone_measured_twice_is_bought_once(plan):
    """The same unknown in both zones: volumes add as areas do."""
    whole = steps(plan(defaults=OILED))["coverage-clear-penetrating-oil"]["result"]["volume"]
    parts = steps(plan(MAIN, NORTH, defaults=OILED))["coverage-clear-penetrating-oil"]["result"]
    assert parts["volume"]["high"] == pytest.approx(whole["high"], rel=1e-8)
    assert math.fsum(z["volume"]["high"] for z in parts["zones"]) == pytest.approx(whole["high"], rel=1e-8)


def test_a_plan_in_words(lw):
    job = {"schema": 1, "zones": [MAIN, {**NORTH, "material": "composite"}], "defaults": OILED, "units": "us"}
    text = lw.plan_text(job, Options())
    assert text.startswith("main, north: 384 sq ft of floor\n")
    assert text.endswith("\n")
    assert max(map(len, text.splitlines())) <= 80
    for part in ("WAIT to prepare (not judged)", "DANGER: ", "WARNINGS", "TO BUY", "NOT PLANNED", "Where: north"):
        assert part in text


def test_a_blocked_plan_in_words(lw):
    job = {"schema": 1, "zones": [MAIN], "defaults": {"coating": "clear-penetrating-oil"}}
    text = lw.plan_text(job, Options())
    line = next(line for line in text.splitlines() if line.startswith("Finish"))
    assert line.split() == ["Finish", "species"]


# The schema of the job


def job_schema() -> tuple[dict[str, Any], dict[str, Any]]:
    parts = Components("#/$defs/")
    return struct_reader(Job).schema(parts), parts.found


BEYOND = {"out-of-range", "ragged", "unknown-id", "ambiguous", "conflict", "missing", "repeated", "not-yet"}


@examples(4, of=15)
def test_a_job_its_schema_admits_is_planned_or_refused_for_a_reason(lw, made_from, sensible, count):
    schema, parts = job_schema()
    known = lambda kind: sorted(lw.shelf.ids(kind))  # noqa: E731 - passed on twice
    names = st.sampled_from([*parts["Job"]["properties"], ""])

    @settings(slow, max_examples=count)
    @given(sensible(struct_reader(Job), known), made_from(schema, parts, known), names)
    def holds(sane, wild, name):
        job = {**sane, **({name: wild[name]} if name in wild else {})}
        assert attempt(lw, job) <= BEYOND

    holds()


@examples(4, of=15)
def test_a_job_its_schema_refuses_is_refused(lw, sensible, valid, anything, count):
    schema, parts = job_schema()
    jobs = sensible(struct_reader(Job), lambda kind: sorted(lw.shelf.ids(kind)))
    names = st.sampled_from([*parts["Job"]["properties"], "zone"])

    @settings(slow, max_examples=count)
    @given(jobs, names, anything)
    def holds(job, name, other):
        changed = {**job, name: other}
        if not valid(schema, parts, changed):
            assert attempt(lw, changed)

    holds()


def attempt(lw: Any, job: Any) -> set[str]:
    """Return the codes a job is refused with, none where it is planned; any other exception is a failure."""
    try:
        msgspec.json.encode(lw.plan(job, Options(working=True)))
        lw.plan_text(job, Options())
    except InputProblem as problem:
        return {fault.code for fault in problem.faults}
    return set()


def test_a_job_is_echoed_by_its_name_and_answered_in_its_language(plan):
    told = {"name": "Millrace", "reference": "2026-041", "language": "es", "units": "us"}
    answer = plan(defaults=OILED, **told)
    assert {name: answer["job"][name] for name in told} == told
    asked = plan(defaults=OILED, options=Options(lang="en"), **told)
    assert asked["job"]["language"] == "en"
    assert plan(defaults=OILED)["job"]["language"] == "en"
