"""DEVELOPERS.md is true: its map is the tree, its dependency table is pyproject.toml, and its examples run."""

from __future__ import annotations

import ast
import re
import shlex
import tomllib
from collections.abc import Callable, Iterator, Mapping
from importlib.metadata import EntryPoint
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from tests.faults.rows import ROWS
from tests.test_guide import CALCULATOR, SPECIES, STEP
from tests.test_guide import blocks as guide_blocks

import latewood
from latewood.cli.arguments import read
from latewood.plugin import hookimpl, read_record
from latewood.plugin.loader import installed
from latewood_api.openapi import document

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
BUNDLED = [entry for entry in installed() if entry.name == "latewood"]

#: What git ignores is no part of the tree; nor is what marks a package as one.
IGNORED = {line.strip("/*") for line in (ROOT / ".gitignore").read_text().splitlines()} | {".git"}
MARKS = {"__init__.py", "py.typed"}


def blocks(heading: str, language: str = "", page: str = PAGE) -> list[str]:
    """Return the fenced blocks of a section."""
    section = page.split(f"\n## {heading}\n")[1].split("\n## ")[0]
    return re.findall(rf"^```{language}\n(.*?)^```$", section, re.MULTILINE | re.DOTALL)


def mapped() -> dict[str, set[str]]:
    """Return what the map says stands in each folder; a file at the top has no folder."""
    found: dict[str, set[str]] = {"": set()}
    folder = ""
    for line in blocks("Map")[0].splitlines():
        name = line.split()[0] if line.strip() else ""
        if line.startswith("    "):
            found[folder].add(name)
        elif name.endswith("/"):
            folder = name
            found[folder] = set()
        elif name:
            found[""].add(name)
    return found


def children(folder: Path) -> set[str]:
    return {
        f"{entry.name}/" if entry.is_dir() else entry.name
        for entry in folder.iterdir()
        if entry.name not in IGNORED | MARKS and entry.suffix != ".pyc" and not entry.name.startswith(".coverage.")
    }


def test_the_map_has_every_folder_and_file_at_the_top() -> None:
    listed = mapped()
    assert {name.split("/")[0] + "/" for name in listed if name} | listed[""] == children(ROOT)
    for name in listed:
        head, _, rest = name.strip("/").partition("/")
        if rest:
            assert children(ROOT / head) == {f"{rest}/"}


@pytest.mark.parametrize("folder", [name for name in mapped() if name])
def test_the_map_lists_what_is_in_a_folder(folder: str) -> None:
    assert mapped()[folder] == children(ROOT / folder)


def declared() -> Iterator[tuple[str, str]]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    for extra, wanted in {"": project["dependencies"], **project["optional-dependencies"]}.items():
        for requirement in wanted:
            name = re.match(r"[A-Za-z0-9._-]+", requirement)
            assert name
            if name[0] != "latewood":
                yield name[0], extra


def test_the_table_of_dependencies_is_complete_and_gives_reasons() -> None:
    section = PAGE.split("\n## Dependencies\n")[1].split("\n## ")[0]
    rows = re.findall(r"^\| ([a-z0-9-]+) \| ?([a-z]*) \| (.+) \|$", section, re.MULTILINE)
    listed = [(name, extra) for name, extra, _ in rows if name != "package"]
    assert sorted(listed) == sorted(declared())


def test_constraints_are_plain_versions_of_all_that_is_declared() -> None:
    lines = (ROOT / ".ci/constraints.txt").read_text().splitlines()
    found = [re.fullmatch(r"([A-Za-z0-9._-]+)==[A-Za-z0-9.+!]+", line) for line in lines]
    assert [line for line, match in zip(lines, found, strict=True) if match is None] == []
    names = {match[1].lower().replace("_", "-") for match in found if match}
    assert {name for name, _ in declared()} <= names
    assert "latewood" not in names


def run(text: str) -> ModuleType:
    module = ModuleType("example_of_the_page")
    exec(compile(text, "DEVELOPERS.md", "exec", dont_inherit=True), vars(module))
    return module


Plugin = Callable[[str, Mapping[str, Any]], EntryPoint]


