"""Search for the dearest request of each calculator, and hold what it costs to a bound.

Run: python -m tests.faults.amplification [--steps 60] [--seed 1] [calculator …]. From its example in the contract each
request is changed at random, and the change is kept where it costs more: lists grow, sizes are multiplied, outlines
become combs, what was left out is put in. Every request is answered in a process of its own. Cost counts beside a
yardstick, so that a slow machine has the same bound.
"""

from __future__ import annotations

import argparse
import copy
import json
import os
import random
import re
import resource
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np

import latewood
from latewood.problems import InputProblem, Malformed, NotFound
from latewood.wire import Options

CONTRACT: Final = Path(__file__).parents[2] / "openapi" / "v1.json"
#: What a legal request may take: CPU seconds on a machine where the yardstick takes its usual time, and memory.
MOST_SECONDS, MOST_BYTES = 2.0, 150 * 2**20
#: CPU seconds the yardstick takes where the bound was set.
YARDSTICK: Final = 0.2
#: A request that takes this many CPU seconds is cut off: it is over the bound on any machine.
CUT_OFF: Final = 60

_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
Schema = dict[str, Any]


class Cost(NamedTuple):
    """CPU seconds and bytes above rest of one request, and whether it was answered."""

    seconds: float
    bytes: int
    answered: bool


class Found(NamedTuple):
    """The dearest request found, how many tried were legal, and the most bytes any took."""

    cost: Cost
    request: Any
    legal: int
    bytes: int


class Contract:
    """Examples and schemas of the requests."""

    def __init__(self) -> None:
        self._tree = json.loads(CONTRACT.read_text())

    def resolve(self, schema: Schema) -> Schema:
        """Return a schema with its references followed, those of ``allOf`` and the first of ``anyOf`` too."""
        while "properties" not in schema:
            if "$ref" in schema:
                found: Any = self._tree
                for name in schema["$ref"].removeprefix("#/").split("/"):
                    found = found[name]
                schema = found
            elif "allOf" in schema or "anyOf" in schema:
                schema = (schema.get("allOf") or schema["anyOf"])[0] | {
                    name: value for name, value in schema.items() if name in ("default", "examples")
                }
            else:
                break
        return schema

    def request(self, path: str) -> tuple[Any, Schema]:
        """Return the example and the schema of what a path takes."""
        body = self._tree["paths"][path]["post"]["requestBody"]["content"]["application/json"]
        return body.get("example") or next(iter(body["examples"].values()))["value"], self.resolve(body["schema"])


