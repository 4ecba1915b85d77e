"""Generated requests, in all phases of the tool, against the recipe of `examples/deploy`.

Run: python -m tests.contract.recipe [--examples 60] [--seed N] [option of schemathesis …], where `.ci/recipe` runs.
Requests come no faster than nginx lets one address ask. Of the tool's checks two are replaced by those of `hooks`.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path
from typing import Final

from tests.faults.proxied import Recipe

#: A little less than `limit_req` has.
RATE: Final = "45/s"
PHASES: Final = "examples,coverage,fuzzing,stateful"
REPLACED: Final = "positive_data_acceptance,negative_data_rejection"


def main() -> int:
    """Return what the tool returns; 1 as well where an instance failed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--examples", type=int, default=60)
    parser.add_argument("--seed", type=int, default=20_261_130)
    parser.add_argument("--phases", default=PHASES)
    chosen, more = parser.parse_known_args()
    recipe = Recipe()
    try:
        command = [
            Path(sys.executable).with_name("schemathesis"),
            "run",
            f"https://127.0.0.1:{recipe.port}/openapi.json",
        ]
        command += ["--tls-verify", recipe.certificate, "--rate-limit", RATE, "--exclude-checks", REPLACED]
        command += ["--max-examples", str(chosen.examples), "--seed", str(chosen.seed), "--phases", chosen.phases]
        command += ["--request-timeout", "60", "--suppress-health-check", "all", "--continue-on-failure", *more]
        hooks = {"SCHEMATHESIS_HOOKS": "tests.contract.hooks", "PYTHONPATH": str(Path(__file__).parents[2])}
        code = subprocess.run(command, env=os.environ | hooks, check=False).returncode
        said = recipe.said()
    finally:
        recipe.close()
    if "Traceback" in said:
        print(said, file=sys.stderr)
        return 1
    return code


if __name__ == "__main__":
    sys.exit(main())
