"""Measure weather windows: one deck through the calculator, many decks through the same model in one call.

Run: python -m tests.bench.weather. Both are two weeks of hours. The model of many decks is the calculator's own: face
of the boards, cure clock, every gate of the family, and rain before each coat is safe from it; beside it the same work
deck by deck, and a plain copy of the arrays as the floor that no arithmetic can go below.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import numpy as np

import latewood
from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.compute.gates import clock_of, coat_gating
from latewood.calculators.cure_windows.resolve.family import family_of
from latewood.calculators.cure_windows.resolved import Family
from latewood.formulas import surface
from latewood.provenance import Ledger
from latewood.weather import Hours
from latewood.weather.face import dew_point
from latewood.weather.hours import Array
from latewood.wire import Options

HOURS = 336
#: Decks in one pass: their arrays stay in the cache of one core.
BLOCK = 32


def fortnight(decks: int, seed: int = 5) -> dict[str, Array]:
    """Return made-up weather of many decks, SI: warm days, cool nights, a shower now and then."""
    draw = np.random.default_rng(seed)
    hour = np.arange(HOURS) % 24
    warm = draw.uniform(281, 293, (decks, 1)) + 6 * np.cos((hour - 15) / 24 * 2 * np.pi)
    warm = warm + draw.normal(0, 0.5, (decks, HOURS))
    damp = np.clip(0.62 - 0.02 * (warm - warm.mean(axis=1, keepdims=True)), 0.2, 0.98)
    rain = np.where(draw.random((decks, HOURS)) < 0.01, 1e-3, 0.0)
    light = np.maximum(0, 800 * np.cos((hour - 12.5) / 12 * np.pi)) * draw.uniform(0.2, 1, (decks, 1))
    wind = draw.uniform(0.5, 5, (decks, HOURS))
    return {"air": warm, "humidity": damp, "rain": rain, "light": light, "wind": wind}


def hours_of_one(weather: dict[str, Array]) -> Hours:
    return Hours(
        start=datetime(2026, 5, 4, tzinfo=UTC),
        step=3600.0,
        zone=UTC,
        air_temperature=weather["air"][0],
        relative_humidity=weather["humidity"][0],
    )


def starts(weather: dict[str, Array], family: Family, hours: Hours) -> Array:
    """Return at which hours a coat may be laid, on every deck."""
    damp = dew_point(weather["air"], weather["humidity"])
    face = surface.board_surface_temperature(
        air_temperature=weather["air"],
        irradiance=weather["light"],
        sky=surface.sky_emissivity(dew_point=damp, cloud=0.3),
        convection=surface.convection(wind_speed=weather["wind"]),
        absorptance=0.65,
        emissivity=0.9,
        below=0.0,
    )
    cells = Cells(
        hours=hours,
        part=1,
        air=weather["air"],
        face=face,
        humidity=weather["humidity"],
        spread=face - damp,
        rain=weather["rain"],
        wind=weather["wind"],
        daylight=weather["light"] > 0,
        chance_limit=0.3,
        sheltered=False,
    )
    clock = clock_of(cells, family, night_counts=True)
    return coat_gating(cells, family, clock, None).passes & cells.daylight


def in_blocks(weather: dict[str, Array], family: Family, hours: Hours, block: int = BLOCK) -> Array:
    """Return the same of many decks, as many at a time as fit into the cache."""
    decks = len(weather["air"])
    parts = [
        starts({name: column[at : at + block] for name, column in weather.items()}, family, hours)
        for at in range(0, decks, block)
    ]
    return np.concatenate(parts)


def request() -> dict[str, Any]:
    """Return a forecast for one deck, as a client sends it."""
    one = fortnight(1)
    columns = {
        "air_temperature": {"unit": "degC", "values": (one["air"][0] - 273.15).round(1).tolist()},
        "relative_humidity": {"unit": "%", "values": (one["humidity"][0] * 100).round(0).tolist()},
        "rain": {"unit": "mm", "values": (one["rain"][0] * 1000).tolist()},
        "irradiance": {"unit": "W/m2", "values": one["light"][0].round(0).tolist()},
        "wind_speed": {"unit": "m/s", "values": one["wind"][0].round(1).tolist()},
    }
    weather = {"start": "2026-05-04T00:00:00-04:00", "step": "1 h", "stamp": "start", "columns": columns}
    place = {"latitude": "41.2 deg", "longitude": "-73.9 deg", "timezone": "America/New_York"}
    return {"coating": "clear-penetrating-oil", "weather": weather, "laying_time": "3 h", **place}


def timed(call: Callable[[], object], repeat: int) -> dict[str, float]:
    call()
    runs = []
    for _ in range(repeat):
        before = time.process_time()
        call()
        runs.append(time.process_time() - before)
    return {"median": statistics.median(runs), "least": min(runs)}


def figures(decks: int, repeat: int) -> dict[str, Any]:
    """Return CPU seconds, and how many times faster many decks are in one call."""
    lw = latewood.load()
    family = family_of(lw.shelf.record("coating", "clear-penetrating-oil"), None, Ledger("bench"), lw.shelf)
    weather = fortnight(decks)
    hours = hours_of_one(weather)
    few = {name: column[:200] for name, column in weather.items()}
    together = in_blocks(few, family, hours)
    apart = in_blocks(few, family, hours, 1)
    assert (together == apart).all(), "many decks in one call differ from each alone"
    asked = request()
    found = {
        "one deck through the calculator, s": timed(lambda: lw.answer("cure-windows", asked, Options()), repeat * 3),
        f"{decks} decks in one call, s": timed(lambda: in_blocks(weather, family, hours), repeat),
        "the same deck by deck, s": timed(lambda: in_blocks(few, family, hours, 1), repeat),
        "a copy of the arrays, s": timed(lambda: [column.copy() for column in weather.values()], repeat),
    }
    alone = found["the same deck by deck, s"]
    for name in alone:
        alone[name] *= decks / len(few["air"])
    many = found[f"{decks} decks in one call, s"]["median"]
    found["million deck-hours a second"] = {"median": decks * HOURS / many / 1e6}
    return found


def main() -> None:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--decks", type=int, default=10_000)
    parser.add_argument("--repeat", type=int, default=5)
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    found = figures(chosen.decks, chosen.repeat)
    if chosen.json:
        print(json.dumps(found))
        return
    for name, figure in found.items():
        print(f"{name}: " + ", ".join(f"{key} {value:.4g}" for key, value in figure.items()))


if __name__ == "__main__":
    main()