class Changer:
    """Changes requests at random, within their schemas."""

    def __init__(self, contract: Contract, seed: int) -> None:
        self._contract, self._random = contract, random.Random(seed)
        self._whole: Any = None

    def change(self, request: Any, schema: Schema) -> Any:
        """Return a request with one to three changes."""
        self._whole = request = copy.deepcopy(request)
        for _ in range(self._random.choice((1, 1, 2, 3))):
            spots = list(self._spots(request, self._contract.resolve(schema)))
            kinds = sorted({kind for kind, _ in spots})
            wanted = self._random.choice(kinds)
            self._random.choice([change for kind, change in spots if kind == wanted])()
        return request

    def _spots(self, node: Any, schema: Schema) -> Iterator[tuple[str, Callable[[], None]]]:
        """Yield what can be changed in a node and below it."""
        if isinstance(node, dict):
            properties = schema.get("properties", {})
            for name, value in node.items():
                yield from self._of_value(node, name, value, self._contract.resolve(properties.get(name, {})))
            absent = [name for name in properties if name not in node]
            if absent:
                yield "add", lambda: self._add(node, properties, absent)
        elif isinstance(node, list):
            items = self._contract.resolve(schema.get("items", {}))
            for place, value in enumerate(node[:50]):
                yield from self._of_value(node, place, value, items)

    def _of_value(self, holder: Any, at: Any, value: Any, schema: Schema) -> Iterator[tuple[str, Callable[[], None]]]:
        if isinstance(value, list) and value:
            yield "lengthen", lambda: self._lengthen(holder, at, value, schema.get("maxItems", 100_000))
        if isinstance(value, str) and "outline" in str(at):
            yield "outline", lambda: _put(holder, at, self._comb())
        elif isinstance(value, str) and _NUMBER.match(value):
            yield "scale", lambda: _put(holder, at, self._scaled(value))
        elif isinstance(value, int | float) and not isinstance(value, bool):
            yield "scale", lambda: _put(holder, at, self._number(value, schema))
        if "enum" in schema:
            yield "choose", lambda: _put(holder, at, self._random.choice(schema["enum"]))
        yield from self._spots(value, schema)

    def _number(self, value: float, schema: Schema) -> float:
        whole = schema.get("type") == "integer"
        found = self._random.choice((value * 2, value * 10, value / 2, schema.get("maximum", value * 4)))
        found = min(max(found, schema.get("minimum", found)), schema.get("maximum", found))
        return int(found) if whole else found

    def _scaled(self, text: str) -> str:
        factor = self._random.choice((0.1, 0.5, 2, 10))
        return _NUMBER.sub(lambda found: f"{float(found[0]) * factor:g}", text, count=1)

    def _comb(self) -> str:
        """Return the outline of a comb, of up to 490 corners."""
        teeth, side = self._random.choice((5, 30, 120)), self._random.choice((10, 60, 300, 900))
        step = side / teeth / 2
        tips = [(side - step * (k // 2 + k % 2), side if k % 4 in (0, 1) else side / 10) for k in range(4 * teeth - 1)]
        return ", ".join(f"{x:.4g} {y:.4g}" for x, y in [(0, 0), (side, 0), *dict.fromkeys(tips)]) + " m"

    def _lengthen(self, holder: Any, at: Any, value: list[Any], most: int) -> None:
        """Repeat a list, and with it every list of plain values that is as long: columns of one table."""
        times = self._random.choice((2, 4, 16, most))
        wanted = min(len(value) * times, most)
        if isinstance(value[0], dict | list):
            grown = [copy.deepcopy(value[k % len(value)]) for k in range(wanted)]
            for place, item in enumerate(grown):
                if isinstance(item, dict) and "id" in item:
                    item["id"] = f"{item['id'].split('-x')[0]}-x{place}" if place >= len(value) else item["id"]
            holder[at] = grown
            return
        for other_holder, other_at, other in list(_lists(self._whole, len(value))):
            other_holder[other_at] = (other * (wanted // len(value) + 1))[:wanted]

    def _add(self, node: dict[str, Any], properties: dict[str, Schema], absent: list[str]) -> None:
        name = self._random.choice(absent)
        value = self._sample(self._contract.resolve(properties[name]), depth=0)
        if value is not None:
            node[name] = value

    def _sample(self, schema: Schema, depth: int) -> Any:
        """Return a value that fits a schema, as far as it says; None where none is at hand."""
        if "default" in schema:
            return schema["default"]
        if schema.get("examples"):
            return self._random.choice(schema["examples"])
        if "enum" in schema:
            return self._random.choice(schema["enum"])
        kind = schema.get("type")
        if kind in ("integer", "number"):
            return schema.get("maximum", 10)
        if kind == "boolean":
            return True
        if kind == "array" and depth < 2:
            one = self._sample(self._contract.resolve(schema.get("items", {})), depth + 1)
            return None if one is None else [one]
        if kind == "object" and depth < 2:
            wanted = schema.get("required", [])
            found = {
                name: self._sample(self._contract.resolve(schema["properties"][name]), depth + 1) for name in wanted
            }
            return None if None in found.values() else found
        return None


def _put(holder: Any, at: Any, value: Any) -> None:
    holder[at] = value


def _lists(node: Any, length: int) -> Iterator[tuple[Any, Any, list[Any]]]:
    """Yield lists of plain values that have this length, with where they stand."""
    pairs = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for at, value in pairs:
        if isinstance(value, list) and len(value) == length and not isinstance(value[0], dict | list):
            yield node, at, value
        yield from _lists(value, length)


def cost(answer: Callable[[Any], object], request: Any) -> Cost:
    """Answer a request in a child and return what it took."""
    rest = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (CUT_OFF, CUT_OFF + 1))
        code = 0
        try:
            answer(request)
        except (InputProblem, Malformed, NotFound):
            code = 1
        except BaseException:  # what is wrong in the child must not go on as the parent
            code = 2
        os._exit(code)
    _, status, used = os.wait4(child, 0)
    if os.WIFEXITED(status) and os.WEXITSTATUS(status) == 2:
        raise RuntimeError(f"no answer to {json.dumps(request)[:2000]}")
    answered = not os.WIFEXITED(status) or os.WEXITSTATUS(status) == 0
    return Cost(used.ru_utime + used.ru_stime, max(used.ru_maxrss - rest, 0) * 1024, answered)


def yardstick() -> float:
    """Return the CPU seconds of a fixed piece of plain and array work."""
    begun = time.process_time()
    cells = np.linspace(0.1, 0.2, 1000)
    total = 0.0
    for turn in range(40_000):
        total += float((cells * cells)[turn % 1000])
    for turn in range(400_000):
        total += turn % 7
    return time.process_time() - begun


def dearest(answer: Callable[[Any], object], request: Any, schema: Schema, changer: Changer, steps: int) -> Found:
    """Climb from an example to dearer requests."""
    # What is imported and remembered at the first answer is none of a request's cost.
    answer(request)
    found = Found(cost(answer, request), request, 0, 0)
    for _ in range(steps):
        tried = changer.change(found.request, schema)
        took = cost(answer, tried)
        if took.answered:
            found = found._replace(legal=found.legal + 1, bytes=max(found.bytes, took.bytes))
        # What is refused must be cheap too.
        if took.seconds > found.cost.seconds and (took.answered or took.seconds > MOST_SECONDS):
            found = found._replace(cost=took, request=tried)
    return found


def main() -> int:
    """Print the dearest request of each calculator; fail where one is over the bound."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("calculators", nargs="*")
    parser.add_argument("--steps", type=int, default=120)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="a folder for the dearest requests")
    chosen = parser.parse_args()
    lw, contract, over = latewood.load(), Contract(), 0
    slower = max(min(yardstick() for _ in range(3)) / YARDSTICK, 1.0)
    print(f"bound: {MOST_SECONDS * slower:.2f} CPU s here, {MOST_BYTES / 2**20:.0f} MB above rest; seed {chosen.seed}")
    for name in chosen.calculators or [*sorted(lw.calculators), "plan"]:
        path = "/v1/plan" if name == "plan" else f"/v1/calculate/{name}"
        answer = partial(lw.plan if name == "plan" else partial(lw.answer, name), options=Options())
        example, schema = contract.request(path)
        found = dearest(answer, example, schema, Changer(contract, chosen.seed), chosen.steps)
        bad = found.cost.seconds > MOST_SECONDS * slower or found.bytes > MOST_BYTES
        over += bad
        size = len(json.dumps(found.request))
        print(
            f"{name:20} {found.cost.seconds:6.2f} CPU s {found.bytes / 2**20:5.0f} MB, {size} bytes sent, "
            f"{found.legal} of {chosen.steps} legal{'  OVER' if bad else ''}",
            flush=True,
        )
        if chosen.keep:
            chosen.keep.mkdir(parents=True, exist_ok=True)
            (chosen.keep / f"{name}.json").write_text(json.dumps(found.request))
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
