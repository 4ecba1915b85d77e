"""What a terminal gets: pages that fit it, colours unless they are unwanted, progress; and a pipe nothing of it."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest
from rich.cells import cell_len

from latewood.catalogue import Catalogue
from latewood.cli import main

JOBS = Path(__file__).parents[2] / "examples" / "jobs"
DECK = ["area=400 ft2", "species=ipe", "coating=clear-penetrating-oil"]
#: What is asked, and what its page says.
PAGES = [
    (["run", "coverage", *DECK], "DANGER: Oily waste can set itself on fire"),
    (["run", "area", "zones.0.id=main", "zones.0.length=5 m", "zones.0.width=3 m"], "15 m²"),
    (["run", "coverage", *DECK, "--working", "--units", "us"], "gal"),
    (["plan", str(JOBS / "quayside.toml")], "DO FIRST"),
    (["catalogue"], "Allowances of work"),
    (["catalogue", "species"], "Western redcedar"),
    (["catalogue", "species", "--search", "ipe"], "ipe"),
    (["catalogue", "species", "ipe"], "fpl-tropical-timbers"),
    (["catalogue", "calculators", "wash"], "percarbonate"),
    (["catalogue", "formulas", "volume-laid-on"], "--format json"),
    (["catalogue", "plugins", "latewood"], "latewood"),
    (["catalogue", "messages", "not-found"], "there is no {thing} named {name}"),
    (["plugins"], "records"),
]
COLOUR = re.compile("\x1b\\[[0-9;]*3[0-7]m")
ESCAPE = re.compile("\x1b\\[[0-9;?]*[A-Za-z]")


Shown = Callable[..., str]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch, lw: Catalogue) -> Shown:
    """Return what runs the command on a terminal and returns what that shows."""
    monkeypatch.setattr("latewood.cli.commands.load", lambda **_: lw)
    monkeypatch.setenv("TERM", "xterm-256color")
    for name in ("NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE", "COLORTERM"):
        monkeypatch.delenv(name, raising=False)

    def run(*arguments: str) -> str:
        with redirect_stdout(Terminal()) as stream:
            assert main(arguments) == 0
        return stream.getvalue()

    return run


@pytest.mark.parametrize("columns", [40, 120])
@pytest.mark.parametrize(("arguments", "says"), PAGES, ids=[" ".join(page[:3]) for page, _ in PAGES])
def test_a_page_fits_the_terminal(
    arguments: list[str], says: str, columns: int, shown: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = ESCAPE.sub("", shown(*arguments)).splitlines()
    assert [line for line in lines if cell_len(line.rstrip()) > columns] == []
    assert says in " ".join(line.strip() for line in lines).replace("\N{NO-BREAK SPACE}", " ")
    assert not any(line.startswith(("{", "[")) for line in lines)


def test_colours_are_off_where_they_are_not_wanted(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> None:
    coloured = shown("run", "coverage", *DECK)
    assert COLOUR.search(coloured)
    monkeypatch.setenv("NO_COLOR", "1")
    plain = shown("run", "coverage", *DECK)
    assert not COLOUR.search(plain)
    assert ESCAPE.sub("", plain) == ESCAPE.sub("", coloured)


@pytest.mark.parametrize("arguments", [["run", "coverage", *DECK], ["catalogue", "species", "ipe"]])
def test_json_can_be_asked_for_on_a_terminal(arguments: list[str], shown: Shown) -> None:
    assert isinstance(json.loads(shown(*arguments, "--format", "json")), dict)


def test_text_can_be_asked_for_in_a_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", "coverage", *DECK, "--format", "text"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Coating volume and purchase\nVolume: ")
    assert "\x1b" not in said


def test_checks_are_counted_by_what_they_check(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    with redirect_stderr(Terminal()) as watched:
        page = ESCAPE.sub("", shown("verify"))
    counted = sum(int(count) for count in re.findall(r"^[a-z-]+ +([0-9]+) +0 +[0-9]+ *$", page, re.MULTILINE))
    assert counted > 1500
    assert f"{counted} checks, " in page
    assert re.search("100% .*[0-9],[0-9]+ checks, [0-9,]+/s", ESCAPE.sub("", watched.getvalue()))


@pytest.mark.parametrize("arguments", [["run", "coverage", *DECK], ["catalogue"], ["plugins"], ["verify"]])
def test_a_pipe_gets_no_escape_and_imports_nothing_for_it(arguments: list[str]) -> None:
    program = (
        "import sys; from latewood.cli import main; code = main(sys.argv[1:]); "
        "assert 'rich' not in sys.modules; sys.exit(code)"
    )
    done = subprocess.run([sys.executable, "-c", program, *arguments], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert "\x1b" not in done.stdout
