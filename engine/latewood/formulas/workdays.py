"""Working time in days: a crew works by day, wood dries by night too.

Times in s from the first morning. A day's work begins when the day does, or when what was waited for is there; each day
that is worked on costs its setting up once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

DAY: Final = 24 * 3600.0
#: What is left of a day in which nothing is begun (s).
TOO_LITTLE: Final = 600.0


@dataclass(frozen=True)
class Block:
    """Work that goes on without waiting, then the wait after it, both in s."""

    work: float
    wait: float = 0.0


@dataclass(frozen=True)
class Course:
    """When work and wait are over, in s from the first morning, and how many days were worked on."""

    end: float
    days: int

    def on(self, day_length: float) -> int:
        """Return the working day on which the next thing can begin, the first being 1."""
        day, into = divmod(self.end, DAY)
        return int(day) + (2 if into > day_length - TOO_LITTLE else 1)


def course(blocks: Sequence[Block], day_length: float, set_up: float) -> Course:
    """Return how blocks of work and waiting fall on days; infinite where a wait is. ``set_up`` fits into a day."""
    now, days = 0.0, set[int]()
    for block in blocks:
        left = block.work
        while left > 0:
            day, into = divmod(now, DAY)
            start = into if day in days else into + set_up
            if start > day_length - TOO_LITTLE:
                now = (day + 1) * DAY
                continue
            days.add(int(day))
            done = min(left, day_length - start)
            left -= done
            now = day * DAY + start + done
        now += block.wait
        if math.isinf(now):
            break
    return Course(now, len(days))
