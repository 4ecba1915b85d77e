"""Search for requests that cost more than their calculator declares.

Run: python -m tests.bench.costs [--steps 200] [calculator …]. The search is that of `tests.faults.amplification`, among
requests of at most the declared size; what a process costs that answers nothing is taken off. Ends with 1 where one is
over; a busy machine may need a second run.
"""

from __future__ import annotations

import argparse
import gc
import json
import statistics
import sys
from collections.abc import Callable
from typing import Any

from tests.faults.amplification import YARDSTICK, Changer, Contract, cost, dearest, yardstick

import latewood
from latewood.problems import Fault, InputProblem
from latewood.wire import Options


def main() -> int:
    """Print the dearest request found beside each declared cost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("calculators", nargs="*")
    parser.add_argument("--steps", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    lw, contract, over = latewood.load(), Contract(), 0
    # A collection in the child would be counted there.
    gc.collect()
    gc.freeze()
    slower = max(min(yardstick() for _ in range(3)) / YARDSTICK, 1.0)
    idle = statistics.median(cost(lambda request: None, {}).seconds for _ in range(20))
    print(
        f"this machine is {slower:.2f} times slower than that of the declarations; a process costs {idle * 1e3:.1f} ms"
    )
    for name in chosen.calculators or [name for name, one in lw.calculators.items() if one.costs]:
        example, schema = contract.request(f"/v1/calculate/{name}")
        for declared in lw.calculators[name].costs:
            answer = within(declared.size, lambda request, name=name: lw.answer(name, request, Options(working=True)))
            found = dearest(answer, example, schema, Changer(contract, chosen.seed), chosen.steps)
            # The search keeps what was dear by chance as well: asked again, the least of it is its own.
            took = (min(cost(answer, found.request).seconds for _ in range(7)) - idle) / slower
            over += took > declared.seconds
            print(
                f"{name:20} {took * 1e3:6.1f} of {declared.seconds * 1e3:5.1f} ms for {len(compact(found.request))} of "
                f"{declared.size} bytes, {found.legal} of {chosen.steps} legal"
                f"{'  OVER' if took > declared.seconds else ''}",
                flush=True,
            )
    return 1 if over else 0


def compact(request: Any) -> bytes:
    """Return a request as its shortest body."""
    return json.dumps(request, separators=(",", ":"), ensure_ascii=False).encode()


def within(size: int, answer: Callable[[Any], object]) -> Callable[[Any], object]:
    """Refuse what is larger."""

    def answered(request: Any) -> object:
        if len(compact(request)) > size:
            raise InputProblem([Fault(pointer="", code="too-long", detail="larger than was declared for")])
        return answer(request)

    return answered


if __name__ == "__main__":
    sys.exit(main())
