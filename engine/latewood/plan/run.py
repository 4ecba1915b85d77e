"""Planning: run the steps in order and gather what they found."""

from __future__ import annotations

from typing import Any, Final

import msgspec

from latewood.answers import envelope
from latewood.declare import RecordLookup
from latewood.messages import Name, Word, refusing_in
from latewood.plan import facts, falls, fastening, hours, old_surface, surface_rules, surfaces
from latewood.plan.asked import questions
from latewood.plan.assumptions import assumptions, is_assumption
from latewood.plan.components import Component, components, labels, placed
from latewood.plan.done import Done
from latewood.plan.drawing import drawing
from latewood.plan.drops import sanded_lightly
from latewood.plan.effective_zones import EffectiveZone, effective_components, effective_zones
from latewood.plan.hazards import found_in
from latewood.plan.job import Job
from latewood.plan.lifting import stopped
from latewood.plan.purchases import Purchases
from latewood.plan.steps import POINTER_MAP, STEPS, take_off
from latewood.plan.task import place
from latewood.plan.totals import totals
from latewood.plan.unasked import unasked
from latewood.plan.verdicts import verdicts
from latewood.plan.work import Engine, Work
from latewood.problems import InputProblem
from latewood.provenance import Ledger, merge_basis, merge_cautions, merge_findings
from latewood.records.places import note_unknown
from latewood.rules.lead import coat_of
from latewood.rules.signs import FILM
from latewood.wire import Context, Options, Registry, struct_reader
from latewood.wire.write import struct_writer

#: Findings that only say what `questions` lists.
LISTED: Final = frozenset({"questions-open"})


def read_job(raw: object, shelf: Registry, options: Options) -> Job:
    """Return the job a tree describes; raise `InputProblem` with every fault in it."""
    return _read(raw, Context(shelf, decimal=options.decimal))


def _read(raw: object, ctx: Context) -> Job:
    job: Job = struct_reader(Job).read(raw, "", ctx)
    ctx.finish()
    return job


def run(engine: Engine, raw: object, options: Options) -> dict[str, Any]:
    """Return the plan of a job: its steps in order, totals, and one basis, findings and cautions for all."""
    ctx = Context(engine.shelf, decimal=options.decimal)
    job = _read(raw, ctx)
    options = options.or_units(job.units).or_lang(job.language)
    with refusing_in(engine.shelf.texts.speaker(options.style)):
        return _planned(engine, job, options, ctx)


def _planned(engine: Engine, job: Job, options: Options, ctx: Context) -> dict[str, Any]:
    known: RecordLookup = engine.shelf
    messages = engine.shelf.texts.messages
    InputProblem.raise_any([*surfaces.faults(job), *surface_rules.faults(job)])
    overall = Ledger("plan", working=options.working, messages=messages)
    ctx.note_names(overall)
    zones = sanded_lightly(job, effective_zones(job), known, overall)
    done = Done(job, zones)
    facts.state(job, done.whole, known, overall)
    note_unknown(job.site.jurisdiction, known, overall, pointer="/site/jurisdiction")
    _find_what_is_left_out(job, done.whole, known, overall)
    surface_rules.find_grey(done.whole, overall)
    work, gaps = Work(engine, options, done), Ledger("plan", messages=messages)
    for step in STEPS:
        for task in step.tasks(job, done, known):
            work.run(step, task)
        if not done.tasks(step.kind):
            work.run(step, unasked(step.kind))
        if step.after is not None:
            step.after(job, done, known, gaps)
    work.heed_later_stops()
    ran = work.in_order(fastening.order(done))
    falls.state_edges(job, done, known, overall)
    surfaces.find(done, gaps)
    facts.state_work(job, done, known, gaps)
    cautioned = known.records("caution").values()
    listed = components(done)
    raised = placed(
        [
            *map(work.places.of, overall.raised),
            *(finding for one in ran for finding in one.findings),
            *map(work.places.of, gaps.raised),
        ],
        listed,
    )
    cautions = [overall.cautions(cautioned), *facts.cautions_of(ran, done, known), gaps.cautions(cautioned)]
    speaker = work.speaker
    about = envelope(
        merge_basis([overall.basis, *(one.basis for one in ran), gaps.basis]),
        [one for one in raised if not is_assumption(one) and one.id not in LISTED],
        placed(merge_cautions(caution for said in cautions for caution in said), listed),
        speaker,
    )
    open_still = questions(done, ran, known, speaker)
    unsanded = {str(one.params["of"]) for one in gaps.raised if one.id == "coated-unsanded"}
    spent = hours.hours(done, speaker)
    judged = verdicts(done, ran, open_still, speaker)
    return {
        "job": _echoed(job, options),
        "components": [struct_writer(Component)(one, speaker) for one in listed],
        "stopped": [stopped(stop, done, speaker) for stop in done.stops.every],
        "verdicts": judged,
        "questions": open_still,
        "steps": [one.entry for one in ran],
        "purchases": Purchases(done, ran, judged, open_still, known, speaker, unsanded).rows(),
        "hours": spent,
        "totals": totals((one.entry, one.step.totals) for one in ran) | hours.total(spent),
        "assumptions": assumptions(filter(is_assumption, raised), done, [one.task for one in ran], speaker),
        **about | {"findings": merge_findings(about["findings"])},
        "computed_with": engine.computed_with,
    }


