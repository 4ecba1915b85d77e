"""What condition answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.condition.fields import ComponentGate, Question
from latewood.declare import F


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What may be done with each component, and what has to be found out first."""

    components: Annotated[tuple[ComponentGate, ...], F("The components, in the order they were given")]
    questions: Annotated[tuple[Question, ...], F("What is still open, and what waits for it")]
