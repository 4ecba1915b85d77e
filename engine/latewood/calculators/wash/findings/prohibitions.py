"""What must not be done: on this wood, on this coating, or at this time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from latewood.calculators.wash.findings.clashes import substances
from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve import Planned, Resolved
from latewood.messages import in_english
from latewood.messages.binding import capital
from latewood.provenance import Ledger
from latewood.rules.hazards_found import Found
from latewood.rules.wash_chemistry import harms, reached

Stop = tuple[str, str, str]


def prohibited(x: Inputs, r: Resolved, ledger: Ledger) -> bool:
    """Write every hard stop as a finding; say whether there is one."""
    found = [
        *_preserved(x, r.stages, r.hazards),
        *_lead(x, r.stages, r.hazards),
        *_time(x, r.stages),
        *_composite(x),
    ]
    for id, message, pointer in found:
        ledger.find(id, "stop", message, pointer=pointer)
    return bool(found)


def _preserved(x: Inputs, stages: Sequence[Planned], hazards: Found) -> Iterator[Stop]:
    """Stop what sets arsenic or chromium free, in the boards or in the frame the water runs over."""
    here = reached(hazards)
    if here is None:
        return
    what = capital(in_english(here.what))
    for index, one in enumerate(stages):
        for act, harm in harms(one.stage.agent, one.stage.mixed_with):
            word = "bleach" if act == "oxidiser" and "bleach" in substances(one) else act
            message = f"{what}, and {in_english(harm)}. Use detergent and water by hand."
            yield here.stop(word), message, f"/stages/{index}/agent"
    if x.pressure:
        message = f"{what}, and a jet sets it free and throws it about. Rinse with a hose by hand."
        yield here.stop("pressure"), message, "/pressure"


def _lead(x: Inputs, stages: Sequence[Planned], hazards: Found) -> Iterator[Stop]:
    if hazards.not_washed_off is not None:
        why = capital(in_english(hazards.not_washed_off))
        for index, one in enumerate(stages):
            if one.stage.agent.role == "stripper":
                yield "stripper-on-lead", f"{why}.", f"/stages/{index}/agent"
    if hazards.lead != "no" and x.pressure:
        message = (
            "The old coating holds lead. A jet throws chips of it over soil and neighbours. Use no pressure: the rule "
            "of the place and licensed practice say how it comes off."
            if hazards.lead == "yes"
            else "The old coating may hold lead. A jet throws chips of it over soil and neighbours: no pressure until "
            "it is tested, and then as the rule of the place and licensed practice say."
        )
        yield "pressure-on-lead", message, "/pressure"


def _time(x: Inputs, stages: Sequence[Planned]) -> Iterator[Stop]:
    if not x.sanded:
        return
    acids = [one.stage.agent.reaction == "acid" and "iron-stain" in one.stage.agent.removes for one in stages]
    spot = x.spot and "iron-stain" in x.soil and all(acids)
    if spot and x.pressure:
        message = "A spot on sanded wood is rinsed by hand: a jet raises the grain all round it."
        yield "wash-after-sanding", message, "/pressure"
    if not spot:
        message = (
            "No wash is planned after the final sanding: it raises the grain again and wets what was dry. The one "
            "exception is a spot of iron stain: an acid that takes it off, rinsed, dried, read again and scuffed. Say "
            "spot and iron-stain."
        )
        yield "wash-after-sanding", message, "/sanded"


def _composite(x: Inputs) -> Iterator[Stop]:
    if x.material == "composite":
        message = "Composite is cleaned as its maker's sheet says; no wash for wood is planned on it."
        yield "composite-refused", message, "/material"
