"""Which parts of a deck a finding is about: those it names, those its pointer stands in, else all of its step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Any, Final

import msgspec

from latewood.plan.done import Done
from latewood.plan.task import Task
from latewood.provenance import Raised

#: Parameters of findings that name a zone, a part or a face.
_NAMING: Final = ("of", "component", "components", "parts", "face", "faces", "zone", "zones", "run", "uptake")


class Places:
    """The parts of a deck by every name that a finding has for them."""

    def __init__(self, done: Done) -> None:
        self._done = done

    @cached_property
    def _ids(self) -> Mapping[str, str]:
        """Ids of parts, and of faces with the part each belongs to."""
        faces = {face: merged.id for merged in self._done.whole for face in self._done.faces_of(merged.id)}
        return faces | {merged.id: merged.id for merged in self._done.whole}

    @cached_property
    def _pointers(self) -> Mapping[str, str]:
        """Pointers of parts in the job."""
        return {merged.pointer: merged.id for merged in self._done.whole}

    def of(self, finding: Raised, task: Task | None = None) -> Raised:
        """Return a finding with its places; none where it is about the job as a whole."""
        pointer = finding.pointer if task is None or finding.pointer is None else task.place(finding.pointer)
        parts = {} if task is None else {**task.parts, **task.called}
        found = (
            list(self._named({**finding.values, **finding.params}, parts)) or self._at(pointer) or list(parts.values())
        )
        return msgspec.structs.replace(finding, places=tuple(dict.fromkeys(found)))

    def _named(self, params: Mapping[str, Any], parts: Mapping[str, str]) -> Iterator[str]:
        for value in (params[key] for key in _NAMING if key in params):
            for name in value if isinstance(value, list | tuple | dict) else [value]:
                if not isinstance(name, str):
                    continue
                if (id := parts.get(name) or self._ids.get(name)) is not None:
                    yield id
                elif "/" in name:
                    # A frame or a wall: parts that are looked at and have no face.
                    yield name

    def _at(self, pointer: str | None) -> list[str]:
        """Return the part that a pointer stands in."""
        words = [] if pointer is None else pointer.split("/")
        id = self._pointers.get("/".join(words[:3]))
        return [] if id is None else [id]
