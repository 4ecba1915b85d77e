"""Gates and margins as clauses."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from latewood.messages import Clause, Code, Difference, Length, Measure, Share, Speed, Time, Word, clause

#: Gate → how it fails, and what its margin is.
_GATES: Final[Mapping[str, tuple[str, type[Measure]]]] = {
    "cold": ("fails-cold", Difference),
    "cold-later": ("fails-cold-later", Difference),
    "hot": ("fails-hot", Difference),
    "hot-later": ("fails-hot-later", Difference),
    "humid": ("fails-humid", Share),
    "dew": ("fails-dew", Difference),
    "wind": ("fails-wind", Speed),
    "rain": ("fails-rain", Length),
    "wet-before": ("fails-wet-before", Length),
    "rain-later": ("fails-rain-later", Time),
    "rain-likely-later": ("fails-rain-likely-later", Share),
    "rain-likely-before": ("fails-rain-likely-before", Share),
}


def to_spare(gate: str, margin: float) -> Clause:
    """Return how far inside a gate something is."""
    if gate not in _GATES or math.isnan(margin):
        return clause("no-gate-close")
    return clause("gate-to-spare", gate=Word("gate", gate), by=_GATES[gate][1](margin))


def fails(gate: str, margin: float) -> Clause:
    """Return by how much something fails a gate; of a gate this engine does not know, its name."""
    if gate not in _GATES:
        return clause("own-gate-fails", gate=Code(gate))
    id, kind = _GATES[gate]
    return clause(id, by=kind(-margin))


def unknown(gate: str) -> Clause:
    """Return that the weather does not tell of a gate."""
    if gate not in _GATES:
        return clause("own-gate-unknown", gate=Code(gate))
    return clause("gate-unknown", gate=Word("gate", gate))
