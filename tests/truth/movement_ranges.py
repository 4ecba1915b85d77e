"""How far boards of one wood differ in what they move."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.catalogue import Catalogue
from latewood.problems import InputProblem
from latewood.wire import Options


def lines(lw: Catalogue) -> Iterator[str]:
    """Yield the change of width of each wood whose shrinkage is known, of 140 mm from 12 to 16 %."""
    asked = {"width": "140 mm", "moisture_from": "12 %", "moisture_to": "16 %", "grain": "flat-sawn"}
    for wood in lw.shelf.records("species").values():
        try:
            answer = lw.answer("movement", {**asked, "species": wood.id}, Options())
        except InputProblem:
            yield f"{wood.id:34} not known"
            continue
        change, number = answer["result"]["width_change"], wood.shrinkage.get("tangential")
        own = number is not None and number.low is not None and number.high / number.low > 1.19 / 0.81
        by = "its own range" if own else "boards of any wood"
        yield f"{wood.id:34} {change['low']:5.2f} {change['value']:5.2f} {change['high']:5.2f} mm, by {by}"
