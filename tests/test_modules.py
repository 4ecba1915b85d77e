"""What holds for every module: no ring of imports, nothing private taken from another, a length that can be read."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGES = ("engine/latewood", "plugins/latewood_plugins", "api/latewood_api")

#: Lines of a module, generated data apart. Those above it are named with their length, which may only fall.
LONGEST = 300
LONGER = {
    "engine/latewood/cli.py": 326,
    "engine/latewood/plan/sanding.py": 322,
    "engine/latewood/rules/sign_actions.py": 363,
    "engine/latewood/wire/scalars.py": 397,
}

FILES = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))


def name_of(path: Path) -> str:
    """Return the dotted name of a module."""
    parts = path.relative_to(ROOT).with_suffix("").parts[1:]
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in FILES}


def imports(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Yield module and name of every import, wherever it stands: in a function, or for type checking only."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            yield from ((node.module, alias.name) for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)


def imported(tree: ast.Module) -> set[str]:
    """Return the modules of ours that a module imports; a name from a package counts as a module where it is one."""
    whole = {f"{module}.{name}" if f"{module}.{name}" in MODULES else module for module, name in imports(tree)}
    return whole & set(MODULES)


def ring(graph: dict[str, set[str]]) -> list[str]:
    """Return modules that import one another in a ring; nothing where none do."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        found: list[str] = error.args[1]
        return found
    return []


def test_no_ring_of_imports() -> None:
    graph = {name: imported(ast.parse(path.read_text())) - {name} for name, path in MODULES.items()}
    assert sum(map(len, graph.values())) > 1000
    # The command starts the server, which asks the engine it is part of.
    graph["latewood.cli"] -= {"latewood_api.server"}
    assert ring(graph) == []


def test_a_ring_for_type_checking_is_found() -> None:
    source = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from latewood.plan import run\n"
    assert imported(ast.parse(source)) == {"latewood.plan.run"}
    assert set(ring({"a": {"b"}, "b": {"a"}})) == {"a", "b"}


def test_what_is_private_stays_in_its_module() -> None:
    taken = [
        f"{name}: {module}.{imported}"
        for name, path in MODULES.items()
        for module, imported in imports(ast.parse(path.read_text()))
        if module.startswith("latewood") and any(part.startswith("_") for part in (*module.split("."), imported))
    ]
    assert [line for line in taken if "__future__" not in line] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_can_be_held_in_the_head(path: Path) -> None:
    lines = len(path.read_text().splitlines())
    assert lines <= LONGER.get(str(path.relative_to(ROOT)), LONGEST)


def test_modules_named_as_longer_still_are() -> None:
    assert all(len((ROOT / name).read_text().splitlines()) == lines for name, lines in LONGER.items())
