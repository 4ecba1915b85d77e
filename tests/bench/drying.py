"""Measure the model of drying in a year of hourly weather: CPU seconds, and ratios to a yardstick.

Run: python -m tests.bench.drying. The yardstick is the least a step costs in NumPy: thirty operations on the cells of
one board, an hour at a time.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable

import numpy as np

import latewood
from latewood.formulas.drying import CELLS, Air, Boards, dry
from latewood.formulas.drying_closed import Wetted
from latewood.wire import Options

YEAR = 8760


def main() -> None:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    least = yardstick(chosen.rounds)
    years = {count: year(count, chosen.rounds) for count in (1, 10, 100, 1000)}
    few, many = (answer(chosen.rounds, zones) for zones in (4, 60))
    figures = {
        "yardstick, s": least,
        **{f"a year, {count} boards, s": spent for count, spent in years.items()},
        **{f"a year, {count} boards, ratio": spent / least for count, spent in years.items()},
        "closed form, one board, ms": closed_form(chosen.rounds),
        "moisture-readiness with a year of weather, s": answer(chosen.rounds),
        "moisture-readiness, sixty zones beside four, ratio": many / few,
    }
    if chosen.json:
        print(json.dumps(figures))
        return
    for name, figure in figures.items():
        print(f"{name}: {figure:.4g}")


def yardstick(rounds: int) -> float:
    """Return the seconds of a year of bare operations."""
    cells = np.linspace(0.1, 0.2, CELLS)[None, :]

    def operate() -> None:
        for _ in range(YEAR):
            for _ in range(30):
                np.multiply(cells, cells)

    return _median(operate, rounds)


def weather() -> Air:
    """Return a year of a cosine day in a cosine year, with rain on 120 days."""
    hour = np.arange(YEAR)
    wave = np.cos(2 * np.pi * (hour % 24 - 15) / 24)[:, None]
    season = np.cos(2 * np.pi * (hour / YEAR - 0.55))[:, None]
    temperature = 283.15 + 8 * season + 5 * wave
    humidity = 0.7 - 0.15 * wave
    rain = np.zeros((YEAR, 1))
    for day in range(0, 360, 3):
        rain[day * 24 + 8 : day * 24 + 11] = 1.0
    exchange = np.full((YEAR, 1), 5e-8)
    return Air(3600.0, temperature, humidity, temperature, exchange, exchange, rain)


def year(count: int, rounds: int) -> float:
    """Return the seconds of a year for boards of many densities."""
    air, density = weather(), np.linspace(400, 900, count)

    def row(value: float) -> np.ndarray:
        return np.full(count, value)

    boards = Boards(density, row(0.025), row(0.13), row(0.4), row(0.001), row(0.1), row(0), row(0), row(1.0))
    return _median(lambda: dry(boards, air, outer=0.006), rounds)


def closed_form(rounds: int) -> float:
    """Return the milliseconds of one answer in closed form."""
    board = Wetted(
        basic_density=450.0,
        thickness=0.025,
        core=0.12,
        cap=0.6,
        depth=0.003,
        film=0.1,
        temperature=293.15,
        relative_humidity=0.65,
        exchange=5e-8,
        exchange_under=5e-8,
    )
    return _median(lambda: [board.time_until(0.15, 0.006) for _ in range(50)], rounds) / 50 * 1000


def answer(rounds: int, zones: int = 1) -> float:
    """Return the seconds of a whole answer for some zones with a year of hourly weather."""
    lw, air = latewood.load(), weather()
    columns = {
        "air_temperature": ("degC", air.temperature[:, 0] - 273.15),
        "relative_humidity": ("%", air.relative_humidity[:, 0] * 100),
        "rain": ("mm", air.water[:, 0]),
    }
    asked = {
        "zones": [{"id": f"z{place}", "weathered": True} for place in range(zones)],
        "species": "ipe",
        "coating": "clear-penetrating-oil",
        "weather": {
            "start": "2025-01-01T00:00:00Z",
            "step": "1 h",
            "stamp": "start",
            "columns": {name: {"unit": unit, "values": values.tolist()} for name, (unit, values) in columns.items()},
        },
        "now": "2025-07-01T12:00:00Z",
        "start": "2025-07-03T09:00:00Z",
        "readings": [
            {"zone": f"z{place}", "reading": "17 %", "pin_depth": "7 mm", "taken": "2025-07-01T11:00:00Z"}
            for place in range(zones)
        ],
    }
    return _median(lambda: lw.answer("moisture-readiness", asked, Options()), rounds)


def _median(call: Callable[[], object], rounds: int) -> float:
    seconds = []
    for _ in range(rounds):
        started = time.process_time()
        call()
        seconds.append(time.process_time() - started)
    return statistics.median(seconds)


if __name__ == "__main__":
    main()
