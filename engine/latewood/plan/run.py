"""Planning: run the steps in order and gather what they found."""

from __future__ import annotations

from typing import Any, Protocol

import msgspec

from latewood.answers import envelope, no_nulls
from latewood.declare import Calculator, Known
from latewood.plan import facts, old_surface, seen, surfaces
from latewood.plan.drawing import drawing
from latewood.plan.job import Job
from latewood.plan.merged import Merged, merged_components, merged_zones
from latewood.plan.steps import STANDS, STEPS, take_off
from latewood.plan.task import Task, place
from latewood.problems import InputProblem
from latewood.provenance import Finding, Ledger, Shown, merge_basis, merge_cautions
from latewood.rules.signs import FILM
from latewood.wire import Context, Options, Shelf, struct_reader
from latewood.wire.write import struct_writer


class Engine(Protocol):
    """What planning needs of the running engine."""

    @property
    def shelf(self) -> Any:
        """Records, models and ids."""
        ...

    @property
    def computed_with(self) -> dict[str, Any]:
        """Versions and digest."""
        ...

    def calculator(self, name: str) -> Calculator:
        """Return a calculator."""
        ...


def read_job(raw: object, shelf: Shelf, options: Options) -> Job:
    """Return the job a tree describes; raise `InputProblem` with every fault in it."""
    ctx = Context(shelf, decimal=options.decimal)
    job: Job = struct_reader(Job).read(raw, "", ctx)
    ctx.finish()
    return job


def run(engine: Engine, raw: object, options: Options) -> dict[str, Any]:
    """Return the plan of a job: its steps in order, totals, and one basis, findings and cautions for all."""
    known: Known = engine.shelf
    job = read_job(raw, engine.shelf, options)
    if faults := [*surfaces.refuse(job), *seen.refuse(job)]:
        raise InputProblem(faults)
    options = options.or_units(job.units)
    zones = merged_zones(job)
    overall = Ledger("plan", working=options.working)
    whole = [*zones, *merged_components(job, zones).values()]
    facts.state(job, whole, known, overall)
    _say_what_is_left_out(job, whole, overall)
    seen.say_grey(whole, overall)
    cautioned = known.records("caution").values()
    done: dict[str, Any] = {}
    shown: list[dict[str, Any]] = []
    bases = [overall.basis]
    findings: list[Finding] = list(overall.findings)
    cautions: list[Shown] = overall.cautions(cautioned)
    for step in STEPS:
        for task in step.tasks(job, zones, done, known):
            entry: dict[str, Any] = {"id": task.id, "calculator": task.calculator, "status": task.status}
            if task.why:
                entry["why"] = task.why
            if task.missing:
                entry["missing"] = list(task.missing)
            if task.inputs is not None:
                ledger = Ledger(task.calculator, working=options.working)
                calculator = engine.calculator(task.calculator)
                done[task.id] = _calculate(calculator, task, ledger, known)
                entry["result"] = struct_writer(calculator.result)(done[task.id], options.system)
                no_nulls(entry["result"], ledger)
                said = ledger.cautions(cautioned)
                if options.working:
                    entry["sheet"] = envelope(ledger, said, options.system)["sheet"]
                bases.append(ledger.basis)
                findings += [
                    msgspec.structs.replace(f, step=task.id, pointer=task.found(f.pointer)) for f in ledger.findings
                ]
                cautions += [msgspec.structs.replace(caution, steps=(task.id,)) for caution in said]
            shown.append(entry)
    gaps = Ledger("plan")
    surfaces.say(zones, done["area"].faces, gaps)
    seen.say_unsandable(whole, done, gaps)
    facts.state_work(job, whole, done, known, gaps)
    cautions += gaps.cautions(cautioned)
    bases.append(gaps.basis)
    findings += gaps.findings
    return {
        "job": {"schema": job.schema, "zones": [zone.id for zone in job.zones]}
        | ({"as_of": job.as_of.isoformat()} if job.as_of else {}),
        "steps": shown,
        "totals": _totals(shown),
        "basis": merge_basis(bases),
        "findings": findings,
        "cautions": merge_cautions(cautions),
        "computed_with": engine.computed_with,
    }


