"""What lead and arsenic a job may hold, and what cautions go by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from latewood import spread
from latewood.calculators._abrasive_sequence.spots import Spot
from latewood.calculators._abrasive_sequence.work import Work
from latewood.declare import Known
from latewood.formulas import exposure
from latewood.provenance import Ledger
from latewood.rules.hazards import Suspicion, Years
from latewood.rules.regions import region_of
from latewood.rules.waste import worse
from latewood.rules.work import state_film, state_sanding
from latewood.spread import Number

if TYPE_CHECKING:
    from latewood.calculators.abrasive_sequence import Inputs


def state_hazards(x: Inputs, found: list[Spot], ledger: Ledger, known: Known) -> tuple[dict[str, Suspicion], Suspicion]:
    """Return what lead and arsenic are suspected, and state what cautions go by."""
    rules = Years(x.year_built, region_of(known, x.jurisdiction), ledger)
    arsenical = rules.arsenical(x.treatment or "unknown")
    if x.treatment is None:
        ledger.default("treatment", "unknown", effect=None, why="nobody said that the wood holds no preservative")
    ledger.fact("treatment", x.treatment or "unknown")
    ledger.fact("arsenical", arsenical)
    lead: dict[str, Suspicion] = {}
    for spot in found:
        old = spot.face.old_coating or x.old_coating
        lead[spot.id] = "no" if old is None or old == "none" else rules.lead(old)
        of = _of(spot)
        if old is not None and old != "none":
            # Dust of an oiled surface heats itself as oily rags do.
            ledger.fact("binder", old.binder, of=of)
        ledger.fact("lead_paint", lead[spot.id], of=of)
        if spot.species is not None:
            ledger.fact("sensitiser", spot.species.sensitiser, of=of)
    return lead, arsenical


def _of(spot: Spot) -> str:
    """Return whom a fact is of: a floor is spoken of by its zone; what stands on it may be of another wood."""
    return spot.face.zone if spot.face.item is None else spot.id


def state_work(works: list[tuple[Spot, Work]], lead: dict[str, Suspicion], ledger: Ledger) -> Number | None:
    """State what the sanding that is planned brings with it; return the vibration one person takes in a day of it."""
    powered = [(spot, made) for spot, made in works if spot.machine.powered]
    for spot, _ in works:
        of = _of(spot)
        same = [one for one, _ in works if _of(one) == of]
        state_film(
            ledger,
            film=any(one.condition == "old-film" for one in same),
            lead=worse(*(lead[one.id] for one in same)),
            of=of,
        )
        if spot.machine.powered:
            state_sanding(ledger, of=of)
    found = _vibration(powered, ledger)
    if found is not None:
        ledger.fact("vibration", spread.value(found))
    return found


def _vibration(powered: list[tuple[Spot, Work]], ledger: Ledger) -> Number | None:
    """Return the daily exposure of one person who does all of it, or as much as a day of 8 h holds."""
    timed = [
        (spot.id, ledger.take(spot.machine.vibration), spread.central(made.time))
        for spot, made in powered
        if made.time is not None and spot.machine.vibration is not None
    ]
    hours = sum(time for _, _, time in timed)
    if not hours:
        return None
    share = min(1.0, exposure.DAY / hours)
    parts = [
        ledger.step(exposure.daily_vibration, id, vibration=vibration, time=time * share) ** 2
        for id, vibration, time in timed
    ]
    return spread.total(parts) ** 0.5
