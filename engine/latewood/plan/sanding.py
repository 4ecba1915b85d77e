"""Which faces are sanded, and in which order of grades."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from latewood.calculators import abrasive_sequence
from latewood.calculators.abrasive_sequence.fields import SandFace
from latewood.declare import RecordLookup
from latewood.messages import Clause, Moment, Name, Titled, Word, clause
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.hazards import carriers_of, not_sanded, part_of, unsandable
from latewood.plan.job import Job, Stair
from latewood.plan.kinds import CONDITION, PREPARATION, SANDING
from latewood.plan.surface_rules import old_coating, signs, weathering_of
from latewood.plan.task import Task, by_id, filled, left_out
from latewood.provenance import Ledger
from latewood.records import Route
from latewood.rules.new_wood import weeks
from latewood.rules.old_and_new_finish import pair
from latewood.rules.part_routes import part_route
from latewood.rules.route_work import layer_of
from latewood.rules.surface_layers import covering_of, layer_met
from latewood.rules.wash_recipe import sands_down
from latewood.rules.weathering import shows_grey


def is_requested(job: Job, done: Done) -> bool:
    """Say whether a job says anything of the work before the finish; else it asks for areas and purchases only."""
    tables = (job.sanding, job.fastening, job.surroundings)
    return done.one(CONDITION) is not None or any(tables) or any((job.machines, job.stock, job.patches))


def sanding_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Sand what is sanded: gaps first, then perimeter and field, each plane to one last grade."""
    if not is_requested(job, done):
        return
    every = [merged for merged in done.whole if merged.is_coated]
    held = tuple(merged.id for merged in every)
    left = done.stops.why(held)
    inputs, parts, faces = _sequence(job, done, known)
    if inputs is None:
        why = left_out((_why_not(job, done, known),), left)
        yield Task(SANDING, status=done.stops.status(held), why=why, parts=by_id(every), held=held)
        return
    own = [done.parts[id] for id in dict.fromkeys(parts.values()) if done.parts[id].own is not None]
    why = (clause("why-abrasive-sequence"), *_by_own_route(own, known), *_waits(done))
    stands = (
        ("/parts", "/machines"),
        ("/practice", "/sanding/practice"),
        ("/last_grade", "/sanding/last_grade"),
        *faces,
    )
    yield Task(
        SANDING,
        "",
        inputs,
        "partial" if left else "done",
        left_out(why, left),
        stands=stands,
        parts=parts,
        held=held,
        decides=True,
    )


def _waits(done: Done) -> Iterator[Clause]:
    """Say which floors wait for drops before they are sanded: new treated wood on which water beads."""
    for merged in done.zones:
        prepared = done.one(PREPARATION, merged.id)
        if prepared is not None and prepared.test_again_after is not None and merged.id not in done.stops:
            zone, on = Name(merged.zone.id), prepared.test_again_on
            if on is None:
                yield clause("tested-after-before-sanding", zone=zone, wait=weeks(prepared.test_again_after))
            else:
                yield clause("tested-on-before-sanding", zone=zone, day=Moment(on))


def _why_not(job: Job, done: Done, known: RecordLookup) -> Clause:
    """Return why nothing is sanded: the routes, or what the job says of the wood when it is coated."""
    if all(merged.id in done.stops for merged in done.zones):
        return clause("nothing-sanded")
    if done.one(CONDITION) is None and (reasons := [why for m in done.zones for why in not_sanded(job, m, known)]):
        return reasons[0]
    routes = [route_of(merged, done, known) for merged in done.zones]
    kept = [m for m, route in zip(done.zones, routes, strict=True) if route is not None and route.sands and m.is_coated]
    if kept:
        stated = [
            clause("zone-coated-as", zone=Name(m.zone.id), surface=Word("surface", m.fields.surface))
            for m in kept
            if m.fields.surface is not None
        ]
        return clause("coated-as-it-is", zones=stated)
    return clause("routes-sand-nothing")


