"""Defaults of stairs, guards and extras, said once it is known how much of the whole they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from latewood.provenance import Ledger


def dotted(at: str, name: str) -> str:
    """Return the dotted name of a field that stands at one place of the input."""
    return f"{at}/{name}".strip("/").replace("/", ".")


@dataclass
class Defaults:
    """The defaults taken so far; the effect of each is first a share of its own component."""

    ledger: Ledger
    taken: list[tuple[str, str, str, float, str]] = field(default_factory=list)

    def take(self, at: str, name: str, given: str, *, effect: float, why: str) -> None:
        """Note a default of the component that stands at one place."""
        self.taken.append((at, name, given, effect, why))

    def say(self, areas: Mapping[str, float], total: float) -> None:
        """Write them into the ledger, each effect as a share of the area of all faces."""
        for at, name, given, effect, why in self.taken:
            share = areas[at] / total if total > 0 else 1.0
            self.ledger.default(dotted(at, name), given, effect=effect * share, why=why)
