"""What a plan says to buy, by what it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def finishes(plan: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the finishes that are bought; one that only says what stops it has no volume."""
    return [row for row in plan["purchases"] if row["kind"] == "finish" and "volume" in row]


def abrasives(plan: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the discs, sheets and belts that are bought."""
    return [row for row in plan["purchases"] if row["kind"] == "abrasive"]
