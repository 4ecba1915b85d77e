"""What the steps of a plan have found so far, each found by the kind of its step, and what all of them read once."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from latewood.calculators import area
from latewood.calculators.area.fields import AreaZone
from latewood.calculators.area.resolve.regions import regions
from latewood.calculators.area.resolved import Region
from latewood.calculators.area.result import FaceArea
from latewood.calculators.condition.inputs import ConditionComponent
from latewood.plan.effective_zones import EffectiveZone, effective_components, of_face
from latewood.plan.job import Job
from latewood.plan.kinds import AREA, CONDITION, SANDING, Kind, R
from latewood.plan.stopped import Stops
from latewood.plan.task import Task, filled
from latewood.provenance import Ledger
from latewood.records import Coating
from latewood.weather import Hours, Place, resolve

#: Zone, part and item of a face.
FaceKey = tuple[str, str, str | None]


class Done:
    """The tasks of a plan so far with what each came to, and the parts of the deck that they stop."""

    def __init__(self, job: Job, zones: list[EffectiveZone]) -> None:
        self.job, self.zones, self.stops = job, zones, Stops()
        self._kept: dict[Kind[Any], list[tuple[Task, Any]]] = {}

    def keep(self, task: Task, result: object = None) -> None:
        """Keep a task with what it came to: nothing where it was not run."""
        self._kept.setdefault(task.kind, []).append((task, result))

    def tasks(self, kind: Kind[R]) -> list[tuple[Task, R | None]]:
        """Return all tasks of a kind of step, those that were not run too."""
        return self._kept.get(kind, [])

    def every(self, kind: Kind[R]) -> list[tuple[Task, R]]:
        """Return the tasks of a kind that were run, with what each came to."""
        return [(task, result) for task, result in self.tasks(kind) if result is not None]

    def one(self, kind: Kind[R], part: str | None = None) -> R | None:
        """Return what a kind of step came to, for a part of the deck where it runs for each; None where it did not."""
        kept = self.tasks(kind)
        return next((it for task, it in kept if it is not None and (part is None or part in task.parts.values())), None)

    @property
    def sanded(self) -> frozenset[FaceKey]:
        """Zone, part and item of every face that a machine sands."""
        sequence = self.one(SANDING)
        rows = () if sequence is None else sequence.rows
        return frozenset((row.zone, row.part, row.item) for row in rows if row.status != "refused")

    @cached_property
    def area(self) -> area.Result:
        """The take-off, which every later step stands on."""
        return self.every(AREA)[0][1]

    @cached_property
    def regions(self) -> tuple[Region, ...]:
        """The shape of each zone of the job."""
        return regions(tuple(filled(AreaZone, zone) for zone in self.job.zones), "/zones")

    @cached_property
    def components(self) -> dict[tuple[str, str], EffectiveZone]:
        """Stairs, guards and extras by table and id."""
        return effective_components(self.job, self.zones)

    @cached_property
    def whole(self) -> list[EffectiveZone]:
        """Every part of the deck: its zones, and what stands on them."""
        return [*self.zones, *self.components.values()]

    @cached_property
    def parts(self) -> dict[str, EffectiveZone]:
        """Every part of the deck by its id."""
        return {merged.id: merged for merged in self.whole}

    @cached_property
    def faces(self) -> list[tuple[EffectiveZone, FaceArea]]:
        """Each face with what it is of: a stair, guard or extra, else the floor of its zone."""
        floors = {merged.zone.id: merged for merged in self.zones}
        owners = ((of_face(face.part, face.item), face) for face in self.area.faces)
        return [(floors[face.zone] if owner is None else self.components[owner], face) for owner, face in owners]

    def faces_of(self, part: str) -> tuple[str, ...]:
        """Return the ids of the faces of a zone's floor, or of what stands on it."""
        return self._face_ids.get(part, ())

    @cached_property
    def _face_ids(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, tuple[str, ...]] = {}
        for merged, face in self.faces:
            found[merged.id] = (*found.get(merged.id, ()), face.id)
        return found

    @property
    def looked_at(self) -> dict[str, ConditionComponent]:
        """What was looked at, by its id: parts of the deck, the frames under floors, and walls."""
        return {one.id: one for task, _ in self.every(CONDITION) for one in task.inputs.components}

    def to_coat(self) -> tuple[list[tuple[EffectiveZone, Coating]], list[EffectiveZone]]:
        """Return the floors that are coated, each with its coating, and those that were to be but are stopped."""
        every = [(one, one.fields.coating) for one in self.zones if one.is_coated]
        taken = [(one, coating) for one, coating in every if coating is not None and one.id not in self.stops]
        return taken, [one for one, _ in every if one.id in self.stops]

    @cached_property
    def hours(self) -> Hours | None:
        """The weather of the job, None where it gives none. The step on windows says what is assumed of it."""
        return None if self.job.weather is None else resolve(self.job.weather, self.place, Ledger.scratch())

    @property
    def place(self) -> Place:
        """Where the deck is."""
        site = self.job.site
        return Place(latitude=site.latitude, longitude=site.longitude, timezone=site.timezone)
