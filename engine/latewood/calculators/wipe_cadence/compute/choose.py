"""How wide a band may be, and which width is soonest done."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final, TypeAlias

from latewood.calculators.wipe_cadence.compute.crew_simulation import Simulated, WorkRates, left_of, simulate, tasks
from latewood.calculators.wipe_cadence.compute.dwell import Window, windows
from latewood.calculators.wipe_cadence.compute.run_segments import RunSegment, split
from latewood.calculators.wipe_cadence.fields import Limit, Verdict
from latewood.calculators.wipe_cadence.resolved import Crew, Resolved
from latewood.uncertainty import spread

#: A segment as it was worked, and how many courses might be wet in it.
Way: TypeAlias = tuple[Simulated, int]
#: Decimals of a second in which two ways take as long.
DIGITS: Final = 3
#: Widths of bands that are tried; one between two of the wide ones is hardly ever done sooner than both.
TRIED: Final = (*range(1, 13), 16, 20, 24, 32, 48, 64, 96)


@dataclass(frozen=True)
class Setting:
    """All that the bands depend on, but for the boards."""

    crew: Crew
    typical: WorkRates
    slow: WorkRates
    wipe: Window
    second: Window | None
    arm_reach: float
    ahead: int
    asked: int | None


def setting_of(r: Resolved) -> Setting:
    """Return what the bands depend on, of a request."""
    wipe, second = windows(r, r.temperature)
    typical, slow = (
        WorkRates(
            lay=pick(r.paces["lay"]),
            wipe=pick(r.paces["wipe"]),
            # Where nothing is cut in, no time goes by with it.
            cut=pick(r.paces["cut-in"]) if "cut-in" in r.paces else float("inf"),
            gap=pick(r.paces["gap"]) if "gap" in r.paces else None,
            turn=r.turn,
        )
        for pick in (spread.value, spread.low)
    )
    return Setting(r.crew, typical, slow, wipe, second, r.arm_reach, r.ahead, r.asked)


@dataclass(frozen=True)
class Chosen:
    """The bands of one segment: as wide as is soonest done, and the widest there may be.

    Where a wiper follows with cloths and boards are cut in and laid one by one, a band is as many as may be wet.
    """

    verdict: Verdict
    simulated: Simulated | None
    wet: int
    bands: tuple[int, ...]
    most: int
    typical_most: int
    limited_by: Limit


def reached(segment: RunSegment, arm_reach: float) -> int:
    """Return how many wet courses an arm reaches across; one that is wider is done from its end."""
    return max(int(arm_reach / segment.courses[0].pitch + 1e-9), 1)


def choose(segment: RunSegment, setting: Setting, longest: float = math.inf) -> Chosen:
    """Return the bands that are soonest done at the typical pace and still in time at the slow one.

    None of them where those take longer than ``longest`` (s), as where none is ever in time.
    """
    count, within = len(segment.courses), reached(segment, setting.arm_reach)
    if setting.asked is not None and min(setting.asked, count) > within:
        return Chosen("no", None, 0, (), 0, 0, "reach")
    trial = _Trial(segment, setting, within)
    typical_most = trial.widest(setting.typical, min(within, count))
    most = trial.widest(setting.slow, typical_most)
    limit = _limit(most or typical_most, count, within, setting)
    best = trial.soonest(most or typical_most, most > 0, longest)
    if best is None:
        return Chosen("no", None, 0, (), 0, 0, limit)
    simulated, wet = best
    singly = setting.crew.wipers and max(simulated.sizes) == 1
    # Laid one by one, boards are not stopped at: a pause comes when no more may be wet.
    rests = split(count, wet, segment.breaks) if segment.breaks else _full(count, wet)
    bands = rests if singly else simulated.sizes
    return Chosen("yes" if most else "at-risk", simulated, wet, bands, most, typical_most, limit)


def _rank(way: Way) -> tuple[float, int]:
    return round(way[0].duration, DIGITS), -way[1]


def _worse(best: Way) -> float:
    """Return the time (s) from which on no way is better, whatever rounding makes of both."""
    return best[0].duration + 10**-DIGITS


class _Trial:
    """One segment, worked in many ways; none twice."""

    def __init__(self, segment: RunSegment, setting: Setting, within: int) -> None:
        self.segment, self.setting, self.within = segment, setting, within
        self.tasks = {rates: tasks(segment, setting.crew, rates) for rates in (setting.typical, setting.slow)}
        self.done: dict[tuple[tuple[int, ...], int, WorkRates], Simulated | None] = {}

    def simulate(
        self, sizes: tuple[int, ...], wet: int, rates: WorkRates, longest: float = math.inf
    ) -> Simulated | None:
        """Work the segment in bands of these sizes; None where a course is late or it is not done by ``longest``."""
        key = sizes, wet, rates
        if key in self.done:
            return self.done[key]
        s = self.setting
        way = self.tasks[rates], sizes, wet, s.crew, rates.turn, s.wipe, s.second, s.ahead
        found = simulate(*way, longest=longest, left=self.left if longest < math.inf else ())
        if found is not None or longest == math.inf:
            self.done[key] = found
        return found

    @cached_property
    def left(self) -> list[float]:
        """What the appliers have still to do, at the typical pace, once so many courses are done."""
        s = self.setting
        return left_of(self.tasks[s.typical], s.crew, s.second, not (s.crew.cutters or s.ahead))

    def works(self, sizes: tuple[int, ...], wet: int, rates: WorkRates) -> bool:
        """Say whether no course is late."""
        return self.simulate(sizes, wet, rates) is not None

    def widest(self, rates: WorkRates, top: int) -> int:
        """Return the most courses a full band may have, of up to ``top``; 0 if even one is late."""
        if self.setting.asked is not None:
            asked = min(self.setting.asked, top)
            return asked if asked and self._holds(asked, rates) else 0
        if top and self._holds(top, rates):
            return top
        works, late = 0, top
        while late - works > 1:
            middle = (works + late) // 2
            works, late = (middle, late) if self._holds(middle, rates) else (works, middle)
        return works

    def soonest(self, most: int, slow_too: bool, longest: float) -> Way | None:
        """Return the way that is done first of those in time at the typical pace, and at the slow one if that is asked.

        Bands as alike as can be; full ones only where none of those is in time at the typical pace.
        """
        if most == 0:
            return None
        count = len(self.segment.courses)
        widths = (
            [most] if self.setting.asked is not None else sorted({*(w for w in TRIED if w < most), most}, reverse=True)
        )
        alike = [
            (sizes, wet) for w in widths for sizes in [split(count, w, self.segment.breaks)] for wet in self._wet(sizes)
        ]
        found, in_time = self._first([*alike, *(one for w in widths for one in self._singly(w))], slow_too, longest)
        if in_time:
            return found
        full = _full(count, most)
        return self._first([(full, wet) for wet in self._wet(full)], slow_too, longest)[0]

    def _first(
        self, ways: Iterable[tuple[tuple[int, ...], int]], slow_too: bool, longest: float
    ) -> tuple[Way | None, bool]:
        """Return the way that is done first, if by ``longest``; and whether any is in time at the typical pace."""
        best: Way | None = None
        given_up: list[tuple[tuple[int, ...], int]] = []
        in_time = False
        for sizes, wet in dict.fromkeys(ways):
            simulated = self.simulate(sizes, wet, self.setting.typical, longest)
            if simulated is None:
                given_up.append((sizes, wet))
                continue
            in_time, way = True, (simulated, wet)
            if best is not None and _rank(way) >= _rank(best):
                continue
            if not slow_too or self.works(sizes, wet, self.setting.slow):
                best, longest = way, min(longest, _worse(way))
        # One that is given up as too long may be in time.
        return best, in_time or any(self.works(*way, self.setting.typical) for way in given_up)

    def _holds(self, width: int, rates: WorkRates) -> bool:
        """Say whether full bands of a width are in time, or as many courses wet that are laid one by one."""
        sizes = _full(len(self.segment.courses), width)
        ways = [*((sizes, wet) for wet in self._wet(sizes)), *self._singly(width)]
        return any(self.works(*way, rates) for way in ways)

    def _singly(self, width: int) -> Iterator[tuple[tuple[int, ...], int]]:
        """Yield courses that are cut in and laid one by one, with a wiper who follows with cloths."""
        if self.setting.crew.wipers:
            yield (1,) * len(self.segment.courses), width

    def _wet(self, sizes: tuple[int, ...]) -> Iterator[int]:
        """Yield how many courses to let be wet at once: one band, which holds appliers back, or all one reaches."""
        yield max(sizes)
        if self.setting.crew.wipers and self.within != max(sizes):
            yield self.within


def _full(count: int, width: int) -> tuple[int, ...]:
    rest = count % width
    return (*[width] * (count // width), *([rest] if rest else []))


def _limit(most: int, count: int, within: int, setting: Setting) -> Limit:
    if setting.asked is not None and most:
        return "asked"
    if most == count:
        return "deck"
    return "reach" if most == within else "deadline"
