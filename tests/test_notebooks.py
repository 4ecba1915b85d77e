"""The notebooks run from top to bottom in a kernel of their own, as someone runs them who installed what is needed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

import latewood

BOOKS = Path(__file__).parents[1] / "examples/notebooks"


@pytest.fixture
def outputs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Return what each cell of code of the porch gives, by type of content."""
    for name in ("IPYTHONDIR", "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    book = nbformat.read(BOOKS / "porch.ipynb", as_version=4)
    nbformat.validate(book)
    assert len(book.cells) == 10
    # What is kept holds no outputs: they are made anew here, and cannot be old.
    assert not any(cell.outputs for cell in book.cells if cell.cell_type == "code")
    NotebookClient(book, timeout=None, kernel_name="python3", resources={"metadata": {"path": str(tmp_path)}}).execute()
    return [cell.outputs[-1].data if cell.outputs else {} for cell in book.cells if cell.cell_type == "code"]


def test_the_porch_comes_out(outputs: list[dict[str, Any]]) -> None:
    _, porch, area, oil, bought, areas = outputs
    # Geometry: 24 ft by 12 ft.
    assert area["text/plain"] == "<Quantity(288.0, 'foot ** 2')>"
    faces = [{"zone": "main", "part": part} for part in ("field", "gap-faces", "end-grain")]
    lw = latewood.load()
    taken_off = lw.area(length="24 ft", width="12 ft", boards={"size": "5/4x6", "gap": "3 mm"}, units="us")
    for face, found in zip(faces, taken_off["result"]["faces"], strict=True):
        face["area"] = found["area"]
    told = {"species": "southern-yellow-pine", "coating": "clear-penetrating-oil", "surface": "weathered"}
    result = lw.coverage(faces=faces, **told)["result"]
    # The same asked as texts, in litres from the start.
    assert bought["text/plain"].startswith(f"'{result['volume']['value']:.1f} liter (")
    assert porch["text/html"].startswith("<table><caption>area</caption>")
    assert oil["text/html"].startswith("<table><caption>coverage</caption>")
    assert areas["text/plain"].startswith("['10 meter ** 2: ")
