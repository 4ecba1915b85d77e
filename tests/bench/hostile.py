"""Measure what refusing costs: hostile texts beside an ordinary wrong one, hostile bodies beside as many good bytes.

Run: python -m tests.bench.hostile. Work that grows faster than its text shows as a ratio far above the others.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable
from contextlib import suppress

from tests.api.test_hostile_bodies import BODIES
from tests.engine.test_unit_refusals import HOSTILE

from latewood.problems import Malformed
from latewood.quantities import units
from latewood.wire import strict_json

#: A wrong text as people write it.
ORDINARY = "12 feets"
Figures = dict[str, float]


def main() -> None:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    figures = {"quantities": quantities(chosen.rounds), "bodies": bodies(chosen.rounds)}
    if chosen.json:
        print(json.dumps(figures))
        return
    for group, lines in figures.items():
        print(group)
        for name, figure in lines.items():
            print(f"  {name}: {figure:.4g}")


def quantities(rounds: int) -> Figures:
    """Return the cost of refusing an ordinary wrong text, and how many times as much the hostile ones cost."""

    def refuse(text: str) -> None:
        units._accepted.cache_clear()
        units._accepted_range.cache_clear()
        for read in (units.read, units.read_range):
            with suppress(units.UnitError):
                read(text, "spreading-rate")

    ordinary = _median(lambda: refuse(ORDINARY), rounds)
    ratios = {text: _median(lambda text=text: refuse(text), rounds) / ordinary for text in HOSTILE}
    worst = sorted(ratios, key=ratios.__getitem__, reverse=True)[:3]
    return {"ordinary, µs": ordinary * 1e6} | {f"ratio of {text!r}": ratios[text] for text in worst}


def bodies(rounds: int) -> Figures:
    """Return the cost of a megabyte of good JSON, and how many times as much one of the hostile ones costs."""
    good = json.dumps({f"k{at}": [at, "24 ft"] for at in range(45_000)}).encode()

    def decode(body: bytes) -> None:
        with suppress(Malformed):
            strict_json.decode(body)

    each = _median(lambda: decode(good), rounds) / len(good)
    large = {name: body for name, (body, *_) in BODIES.items() if len(body) > 50_000}
    ratios = {name: _median(lambda body=body: decode(body), rounds) / len(body) / each for name, body in large.items()}
    worst = sorted(ratios, key=ratios.__getitem__, reverse=True)[:3]
    return {"good, ms a megabyte": each * 1e9} | {f"ratio of {name}": ratios[name] for name in worst}


def _median(call: Callable[[], None], rounds: int) -> float:
    spent = []
    for _ in range(rounds):
        began = time.process_time_ns()
        call()
        spent.append(time.process_time_ns() - began)
    return statistics.median(spent) / 1e9


if __name__ == "__main__":
    main()
