"""Faces that no machine sands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolve.hazards import asked_of
from latewood.calculators.abrasive_sequence.resolved import Refusal
from latewood.calculators.abrasive_sequence.surface_rules import signs_on
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import ConditionRule
from latewood.rules.faces import WALKED
from latewood.rules.hazards_found import Found
from latewood.rules.sanding_work.machines import risks_met, unsuited
from latewood.rules.sanding_work.method import SandedFace
from latewood.rules.sign_actions import Measured, stops


def refusals(
    x: Inputs, faces: Sequence[SandedFace], hazards: Mapping[str, Found], known: RecordLookup, ledger: Ledger
) -> Iterator[tuple[str, Refusal]]:
    """Yield what refuses faces: hazards, what a sign stops, a machine that must not go over a part, and grooves."""
    rule: ConditionRule = known.record("condition-rule", "usual")
    for face in faces:
        if hazards[face.id].not_sanded(x.extraction):
            yield face.id, Refusal("hazard")
        elif signs := tuple(stops(signs_on(asked_of(face, x), x), Measured(), rule, ledger)):
            yield face.id, Refusal("sign", why=signs)
        elif unsuited(face):
            yield face.id, Refusal("unsuited")
        elif risks := tuple(risk for risk in risks_met(face) if risk.severity == "stop"):
            yield face.id, Refusal("risk", risks=risks)
        elif face.grooved and face.machine.pad == "flat" and face.part in WALKED:
            yield face.id, Refusal("grooved")
