"""Refusals as data: a fault that names its text and carries typed values, written with the problem document."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from latewood.messages.speaker import Speaker
from latewood.messages.style import Style
from latewood.messages.texts import shipped
from latewood.messages.values import data
from latewood.problems import Fault


class Refusal(Fault, frozen=True, kw_only=True, omit_defaults=True):
    """A fault whose values are typed still. What it says is English until it is written for the one who asked."""


def refusal(id: str, pointer: str, /, *, nearest: str | None = None, **values: Any) -> Refusal:
    """Return a fault by the id of its ``[refusal.id]`` in a ``messages.toml``, at a place of the input."""
    declared = shipped().refusals.get(id)
    if declared is None:
        raise LookupError(f"there is no refusal {id!r}")
    detail, expected = _said(id, values, shipped().speaker(Style()), declared.expected is not None)
    return Refusal(
        pointer=pointer,
        code=declared.code,
        detail=detail,
        expected=expected,
        nearest=nearest,
        id=id,
        values=values,
    )


def written(faults: Iterable[Fault], speaker: Speaker) -> list[Fault]:
    """Return faults as a problem document carries them: texts in one style, values as plain data."""
    return [_written(fault, speaker) if isinstance(fault, Refusal) else fault for fault in faults]


def _written(fault: Refusal, speaker: Speaker) -> Fault:
    id = str(fault.id)
    detail, expected = _said(id, fault.values, speaker, fault.expected is not None)
    speaker.language_of(f"{id}.detail")
    values = {name: data(value, speaker.style.system) for name, value in fault.values.items()}
    plain = {name: getattr(fault, name) for name in Fault.__struct_fields__}
    return Fault(**plain | {"detail": detail, "expected": expected, "values": values})


def _said(id: str, values: dict[str, Any], speaker: Speaker, expects: bool) -> tuple[str, str | None]:
    return speaker.say(f"{id}.detail", values), speaker.say(f"{id}.expected", values) if expects else None
