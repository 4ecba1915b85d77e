"""What a machine may do to a part, and the parts it cannot work."""

from __future__ import annotations

from latewood.records.machine import Risk
from latewood.rules.sanding_work.method import SandedFace


def unsuited(face: SandedFace) -> bool:
    """Say whether a machine cannot work a part."""
    return bool(face.machine.suits) and face.part not in face.machine.suits


def stays_off(face: SandedFace) -> bool:
    """Say whether a machine must not go over a face."""
    return unsuited(face) or any(risk.severity == "stop" for risk in risks_met(face))


def risks_met(face: SandedFace) -> list[Risk]:
    """Return the risks of a machine that are met on a face; what a risk leaves out matches any."""
    return [
        risk
        for risk in face.machine.risks
        if (not risk.surfaces or face.surface in risk.surfaces) and (not risk.cupped or face.cupped is True)
    ]
