"""What the whole suite shares: an option, and plugins that are installed nowhere."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Generator, Iterator, Mapping
from importlib.metadata import EntryPoint
from types import ModuleType
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

# The same cases in every run: a change is to blame for what it breaks, not luck. Others are tried by asking for them.
# How long a case takes is the machine's doing, so no case has a deadline and none is generated too slowly.
for name, derandomize in (("same", True), ("other", False)):
    settings.register_profile(
        name, derandomize=derandomize, deadline=None, suppress_health_check=[HealthCheck.too_slow]
    )
# What one run has worked out is no matter of the next.
os.environ["LATEWOOD_CACHE"] = ""
settings.load_profile("other" if os.environ.get("LATEWOOD_RANDOM") else "same")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--no-skips", action="store_true", help="count a skipped test as failed, as .ci/run does")


def pytest_collection_finish() -> None:
    """Leave what was collected out of every later search for garbage: all of it is needed to the end."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if report.skipped and item.config.getoption("--no-skips") and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped where a skip is a failure: {report.longrepr}"
    return report


@pytest.fixture(scope="session", autouse=True)
def of_this_run(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what several processes would each work out anew: plans, records read, modules compiled."""
    # Not sooner: the engine is imported once coverage is measured.
    from tests.plans import SHARED

    folder = tmp_path_factory.mktemp("kept")
    base = tmp_path_factory.getbasetemp()
    shared = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "plans"
    shared.mkdir(exist_ok=True)
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("LATEWOOD_CACHE", str(folder))
        environment.setenv(SHARED, str(shared))
        if sys.dont_write_bytecode:
            environment.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
            environment.setenv("PYTHONPYCACHEPREFIX", str(folder / "bytecode"))
        yield


@pytest.fixture
def plugin(monkeypatch: pytest.MonkeyPatch) -> Callable[[str, Mapping[str, Any]], EntryPoint]:
    """Make an entry point whose module holds what it is given."""

    def make(name: str, content: Mapping[str, Any]) -> EntryPoint:
        module = ModuleType(f"fake_{name}")
        vars(module).update(content)
        monkeypatch.setitem(sys.modules, module.__name__, module)
        return EntryPoint(name, module.__name__, "latewood")

    return make
