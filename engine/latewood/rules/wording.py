"""How a finding says where it holds."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.messages import Clause, Name, clause

#: Where a finding holds: nothing, or one clause that begins it.
Place = Sequence[Clause]


def place(name: str) -> Place:
    """Return how a finding about something that has a name begins."""
    return (clause("at-place", place=Name(name)),)
