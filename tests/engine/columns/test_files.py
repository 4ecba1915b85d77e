"""The command for tables: files and pipes, exit codes, progress, and nothing left half written."""

from __future__ import annotations

import csv
import io
import os
import pty
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from tests.patience import PATIENCE, running, until

from latewood.cli import main

OIL = "clear-penetrating-oil"
HEADER = "note,area,species,coating"
GOOD = f"400 ft2,ipe,{OIL}"
RUN = "import sys; from latewood.cli import main; sys.exit(main(sys.argv[1:]))"
#: Hears an interrupt, though the test run itself may have been started where interrupts are ignored or blocked.
HEAR = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    f"signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGINT]); {RUN}"
)


@pytest.fixture
def given(tmp_path: Path) -> Path:
    path = tmp_path / "in.csv"
    path.write_text(f"{HEADER}\na,{GOOD}\nb,{GOOD}\n")
    return path


def command(*arguments: str | Path, run: str = RUN) -> list[str]:
    return [sys.executable, "-c", run, "table", *map(str, arguments)]


def test_a_file_in_a_file_out(given: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = given.with_name("out.csv")
    assert main(["table", "coverage", str(given), str(target), "--outputs", "volume,purchase.text"]) == 0
    rows = list(csv.DictReader(io.StringIO(target.read_text(), newline="")))
    assert [row["note"] for row in rows] == ["a", "b"]
    assert all(row["volume [L]"] and row["purchase.text"] for row in rows)
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", "2 rows answered, 0 with errors\n")
    assert sorted(path.name for path in given.parent.iterdir()) == ["in.csv", "out.csv"]


def test_every_choice_is_passed_on(tmp_path: Path) -> None:
    given, target = tmp_path / "in.csv", tmp_path / "out.csv"
    given.write_text(f"Area;area;coating;species\n;ft2;;\nx;1,234;{OIL};ipe\n")
    choices = ["--units", "us", "--decimal", ",", "--delimiter", "semicolon", "--unit-row", "true"]
    assert main(["table", "coverage", str(given), str(target), *choices, "--carry", "Area", "--outputs", "volume"]) == 0
    [_, row] = csv.DictReader(io.StringIO(target.read_text(), newline=""), delimiter=";")
    assert row["Area"] == "x"
    assert re.fullmatch(r"0,0[0-9]+", row["volume [us_gal]"])


@pytest.mark.parametrize(
    ("table", "more", "code", "says"),
    [
        (f"{HEADER}\na,{GOOD}\nb,20,ipe,{OIL}\n", [], 3, "1 rows answered, 1 with errors"),
        (f"aera,coating\n1,{OIL}\n", [], 1, "did you mean area?"),
        ("", [], 1, "the table is empty"),
        (f"{HEADER}\na,{GOOD}\n", ["--outputs", "volum"], 2, "did you mean volume?"),
    ],
)
def test_exit_codes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], table: str, more: list[str], code: int, says: str
) -> None:
    given, target = tmp_path / "in.csv", tmp_path / "out.csv"
    given.write_text(table)
    assert main(["table", "coverage", str(given), str(target), *more]) == code
    assert says in capsys.readouterr().err
    assert target.exists() is (code == 3)
    assert not list(tmp_path.glob("*.part"))


def test_a_refused_table_leaves_an_earlier_answer(given: Path) -> None:
    target = given.with_name("out.csv")
    target.write_text("earlier")
    given.write_text("aera\n1\n")
    assert main(["table", "coverage", str(given), str(target)]) == 1
    assert target.read_text() == "earlier"


def test_a_table_is_not_written_over_itself(given: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = given.read_bytes()
    assert main(["table", "coverage", str(given), str(given)]) == 2
    assert given.read_bytes() == before
    assert "over itself" in capsys.readouterr().err


def test_files_that_are_not_there(tmp_path: Path, given: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["table", "coverage", str(tmp_path / "no.csv"), str(tmp_path / "out.csv")]) == 1
    assert main(["table", "coverage", str(given), str(tmp_path / "no" / "out.csv")]) == 1
    assert main(["table", "coverage", str(tmp_path), str(tmp_path / "out.csv")]) == 1
    assert main(["table", "coverag", str(given), str(tmp_path / "out.csv")]) == 2
    assert capsys.readouterr().err.count("\n") == 4


def test_pipes_get_their_rows_as_they_come() -> None:
    with running(
        command("coverage", "-", "-", "--outputs", "volume"),
        text=False,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as process:
        assert process.stdin
        assert process.stdout
        process.stdin.write(f"{HEADER}\nfirst,{GOOD}\n".encode())
        process.stdin.flush()
        assert process.stdout.readline().startswith(b"note,")
        assert process.stdout.readline().startswith(b"first,")
        process.stdin.write(f"second,{GOOD}\n".encode())
        process.stdin.flush()
        assert process.stdout.readline().startswith(b"second,")
        process.stdin.close()
        assert process.wait(PATIENCE) == 0


def test_interrupted_it_leaves_nothing(tmp_path: Path) -> None:
    given, target = tmp_path / "in.csv", tmp_path / "out.csv"
    given.write_text(f"{HEADER}\n" + f"a,{GOOD}\n" * 20_000)
    with running(command("coverage", given, target, run=HEAR), stderr=subprocess.PIPE) as process:
        part = tmp_path / "out.csv.part"
        until(lambda: part.exists() and part.stat().st_size, "a row in the file")
        process.send_signal(signal.SIGINT)
        assert process.wait(PATIENCE) == 130
        assert process.stderr
        assert process.stderr.read() == ""
    assert list(tmp_path.iterdir()) == [given]


def test_a_terminal_shows_progress(given: Path) -> None:
    given.write_text(f"{HEADER}\n" + f"a,{GOOD}\n" * 1500)
    ours, theirs = pty.openpty()
    with running(command("coverage", given, given.with_name("out.csv")), stderr=theirs) as process:
        os.close(theirs)
        shown = b""
        while True:
            try:
                piece = os.read(ours, 4096)
            except OSError:
                # The other end of a pseudo-terminal is closed.
                break
            shown += piece
        assert process.wait(PATIENCE) == 0
    os.close(ours)
    drawn = re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", shown.decode())
    assert re.search(r"100% .*1,500 rows, [0-9,]+/s.* 0:00:00", drawn)
    assert drawn.endswith("1500 rows answered, 0 with errors\r\n")
