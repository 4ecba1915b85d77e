"""What the steps of a plan add up to: each step declares which of these its results go into."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

#: From a step as it is shown: rows of a list of the totals, or a total by itself.
Total = Callable[[Mapping[str, Any]], Mapping[str, Any]]


def floor(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return the floor area."""
    return {"area": step["result"]["area"]}


def hand_over(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return when coats start, and when what is coated may be used again."""
    result = step["result"]
    starts = {"starts": result["timeline"][0]["starts"]} if result["timeline"] else {}
    lines = [{name: row[name] for name in ("id", "at", "estimated", "text")} for row in result["hand_over"]]
    about = {"step": step["id"], "places": step.get("places", []), "verdict": result["verdict"], "text": result["text"]}
    return {"hand_over": [about | starts | {"lines": lines}]}


def waste(step: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return what is left over, with the step that leaves it."""
    rows = [{**row, "step": step["id"]} for row in step["result"].get("waste", ())]
    return {"waste": rows} if rows else {}


def totals(steps: Iterable[tuple[Mapping[str, Any], Iterable[Total]]]) -> dict[str, Any]:
    """Return what steps add up to, each as it is shown and with the totals it declares."""
    found: dict[str, Any] = {}
    for step, declared in steps:
        for total in declared if "result" in step else ():
            for name, value in total(step).items():
                found[name] = [*found.get(name, ()), *value] if isinstance(value, list) else value
    return found
