"""Which steps rest on something nobody has found out yet: it is said beside what they plan and buy."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

from latewood.calculators.condition.fields import Question
from latewood.plan.task import Task
from latewood.provenance import Ledger, Severity

#: Topics that only help to settle another: what rests on them rests on that.
_HELP: Final = frozenset({"year", "jurisdiction"})
#: Topics on which somebody may be harmed.
_HARM: Final = frozenset({"structure", "flashing", "lead", "preservative"})
#: Steps that reach the frame under a floor, by water, and walls beside it, by dust and edge tools.
_WETS: Final = frozenset({"preparation", "wash"})
_TOUCHES: Final = frozenset({"masking", "abrasive-sequence"})
_WALLS: Final = "surroundings/walls"


def rests_on(task: Task, done: Mapping[str, Any]) -> list[str]:
    """Return the ids of the open questions that a step rests on, in the order they are asked, then steps and parts."""
    if task.inputs is None or task.calculator == "condition":
        return []
    parts, routed = set(task.parts.values()), _routed_by_frame(done)
    asked = done["condition"].questions if "condition" in done else ()
    return [*(question.id for question in asked if _bears(question, task.calculator, parts, routed)), *task.rests_on]


def say(steps: Iterable[Mapping[str, Any]], done: Mapping[str, Any], ledger: Ledger) -> None:
    """Say in one finding which purchases rest on what is still open."""
    buying = [step for step in steps if step["calculator"] == "coverage" and step.get("rests_on")]
    if not buying:
        return
    questions = done["condition"].questions if "condition" in done else ()
    asked = {question.id: question.topic for question in questions}
    topics = list(dict.fromkeys(asked.get(id, "moisture") for step in buying for id in step["rests_on"]))
    severity: Severity = "warning" if _HARM & set(topics) else "note"
    words = ", ".join(topic.replace("-", " ") for topic in topics)
    message = f"What is to be bought rests on what is still open: {words}. Find it out before you buy."
    ledger.find("rests-on-open-questions", severity, message, steps=[step["id"] for step in buying], topics=topics)


def _routed_by_frame(done: Mapping[str, Any]) -> set[str]:
    """Return the frames on whose preservative the route of the floor above rests, and so all that comes after it."""
    zones = {row.zone for row in done["area"].faces} if "area" in done else set()
    frames = set()
    for zone in zones:
        chosen = done.get(f"preparation-{zone}", done.get("preparation"))
        if chosen is not None and "frame-preservative" in chosen.rests_on:
            frames.add(f"{zone}/frame")
    return frames


def _bears(question: Question, calculator: str, parts: set[str], routed: set[str]) -> bool:
    """Say whether a question bears on work of a kind on these parts."""
    if question.topic in _HELP:
        return False
    if question.component in parts:
        return True
    if question.component == _WALLS:
        return calculator in _TOUCHES
    zone, _, what = question.component.partition("/")
    under = what == "frame" and any(part.partition("/")[0] == zone for part in parts)
    return under and (question.topic == "structure" or calculator in _WETS or question.component in routed)
