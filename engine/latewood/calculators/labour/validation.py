"""Whether each task can be read in one way."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from latewood.calculators.labour.inputs import Inputs
from latewood.messages import Name, refusal
from latewood.problems import Fault, InputProblem
from latewood.records import Rate

_QUANTITIES: Final = ("area", "length", "count")
GUESSES = ("least_time", "likely_time", "most_time")


def check(x: Inputs) -> None:
    """Refuse tasks of one name, tasks told in no way or in two, and guesses that fall."""
    if faults := list(_faults(x)):
        raise InputProblem(faults)


def quantity_of(rate: Rate) -> str:
    """Return the field of a task that holds the quantity its rate asks for; occasions are counted too."""
    return "count" if rate.counted_by == "occasions" else rate.counted_by


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
            wanted = quantity_of(task.rate)
            for field in _QUANTITIES:
                if (getattr(task, field) is not None) != (field == wanted):
                    code = "rate-needs-quantity" if field == wanted else "quantity-not-of-rate"
                    yield refusal(code, f"{at}/{field}")
