"""When the coats of a job fit into the weather it gives, and when the deck may be used again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from latewood.calculators import cure_windows
from latewood.declare import Known
from latewood.plan.job import Job
from latewood.plan.merged import Merged
from latewood.plan.old_surface import stopped
from latewood.plan.task import Task
from latewood.records import Coating

#: Where inputs of the windows stand in a job.
STANDS = (
    ("/latitude", "/site/latitude"),
    ("/longitude", "/site/longitude"),
    ("/timezone", "/site/timezone"),
)


def window_tasks(job: Job, zones: list[Merged], done: dict[str, Any], known: Known) -> Iterator[Task]:
    """Find windows for each coating and shelter; a job that says nothing of the weather is not asked for it."""
    if job.weather is None:
        return
    held = stopped(done)
    groups: dict[tuple[str, str], tuple[Coating, Merged]] = {}
    for merged in zones:
        coating = merged.fields.coating
        if coating is None or coating.bare or merged.fields.material == "composite" or merged.id in held:
            continue
        groups.setdefault((coating.id, merged.fields.exposure or "open"), (coating, merged))
    if not groups:
        yield Task("cure-windows", "cure-windows", status="skipped", why="no zone of wood is to be coated")
    for (coating_id, exposure), (coating, merged) in groups.items():
        several = sum(1 for other, _ in groups if other == coating_id) > 1
        name = f"cure-windows-{coating_id}" + (f"-{exposure}" if several else "")
        if "cure-clock" not in coating.models:
            why = f"nothing is known of how {coating.title} answers the weather"
            yield Task(name, "cure-windows", status="blocked", why=why, missing=(merged.pointer_to("coating"),))
            continue
        inputs = cure_windows.Inputs(
            coating=coating,
            weather=job.weather,
            latitude=job.site.latitude,
            longitude=job.site.longitude,
            timezone=job.site.timezone,
            board_colour=known.record("board-colour", _colour(merged)),
            exposure=merged.fields.exposure,
            # A plan is read by people: the hours behind it are asked for from the calculator itself.
            brief=True,
        )
        stands = (*STANDS, ("/coating", merged.pointer_to("coating")), ("/exposure", merged.pointer_to("exposure")))
        yield Task(name, "cure-windows", inputs, stands=stands)


def _colour(merged: Merged) -> str:
    """Return the look of the boards when they are coated: pale softwood once sanded, else grey or brown."""
    species, surface = merged.fields.species, merged.fields.surface
    pale = species is not None and species.group == "softwood" and surface in (None, "sanded", "planed")
    return "fresh" if pale else "grey"