def draw(engine: Engine, raw: object, options: Options) -> str:
    """Return a picture of a job's zones as SVG; raise `InputProblem` with every fault in what it shows."""
    job = read_job(raw, engine.shelf, options)
    options = options.or_units(job.units)
    inputs = take_off(job, merged_zones(job))
    try:
        return drawing(inputs, options.system)
    except InputProblem as problem:
        raise InputProblem(
            msgspec.structs.replace(f, pointer=place(f.pointer, STANDS)) for f in problem.faults
        ) from None


def _calculate(calculator: Calculator, task: Task, ledger: Ledger, known: Known) -> Any:
    """Run one task; what it refuses is said of the place in the job."""
    try:
        return calculator.function(task.inputs, ledger, known)
    except InputProblem as problem:
        raise InputProblem(msgspec.structs.replace(f, pointer=task.place(f.pointer)) for f in problem.faults) from None


def _say_what_is_left_out(job: Job, zones: list[Merged], ledger: Ledger) -> None:
    for merged in zones:
        # Of a component only what it says itself: what it has from its zone is said of the zone.
        mine = merged.own is None or merged.own.material is not None
        what = f"zone {merged.zone.id}" if merged.own is None else merged.own.id
        if merged.fields.material == "composite" and mine:
            ledger.find(
                "composite-left-out",
                "warning",
                f"{what} is composite; it is measured but no finish is planned for it",
                pointer=merged.pointer_to("material"),
                zone=merged.zone.id,
            )
        elif merged.fields.coating is None and mine and merged.fields.material != "composite":
            ledger.find(
                "no-coating-named",
                "note",
                f"{what} names no coating; nothing is bought for it",
                pointer=merged.pointer_to("coating"),
                zone=merged.zone.id,
            )
    _say_what_was_not_asked(job, zones, ledger)
    if job.site.jurisdiction is None and any(facts.turns_on_year(merged) for merged in zones):
        ledger.find(
            "no-year-rules",
            "note",
            "no jurisdiction was given, so the year of building rules neither lead nor arsenic out",
            pointer="/site/jurisdiction",
        )


def _say_what_was_not_asked(job: Job, zones: list[Merged], ledger: Ledger) -> None:
    """Say where silence was taken for wood without preservative or old coating: no caution would tell otherwise."""
    silent = {
        "treatment": "preservative in the wood; none was taken, and arsenic was not looked for",
        "old_coating": "coating on the wood now; none was taken, and lead was not looked for",
    }
    floors = [m for m in zones if m.own is None]
    if old_surface.spoken_of(job, floors):
        # The look at the deck asks it, and suspects what is not answered.
        del silent["treatment"]
    for field, words in silent.items():
        where = [m for m in floors if getattr(m.fields, field) is None and m.fields.material != "composite"]
        if field == "old_coating":
            where = [m for m in where if not FILM & set(m.fields.signs or ())]
        if where:
            ledger.find(
                f"{field.replace('_', '-')}-not-given",
                "note",
                f"nothing was said of a {words}",
                pointer=where[0].pointer_to(field),
                zones=[m.zone.id for m in where],
            )


def _totals(steps: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the floor area and the shopping list. Litres of different coatings are not added up."""
    totals: dict[str, Any] = {"purchases": []}
    for step in steps:
        result = step.get("result")
        if result is None:
            continue
        for row in result.get("waste", ()):
            totals.setdefault("waste", []).append({**row, "step": step["id"]})
        if step["calculator"] == "area":
            totals["area"] = result["area"]
        elif step["calculator"] == "coverage":
            bought = {"id": step["id"], "volume": result["volume"], "text": result["purchase"]["text"]}
            totals["purchases"].append(bought)
        elif step["calculator"] == "abrasive-sequence":
            totals["abrasives"] = [
                {name: row[name] for name in ("id", "abrasive", "machine", "form")} | {"count": row["to_buy"]}
                for row in result["abrasives"]
                if row["to_buy"]
            ]
        elif step["calculator"] == "cure-windows":
            lines = {"id": step["id"], "start": result["text"], "lines": [row["text"] for row in result["hand_over"]]}
            totals.setdefault("hand_over", []).append(lines)
    return totals
