"""The guide in DEVELOPERS.md works: what it says of files, changes and commands is done in a copy of the tree."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
SPECIES, CALCULATOR, STEP = "Add a species", "Add a calculator", "Add a step to the plan"
NEEDED = ("engine", "plugins", "api", "openapi", "examples", "tests", "pyproject.toml", "DEVELOPERS.md")
#: What a run of tests tells the processes it starts, and a command of the page must not hear.
OURS = ("COVERAGE_", "COV_CORE_", "PYTEST_", "PYTHON", "LATEWOOD_")

#: A fenced block, with the path it stands under: the last one before it where the paragraph ends in one and a colon.
BLOCK = re.compile(r"^```([a-z]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
UNDER = re.compile(r"`([\w/.]+/[\w.]+)`:\s*\Z")


class GuideIsWrong(AssertionError):
    """What the page says cannot be done, or does not come to what it says."""


@dataclass(frozen=True)
class Block:
    """A block of the page: a file, a change to one, or commands, which stand under no path."""

    language: str
    path: str
    text: str


def blocks(page: str, heading: str) -> list[Block]:
    """Return the blocks of a section; several changes in a row are to one file."""
    section = page.split(f"\n## {heading}\n")[1].split("\n## ")[0]
    found: list[Block] = []
    end = 0
    for match in BLOCK.finditer(section):
        before = section[end : match.start()]
        under = UNDER.search(before)
        path = under[1] if under else found[-1].path if found and not before.strip() else ""
        found.append(Block(match[1], path, match[2]))
        end = match.end()
    return found


def changed(text: str, change: str) -> str:
    """Return a file with a change: its lines with a blank or a minus before them stand there in a row, and once."""
    lines = change.splitlines()
    old = "".join(f"{line[1:]}\n" for line in lines if line[:1] in (" ", "-"))
    new = "".join(f"{line[1:]}\n" for line in lines if line[:1] in (" ", "+"))
    if not old:
        return f"{text}\n{new}"
    if len(re.findall(f"^(?={re.escape(old)})", text, re.MULTILINE)) != 1:
        raise GuideIsWrong(f"does not stand there once:\n{old}")
    return f"\n{text}".replace(f"\n{old}", f"\n{new}")[1:]


def run(copy: Path, command: str) -> str:
    """Run a command of the page in the copy, with the programs of this environment; return what it prints."""
    program, *rest = shlex.split(command)
    if not program.startswith(".venv/bin/"):
        raise GuideIsWrong(f"no command of an environment: {command}")
    named = Path(sys.executable).with_name(Path(program).name)
    env = {name: value for name, value in os.environ.items() if not name.startswith(OURS)}
    env |= {"PYTHONPATH": os.pathsep.join(str(copy / part) for part in ("engine", "plugins", "api"))}
    done = subprocess.run([named, *rest], cwd=copy, env=env, capture_output=True, text=True, check=False)
    if done.returncode:
        raise GuideIsWrong(f"{command}\n{done.stdout[-3000:]}{done.stderr[-3000:]}")
    return done.stdout


def follow(copy: Path, page: str, heading: str, *, commands: str | None = "") -> list[str]:
    """Do what a section says, in its order; return what its commands print: those that hold some words, or none."""
    printed = []
    for block in blocks(page, heading):
        file = copy / block.path
        if not block.path and block.language:
            raise GuideIsWrong(f"a block of {block.language} under no path:\n{block.text}")
        if not block.path:
            asked = [line for line in block.text.splitlines() if commands is not None and commands in line]
            printed += [run(copy, line) for line in asked]
        elif block.language == "diff":
            file.write_text(changed(file.read_text("utf-8"), block.text), "utf-8")
        elif file.exists() or not file.parent.is_dir():
            raise GuideIsWrong(f"{block.path} is there already, or its folder is not")
        else:
            file.write_text(block.text, "utf-8")
    return printed


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """Return a copy of the tree, without what running it left there."""
    ignored = shutil.ignore_patterns("__pycache__", ".*", "*.egg-info")
    for name in NEEDED:
        place = ROOT / name
        if place.is_dir():
            shutil.copytree(place, tmp_path / name, ignore=ignored)
        else:
            shutil.copy(place, tmp_path / name)
    return tmp_path


def test_a_species_is_added_as_the_page_says(copy: Path) -> None:
    shown, bought, *_ = follow(copy, PAGE, SPECIES)
    assert json.loads(shown)["content"]["botanical"] == "invented; no such tree"
    answer = json.loads(bought)
    assert answer["result"]["volume"]["value"] > 0
    # By the absorbency the record names.
    assert any(used["path"] == "absorbency/medium/wiped_off" for used in answer["basis"])


def test_a_calculator_is_added_as_the_page_says(copy: Path) -> None:
    *_, checked, answered = follow(copy, PAGE, CALCULATOR)
    # Geometry: 2 % of 5 m.
    assert json.loads(answered)["result"]["fall"] == {"value": 100.0, "unit": "mm"}
    assert "/v1/calculate/fall" in json.loads((copy / "openapi/v1.json").read_text("utf-8"))["paths"]
    assert "ok   fall-of-five-metres/two-per-cent" in checked


def test_a_step_is_added_to_the_plan_as_the_page_says(copy: Path) -> None:
    follow(copy, PAGE, CALCULATOR, commands=None)
    follow(copy, PAGE, STEP)
    contract = json.loads((copy / "openapi/v1.json").read_text("utf-8"))
    assert "slope" in contract["components"]["schemas"]["Zone"]["properties"]
    # What the page leaves to the reader: that it passes the rules of the project.
    run(copy, ".venv/bin/ruff check engine plugins tests")
    run(copy, ".venv/bin/ruff format --check engine plugins tests")
    run(copy, ".venv/bin/lint-imports --no-cache")


#: A section, what is right in it, what is wrong, and words of the command that notices: of any, where there are none.
WRONG = [
    (SPECIES, 'low = "540 kg/m3"', 'low = "540 kg/m2"', ""),
    (SPECIES, "catalogue species example-larch", "catalogue species example-ash", ""),
    (
        CALCULATOR,
        '+fall = "Height of one end above the other"',
        '+falls = "Height of one end above the other"',
        "test_glossary.py",
    ),
    (CALCULATOR, " [fraction]", " [share]", ""),
    (CALCULATOR, "engine/latewood/calculators/fall.py", "engine/latewood/calculator/fall.py", ""),
    (CALCULATOR, '+paths = ["fall/*"]', '+paths = ["fell/*"]', "tests/goldens"),
    (STEP, "+    *(AREA, FALL, CONDITION", "+    *(AREA, CONDITION", ""),
    (STEP, "+    slope: Annotated", "+    slopes: Annotated", ""),
]


@pytest.mark.parametrize(("heading", "right", "wrong", "by"), WRONG, ids=[wrong for _, _, wrong, _ in WRONG])
def test_a_page_that_is_wrong_is_noticed(copy: Path, heading: str, right: str, wrong: str, by: str) -> None:
    assert PAGE.count(right) == 1
    if heading == STEP:
        follow(copy, PAGE, CALCULATOR, commands=None)
    with pytest.raises(GuideIsWrong):
        follow(copy, PAGE.replace(right, wrong), heading, commands=by)


def test_changes_need_their_place() -> None:
    assert changed("a\nb\nc\n", " b\n+x\n") == "a\nb\nx\nc\n"
    assert changed("a\nb\nc\n", "-b\n+x\n") == "a\nx\nc\n"
    assert changed("a\n", "+x\n") == "a\n\nx\n"
    for twice in ("b\nb\n", "a\n"):
        with pytest.raises(GuideIsWrong):
            changed(twice, " b\n+x\n")
