"""What holds for every module: nothing private taken from another, and a length that can be read."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGES = ("engine/latewood", "plugins/latewood_plugins", "api/latewood_api")

#: Lines of a module, generated data apart.
LONGEST = 300

FILES = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))


def imports(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Yield module and name of every import, wherever it stands: in a function, or for type checking only."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            yield from ((node.module, alias.name) for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)


def test_what_is_private_stays_in_its_module() -> None:
    taken = [
        f"{path}: {module}.{imported}"
        for path in FILES
        for module, imported in imports(ast.parse(path.read_text()))
        if module.startswith("latewood") and any(part.startswith("_") for part in (*module.split("."), imported))
    ]
    assert [line for line in taken if "__future__" not in line] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_can_be_held_in_the_head(path: Path) -> None:
    lines = len(path.read_text().splitlines())
    assert lines <= LONGEST
