"""What `pip install '.[api]'` brings: each distribution with its size, and whether a running server imports any of it.

Run: python -m tests.bench.installed [PROJECT], where a project is a checkout; this one, where none is named.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.imports import MEASURE


def main() -> None:
    """Install, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("project", nargs="?", default=str(Path(__file__).parents[2]))
    project = parser.parse_args().project
    with tempfile.TemporaryDirectory() as folder:
        python = Path(folder, "venv", "bin", "python")
        subprocess.run([sys.executable, "-m", "venv", Path(folder, "venv")], check=True)
        subprocess.run([python, "-m", "pip", "install", "--quiet", f"{project}[api]"], check=True)
        done = subprocess.run([python, "-c", MEASURE], capture_output=True, text=True, check=True, cwd=folder)
    found = sorted(json.loads(done.stdout), key=lambda one: -one["bytes"])
    found = [one for one in found if one["name"] not in ("pip", "setuptools")]
    for one in found:
        print(f"{one['bytes'] / 1e6:8.2f} MB  {one['name']}" + ("" if one["imported"] else "  (never imported)"))
    unused = [one for one in found if not one["imported"]]
    for what, those in (("all", found), ("never imported", unused)):
        print(f"{sum(one['bytes'] for one in those) / 1e6:8.2f} MB  {what}: {len(those)} distributions")


if __name__ == "__main__":
    main()
