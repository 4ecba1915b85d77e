"""Options of the whole suite."""

from __future__ import annotations

from collections.abc import Generator

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--no-skips", action="store_true", help="count a skipped test as failed, as .ci/run does")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if report.skipped and item.config.getoption("--no-skips") and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped where a skip is a failure: {report.longrepr}"
    return report
