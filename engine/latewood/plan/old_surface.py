"""Steps that get an old surface off, in the order of work: what it is like, which route, and the wash if there is one.

They run where a job says what its deck looks like, or makes a choice about it; a job that says nothing asks for an
area or a purchase only.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, cast

from msgspec.structs import replace

from latewood.calculators import condition, preparation, wash
from latewood.calculators.condition.inputs import ComponentPart, ConditionComponent
from latewood.calculators.preparation.fields import EdgeStrip
from latewood.declare import RecordLookup
from latewood.messages import Titled, clause
from latewood.plan.done import Done
from latewood.plan.drops import drops_seen
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.hazards import carriers_of, part_of
from latewood.plan.job import Extra, Guard, Job, Stair
from latewood.plan.kinds import CONDITION, PREPARATION, WASH
from latewood.plan.readings import CLIMATE
from latewood.plan.surface_rules import old_coating, weathering_of, wetted
from latewood.plan.task import Task, by_id, filled
from latewood.rules.faces import FLOOR, WALKED
from latewood.rules.hazard_fields import LEAD_TESTS, PROOFS, handed_on
from latewood.rules.preservatives import NO_WORK
from latewood.rules.sign_actions import soil_seen
from latewood.rules.surface_layers import covering_of
from latewood.rules.weathering import shows_grey

#: Where inputs of preparation stand in a job, if not at the same place.
_OF_ZONE: Final = ("species", "material", "treatment", *PROOFS, "frame", "old_coating", *LEAD_TESTS)
_MOISTURE: Final = (*CLIMATE[:2], "moisture_limit", "limit_rule", "new_wood_age", "new_wood_wait")
#: What is said of sanding in the words of the job.
_SANDING: Final = ("practice", "last_grade", "years_bare")
_SITE: Final = tuple((f"/{name}", f"/site/{name}") for name in ("latitude", "longitude", "elevation", "timezone"))


def condition_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Look at structure, water and damage of all there is, before anything is planned on it."""
    if not is_requested(job, done.zones):
        return
    parts = [part for merged in done.zones for part in _zone_parts(merged)]
    stands = [stand for merged in done.zones for stand in _zone_stands(merged)]
    parts += [_component(merged, merged.own, job) for merged in done.components.values() if merged.own is not None]
    stands += [(("", merged.pointer),) for merged in done.components.values()]
    parts += _walls(job, done.zones)
    # Of walls there is one at most, and it comes last.
    stands.append((("/old_coating", "/surroundings/wall_coating"), *_wall_tests()))
    inputs = filled(condition.Inputs, job, job.site, job.choices, components=tuple(parts))
    why = (clause("why-condition"),)
    placed = tuple((f"/components/{n}{at}", to) for n, stand in enumerate(stands) for at, to in stand)
    by_name = {part.id: part.id for part in parts}
    yield Task(CONDITION, inputs=inputs, why=why, stands=placed, parts=by_name, decides=True)


