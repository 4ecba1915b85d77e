"""When the coats of a job fit into the weather it gives, and when the deck may be used again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from latewood.calculators import cure_windows
from latewood.calculators.cure_windows.fields import CureProduct
from latewood.declare import RecordLookup
from latewood.messages import Clause, Moment, Time, Titled, clause
from latewood.plan import earliest
from latewood.plan.crew import Crew
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.kinds import WINDOWS
from latewood.plan.protection import SPRAYED, spray_stopped
from latewood.plan.task import Task, by_id, filled
from latewood.provenance import Ledger
from latewood.quantities.instants import Moment as Written
from latewood.records import Coating
from latewood.rules.wiping import laid_twice, regime_of
from latewood.uncertainty import spread
from latewood.weather import Hours

#: Where inputs of the windows stand in a job.
POINTER_MAP = (
    ("/latitude", "/site/latitude"),
    ("/longitude", "/site/longitude"),
    ("/timezone", "/site/timezone"),
    ("/product", "/crew/wiping"),
    ("/laying_time", "/crew/laying_pace"),
)
#: The least time (s) that laying a coat is asked for.
SHORTEST = 180.0


def window_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Find windows for each coating and shelter; a job that says nothing of the weather is not asked for it."""
    if job.weather is None or (hours := done.hours) is None:
        return
    if why := spray_stopped(done):
        yield Task(WINDOWS, status="blocked", why=why, unlock=SPRAYED, parts=by_id(done.zones))
        return
    groups: dict[tuple[str, str, str | None], tuple[Coating, list[EffectiveZone]]] = {}
    taken, held = done.to_coat()
    for merged, coating in taken:
        # Only what may be laid twice asks for the wood.
        wood = merged.fields.species.id if merged.fields.species is not None and laid_twice(coating) else None
        key = (coating.id, merged.fields.exposure or "open", wood)
        groups.setdefault(key, (coating, []))[1].append(merged)
    if held or not groups:
        why = done.stops.why(by_id(held)) or (clause("no-zone-to-coat"),)
        yield Task(WINDOWS, status="stopped" if held else "skipped", why=why, held=tuple(by_id(held)))
    for (coating_id, exposure, wood), (coating, members) in groups.items():
        merged = members[0]
        others = [key for key in groups if key[0] == coating_id]
        name = coating_id
        name += f"-{exposure}" if len({key[1] for key in others}) > 1 else ""
        name += f"-{wood or 'unknown-wood'}" if len({key[2] for key in others}) > 1 else ""
        if "cure-clock" not in coating.models:
            why = (clause("weather-of-finish-unknown", coating=Titled(coating)),)
            unlock = (merged.pointer_to("coating"),)
            yield Task(WINDOWS, name, status="blocked", why=why, unlock=unlock, parts=by_id(members))
            continue
        crew = job.crew
        laying = None if crew is None else _laying_time(crew, coating, members, done, known)
        asked = earliest.bound(hours, members, done)
        if late := _too_late(hours, asked):
            yield Task(WINDOWS, name, status="skipped", why=late, parts=by_id(members))
            continue
        inputs = filled(
            cure_windows.Inputs,
            job.site,
            coating=coating,
            earliest=None if asked.at is None else Written(asked.at.isoformat(), asked.at),
            first=asked.first,
            species=merged.fields.species,
            product=_sheet(crew),
            other_coatings=tuple(one.coating for one in job.finishes if one.coating.id != coating_id),
            laying_time=laying,
            weather=job.weather,
            board_colour=known.record("board-colour", _colour(merged)),
            exposure=merged.fields.exposure,
            thickness=merged.thickness,
            # A plan is read by people: the hours behind it are asked for from the calculator itself.
            brief=True,
        )
        fields = ("coating", "exposure", "species")
        stands = (
            *POINTER_MAP,
            *((f"/{field}", merged.pointer_to(field)) for field in fields),
            ("/thickness", merged.pointer_to("boards/size")),
        )
        why = () if laying is None else (clause("coat-takes", time=Time(laying)),)
        if asked.at is not None:
            why += (clause("no-coat-before-because", at=Moment(asked.at), why=[*asked.why]),)
        yield Task(WINDOWS, name, inputs, why=why, stands=stands, parts=by_id(members), rests_on=asked.rests_on)


def begins(task: Task) -> tuple[Clause, ...]:
    """Return before which time no coat of a step of windows starts; nothing where nothing holds it up."""
    bound = None if task.inputs is None else task.inputs.earliest
    return () if bound is None else (clause("no-coat-before", at=Moment(bound.written)),)


def why_not(said: Clause) -> Clause:
    """Return the reason of a no: without the word, and without what would open a window, which the start says."""
    if said.id == "no-window":
        return clause("no-start-works", nearest=said.values["nearest"])
    why = said.values.get("why")
    return why if isinstance(why, Clause) else said


def _too_late(hours: Hours, asked: earliest.Bound) -> tuple[Clause, ...]:
    """Return why no hour of the weather can be a start by the earlier steps; nothing where one can."""
    if asked.never:
        return asked.never
    if asked.at is None or asked.at < hours.start + timedelta(seconds=hours.step * len(hours)):
        return ()
    return (clause("no-coat-within-weather", at=Moment(asked.at), why=[*asked.why]),)


def _laying_time(
    crew: Crew, coating: Coating, members: list[EffectiveZone], done: Done, known: RecordLookup
) -> float | None:
    """Return how long (s) a crew lays one coat on the floor: the slow end of its pace, for a window must hold for it.

    Who lays also wipes where no one else does; else both go on side by side.
    """
    measured = {row.id: row.area for row in done.area.zones}
    area = sum(float(spread.value(measured[merged.zone.id])) for merged in members)
    asked = None if crew.wiping is None else crew.wiping.regime
    rates = regime_of(coating, members[0].fields.species, asked, Ledger.scratch(), known).rates

    def pace(given: spread.Number | None, task: str) -> float:
        return float(spread.low(known.record("rate", rates[task]).pace.number if given is None else given))

    laying = area / pace(crew.laying_pace, "lay") / crew.appliers
    if "dwell" not in coating.models:
        return max(laying, SHORTEST)
    wiping = area / pace(crew.wiping_pace, "wipe")
    together = max(laying, wiping / crew.wipers) if crew.wipers else laying + wiping / crew.appliers
    return max(together, SHORTEST)


def _sheet(crew: Crew | None) -> CureProduct | None:
    """Return what the crew's data sheet says of wiping."""
    return None if crew is None or crew.wiping is None else filled(CureProduct, crew.wiping)


def _colour(merged: EffectiveZone) -> str:
    """Return the look of the boards when they are coated: pale softwood once sanded, else grey or brown."""
    species, surface = merged.fields.species, merged.fields.surface
    pale = species is not None and species.group == "softwood" and surface in (None, "sanded", "planed")
    return "fresh" if pale else "grey"
