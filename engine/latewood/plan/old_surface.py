"""Steps that get an old surface off, in the order of work: what it is like, which route, and the wash if there is one.

They run where a job says what its deck looks like, or makes a choice about it; a job that says nothing is for somebody
who wants to know an area or a purchase only.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from latewood.calculators import condition, preparation, wash
from latewood.calculators.condition.fields import ConditionComponent
from latewood.declare import RecordLookup
from latewood.plan.drops import drops_seen
from latewood.plan.effective_zones import EffectiveZone, effective_components
from latewood.plan.job import Extra, Guard, Job, Stair
from latewood.plan.stopped import Done
from latewood.plan.surface_rules import old_coating, weathering_of, wetted
from latewood.plan.task import Task, by_id
from latewood.rules.faces import WALKED
from latewood.rules.hazard_fields import LEAD_TESTS, PROOFS, Frame, handed_on
from latewood.rules.preservatives import NO_WORK
from latewood.rules.sign_actions import soil_seen
from latewood.rules.surface_layers import covering_of
from latewood.rules.weathering import shows_grey

#: Where inputs of preparation stand in a job, if not at the same place.
_OF_ZONE: Final = ("species", "material", "treatment", *PROOFS, "frame", "old_coating", *LEAD_TESTS)
_SITE: Final = tuple((f"/{name}", f"/site/{name}") for name in ("latitude", "longitude", "timezone"))


def condition_tasks(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Look at structure, water and damage of all there is, before anything is planned on it."""
    components = effective_components(job, zones)
    if not is_requested(job, zones):
        return
    parts = [part for merged in zones for part in _zone_parts(merged)]
    stands = [stand for merged in zones for stand in _zone_stands(merged)]
    parts += [_component(merged, merged.own, job) for merged in components.values() if merged.own is not None]
    stands += [(("", merged.pointer),) for merged in components.values()]
    parts += _walls(job, zones)
    # Of walls there is one at most, and it comes last.
    stands.append((("/old_coating", "/surroundings/wall_coating"), *_wall_tests()))
    inputs = condition.Inputs(
        components=tuple(parts),
        year_built=job.site.year_built,
        jurisdiction=job.site.jurisdiction,
        as_of=job.as_of,
        condition_rule=job.choices.condition_rule,
    )
    why = "structure, water and hazards come before any work: they decide what may be done at all"
    placed = tuple((f"/components/{n}{at}", to) for n, stand in enumerate(stands) for at, to in stand)
    by_name = {part.id: part.id for part in parts}
    yield Task("condition", "condition", inputs, why=why, stands=placed, parts=by_name, decides=True)


