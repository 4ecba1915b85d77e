"""The steps of a plan: each maps the job and earlier results to one calculator's inputs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from latewood.calculators import area, coverage
from latewood.declare import Known
from latewood.plan.job import Job
from latewood.plan.merged import Merged


@dataclass(frozen=True)
class Task:
    """One run of a calculator: ready with ``inputs``, or held up by what is ``missing``."""

    id: str
    calculator: str
    inputs: Any = None
    status: str = "done"
    why: str = ""
    missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class Step:
    """A kind of step: given the job and the results so far, the tasks it comes to."""

    name: str
    tasks: Callable[[Job, list[Merged], dict[str, Any], Known], Iterator[Task]]


def _area(job: Job, zones: list[Merged], done: dict[str, Any], known: Known) -> Iterator[Task]:
    shapes = tuple(
        area.AreaZone(id=z.id, part_of=z.part_of, outline=z.outline, length=z.length, width=z.width, holes=z.holes)
        for z in job.zones
    )
    yield Task("area", "area", area.Inputs(zones=shapes))


def _coverage(job: Job, zones: list[Merged], done: dict[str, Any], known: Known) -> Iterator[Task]:
    """One purchase for each coating and number of coats: a can is not shared between coatings."""
    by_id = {merged.zone.id: merged for merged in zones}
    groups: dict[tuple[str, int | None], list[tuple[Merged, Any]]] = {}
    for face in done["area"].faces:
        merged = by_id[face.zone]
        if merged.fields.coating is not None and merged.fields.material != "composite":
            key = (merged.fields.coating.id, merged.fields.coats)
            groups.setdefault(key, []).append((merged, face))
    if not groups:
        yield Task("coverage", "coverage", status="skipped", why="no zone of wood names a coating")
    for (coating, coats), members in groups.items():
        name = f"coverage-{coating}" + (f"-{coats}" if sum(1 for c, _ in groups if c == coating) > 1 else "")
        known_wood = [(m, f) for m, f in members if m.fields.species is not None]
        missing = tuple(m.pointer_to("species") for m, _ in members if m.fields.species is None)
        if not known_wood:
            yield Task(name, "coverage", status="blocked", why="the wood species is not known", missing=missing)
            continue
        faces = tuple(
            coverage.Face(zone=f.zone, part=f.part, area=f.area, species=m.fields.species, surface=m.fields.surface)
            for m, f in known_wood
        )
        inputs = coverage.Inputs(
            faces=faces,
            coating=known_wood[0][0].fields.coating,
            coats=coats,
            jurisdiction=job.site.jurisdiction,
            as_of=job.as_of,
        )
        status = "partial" if missing else "done"
        why = "some zones are left out: their wood species is not known" if missing else ""
        yield Task(name, "coverage", inputs, status, why, missing)


STEPS = (Step("area", _area), Step("coverage", _coverage))
