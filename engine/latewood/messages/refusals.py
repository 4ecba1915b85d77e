"""Refusals as data: a fault that names its text and carries typed values, written with the problem document."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from latewood.messages.sources import Refused
from latewood.messages.speaker import Speaker
from latewood.messages.style import Style
from latewood.messages.texts import shipped
from latewood.messages.values import Name, data
from latewood.problems import Fault, InputProblem


class Refusal(Fault, frozen=True, kw_only=True, omit_defaults=True):
    """A fault whose values are typed still. What it says is English until it is written for the one who asked."""


def refusal(id: str, pointer: str, /, *, nearest: str | None = None, **values: Any) -> Refusal:
    """Return a fault by the id of its ``[refusal.id]`` in a ``messages.toml``, at a place of the input.

    A plugin's own text is known to the engine that loaded it: until it is written there, its fault says the id.
    """
    declared = shipped().refusals.get(id)
    if declared is None:
        return Refusal(pointer=pointer, code="", detail=id, nearest=nearest, id=id, values=values)
    detail, expected = _said(id, declared, values, shipped().speaker(Style()))
    return Refusal(
        pointer=pointer,
        code=declared.code,
        detail=detail,
        expected=expected,
        nearest=nearest,
        id=id,
        values=values,
    )


def repeats(id: str, names: Sequence[str], pointer: str) -> Iterator[Refusal]:
    """Yield the refusal of each name that was there before; ``{}`` in a pointer is its place."""
    for place, name in enumerate(names):
        if name in names[:place]:
            yield refusal(id, pointer.format(place), name=Name(name))


@contextmanager
def refusing_in(speaker: Speaker) -> Iterator[None]:
    """Write every fault of an `InputProblem` raised inside, in one style."""
    try:
        yield
    except InputProblem as problem:
        if any(isinstance(fault, Refusal) for fault in problem.faults):
            raise InputProblem(written(problem.faults, speaker)) from problem
        raise


def written(faults: Iterable[Fault], speaker: Speaker) -> list[Fault]:
    """Return faults as a problem document carries them: texts in one style, values as plain data."""
    return [_written(fault, speaker) if isinstance(fault, Refusal) else fault for fault in faults]


def _written(fault: Refusal, speaker: Speaker) -> Fault:
    id = str(fault.id)
    declared = speaker.texts.refusals.get(id)
    if declared is None:
        raise LookupError(f"there is no refusal {id!r}")
    detail, expected = _said(id, declared, fault.values, speaker)
    values = data(fault.values, speaker.style.system)
    return Fault(
        pointer=fault.pointer,
        code=declared.code,
        detail=detail,
        expected=expected,
        nearest=fault.nearest,
        id=id,
        values=values,
        language=speaker.language_of(f"{id}.detail"),
    )


def _said(id: str, declared: Refused, values: dict[str, Any], speaker: Speaker) -> tuple[str, str | None]:
    expected = None if declared.expected is None else speaker.say(f"{id}.expected", values)
    return speaker.say(f"{id}.detail", values), expected
