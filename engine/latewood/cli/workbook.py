"""A workbook whose cells ask a server: the one that comes with the engine, with the address of that server in it."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Final
from xml.sax.saxutils import escape
from zipfile import ZIP_DEFLATED, ZipFile

#: Written by examples/spreadsheets/build.py, and the address it has there.
_TEMPLATE: Final = "workbook.xlsx"
_SERVER: Final = "http://127.0.0.1:8000"


def write(path: Path, server: str) -> None:
    """Write the workbook to a file that is not there yet."""
    address = f">{escape(server.rstrip('/'))}<"
    with (
        files("latewood.cli").joinpath(_TEMPLATE).open("rb") as template,
        ZipFile(template) as given,
        path.open("xb") as target,
        ZipFile(target, "w", ZIP_DEFLATED) as written,
    ):
        for one in given.infolist():
            written.writestr(one, given.read(one).replace(f">{_SERVER}<".encode(), address.encode()))
