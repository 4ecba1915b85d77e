"""The example workbook, opened in LibreOffice in two countries against a server that runs, and read back."""

from __future__ import annotations

import importlib.util
import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.bundled import bundled
from tests.patience import PATIENCE, free_port, serving

from latewood.catalogue import Catalogue
from latewood.cli import main
from latewood.wire import Options

pytestmark = pytest.mark.libreoffice

ROOT = Path(__file__).parents[2]
READER = Path(__file__).with_name("read_workbook.py")
#: The Python UNO is for; a virtual environment does not see it.
SYSTEM = "/usr/bin/python3"
RUN = "import sys; from latewood_api.server import serve; sys.exit(serve(port=int(sys.argv[1])))"
SHEET = "Coverage"
FIRST = 6
#: LibreOffice's code for external content that is not allowed, shown as Err:540.
NOT_ALLOWED = 540
#: Limits of Excel's WEBSERVICE, from its documentation: characters of the address, and of the answer.
LONGEST_URL, LONGEST_ANSWER = 2048, 32_767

Cells = dict[str, dict[str, Any]]


@pytest.fixture(scope="module")
def build() -> Any:
    spec = importlib.util.spec_from_file_location("build", ROOT / "examples" / "spreadsheets" / "build.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules["build"] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def lw() -> Catalogue:
    return bundled()


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    port = free_port()
    with serving([sys.executable, "-c", RUN, str(port)], port, stdout=subprocess.DEVNULL) as process:
        yield f"http://127.0.0.1:{port}"
        process.terminate()
        process.wait(PATIENCE)


@pytest.fixture(scope="module")
def book(server: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path: Path = tmp_path_factory.mktemp("trusted") / "coverage.xlsx"
    assert main(["workbook", str(path), "--server", server]) == 0
    return path


@pytest.fixture(scope="module")
def read(book: Path) -> Callable[..., Cells]:
    if shutil.which("soffice") is None:
        pytest.skip("LibreOffice is not installed")

    def cells(*names: str, locale: str = "en-US", more: tuple[str, ...] = ()) -> Cells:
        wanted = [f"{SHEET}!{name}" for name in names]
        command = [SYSTEM, str(READER), str(book), "--locale", locale, *more, *wanted]
        done = subprocess.run(command, capture_output=True, text=True, timeout=2 * PATIENCE)
        assert done.returncode == 0, done.stderr
        found: Cells = json.loads(done.stdout)
        return {name.partition("!")[2]: cell for name, cell in found.items()}

    return cells


def answer(lw: Catalogue, area: str, job: Any) -> dict[str, Any]:
    pairs = [("area", f"{area} {job.unit}"), ("species", job.species), ("coating", job.coating)]
    result: dict[str, Any] = lw.answer_flat("coverage", pairs, Options())["result"]
    return result


@pytest.mark.parametrize(("locale", "mark"), [("en-US", "."), ("de-DE", ",")])
def test_every_cell_shows_what_the_engine_says(
    build: Any, lw: Catalogue, read: Callable[..., Cells], locale: str, mark: str
) -> None:
    rows = range(FIRST, FIRST + len(build.JOBS))
    cells = read(*(f"{column}{row}" for row in rows for column in "BFGHIJ"), locale=locale)
    # That the country is in force: the area shows its decimal mark.
    assert cells[f"B{FIRST}"]["text"] == f"42{mark}5"
    for row, job in zip(rows, build.JOBS[:-1], strict=False):
        result = answer(lw, repr(float(job.area)), job)
        for column, part in (("F", "value"), ("G", "low"), ("H", "high")):
            cell = cells[f"{column}{row}"]
            assert cell["error"] == 0, cell
            # Nine digits on the wire; a sheet keeps them all.
            assert cell["value"] == pytest.approx(result["volume"][part], rel=1e-8), (column, row)
            assert mark in cell["text"]
        assert cells[f"I{row}"]["text"] == result["purchase"]["text"]
        assert f"area={job.area:.10g}%20{job.unit}&" in cells[f"J{row}"]["text"]
    wrong = FIRST + len(build.JOBS) - 1
    for column in "FGHI":
        line = cells[f"{column}{wrong}"]
        assert line["error"] == 0
        assert line["text"].startswith("#ERROR area: ")
        assert len(line["text"]) < LONGEST_ANSWER


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
@pytest.mark.parametrize("area", ["50.25", "1234567.891", "0.001234"])
def test_a_number_put_in_arrives_as_it_is(
    build: Any, lw: Catalogue, read: Callable[..., Cells], locale: str, area: str
) -> None:
    """The numbers that a decimal comma, thousands or an exponent would spoil."""
    cells = read(f"F{FIRST}", f"J{FIRST}", locale=locale, more=("--set", f"{SHEET}!B{FIRST}={area}"))
    assert f"area={area}%20m2" in cells[f"J{FIRST}"]["text"]
    if float(area) > 1e5:
        assert cells[f"F{FIRST}"]["text"].startswith("#ERROR area: the value lies outside")
    else:
        expected = answer(lw, area, build.JOBS[0])["volume"]["value"]
        assert cells[f"F{FIRST}"]["value"] == pytest.approx(expected, rel=1e-8)


def test_addresses_are_short_enough(server: str, read: Callable[..., Cells], build: Any) -> None:
    cells = read(*(f"J{row}" for row in range(FIRST, FIRST + len(build.JOBS))))
    for cell in cells.values():
        assert len(f"{server}/v1/cell/coverage/volume.number{cell['text']}") < LONGEST_URL


def test_a_folder_that_is_not_trusted_asks_nothing(read: Callable[..., Cells]) -> None:
    """What the page beside the example says about trusted folders is true."""
    cells = read(f"I{FIRST}", more=("--untrusted",))
    assert cells[f"I{FIRST}"]["error"] == NOT_ALLOWED
