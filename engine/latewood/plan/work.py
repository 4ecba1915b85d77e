"""Running the tasks of a plan: what each came to, and what it said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Protocol

import msgspec

from latewood.answers import no_nulls, sheet_line
from latewood.calculators.condition.result import NOTHING_AGAINST
from latewood.declare import Calculator, RecordLookup
from latewood.messages import Speaker, Titled, clause
from latewood.plan.components import face_labels, labels
from latewood.plan.done import Done
from latewood.plan.kinds import AREA, CONDITION, Kind
from latewood.plan.lifting import carried
from latewood.plan.open_questions import rests_on
from latewood.plan.places import Places
from latewood.plan.steps import Step
from latewood.plan.task import Task
from latewood.problems import InputProblem
from latewood.provenance import Ledger, Raised, Shown, Used
from latewood.running import run
from latewood.wire import Options
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


@dataclass
class Ran:
    """A task of a step as the plan shows it, with what it used and said."""

    step: Step
    task: Task
    entry: dict[str, Any]
    basis: Sequence[Used] = ()
    findings: Sequence[Raised] = ()
    cautions: Sequence[Shown] = ()


@dataclass
class Work:
    """The tasks that were run so far, by the kind of step they belong to."""

    engine: Engine
    options: Options
    done: Done
    ran: dict[Kind[Any], list[Ran]] = field(default_factory=dict)
    _labels: dict[str, str] = field(default_factory=dict)

    @cached_property
    def places(self) -> Places:
        """The parts of the deck by the names findings have for them."""
        return Places(self.done)

    @cached_property
    def speaker(self) -> Speaker:
        """What writes texts as they were asked for, and calls each part of the deck by its label."""
        speaker: Speaker = self.engine.shelf.texts.speaker(self.options.style)
        self._labels = labels(self.done.zones, self.done.components.values(), speaker)
        return speaker.naming(self._labels)

    def run(self, step: Step, task: Task) -> None:
        """Run a task that is ready, and keep why another is not; parts it stops are stopped in every later step."""
        why = self.speaker.clause(clause("reasons", why=[*task.why])) if task.why else ""
        about = dict.fromkeys(task.parts.values() or task.held)
        given = {"why": why, "unlock": task.unlock, "places": about, "rests_on": rests_on(task, self.done)}
        label = self.speaker.word("step", task.kind.name)
        entry: dict[str, Any] = {"id": task.id, "calculator": task.kind.calculator, "label": label}
        entry["status"] = task.status
        entry |= {name: value if name == "why" else [*value] for name, value in given.items() if value}
        entry |= carried(task.held, self.done)
        ran = Ran(step, task, entry)
        self.ran.setdefault(step.kind, []).append(ran)
        if task.inputs is None:
            self.done.keep(task)
        else:
            self._calculate(ran)

    def heed_later_stops(self) -> None:
        """Take back that nothing stands against a part where a later step stops it."""
        for ran in self.ran.get(CONDITION, ()):
            for row in ran.entry.get("result", {}).get("components", ()):
                part = row["id"]
                if row["reasons"] == [self.speaker.clause(NOTHING_AGAINST)] and (stops := self.done.stops.of([part])):
                    row["reasons"] = [self.speaker.clause(clause("later-step-stops", why=stops[0].why))]

    def in_order(self, kinds: Sequence[Kind[Any]]) -> list[Ran]:
        """Return what was run, by kinds of step in the order of work."""
        return [one for kind in kinds for one in self.ran.get(kind, ())]

    def _calculate(self, ran: Ran) -> None:
        task, entry, known = ran.task, ran.entry, self.engine.shelf
        ledger = Ledger(task.kind.calculator, working=self.options.working, messages=known.texts.messages)
        calculator = self.engine.calculator(task.kind.calculator)
        result = _result(calculator, task, ledger, known)
        self.done.keep(task, result)
        if task.kind is AREA:
            # A face may have the id of a zone, which comes first.
            faces = face_labels(self.done, self.speaker)
            self._labels.update(faces | self._labels)
        entry["result"] = struct_writer(calculator.result)(result, self.speaker)
        if (route := known.records("route").get(entry["result"].get("chosen"))) is not None:
            entry["route"] = self.speaker.title(Titled(route))
        no_nulls(entry["result"], ledger)
        said = ledger.cautions(known.records("caution").values())
        if ledger.steps is not None:
            entry["sheet"] = [sheet_line(step, self.speaker) for step in ledger.steps]
        if task.decides:
            self.done.stops.heed(ledger.raised, task.parts)
        ran.findings = [
            msgspec.structs.replace(self.places.of(f, task), step=task.id, pointer=task.found(f.pointer))
            for f in ledger.raised
        ]
        ran.cautions = [msgspec.structs.replace(one, steps=(task.id,), places=task.about(one.places)) for one in said]
        ran.basis = [msgspec.structs.replace(used, path=task.path(used.path)) for used in ledger.basis]


def _result(calculator: Calculator, task: Task, ledger: Ledger, known: RecordLookup) -> Any:
    """Run one task; what it refuses is said of the place in the job."""
    try:
        return run(calculator, task.inputs, ledger, known)
    except InputProblem as problem:
        raise InputProblem(msgspec.structs.replace(f, pointer=task.place(f.pointer)) for f in problem.faults) from None
