"""May it be refinished, or what stands before that: structure, water, damage, and what nobody knows yet."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from latewood.calculators.condition.assessment import Grounds, judge
from latewood.calculators.condition.fields import ConditionComponent, Question
from latewood.calculators.condition.inputs import Inputs
from latewood.calculators.condition.result import Result
from latewood.calculators.condition.structure import doubts, open_edges, out_of_reach
from latewood.calculators.condition.survey_questions import questions
from latewood.declare import RecordLookup, calculator
from latewood.formulas import remaining
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import ConditionRule, Region
from latewood.records.places import region_of
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults, proof_faults
from latewood.rules.hazards import Years, coating_seen, say_film_unnamed
from latewood.rules.hazards_found import Found, hazards_of, say_found
from latewood.rules.lead import coat_of
from latewood.rules.preservatives import use_of, wood_of


@calculator(
    "condition",
    "Condition: refinish, repair or replace",
    since="0.3",
    example={
        "components": [
            {
                "id": "floor",
                "part": "boards",
                "species": "western-redcedar",
                "treatment": "none",
                "old_coating": "none",
                "signs": ["grey", "proud-fasteners"],
                "thickness": "25 mm",
                "fastener_cover": "2 mm",
                "removal": "0.2-0.4 mm",
            },
            {
                "id": "under-floor",
                "part": "frame",
                "structure": "sound",
                "treatment": "copper",
                "treatment_evidence": "end-tag",
            },
        ],
        "year_built": 2011,
        "jurisdiction": "US-NY",
    },
    formulas=(remaining.cover_left, remaining.thickness_left),
)
def condition(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Say of each component whether it may be refinished, and what stands before that.

    Structure comes first: where ledger, joists, posts, guards or stairs are in doubt, nothing is planned for what they
    carry, nor for what people work on from a floor they are kept off. A wet underside is not a sanding problem. What
    nobody knows is asked, with what waits for the answer.
    """
    _refuse_repeated(x)
    x = _films_that_are_seen(x, ledger, known)
    rule: ConditionRule = x.condition_rule or known.record("condition-rule", "usual")
    if x.condition_rule is None:
        ledger.default(
            "condition_rule", rule.id, effect=None, why="thresholds differ from one practitioner to the next"
        )
    region = region_of(known, x.jurisdiction)
    stopped = doubts(x.components)
    unreached = out_of_reach(x.components, stopped, rule, ledger)
    open_at = open_edges(x.components, stopped)
    hazards = {one.id: _hazards(one, _years(one, x, region, ledger)) for one in x.components}
    rows = []
    for index, one in enumerate(x.components):
        found, at = hazards[one.id], f"/components/{index}"
        found.state(ledger, one.id)
        facts = {"material": one.material or "wood", "structure": "doubt" if one.id in stopped else "sound"}
        if one.id in open_at:
            facts["edge"] = "open"
        for name, value in facts.items():
            ledger.fact(name, value, of=one.id)
        years = _years(one, x, region, ledger)
        _say_years(one, years, found, at)
        say_found(found, years, ledger, at, f"{one.id}: ", component=one.id)
        rows.append(judge(one, Grounds(rule, found, at, stopped.get(one.id), unreached.get(one.id)), ledger))
    asked = questions(x, hazards, tuple(stopped))
    _say_questions(asked, ledger)
    return Result(components=tuple(rows), questions=asked)


def _films_that_are_seen(x: Inputs, ledger: Ledger, known: RecordLookup) -> Inputs:
    """Return the components, each with an unknown coating where a film is seen that no named coating makes."""
    seen = []
    for index, one in enumerate(x.components):
        old = coating_seen(one.old_coating, one.signs, known)
        if old is not one.old_coating and one.material != "composite":
            say_film_unnamed(one.old_coating, f"/components/{index}/old_coating", ledger, of=f"{one.id}: ")
            seen.append(msgspec.structs.replace(one, old_coating=old))
        else:
            seen.append(one)
    return msgspec.structs.replace(x, components=tuple(seen))


def _say_questions(asked: Sequence[Question], ledger: Ledger) -> None:
    """Say what is open in one finding, as a warning where somebody may be harmed before it is answered."""
    if not asked:
        return
    topics = list(dict.fromkeys(question.topic for question in asked))
    harm = {"structure", "flashing", "lead", "preservative"} & set(topics)
    blocks = list(dict.fromkeys(block for question in asked for block in question.blocks))
    message = f"Still open: {', '.join(topic.replace('-', ' ') for topic in topics)}. It holds up {', '.join(blocks)}."
    ledger.find("questions-open", "warning" if harm else "note", message, pointer="/components", topics=topics)


def _refuse_repeated(x: Inputs) -> None:
    names = [one.id for one in x.components]
    faults = [
        Fault(pointer=f"/components/{index}/id", code="repeated", detail=f"{name!r} is the name of another component")
        for index, name in enumerate(names)
        if name in names[:index]
    ]
    for index, one in enumerate(x.components):
        at = f"/components/{index}"
        faults += [*lead_test_faults(one, at, today=x.as_of), *proof_faults(one, at)]
        faults += built_ahead(one.year_built, x.as_of, f"{at}/year_built")
    faults += built_ahead(x.year_built, x.as_of)
    if faults:
        raise InputProblem(faults)


def _years(one: ConditionComponent, x: Inputs, region: Region | None, ledger: Ledger) -> Years:
    return Years(one.year_built or x.year_built, region, ledger, x.as_of)


def _hazards(one: ConditionComponent, years: Years) -> Found:
    """Return what may be in a component. Silence is no proof of absence."""
    use = use_of(one.part)
    if one.material == "composite":
        # It holds no preservative, and whether its coat holds lead follows from a test only.
        return Found(wood_of(one, use), coat_of(one), "no", "yes" if one.lead_test == "found" else "no", years.region)
    if one.part == "wall":
        # Nobody sands a wall, but edge tools touch it: only its paint bears on the work.
        silent = one.old_coating is None and one.lead_test in (None, "not-tested")
        lead = years.lead() if silent else coat_of(one).lead(years)
        return Found(wood_of(one, use), coat_of(one), "no", lead, years.region)
    return hazards_of(one, years, use)


def _say_years(one: ConditionComponent, years: Years, found: Found, pointer: str) -> None:
    """Say where the year of building proves nothing, or is the very year things changed."""
    built, region, ledger = years.built, years.region, years.ledger
    if "suspected" not in (found.arsenical, found.lead) or region is None or built is None:
        return
    until = region.arsenical_until.get(use_of(one.part))
    for day, what, suspected in ((until, "arsenic", found.arsenical), (region.lead_paint_before, "lead", found.lead)):
        if suspected == "suspected" and day is None:
            message = f"{region.title}: no year rules {what} out, however new {one.id} is; have it tested."
            ledger.find(f"no-year-for-{what}", "note", message, pointer=pointer, region=region.id)
    if found.arsenical == "suspected" and until is not None and built == until.si - 1:
        message = f"{one.id} was built in {built}, when arsenical stock was being used up: it counts as suspect."
        ledger.find("change-over-year", "note", message, pointer=pointer, region=region.id)


__all__ = ["Inputs", "Result", "condition"]
