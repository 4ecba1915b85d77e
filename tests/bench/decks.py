"""Measure take-offs: a floor of twelve corners and 200 boards, and boardwalks. Run: python -m tests.bench.decks."""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable
from typing import Any

import latewood
from latewood.wire import Options

BOARDS = {"size": "21x145 mm", "gap": "5 mm", "profile": "smooth", "joist_spacing": "450 mm", "stock_length": "4 m"}
Figures = dict[str, float]


def main() -> None:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    lw = latewood.load()
    figures = {}
    for name, zone in (("twelve corners", twelve_corners()), ("boardwalk", boardwalk(10_000))):
        count = lw.calculate("area", zones=[zone])["result"]["boards"]
        figures[f"{name}, {count} boards, ms"] = measure(lw, zone, chosen.rounds)
    if chosen.json:
        print(json.dumps(figures))
        return
    for group, lines in figures.items():
        print(group)
        for name, figure in lines.items():
            print(f"  {name}: {figure:.4g}")


def twelve_corners() -> dict[str, Any]:
    """Return a floor with bays and notches, 30 m across its boards."""
    corners = "0 0, 9 0, 9 4, 13 4, 13 12, 9 12, 9 18, 12 21, 12 27, 9 30, 0 30, 0 15 m"
    edges = {"wall_sides": [10, 11, 12], "rail_sides": [1, 2, 3], "posts": 12, "post": "90x90 mm"}
    return {"id": "deck", "outline": corners, "boards": {**BOARDS, "direction": "0 deg"}, "edges": edges}


def boardwalk(boards: int) -> dict[str, Any]:
    """Return a walk 2 m wide that bends, its boards laid across."""
    half = boards * 0.150 / 2
    along = [(0.0, 0.0), (half, 0.0), (2 * half, half / 10)]
    corners = [*along, *((x, y + 2) for x, y in reversed(along))]
    outline = ", ".join(f"{x:.4f} {y:.4f}" for x, y in corners) + " m"
    return {"id": "walk", "outline": outline, "boards": {**BOARDS, "direction": "90 deg"}}


def measure(lw: Any, zone: dict[str, Any], rounds: int) -> Figures:
    """Return the CPU time of take-off, plan and picture in milliseconds, the median of all rounds."""
    wood = {"species": "ipe", "coating": "clear-penetrating-oil", "treatment": "none", "old_coating": "none"}
    job = {"schema": 1, "defaults": wood, "zones": [zone]}
    ways: dict[str, Callable[[], Any]] = {
        "area": lambda: lw.answer("area", {"zones": [zone]}, Options()),
        "area with working": lambda: lw.answer("area", {"zones": [zone]}, Options(working=True)),
        "plan": lambda: lw.plan(job, Options()),
        "picture": lambda: lw.plan_svg(job, Options()),
    }
    return {name: statistics.median(_cpu(way) for _ in range(rounds)) * 1e3 for name, way in ways.items()}


def _cpu(way: Callable[[], Any]) -> float:
    began = time.process_time()
    way()
    return time.process_time() - began


if __name__ == "__main__":
    main()
