"""Writing cells: RFC 4180, and nothing that a spreadsheet would run as a formula."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

#: What spreadsheets take for the beginning of a formula, the full-width forms of the East too.
FORMULA_STARTS: Final = frozenset("=+-@\t\r\n＝＋－＠")  # noqa: RUF001  # the look-alikes are meant

# A signed number, with a unit or without, is no formula: -5, +2.5 m, -12,5 degC.
_SIGNED = re.compile(r"[+-](?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?(?: ?%| [A-Za-z°µ][\w/°µ²³]*)?")
# Any of the three delimiters is quoted: whoever reads the table with another one must not find new cells in it.
_TO_QUOTE = re.compile('[",;\t\r\n]')


def safe(cell: str) -> str:
    """Return a cell as text that no spreadsheet runs: an apostrophe goes before what looks like a formula."""
    if cell and cell[0] in FORMULA_STARTS and not _SIGNED.fullmatch(cell):
        return f"'{cell}"
    return cell


def line(cells: Iterable[str], delimiter: str) -> str:
    """Return one row as text with its line end."""
    return delimiter.join(map(_quoted, map(safe, cells))) + "\r\n"


def _quoted(cell: str) -> str:
    if _TO_QUOTE.search(cell) is None:
        return cell
    return '"' + cell.replace('"', '""') + '"'
