"""No test is about seconds: outside `tests/bench` none reads a clock, and none waits for less than a minute.

A machine may be slow, or busy with something else. What a test means by "quickly" it can say otherwise: how many steps
were taken, what came before what, what was refused. A test that hangs is ended by `faulthandler_timeout`. Seconds are
measured in `tests/bench`, beside a yardstick.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from tests.patience import PATIENCE

ROOT = Path(__file__).parents[1]
#: A search of its own command for what costs most: it is about CPU seconds, beside a yardstick, and no test.
SEARCH = ROOT / "tests" / "faults" / "amplification.py"
TESTS = sorted(
    path for path in (ROOT / "tests").rglob("*.py") if (ROOT / "tests" / "bench") not in path.parents and path != SEARCH
)
#: Seconds that no machine is late by, unless what is waited for never comes.
MINUTE = 60

#: Module → the functions of it that say how long something took.
CLOCKS = {
    "time": {
        f"{clock}{unit}"
        for clock in ("monotonic", "perf_counter", "process_time", "thread_time", "time", "clock_gettime")
        for unit in ("", "_ns")
    },
    "timeit": {"timeit", "repeat", "default_timer", "Timer"},
    "resource": {"getrusage"},
    "os": {"times"},
}
#: Calls that give up after some seconds, and the place of those among their arguments.
LIMITS = {
    "timeout": 0,
    "settimeout": 0,
    "wait": 0,
    "join": 0,
    "alarm": 0,
    "result": 0,
    "wait_for": 1,
    "create_connection": 1,
    "select": 3,
}
#: Calls of httpx that go over a network, where it would wait for five seconds.
ASKING = {"get", "post", "put", "patch", "delete", "head", "options", "request", "stream", "Client"}


def said(node: ast.AST) -> str:
    """Return a name with its dots; other parts of it are left off."""
    if isinstance(node, ast.Attribute):
        return f"{said(node.value)}.{node.attr}"
    if isinstance(node, ast.Call):
        return f"{said(node.func)}()"
    return node.id if isinstance(node, ast.Name) else ""


def imported(tree: ast.Module) -> dict[str, str]:
    """Return what each imported name stands for."""
    names = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.asname or alias.name: alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
    return names


def clocks(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Find every clock that is read or handed on: whatever is then asserted, it hangs on seconds."""
    names = imported(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Name | ast.Attribute):
            first, dot, rest = said(node).partition(".")
            module, _, name = f"{names.get(first, '')}{dot}{rest}".rpartition(".")
            if name in CLOCKS.get(module, ()):
                yield node.lineno, f"{module}.{name} is a clock"
        if isinstance(node, ast.Attribute) and node.attr == "time" and "loop" in said(node.value):
            yield node.lineno, "the time of an event loop is a clock"
        if isinstance(node, ast.Attribute) and node.attr == "total_seconds" and said(node.value).endswith(".elapsed"):
            yield node.lineno, "how long an answer took is a clock"
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            called = [said(part.func).rpartition(".")[2] for part in ast.walk(node) if isinstance(part, ast.Call)]
            if called.count("now") + called.count("utcnow") > 1:
                yield node.lineno, "the date, read twice, is a clock"
    for name, stands in names.items():
        module, _, what = stands.rpartition(".")
        if what in CLOCKS.get(module, ()):
            yield 1, f"{name} is a clock"
        if stands.startswith("tests.bench"):
            yield 1, "what is measured in tests/bench stays there"


def seconds(node: ast.AST | None, known: dict[str, float]) -> float | None:
    """Return a number that is written out; None where there is none, or where it hangs on the shared patience."""
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        return float(node.value)
    if isinstance(node, ast.Name):
        return known.get(node.id)
    if isinstance(node, ast.BinOp):
        ends = [seconds(end, known) for end in (node.left, node.right)]
        numbers = [end for end in ends if end is not None]
        return min(numbers) if numbers and "PATIENCE" not in ast.unparse(node) else None
    return None


def constants(tree: ast.Module) -> dict[str, float]:
    """Return the numbers that names of a module, and parameters that are left out, stand for."""
    known: dict[str, float] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign | ast.AnnAssign) and (value := seconds(node.value, {})) is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            known |= {target.id: value for target in targets if isinstance(target, ast.Name)}
        if isinstance(node, ast.arguments):
            given = [*node.posonlyargs, *node.args]
            pairs = [*zip(given[len(given) - len(node.defaults) :], node.defaults, strict=True)]
            pairs += zip(node.kwonlyargs, node.kw_defaults, strict=True)
            known |= {name.arg: value for name, default in pairs if (value := seconds(default, {})) is not None}
    return known


