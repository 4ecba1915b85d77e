"""Steps that a job does not ask for: each stands in its plan all the same, with the fields that would ask for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from latewood.messages import Clause, clause
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
#: Why a kind of step is not planned, and the fields by which it is asked for; of several any one will do.
_ASKED_BY: Final[Mapping[Kind[Any], tuple[Clause, tuple[str, ...]]]] = {
    CONDITION: (clause("unasked-condition"), _LOOK),
    PREPARATION: (clause("unasked-preparation"), _LOOK),
    WASH: (clause("unasked-wash"), _LOOK),
    MASKING: (clause("unasked-masking"), (*_LOOK, "/surroundings")),
    FASTENERS: (clause("unasked-fasteners"), (*_LOOK, "/fastening")),
    SANDING: (clause("unasked-abrasive-sequence"), (*_LOOK, "/sanding")),
    READINESS: (clause("unasked-moisture-readiness"), ("/readings",)),
    COVERAGE: (clause("unasked-coverage"), ("/defaults/coating",)),
    WINDOWS: (clause("unasked-cure-windows"), ("/weather",)),
    CADENCE: (clause("unasked-wipe-cadence"), ("/crew",)),
}


def unasked(kind: Kind[Any]) -> Task:
    """Return the step of a kind that the job does not ask for."""
    why, unlock = _ASKED_BY[kind]
    return Task(kind, status="not-planned", why=(why,), unlock=unlock)


def asked_by(kind: Kind[Any]) -> tuple[str, ...]:
    """Return the fields of a job by which a kind of step is asked for."""
    return _ASKED_BY[kind][1]
