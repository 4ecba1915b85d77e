"""Gates and margins in words."""

from __future__ import annotations

import math
from typing import Final

#: Gate → what it asks, and the unit its margin is told in with the SI of one of them.
_GATES: Final = {
    "cold": ("air and boards are warm enough", "K", 1.0),
    "cold-later": ("the air stays warm enough over the time after coating, the night included", "K", 1.0),
    "hot": ("the boards are not too hot", "K", 1.0),
    "hot-later": ("the sun does not heat the boards too much in the hours after", "K", 1.0),
    "humid": ("the air is not too humid", "%", 0.01),
    "dew": ("the boards lie far enough above the dew point", "K", 1.0),
    "wind": ("the wind is not too strong", "m/s", 1.0),
    "rain": ("it does not rain", "mm", 0.001),
    "wet-before": ("it has been dry for long enough", "mm", 0.001),
    "rain-later": ("the coat is safe from rain before it comes", "h", 3600.0),
    "rain-likely-later": ("rain is unlikely until the coat is safe from it", "%", 0.01),
    "rain-likely-before": ("rain is unlikely in the dry time before", "%", 0.01),
    "working-hours": ("people are at work", "", 1.0),
    "daylight": ("there is light", "", 1.0),
}
#: What a failing gate is called in a sentence, with the amount it fails by.
_FAILS: Final = {
    "cold": "air or boards are {by} too cold",
    "cold-later": "the air falls {by} below what must be kept in the hours after coating, the night included",
    "hot": "the boards are {by} too hot",
    "hot-later": "the sun heats the boards {by} too far in the hours after",
    "humid": "the air is {by} of humidity too damp",
    "dew": "the boards lie {by} too close to the dew point",
    "wind": "the wind is {by} too strong",
    "rain": "it rains",
    "wet-before": "it has rained too short a time before",
    "rain-later": "rain comes {by} before the coat is safe from it",
    "rain-likely-later": "rain before the coat is safe from it is {by} too likely",
    "rain-likely-before": "rain in the dry time before is {by} too likely",
}


def margin_text(gate: str, margin: float) -> str:
    """Return how far inside a gate something is."""
    if gate not in _GATES or math.isnan(margin):
        return "no gate comes close"
    asks, unit, one = _GATES[gate]
    return f"{asks}, with {_amount(margin / one)} {unit} to spare"


def failing_text(gate: str, margin: float) -> str:
    """Return by how much something fails a gate; of a gate this engine does not know, its name."""
    if gate not in _FAILS:
        return f"the gate {gate} of the family does not pass"
    _, unit, one = _GATES[gate]
    return _FAILS[gate].format(by=f"{_amount(-margin / one)} {unit}")


def unknown_text(gate: str) -> str:
    """Return that the weather does not tell of a gate."""
    asks = _GATES[gate][0] if gate in _GATES else f"the gate {gate} passes"
    return f"the weather given does not tell whether {asks}"


def _amount(value: float) -> str:
    return f"{value:.1f}" if abs(value) < 9.95 else f"{value:.0f}"
