"""Measure CPU per request beside an echo of the same bytes, cold start beside an empty application, and the parts.

Each round asks both servers in shuffled order. What counts is the ratio within a round: the machine may be shared.
"""

from __future__ import annotations

import argparse
import json
import random
import socket
import statistics
import timeit
from collections.abc import Callable, Sequence
from typing import Any

from tests.bench.cases import BODY, JOBS, request
from tests.bench.stack import Process
from tests.patience import PATIENCE

import latewood
from latewood.formulas.purchase import Container, cheapest
from latewood.job_files import read_file, with_weather
from latewood.quantities import units
from latewood.wire import Options


def main() -> None:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--requests", type=int, default=1500, help="requests in a row, each server, each round")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    figures = {
        "request": per_request(chosen.rounds, chosen.requests),
        "cold_start": cold_start(chosen.rounds),
        "parts": parts(),
        "plans": plans(),
    }
    if chosen.json:
        print(json.dumps(figures))
        return
    for group, lines in figures.items():
        print(group)
        for name, figure in lines.items():
            shown = ", ".join(f"{key} {value:.4g}" for key, value in figure.items())
            print(f"  {name}: {shown}")


def spread(values: Sequence[float]) -> dict[str, float]:
    """Return the median and the extremes."""
    return {"median": statistics.median(values), "least": min(values), "most": max(values)}


def per_request(rounds: int, requests: int) -> dict[str, dict[str, float]]:
    """Return CPU microseconds a request of each server, and their ratios round by round."""
    order = random.Random(1)  # only shuffles the order of measurements
    cost: dict[str, list[float]] = {"latewood": [], "echo": [], "granian": [], "twin": []}
    with (
        Process("latewood.cli", "serve") as ours,
        Process("tests.bench.echo") as echo,
        Process("tests.bench.echo", "--server", "granian") as granian,
        Process("tests.bench.twin") as twin,
    ):
        servers = {"latewood": ours, "echo": echo, "granian": granian, "twin": twin}
        for server in servers.values():
            server.wait()
            _ask(server.port, 200)
        for _ in range(rounds):
            for name in order.sample(sorted(servers), len(servers)):
                before = servers[name].cpu()
                _ask(servers[name].port, requests)
                cost[name].append((servers[name].cpu() - before) / requests * 1e6)
    ratios = {
        name: [ours / other for ours, other in zip(cost["latewood"], cost[name], strict=True)]
        for name in ("echo", "granian", "twin")
    }
    return {
        "latewood, CPU µs": spread(cost["latewood"]),
        "echo of the same bytes, CPU µs": spread(cost["echo"]),
        "ratio": spread(ratios["echo"]),
        "echo of the same bytes by granian, CPU µs": spread(cost["granian"]),
        "ratio to it": spread(ratios["granian"]),
        "the same calculation behind FastAPI and pydantic, CPU µs": spread(cost["twin"]),
        "ratio to that": spread(ratios["twin"]),
    }


def _ask(port: int, times: int) -> None:
    """Send one request after another over one connection, reading each answer whole."""
    question = request()
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as connection:
        reader = connection.makefile("rb")
        for _ in range(times):
            connection.sendall(question)
            if not reader.readline().startswith(b"HTTP/1.1 200"):
                raise RuntimeError("the server did not answer 200")
            length = 0
            while (line := reader.readline()) != b"\r\n":
                if line.lower().startswith(b"content-length:"):
                    length = int(line.split(b":")[1])
            reader.read(length)


def cold_start(rounds: int) -> dict[str, dict[str, float]]:
    """Return seconds from start to the first 200 beside an empty litestar application on the same server."""
    order = random.Random(2)  # only shuffles the order of measurements
    commands = {"latewood": ("latewood.cli", "serve"), "empty": ("tests.bench.empty",)}
    seconds: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(rounds + 1):
        for name in order.sample(sorted(commands), 2):
            with Process(*commands[name]) as server:
                seconds[name].append(server.wait())
    # The first start of each reads its files from disk and is left out.
    ours, empty = seconds["latewood"][1:], seconds["empty"][1:]
    return {
        "latewood, s": spread(ours),
        "empty litestar application, s": spread(empty),
        "ratio": spread([a / b for a, b in zip(ours, empty, strict=True)]),
    }


def parts() -> dict[str, dict[str, float]]:
    """Return microseconds of the parts, in this process: best and median of seven."""
    lw = latewood.load()
    options = Options()
    litres = [Container(fill=size / 1000, cost=size**0.7) for size in (0.75, 1.0, 2.5, 5.0)]
    texts = [f"{n / 7:.3f} ft" for n in range(2000)]
    return {
        "coverage answer, µs": _timed(lambda: lw.answer("coverage", dict(BODY), options), 200),
        "quantity seen before, µs": _timed(lambda: units.read("320 ft2", "area"), 20_000),
        "quantity never seen, µs": _timed(lambda: [units.read(text, "length") for text in texts], 5, len(texts)),
        "containers, four sizes, µs": _timed(lambda: cheapest(0.0063, litres), 5_000),
    }


def plans() -> dict[str, dict[str, float]]:
    """Return how many coverage answers the plan of each example costs, in this process, round by round."""
    lw, options = latewood.load(), Options()
    found = {}
    for path in sorted(JOBS.glob("*.toml")):
        job = with_weather(read_file(path), path.parent)
        ratios = []
        for _ in range(5):
            plan = min(timeit.repeat(lambda job=job: lw.plan(job, options), number=1, repeat=3))
            answer = timeit.timeit(lambda: lw.answer("coverage", dict(BODY), options), number=20) / 20
            ratios.append(plan / answer)
        found[f"plan of {path.stem}, coverage answers"] = spread(ratios)
    return found


def _timed(call: Callable[[], Any], number: int, each: int = 1) -> dict[str, float]:
    call()
    runs = [run / number / each * 1e6 for run in timeit.repeat(call, number=number, repeat=7)]
    return {"median": statistics.median(runs), "least": min(runs)}


if __name__ == "__main__":
    main()
