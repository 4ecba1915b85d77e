"""Ask the engine every case and print what came of it; exit 1 on what fails unlisted, or is listed and passes."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence

from tests.adversarial.answers import ask
from tests.adversarial.cases import Case, every, pending, read
from tests.adversarial.effects import wrong


def main() -> int:
    """Print a table: case, whether it passed, what was missing."""
    parser = argparse.ArgumentParser(prog="python -m tests.adversarial", description=__doc__)
    parser.add_argument("ids", nargs="*", help="cases to ask; all, if left out")
    parser.add_argument("--failures", action="store_true", help="print only what did not pass")
    parser.add_argument("--list", action="store_true", help="print what fails as not_yet_mended.toml holds it")
    chosen = parser.parse_args()
    cases = [case for case in read() if not chosen.ids or case.id in chosen.ids]
    for case in cases:
        case.check()
    if chosen.list:
        return listed(cases)
    return report(cases, pending(), failures=chosen.failures)


def report(cases: Sequence[Case], listed: dict[str, str], *, failures: bool = False) -> int:
    """Print how each case did; return 1 where one fails that is not listed, or passes that is."""
    counts = {"passed": 0, "not yet": 0, "FAILED": 0, "MENDED": 0}
    for asked in every(cases):
        lacking = wrong(ask(asked.calculator, asked.tree), asked.expect)
        known = asked.id in listed
        status = ("not yet" if known else "FAILED") if lacking else ("MENDED" if known else "passed")
        counts[status] += 1
        if lacking or known or not failures:
            print(f"{status:8}{asked.id}")
            for line in lacking:
                print(f"{'':10}{line}")
    print(f"\n{len(cases)} jobs and as many twins: " + ", ".join(f"{count} {name}" for name, count in counts.items()))
    if counts["MENDED"]:
        print("What is mended must leave not_yet_mended.toml.")
    return 1 if counts["FAILED"] or counts["MENDED"] else 0


def listed(cases: Sequence[Case]) -> int:
    """Print each case that fails, with the first thing that is missing."""
    for asked in every(cases):
        if lacking := wrong(ask(asked.calculator, asked.tree), asked.expect):
            print(f'"{asked.id}" = {json.dumps(lacking[0], ensure_ascii=False)}')
    return 0


if __name__ == "__main__":
    sys.exit(main())
