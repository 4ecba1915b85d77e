"""Which gates pass, cell by cell: those of the model, and rain before a coat has become safe from it.

Cells are the last axis; more axes before it are more decks, which one call serves as well as one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.gate_messages import fails, unknown
from latewood.calculators.cure_windows.resolved import Family, Resolved
from latewood.formulas import clockwork
from latewood.messages import Clause, Share, Time, clause
from latewood.weather.hours import Array, Flags

#: Gates that know nothing where rain, or wind, was not recorded.
_OF_RAIN: Final = frozenset({"rain", "wet-before", "rain-later"})
#: How likely rain is before a coat is safe from it, and in the dry time before it, by the chances of days.
LIKELY_LATER: Final = "rain-likely-later"
LIKELY_BEFORE: Final = "rain-likely-before"

#: Limits of the boards a coat is laid on: what lies there already is wiped in time for how warm they get.
_OF_LAYING: Final = frozenset({"hot", "hot-later"})

#: What a margin is divided by to compare gates of different kinds: a day-ahead forecast's error, in SI. Judgement.
SCALE: Final = {
    "cold": 2.0,
    "cold-later": 2.0,
    "hot": 4.0,
    "hot-later": 4.0,
    "dew": 2.0,
    "humid": 0.10,
    "wind": 2.0,
    "rain-later": 6 * 3600.0,
    LIKELY_LATER: 0.20,
}


@dataclass(frozen=True)
class Gating:
    """Margins by gate, SI, negative outside, NaN unknown; and whether a cell passes all of them.

    ``safe_after`` is the time in s until a coat laid in a cell is safe from rain, infinite where it never is;
    ``safe_needs`` is that time at the standard state.
    """

    margins: Mapping[str, Array]
    passes: Flags
    safe_after: Array | None = None
    safe_needs: float = 0.0
    chance_limit: float = 1.0

    def reasons(self, cells: slice) -> list[Clause]:
        """Return what stops work in these cells, and by how much."""
        return [self._fails(gate, cells) for gate in self.failing(cells)] + [
            unknown(gate) for gate in self.unknown(cells)
        ]

    def _fails(self, gate: str, cells: slice) -> Clause:
        worst = int(np.nanargmin(self.margins[gate][cells])) + cells.start
        if gate == LIKELY_LATER:
            chance = self.chance_limit - float(self.margins[gate][worst])
            return clause("rain-too-likely", chance=Share(chance), limit=Share(self.chance_limit))
        said = fails(gate, float(self.margins[gate][worst]))
        if gate != "rain-later" or self.safe_after is None:
            return said
        after, needs = float(self.safe_after[worst]), Time(self.safe_needs)
        if np.isinf(after):
            return clause("never-safe-from-rain", needs=needs)
        return clause("safe-from-rain-late", fails=said, needs=needs, here=Time(after))

    def failing(self, cells: slice) -> tuple[str, ...]:
        """Return the gates that fail somewhere in these cells."""
        with np.errstate(invalid="ignore"):
            return tuple(gate for gate, margin in self.margins.items() if (margin[cells] < 0).any())

    def unknown(self, cells: slice) -> tuple[str, ...]:
        """Return the gates that do not fail there, and of which the weather does not tell everywhere."""
        failing = self.failing(cells)
        return tuple(g for g, m in self.margins.items() if g not in failing and np.isnan(m[cells]).any())

    def of_wiping(self) -> Gating:
        """Return the gates that hold for what was laid before and is wiped now."""
        margins = {gate: margin for gate, margin in self.margins.items() if gate not in _OF_LAYING}
        return gating(margins, self.passes.shape, self.safe_after, self.safe_needs, self.chance_limit)

    def slack(self) -> Array:
        """Return how far inside the tightest gate each cell lies, in errors of a forecast; unknown is far outside."""
        scaled = [margin / SCALE[gate] for gate, margin in self.margins.items() if gate in SCALE]
        least = np.min(scaled, axis=0) if scaled else np.full(len(self.passes), 9.0)
        found: Array = np.where(self.passes, np.nan_to_num(least, nan=-9.0), -9.0)
        return found


@dataclass(frozen=True)
class Clock:
    """Running totals of the cure clocks, in s at the standard state: slow and fast, stopped by dew and rain."""

    slow: Array
    total: Array
    hand_over: Array


@dataclass(frozen=True, kw_only=True)
class ForecastCase:
    """All that the search needs, of the weather as given or as a wrong forecast has it.

    By kind of work: which gates pass, when it may be done, and when what was laid may be wiped.
    """

    r: Resolved
    cells: Cells
    clock: Clock
    gatings: dict[str, Gating]
    may: dict[str, Flags]
    wipes: dict[str, Flags]


def case_of(r: Resolved, cells: Cells, at_work: Flags) -> ForecastCase:
    """Run the clocks over the weather, and hold it against the gates of every kind of work."""
    clock = clock_of(cells, r.family, night_counts=r.night_counts)
    gatings = {"coat": coat_gating(cells, r.family, clock, r.dry_so_far)}
    for kind, (model, limits) in r.other_work.items():
        gatings[kind] = gating(gating_of(cells, model, limits, r.dry_so_far), cells.air.shape)
    may = {kind: one.passes & at_work for kind, one in gatings.items()}
    wipes = {kind: one.of_wiping().passes & at_work for kind, one in gatings.items()}
    return ForecastCase(r=r, cells=cells, clock=clock, gatings=gatings, may=may, wipes=wipes)


def clock_of(cells: Cells, family: Family, *, night_counts: bool) -> Clock:
    """Run the family's clock over the weather. Dew and rain stop it; for the hand-over also the night, if asked."""
    slow, _ = family.clock(
        surface_temperature=cells.face,
        air_temperature=cells.air,
        relative_humidity=cells.humidity,
        coldest=family.coldest,
    )
    with np.errstate(invalid="ignore"):
        stopped = ~(cells.spread > 0)
    if cells.dry_spell is not None:
        stopped |= cells.dry_spell
    rate = np.where(stopped, 0.0, np.nan_to_num(np.asarray(slow, float)))
    by_day = rate if night_counts else np.where(cells.daylight, rate, 0.0)
    return Clock(rate, clockwork.running(rate * cells.step), clockwork.running(by_day * cells.step))


