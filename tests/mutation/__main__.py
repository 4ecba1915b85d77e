"""Make small wrong changes to the engine, one at a time, and see that a test or a published check notices each.

``python -m tests.mutation`` draws a sample, the same in every run of the same code, and ends with 1 where more of it
survives than is allowed. ``--size`` and ``--seed`` draw others; ``--only`` takes files by a part of their path.
"""

from __future__ import annotations

import argparse
import importlib
import os
import resource
import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import CodeType
from typing import Final

import pytest
from tests.mutation.mutants import Mutant, files, sample
from tests.mutation.noticing import Noticing, watch

SIZE: Final = 80
SEED: Final = 1
#: The share of the sample that may survive: 20 % of 150 did when it was set, some of which change no answer, and twice
#: the scatter of a sample of this size. Lower it, never raise it.
ALLOWED: Final = 0.3
#: Seconds of processor after which a change that never ends counts as noticed.
ENDLESS: Final = 30
#: One in so many is run without its change too: where a test then fails, it would notice anything.
CONTROL: Final = 20
#: What tests load beside the engine: loaded once, before the processes part.
LOADED: Final = ("hypothesis", "jsonschema", "numpy", "psychrolib", "scipy.stats", "shapely")
#: No test is rewritten to explain itself: nobody reads it, and what is loaded could not be.
OPTIONS: Final = ("-x", "-q", "-n0", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:cov")


def load_changed(mutant: Mutant) -> None:
    """Have the changed text loaded in place of the file, in this process."""
    usual, changed = SourceFileLoader.get_code, mutant.code

    def get_code(self: SourceFileLoader, name: str) -> CodeType | None:
        if self.path == str(mutant.file):
            return compile(changed, self.path, "exec", dont_inherit=True)
        return usual(self, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign]


def missed_checks() -> int:
    """Return how many published checks miss."""
    import latewood
    from latewood.verify import verify

    return verify(latewood.load(strict=True)).failed


def start(tests: Sequence[str], mutant: Mutant | None) -> int:
    """Start tests, on a change or without one, in a process of its own; return its id."""
    child = os.fork()
    if child:
        return child
    quiet = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(quiet, stream)
    resource.setrlimit(resource.RLIMIT_CPU, (ENDLESS, ENDLESS))
    code = 1
    with suppress(BaseException):
        if mutant is not None:
            load_changed(mutant)
        code = (pytest.main([*OPTIONS, *tests]) if tests else 0) or missed_checks()
    os._exit(code)


def passed(runs: Iterable[tuple[Mutant, Sequence[str], bool]]) -> Iterator[tuple[Mutant, bool, bool]]:
    """Run tests on changes, or without them; yield each with whether it was changed, and whether all passed.

    As many run at a time as there are processors.
    """
    running: dict[int, tuple[Mutant, bool]] = {}

    def ended() -> tuple[Mutant, bool, bool]:
        child, status = os.wait()
        return *running.pop(child), status == 0

    for mutant, tests, changed in runs:
        if len(running) == (os.cpu_count() or 1):
            yield ended()
        running[start(tests, mutant if changed else None)] = mutant, changed
    while running:
        yield ended()


def runs(drawn: Sequence[Mutant], noticing: Noticing) -> Iterator[tuple[Mutant, Sequence[str], bool]]:
    """Yield what is run: every change, and a few of the same tests without it."""
    for place, mutant in enumerate(drawn):
        tests = noticing.tests(mutant)
        if place % CONTROL == 0:
            yield mutant, tests, False
        yield mutant, tests, True


def main(arguments: Sequence[str] | None = None) -> int:
    """Print what survived and its share; return 1 where that is more than is allowed."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("--size", type=int, default=SIZE)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--only", default="")
    chosen = parser.parse_args(arguments)
    drawn = sample(chosen.size, chosen.seed, [file for file in files() if chosen.only in str(file)])
    with tempfile.TemporaryDirectory() as folder:
        noticing = watch(Path(folder), dict.fromkeys(mutant.file for mutant in drawn))
    for name in LOADED:
        importlib.import_module(name)
    alive = 0
    for mutant, changed, well in passed(runs(drawn, noticing)):
        if not changed and not well:
            print(f"tests of {mutant.file}:{mutant.line} fail without a change")
            return 2
        if changed and well:
            alive += 1
            print(f"survived: {mutant}", flush=True)
    share = alive / max(len(drawn), 1)
    print(f"{alive} of {len(drawn)} survived: {share:.1%}, {ALLOWED:.0%} allowed")
    return 1 if share > ALLOWED else 0


if __name__ == "__main__":
    sys.exit(main())
