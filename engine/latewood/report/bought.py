"""What to buy as lines: finish by itself, small things of one condition in one list."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from latewood.report.lines import Lines
from latewood.report.model import Purchase


class Bought(Lines):
    """Writes what to buy."""

    def bought(self) -> Iterator[str]:
        """Yield what to buy: finish by itself, small things of one condition in one list."""
        bought = self.report.purchases
        yield from self._head("to-buy", bought)
        every = bought[0].conditions if len(bought) > 1 else ()
        shared = [said for said in every if all(said in one.conditions for one in bought)]
        yield from self._conditions(shared)
        bought = tuple(
            msgspec.structs.replace(one, conditions=tuple(said for said in one.conditions if said not in shared))
            for one in bought
        )
        small: dict[tuple[str, ...], list[Purchase]] = {}
        for one in bought:
            if one.kind == "finish" or self.fold.full:
                yield from self._purchase(one)
            else:
                small.setdefault(one.conditions, []).append(one)
        for conditions, rows in small.items():
            for group in dict.fromkeys(one.group for one in rows if one.group):
                mine = [one for one in rows if one.group == group]
                pieces = ", ".join(one.short for one in mine)
                yield from self._hang("", f"{group}: {pieces}", 2)
            counted = [one for one in rows if not one.group]
            if rest := [f"{one.title}: {one.amount}" for one in counted if one.kind != "waste-can"]:
                yield from self._hang("", "; ".join(rest), 2)
            if cans := [f"{one.amount} × {one.title}" for one in counted if one.kind == "waste-can"]:
                yield from self._hang("", "; ".join(cans), 2)
            yield from self._conditions(conditions)

    def _purchase(self, bought: Purchase) -> Iterator[str]:
        yield from self._sides(bought.title, bought.amount)
        if bought.details:
            yield from self._hang("  ", ", ".join(bought.details))
        yield from self._conditions(bought.conditions)
