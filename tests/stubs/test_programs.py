"""What a type checker says of programs that call the engine, in strict mode."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

import mypy.api
import pytest
from tests.stubs.write import PATH, render

HERE = Path(__file__).parent
FOUND = re.compile(r"^(?:.*/)?(\w+)\.py:(\d+): error: .*\[([\w-]+)\]$", re.MULTILINE)


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[tuple[int, str]]]:
    """Return the lines of each program that are refused, with the reason."""
    cache = tmp_path_factory.mktemp("cache")
    files = [str(HERE / f"{name}.py") for name in ("right", "wrong")]
    # No settings of this project: a stranger's program is checked against what is installed.
    command = ["--config-file=", "--strict", "--no-incremental", f"--cache-dir={cache}", *files]
    out, err, _ = mypy.api.run(command)
    assert not err
    found: dict[str, list[tuple[int, str]]] = {"right": [], "wrong": []}
    for name, line, code in FOUND.findall(out):
        found[name].append((int(line), code))
    return found


def test_the_types_are_those_of_the_declarations() -> None:
    assert PATH.read_text("utf-8") == render(), "run python -m tests.stubs.write"


def test_a_right_program_runs() -> None:
    assert runpy.run_path(str(HERE / "right.py"))["litres"].check("[volume]")


def test_a_right_program_passes(said: dict[str, list[tuple[int, str]]]) -> None:
    assert said["right"] == []


def test_each_wrong_line_is_refused_and_no_other(said: dict[str, list[tuple[int, str]]]) -> None:
    lines = (HERE / "wrong.py").read_text("utf-8").splitlines()
    marked = [(number, line.rpartition("  # ")[2]) for number, line in enumerate(lines, 1) if "  # " in line]
    assert said["wrong"] == marked
