"""One component after the other: what may be in it, what is left of it, and the gate it stands at."""

from __future__ import annotations

from latewood.calculators.condition import compute, findings
from latewood.calculators.condition.resolve import Resolved, varies
from latewood.calculators.condition.result import ComponentGate, Matching, Question
from latewood.calculators.condition.survey_questions import questions
from latewood.provenance import Ledger
from latewood.uncertainty.spread import Number


def components(x: Resolved, ledger: Ledger) -> tuple[tuple[ComponentGate, ...], tuple[Question, ...]]:
    """Return the components with their gates, and what is still open about them."""
    stopped = compute.doubts(x.components)
    unreached = compute.out_of_reach(x.components, stopped, x.rule, ledger)
    open_at = compute.open_edges(x.components, stopped)
    hazards = [compute.hazards(one, years) for one, years in zip(x.components, x.years, strict=True)]
    asked = questions(x, hazards, stopped)
    rows = []
    for index, (one, years, found) in enumerate(zip(x.components, x.years, hazards, strict=True)):
        at = f"/components/{index}"
        found.state(ledger, one.id)
        ledger.fact("material", one.material or "wood", of=one.id)
        ledger.fact("structure", "doubt" if one.id in stopped else "sound", of=one.id)
        if one.id in open_at:
            ledger.fact("edge", "open", of=one.id)
        findings.hazards_found(one, years, found, at)
        cover, left = compute.cover_left(one, ledger), compute.thickness_left(one, ledger)
        doubts = stopped.get(one.id), unreached.get(one.id)
        topics = tuple(question.topic for question in asked if question.component == one.id)
        rows.append(_row(findings.Part(one, x.rule, found, at, *doubts, cover, left, ledger, topics)))
    return tuple(rows), asked


def _row(part: findings.Part) -> ComponentGate:
    one, ledger = part.one, part.ledger
    gate, reasons = findings.gate_of(part)
    matching: Matching | None = None
    time: Number | None = None
    if one.new_boards and gate in ("refinish", "repair-some"):
        matching = "none" if varies(one, ledger) else "blends"
        if matching == "blends":
            time = ledger.take(part.rule.blending)
            findings.new_boards(part)
    return ComponentGate(
        id=one.id,
        part=one.part,
        gate=gate,
        reasons=reasons,
        arsenical=part.hazards.arsenical,
        lead_paint=part.hazards.lead,
        cover_left=part.cover,
        thickness_left=part.left,
        matching=matching,
        blending_time=time,
    )
