"""How hard the wood may be rinsed, by a rule somebody published."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from latewood.calculators.wash.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.quantities import units
from latewood.records import PressureRule
from latewood.rules.hazards import there
from latewood.rules.hazards_found import Found
from latewood.rules.wash_chemistry import by_hand
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class Jet:
    """Limits for washing under pressure; none where a hose is all that is allowed."""

    start: float | None = None
    ceiling: float | None = None
    fan_angle: Number | None = None
    standoff: float | None = None


def jet(x: Inputs, hazards: Found, ledger: Ledger, known: RecordLookup) -> Jet:
    """Return the limits, with a finding where the pressure asked for is over them."""
    lead = hazards.lead
    if by_hand(hazards):
        message = f"{_there(hazards)}, so no pressure is given: rinse with a hose, by hand."
        ledger.find("rinse-by-hose", "warning", message)
        if lead != "no":
            caught = "all of it and its rinse water are caught on sheets, and none runs into soil or drains."
            message = (
                f"What is washed or stripped off the old coating holds lead: {caught}"
                if lead == "yes"
                else "What is washed or stripped off an old coating may hold lead. Have it tested before it gets wet; "
                f"if it is lead, {caught}"
            )
            ledger.find("lead-in-run-off", "warning", message, pointer="/old_coating")
        return Jet()
    if x.route is not None and x.route.last_resort:
        message = f"{x.route.title}: scrub by hand and rinse with a hose. No pressure is given."
        ledger.find("rinse-by-hose", "warning" if x.pressure else "note", message, pointer="/route")
        return Jet()
    rule: PressureRule = x.pressure_rule or known.record("pressure-rule", "gentle")
    name = _class(x, ledger)
    if x.pressure_rule is None:
        others = [other.ceiling[name].si for other in known.records("pressure-rule").values()]
        ceiling = rule.ceiling[name].si
        effect = max(abs(other / ceiling - 1) for other in others)
        why = "the lowest pressure that works; sources disagree, and other rules are on the shelf"
        ledger.default("pressure_rule", rule.id, effect=effect, why=why)
    found = Jet(
        start=spread.value(ledger.take(rule.start[name])),
        ceiling=spread.value(ledger.take(rule.ceiling[name])),
        fan_angle=ledger.take(rule.fan_angle),
        standoff=spread.value(ledger.take(rule.standoff)),
    )
    if x.pressure:
        _judge(x.pressure, found, rule, ledger)
    return found


def _there(hazards: Found) -> str:
    """Say what is in the wood, its coating or its frame, and what is only not ruled out."""
    if said := there(arsenic=hazards.arsenic_in_water, lead=hazards.lead):
        return said.capitalize()
    kind = "preservative" if hazards.frame is None else hazards.frame.counted
    return f"{kind.capitalize()} is in the frame"


def _class(x: Inputs, ledger: Ledger) -> str:
    if x.species is None:
        ledger.default("species", "softwood", effect=None, why="the wood that bears least, for the pressure ceiling")
        return "other"
    return "dense-hardwood" if x.species.group == "hardwood" and x.species.absorbency == "low" else "other"


def _judge(pressure: float, found: Jet, rule: Any, ledger: Ledger) -> None:
    """Say how far over the ceiling a pressure is, and what that does."""
    erosion, damage = spread.value(ledger.take(rule.erosion)), spread.value(ledger.take(rule.damage))
    shown = f"{units.show(pressure, 'psi', 'pressure'):.0f} psi"
    # Sources print whole psi: a bar rounded to tenths must not be over.
    if pressure > erosion * 1.002:
        message = f"{shown} wears the wood away ({rule.erosion.given} and above) and leaves it furrowed and furred."
        ledger.find("pressure-erodes", "stop", message, pointer="/pressure", erosion=rule.erosion.given)
    elif pressure > (found.ceiling or 0.0) * 1.002:
        above = pressure > damage * 1.002
        what = "Damage is seen above " + rule.damage.given if above else "The grain furs and has to be sanded"
        message = f"{shown} is over the ceiling of {rule.title.lower()} for this wood. {what}."
        ledger.find("pressure-over-ceiling", "warning", message, pointer="/pressure", rule=rule.id)
