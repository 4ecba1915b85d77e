"""A zone with the job's defaults filled in, and stairs, guards and extras with what they take from their zone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import msgspec

from latewood.plan.job import Extra, Guard, Job, Stair, Zone, ZoneFields
from latewood.records.coating import Surface
from latewood.rules.hazard_fields import LEAD_TESTS, PROOFS

#: What a component may say of itself instead of its zone.
OWN = ("species", "material", "treatment", "old_coating", "coating", "coats", "surface", *PROOFS, *LEAD_TESTS)
#: What is known of one thing only: what names another wood, preservative or coating does not inherit it.
_OF_ITS_OWN = {
    "species": PROOFS,
    "treatment": PROOFS,
    "old_coating": LEAD_TESTS,
    "lead_test": LEAD_TESTS,
}
#: What is said of wood only: a part that says one of these is of wood, unless it names its own material.
_OF_WOOD = ("species", "treatment", "old_coating", "lead_test")
#: What a zone says of itself instead of the job's defaults.
SHARED = tuple(field.name for field in msgspec.structs.fields(ZoneFields))


@dataclass(frozen=True, slots=True)
class EffectiveZone:
    """What holds in one zone, or of one of its components, and where that stands in the job."""

    zone: Zone
    fields: ZoneFields
    pointer: str
    own: Stair | Guard | Extra | None = None
    #: What it says of wood against the composite it would be of by what it inherits: it counts as wood.
    wood_by: tuple[str, ...] = ()
    #: What faces are like that no sander reaches; None where that is not known.
    beyond: Surface | None = None

    @property
    def id(self) -> str:
        """Return the name of the zone, or of zone, table and component: no two of a job share it."""
        table = self.pointer.split("/")[1]
        return self.zone.id if self.own is None else f"{self.zone.id}/{table}/{self.own.id}"

    @property
    def is_coated(self) -> bool:
        """Return whether it is of wood, and to be coated."""
        coating = self.fields.coating
        return coating is not None and not coating.bare and self.fields.material != "composite"

    @property
    def thickness(self) -> float | None:
        """Return how thick its boards are, m; None where their size is not given."""
        size = None if self.fields.boards is None else self.fields.boards.size
        return None if size is None else size.thickness

    def pointer_to(self, field: str) -> str:
        """Return where to give a missing field."""
        return f"{self.pointer}/{field}"


def effective_zones(job: Job) -> list[EffectiveZone]:
    """Return each zone with defaults and, for a region inside another, the boards and the frame it inherits."""
    by_id = {zone.id: zone for zone in job.zones}
    found = []
    for place, zone in enumerate(job.zones):
        wood_by = _wood_by(zone, job.defaults.material)
        fields = ZoneFields(**_fields(zone, by_id, job.defaults))
        found.append(EffectiveZone(zone, _settled(fields, wood_by), f"/zones/{place}", wood_by=wood_by))
    return found


def effective_components(job: Job, zones: list[EffectiveZone]) -> dict[tuple[str, str], EffectiveZone]:
    """Return stairs, guards and extras by table and id. One whose zone is not known is left for the take-off to refuse.

    The boards and the shape of a zone are not theirs; its material, wood and coatings are, where they say nothing else.
    An end tag or a test speaks of what it hangs on: one of a zone clears its boards only, one of the defaults all.
    """
    by_id = {merged.zone.id: merged for merged in zones}
    found = {}
    tables: dict[str, tuple[Stair | Guard | Extra, ...]]
    tables = {"stairs": job.stairs, "guards": job.guards, "extras": job.extras}
    for table, owned in tables.items():
        for place, own in enumerate(owned):
            zone = by_id.get(own.zone) if own.zone is not None else zones[0]
            if zone is not None:
                wood_by = _wood_by(own, zone.fields.material)
                held = _handed_down(zone, job.defaults)
                fields = msgspec.structs.replace(zone.fields, **held | _own(own, OWN))
                settled, at = _settled(fields, wood_by), f"/{table}/{place}"
                found[table, own.id] = EffectiveZone(zone.zone, settled, at, own, wood_by, zone.beyond)
    return found


def of_face(part: str, item: str | None) -> tuple[str, str] | None:
    """Return table and id of the component a face belongs to, None for faces of the floor."""
    if item is None:
        return None
    return {"stair": "stairs", "guard": "guards"}.get(part, "extras"), item


def _fields(zone: Zone, by_id: dict[str, Zone], defaults: ZoneFields) -> dict[str, Any]:
    values = {name: getattr(defaults, name) for name in SHARED} | _own(zone, SHARED)
    if zone.boards is None:
        values["boards"] = _inherited(zone, by_id, "boards") or defaults.boards
    if zone.frame is None:
        values["frame"] = _inherited(zone, by_id, "frame") or defaults.frame
    return values


def _wood_by(one: Zone | Stair | Guard | Extra, inherited: str | None) -> tuple[str, ...]:
    """Return what something says of wood, where it would be composite by what it inherits."""
    if one.material is not None or inherited != "composite":
        return ()
    return tuple(name for name in _OF_WOOD if getattr(one, name) not in (None, "none", "not-tested"))


def _settled(fields: ZoneFields, wood_by: tuple[str, ...]) -> ZoneFields:
    """Return what holds of a part: composite holds no preservative that is said of others."""
    if wood_by:
        return msgspec.structs.replace(fields, material="wood")
    if fields.material != "composite":
        return fields
    return msgspec.structs.replace(fields, treatment=None, **dict.fromkeys(PROOFS))


def _handed_down(zone: EffectiveZone, defaults: ZoneFields) -> dict[str, Any]:
    """Return the proofs that components take from their zone: those of the defaults, and lead that was found in it."""
    said = zone.zone
    proofs: dict[str, Any] = {}
    composite = zone.fields.material == "composite"
    if composite:
        # What the defaults say of wood holds for its wooden parts all the same.
        proofs["treatment"] = said.treatment or defaults.treatment
    if composite or said.treatment_evidence is not None:
        other = said.species is not None or said.treatment is not None
        proofs |= {name: None if other else getattr(defaults, name) for name in PROOFS}
    if said.lead_test not in (None, "found"):
        other = said.old_coating is not None
        proofs |= {name: None if other else getattr(defaults, name) for name in LEAD_TESTS}
    return proofs


def _own(one: Zone | Stair | Guard | Extra, names: Iterable[str]) -> dict[str, Any]:
    """Return what something says of itself, with what it must not inherit beside that blank."""
    given = {name: getattr(one, name) for name in names if getattr(one, name) is not None}
    blank = {other: None for name in given for other in _OF_ITS_OWN.get(name, ())}
    return blank | given


def _inherited(zone: Zone, by_id: dict[str, Zone], name: str) -> Any:
    """Return what the zone says that this one lies in, or the next one out: one frame may carry both."""
    seen = {zone.id}
    while zone.part_of is not None and zone.part_of in by_id and zone.part_of not in seen:
        seen.add(zone.part_of)
        zone = by_id[zone.part_of]
        if (found := getattr(zone, name)) is not None:
            return found
    return None