def preparation_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Choose a route for each zone whose floor may be refinished."""
    if done.one(CONDITION) is None:
        return
    climate = {name: getattr(job.moisture, name, None) for name in _MOISTURE}
    if job.weather is not None:
        climate |= dict.fromkeys(CLIMATE[:2])
    for merged in done.zones:
        name = merged.id if len(done.zones) > 1 else ""
        if why := done.stops.why([merged.id]):
            yield Task(PREPARATION, name, status="stopped", why=why, held=(merged.id,))
            continue
        floor = _floor(merged, done)
        if floor <= 0:
            yield Task(PREPARATION, name, status="skipped", why=(clause("nothing-left-to-prepare"),))
            continue
        fields = merged.fields
        beading, since = drops_seen(job, merged, known)
        if fields.coating is not None and fields.coating.bare and job.choices.route is None:
            why = (clause("nothing-comes-off-for", coating=Titled(fields.coating)),)
            yield Task(PREPARATION, name, status="skipped", why=why)
            continue
        inputs = filled(
            preparation.Inputs,
            fields,
            job.site,
            job.choices,
            area=floor,
            signs=fields.signs or (),
            beading=beading,
            beading_since=since,
            weathered=weathering_of(merged, job, known).said,
            **climate,
            # Drops of the last evening count from the next morning.
            as_of=job.as_of if since is None or job.as_of is None else max(job.as_of, since),
            profile=None if fields.boards is None else fields.boards.profile,
            fasteners=next(row.fasteners for row in done.area.zones if row.id == merged.zone.id),
            fastening=job.fastening,
            weather=job.weather,
            crew=_people(job),
            edge_strip=_edge_strip(merged, done),
            stock=job.stock,
            parts=tuple(part for part in job.machines if part.part in FLOOR),
            patches=tuple(replace(job.patches[place], zone=None) for place in _patches(merged, job)),
            **{name: getattr(job.sanding, name, None) for name in _SANDING},
        )
        why = (clause("why-preparation"),)
        stands = (*_stands(merged), *_sanding_stands(merged, job))
        yield Task(PREPARATION, name, inputs, why=why, stands=stands, parts=by_id([merged]), decides=True)


def wash_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Wash what the chosen route wets, before anything is sanded; nothing is washed after the final sanding."""
    for merged in done.zones if done.one(CONDITION) is not None else ():
        name = merged.id if len(done.zones) > 1 else ""
        if why := done.stops.why([merged.id]):
            yield Task(WASH, name, status="stopped", why=why, held=(merged.id,))
            continue
        chosen = done.one(PREPARATION, merged.id)
        if chosen is None:
            why = (clause("nothing-comes-off"),)
            yield Task(WASH, name, status="skipped", why=why, parts=by_id([merged]))
            continue
        route = known.records("route").get(chosen.chosen)
        if route is None or not wetted(chosen):
            why = (clause("nothing-washed") if route is None else clause("route-washes-nothing", route=Titled(route)),)
            stains = [one.message for one in chosen.signs if one.id == "iron-stain"] if route is not None else []
            why += tuple(clause("iron-stain-then", what=one) for one in stains[:1])
            yield Task(WASH, name, status="skipped", why=why)
            continue
        by_hand = route.last_resort
        state = weathering_of(merged, job, known)
        fields = merged.fields
        seen = fields.signs or ()
        inputs = filled(
            wash.Inputs,
            fields,
            job,
            job.site,
            job.choices,
            area=_floor(merged, done),
            old_coating=old_coating(merged, known),
            soil=soil_seen(seen, grey=shows_grey(covering_of(fields.old_coating, seen), state, seen)),
            weathered=state.weathered,
            route=route,
            pressure=None if by_hand else job.choices.pressure,
        )
        why = (clause("why-wash"),)
        yield Task(WASH, name, inputs, why=why, stands=_stands(merged), parts=by_id([merged]), decides=True)


def _stands(merged: EffectiveZone) -> tuple[tuple[str, str], ...]:
    """Return where inputs that a zone gives stand in the job."""
    return (*_SITE, *((f"/{name}", merged.pointer_to(name)) for name in _OF_ZONE))


def _people(job: Job) -> int | None:
    """Return how many are at work: those who coat, wipe and cut in sand before that. None where no one is named."""
    crew = job.crew
    return None if crew is None else min(crew.appliers + (crew.wipers or 0) + (crew.cutters or 0), 50)


def _edge_strip(merged: EffectiveZone, done: Done) -> EdgeStrip | None:
    """Return the strip of a zone that is sanded by its length; None where there is none, or no length is known."""
    edges = [f for f in done.area.faces if f.zone == merged.zone.id and f.item is None and f.part == "perimeter"]
    if not edges or any(face.length is None for face in edges):
        return None
    return EdgeStrip(area=sum(face.area for face in edges), length=sum(face.length or 0.0 for face in edges))


def _patches(merged: EffectiveZone, job: Job) -> list[int]:
    """Return the places of the trials that speak of the floor of a zone."""
    floor = {None, *FLOOR}
    zones = (None, merged.zone.id)
    return [n for n, patch in enumerate(job.patches) if patch.zone in zones and patch.part in floor]


