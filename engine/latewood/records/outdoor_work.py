"""Work on a deck other than coating, and the weather it may be done in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar

from latewood.records.base import Record
from latewood.records.curing import Limits


class OutdoorWork(Record, frozen=True, kw_only=True):
    """Cleaning, sanding: work that asks less of the weather than a coating does."""

    KIND: ClassVar[str] = "outdoor-work"

    limits: Annotated[Limits, "The weather it may be done in"]
    models: Annotated[Mapping[str, str], "Name of the model of gates it chooses"]

    def models_used(self) -> set[tuple[str, str]]:
        """Return kind and name of each model it chose."""
        return set(self.models.items())
