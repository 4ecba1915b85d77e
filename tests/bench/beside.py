"""CPU of the plan of each example beside another checkout, such as that of an earlier commit, asked in turn.

Each checkout plans its own examples, by the Python of its own ``.venv``, and only those that both have are compared.

Run: python -m tests.bench.beside CHECKOUT [--rounds N].
"""

from __future__ import annotations

import argparse
import json
import random
import statistics
import subprocess
from pathlib import Path

HERE = Path(__file__).parents[2]
#: Loads an engine of any version, plans each job once, and then as often as it is asked, saying how long that took.
CHILD = """
import gc, json, pathlib, sys, time
import latewood
from latewood.wire import Options
try:
    from latewood.job_files import read_file, with_weather
except ImportError:
    from latewood.cli import read_file, with_weather
lw, options = latewood.load(), Options()
paths = sorted(pathlib.Path(sys.argv[1]).glob("*.toml"))
jobs = {path.stem: with_weather(read_file(path), path.parent) for path in paths}
for job in jobs.values():
    lw.plan(job, options)
gc.collect()
gc.freeze()
print(json.dumps(list(jobs)), flush=True)
for line in sys.stdin:
    began = time.process_time()
    lw.plan(jobs[line.strip()], options)
    print(time.process_time() - began, flush=True)
"""


class Planner:
    """A process that plans the examples of a checkout."""

    def __init__(self, checkout: Path) -> None:
        python, examples = checkout / ".venv" / "bin" / "python", checkout / "examples" / "jobs"
        self.process = subprocess.Popen(
            [python, "-c", CHILD, examples], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd="/"
        )
        self.jobs: list[str] = json.loads(self._line())

    def plan(self, job: str) -> float:
        """Return the CPU seconds of one plan."""
        assert self.process.stdin is not None
        print(job, file=self.process.stdin, flush=True)
        return float(self._line())

    def _line(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline()


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("checkout", type=Path)
    parser.add_argument("--rounds", type=int, default=20)
    chosen = parser.parse_args()
    order = random.Random(4)  # only shuffles the order of measurements
    before, now = planners = [Planner(chosen.checkout.resolve()), Planner(HERE)]
    for job in (job for job in now.jobs if job in before.jobs):
        spent: dict[Planner, list[float]] = {before: [], now: []}
        for _ in range(chosen.rounds):
            for planner in order.sample(planners, 2):
                spent[planner].append(planner.plan(job))
        ratio = statistics.median(ours / other for ours, other in zip(spent[now], spent[before], strict=True))
        least = {planner: min(times) for planner, times in spent.items()}
        print(
            f"{job}: CPU ms {least[before] * 1e3:.1f} before, {least[now] * 1e3:.1f} now, "
            f"ratio {least[now] / least[before]:.2f} at best, {ratio:.2f} in the median round"
        )
    for planner in planners:
        planner.process.kill()


if __name__ == "__main__":
    main()
