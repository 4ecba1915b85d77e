"""What the steps of a plan add up to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any


def totals(steps: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """Return the floor area, the shopping list and the hand-over. Litres of different coatings are not added up."""
    found: dict[str, Any] = {"purchases": []}
    for step in steps:
        result = step.get("result")
        if result is None:
            continue
        for row in result.get("waste", ()):
            found.setdefault("waste", []).append({**row, "step": step["id"]})
        if step["calculator"] == "area":
            found["area"] = result["area"]
        elif step["calculator"] == "coverage":
            bought = {"id": step["id"], "volume": result["volume"], "text": result["purchase"]["text"]}
            found["purchases"].append(bought | {name: step[name] for name in ("rests_on",) if name in step})
        elif step["calculator"] == "abrasive-sequence":
            found["abrasives"] = [
                {name: row[name] for name in ("id", "abrasive", "machine", "form")} | {"count": row["to_buy"]}
                for row in result["abrasives"]
                if row["to_buy"]
            ]
        elif step["calculator"] == "cure-windows":
            lines = {"id": step["id"], "start": result["text"], "lines": [row["text"] for row in result["hand_over"]]}
            found.setdefault("hand_over", []).append(lines)
    return found
