"""The workbook that `latewood workbook` writes: the one the example builds, with the address of a server in it."""

from __future__ import annotations

import re
import subprocess
import sys
import urllib.parse
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from latewood.catalogue import load
from latewood.cli import main
from latewood.wire import Options

ROOT = Path(__file__).parents[2]
ELSEWHERE = "https://deck.example/api?key=a&b=<c>"


def cells(path: Path) -> dict[str, Any]:
    [sheet] = openpyxl.load_workbook(path).worksheets
    return {cell.coordinate: cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None}


@pytest.fixture
def written(tmp_path: Path) -> Path:
    path = tmp_path / "deck.xlsx"
    assert main(["workbook", str(path)]) == 0
    return path


def test_it_is_the_workbook_of_the_example(written: Path, tmp_path: Path) -> None:
    built = tmp_path / "built.xlsx"
    subprocess.run([sys.executable, ROOT / "examples/spreadsheets/build.py", built], check=True)
    assert cells(written) == cells(built)
    parts = {name for name in zipfile.ZipFile(built).namelist() if name != "docProps/core.xml"}
    for part in parts:
        assert zipfile.ZipFile(written).read(part) == zipfile.ZipFile(built).read(part), part


def test_its_cells_ask_the_server_that_was_named(written: Path, tmp_path: Path) -> None:
    path = tmp_path / "elsewhere.xlsx"
    assert main(["workbook", str(path), "--server", f"{ELSEWHERE}/"]) == 0
    assert cells(path) == cells(written) | {"B1": ELSEWHERE}
    assert re.search(r'WEBSERVICE\(\$B\$1&"/v1/cell/coverage/', cells(path)["I6"])


def test_what_a_row_asks_is_answered(written: Path) -> None:
    asked = cells(written)
    area, unit, species, coating = (asked[f"{column}6"] for column in "BCDE")
    query = urllib.parse.parse_qsl(f"area={area}%20{unit}&species={species}&coating={coating}")
    assert load().cell("coverage", "purchase.text", query, Options())


def test_a_workbook_that_is_there_is_kept(written: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = written.read_bytes()
    assert main(["workbook", str(written)]) == 2
    assert written.read_bytes() == before
    assert capsys.readouterr().err == f"{written} is there already; name another file\n"


def test_a_folder_that_is_not_there_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["workbook", str(tmp_path / "no" / "deck.xlsx")]) == 1
    assert "No such file or directory" in capsys.readouterr().err
