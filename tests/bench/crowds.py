"""Measure a good client beside a crowd, and the stop and the replacing of workers beside a start.

Run: python -m tests.bench.crowds. What must hold is in `tests/faults`; this is how long it takes. With ``--recipe`` it
is the recipe of `examples/deploy` with ten thousand idle connections. It ends with 1 where a client waits too long.
"""

from __future__ import annotations

import argparse
import http.client
import json
import os
import resource
import signal
import socket
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack

from tests.bench.cases import BODY
from tests.bench.stack import Process
from tests.faults.load import IDLE, crowd
from tests.faults.proxied import Recipe
from tests.patience import PATIENCE, status, until, workers

RESTS = b"GET /health/live HTTP/1.1\r\nHost: bench\r\n\r\n"
#: Calculated by a worker.
ROW = "/v1/row/area?length=24+ft&width=16+ft"
Figures = dict[str, float]


#: The recipe keeps a good client waiting no longer than this, or than so many times what it waits without a crowd.
MOST_MS, MOST_TIMES = 100.0, 10.0


def main() -> int:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--crowd", type=int, default=3000, help="connections that have been answered and rest")
    parser.add_argument("--requests", type=int, default=200, help="requests of the good client")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--recipe", action="store_true")
    chosen = parser.parse_args()
    if chosen.recipe:
        return behind(chosen.requests)
    figures = {
        "a good client": beside(chosen.crowd, chosen.requests),
        "beside a start": rounds(chosen.rounds),
    }
    if chosen.json:
        print(json.dumps(figures))
        return 0
    for group, lines in figures.items():
        print(group)
        for name, figure in lines.items():
            print(f"  {name}: {figure:.4g}")
    return 0


def behind(requests: int) -> int:
    """Print what a good client of the recipe waits without and beside a crowd; return 1 where it is too long."""
    allowed = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    resource.setrlimit(resource.RLIMIT_NOFILE, (allowed, allowed))
    recipe, number = Recipe(), min(10_000, allowed - 1_000)
    try:
        recipe.good(50)
        alone = sorted(_waits(recipe, requests))
        with crowd(recipe, number, lambda at: IDLE[at * 3 // number]):
            before = recipe.connections()
            beside = sorted(_waits(recipe, requests))
            there = min(before, recipe.connections())
    finally:
        recipe.close()
    for share in (50, 99):
        at = requests * share // 100
        print(f"p{share}: {alone[at]:.1f} ms alone, {beside[at]:.1f} ms beside {there} to {before} idle connections")
    return int(beside[at] > max(MOST_MS, MOST_TIMES * alone[at]))


def _waits(recipe: Recipe, requests: int) -> Iterator[float]:
    """Yield the milliseconds of each calculation, with the greeting of TLS."""
    for _ in range(requests):
        began = time.perf_counter()
        recipe.good(1)
        yield (time.perf_counter() - began) * 1e3


def beside(crowd: int, requests: int) -> Figures:
    """Return what a good client waits at a server with a crowd, and at one without, asked in turn."""
    allowed = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    resource.setrlimit(resource.RLIMIT_NOFILE, (allowed, allowed))
    alone, crowded = [], []
    with Process("latewood.cli", "serve") as quiet, Process("latewood.cli", "serve") as full, ExitStack() as members:
        for server in (quiet, full):
            server.wait()
            _ask(server.port, 20)
        for _ in range(crowd):
            member = socket.create_connection(("127.0.0.1", full.port), PATIENCE, ("127.0.0.2", 0))
            members.enter_context(member)
            member.sendall(RESTS)
        for _ in range(requests // 20):
            alone.append(_ask(quiet.port, 20))
            crowded.append(_ask(full.port, 20))
    ratio = statistics.median(with_it / without for with_it, without in zip(crowded, alone, strict=True))
    return {
        "alone, ms": statistics.median(alone),
        f"beside {crowd} at rest, ms": statistics.median(crowded),
        "ratio": ratio,
    }


def _ask(port: int, requests: int) -> float:
    """Return the median milliseconds of a calculation, each on a new connection."""
    took = []
    for _ in range(requests):
        began = time.perf_counter()
        client = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        client.request("POST", "/v1/calculate/coverage", json.dumps(BODY), {"Content-Type": "application/json"})
        if client.getresponse().status != 200:
            raise RuntimeError("the server did not answer 200")
        client.close()
        took.append((time.perf_counter() - began) * 1e3)
    return statistics.median(took)


def rounds(number: int) -> Figures:
    """Return the seconds of a start, and how many times as long other things take."""
    seen: dict[str, list[float]] = {"start": [], "an answer after all workers are killed": [], "the stop": []}
    for _ in range(number):
        with Process("latewood.cli", "serve", "--notice", "0", "--workers", "2") as server:
            seen["start"].append(server.wait())
            for pid in workers(server.pid):
                os.kill(pid, signal.SIGKILL)
            seen["an answer after all workers are killed"].append(
                _timed(lambda port=server.port: status(port, ROW) == 200)
            )
            os.kill(server.pid, signal.SIGTERM)
            seen["the stop"].append(_timed(lambda server=server: not server.lives()))
    start = statistics.median(seen.pop("start"))
    return {"start, s": start} | {f"ratio of {name}": statistics.median(took) / start for name, took in seen.items()}


def _timed(look: Callable[[], bool]) -> float:
    began = time.perf_counter()
    until(look, "its end", pause=0.001)
    return time.perf_counter() - began


if __name__ == "__main__":
    sys.exit(main())
