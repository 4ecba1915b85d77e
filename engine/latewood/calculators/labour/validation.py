"""Whether each task can be read in one way."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from latewood.calculators.labour.inputs import Inputs, Task
from latewood.messages import Name, refusal
from latewood.problems import Fault, InputProblem

Quantity = Literal["area", "length", "count"]

#: What a rate is counted by: the field of its record, and the field of the task.
QUANTITIES: Final[tuple[tuple[str, Quantity], ...]] = (
    ("area_pace", "area"),
    ("length_pace", "length"),
    ("count_pace", "count"),
    ("time", "count"),
)
GUESSES = ("least_time", "likely_time", "most_time")


def check(x: Inputs) -> None:
    """Refuse tasks of one name, tasks told in no way or in two, and guesses that fall."""
    if faults := list(_faults(x)):
        raise InputProblem(faults)


def counted_by(task: Task) -> Quantity:
    """Return the name of the quantity that the rate of a task asks for."""
    return next(field for pace, field in QUANTITIES if getattr(task.rate, pace) is not None)


def _faults(x: Inputs) -> Iterator[Fault]:
    if not x.tasks and not x.workdays and not x.visits:
        yield refusal("no-tasks", "/tasks")
    seen: set[str] = set()
    for place, task in enumerate(x.tasks):
        at = f"/tasks/{place}"
        if task.id in seen:
            yield refusal("task-twice", f"{at}/id", name=Name(task.id))
        seen.add(task.id)
        guesses = [getattr(task, name) for name in GUESSES]
        guessed = any(guess is not None for guess in guesses)
        if [task.rate is not None, task.time is not None, guessed].count(True) != 1:
            yield refusal("task-in-one-way", at)
        elif guessed:
            if None in guesses:
                yield refusal("guess-missing", f"{at}/{GUESSES[guesses.index(None)]}")
            elif guesses != sorted(guesses):
                yield refusal("guesses-fall", f"{at}/likely_time")
        elif task.rate is not None:
            wanted = counted_by(task)
            for field in ("area", "length", "count"):
                if (getattr(task, field) is not None) != (field == wanted):
                    code = "rate-needs-quantity" if field == wanted else "quantity-not-of-rate"
                    yield refusal(code, f"{at}/{field}")
