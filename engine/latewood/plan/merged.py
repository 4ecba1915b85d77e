"""A zone with the job's defaults filled in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import msgspec

from latewood.plan.job import Boards, Job, Zone, ZoneFields


@dataclass(frozen=True, slots=True)
class Merged:
    """What holds in one zone, and where it stands in the job."""

    zone: Zone
    fields: ZoneFields
    pointer: str

    def pointer_to(self, field: str) -> str:
        """Return where to give a missing field."""
        return f"{self.pointer}/{field}"


def merged_zones(job: Job) -> list[Merged]:
    """Return each zone with defaults and, for a region inside another, the boards it inherits."""
    by_id = {zone.id: zone for zone in job.zones}
    return [
        Merged(zone, ZoneFields(**_fields(zone, by_id, job.defaults)), f"/zones/{place}")
        for place, zone in enumerate(job.zones)
    ]


def _fields(zone: Zone, by_id: dict[str, Zone], defaults: ZoneFields) -> dict[str, Any]:
    values = {}
    for field in msgspec.structs.fields(ZoneFields):
        own = getattr(zone, field.name)
        values[field.name] = getattr(defaults, field.name) if own is None else own
    if zone.boards is None:
        values["boards"] = _inherited_boards(zone, by_id) or defaults.boards
    return values


def _inherited_boards(zone: Zone, by_id: dict[str, Zone]) -> Boards | None:
    seen = {zone.id}
    while zone.part_of is not None and zone.part_of in by_id and zone.part_of not in seen:
        seen.add(zone.part_of)
        zone = by_id[zone.part_of]
        if zone.boards is not None:
            return zone.boards
    return None
