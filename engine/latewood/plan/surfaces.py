"""Which faces a job coats, and how smooth each of them is by then: what sanding a floor does not reach."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from latewood.calculators import coverage
from latewood.calculators.area.result import FaceArea
from latewood.messages import Area, Code, Name, Share, Word, clause, refusal
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Extra, Job, Stair
from latewood.plan.kinds import COVERAGE, SANDING
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.provenance.ledger import MATTERS
from latewood.records.coating import Surface
from latewood.rules.faces import out_of_reach
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Of the treatments of gaps those that sand their faces; the others clean them, or ease the edges that are seen.
SANDED_GAPS: Final = frozenset({"machine-profile", "hand"})
#: Chance so small that an uptake is as good as never below it; if even that is nothing, a model was left behind.
_NEVER: Final = 0.001
#: What is done to gaps where it is not said: common practice, no source.
GAP_TREATMENT, GAP_FACES = "clean-only", "coated"


def coated(merged: EffectiveZone, face: FaceArea) -> bool:
    """Say whether a face is coated at all: gap faces may be left bare."""
    return face.part != "gap-faces" or merged.fields.gap_faces != "bare"


def of_face(merged: EffectiveZone, face: FaceArea) -> Surface | None:
    """Return the surface a job states of a face, None where it states none or sanding does not reach it.

    Wood that is not sanded is alike on all its faces. What only sanding would change is left to the coverage step,
    which takes it as weathered and says so.
    """
    surface, own = merged.fields.surface, merged.own
    if not out_of_reach(face.part, face.side):
        return surface
    if face.side == "underside" and isinstance(own, Stair | Extra) and own.underside_surface is not None:
        return own.underside_surface
    if face.part == "gap-faces" and merged.fields.gap_treatment in SANDED_GAPS:
        return surface or "sanded"
    if own is not None and own.surface is not None and face.side is None:
        # Said of the lattice itself, not of the floor it belongs to.
        return own.surface
    return merged.beyond if surface in (None, "sanded") else surface


def uptake(merged: EffectiveZone, face: FaceArea, done: Done) -> Number | None:
    """Return what a face takes up after the last grade it is sanded with, beside wood the rate holds for.

    None where it is not sanded, or where nothing is known of it; also where it is the usual.
    """
    sequence = done.one(SANDING)
    if face.side is not None or sequence is None or of_face(merged, face) not in (None, "sanded"):
        return None
    place = (face.zone, face.part, face.item)
    taken = next((r.uptake for r in sequence.rows if (r.zone, r.part, r.item) == place), None)
    if taken is None or spread.quantile(taken, _NEVER) <= 0 or spread.low(taken) == spread.high(taken) == 1:
        return None
    return taken


def faults(job: Job) -> Iterator[Fault]:
    """Find undersides whose surface is given though they are not coated, or do not stand apart."""
    for index, stair in enumerate(job.stairs):
        shown = stair.undersides if stair.undersides is not None else stair.riser_form == "open"
        if stair.underside_surface is not None and not shown:
            yield refusal("treads-not-coated-below", f"/stairs/{index}/underside_surface")
    for index, extra in enumerate(job.extras):
        if extra.underside_surface is not None and (extra.part != "bench" or extra.area is not None):
            yield refusal("no-underside-of-its-own", f"/extras/{index}/underside_surface")


def find(done: Done, ledger: Ledger) -> None:
    """State what is done about gaps in each zone: the treatment and whether they are coated are choices."""
    by_id = {merged.zone.id: merged for merged in done.zones}
    faces = [face for face in done.area.faces if face.part in ("field", "perimeter", "gap-faces")]
    taken, bare = [], []
    for face in faces:
        merged = by_id[face.zone]
        if face.part != "gap-faces" or merged.fields.coating is None or merged.fields.material == "composite":
            continue
        if merged.fields.gap_faces == "bare":
            bare.append(face)
            continue
        if merged.fields.gap_treatment is None:
            note = clause("gaps-usually-cleaned")
            ledger.use(f"input{merged.pointer_to('gap_treatment')}", GAP_TREATMENT, "default", note=note)
        if merged.fields.gap_faces is None:
            note = clause("gaps-usually-coated")
            ledger.use(f"input{merged.pointer_to('gap_faces')}", GAP_FACES, "default", note=note)
            taken.append(face)
    _find_coated(taken, [result for _, result in done.every(COVERAGE)], by_id, ledger)
    for face in bare:
        at, params = by_id[face.zone].pointer_to("gap_faces"), {"zone": face.zone, "area": round(face.area, 3)}
        ledger.find("gap-faces-bare", pointer=at, params=params, zone=Name(face.zone), area=Area(face.area))


def _find_coated(
    taken: list[FaceArea], coated: list[coverage.Result], by_id: dict[str, EffectiveZone], ledger: Ledger
) -> None:
    """Say what bare gaps would change: the finish that lies on them, of all of it."""
    area, gaps = math.fsum(face.area for face in taken), [r for one in coated for r in one.parts if r.id == "gap-faces"]
    there = math.fsum(row.area for row in gaps)
    whole = math.fsum(spread.central(one.volume) for one in coated)
    if not area or not there or not whole:
        return
    names = [face.zone for face in taken]
    effect = math.fsum(spread.central(row.volume) for row in gaps) / whole * min(area / there, 1.0)
    if effect <= MATTERS:
        return
    ledger.find(
        "default-gap-faces",
        text="assumed",
        pointer=by_id[names[0]].pointer_to("gap_faces"),
        params={
            "zones": names,
            "area": round(area, 3),
            "assumed": GAP_FACES,
            "output": "coverage",
            "effect": round(effect, 4),
        },
        label=Word("field", "gap_faces"),
        value=Word("choice", GAP_FACES),
        output=Word("output", "coverage"),
        effect=Share(effect),
        field=Code("gap_faces"),
        given=Code(GAP_FACES),
        why=[clause("gaps-usually-coated")],
    )
