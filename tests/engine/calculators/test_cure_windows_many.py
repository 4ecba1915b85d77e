"""The model of weather windows on many decks at once: what each deck gets does not depend on its neighbours."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.compute.gates import clock_of, coat_gating
from latewood.calculators.cure_windows.resolve.family import family_of
from latewood.provenance import Ledger
from latewood.weather import Hours
from latewood.weather.face import dew_point

DECKS, HOURS = 7, 96


def cells(air, humidity, rain) -> Cells:
    hours = Hours(
        start=datetime(2026, 5, 4, tzinfo=UTC),
        step=3600.0,
        zone=UTC,
        air_temperature=np.zeros(HOURS),
        relative_humidity=np.ones(HOURS),
    )
    return Cells(
        hours=hours,
        part=1,
        air=air,
        face=air + 2,
        humidity=humidity,
        spread=air + 2 - dew_point(air, humidity),
        rain=rain,
        wind=np.full(air.shape, 2.0),
        daylight=np.ones(air.shape, dtype=bool),
        chance_limit=0.3,
        sheltered=False,
    )


@pytest.mark.parametrize("coating", ["clear-penetrating-oil", "waterborne-stain", "unknown"])
def test_many_decks_are_each_as_if_alone(engine, coating):
    draw = np.random.default_rng(3)  # invented weather: only agreement is asked for
    air = draw.uniform(278, 298, (DECKS, 1)) + draw.normal(0, 1, (DECKS, HOURS))
    humidity = draw.uniform(0.4, 0.9, (DECKS, HOURS))
    rain = np.where(draw.random((DECKS, HOURS)) < 0.03, 1e-3, 0.0)
    rain[0, 50] = np.nan
    family = family_of(engine.shelf.record("coating", coating), None, Ledger("test"), engine.shelf)

    def assessed(one: Cells) -> tuple[np.ndarray, dict[str, np.ndarray], np.ndarray]:
        clock = clock_of(one, family, night_counts=True)
        found = coat_gating(one, family, clock, None)
        return found.passes, dict(found.margins), clock.total

    passes, margins, total = assessed(cells(air, humidity, rain))
    assert passes.any() or coating != "clear-penetrating-oil"
    for deck in range(DECKS):
        alone = assessed(cells(air[deck], humidity[deck], rain[deck]))
        assert (passes[deck] == alone[0]).all()
        assert total[deck] == pytest.approx(alone[2])
        for gate, margin in alone[1].items():
            assert margins[gate][deck] == pytest.approx(margin, nan_ok=True, abs=1e-3), gate