def preparation_tasks(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Choose a route for each zone whose floor may be refinished."""
    if "condition" not in done:
        return
    climate = job.moisture
    for merged in zones:
        name = named("preparation", merged, zones)
        if why := done.stops.why([merged.id]):
            yield Task(name, "preparation", status="blocked", why=why, parts=by_id([merged]))
            continue
        floor = _floor(merged, done)
        if floor <= 0:
            yield Task(name, "preparation", status="skipped", why="nothing of this floor is left to prepare")
            continue
        fields = merged.fields
        beading, since = drops_seen(job, merged, known)
        if fields.coating is not None and fields.coating.bare and job.choices.route is None:
            why = f"{fields.coating.title.lower()}: nothing has to come off"
            yield Task(name, "preparation", status="skipped", why=why)
            continue
        inputs = preparation.Inputs(
            area=floor,
            species=fields.species,
            material=fields.material,
            **handed_on(fields),
            frame=fields.frame,
            old_coating=fields.old_coating,
            year_built=job.site.year_built,
            jurisdiction=job.site.jurisdiction,
            signs=fields.signs or (),
            affected=fields.affected,
            cup_depth=fields.cup_depth,
            underside_moisture=fields.underside_moisture,
            beading=beading,
            beading_since=since,
            weathered=weathering_of(merged, job, known).said,
            new_wood_age=None if climate is None else climate.new_wood_age,
            new_wood_wait=None if climate is None else climate.new_wood_wait,
            # Drops of the last evening count from the next morning.
            as_of=job.as_of if since is None or job.as_of is None else max(job.as_of, since),
            profile=None if fields.boards is None else fields.boards.profile,
            fastener_cover=fields.fastener_cover,
            fasteners=next(row.fasteners for row in done["area"].zones if row.id == merged.zone.id),
            fastening=job.fastening,
            coating=fields.coating,
            moisture_limit=None if climate is None else climate.moisture_limit,
            limit_rule=None if climate is None else climate.limit_rule,
            temperature=None if climate is None or job.weather is not None else climate.temperature,
            relative_humidity=None if climate is None or job.weather is not None else climate.relative_humidity,
            weather=job.weather,
            exposure=fields.exposure,
            latitude=job.site.latitude,
            longitude=job.site.longitude,
            timezone=job.site.timezone,
            crew=_people(job),
            extraction=job.choices.extraction,
            prefer=job.choices.prefer,
            route=job.choices.route,
        )
        why = (
            "the route decides everything after it: what is wetted, what is sanded, and how long the deck is out of use"
        )
        yield Task(name, "preparation", inputs, why=why, stands=_stands(merged), parts=by_id([merged]), decides=True)


def wash_tasks(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Wash what the chosen route wets, before anything is sanded; nothing is washed after the final sanding."""
    for merged in zones if "condition" in done else ():
        name = named("wash", merged, zones)
        if why := done.stops.why([merged.id]):
            yield Task(name, "wash", status="blocked", why=why, parts=by_id([merged]))
            continue
        chosen = done.get(named("preparation", merged, zones))
        if chosen is None:
            continue
        route = known.records("route").get(chosen.chosen)
        if route is None or not wetted(chosen):
            why = "nothing is washed" if route is None else f"{route.title.lower()}: nothing is washed"
            stain = next((one.message for one in chosen.signs if one.id == "iron-stain"), "")
            why += f"; iron stain: {stain}" if route is not None and stain else ""
            yield Task(name, "wash", status="skipped", why=why)
            continue
        by_hand = route.last_resort
        state = weathering_of(merged, job, known)
        fields = merged.fields
        seen = fields.signs or ()
        inputs = wash.Inputs(
            area=_floor(merged, done),
            species=fields.species,
            material=fields.material,
            **handed_on(fields),
            frame=fields.frame,
            old_coating=old_coating(merged, known),
            year_built=job.site.year_built,
            jurisdiction=job.site.jurisdiction,
            as_of=job.as_of,
            soil=soil_seen(seen, grey=shows_grey(covering_of(fields.old_coating, seen), state, seen)),
            weathered=state.weathered,
            route=route,
            pressure=None if by_hand else job.choices.pressure,
            pressure_rule=job.choices.pressure_rule,
            near=job.choices.near,
        )
        why = "washing comes before any sanding: it raises the grain, and what is washed has to dry"
        yield Task(name, "wash", inputs, why=why, stands=_stands(merged), parts=by_id([merged]), decides=True)


def _stands(merged: EffectiveZone) -> tuple[tuple[str, str], ...]:
    """Return where inputs that a zone gives stand in the job."""
    return (*_SITE, *((f"/{name}", merged.pointer_to(name)) for name in _OF_ZONE))


def _people(job: Job) -> int | None:
    """Return how many are at work: whoever coats, wipes and cuts in sands before that. None where nobody is named."""
    crew = job.crew
    return None if crew is None else min(crew.appliers + (crew.wipers or 0) + (crew.cutters or 0), 50)


def is_requested(job: Job, zones: list[EffectiveZone]) -> bool:
    """Say whether a job says what its deck looks like, or chooses how to prepare it."""
    looked = any(merged.fields.signs is not None or merged.fields.structure is not None for merged in zones)
    owned: tuple[Stair | Guard | Extra, ...] = (*job.stairs, *job.guards, *job.extras)
    # Of wood on which no work may be planned somebody must be told, whatever else is asked.
    shut = any(one.treatment in NO_WORK for one in (*(merged.fields for merged in zones), *owned))
    return shut or looked or job.choices.made or any(one.signs or one.structure is not None for one in owned)


def _zone_parts(merged: EffectiveZone) -> Iterator[ConditionComponent]:
    """Return the boards of a zone and, where somebody looked at it, the frame under them."""
    fields, zone = merged.fields, merged.zone.id
    yield ConditionComponent(
        id=merged.id,
        zone=zone,
        reached_over=merged.zone.part_of,
        part="boards",
        material=fields.material,
        species=fields.species,
        **handed_on(fields),
        old_coating=fields.old_coating,
        signs=fields.signs or (),
        affected=fields.affected,
        thickness=None if fields.boards is None or fields.boards.size is None else fields.boards.size.thickness,
        gap=None if fields.boards is None else fields.boards.gap,
        fastener_cover=fields.fastener_cover,
        cup_depth=fields.cup_depth,
        underside_moisture=fields.underside_moisture,
        new_boards=fields.new_boards,
        colour_variation=fields.colour_variation,
    )
    if fields.structure is not None:
        # What holds the floor up may be of another wood, and is seldom of none: its preservative stays a question.
        frame = fields.frame or Frame()
        yield ConditionComponent(
            id=f"{zone}/frame",
            zone=zone,
            part="frame",
            material=frame.material,
            species=frame.species,
            treatment=frame.treatment,
            treatment_evidence=frame.treatment_evidence,
            structure=fields.structure,
        )


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
        part="stair" if isinstance(own, Stair) else "guard" if isinstance(own, Guard) else own.part,
        material=fields.material,
        species=fields.species,
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


def _floor(merged: EffectiveZone, done: Mapping[str, Any]) -> float:
    """Return the floor of a zone that is walked on, gap faces and stairs apart."""
    faces = done["area"].faces
    return float(sum(f.area for f in faces if f.zone == merged.zone.id and f.item is None and f.part in WALKED))


def named(step: str, merged: EffectiveZone, zones: Sequence[EffectiveZone]) -> str:
    """Return the id of a step that runs once for each zone."""
    return step if len(zones) == 1 else f"{step}-{merged.zone.id}"
