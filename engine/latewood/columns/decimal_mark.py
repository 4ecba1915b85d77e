"""Which decimal mark a table has, as far as its first rows show it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

Mark = Literal[".", ","]

_MARKED = re.compile(r"(?<![0-9.,])([0-9]*)([.,])([0-9]+)(?![0-9.,])")


def marks(cells: Iterable[str]) -> tuple[set[Mark], bool]:
    """Return the decimal marks that are certain in these cells, and whether a number could be read both ways.

    ``1.234`` and ``1,234`` are one and two tenths or one thousand; ``0.5``, ``12,5`` and ``1234.567`` are certain.
    """
    certain: set[Mark] = set()
    unsure = False
    for cell in cells:
        for whole, mark, rest in _MARKED.findall(cell):
            if len(rest) == 3 and 1 <= len(whole) <= 3 and whole[0] != "0":
                unsure = True
            else:
                certain.add(mark)
    return certain, unsure
