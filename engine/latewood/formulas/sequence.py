"""Which grades to sand with, in order: the fewest from the first to the last whose steps are small enough.

Production goes coarse to fine only. Of several ways with as few grades the one with the smallest largest step is taken.
Where the stock allows no way at all, the answer is which grades to fetch: as few as possible.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

#: Ratios are compared with this room for rounding, so that a step equal to the limit is within it.
ROUNDING = 1e-9


@dataclass(frozen=True)
class Sequence:
    """Grades from coarse to fine, those not in stock, and the largest ratio of two that follow one another."""

    grades: tuple[str, ...]
    fetch: tuple[str, ...]
    worst_ratio: float


def shortest(
    start: str, last: str, sizes: Mapping[str, float], stock: Collection[str], largest_ratio: float
) -> Sequence | None:
    """Return the best sequence from ``start`` to ``last``; None where even all of ``sizes`` allow no such steps.

    ``sizes`` gives the grain size (m) of every grade there is; ``stock`` the ids at hand. Best is: fewest grades to
    fetch, then fewest grades, then the smallest largest ratio; so a way that needs nothing fetched is always taken
    before one that does. A start finer than the last is no sequence: None.
    """
    if sizes[start] < sizes[last] * (1 - ROUNDING):
        return None
    between = [id for id, size in sizes.items() if sizes[last] * (1 - ROUNDING) <= size <= sizes[start]]
    # Coarse to fine; of two grades of one size the one in stock first, then by name, so that the order is always one.
    ladder = sorted((id for id in between if id not in (start, last)), key=lambda id: (-sizes[id], id not in stock, id))
    ladder = [start] if start == last else [start, *ladder, last]
    missing = [int(id not in stock) for id in ladder]
    best: list[tuple[int, int, float, tuple[int, ...]] | None] = [(missing[0], 1, 1.0, (0,))]
    for place in range(1, len(ladder)):
        ways = []
        for before, found in enumerate(best):
            ratio = sizes[ladder[before]] / sizes[ladder[place]]
            if found is not None and ratio <= largest_ratio * (1 + ROUNDING):
                to_fetch, count, worst, way = found
                ways.append((to_fetch + missing[place], count + 1, max(worst, ratio), (*way, place)))
        best.append(min(ways, default=None))
    if (found := best[-1]) is None:
        return None
    grades = tuple(ladder[place] for place in found[3])
    return Sequence(grades, tuple(id for id in grades if id not in stock), found[2])


def trials(sequence: Sequence) -> tuple[str, ...]:
    """Return the grades in the order of a trial: fine to coarse, until one is found that does the work."""
    return sequence.grades[::-1]
