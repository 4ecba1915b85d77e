"""What may import what: the contracts in pyproject.toml hold, and each is seen to fail when it is broken."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FOLDERS = ("engine", "plugins", "api")
CONTRACTS = {
    contract["id"]: contract["name"]
    for contract in tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
}

#: Contract id → the file that gets one line more, and the line.
BREACHES = {
    "packages": ("engine/latewood/catalogue.py", "import latewood_api.problem"),
    "engine-layers": ("engine/latewood/quantities/money.py", "import latewood.provenance"),
    "calculators": ("engine/latewood/calculators/area/__init__.py", "import latewood.calculators.coverage"),
    "no-web": ("engine/latewood/report/text.py", "import http.client"),
    "pint": ("engine/latewood/uncertainty/spread.py", "import pint"),
    "plugin-face": ("plugins/latewood_plugins/models.py", "from latewood.quantities import units"),
    "no-cycles": ("api/latewood_api/problem.py", "import latewood_api.answers"),
}


def lint(root: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the import linter on a tree, and on that tree's packages alone."""
    command = "import sys; from importlinter.cli import lint_imports_command; sys.exit(lint_imports_command())"
    return subprocess.run(
        [sys.executable, "-c", command, "--no-cache", str(root / "pyproject.toml"), *arguments],
        cwd=root,
        env=os.environ | {"PYTHONPATH": os.pathsep.join(str(root / folder) for folder in FOLDERS)},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the packages that tests may break and mend."""
    root = tmp_path_factory.mktemp("tree")
    for folder in FOLDERS:
        shutil.copytree(ROOT / folder, root / folder, ignore=shutil.ignore_patterns("__pycache__", "*.toml"))
    shutil.copy(ROOT / "pyproject.toml", root)
    return root


def test_the_contracts_hold() -> None:
    found = lint(ROOT)
    assert found.returncode == 0, found.stdout


def test_every_contract_has_a_breach() -> None:
    assert set(CONTRACTS) == set(BREACHES)


@pytest.mark.parametrize("contract", BREACHES)
def test_one_added_import_breaks_its_contract(contract: str, copy: Path) -> None:
    name, line = BREACHES[contract]
    file = copy / name
    before = file.read_text()
    try:
        file.write_text(f"{before}\n{line}\n")
        found = lint(copy, "--contract", contract)
    finally:
        file.write_text(before)
    assert found.returncode == 1
    assert f"{CONTRACTS[contract]} BROKEN" in found.stdout
    mended = lint(copy, "--contract", contract)
    assert mended.returncode == 0, mended.stdout


def test_a_ring_through_an_import_for_types_is_a_ring(copy: Path) -> None:
    file = copy / "api/latewood_api/problem.py"
    before = file.read_text()
    for_types = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import latewood_api.answers\n"
    try:
        file.write_text(f"{before}\n{for_types}")
        found = lint(copy, "--contract", "no-cycles")
    finally:
        file.write_text(before)
    assert found.returncode == 1
    assert f"{CONTRACTS['no-cycles']} BROKEN" in found.stdout


def test_a_module_without_a_layer_is_refused(copy: Path) -> None:
    stray = copy / "engine/latewood/stray.py"
    stray.write_text("")
    try:
        found = lint(copy, "--contract", "engine-layers")
    finally:
        stray.unlink()
    assert found.returncode == 1
    assert "latewood.stray" in found.stdout


def test_one_calculators_part_is_not_anothers(copy: Path) -> None:
    file = copy / "engine/latewood/calculators/area/__init__.py"
    before = file.read_text()
    try:
        file.write_text(f"{before}\nimport latewood.calculators.coverage.inputs\n")
        found = lint(copy, "--contract", "calculators")
    finally:
        file.write_text(before)
    assert found.returncode == 1
    assert "latewood.calculators.area -> latewood.calculators.coverage.inputs" in found.stdout


def test_an_answer_imports_neither_the_server_nor_pint() -> None:
    # Contracts see imports inside functions too, so that a lazy import is lazy has to be tried. What measures coverage
    # is there before.
    script = (
        "import sys; before = set(sys.modules); import latewood; "
        "latewood.load().calculate('coverage', area='10 m2', coating='clear-penetrating-oil', species='ipe'); "
        "unwanted = {'html', 'httptools', 'latewood_api', 'litestar', 'pint', 'scipy'}; "
        "print(sorted(unwanted & (set(sys.modules) - before)))"
    )
    found = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