def haste(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Find every wait that gives up within a minute; a look without waiting (0) is none."""
    known, names = constants(tree), imported(tree)
    for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
        first, dot, rest = said(call.func).partition(".")
        module, _, name = f"{names.get(first, first)}{dot}{rest}".rpartition(".")
        limits = [word.value for word in call.keywords if word.arg == "timeout"]
        of_text = isinstance(call.func, ast.Attribute) and isinstance(call.func.value, ast.Constant)
        if len(call.args) > LIMITS.get(name, len(call.args)) and not of_text:
            limits.append(call.args[LIMITS[name]])
        for limit in limits:
            if (value := seconds(limit, known)) is not None and 0 < value < MINUTE:
                yield call.lineno, f"{name} gives up after {value:g} s"
        inside = any(word.arg == "transport" for word in call.keywords)
        if module == "httpx" and name in ASKING and not limits and not inside:
            yield call.lineno, f"httpx.{name} gives up after 5 s"


def deadlines(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Find settings of generated tests that let one fail because it is slow."""
    made = {"settings", "register_profile"}
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    for word in (word for call in calls if said(call.func).rpartition(".")[2] in made for word in call.keywords):
        value = ast.unparse(word.value)
        if word.arg == "deadline" and value != "None":
            yield word.value.lineno, "a generated case has a deadline"
        if word.arg == "suppress_health_check" and not re.search(r"list\((\w+\.)?HealthCheck\)|too_slow", value):
            yield word.value.lineno, "cases that are generated slowly fail"


def found(text: str) -> list[str]:
    tree = ast.parse(text)
    return sorted({f"{line}: {what}" for look in (clocks, haste, deadlines) for line, what in look(tree)})


@pytest.mark.parametrize("path", TESTS, ids=lambda path: str(path.relative_to(ROOT / "tests")))
def test_no_clock_and_no_haste(path: Path) -> None:
    assert found(path.read_text("utf-8")) == []


def test_every_suite_is_looked_at() -> None:
    looked = {path.relative_to(ROOT / "tests").parts[0] for path in TESTS}
    there = {path.name for path in (ROOT / "tests").iterdir() if path.is_dir() and [*path.rglob("*.py")]}
    assert looked >= there - {"bench"}


def test_no_script_waits_by_itself() -> None:
    """`tests.patience` waits for all."""
    for script in (ROOT / ".ci").iterdir():
        hurried = re.findall(
            r"^.*(?:\bsleep\b|\btimeout [0-9]|--max-time|--connect-timeout).*$", script.read_text(), re.MULTILINE
        )
        assert hurried == [], script.name


def test_generated_cases_may_take_as_long_as_they_do() -> None:
    assert settings.default
    assert settings.default.deadline is None
    assert HealthCheck.too_slow in settings.default.suppress_health_check


def test_patience_is_minutes() -> None:
    assert PATIENCE >= 2 * MINUTE


@pytest.mark.parametrize(
    "text",
    [
        "import time\nbegan = time.monotonic()\nwork()\nassert time.monotonic() - began < 2",
        "import time\nbegan = time.process_time()\ntook = time.process_time() - began\nassert took < 2",
        "import time as t\nbegan = t.perf_counter()\nwork()\nmost = max(t.perf_counter() - began, 0)\nassert most < 2",
        "from time import monotonic as now\nassert lasts(now) < 2",
        "from time import perf_counter_ns\nspent = [perf_counter_ns()]\nassert spent[-1] - spent[0] < 10**9",
        "import time\nclass Seen:\n    def end(self): self.took = time.time() - self.began\nassert Seen().took < 2",
        "import time\nuntil = time.monotonic() + 10\nwhile time.monotonic() < until: look()",
        "import asyncio\nasync def test():\n    loop = asyncio.get_running_loop()\n    assert loop.time() < 2",
        "import asyncio\nasync def test(): assert asyncio.get_running_loop().time() < 2",
        "import timeit\nassert timeit.timeit(work, number=1) < 2",
        "import resource\nassert resource.getrusage(resource.RUSAGE_SELF).ru_utime < 2",
        "import os\nassert os.times().user < 2",
        "from datetime import datetime as d\ndef test():\n    began = d.now()\n    assert d.now() - began < limit",
        "assert response.elapsed.total_seconds() < 2",
        "from tests.bench.stack import Process",
        "import asyncio\nasync def test():\n    async with asyncio.timeout(10): await work()",
        "import asyncio\nawait_ = asyncio.wait_for(work(), 2)",
        "import asyncio\nasync def test(wait=5): await asyncio.wait({work}, timeout=wait)",
        "import subprocess\nsubprocess.run(command, timeout=30)",
        "assert process.wait(20) == 0",
        "LONG = 50.0\nthread.join(LONG)",
        "from asyncio import timeout\nlimit = timeout(DEADLINE + 15)",
        "import socket\nsocket.create_connection(address, 5)",
        "connection.settimeout(0.01)",
        "import select\nselect.select([pipe], [], [], 1.0)",
        "import httpx\nassert httpx.get(address).status_code == 200",
        "from httpx import post\npost(address)",
        "from hypothesis import settings\n@settings(deadline=200)\ndef test(): ...",
        "from hypothesis import HealthCheck, settings\nsettings(suppress_health_check=[HealthCheck.filter_too_much])",
    ],
)
def test_a_planted_one_is_found(text: str) -> None:
    assert found(text)


@pytest.mark.parametrize(
    "text",
    [
        "import time\ntime.sleep(0.05)",
        "from tests.patience import until\nuntil(lambda: process.poll() is not None, 'the end')",
        "import asyncio\nasync def test():\n    async with asyncio.timeout(PATIENCE): await work()",
        "assert process.wait(2 * PATIENCE) == 0",
        "import select\nselect.select([pipe], [], [], 0)",
        "from datetime import datetime\ndef test():\n    assert expires > datetime.now()",
        "assert slow.elapsed > fast.elapsed\nassert deck.duration < 3600",
        "names = 1\nassert ', '.join(names) == page.wait('a place')",
        "import httpx\nhttpx.get(address, timeout=PATIENCE)\nhttpx.AsyncClient(transport=inside)",
        "import hypothesis as h\nh.settings(deadline=None, suppress_health_check=list(h.HealthCheck))",
    ],
)
def test_what_is_no_clock_is_left_alone(text: str) -> None:
    assert found(text) == []