def gating_of(
    cells: Cells, model: Callable[..., Any], limits: Mapping[str, float], dry_so_far: float | None
) -> dict[str, Array]:
    """Return the margins of a model's gates. What lay before the series is dry for as long as ``dry_so_far`` says."""
    # A gate may look back beyond the first cell: the time before is put in front, and taken off again.
    ahead = int(np.ceil(limits.get("dry_before", 0.0) / cells.step - 1e-9))
    dry = ahead if dry_so_far is None else min(int(dry_so_far / cells.step + 1e-9), ahead)

    def longer(values: Array, before: Array | None = None) -> Array:
        first = values[..., :1] if before is None else before
        return np.concatenate((np.broadcast_to(first, (*values.shape[:-1], ahead)), values), axis=-1)

    before = np.concatenate((np.full(ahead - dry, np.nan), np.zeros(dry)))
    margins = model(
        air_temperature=longer(cells.air),
        surface_temperature=longer(cells.face),
        relative_humidity=longer(cells.humidity),
        dew_point_spread=longer(cells.spread),
        rain=longer(np.zeros(cells.air.shape) if cells.rain is None else cells.rain, before),
        wind_speed=longer(np.zeros(cells.air.shape) if cells.wind is None else cells.wind),
        step=cells.step,
        limits=limits,
    )
    return {
        gate: np.asarray(margin, float)[..., ahead:]
        for gate, margin in margins.items()
        if not (gate in _OF_RAIN and cells.rain is None) and not (gate == "wind" and cells.wind is None)
    }


def coat_gating(cells: Cells, family: Family, clock: Clock, dry_so_far: float | None) -> Gating:
    """Return the gates of coating, with rain before the coat laid in a cell is safe from it."""
    margins = gating_of(cells, family.gates, family.limits, dry_so_far)
    if cells.rain is None:
        return gating(margins, cells.air.shape)
    laid = np.arange(len(cells), dtype=float) + 1
    # The longer figure, as the hand-over says it: between the two rain may or may not do harm.
    needs = family.stages["rain_safe"][1]
    safe = clockwork.reached(clock.total, laid, needs)
    margins["rain-later"] = _rain_later(cells, cells.rain, safe)
    if cells.day_chance is not None:
        begins = laid - 1
        margins[LIKELY_LATER] = cells.chance_limit - cells.day_chance.between(begins, safe)
        if cells.look_back:
            before = family.limits.get("dry_before", 0.0) / cells.step
            margins[LIKELY_BEFORE] = cells.chance_limit - cells.day_chance.between(begins - before, begins)
    return gating(margins, cells.air.shape, (safe - laid) * cells.step, needs, cells.chance_limit)


def gating(
    margins: Mapping[str, Array],
    shape: tuple[int, ...],
    safe_after: Array | None = None,
    safe_needs: float = 0.0,
    chance_limit: float = 1.0,
) -> Gating:
    """Return the margins with whether all of them are known and met."""
    passes = np.ones(shape, dtype=bool)
    with np.errstate(invalid="ignore"):
        for margin in margins.values():
            passes &= margin >= 0
    return Gating(margins, passes, safe_after, safe_needs, chance_limit)


def _rain_later(cells: Cells, rain: Array, safe: Array) -> Array:
    """Return by how many s each coat is safe before the next rain; NaN where that is not known.

    That is where the weather ends before the coat is safe, or hours come first of whose rain nothing is known. Where
    rain comes before the coat is safe within the series at all, the margin counts to the end of the series.
    """
    count = len(cells)
    rains, unknown = _following(rain > 0), _following(np.isnan(rain))
    never = np.isinf(safe)
    reached = np.where(never, float(count), safe)
    open_ended = (never & (rains >= count)) | ((unknown < reached) & (unknown < rains))
    found: Array = np.where(open_ended, np.nan, (rains - reached) * cells.step)
    return found


def _following(flags: Flags) -> Array:
    """Return the place of the first cell at or after each one for which the flag holds; beyond the end if none."""
    count = flags.shape[-1]
    places = np.where(flags, np.arange(count), count).astype(float)
    found: Array = np.minimum.accumulate(places[..., ::-1], axis=-1)[..., ::-1]
    return found
