"""What condition answers."""

from __future__ import annotations

from typing import Annotated, Final, Literal

import msgspec

from latewood.calculators.condition.inputs import ComponentPart
from latewood.declare import F, Q
from latewood.messages import Clause, clause
from latewood.rules.hazards import Suspicion
from latewood.uncertainty.spread import Number

Gate = Literal[
    "refinish",
    "repair-some",
    "replace",
    "fix-cause-first",
    "stop-structure",
    "stop-hazard",
    "refused",
    "not-looked",
    "leave",
]
Topic = Literal[
    "wood",
    "preservative",
    "old-coating",
    "lead",
    "structure",
    "flashing",
    "year",
    "jurisdiction",
    "cupping",
    "extent",
    "signs",
]
Matching = Literal["none", "blends"]

#: Gates behind which nothing is prepared, bought or scheduled until what stands there is settled.
SHUT: Final[frozenset[Gate]] = frozenset({"stop-structure", "replace", "fix-cause-first", "refused"})


#: The reason of a part that may be refinished where nothing else is said of it.
NOTHING_AGAINST: Final = clause("nothing-against")


class ComponentGate(msgspec.Struct, frozen=True, kw_only=True):
    """What may be done with one component, and why."""

    id: Annotated[str, F("Name of the component")]
    part: Annotated[ComponentPart, F("What it is")]
    gate: Annotated[Gate, F("What comes next: refinish, or what stands before it")]
    reasons: Annotated[tuple[Clause, ...], F("Why")]
    arsenical: Annotated[Suspicion, F("Whether the wood may hold arsenic")]
    lead_paint: Annotated[Suspicion, F("Whether the old coating may hold lead")]
    cover_left: Annotated[Number, Q("mm", "Wood above the fasteners after the planned removal")] | None = None
    thickness_left: Annotated[Number, Q("mm", "Board left where it is thinnest")] | None = None
    matching: Annotated[Matching, F("Whether new boards need work to match the old")] | None = None
    blending_time: Annotated[Number, Q("week", "Time until new boards look like the old")] | None = None


class Question(msgspec.Struct, frozen=True, kw_only=True):
    """Something that is still to be answered, and what waits for the answer."""

    id: Annotated[str, F("Component and what is asked")]
    component: Annotated[str, F("Component it is asked of")]
    topic: Annotated[Topic, F("What is asked")]
    question: Annotated[Clause, F("The question")]
    how: Annotated[Clause, F("How to find out")]
    blocks: Annotated[tuple[Clause, ...], F("What waits for the answer")]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What may be done with each component, and what has to be found out first."""

    components: Annotated[tuple[ComponentGate, ...], F("The components, in the order they were given")]
    questions: Annotated[tuple[Question, ...], F("What is still open, and what waits for it")]
