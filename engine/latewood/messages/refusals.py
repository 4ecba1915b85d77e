"""Refusals as data: a fault that names its text and carries typed values, written with the problem document."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Final

from latewood.messages.sources import Refused
from latewood.messages.speaker import Speaker
from latewood.messages.style import Style
from latewood.messages.texts import shipped
from latewood.messages.values import Clause, Code, Name, Word, clause, data
from latewood.problems import Fault, InputProblem, Malformed, NotFound, nearest
from latewood.quantities.refusals import UnitError

#: How a fault is written when it is found.
_PLAIN: Final = Style()


class Refusal(Fault, frozen=True, kw_only=True, omit_defaults=True):
    """A fault whose values are typed still. What it says is English until it is written for the one who asked."""

    #: What to send, where the field says it and not the refusal.
    wanted: Clause | None = None


def refusal(
    id: str, pointer: str, /, *, nearest: str | None = None, wanted: Clause | None = None, **values: Any
) -> Refusal:
    """Return a fault by the id of its ``[refusal.id]`` in a ``messages.toml``, at a place of the input.

    A plugin's own text is known to the engine that loaded it: until it is written there, its fault says the id.
    """
    # Chosen among values of a text it is one of them; what leaves is plain text.
    nearest = None if nearest is None else str(nearest)
    declared = shipped().refusals.get(id)
    if declared is None:
        return Refusal(pointer=pointer, code="", detail=id, nearest=nearest, id=id, values=values, wanted=wanted)
    detail, expected = _said(id, declared, values, wanted, shipped().speaker(_PLAIN))
    return Refusal(
        pointer=pointer,
        code=declared.code,
        detail=detail,
        expected=expected,
        nearest=nearest,
        id=id,
        values=values,
        wanted=wanted,
    )


def unread(error: UnitError, pointer: str, wanted: Clause | None = None) -> Refusal:
    """Return the fault of a value that could not be read, at its place in the input."""
    return refusal(error.id, pointer, nearest=error.nearest, wanted=wanted, **error.values)


def malformed(id: str, /, **values: Any) -> Malformed:
    """Return what to raise for a body that cannot be read, by the id of its refusal."""
    return Malformed(refusal(id, "", **values))


def not_found(what: str, name: str, known: Iterable[str], why: str | None = None) -> NotFound:
    """Return what to raise for a thing that does not exist here; ``what`` is a word of the vocabulary ``thing``."""
    thing, shown, near = Word("thing", what), Code(repr(name[:80])), nearest(name, known)
    if why:
        return NotFound(refusal("not-found-because", "", thing=thing, name=shown, why=Code(why), nearest=near))
    return NotFound(refusal("not-found", "", thing=thing, name=shown, nearest=near))


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


def line(fault: Fault, speaker: Speaker) -> str:
    """Return a written fault as one plain line, as a cell of a spreadsheet shows it."""
    parts = [clause("fault-detail", text=Code(fault.detail))]
    if fault.expected:
        parts.append(clause("fault-expected", text=Code(fault.expected)))
    if fault.nearest:
        parts.append(clause("fault-nearest", text=Code(fault.nearest)))
    at = clause("fault-place", place=Code(fault.place)) if fault.place else clause("fault-nowhere")
    return speaker.clause(clause("fault-line", at=at, parts=parts))


def written(faults: Iterable[Fault], speaker: Speaker) -> list[Fault]:
    """Return faults as a problem document carries them: texts in one style, values as plain data."""
    return [_written(fault, speaker) if isinstance(fault, Refusal) else fault for fault in faults]


def _written(fault: Refusal, speaker: Speaker) -> Fault:
    id = str(fault.id)
    declared = speaker.texts.refusals.get(id)
    if declared is None:
        raise LookupError(f"there is no refusal {id!r}")
    if fault.code and speaker.style == _PLAIN:
        # Said when it was found; a body of many thousand faults is not written twice.
        detail, expected = fault.detail, fault.expected
    else:
        detail, expected = _said(id, declared, fault.values, fault.wanted, speaker)
    values = data(fault.values, speaker.style.system)
    return Fault(
        pointer=fault.pointer,
        code=declared.code,
        detail=detail,
        expected=expected,
        nearest=fault.nearest,
        id=id,
        values=values,
        language=speaker.language_of(f"{id}.detail", fault.values),
    )


def _said(
    id: str, declared: Refused, values: dict[str, Any], wanted: Clause | None, speaker: Speaker
) -> tuple[str, str | None]:
    detail = speaker.say(f"{id}.detail", values)
    if wanted is not None:
        return detail, speaker.clause(wanted)
    return detail, None if declared.expected is None else speaker.say(f"{id}.expected", values)
