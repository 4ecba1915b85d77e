"""Steps between the route and the finish, in the order of work: protect, see to fasteners, sand."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, cast

from latewood.calculators import abrasive_sequence, fasteners, masking
from latewood.calculators.abrasive_sequence.fields import SandFace
from latewood.calculators.fasteners.fields import FastenerZone
from latewood.declare import RecordLookup
from latewood.plan import old_surface
from latewood.plan.borders import borders, corners
from latewood.plan.effective_zones import EffectiveZone, by_face, effective_components
from latewood.plan.hazards import found_in, not_sanded, unsandable
from latewood.plan.job import Job
from latewood.plan.stopped import Done
from latewood.plan.surface_rules import old_coating, signs, weathering_of
from latewood.plan.task import Task, by_id, left_out
from latewood.records import Condition, Route
from latewood.records.route import SANDS
from latewood.rules.hazard_fields import LEAD_TESTS, handed_on
from latewood.rules.hazards import rank
from latewood.rules.new_wood import weeks
from latewood.rules.signs import Sign
from latewood.rules.surface_layers import covering_of, layer_met
from latewood.rules.weathering import shows_grey
from latewood.uncertainty import spread

#: Zone, part and item of a face.
FaceKey = tuple[str, str, str | None]


def is_requested(job: Job, done: Mapping[str, Any]) -> bool:
    """Say whether a job says anything of the work before the finish; else it asks for areas and purchases only."""
    tables = (job.sanding, job.fastening, job.surroundings)
    return "condition" in done or any(tables) or any((job.machines, job.stock, job.patches))


def masking_tasks(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Protect what must not get wet, dusty or stained, before any of it happens, and only where it does."""
    if not is_requested(job, done):
        return
    every = [*zones, *effective_components(job, zones).values()]
    coated = [merged for merged in every if _coated(merged)]
    works, worked = _works(job, coated, zones, done)
    left = done.stops.why(merged.id for merged in coated)
    if not works:
        why = left_out("", left) or "nothing is washed, sanded or coated"
        yield Task("masking", "masking", status="skipped", why=why, parts=by_id(coated))
        return
    around = job.surroundings
    within = {merged.zone.id for merged in worked}
    floors = {merged.id for merged in worked if merged.own is None}
    called, careful = _most_careful(job, worked, known)
    inputs = masking.Inputs(
        works=tuple(known.record("site-protection", id) for id in works),
        borders=borders(job, within),
        corners=corners(job, within),
        area=math.fsum(float(spread.value(row.area)) for row in done["area"].zones if row.id in floors),
        below=None if around is None else around.below,
        plants=() if around is None else around.plants,
        **careful,
        wall_coating=None if around is None else around.wall_coating,
        **({} if around is None else {f"wall_{name}": getattr(around, f"wall_{name}") for name in LEAD_TESTS}),
        year_built=job.site.year_built,
        jurisdiction=job.site.jurisdiction,
        as_of=job.as_of,
    )
    why = "walls, ground, plants and neighbours are covered before the work that would reach them"
    status = "partial" if left else "done"
    stands = [(f"/wall_{name}", f"/surroundings/wall_{name}") for name in ("coating", *LEAD_TESTS)]
    most = next((merged for merged in worked if merged.id == called.get("deck")), None)
    if most is not None:
        stands += [(f"/{name}", most.pointer_to(name)) for name in ("old_coating", *LEAD_TESTS)]
    shown = left_out(why, left)
    yield Task("masking", "masking", inputs, status, shown, stands=tuple(stands), parts=by_id(worked), called=called)


