"""What README and the guides show works for a newcomer: a copy of the tree, and an environment made by its first line.

Blocks of `sh` are run in their order, and `text` behind one is what it prints; … there stands for anything. A block
that ends in `latewood serve` leaves the server running for the rest of its page. The environment has what is declared,
in the newest versions allowed, and nothing of the one that tests.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import nbformat
import openpyxl
import pytest
from tests.patience import PATIENCE, free_port, serving
from tests.test_guide import NEEDED, OURS
from tests.test_python_pages import BLOCK as PYTHON

pytestmark = pytest.mark.plugin_wheel

ROOT = Path(__file__).parents[1]
PAGES = ["README.md", *sorted(str(path.relative_to(ROOT)) for path in (ROOT / "docs/guide").glob("*.md"))]
#: Commands, with what they print where that is shown.
SHOWN = re.compile(r"^```sh\n(.*?)^```\n(?:```text\n(.*?)^```$)?", re.MULTILINE | re.DOTALL)
INSTALL = "python3 -m venv .venv && .venv/bin/pip install '.[api]'\n"
SERVE = ".venv/bin/latewood serve\n"

Shell = Callable[[str], str]


@pytest.fixture(scope="session")
def shell(tmp_path_factory: pytest.TempPathFactory) -> Shell:
    """Run commands in a copy of the tree in which the line that installs was run, and return what they print."""
    folder = tmp_path_factory.mktemp("newcomer")
    ignored = shutil.ignore_patterns("__pycache__", ".*", "*.egg-info")
    for name in (*NEEDED, "README.md", "LICENSE", "docs"):
        place = ROOT / name
        if place.is_dir():
            shutil.copytree(place, folder / name, ignore=ignored)
        else:
            shutil.copy(place, folder / name)
    env = {name: value for name, value in os.environ.items() if not name.startswith((*OURS, "VIRTUAL_ENV"))}
    env |= {"HOME": str(folder), "PATH": f"{Path(sys.base_prefix, 'bin')}:{env['PATH']}"}

    def run(commands: str) -> str:
        done = subprocess.run(
            ["bash", "-euo", "pipefail", "-c", commands],
            cwd=folder,
            env=env,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, f"{commands}\n{done.stdout[-2000:]}{done.stderr[-3000:]}"
        return done.stdout

    run(INSTALL)
    return run


@pytest.fixture
def follow(shell: Shell) -> Iterator[Callable[[str], None]]:
    """Do what a page shows."""
    port = free_port()
    with ExitStack() as until_the_end:

        def page(text: str) -> None:
            for commands, printed in SHOWN.findall(text):
                asked = commands.replace(INSTALL, "").replace("localhost:8000", f"localhost:{port}")
                given = shell(asked.removesuffix(SERVE))
                if asked.endswith(SERVE):
                    folder = Path(shell("pwd").strip())
                    serve = [str(folder / ".venv/bin/latewood"), "serve", "--port", str(port)]
                    server = until_the_end.enter_context(serving(serve, port, stdout=subprocess.DEVNULL))
                    until_the_end.callback(server.wait, PATIENCE)
                    until_the_end.callback(server.terminate)
                wanted = ".*".join(map(re.escape, printed.split("…")))
                assert not printed or re.fullmatch(wanted, given, re.DOTALL), f"{asked}\n{given}"

        yield page


@pytest.mark.parametrize("page", PAGES)
def test_what_a_page_shows_works(follow: Callable[[str], None], shell: Shell, page: str) -> None:
    text = (ROOT / page).read_text("utf-8")
    follow(text)
    if code := "".join(PYTHON.findall(text)):
        Path(shell("pwd").strip(), "shown.py").write_text(code, "utf-8")
        shell(".venv/bin/python shown.py")


@pytest.mark.parametrize("page", [page for page in PAGES if page != "docs/guide/python.md"])
def test_a_page_begins_with_the_line_that_installs(page: str) -> None:
    commands, _ = SHOWN.findall((ROOT / page).read_text("utf-8"))[0]
    assert commands.startswith(INSTALL)


def test_no_plugin_is_left_out(shell: Shell) -> None:
    assert shell(".venv/bin/latewood --strict plugins").startswith("latewood (latewood ")


def test_the_notebook_needs_nothing_else(shell: Shell) -> None:
    book = nbformat.read(ROOT / "examples/notebooks/porch.ipynb", as_version=4)
    cells = [cell.source for cell in book.cells if cell.cell_type == "code"]
    Path(shell("pwd").strip(), "porch.py").write_text("\n".join(cells), "utf-8")
    shell(".venv/bin/python porch.py")


def test_the_workbook_asks_for_every_job(shell: Shell) -> None:
    shell(".venv/bin/latewood workbook asked.xlsx --server https://deck.example")
    [sheet] = openpyxl.load_workbook(Path(shell("pwd").strip(), "asked.xlsx")).worksheets
    asking = [cell for row in sheet.iter_rows() for cell in row if "WEBSERVICE(" in str(cell.value)]
    assert len(asking) >= 4 * 4
    assert sheet["B1"].value == "https://deck.example"


def test_what_is_wrong_on_a_page_is_noticed(follow: Callable[[str], None]) -> None:
    follow("```sh\necho 1 2 3\n```\n```text\n1 … 3\n```\n")
    for wrong in ("```sh\nfalse\n```\n", "```sh\necho 1\n```\n```text\n2\n```\n"):
        with pytest.raises(AssertionError):
            follow(wrong)
