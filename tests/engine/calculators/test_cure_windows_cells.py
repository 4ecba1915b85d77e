"""The cells of a forecast by hand: chances of rain by day, what a wrong forecast shifts, and rain after a coat."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace

import numpy as np
import pytest

from latewood.calculators.cure_windows.compute.cells import Cells, DayChance
from latewood.calculators.cure_windows.compute.gates import LIKELY_LATER, Gating, coat_gating
from latewood.calculators.cure_windows.compute.search import after_coat
from latewood.weather import Hours
from latewood.weather.face import dew_point


def cells(*, air: float = 293.15, humidity: float = 1.0, rain: list[float] | None = None, count: int = 8) -> Cells:
    """Return hours alike but for the rain, on boards as warm as the air."""
    same = np.ones(count)
    hours = Hours(
        start=datetime(2026, 5, 4, tzinfo=UTC),
        step=3600.0,
        zone=UTC,
        air_temperature=air * same,
        relative_humidity=humidity * same,
    )
    return Cells(
        hours=hours,
        part=1,
        air=air * same,
        face=air * same,
        humidity=humidity * same,
        spread=air * same - dew_point(air * same, humidity * same),
        rain=None if rain is None else np.array(rain),
        wind=None,
        daylight=np.ones(count, dtype=bool),
        chance_limit=0.3,
        sheltered=False,
    )


def days(*chances: float) -> DayChance:
    day = np.repeat(np.arange(len(chances)), 24)
    return DayChance(chance=np.repeat(np.array(chances), 24), day=day, step=3600.0)


@pytest.mark.parametrize(
    ("begin", "end", "chance"),
    [
        (24.0, 36.0, 1 - 0.8**0.5),  # half of a day of 20 %
        (24.0, 48.0, 0.2),
        (36.0, 60.0, 1 - 0.8**0.5 * 0.5**0.5),  # half of it, and half of one of 50 %
        (12.0, 36.0, np.nan),  # half of a day of which nothing is known
        (23.5, 36.0, np.nan),
    ],
)
def test_chances_of_days_are_cut_by_the_hours_between(begin, end, chance):
    """Even spread: 1 − Π(1 − p)^(h/24). A day without a chance spoils only what reaches into it."""
    found = days(np.nan, 0.2, 0.5).between(np.array([begin]), np.array([end]))
    assert found == pytest.approx([chance], nan_ok=True)


def test_boards_warmer_with_the_air_are_no_further_from_its_dew_point():
    """In air that is full of water the dew point is the air's temperature, so both rise by the same."""
    assert cells().spread == pytest.approx(np.zeros(8), abs=1e-6)
    assert cells().wrong_by(warmer=2.0).spread == pytest.approx(np.zeros(8), abs=1e-6)


def test_drier_air_than_forecast_takes_the_dew_point_down():
    """At 20 °C and 80 % it is 16.4 °C, by the table of dew points of WMO-No. 8, annex 4.B: 3.6 K below the boards."""
    drier = cells().wrong_by(damper=-0.2)
    assert drier.spread == pytest.approx(np.full(8, 3.56), abs=0.05)
    assert drier.wrong_by(damper=0.2).spread == pytest.approx(np.zeros(8), abs=1e-6)


HOUR = 3600.0


@pytest.mark.parametrize(
    ("rain", "needs", "margins"),
    [
        # Laid in an hour, a coat is safe two hours later; rain comes in the sixth hour.
        ([0, 0, 0, 0, 0, 1, 0, 0], 2, [2, 1, 0, -1, -2, -3, np.nan, np.nan]),
        # Within these eight hours a coat is safe by their end, or it rains before, or nothing is known.
        ([0, 0, 0, 0, 0, 0, 0, 1], 6, [0, -1, -1, -1, -1, -1, -1, -1]),
        ([0, 0, 0, 0, 0, 0, 0, 0], 6, [1, 0, *[np.nan] * 6]),
        # Nothing is known of the fifth hour: it counts for coats that are not safe by then.
        ([0, 0, 0, 0, np.nan, 1, 0, 0], 2, [2, 1, *[np.nan] * 3, -3, np.nan, np.nan]),
    ],
)
def test_hours_between_a_safe_coat_and_the_next_rain(rain, needs, margins):
    family = SimpleNamespace(gates=lambda **_: {}, limits={}, stages={"rain_safe": (0.0, needs * HOUR)})
    clock = SimpleNamespace(total=np.arange(9) * HOUR)
    found = coat_gating(cells(rain=rain), family, clock, None)
    assert found.margins["rain-later"] / HOUR == pytest.approx(margins, nan_ok=True)
    assert found.passes.tolist() == [margin >= 0 for margin in margins]


@pytest.mark.parametrize(("stages", "cells_more"), [((), 4 + 8 + 6), (("next_coat",), 6)])
def test_gates_still_pass_until_the_second_coat_on_the_wet_is_wiped(stages, cells_more):
    """Cells of 15 min: 1 h until the second coat, 2 h to lay it, and 90 min until it is wiped."""
    family = SimpleNamespace(second_coat=(3600.0, 7200.0), wipe=(2700.0, 5400.0), stages=stages)
    steps = [SimpleNamespace(kind="coat", duration=7200.0)] * 2
    case = SimpleNamespace(r=SimpleNamespace(steps=steps, family=family), cells=SimpleNamespace(step=900.0))
    assert after_coat(case, 0) == cells_more
    assert after_coat(case, 1) == 6


def test_only_coats_are_wiped():
    family = SimpleNamespace(second_coat=None, wipe=(2700.0, 5400.0), stages=())
    steps = [SimpleNamespace(kind="sand", duration=7200.0), SimpleNamespace(kind="coat", duration=7200.0)]
    case = SimpleNamespace(r=SimpleNamespace(steps=steps, family=family), cells=SimpleNamespace(step=900.0))
    assert [after_coat(case, place) for place in (0, 1)] == [0, 6]


def test_the_chance_that_stops_a_coat_is_what_is_over_the_limit():
    """A chance of 50 % against a limit of 30 % has a margin of -20 points; the worst cell is the one that is told."""
    margins = {LIKELY_LATER: np.array([0.1, -0.2, -0.05])}
    [said] = Gating(margins, margins[LIKELY_LATER] >= 0, chance_limit=0.3).reasons(slice(0, 3))
    assert said.values == pytest.approx({"chance": 0.5, "limit": 0.3})