def _sanding_stands(merged: EffectiveZone, job: Job) -> Iterator[tuple[str, str]]:
    """Yield where in the job stands what preparation is told of sanding."""
    yield from ((f"/{name}", f"/sanding/{name}") for name in _SANDING)
    machines = [place for place, part in enumerate(job.machines) if part.part in FLOOR]
    yield from ((f"/parts/{n}", f"/machines/{place}") for n, place in enumerate(machines))
    yield from ((f"/patches/{n}", f"/patches/{place}") for n, place in enumerate(_patches(merged, job)))


def is_requested(job: Job, zones: list[EffectiveZone]) -> bool:
    """Say whether a job says what its deck looks like, or chooses how to prepare it."""
    looked = any(merged.fields.signs is not None or merged.fields.structure is not None for merged in zones)
    owned: tuple[Stair | Guard | Extra, ...] = (*job.stairs, *job.guards, *job.extras)
    # Of wood on which no work may be planned the owner must be told, whatever else is asked.
    shut = any(one.treatment in NO_WORK for one in (*(merged.fields for merged in zones), *owned))
    return shut or looked or job.choices.made or any(one.signs or one.structure is not None for one in owned)


def _zone_parts(merged: EffectiveZone) -> Iterator[ConditionComponent]:
    """Return the boards of a zone and, where it was looked at, the frame under them."""
    fields, zone = merged.fields, merged.zone.id
    yield filled(
        ConditionComponent,
        fields,
        id=merged.id,
        zone=zone,
        reached_over=merged.zone.part_of,
        part="boards",
        signs=fields.signs or (),
        structure=None,
        thickness=merged.thickness,
        gap=None if fields.boards is None else fields.boards.gap,
    )
    if fields.structure is not None:
        # What holds the floor up may be of another wood, and is seldom of none: its preservative stays a question.
        own = {"id": f"{zone}/frame", "zone": zone, "part": "frame", "structure": fields.structure}
        yield filled(ConditionComponent, fields.frame, **own)


def _zone_stands(merged: EffectiveZone) -> Iterator[tuple[tuple[str, str], ...]]:
    """Return where boards and frame of a zone stand in the job, as `_zone_parts` yields them."""
    yield (("", merged.pointer),)
    if merged.fields.structure is not None:
        yield (("/structure", merged.pointer_to("structure")), ("", merged.pointer_to("frame")))


def _wall_tests() -> Iterator[tuple[str, str]]:
    for name in LEAD_TESTS:
        yield f"/{name}", f"/surroundings/wall_{name}"


def _component(merged: EffectiveZone, own: Stair | Guard | Extra, job: Job) -> ConditionComponent:
    fields = merged.fields
    # What is said of all holds of stairs and guards too: both carry people.
    said = None if isinstance(own, Extra) else job.defaults.structure
    return ConditionComponent(
        id=merged.id,
        zone=merged.zone.id,
        part=cast("ComponentPart", part_of(own)),
        material=fields.material,
        species=fields.species,
        carriers=carriers_of(own),
        **handed_on(fields),
        old_coating=fields.old_coating,
        signs=own.signs,
        structure=said if own.structure is None else own.structure,
    )


def _walls(job: Job, zones: list[EffectiveZone]) -> Iterator[ConditionComponent]:
    """Return the walls beside the floor: edge tools touch their paint, and older houses are often painted with lead."""
    around = job.surroundings
    edges = [merged.zone.edges for merged in zones if merged.zone.edges is not None]
    coating = None if around is None else around.wall_coating
    test = {} if around is None else {name: getattr(around, f"wall_{name}") for name in LEAD_TESTS}
    if coating is not None or any(edge.wall_sides or edge.wall_length for edge in edges):
        yield ConditionComponent(id="surroundings/walls", part="wall", old_coating=coating, **test)


def _floor(merged: EffectiveZone, done: Done) -> float:
    """Return the floor of a zone that is walked on, gap faces and stairs apart."""
    faces = done.area.faces
    return float(sum(f.area for f in faces if f.zone == merged.zone.id and f.item is None and f.part in WALKED))