def _sequence(
    job: Job, done: Done, known: RecordLookup
) -> tuple[abrasive_sequence.Inputs | None, dict[str, str], tuple[tuple[str, str], ...]]:
    """Return what a job says of sanding, as the sequence asks for it, whose faces it calls what, and where they stand.

    None where nothing is sanded.
    """
    floors = {merged.zone.id: merged for merged in done.zones}
    by_hand = unsandable(job, done.components.values(), known)
    faces: list[SandFace] = []
    parts: dict[str, str] = {}
    stands: list[tuple[str, str]] = []
    for merged, face in done.faces:
        if merged.id in done.stops or merged.id in by_hand or face.side is not None or face.part == "lattice":
            continue
        if not _finished(merged) or not _sanded(job, floors[face.zone], done, known):
            continue
        boards = None if merged.own is not None else merged.fields.boards
        stands.append((f"/faces/{len(faces)}", merged.pointer))
        parts["-".join(word for word in (face.zone, face.part, face.item) if word)] = merged.id
        faces.append(
            filled(
                SandFace,
                face,
                merged.fields,
                # What is seen is in its condition.
                signs=(),
                carriers=carriers_of(merged.own),
                old_coating=old_coating(merged, known),
                **_condition(merged, done, job, known),
                profile=None if boards is None else boards.profile,
                cupped="cupping" in signs(merged) if signs(merged) else None,
                gap_treatment=merged.fields.gap_treatment if face.part == "gap-faces" else None,
            )
        )
    if not any(face.part != "gap-faces" for face in faces):
        return None, {}, ()
    left = {zone for zone in floors if not any(face.zone == zone for face in faces)}
    tried = [(place, patch) for place, patch in enumerate(job.patches) if patch.zone not in left]
    stands += [(f"/patches/{n}", f"/patches/{place}") for n, (place, _) in enumerate(tried)]
    own = {"faces": tuple(faces), "parts": job.machines, "patches": tuple(patch for _, patch in tried)}
    sources = (job, job.site, job.sanding, job.choices)
    return filled(abrasive_sequence.Inputs, *sources, **own), parts, tuple(stands)


def _finished(merged: EffectiveZone) -> bool:
    """Say whether something is to be coated smooth: what is left bare, rough or weathered is not sanded."""
    return merged.is_coated and merged.fields.surface in (None, "sanded")


def _sanded(job: Job, merged: EffectiveZone, done: Done, known: RecordLookup) -> bool:
    """Say whether the route of a zone sands it; a job that names no route sands what is to be finished."""
    if not _finished(merged):
        return False
    if done.one(CONDITION) is None:
        return not not_sanded(job, merged, known)
    route = route_of(merged, done, known)
    return route is not None and route.sands


def route_of(merged: EffectiveZone, done: Done, known: RecordLookup) -> Route | None:
    """Return the route a floor is prepared by; None where it is stopped, or not prepared."""
    chosen = done.one(PREPARATION, merged.id)
    return None if chosen is None or merged.id in done.stops else known.records("route").get(chosen.chosen)


def _condition(merged: EffectiveZone, done: Done, job: Job, known: RecordLookup) -> dict[str, Any]:
    """Return what the sander meets: what the route says, else what is seen, or follows from age and old coating.

    After stripping or washing a floor is not what was seen before, nor what trials were made on.
    """
    own = merged.own
    follows = own is None or (isinstance(own, Stair) and not own.signs)
    seen_on = (merged.fields.signs or ()) if follows else signs(merged)
    covering = covering_of(merged.fields.old_coating, seen_on)
    seen = layer_met(seen_on, covering, grey=shows_grey(covering, weathering_of(merged, job, known), seen_on))
    route = route_of(merged, done, known) if own is None else route_of_part(merged, known)
    condition = seen if route is None else layer_of(route, seen)
    return {"condition": condition, "trials_hold": None if condition == seen else False}


def route_of_part(merged: EffectiveZone, known: RecordLookup) -> Route | None:
    """Return the route of what stands on a floor, by what is seen on itself; None for a floor, and for stairs."""
    coating = merged.fields.coating
    if merged.own is None or coating is None:
        return None
    seen, to_wood = signs(merged), merged.own.surface == "sanded"
    finish = pair(coating, old_coating(merged, known), seen)
    return part_route(part_of(merged.own), finish, seen, known, to_wood=to_wood)


def find_part_routes(done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Name the route assumed for each part on whose own face nothing is said to be seen."""
    for merged, route in unseen(done, known):
        ledger.find(
            "default-signs",
            text="part-route-assumed",
            pointer=merged.pointer_to("signs"),
            params={"of": merged.id},
            label=Word("field", "signs"),
            value=Titled(route),
            part=Name(merged.id),
        )


def unseen(done: Done, known: RecordLookup) -> Iterator[tuple[EffectiveZone, Route]]:
    """Yield the parts by a route of their own of which it is not said what is seen on them."""
    for merged in _sanded_parts(done):
        route = route_of_part(merged, known)
        if route is not None and not signs(merged):
            yield merged, route


def _sanded_parts(done: Done) -> list[EffectiveZone]:
    """Return what stands on floors and is sanded or scuffed."""
    return list(
        {m.id: m for m, face in done.faces if m.own and (face.zone, face.part, face.item) in done.sanded}.values()
    )


def _by_own_route(parts: Iterable[EffectiveZone], known: RecordLookup) -> Iterator[Clause]:
    """Say which parts keep their old finish, so that only a scuff is planned on them."""
    kept: dict[str, tuple[Route, list[Name]]] = {}
    for merged in parts:
        route = route_of_part(merged, known)
        if route is not None and not sands_down(route):
            kept.setdefault(route.id, (route, []))[1].append(Name(merged.id))
    for route, names in kept.values():
        yield clause("parts-by-route", parts=names, route=Titled(route))
