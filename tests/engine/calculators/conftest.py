"""Runs a calculator as a request would, and hands back its typed result with the ledger."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from tests.bundled import bundled

import latewood
from latewood import running
from latewood.provenance import Ledger
from latewood.wire import Context, struct_reader

Run = Callable[..., tuple[Any, Ledger]]


@pytest.fixture(scope="session")
def engine() -> latewood.Catalogue:
    return bundled()


@pytest.fixture(scope="session")
def run(engine) -> Run:
    def run(name: str, /, **fields: Any) -> tuple[Any, Ledger]:
        calculator = engine.calculator(name)
        ctx = Context(engine.shelf)
        inputs = struct_reader(calculator.inputs).read(fields, "", ctx)
        ctx.finish()
        ledger = Ledger(name, working=True)
        return running.run(calculator, inputs, ledger, engine.shelf), ledger

    return run


def spread(value: Any, count: int) -> list[Any]:
    if isinstance(value, np.ndarray):
        return value.tolist()  # type: ignore[no-any-return]  # a list of floats
    return list(value) if isinstance(value, list) else [value] * count


def weather(count: int = 96, start: str = "2026-05-04T00:00:00-04:00", **columns: Any) -> dict[str, Any]:
    units = {
        "air_temperature": "degC",
        "surface_temperature": "degC",
        "dew_point": "degC",
        "relative_humidity": "%",
        "rain": "mm",
        "rain_chance": "%",
        "wind_speed": "m/s",
        "irradiance": "W/m2",
        "cloud": "%",
    }
    usual = {"air_temperature": 20, "relative_humidity": 55, "rain": 0, "wind_speed": 2}
    made = {
        name: {"unit": units[name], "values": spread(value, count)}
        for name, value in {**usual, **columns}.items()
        if value is not None
    }
    return {"start": start, "step": "1 h", "stamp": "start", "columns": made}


@pytest.fixture(scope="session")
def ask(engine) -> Callable[..., Any]:
    """Ask cure-windows about hours of weather: constants or columns, over a fair and mild background."""

    def asked(coating: str = "clear-penetrating-oil", *, count: int = 96, more: Any = None, **columns: Any) -> Any:
        usual = {
            "coating": coating,
            "timezone": "America/New_York",
            "board_temperature": "air",
            "laying_time": "2 h",
            "weather": weather(count, **columns),
        }
        if "steps" in (more or {}):
            del usual["laying_time"]
        return engine.calculate("cure-windows", **{**usual, **(more or {})})

    return asked
