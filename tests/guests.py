"""Plugins that lie in a folder as if they were installed there, and the environment in which they are."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path


def install(folder: Path, name: str, source: str, *, version: str = "1.0") -> None:
    """Write a plugin of one module, as an installer leaves it."""
    module = f"guest_{name}"
    (folder / f"{module}.py").write_text(source)
    info = folder / f"{module}-{version}.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: guest-{name}\nVersion: {version}\n")
    (info / "entry_points.txt").write_text(f"[latewood]\n{name} = {module}\n")


def oil(rest: str, *, id: str = "guest-oil") -> str:
    """Return the record of an oil, as far as no test is about it, and the rest of it: names first, then tables."""
    return f"""
schema = 1
record = "coating"
id = "{id}"
title = "Guest oil"
summary = "No such oil."
binder = "drying-oil"
film = false
pigment = "none"
carrier = "solvent"
wiped = false
floors = "suitable"
rate_basis = "applied"
{rest}
"""


def environment(folder: Path) -> Mapping[str, str]:
    """Return the environment of a process in which the plugins of a folder are installed."""
    path = os.pathsep.join(filter(None, (str(folder), os.environ.get("PYTHONPATH", ""))))
    return {**os.environ, "PYTHONPATH": path}