def fastener_tasks(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Look at every head and set the proud ones, before a disc meets them."""
    if not is_requested(job, done):
        return
    floors = {merged.id: merged for merged in zones}
    sanded = {zone for zone, part, _ in sanded_faces(done) if part in ("field", "perimeter")}
    left = done.stops.why(merged.id for merged in zones if _coated(merged))
    if not sanded:
        why = left_out("no floor is sanded", left)
        yield Task("fasteners", "fasteners", status="skipped", why=why, parts=by_id(zones))
        return
    counted = tuple(
        FastenerZone(
            id=row.id,
            fasteners=row.fasteners,
            species=floors[row.id].fields.species,
            signs=floors[row.id].fields.signs or (),
        )
        for row in done["area"].zones
        if row.id in sanded and row.fasteners is not None
    )
    missing = tuple(
        floors[row.id].pointer_to("boards/joist_spacing")
        for row in done["area"].zones
        if row.id in sanded and row.fasteners is None
    )
    if not counted:
        why = "how many fasteners there are follows from boards and joists, which are not known"
        parts = {zone: zone for zone in sanded}
        yield Task("fasteners", "fasteners", status="blocked", why=why, missing=missing, parts=parts)
        return
    held = job.fastening
    covers = [floors[zone].fields.fastener_cover for zone in sorted(sanded)]
    given = {} if held is None else {name: getattr(held, name) for name in held.__struct_fields__}
    inputs = fasteners.Inputs(
        zones=counted,
        removal=done["abrasive-sequence"].removal,
        fastener_cover=min((cover for cover in covers if cover is not None and cover >= 0), default=None),
        machine=next((part.machine for part in job.machines if part.part == "field"), None),
        **given,
    )
    why = left_out("before any sanding: a proud head tears the abrasive and throws sparks into the extractor", left)
    status = "partial" if missing or left else "done"
    stands = (("/machine", "/machines"), ("", "/fastening"))
    parts = {row.id: row.id for row in counted}
    yield Task("fasteners", "fasteners", inputs, status, why, missing, stands, parts=parts)


def sanding_tasks(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Sand what is sanded: gaps first, then perimeter and field, each plane to one last grade."""
    if not is_requested(job, done):
        return
    every = [merged for merged in (*zones, *effective_components(job, zones).values()) if _coated(merged)]
    left = done.stops.why(merged.id for merged in every)
    inputs, parts, faces = _sequence(job, zones, done, known)
    if inputs is None:
        why = left_out(_why_not(job, zones, done, known), left)
        yield Task("abrasive-sequence", "abrasive-sequence", status="skipped", why=why, parts=by_id(every))
        return
    why = "gaps are cleaned before the faces beside them; perimeter and field end at one grade, and a vacuum comes last"
    why += "".join(f"; {words}" for words in _waits(zones, done))
    stands = (
        ("/parts", "/machines"),
        ("/practice", "/sanding/practice"),
        ("/last_grade", "/sanding/last_grade"),
        *faces,
    )
    yield Task(
        "abrasive-sequence",
        "abrasive-sequence",
        inputs,
        "partial" if left else "done",
        left_out(why, left),
        stands=stands,
        parts=parts,
        decides=True,
    )


def _waits(zones: list[EffectiveZone], done: Done) -> Iterator[str]:
    """Say which floors wait for drops before they are sanded: new treated wood on which water beads."""
    for merged in zones:
        prepared = done.get(old_surface.named("preparation", merged, zones))
        if prepared is not None and prepared.test_again_after is not None and merged.id not in done.stops:
            on = prepared.test_again_on
            when = f"after {weeks(prepared.test_again_after)}" if on is None else f"from {on:%a %d %b}"
            yield f"{merged.zone.id} is tested again {when}, before it is sanded"


def _why_not(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> str:
    """Return why nothing is sanded: the routes, or what the job says of the wood when it is coated."""
    if all(merged.id in done.stops for merged in zones):
        return "nothing is sanded"
    if "condition" not in done and (reasons := [why for m in zones for why in not_sanded(job, m, known)]):
        return reasons[0]
    routes = [route_of(merged, zones, done, known) for merged in zones]
    kept = [m for m, route in zip(zones, routes, strict=True) if route is not None and route.sands and _coated(m)]
    if kept:
        stated = ", ".join(f"{m.zone.id} {m.fields.surface}" for m in kept if m.fields.surface is not None)
        return f"by the job the wood is coated as it is, and not sanded: {stated}"
    return "the routes taken sand nothing"


def _sequence(
    job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup
) -> tuple[abrasive_sequence.Inputs | None, dict[str, str], tuple[tuple[str, str], ...]]:
    """Return what a job says of sanding, as the sequence asks for it, whose faces it calls what, and where they stand.

    None where nothing is sanded.
    """
    floors = {merged.zone.id: merged for merged in zones}
    barred = unsandable(job, effective_components(job, zones).values(), known)
    faces: list[SandFace] = []
    parts: dict[str, str] = {}
    stands: list[tuple[str, str]] = []
    for merged, face in by_face(job, zones, done["area"].faces):
        if merged.id in done.stops or merged.id in barred or face.side is not None or face.part == "lattice":
            continue
        if not _finished(merged) or not _sanded(job, floors[face.zone], zones, done, known):
            continue
        boards = None if merged.own is not None else merged.fields.boards
        stands.append((f"/faces/{len(faces)}", merged.pointer))
        parts["-".join(word for word in (face.zone, face.part, face.item) if word)] = merged.id
        faces.append(
            SandFace(
                zone=face.zone,
                part=face.part,
                item=face.item,
                area=face.area,
                length=face.length,
                count=face.count,
                species=merged.fields.species,
                coating=merged.fields.coating,
                **handed_on(merged.fields),
                old_coating=old_coating(merged, known),
                condition=_condition(merged, route_of(floors[face.zone], zones, done, known), job, known),
                profile=None if boards is None else boards.profile,
                cupped="cupping" in signs(merged) if signs(merged) else None,
                gap_treatment=merged.fields.gap_treatment if face.part == "gap-faces" else None,
            )
        )
    if not any(face.part != "gap-faces" for face in faces):
        return None, {}, ()
    how = job.sanding
    given = {} if how is None else {name: getattr(how, name) for name in how.__struct_fields__}
    inputs = abrasive_sequence.Inputs(
        faces=tuple(faces),
        stock=job.stock,
        parts=job.machines,
        patches=job.patches,
        extraction=job.choices.extraction,
        year_built=job.site.year_built,
        jurisdiction=job.site.jurisdiction,
        as_of=job.as_of,
        **given,
    )
    return inputs, parts, tuple(stands)


def _finished(merged: EffectiveZone) -> bool:
    """Say whether something is to be coated smooth: what is left bare, rough or weathered is not sanded."""
    return _coated(merged) and merged.fields.surface in (None, "sanded")


def _coated(merged: EffectiveZone) -> bool:
    """Say whether something of wood is to be coated."""
    fields = merged.fields
    return fields.coating is not None and not fields.coating.bare and fields.material != "composite"


def _sanded(job: Job, merged: EffectiveZone, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> bool:
    """Say whether the route of a zone sands it; a job that names no route sands what is to be finished."""
    if not _finished(merged):
        return False
    if "condition" not in done:
        return not not_sanded(job, merged, known)
    route = route_of(merged, zones, done, known)
    return route is not None and route.sands


def route_of(merged: EffectiveZone, zones: Sequence[EffectiveZone], done: Done, known: RecordLookup) -> Route | None:
    """Return the route a floor is prepared by; None where it is stopped, or not prepared."""
    chosen = done.get(old_surface.named("preparation", merged, zones))
    return None if chosen is None or merged.id in done.stops else known.records("route").get(chosen.chosen)


def _condition(merged: EffectiveZone, route: Route | None, job: Job, known: RecordLookup) -> Condition:
    """Return what the sander meets: what the route says, else what is seen, or follows from age and old coating.

    After stripping or washing a floor is not what was seen before.
    """
    if route is not None and merged.own is None:
        layers = [step.layer for step in route.steps if step.does in SANDS and step.layer not in ("none", "seen")]
        if layers and not any(step.layer == "seen" for step in route.steps):
            return cast("Condition", layers[0])
    own: tuple[Sign, ...] = getattr(merged.own, "signs", ()) or ()
    signs = own or merged.fields.signs or ()
    covering = covering_of(merged.fields.old_coating, signs)
    return layer_met(signs, covering, grey=shows_grey(covering, weathering_of(merged, job, known), signs))


def _most_careful(
    job: Job, worked: Iterable[EffectiveZone], known: RecordLookup
) -> tuple[dict[str, str], dict[str, Any]]:
    """Return the part whose old coating asks for most care, as masking calls it, and that coating with its test.

    One that may hold lead comes before one that does not. Nothing where nobody named any.
    """
    named = [m for m in worked if old_coating(m, known) is not None]
    named.sort(key=lambda m: (-rank(found_in(job, m, known).lead), old_coating(m, known) == "none"))
    if not named:
        return {}, {}
    tests = {name: getattr(named[0].fields, name) for name in LEAD_TESTS}
    return {"deck": named[0].id}, {"old_coating": old_coating(named[0], known), **tests}


def _works(
    job: Job, coated: list[EffectiveZone], zones: list[EffectiveZone], done: Done
) -> tuple[list[str], list[EffectiveZone]]:
    """Return the kinds of work that scatter something, in their order, and the parts they are done on."""
    washed = [m for m in zones if (one := done.get(old_surface.named("wash", m, zones))) and one.verdict == "go"]
    brushed = [merged for merged in coated if merged.id not in done.stops]
    application = job.choices.application
    coating = None if application is None else application.protection
    sanded = brushed if sanded_faces(done) else []
    done_on = {"washing": washed, "sanding": sanded, coating or "brushing": brushed}
    worked = {merged.id: merged for members in done_on.values() for merged in members}
    return [work for work, members in done_on.items() if members], list(worked.values())


def spray_stopped(done: Mapping[str, Any]) -> str:
    """Return why nothing may be sprayed here, empty where it may, or nobody asked for it."""
    rows = done["masking"].works if "masking" in done else ()
    stopped = next((row for row in rows if row.verdict == "stop"), None)
    return "" if stopped is None else f"{stopped.id} must not be done here: brush, roll or pad instead"


def sanded_faces(done: Mapping[str, Any]) -> frozenset[FaceKey]:
    """Return zone, part and item of every face that a machine sands."""
    result = done.get("abrasive-sequence")
    rows = () if result is None else result.rows
    return frozenset((row.zone, row.part, row.item) for row in rows if row.status != "refused")
