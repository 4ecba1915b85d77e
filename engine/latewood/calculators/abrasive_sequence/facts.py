"""Facts by which cautions are looked up: what the sanding that is planned brings with it."""

from __future__ import annotations

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolve.hazards import asked_of
from latewood.calculators.abrasive_sequence.resolved import Resolved
from latewood.calculators.abrasive_sequence.surface_rules import signs_on
from latewood.provenance import Ledger
from latewood.rules.hazards import worst
from latewood.rules.sanding_work.floor_work import Sanded
from latewood.rules.work import proud_steel, state_film, state_sanding
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def state(x: Inputs, r: Resolved, done: list[Sanded], vibration: Number | None, ledger: Ledger) -> None:
    """State what comes off and what is met. A film comes off where it is sanded, and where it must not be.

    Where it must not be sanded, heat may be reached for.
    """
    for face in r.faces:
        same = [one for one in r.faces if one.called == face.called]
        film = any(one.condition == "old-film" for one in same)
        state_film(ledger, film=film, lead=worst(*(r.hazards[one.id].lead for one in same)), of=face.called)
    powered = [face for face, _ in done if face.machine.powered]
    for face in powered:
        seen = [sign for one in powered if one.called == face.called for sign in signs_on(asked_of(one, x), x)]
        state_sanding(ledger, proud=proud_steel(seen, None), of=face.called)
    if vibration is not None:
        ledger.fact("vibration", spread.value(vibration))
