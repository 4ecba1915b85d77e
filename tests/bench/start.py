"""CPU from the start of a server to its first answer of `coverage`, beside an empty application.

The empty one is litestar on the same server, and imports numpy and shapely. All are started in turn, and what counts is
the ratio of a turn. CPU is that of the whole process tree. ``latewood, nothing kept`` keeps nothing from one start to
the next, ``latewood`` finds what the start before has kept.

Run: python -m tests.bench.start [--rounds N].
"""

from __future__ import annotations

import argparse
import os
import random
import statistics
import tempfile
from collections.abc import Mapping
from pathlib import Path

from tests.bench.stack import Process

from latewood.cache import VARIABLE

#: Asked by query, which is answered from the path alone.
COVERAGE = "/v1/row/coverage?area=400%20ft2&species=ipe&coating=clear-penetrating-oil"


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=9)
    rounds = parser.parse_args().rounds
    order = random.Random(3)  # only shuffles the order of measurements
    with tempfile.TemporaryDirectory() as folder:
        kept = {**os.environ, VARIABLE: str(Path(folder, "kept"))}
        servers: dict[str, tuple[tuple[str, ...], Mapping[str, str], str]] = {
            "empty": (("tests.bench.empty", "--arrays"), kept, "/health/live"),
            "latewood": (("latewood.cli", "serve"), kept, COVERAGE),
            "latewood, nothing kept": (("latewood.cli", "serve"), {**os.environ, VARIABLE: ""}, COVERAGE),
        }
        cost: dict[str, list[float]] = {name: [] for name in servers}
        # The first start of each reads its files from disk, writes what is kept, and is left out.
        for turn in range(rounds + 1):
            for name in order.sample(sorted(servers), len(servers)):
                (module, *arguments), environment, path = servers[name]
                with Process(module, *arguments, environment=environment) as server:
                    server.wait(path)
                    if turn:
                        cost[name].append(server.cpu())
    for name, seconds in cost.items():
        ratios = [ours / empty for ours, empty in zip(seconds, cost["empty"], strict=True)]
        print(
            f"{name}: CPU s {statistics.median(seconds):.2f} ({min(seconds):.2f} to {max(seconds):.2f}), "
            f"ratio {statistics.median(ratios):.2f} ({min(ratios):.2f} to {max(ratios):.2f})"
        )


if __name__ == "__main__":
    main()
