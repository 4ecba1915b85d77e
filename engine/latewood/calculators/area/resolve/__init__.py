"""Zones as sound shapes, and boards, edges and components with defaults put in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from latewood.calculators.area.compute.labour import Measured, area_by, measures
from latewood.calculators.area.fields import AreaZone, Boards
from latewood.calculators.area.inputs import Inputs
from latewood.calculators.area.resolve.boards import PAD_WIDTH, boards_of, edges_of, note_size
from latewood.calculators.area.resolve.components import extra, guard, stair
from latewood.calculators.area.resolve.regions import regions
from latewood.calculators.area.resolved import Component, Resolved, Taken
from latewood.calculators.area.validation import check, zones_of
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import HERE, Ledger
from latewood.records import LabourAllowance

#: The rule that takes each part's allowance from the source that says most about it.
ALLOWANCE = "by-part"
#: The members of each kind of component that may be given by a nominal size.
SIZES = {"stairs": ("stringer",), "guards": ("baluster", "rail", "cap", "post"), "extras": ("size",)}


def resolve(x: Inputs, ledger: Ledger) -> Resolved:
    """Return the take-off with nothing left open; raise `InputProblem` with every fault."""
    zones, at = zones_of(x), "/zones" if x.zones else ""
    places = {zone.id: f"{at}/{index}" if at else "" for index, zone in enumerate(zones)}
    found = regions(zones, at)
    said = _boards(x, zones, places)
    check(x, found, said)
    taken: list[Taken] = []
    owners = {kind: [one.zone or zones[0].id for one in getattr(x, kind)] for kind in SIZES}
    stairs = tuple(stair(one, owners["stairs"][i], f"/stairs/{i}", taken) for i, one in enumerate(x.stairs))
    alone = [owners["guards"].count(zone) == 1 for zone in owners["guards"]]
    guards = tuple(
        guard(one, owners["guards"][i], f"/guards/{i}", taken, alone=alone[i]) for i, one in enumerate(x.guards)
    )
    extras = tuple(extra(one, owners["extras"][i], f"/extras/{i}", taken) for i, one in enumerate(x.extras))
    _note_sizes((*stairs, *guards, *extras), zones, ledger)
    laid = {}
    for zone in zones:
        own = boards_of(*said[zone.id], zone.species, ledger) if zone.id in said else None
        if own is not None:
            laid[zone.id] = own
    pad = x.pad_width
    if pad is None:
        pad = PAD_WIDTH
        if guards or any(zone.edges is not None or zone.holes for zone in zones):
            ledger.default("pad_width", "125 mm", why=clause("smaller-pad"))
    railed = {one.zone for one in guards if one.of["rails"] > 1}
    edges = {
        zone.id: edges_of(zone.edges, region, f"{places[zone.id]}/edges", ledger, under_rails=zone.id in railed)
        for zone, region in zip(zones, found, strict=True)
    }
    return Resolved(
        zones=zones,
        regions=found,
        places=places,
        boards=said,
        laid=laid,
        levels=_levels(zones),
        edges=edges,
        pad_width=pad,
        stairs=stairs,
        guards=guards,
        extras=extras,
        taken=tuple(taken),
    )


def _boards(x: Inputs, zones: Sequence[AreaZone], places: Mapping[str, str]) -> dict[str, tuple[Boards, str]]:
    """Return the boards of each zone and where they stand: its own, its parent's, or those of the whole deck."""
    by_id = {zone.id: zone for zone in zones}
    found = {}
    for zone in zones:
        holder: AreaZone | None = zone
        while holder is not None and holder.boards is None:
            holder = by_id.get(holder.part_of) if holder.part_of is not None else None
        if holder is not None and holder.boards is not None:
            found[zone.id] = (holder.boards, f"{places[holder.id]}/boards")
        elif x.boards is not None:
            found[zone.id] = (x.boards, "/boards")
    return found


def _levels(zones: Sequence[AreaZone]) -> dict[str, float | None]:
    """Return the level of each zone: its own, or that of the zone it is part of."""
    by_id = {zone.id: zone for zone in zones}
    found = {}
    for zone in zones:
        holder = zone
        while holder.level is None and holder.part_of is not None:
            holder = by_id[holder.part_of]
        found[zone.id] = holder.level
    return found


def _note_sizes(components: Iterable[Component[Any]], zones: Sequence[AreaZone], ledger: Ledger) -> None:
    """Write down what each nominal size of a component that was given was read as."""
    woods = {zone.id: zone.species for zone in zones}
    for one in components:
        for name in SIZES[one.at.split("/")[1]]:
            size = getattr(one.shape, name)
            if size is not None:
                note_size(size, f"{one.at}/{name}", one.shape.species or woods[one.zone], ledger)


def allowance(
    given: LabourAllowance | None, faces: Sequence[Measured], ledger: Ledger, known: RecordLookup
) -> LabourAllowance | None:
    """Return the rule to measure labour by; where none was asked for, write down what another would change."""
    if given is not None:
        return given
    rules: Mapping[str, LabourAllowance] = known.records("labour-allowance")
    chosen = rules.get(ALLOWANCE)
    if chosen is not None and any(measures(chosen, face) for face in faces):

        def labour(rule: Any) -> float:
            return sum(area_by(chosen if rule is HERE else rule, face) for face in faces)

        why = clause("labour-rules-differ")
        others = tuple(rules.values())
        ledger.default("labour_allowance", ALLOWANCE, others=others, by=labour, output="labour-area", why=why)
    return chosen
