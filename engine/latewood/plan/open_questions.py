"""Which steps rest on something that is not found out yet: it is said beside what they plan and buy."""

from __future__ import annotations

from typing import Final

from latewood.calculators.condition.result import Question
from latewood.plan.done import Done
from latewood.plan.kinds import CONDITION, COVERAGE, MASKING, PREPARATION, SANDING, WASH, WINDOWS
from latewood.plan.task import Task

#: Topics that only help to settle another: what rests on them rests on that.
HELP: Final = frozenset({"year", "jurisdiction"})
#: Steps that reach the frame under a floor, by water, and walls beside it, by dust and edge tools.
_WETS: Final = (PREPARATION, WASH)
_TOUCHES: Final = (MASKING, SANDING)
#: Steps that put something on the wood, which water that beads would keep out.
_COATS: Final = (COVERAGE, WINDOWS)


def rests_on(task: Task, done: Done) -> list[str]:
    """Return the ids of the open questions that a step rests on, in the order they are asked, then steps and parts."""
    if task.inputs is None or task.kind is CONDITION:
        return []
    open_still = (question.id for question in asked(done) if _bears(question, task, done))
    beading = untested(done, set(task.parts.values())) if task.kind in _COATS else []
    return [*open_still, *beading, *task.rests_on]


def untested(done: Done, parts: set[str]) -> list[str]:
    """Return the steps by which these parts are coated only where drops of water do not bead on them any more."""
    prepared = done.every(PREPARATION)
    return [task.id for task, result in prepared if "beading" in result.rests_on and parts & set(task.parts.values())]


def asked(done: Done) -> tuple[Question, ...]:
    """Return the questions that are open."""
    looked = done.one(CONDITION)
    return looked.questions if looked is not None else ()


def _routed_by_frame(done: Done) -> set[str]:
    """Return the zones whose route rests on the preservative of the frame below, and so all that comes after it."""
    rested = (task for task, result in done.every(PREPARATION) if "frame-preservative" in result.rests_on)
    return {zone for task in rested for zone in task.parts.values()}


def _bears(question: Question, task: Task, done: Done) -> bool:
    """Say whether a question bears on the work of a step."""
    if question.topic in HELP:
        return False
    parts, of = set(task.parts.values()), done.looked_at[question.component]
    if of.id in parts:
        return True
    if of.part == "wall":
        return task.kind in _TOUCHES
    under = of.part == "frame" and of.zone in {merged.zone.id for merged in done.whole if merged.id in parts}
    return under and (question.topic == "structure" or task.kind in _WETS or of.zone in _routed_by_frame(done))
