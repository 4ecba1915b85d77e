"""CPU of the command's help and version beside a Python that does nothing, and beside an answer, started in turn.

What counts is the ratio of a turn: the machine may be shared.

Run: python -m tests.bench.command [--rounds N].
"""

from __future__ import annotations

import argparse
import random
import resource
import statistics
import subprocess
import sys
from pathlib import Path

LATEWOOD = str(Path(sys.executable).with_name("latewood"))
COMMANDS = {
    "python -c pass": [sys.executable, "-c", "pass"],
    "latewood --help": [LATEWOOD, "--help"],
    "latewood --version": [LATEWOOD, "--version"],
    "latewood catalogue": [LATEWOOD, "catalogue"],
}


def cpu(command: list[str]) -> float:
    """Return the seconds of processor time of a command, its children included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=30)
    rounds = parser.parse_args().rounds
    order = random.Random(4)  # only shuffles the order of measurements
    cost: dict[str, list[float]] = {name: [] for name in COMMANDS}
    # The first of each reads its files from disk and is left out.
    for turn in range(rounds + 1):
        for name in order.sample(sorted(COMMANDS), len(COMMANDS)):
            seconds = cpu(COMMANDS[name])
            if turn:
                cost[name].append(seconds)
    for name, seconds in cost.items():
        ratios = [ours / bare for ours, bare in zip(seconds, cost["python -c pass"], strict=True)]
        print(
            f"{name}: CPU ms {statistics.median(seconds) * 1e3:.1f} ({min(seconds) * 1e3:.1f} to "
            f"{max(seconds) * 1e3:.1f}), ratio {statistics.median(ratios):.1f}"
        )


if __name__ == "__main__":
    main()
