"""How a page of text is laid out, as it is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple, Self

from latewood.problems import Fault
from latewood.wire.options import CHOICES, given_twice, no_such_width, unknown_choice, unknown_parameters

#: The least and the most columns a page may have; a phone has 46.
WIDTHS: Final = (20, 400)


class Layout(NamedTuple):
    """How wide a page of text is, and whether it shows everything."""

    width: int = 80
    full: bool = False

    @classmethod
    def read(cls, pairs: Sequence[tuple[str, str]]) -> tuple[Self, list[Fault]]:
        """Return the layout that is asked for, and every fault in how it is."""
        least, most = WIDTHS
        faults = unknown_parameters([name for name, _ in pairs], (*cls._fields, *CHOICES))
        given = dict(pairs)
        for name in cls._fields:
            if sum(1 for other, _ in pairs if other == name) > 1:
                faults.append(given_twice(name))
        width, full = given.get("width", "80"), given.get("full", "false")
        wide = width.isascii() and width.isdigit() and len(width) <= len(str(most)) and least <= int(width) <= most
        if not wide:
            faults.append(no_such_width(width, least, most))
        if full not in CHOICES["working"]:
            faults.append(unknown_choice("full", full, CHOICES["working"]))
        return cls(int(width) if wide else 80, full == "true"), faults
