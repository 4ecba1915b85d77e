"""Every answer the engine is known by, kept so that a move changes no byte and a change of a rule names each value.

``python -m tests.goldens.record`` writes them anew and empties ``changes.toml``. They are our own output: they prove
nothing about the numbers, which the checks do.
"""

from __future__ import annotations

import gzip
import json
import platform
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
from numpy._core._multiarray_umath import __cpu_features__
from tests.bundled import bundled

from latewood.catalogue import Catalogue
from latewood.job_files import read_file, with_weather
from latewood.messages import refusals
from latewood.problems import InputProblem
from latewood.wire import Options

HERE = Path(__file__).parent
ANSWERS = HERE / "answers.json.gz"
CHANGES = HERE / "changes.toml"
JOBS = HERE.parents[1] / "examples" / "jobs"
SYSTEMS = ("metric", "us")


def cases(lw: Catalogue) -> Iterator[tuple[str, str, Any]]:
    """Yield name, calculator or ``plan``, and input of each: example jobs, calculators' examples, inputs of checks."""
    for file in sorted(JOBS.glob("*.toml")):
        yield f"plan/{file.stem}", "plan", with_weather(read_file(file), JOBS)
    for calculator in lw.calculators.values():
        yield f"{calculator.id}/example", calculator.id, calculator.example
    for check in lw.shelf.records("check").values():
        if check.calculator in lw.calculators:
            for case in check.cases:
                yield f"{check.calculator}/{check.id}/{case.id}", check.calculator, case.input


def answer(lw: Catalogue, calculator: str, given: Any, system: str) -> Any:
    """Return an answer as it goes on the wire, without the versions that computed it; a refusal by its faults."""
    options = Options(units=system, working=True)  # type: ignore[arg-type]
    try:
        whole = lw.plan(given, options) if calculator == "plan" else lw.answer(calculator, given, options)
    except InputProblem as problem:
        speaker = lw.shelf.texts.speaker(options.style)
        faults = msgspec.to_builtins(refusals.written(problem.faults, speaker))
        return {"errors": [{name: one[name] for name in one if name not in ("id", "values")} for one in faults]}
    tree = msgspec.json.decode(msgspec.json.encode(whole))
    del tree["computed_with"]
    for finding in tree["findings"]:
        # While sentences move from code to messages.toml every one of them gains its values.
        finding.pop("values", None)
    return tree


def answers() -> dict[str, Any]:
    """Return all answers by case and unit system."""
    lw = bundled()
    made = {f"{name}/{system}": answer(lw, to, given, system) for name, to, given in cases(lw) for system in SYSTEMS}
    plain: dict[str, Any] = json.loads(json.dumps(made))
    return plain


def machine() -> list[str]:
    """Return what decides the last digit of a float: on another machine answers agree to 1e-6, on this one by bytes."""
    features = sorted(name for name, there in __cpu_features__.items() if there)
    return [platform.machine(), platform.libc_ver()[1], np.__version__, *features]


def read() -> tuple[list[str], dict[str, Any]]:
    """Return the machine the answers were recorded on, and the answers."""
    kept: dict[str, Any] = json.loads(gzip.decompress(ANSWERS.read_bytes()))
    return kept["machine"], kept["answers"]


def leaves(tree: Any, at: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every number and text with its path. What has an id in a list goes by it; their order is a leaf itself."""
    if isinstance(tree, dict):
        for name, part in tree.items():
            yield from leaves(part, f"{at}/{name}")
    elif isinstance(tree, list):
        names = [str(one["id"]) if isinstance(one, dict) and "id" in one else str(n) for n, one in enumerate(tree)]
        seen: dict[str, int] = {}
        for n, name in enumerate(names):
            seen[name] = seen.get(name, 0) + 1
            names[n] = name if seen[name] == 1 else f"{name}~{seen[name]}"
        yield f"{at}/[]", ",".join(names)
        for name, part in zip(names, tree, strict=True):
            yield from leaves(part, f"{at}/{name}")
    else:
        yield at, tree


def main() -> None:
    """Write the answers anew."""
    kept = {"machine": machine(), "answers": answers()}
    text = json.dumps(kept, ensure_ascii=False, sort_keys=False, separators=(",", ":"))
    ANSWERS.write_bytes(gzip.compress(text.encode(), 9, mtime=0))
    CHANGES.write_text(CHANGES_HEAD)
    print(f"{len(text):,} characters, {ANSWERS.stat().st_size:,} bytes packed")


CHANGES_HEAD = """\
# What of the recorded answers has changed since, and why. Each entry names one reason and the paths it accounts for, as
# patterns of fnmatch over <case>/<system><path>. An unlisted difference fails, and so does an entry that fits none.
# `python -m tests.goldens.record` takes the answers of today as recorded and empties this file.
#
# [[change]]
# why = "…"
# paths = ["plan/*/metric/steps/coverage-*/result/volume/*"]
"""

if __name__ == "__main__":
    main()
