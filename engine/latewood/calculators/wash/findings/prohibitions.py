"""What must not be done: on this wood, on this coating, or at this time."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.wash.findings.clashes import substances
from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve import Planned, Resolved
from latewood.provenance import Ledger
from latewood.rules.hazards_found import Found
from latewood.rules.wash_chemistry import harms, reached


def prohibited(x: Inputs, r: Resolved, ledger: Ledger) -> bool:
    """Write every hard stop as a finding; say whether there is one."""
    before = len(ledger.raised)
    _preserved(x, r.stages, r.hazards, ledger)
    _lead(x, r.stages, r.hazards, ledger)
    _time(x, r.stages, ledger)
    if x.material == "composite":
        ledger.find("composite-refused", text="wash-of-composite", pointer="/material")
    return len(ledger.raised) > before


def _preserved(x: Inputs, stages: Sequence[Planned], hazards: Found, ledger: Ledger) -> None:
    """Stop what sets arsenic or chromium free, in the boards or in the frame the water runs over."""
    here = reached(hazards)
    if here is None:
        return
    for index, one in enumerate(stages):
        for act, harm in harms(one.stage.agent, one.stage.mixed_with):
            id = here.stop("bleach" if act == "oxidiser" and "bleach" in substances(one) else act)
            at = f"/stages/{index}/agent"
            ledger.find(id, text="chemical-on-arsenical", pointer=at, what=[here.what], harm=harm)
    if x.pressure:
        ledger.find(here.stop("pressure"), text="pressure-on-arsenical", pointer="/pressure", what=[here.what])


def _lead(x: Inputs, stages: Sequence[Planned], hazards: Found, ledger: Ledger) -> None:
    if hazards.not_washed_off is not None:
        for index, one in enumerate(stages):
            if one.stage.agent.role == "stripper":
                ledger.find("stripper-on-lead", pointer=f"/stages/{index}/agent", why=[hazards.not_washed_off])
    if hazards.lead != "no" and x.pressure:
        text = "pressure-on-lead" if hazards.lead == "yes" else "pressure-on-possible-lead"
        ledger.find("pressure-on-lead", text=text, pointer="/pressure")


def _time(x: Inputs, stages: Sequence[Planned], ledger: Ledger) -> None:
    if not x.sanded:
        return
    acids = [one.stage.agent.reaction == "acid" and "iron-stain" in one.stage.agent.removes for one in stages]
    spot = x.spot and "iron-stain" in x.soil and all(acids)
    if spot and x.pressure:
        ledger.find("wash-after-sanding", text="jet-on-sanded-spot", pointer="/pressure")
    if not spot:
        ledger.find("wash-after-sanding", pointer="/sanded")
