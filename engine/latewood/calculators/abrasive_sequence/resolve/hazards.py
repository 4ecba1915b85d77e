"""What lead and arsenic the faces may hold, and what cautions go by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from latewood.calculators.abrasive_sequence.fields import SandFace
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.surface_rules import film_seen
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.rules.hazard_fields import Old
from latewood.rules.hazards import Years, coating_seen, years_of
from latewood.rules.hazards_found import Found, found_of, note_found
from latewood.rules.lead import coat_of
from latewood.rules.preservatives import Wood, uses_of
from latewood.rules.sanding_work.method import SandedFace
from latewood.rules.wording import place


def old_on(face: SandFace, x: Inputs, known: RecordLookup) -> Old | None:
    """Return the old coating on a face: the unknown one where it is a film that no named one makes."""
    return coating_seen(face.old_coating or x.old_coating, film_seen(face, x), known)


def found_in(face: SandFace, x: Inputs, years: Years, known: RecordLookup) -> Found:
    """Return the hazards of one face; what it says of itself comes before what is said of all."""
    own_wood = face.treatment is not None or face.species is not None
    own_coat = face.old_coating is not None or face.lead_test is not None
    proof = (face if own_wood else x).treatment_evidence
    uses = uses_of(face.part, carriers=face.carriers)
    wood = Wood(face.species or x.species, face.treatment or x.treatment, proof, uses)
    said = coat_of(face if own_coat else x)
    return found_of(wood, replace(said, old=old_on(face, x, known), weathers=True), years)


def state_hazards(x: Inputs, faces: Sequence[SandedFace], known: RecordLookup, ledger: Ledger) -> Mapping[str, Found]:
    """Return the hazards of each face, say what stops it, and state what cautions go by."""
    years = years_of(x, known, ledger, x.as_of)
    given = {face.id: asked_of(face, x) for face in faces}
    if x.treatment is None and any(one.treatment is None for one in given.values()):
        ledger.default("treatment", "unknown", effect=None, why=clause("preservative-not-ruled-out"))
    for gap in x.faces:
        if gap.part == "gap-faces":
            found_in(gap, x, years, known).state(ledger, gap.zone)
    found = {id: found_in(one, x, years, known) for id, one in given.items()}
    alike = [id for id, one in given.items() if not _says_itself(one) and found[id].not_sanded(x.extraction)]
    for face in faces:
        hazards, old = found[face.id], old_on(given[face.id], x, known)
        at = f"/faces/{face.place}" if _says_itself(given[face.id]) else ""
        hazards.state(ledger, face.called)
        of, params = (place(face.id), {"face": face.id}) if at else ((), {"faces": alike})
        note_found(hazards, years, ledger, at, of, **params)
        hazards.note_not_sanded(x.extraction, ledger, at, of, **params)
        if old is not None and old != "none":
            # Dust of an oiled surface heats itself as oily rags do.
            ledger.fact("binder", old.binder, of=face.called)
        if face.species is not None:
            ledger.fact("sensitiser", face.species.sensitiser, of=face.called)
    return found


def asked_of(face: SandedFace, x: Inputs) -> SandFace:
    """Return a face as it was given; the whole floor where none was."""
    return x.faces[face.place] if x.faces else SandFace(zone=face.zone, part=face.part, area=face.area)


def _says_itself(face: SandFace) -> bool:
    given = (face.treatment, face.species, face.old_coating, face.lead_test)
    return any(one is not None for one in given)
