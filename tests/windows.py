"""Resolve what a server needs on Windows, from wheels alone: no program of ours runs there in CI.

Run: python -m tests.windows. pip can resolve for another platform, but asks this one whether a requirement is for it:
`sys_platform` is that of the interpreter. So it is told that it runs on Windows, and downloads nothing.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).parents[1]
#: What markers of requirements see on Windows.
SEEN: Final = {"os_name": "nt", "sys_platform": "win32", "platform_system": "Windows", "platform_machine": "AMD64"}
PIP: Final = f"""
import sys
from pip._internal.cli.main import main
from pip._vendor.packaging import markers

here = markers.default_environment
markers.default_environment = lambda: {{**here(), **{SEEN!r}, "python_version": "3.11"}}
sys.exit(main(sys.argv[1:]))
"""
#: Not for Windows, by its marker; and what only Windows needs, by one of others.
WITHOUT: Final = "uvloop"
WITH: Final = "colorama"


def resolved(requirement: str) -> dict[str, str]:
    """Return name and file of everything that would be installed."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.json"
        command = [sys.executable, "-c", PIP, "install", "--quiet", "--dry-run", "--ignore-installed"]
        command += ["--target", folder, "--platform", "win_amd64", "--python-version", "3.11", "--implementation", "cp"]
        command += ["--only-binary", ":all:", "--report", str(report), requirement]
        subprocess.run(command, check=True, cwd=ROOT)
        found: dict[str, Any] = json.loads(report.read_text())
    return {one["metadata"]["name"].lower(): one["download_info"]["url"].rpartition("/")[2] for one in found["install"]}


def main() -> int:
    """Print what is resolved; return 1 where a package of another system is among it, or none of Windows is."""
    found = resolved(".[api]")
    for name, file in sorted(found.items()):
        print(f"{name:24} {file}")
    wheels = [file for name, file in found.items() if name != "latewood"]
    wrong = [file for file in wheels if not file.endswith(("-any.whl", "-win_amd64.whl"))]
    print(f"{len(wheels)} packages for Windows, {sum('win_amd64' in file for file in wheels)} of them for it alone")
    if wrong or WITHOUT in found or WITH not in found:
        print(f"not of Windows: {wrong or 'what markers chose'}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
