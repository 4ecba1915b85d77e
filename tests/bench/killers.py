"""Measure what others wait while two requests without end are calculated, beside what they wait without.

Run: python -m tests.bench.killers. What must hold is in `tests/api/test_killers.py`; this is how long it takes.
"""

from __future__ import annotations

import argparse
import http.client
import json
import tempfile
import threading
import time
from pathlib import Path

from tests.bench.cases import BODY
from tests.bench.stack import Process
from tests.killers import NAME, killer, plugin
from tests.patience import PATIENCE

Asked = tuple[str, str, bytes | None]

ASKED: dict[str, Asked] = {
    "health": ("GET", "/health/live", None),
    "coverage": ("POST", "/v1/calculate/coverage", json.dumps(BODY).encode()),
}


def main() -> None:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=3, help="two killers a round, in a row")
    parser.add_argument("--requests", type=int, default=1000, help="of each kind, without killers")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        figures = measured(plugin(Path(folder)), chosen.rounds, chosen.requests)
    if chosen.json:
        print(json.dumps(figures))
        return
    for name, figure in figures.items():
        print(f"{name}: {figure:.4g}")


def measured(environment: object, rounds: int, requests: int) -> dict[str, float]:
    """Return percentiles in milliseconds, their ratios, and the memory before and after."""
    found: dict[str, float] = {}
    with Process("latewood.cli", "serve", "--workers", "2", environment=environment) as server:  # type: ignore[arg-type]
        server.wait()
        waits = {name: [_ask(server.port, asked) for _ in range(requests)] for name, asked in ASKED.items()}
        found["memory at rest, MB"] = server.memory()
        under: dict[str, list[float]] = {name: [] for name in ASKED}
        for _ in range(rounds):
            path = f"/v1/calculate/{NAME}"
            killers = [threading.Thread(target=_ask, args=[server.port, ("POST", path, killer())]) for _ in range(2)]
            for one in killers:
                one.start()
            while any(one.is_alive() for one in killers):
                for name, asked in ASKED.items():
                    under[name].append(_ask(server.port, asked))
        found["memory after the killers, MB"] = server.memory()
    for name in ASKED:
        for share in (50, 99):
            alone, beside = _at(waits[name], share), _at(under[name], share)
            found[f"{name}, p{share} alone, ms"] = alone
            found[f"{name}, p{share} beside two killers, ms"] = beside
            found[f"{name}, p{share} ratio"] = beside / alone
    return found


def _at(waits: list[float], share: int) -> float:
    return sorted(waits)[len(waits) * share // 100]


def _ask(port: int, asked: Asked) -> float:
    """Return the milliseconds of a request on a new connection."""
    method, path, body = asked
    began = time.perf_counter()
    client = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    client.request(method, path, body, {"Content-Type": "application/json"} if body else {})
    client.getresponse().read()
    client.close()
    return (time.perf_counter() - began) * 1e3


if __name__ == "__main__":
    main()
