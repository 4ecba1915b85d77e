"""The runs of calculators that the steps of a plan come to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, TypeVar

import msgspec

from latewood.messages import Clause, clause
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.kinds import Kind

#: What became of a step: partial leaves parts out, skipped is not needed, blocked waits for what is not known, stopped
#: is about parts that are stopped only, not-planned was not asked for.
Status = Literal["done", "partial", "skipped", "blocked", "stopped", "not-planned"]

S = TypeVar("S", bound=msgspec.Struct)


def place(pointer: str, stands: tuple[tuple[str, str], ...]) -> str:
    """Return where in a job an input stands, by how its pointer begins."""
    for start, other in stands:
        if pointer == start or pointer.startswith(f"{start}/"):
            return other + pointer.removeprefix(start)
    return pointer


def filled(struct: type[S], *sources: object, **own: Any) -> S:
    """Return a struct with what its sources hold by the same names, for one name has one meaning, and its own."""
    names = struct.__struct_fields__
    return struct(**{name: getattr(one, name) for one in sources for name in names if hasattr(one, name)} | own)


@dataclass(frozen=True)
class Task:
    """One run of a calculator: ready with ``inputs``, or not, with the fields that would ``unlock`` it."""

    kind: Kind[Any]
    #: What tells it from the other tasks of its kind, as its id shows it.
    name: str = ""
    inputs: Any = None
    status: Status = "done"
    why: tuple[Clause, ...] = ()
    #: Where the job would say what is not known, or what this step is asked by.
    unlock: tuple[str, ...] = ()
    #: Where inputs stand in the job, by how their pointers begin, if not at the same place.
    stands: tuple[tuple[str, str], ...] = ()

    #: Whether the inputs are a part of the job as it stands, so that a finding can point there.
    in_job: bool = False

    #: Parts it would be about too, had no step stopped them; the others among these are in ``parts``.
    held: tuple[str, ...] = ()

    #: The parts of the deck it is about: their ids, by the names its findings have for them.
    parts: Mapping[str, str] = field(default_factory=dict)

    #: Other names its cautions have for parts, and the ids of those.
    called: Mapping[str, str] = field(default_factory=dict)

    #: Steps and parts whose outcome it rests on, beside the questions that are open.
    rests_on: tuple[str, ...] = ()

    #: Whether parts that it stops are stopped in every later step too.
    decides: bool = False

    @property
    def id(self) -> str:
        """Return the id of the step in the plan."""
        return f"{self.kind.name}-{self.name}" if self.name else self.kind.name

    def about(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return the ids of what a caution names: all its parts where it names none, nothing of the whole job."""
        ids = [self.called.get(name) or self.parts.get(name, name) for name in names] or self.parts.values()
        return tuple(dict.fromkeys(ids))

    def place(self, pointer: str) -> str:
        """Return where in the job an input stands."""
        return place(pointer, self.stands)

    def path(self, path: str) -> str:
        """Return where in the job a line of the basis stands, if it is of an input."""
        start, _, rest = path.partition("/")
        return start + self.place(f"/{rest}") if start == "input" and rest else path

    def found(self, pointer: str | None) -> str | None:
        """Return where in the job a finding points, None where its inputs were put together from several places."""
        return self.place(pointer) if self.in_job and pointer is not None else None


def by_id(members: Iterable[EffectiveZone]) -> dict[str, str]:
    """Return parts as a task names them that calls each by its id."""
    return {merged.id: merged.id for merged in members}


def left_out(why: tuple[Clause, ...], stopped: tuple[Clause, ...]) -> tuple[Clause, ...]:
    """Return why a step is done, with the parts that are left out of it."""
    return (*why, clause("stopped-parts", why=[*stopped])) if why and stopped else why or stopped
