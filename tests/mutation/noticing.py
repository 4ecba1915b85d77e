"""Which tests can notice a change: those that run its line, one case of each before others."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from coverage import CoverageData
from tests.mutation.mutants import ROOT, Mutant

#: The tests that are asked. Others run these lines too, for other reasons.
ASKED: Final = ("tests/engine/formulas", "tests/engine/rules", "tests/engine/calculators")
#: Of more tests than this that run a line, no more are asked.
MOST: Final = 80


@dataclass(frozen=True)
class Noticing:
    """The tests that run each line of a file, and how many lines of the engine each test runs."""

    lines: Mapping[str, Mapping[int, Sequence[str]]]
    breadth: Mapping[str, int]

    def tests(self, mutant: Mutant) -> list[str]:
        """Return the tests that run a changed line: of each one case before others, and first those that run little."""
        found = self.lines.get(str(mutant.file), {}).get(mutant.line, ())
        cases: Counter[str] = Counter()
        ranked = []
        for name in sorted(found, key=lambda name: (self.breadth[name], name)):
            function = name.partition("[")[0]
            ranked.append((cases[function], self.breadth[name], name))
            cases[function] += 1
        return [name for _, _, name in sorted(ranked)[:MOST]]


def watch(folder: Path, changed: Iterable[Path]) -> Noticing:
    """Run the tests once, and keep which lines of the files each of them runs."""
    settings, data = folder / "coveragerc", folder / "coverage"
    settings.write_text("\n    ".join(["[run]\ninclude =", *map(str, changed)]))
    env = {**os.environ, "COVERAGE_FILE": str(data), "PYTEST_ADDOPTS": ""}
    keep = ["--cov", f"--cov-config={settings}", "--cov-context=test", "--cov-report="]
    command = [sys.executable, "-m", "pytest", "-n", str(os.cpu_count() or 1), *keep, *ASKED]
    subprocess.run(command, cwd=ROOT, env=env, check=True)
    kept = CoverageData(str(data))
    kept.read()
    by_line = {file: kept.contexts_by_lineno(file) for file in kept.measured_files()}
    lines = {file: {line: named(names) for line, names in rows.items()} for file, rows in by_line.items()}
    return Noticing(lines, Counter(name for rows in lines.values() for names in rows.values() for name in names))


def named(contexts: Iterable[str]) -> list[str]:
    """Return the tests of contexts, which are `file::test|run`, and the same for what sets a test up."""
    return sorted({context.partition("|")[0] for context in contexts} - {""})