def _echoed(job: Job, options: Options) -> dict[str, Any]:
    """Return the job as it was understood: what it is called, its zones, and how its answer is written."""
    given = {"name": job.name, "reference": job.reference, "as_of": job.as_of and job.as_of.isoformat()}
    told = {name: value for name, value in given.items() if value is not None}
    zones = [zone.id for zone in job.zones]
    return {"schema": job.schema, "zones": zones, **told, "units": options.system, "language": options.style.lang}


def draw(engine: Engine, raw: object, options: Options) -> str:
    """Return a picture of a job's zones as SVG; raise `InputProblem` with every fault in what it shows."""
    job = read_job(raw, engine.shelf, options)
    options = options.or_units(job.units).or_lang(job.language)
    zones, speaker = effective_zones(job), engine.shelf.texts.speaker(options.style)
    inputs, called = take_off(job, zones), labels(zones, effective_components(job, zones).values(), speaker)
    with refusing_in(speaker):
        try:
            return drawing(inputs, speaker.naming(called))
        except InputProblem as problem:
            raise InputProblem(
                msgspec.structs.replace(f, pointer=place(f.pointer, POINTER_MAP)) for f in problem.faults
            ) from None


def _find_what_is_left_out(job: Job, zones: list[EffectiveZone], known: RecordLookup, ledger: Ledger) -> None:
    for merged in zones:
        # Of a component only what it says itself: what it has from its zone is said of the zone.
        mine = merged.own is None or merged.own.material is not None
        part, params, at = Name(merged.id), {"zone": merged.zone.id}, merged.pointer_to("material")
        if merged.wood_by:
            told = [Word("said-of-wood", name) for name in merged.wood_by]
            ledger.find("counts-as-wood", pointer=at, params=params | {"of": merged.id}, part=part, told=told)
        if merged.fields.material == "composite" and mine:
            ledger.find("composite-left-out", pointer=at, params=params, part=part)
        elif merged.fields.coating is None and mine and merged.fields.material != "composite":
            at = merged.pointer_to("coating")
            ledger.find("no-coating-named", text="no-finish-named", pointer=at, params=params, part=part)
    _find_what_was_not_asked(job, zones, known, ledger)
    if job.site.jurisdiction is None and any(facts.turns_on_year(job, merged, known) for merged in zones):
        ledger.find("no-year-rules", pointer="/site/jurisdiction")


def _find_what_was_not_asked(job: Job, zones: list[EffectiveZone], known: RecordLookup, ledger: Ledger) -> None:
    """Say where silence was taken for wood without preservative or old coating: no caution would tell otherwise."""
    floors = [m for m in zones if m.own is None and m.fields.material != "composite"]
    treated = [m for m in floors if m.fields.treatment is None and found_in(job, m, known).arsenical != "no"]
    if treated and not old_surface.is_requested(job, floors):
        # Else the look at the deck asks it.
        at, zones_ = treated[0].pointer_to("treatment"), [m.zone.id for m in treated]
        ledger.find("treatment-not-given", pointer=at, params={"zones": zones_}, zones=[Name(id) for id in zones_])
    coated = [m for m in floors if m.fields.old_coating is None and not FILM & set(m.fields.signs or ())]
    if coated:
        untested = any(m.fields.old_coating is None and not coat_of(m.fields).settled for m in floors)
        text = "old-coating-and-lead-not-given" if untested else "old-coating-not-given"
        at, zones_ = coated[0].pointer_to("old_coating"), [m.zone.id for m in coated]
        names = [Name(id) for id in zones_]
        ledger.find("old-coating-not-given", text=text, pointer=at, params={"zones": zones_}, zones=names)
