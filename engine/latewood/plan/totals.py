"""What the steps of a plan add up to: each step declares which of these its results go into."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

#: From a step as it is shown: rows of a list of the totals, or a total by itself.
Total = Callable[[Mapping[str, Any]], Mapping[str, Any]]


def floor(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return the floor area."""
    return {"area": step["result"]["area"]}


def purchase(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a line of the shopping list. Litres of different coatings are not added up."""
    result = step["result"]
    bought = {"id": step["id"], "volume": result["volume"], "text": result["purchase"]["text"]}
    carried = {name: step[name] for name in ("rests_on", "stopped_by", "lifted_by") if name in step}
    return {"purchases": [bought | carried]}


def abrasives(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return the abrasives that are bought, with how many go down by the median."""
    rows = [row for row in step["result"]["abrasives"] if row["to_buy"]]
    named = ("id", "abrasive", "machine", "form", "typical_count", "boxes")
    return {
        "abrasives": [{name: row[name] for name in named if name in row} | {"count": row["to_buy"]} for row in rows]
    }


def hand_over(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return when coats start, and when the deck may be used again."""
    result = step["result"]
    lines = [row["text"] for row in result["hand_over"]]
    return {"hand_over": [{"id": step["id"], "start": result["text"], "lines": lines}]}


def waste(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return what is left over, with the step that leaves it."""
    rows = [{**row, "step": step["id"]} for row in step["result"].get("waste", ())]
    return {"waste": rows} if rows else {}


def totals(steps: Iterable[tuple[Mapping[str, Any], Iterable[Total]]]) -> dict[str, Any]:
    """Return what steps add up to, each as it is shown and with the totals it declares."""
    found: dict[str, Any] = {"purchases": []}
    for step, declared in steps:
        for total in declared if "result" in step else ():
            for name, value in total(step).items():
                found[name] = [*found.get(name, ()), *value] if isinstance(value, list) else value
    return found
