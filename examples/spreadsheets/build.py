"""Write a workbook whose cells ask a running server: how much coating, and what to buy.

    python examples/spreadsheets/build.py engine/latewood/cli/workbook.xlsx

writes the one that `latewood workbook` hands out.

Needs openpyxl, which the dev extra brings.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.worksheet.worksheet import Worksheet

SHEET = "Coverage"
FIRST = 6
HEADERS = (
    *("Job", "Area", "Unit", "Species", "Coating"),
    *("Volume, L", "Low, L", "High, L", "To buy", "Asked of the server"),
)
WIDTHS = (22, 9, 8, 12, 28, 12, 12, 12, 46, 60)


@dataclass(frozen=True)
class Job:
    """One line of the sheet; invented."""

    name: str
    area: float
    unit: str
    species: str
    coating: str = "clear-penetrating-oil"


JOBS = (
    Job("Quay steps", 42.5, "m2", "ipe"),
    Job("Back porch", 400, "ft2", "southern-yellow-pine"),
    Job("Boathouse", 1234.567, "ft2", "western-redcedar", "semi-transparent-oil-stain"),
    Job("A mistake, to see one", 20, "gal", "ipe"),
)


def workbook(server: str, jobs: tuple[Job, ...] = JOBS) -> Workbook:
    """Return the workbook. Cells that ask the server are formulas; nothing is computed here."""
    book = Workbook()
    sheet = book.active
    assert isinstance(sheet, Worksheet)
    sheet.title = SHEET
    sheet["A1"], sheet["B1"] = "Server", server
    sheet["A2"], sheet["B2"] = "Ask again", 1
    sheet["C2"] = "Another number here makes every cell ask anew; else an answer is kept as long as the sheet is open."
    sheet["A3"] = "A line that begins #ERROR says what was wrong with the row."
    for column, (header, width) in enumerate(zip(HEADERS, WIDTHS, strict=True), start=1):
        cell = sheet.cell(FIRST - 1, column, header)
        cell.font = Font(bold=True)
        sheet.column_dimensions[cell.column_letter].width = width
    for row, job in enumerate(jobs, start=FIRST):
        for column, value in enumerate((job.name, job.area, job.unit, job.species, job.coating), start=1):
            sheet.cell(row, column, value)
        sheet.cell(row, 6, number("volume", row))
        sheet.cell(row, 7, number("volume.low", row))
        sheet.cell(row, 8, number("volume.high", row))
        sheet.cell(row, 9, f"={ask('purchase.text', row)}").alignment = Alignment(wrap_text=True)
        sheet.cell(row, 10, f"={question(row)}")
    sheet.freeze_panes = sheet.cell(FIRST, 2)
    return book


def question(row: int) -> str:
    """Return the formula of the query all cells of a row share.

    A number is joined as text, which writes the decimal mark of the reader's own country; SUBSTITUTE makes it a point.
    TEXT must not do it: its pattern means another number where the mark is a comma.
    """
    area = f'SUBSTITUTE(B{row}&"",",",".")'
    unit, species, coating = (f"_xlfn.ENCODEURL({column}{row})" for column in "CDE")
    fields = f'"?area="&{area}&"%20"&{unit}&"&species="&{species}&"&coating="&{coating}'
    return f'{fields}&"&units=metric&on_error=text&_="&$B$2'


def ask(output: str, row: int) -> str:
    """Return the formula of one output as text. Newer functions are stored with the prefix _xlfn."""
    return f'_xlfn.WEBSERVICE($B$1&"/v1/cell/coverage/{output}"&J{row})'


def number(output: str, row: int) -> str:
    """Return the formula of one output as a number, or of the line that says why there is none.

    NUMBERVALUE is told the decimal mark of the answer; VALUE would take the reader's own.
    """
    asked = ask(f"{output}.number", row) if "." not in output else ask(output, row)
    if "." in output:
        # The low and high end come with their unit.
        return f'=IFERROR(_xlfn.NUMBERVALUE(LEFT({asked},FIND(" ",{asked})-1),"."),{asked})'
    return f'=IFERROR(_xlfn.NUMBERVALUE({asked},"."),{asked})'


def main() -> None:
    """Write the file named on the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("path", type=Path)
    parser.add_argument("--server", default="http://127.0.0.1:8000")
    chosen = parser.parse_args()
    workbook(chosen.server.rstrip("/")).save(chosen.path)


if __name__ == "__main__":
    main()
