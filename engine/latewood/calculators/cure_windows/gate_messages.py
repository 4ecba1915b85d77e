"""Gates and margins as clauses."""

from __future__ import annotations

import math
from typing import Final

from latewood.messages import Clause, Code, Word, clause

#: Gate → how it fails, and the unit its margin is told in with the SI of one of them.
_GATES: Final = {
    "cold": ("fails-cold", "K", 1.0),
    "cold-later": ("fails-cold-later", "K", 1.0),
    "hot": ("fails-hot", "K", 1.0),
    "hot-later": ("fails-hot-later", "K", 1.0),
    "humid": ("fails-humid", "%", 0.01),
    "dew": ("fails-dew", "K", 1.0),
    "wind": ("fails-wind", "m/s", 1.0),
    "rain": ("fails-rain", "mm", 0.001),
    "wet-before": ("fails-wet-before", "mm", 0.001),
    "rain-later": ("fails-rain-later", "h", 3600.0),
    "rain-likely-later": ("fails-rain-likely-later", "%", 0.01),
    "rain-likely-before": ("fails-rain-likely-before", "%", 0.01),
}


def to_spare(gate: str, margin: float) -> Clause:
    """Return how far inside a gate something is."""
    if gate not in _GATES or math.isnan(margin):
        return clause("no-gate-close")
    return clause("gate-to-spare", gate=Word("gate", gate), by=_amount(gate, margin))


def fails(gate: str, margin: float) -> Clause:
    """Return by how much something fails a gate; of a gate this engine does not know, its name."""
    if gate not in _GATES:
        return clause("own-gate-fails", gate=Code(gate))
    return clause(_GATES[gate][0], by=_amount(gate, -margin))


def unknown(gate: str) -> Clause:
    """Return that the weather does not tell of a gate."""
    if gate not in _GATES:
        return clause("own-gate-unknown", gate=Code(gate))
    return clause("gate-unknown", gate=Word("gate", gate))


def _amount(gate: str, margin: float) -> Code:
    _, unit, one = _GATES[gate]
    value = margin / one
    return Code(f"{value:.1f} {unit}" if abs(value) < 9.95 else f"{value:.0f} {unit}")