def test_the_record_on_the_page_is_one(plugin: Plugin) -> None:
    [text] = blocks("Add a species", "toml")
    hook = hookimpl(lambda: [read_record(text, "example_larch.toml")])
    lw = latewood.load([*BUNDLED, plugin("page", {"latewood_records": hook})], strict=True)
    assert lw.item("species", "example-larch")["plugin"] == "page"


def test_the_model_on_the_page_loads_and_computes(plugin: Plugin) -> None:
    [text] = blocks("Add a model", "python", (ROOT / "docs/guide/plugin-author.md").read_text("utf-8"))
    lw = latewood.load([*BUNDLED, plugin("page", vars(run(text)))], strict=True)
    assert lw.shelf.model("spreading", "thinner-later")(rate=10.0, coat=3, roughness=0.0) == pytest.approx(12)


def test_the_calculator_on_the_page_answers_and_is_in_the_contract(plugin: Plugin) -> None:
    text, *_ = blocks("Add a calculator", "python")
    hook = hookimpl(lambda: [run(text).fall])
    lw = latewood.load([*BUNDLED, plugin("page", {"latewood_calculators": hook})], strict=True)
    # 2 % of 5 m.
    assert lw.calculate("fall", slope="2 %", length="5 m")["result"]["fall"] == {"value": 100.0, "unit": "mm"}
    assert "/v1/calculate/fall" in document(lw)["paths"]


@pytest.mark.parametrize("command", re.findall(r"python -m ([a-z_.]+)", PAGE))
def test_modules_it_says_to_run_exist(command: str) -> None:
    places = [ROOT / "engine", ROOT / "api", ROOT]
    path = command.replace(".", "/")
    assert any((place / f"{path}.py").exists() or (place / path / "__main__.py").exists() for place in places)


NAMED = re.compile(r"(?<![\w/.`:-])`?((?:engine|plugins|api|tests|docs|examples|openapi|\.ci)/[\w./-]*\w)")


def test_every_path_it_names_is_there() -> None:
    made = {block.path for heading in (SPECIES, CALCULATOR, STEP) for block in guide_blocks(PAGE, heading)}
    named = set(NAMED.findall(PAGE))
    assert len(named) > 60
    assert sorted(path for path in named - made if not (ROOT / path).exists()) == []


@pytest.mark.parametrize("command", sorted(set(re.findall(r"^\.venv/bin/latewood (.+)$", PAGE, re.MULTILINE))))
def test_every_call_of_the_command_is_one(command: str) -> None:
    # Which would end the test, as it ends the command, where an argument is none.
    assert read(shlex.split(command)).command


def test_what_it_says_of_rooms_is_there() -> None:
    calculators = ROOT / "engine/latewood/calculators"
    rooms = {path.name.removesuffix(".py") for path in calculators.glob("*/*")}
    section = PAGE.split("\n## Rooms\n")[1].split("\n## ")[0]
    table = "\n".join(line.split("|")[1] for line in section.splitlines() if line.startswith("| "))
    assert {name.removesuffix(".py") for name in re.findall(r"`([^`]+)`", table)} <= rooms
    assert {
        name for name in re.findall(r"`(cli/[^`]+)`", section) if not (ROOT / "engine/latewood" / name).exists()
    } == set()


def test_it_is_read_in_half_an_hour() -> None:
    """At 150 words a minute, slow for prose and right for what is new; code and tables of files are looked at."""
    prose = re.sub(r"^```.*?^```$", "", PAGE.split("\n## Dependencies\n")[0], flags=re.MULTILINE | re.DOTALL)
    assert len(prose.split()) <= 30 * 150


def test_markers_it_names_are_registered() -> None:
    registered = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["pytest"]["ini_options"]["markers"]
    [named] = re.findall(r"carry a marker\n\(([^)]*)\)", PAGE)
    assert set(re.findall(r"`([a-z_]+)`", named)) <= {line.split(":")[0] for line in registered}


