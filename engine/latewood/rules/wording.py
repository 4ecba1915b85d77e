"""Ids and names in a row, as sentences hold them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from latewood.messages import Clause, Name, clause

#: Where a finding holds: nothing, or one clause that begins it.
Place = Sequence[Clause]


def words(items: Iterable[str]) -> str:
    """Return ids as words in a row."""
    return ", ".join(item.replace("-", " ") for item in items)


def joined(names: Sequence[str]) -> str:
    """Return names in a row, the last after "and"."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def place(name: str) -> Place:
    """Return how a finding about something that has a name begins."""
    return (clause("at-place", place=Name(name)),)
