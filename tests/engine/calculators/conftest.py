"""Runs a calculator as a request would, and hands back its typed result with the ledger."""

from collections.abc import Callable
from typing import Any

import pytest

import latewood
from latewood.provenance import Ledger
from latewood.wire import Context, struct_reader

Run = Callable[..., tuple[Any, Ledger]]


@pytest.fixture(scope="session")
def engine() -> latewood.Catalogue:
    return latewood.load()


@pytest.fixture(scope="session")
def run(engine) -> Run:
    def run(name: str, /, **fields: Any) -> tuple[Any, Ledger]:
        calculator = engine.calculator(name)
        ctx = Context(engine.shelf)
        inputs = struct_reader(calculator.inputs).read(fields, "", ctx)
        ctx.finish()
        ledger = Ledger(name, working=True)
        return calculator.function(inputs, ledger, engine.shelf), ledger

    return run
