"""Writing cells: RFC 4180, and nothing that a spreadsheet would run as a formula."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

#: What spreadsheets take for the beginning of a formula, the full-width forms of the East too.
FORMULA_STARTS: Final = frozenset("=+-@\t\r\n＝＋－＠")  # noqa: RUF001  # the look-alikes are meant

# A signed number, with a unit or without, is no formula: -5, +2.5 m, -12,5 degC.
_SIGNED = re.compile(r"[+-](?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?(?: ?%| [A-Za-z°µ][\w/°µ²³]*)?")
# Who reads the table with another delimiter than it was written with finds new cells, whatever is quoted.
# A number is let be where nothing after it could do more than reckon: an outline has signs after its commas.
_WITHIN = re.compile(
    r'([,;\t\r\n]"*)(?=[=+@＝＋－＠-])(?![+-][0-9.][\w .,;%°/+-]*\Z)'  # noqa: RUF001  # the look-alikes are meant
)
_TO_QUOTE = re.compile('[",;\t\r\n]')


def safe(cell: str) -> str:
    """Return a cell as text that no spreadsheet runs: an apostrophe goes before what looks like a formula.

    Also within a cell, after anything that another reader may take for the end of one.
    """
    if _TO_QUOTE.search(cell):
        cell = _WITHIN.sub(r"\1'", cell)
    # Some readers trim the blanks before a cell.
    bare = cell.lstrip(" ")
    if bare and bare[0] in FORMULA_STARTS and not _SIGNED.fullmatch(bare):
        return f"'{cell}"
    return cell


def line(cells: Iterable[str], delimiter: str) -> str:
    """Return one row as text with its line end."""
    return delimiter.join(map(_quoted, map(safe, cells))) + "\r\n"


def _quoted(cell: str) -> str:
    if _TO_QUOTE.search(cell) is None:
        return cell
    return '"' + cell.replace('"', '""') + '"'
