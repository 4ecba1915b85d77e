"""What is left of an old finish on each face when the new one is laid, and which parts that stops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from latewood.calculators.area.result import FaceArea
from latewood.declare import RecordLookup
from latewood.messages import Name, Titled, Word, clause
from latewood.plan import sanding, surfaces
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.kinds import CONDITION, WASH
from latewood.plan.surface_rules import old_coating, signs
from latewood.provenance import Ledger
from latewood.records import Coating
from latewood.rules.faces import out_of_reach
from latewood.rules.old_and_new_finish import Pair, note_pair, pair
from latewood.rules.wash_recipe import sands_down
from latewood.rules.wording import place


@dataclass(frozen=True)
class OldFinish:
    """The old coatings of a deck, and what the work that is planned leaves of them."""

    job: Job
    done: Done
    known: RecordLookup

    @cached_property
    def looked_at(self) -> bool:
        """Whether the work before the finish is planned at all."""
        return sanding.is_requested(self.job, self.done)

    def under(self, merged: EffectiveZone, face: FaceArea) -> Pair | None:
        """Hold a part's new finish against what is left on a face; None where none is to be put on."""
        coating = merged.fields.coating
        if coating is None or merged.fields.material == "composite" or not surfaces.coated(merged, face):
            return None
        if self.comes_off(merged, face):
            return pair(coating, "none")
        return self.over_now(merged, coating)

    def over_now(self, merged: EffectiveZone, coating: Coating) -> Pair:
        """Hold a finish against what is on a part before any work."""
        return pair(coating, old_coating(merged, self.known), signs(merged))

    def comes_off(self, merged: EffectiveZone, face: FaceArea) -> bool:
        """Say whether an old coat is off a face when the new one is laid.

        A job that says nothing of the work before is believed where it calls the face sanded.
        """
        if not self.looked_at:
            return surfaces.of_face(merged, face) == "sanded"
        sanded = self._reached(merged, face)
        own = sanding.route_of_part(merged, self.known)
        if own is not None:
            return sanded and sands_down(own)
        if merged.own is not None or self.done.one(CONDITION) is None:
            return sanded
        route = sanding.route_of(merged, self.done, self.known)
        if route is None or not route.takes_film_off:
            return False
        washed = self.done.one(WASH, merged.id)
        return sanded or (washed is not None and any(stage.role == "stripper" for stage in washed.stages))

    def _reached(self, merged: EffectiveZone, face: FaceArea) -> bool:
        """Say whether a machine sands a face; of gap faces those whose treatment sands them."""
        if face.side is not None:
            return False
        if face.part == "gap-faces":
            treated = merged.fields.gap_treatment in surfaces.SANDED_GAPS
            return treated and any((face.zone, part, None) in self.done.sanded for part in ("field", "perimeter"))
        return (face.zone, face.part, face.item) in self.done.sanded


def find_left(job: Job, done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Find the parts whose old film the work leaves under a finish that may not go over it, and faces of others."""
    old = OldFinish(job, done, known)
    faces: dict[str, tuple[EffectiveZone, list[tuple[FaceArea, Pair]]]] = {}
    for merged, face in done.faces:
        found = old.under(merged, face)
        if found is not None and merged.id not in done.stops:
            faces.setdefault(merged.id, (merged, []))[1].append((face, found))
    left_out: dict[str, list[Word]] = {}
    under: dict[str, tuple[Coating, list[EffectiveZone]]] = {}
    for merged, held in faces.values():
        at = merged.pointer_to("old_coating")
        within = [found for face, found in held if not out_of_reach(face.part, face.side)]
        refused = next((found for found in within or [found for _, found in held] if found.refused), None)
        if refused is not None:
            note_pair(refused, ledger, pointer=at, place=place(merged.id), of=merged.id)
        else:
            kinds = {(face.side, face.part): None for face, found in held if found.refused}
            if kinds:
                left_out[merged.id] = [Word("side", side) if side else Word("part", part) for side, part in kinds]
            if (film := _film_now(merged, old)) is not None:
                under.setdefault(film.new.id, (film.new, []))[1].append(merged)
    _find_off_by_then(under, old, ledger)
    if left_out:
        _find_left_out(left_out, ledger)


def _find_left_out(faces: Mapping[str, Sequence[Word]], ledger: Ledger) -> None:
    """Say which faces of which parts keep their film because nothing that is planned reaches them."""
    where = [clause("faces-of-part", part=Name(part), faces=kinds) for part, kinds in faces.items()]
    ledger.find("film-out-of-reach", params={"parts": list(faces)}, where=where)


def _film_now(merged: EffectiveZone, old: OldFinish) -> Pair | None:
    """Return the film on a part and what is to go into its wood once the film is off; None where neither is so."""
    coating = merged.fields.coating
    found = None if coating is None else old.over_now(merged, coating)
    return found if found is not None and found.fit == "penetrating-over-film" else None


def _find_off_by_then(
    under: Mapping[str, tuple[Coating, Sequence[EffectiveZone]]], old: OldFinish, ledger: Ledger
) -> None:
    """Say that a film has to be off before what goes into the wood is laid: by the work planned, or as the job says."""
    for coating, members in under.values():
        of = [merged.id for merged in members]
        params, parts = {"parts": of}, [Name(id) for id in of]
        if old.looked_at:
            at = members[0].pointer_to("old_coating")
            ledger.find("film-off-by-then", pointer=at, params=params, parts=parts, coating=Titled(coating))
        else:
            at = members[0].pointer_to("surface")
            ledger.find("film-off-by-then", text="film-called-sanded", pointer=at, params=params, parts=parts)
