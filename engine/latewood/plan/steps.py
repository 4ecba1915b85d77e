"""The steps of a plan: each maps the job and earlier results to one calculator's inputs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from latewood.calculators import area, coverage
from latewood.calculators._coverage.fields import Face
from latewood.calculators.area.zones import AreaZone
from latewood.declare import Known
from latewood.plan import cadence, moisture, old_surface, sanding, surfaces, windows
from latewood.plan.job import Job
from latewood.plan.merged import Merged, merged_components, of_face
from latewood.plan.task import Step, Task
from latewood.records import Coating


def take_off(job: Job, zones: list[Merged]) -> area.Inputs:
    """Return what a job says of shapes, as the take-off asks for it."""
    shapes = tuple(
        AreaZone(
            id=z.id,
            part_of=z.part_of,
            outline=z.outline,
            length=z.length,
            width=z.width,
            holes=z.holes,
            area=z.area,
            level=z.level,
            species=merged.fields.species,
            boards=z.boards,
            edges=z.edges,
        )
        for z, merged in zip(job.zones, zones, strict=True)
    )
    return area.Inputs(
        zones=shapes,
        boards=job.defaults.boards,
        stairs=job.stairs,
        guards=job.guards,
        extras=job.extras,
        stated_area=job.stated_area,
        pad_width=job.pad_width,
        labour_allowance=job.labour_allowance,
    )


#: Where inputs of the take-off stand in a job, if not at the same place.
STANDS = (("/boards", "/defaults/boards"),)


def _area(job: Job, zones: list[Merged], done: dict[str, Any], known: Known) -> Iterator[Task]:
    yield Task("area", "area", take_off(job, zones), stands=STANDS, in_job=True)


def _coverage(job: Job, zones: list[Merged], done: dict[str, Any], known: Known) -> Iterator[Task]:
    """One purchase for each coating and number of coats: a can is not shared between coatings."""
    by_id = {merged.zone.id: merged for merged in zones}
    components = merged_components(job, zones)
    groups: dict[tuple[str, int | None], list[tuple[Merged, Any, Coating]]] = {}
    stopped = old_surface.stopped(done)
    for face in done["area"].faces:
        owner = of_face(face.part, face.item)
        merged = by_id[face.zone] if owner is None else components[owner]
        coating = merged.fields.coating
        if merged.id in stopped:
            continue
        if coating is not None and merged.fields.material != "composite" and surfaces.coated(merged, face):
            groups.setdefault((coating.id, merged.fields.coats), []).append((merged, face, coating))
    if why := sanding.spray_stopped(done):
        yield Task("coverage", "coverage", status="blocked", why=why)
        return
    if not groups:
        why = (
            "no finish is planned for what is in doubt, or may not be prepared"
            if stopped
            else "no zone of wood names a coating"
        )
        yield Task("coverage", "coverage", status="skipped", why=why)
    for (coating_id, coats), members in groups.items():
        several = sum(1 for other, _ in groups if other == coating_id) > 1
        name = f"coverage-{coating_id}" + (f"-{coats}" if several and coats is not None else "")
        # Wood that nothing is put on need not be known.
        bare = members[0][2].bare
        known_wood = [(m, f) for m, f, _ in members if bare or m.fields.species is not None]
        lacking = [m for m, _, _ in members if m.fields.species is None and not bare]
        missing = tuple(dict.fromkeys(m.pointer_to("species") for m in lacking))
        if not known_wood:
            yield Task(name, "coverage", status="blocked", why="the wood species is not known", missing=missing)
            continue
        faces = tuple(
            Face(
                zone=f.zone,
                part=f.part,
                item=f.item,
                side=f.side,
                area=f.area,
                species=m.fields.species,
                surface=surfaces.of_face(m, f),
                uptake=surfaces.uptake(m, f, done),
            )
            for m, f in known_wood
        )
        inputs = coverage.Inputs(
            faces=faces,
            coating=members[0][2],
            coats=coats,
            jurisdiction=job.site.jurisdiction,
            as_of=job.as_of,
            application=job.choices.application,
        )
        status = "partial" if missing else "done"
        why = "some zones are left out: their wood species is not known" if missing else ""
        yield Task(name, "coverage", inputs, status, why, missing)


STEPS = (
    Step("area", _area),
    Step("condition", old_surface.condition_tasks),
    Step("preparation", old_surface.preparation_tasks),
    Step("masking", sanding.masking_tasks),
    Step("wash", old_surface.wash_tasks),
    Step("fasteners", sanding.fastener_tasks),
    Step("abrasive-sequence", sanding.sanding_tasks),
    Step("moisture-readiness", moisture.moisture_tasks),
    Step("coverage", _coverage),
    Step("cure-windows", windows.window_tasks),
    Step("wipe-cadence", cadence.cadence_tasks),
)
