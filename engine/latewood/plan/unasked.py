"""Steps that a job does not ask for: each stands in its plan all the same, with the fields that would ask for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from latewood.messages import clause
from latewood.plan.kinds import (
    CADENCE,
    CONDITION,
    COVERAGE,
    FASTENERS,
    MASKING,
    PREPARATION,
    READINESS,
    SANDING,
    WASH,
    WINDOWS,
    Kind,
)
from latewood.plan.task import Task

_LOOK: Final = ("/defaults/signs", "/defaults/structure")
#: Fields of a job by which each kind of step is asked for; of several any one will do.
_ASKED_BY: Final[Mapping[Kind[Any], tuple[str, ...]]] = {
    CONDITION: _LOOK,
    PREPARATION: _LOOK,
    WASH: _LOOK,
    MASKING: (*_LOOK, "/surroundings"),
    FASTENERS: (*_LOOK, "/fastening"),
    SANDING: (*_LOOK, "/sanding"),
    READINESS: ("/readings",),
    COVERAGE: ("/defaults/coating",),
    WINDOWS: ("/weather",),
    CADENCE: ("/crew",),
}


def unasked(kind: Kind[Any]) -> Task:
    """Return the step of a kind that the job does not ask for."""
    return Task(kind, status="not-planned", why=clause(f"unasked-{kind.name}"), unlock=_ASKED_BY[kind])


def asked_by(kind: Kind[Any]) -> tuple[str, ...]:
    """Return the fields of a job by which a kind of step is asked for."""
    return _ASKED_BY[kind]
