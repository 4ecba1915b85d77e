"""Requests to paste, made from the examples the calculators declare."""

from __future__ import annotations

import shlex

import msgspec

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood_api.openapi import example_answer, first_output
from latewood_api.query import encode, flatten


def cell(lw: Catalogue, calculator: Calculator, base: str) -> str:
    """Return a command that reads one output as text."""
    first = first_output(calculator, example_answer(lw, calculator))
    address = f"{base}/v1/cell/{calculator.id}/{first}?{encode(flatten(calculator.example))}"
    return f"curl -s -w '\\n' {shlex.quote(address)}"


def row(calculator: Calculator, base: str) -> str:
    """Return a command that asks for the whole answer by query."""
    return f"curl -s -w '\\n' {shlex.quote(f'{base}/v1/row/{calculator.id}?{encode(flatten(calculator.example))}')}"


def calculate(calculator: Calculator, base: str) -> str:
    """Return a command that sends the request as JSON."""
    body = msgspec.json.encode(dict(calculator.example)).decode()
    return (
        f"curl -s -w '\\n' -X POST {base}/v1/calculate/{calculator.id} "
        f"-H 'Content-Type: application/json' -d {shlex.quote(body)}"
    )


def first_requests(lw: Catalogue, base: str) -> list[str]:
    """Return three commands that work against a server just started."""
    known = lw.calculators
    calculator = known.get("coverage") or next(iter(known.values()))
    return [cell(lw, calculator, base), row(calculator, base), calculate(calculator, base)]
