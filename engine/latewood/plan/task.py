"""What a plan is made of: kinds of step, and the runs of calculators they come to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from latewood.declare import Known
from latewood.plan.job import Job
from latewood.plan.merged import Merged


def place(pointer: str, stands: tuple[tuple[str, str], ...]) -> str:
    """Return where in a job an input stands, by how its pointer begins."""
    for start, other in stands:
        if pointer == start or pointer.startswith(f"{start}/"):
            return other + pointer.removeprefix(start)
    return pointer


@dataclass(frozen=True)
class Task:
    """One run of a calculator: ready with ``inputs``, or held up by what is ``missing``."""

    id: str
    calculator: str
    inputs: Any = None
    status: str = "done"
    why: str = ""
    missing: tuple[str, ...] = ()
    #: Where inputs stand in the job, by how their pointers begin, if not at the same place.
    stands: tuple[tuple[str, str], ...] = ()

    #: Whether the inputs are a part of the job as it stands, so that a finding can point there.
    in_job: bool = False

    def place(self, pointer: str) -> str:
        """Return where in the job an input stands."""
        return place(pointer, self.stands)

    def found(self, pointer: str | None) -> str | None:
        """Return where in the job a finding points, None where its inputs were put together from several places."""
        return self.place(pointer) if self.in_job and pointer is not None else None


@dataclass(frozen=True)
class Step:
    """A kind of step: given the job and the results so far, the tasks it comes to."""

    name: str
    tasks: Callable[[Job, list[Merged], dict[str, Any], Known], Iterator[Task]]
