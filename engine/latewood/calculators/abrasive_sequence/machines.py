"""What a machine may do to a part, and the parts it cannot work."""

from __future__ import annotations

from collections.abc import Iterable

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.provenance import Ledger
from latewood.records.machine import Risk


def kept_off(x: Inputs, spot: ResolvedFace, ledger: Ledger) -> bool:
    """Say why a machine must not go over a part; whether there is a reason."""
    at = _chosen(x, spot)
    machine, part = spot.machine, spot.face.part.replace("-", " ")
    if machine.suits and spot.face.part not in machine.suits:
        able = ", ".join(name.replace("-", " ") for name in machine.suits)
        message = f"{machine.title} cannot work the {part}: it is for {able}. Choose another machine for the {part}."
        ledger.find("machine-unsuited", "stop", message, pointer=at, face=spot.id, machine=machine.id)
        return True
    stops = [risk for risk in machine.risks if risk.severity == "stop" and _meets(risk, spot)]
    for risk in stops:
        ledger.find(risk.id, "stop", risk.message, pointer=at, face=spot.id, machine=machine.id)
    return bool(stops)


def say_risks(x: Inputs, spots: Iterable[ResolvedFace], ledger: Ledger) -> None:
    """Say what the machines in use may do, what to look at before, and which parts are gone over once more."""
    for spot in spots:
        machine, at = spot.machine, _chosen(x, spot)
        if machine.set_below is not None:
            ledger.take(machine.set_below)
        for risk in machine.risks:
            if risk.severity != "stop" and _meets(risk, spot):
                ledger.find(risk.id, risk.severity, risk.message, pointer=at, machine=machine.id)
        if spot.cupped is None and any(risk.cupped for risk in machine.risks):
            message = (
                f"You did not say whether the boards are cupped. Lay a straightedge across them before the "
                f"{machine.title.lower()} goes on."
            )
            ledger.find("cupping-not-said", "warning", message, pointer="/cupped", machine=machine.id)
        if spot.blend is not None:
            message = (
                f"{machine.title} leaves marks that show under the finish. Go over the {spot.face.part} once more at "
                f"the last grade with: {spot.blend.title}. Its time and abrasive are counted."
            )
            ledger.find("marks-taken-out", "note", message, pointer=at, face=spot.id, machine=spot.blend.id)


def _meets(risk: Risk, spot: ResolvedFace) -> bool:
    """Say whether a risk is met on a part; what a risk leaves out matches any."""
    return (not risk.surfaces or spot.surface in risk.surfaces) and (not risk.cupped or spot.cupped is True)


def _chosen(x: Inputs, spot: ResolvedFace) -> str | None:
    """Return where the machine of a part was asked for; None where the practice names it."""
    if spot.choice is None or spot.choice.machine is None:
        return None
    return f"/parts/{x.parts.index(spot.choice)}/machine"
