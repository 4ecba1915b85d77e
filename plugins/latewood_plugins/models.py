"""The models the bundled records choose by name."""

from __future__ import annotations

from latewood.plugin import Model, Number


def tabulated(*, rate: Number, coat: int, roughness: float) -> Number:
    """Return the tabulated rate as it is: the table already tells surfaces apart, and later coats have their share."""
    return rate


MODELS = [Model("spreading", "table", tabulated, source="", title="The record's table as it stands")]