def unknown_tests(cell: str) -> list[str]:
    """Return what a cell of the table of faults names and is neither a test nor a script of .ci."""
    unknown, file = [], ""
    for name in re.findall(r"`([^`]+)`", cell):
        if name.startswith(".ci/"):
            unknown += [] if (ROOT / name).exists() else [name]
            continue
        before, _, test = name.rpartition("::")
        file = before or file
        path = ROOT / "tests" / f"{file}.py"
        known = ast.walk(ast.parse(path.read_text("utf-8"))) if path.exists() else ()
        if test not in {node.name for node in known if isinstance(node, ast.FunctionDef)}:
            unknown.append(name)
    return unknown


def faults_of_libraries() -> dict[str, list[tuple[str, str]]]:
    """Return what modules say of libraries at their top: library and module, with each fault and its tests."""
    found: dict[str, list[tuple[str, str]]] = {}
    for path in (path for folder in ("engine", "api") for path in (ROOT / folder).rglob("*.py")):
        text = ast.get_docstring(ast.parse(path.read_text("utf-8"))) or ""
        for section in re.split(r"^Faults of (?=.+ that touch us:$)", text, flags=re.MULTILINE)[1:]:
            head, *items = section.split("\n- ")
            library = head.partition(" that touch us:")[0]
            parts = [" ".join(item.split()).partition(" Tests: ") for item in items]
            found[f"{library} {path.relative_to(ROOT)}"] = [(fault, tests) for fault, _, tests in parts]
    return found


def test_every_fault_of_a_library_has_a_test_that_exists() -> None:
    found = faults_of_libraries()
    rows = [row for rows in found.values() for row in rows]
    # Those of the five libraries a server of this kind stands on, and of the tools its contract meets.
    assert len(rows) >= 62
    assert [fault for fault, _ in rows if " -> " not in fault] == []
    assert [(fault, unknown_tests(tests)) for fault, tests in rows if unknown_tests(tests)] == []
    assert [fault for fault, tests in rows if "`" not in tests and tests != "none"] == []


def test_the_page_says_where_the_faults_of_each_library_stand() -> None:
    section = PAGE.split("\n## Faults of libraries that touch us\n")[1].split("\n## ")[0]
    listed = re.findall(r"^\| (.+) \| `(.+)` \|$", section, re.MULTILINE)
    assert sorted(f"{library} {module}" for library, module in listed) == sorted(faults_of_libraries())


@pytest.mark.parametrize(
    ("cell", "unknown"),
    [
        ("`api/test_answers::test_not_a_number_is_never_written`", []),
        ("`.ci/contract` (Redocly)", []),
        ("`api/test_answers::test_nothing`", ["api/test_answers::test_nothing"]),
        ("`api/test_nowhere::test_nothing`", ["api/test_nowhere::test_nothing"]),
        ("`api/test_problems::test_408_for_a_body_that_stalls`, `test_nothing`", ["test_nothing"]),
        ("`.ci/nothing`", [".ci/nothing"]),
    ],
)
def test_a_test_that_is_gone_is_missed(cell: str, unknown: list[str]) -> None:
    assert unknown_tests(cell) == unknown


def test_what_a_server_does_not_hold_stands_beside_the_host() -> None:
    page = (ROOT / "docs/guide/operator.md").read_text("utf-8")
    assert "`--host`" in page
    table = page.partition("| row | the bare server | the recipe |\n|---|---|---|\n")[2].partition("\n\n")[0]
    assert [tuple(line.strip("| ").split(" | ")) for line in table.splitlines()] == [
        (row, *done) for row, done in ROWS.items()
    ]


def test_the_page_for_those_who_serve_names_files_that_are_there() -> None:
    page = (ROOT / "docs/guide/operator.md").read_text("utf-8")
    named = set(re.findall(r"(?:examples|tests|\.ci)/[\w@./-]*\w", page))
    assert named - {str(path.relative_to(ROOT)) for path in ROOT.glob("[!.]*/**/*")} <= {
        ".ci/constraints.txt",
        "examples/deploy/tls",
    }
    assert {f"examples/deploy/{name}" for name in ("latewood@.service", "latewood.target", "rolling-restart")} <= named
