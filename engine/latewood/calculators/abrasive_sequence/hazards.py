"""What lead and arsenic the faces may hold, what cautions go by, and which faces no machine may sand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from latewood.calculators.abrasive_sequence.fields import SandFace
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.calculators.abrasive_sequence.seen import film_seen, signs_on
from latewood.calculators.abrasive_sequence.work import Work
from latewood.declare import RecordLookup
from latewood.formulas import exposure
from latewood.provenance import Ledger
from latewood.rules.hazard_fields import Old
from latewood.rules.hazards import Years, coating_seen, worst, years_of
from latewood.rules.hazards_found import Found, found_of, say_found
from latewood.rules.lead import coat_of
from latewood.rules.preservatives import Wood, use_of
from latewood.rules.work import proud_steel, state_film, state_sanding
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def old_on(face: SandFace, x: Inputs, known: RecordLookup) -> Old | None:
    """Return the old coating on a face: the unknown one where it is a film, and nobody named one that makes it."""
    return coating_seen(face.old_coating or x.old_coating, film_seen(face, x), known)


def found_in(face: SandFace, x: Inputs, years: Years, known: RecordLookup) -> Found:
    """Return the hazards of one face; what it says of itself comes before what is said of all."""
    own_wood = face.treatment is not None or face.species is not None
    own_coat = face.old_coating is not None or face.lead_test is not None
    proof = (face if own_wood else x).treatment_evidence
    wood = Wood(face.species or x.species, face.treatment or x.treatment, proof, use_of(face.part))
    said = coat_of(face if own_coat else x)
    return found_of(wood, replace(said, old=old_on(face, x, known)), years)


def state_hazards(x: Inputs, spots: Iterable[ResolvedFace], ledger: Ledger, known: RecordLookup) -> Mapping[str, Found]:
    """Return the hazards of each spot, say what stops it, and state what cautions go by."""
    years = years_of(x, known, ledger, x.as_of)
    if x.treatment is None and any(spot.face.treatment is None for spot in spots):
        ledger.default("treatment", "unknown", effect=None, why="nobody said that the wood holds no preservative")
    for face in x.faces:
        if face.part == "gap-faces":
            found_in(face, x, years, known).state(ledger, face.zone)
    found = {spot.id: found_in(spot.face, x, years, known) for spot in spots}
    alike = [s.id for s in spots if not _says_itself(s.face) and found[s.id].not_sanded(x.extraction)]
    for spot in spots:
        hazards, old = found[spot.id], old_on(spot.face, x, known)
        at, of = f"/faces/{spot.place}" if _says_itself(spot.face) else "", _of(spot)
        hazards.state(ledger, of)
        label, params = (f"{spot.id}: ", {"face": spot.id}) if at else ("", {"faces": alike})
        say_found(hazards, years, ledger, at, label, **params)
        hazards.say_not_sanded(x.extraction, ledger, at, label, **params)
        if old is not None and old != "none":
            # Dust of an oiled surface heats itself as oily rags do.
            ledger.fact("binder", old.binder, of=of)
        if spot.species is not None:
            ledger.fact("sensitiser", spot.species.sensitiser, of=of)
    return found


def _says_itself(face: SandFace) -> bool:
    given = (face.treatment, face.species, face.old_coating, face.lead_test)
    return any(one is not None for one in given)


def _of(spot: ResolvedFace) -> str:
    """Return whom a fact is of: a floor is spoken of by its zone; what stands on it may be of another wood."""
    return spot.face.zone if spot.face.item is None else spot.id


def state_work(
    x: Inputs,
    spots: Iterable[ResolvedFace],
    works: list[tuple[ResolvedFace, Work]],
    hazards: Mapping[str, Found],
    ledger: Ledger,
) -> Number | None:
    """State what the sanding that is planned brings with it; return the vibration one person takes in a day of it.

    A film comes off where it is sanded, and where it must not be: somebody may reach for heat there.
    """
    powered = [(spot, made) for spot, made in works if spot.machine.powered]
    spots = list(spots)
    for spot in spots:
        of = _of(spot)
        same = [one for one in spots if _of(one) == of]
        state_film(
            ledger,
            film=any(one.condition == "old-film" for one in same),
            lead=worst(*(hazards[one.id].lead for one in same)),
            of=of,
        )
    for spot, _ in powered:
        seen = [sign for one, _ in powered if _of(one) == _of(spot) for sign in signs_on(one.face, x)]
        state_sanding(ledger, proud=proud_steel(seen, None), of=_of(spot))
    found = _vibration(powered, ledger)
    if found is not None:
        ledger.fact("vibration", spread.value(found))
    return found


def _vibration(powered: list[tuple[ResolvedFace, Work]], ledger: Ledger) -> Number | None:
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
