"""Published checks: what the engine computes beside what the sources print."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import msgspec

from latewood.catalogue import Catalogue
from latewood.declare import dimension_of
from latewood.problems import InputProblem, NotFound
from latewood.quantities import lumber, number_text, units
from latewood.uncertainty import spread
from latewood.wire import Options, outputs

#: What a check may be held against that lies outside this project (design §9).
OUTSIDE: Final = frozenset({"published", "reference-library", "hand-worked"})


class Outcome(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One cell of a check: what the source says, what we compute, and whether they agree."""

    id: str
    calculator: str
    against: str
    source: str
    where: str
    expected: str
    computed: str
    unit: str = ""
    tolerance: str
    reason: str
    passed: bool


@dataclass(frozen=True)
class Report:
    """All outcomes of a run."""

    checks: list[Outcome]
    computed_with: Mapping[str, Any]
    #: Plugins that could not be used, whose checks are not among these.
    left_out: Sequence[Mapping[str, Any]] = ()

    @property
    def failed(self) -> int:
        """How many missed."""
        return sum(not check.passed for check in self.checks)

    @property
    def outside(self) -> int:
        """How many groups (same calculator, source and place) are held against something outside, and all pass."""
        groups: dict[tuple[str, str, str], bool] = {}
        for check in self.checks:
            if check.against in OUTSIDE:
                key = (check.calculator, check.source, check.where)
                groups[key] = groups.get(key, True) and check.passed
        return sum(groups.values())

    def lines(self) -> Iterator[str]:
        """Yield the report as ``latewood verify`` prints it."""
        for check in self.checks:
            mark = "ok  " if check.passed else "MISS"
            yield f"{mark} {check.id}: {check.computed} {check.unit} (expected {check.expected}, ± {check.tolerance})"
        for plugin in self.left_out:
            yield f"plugin {plugin['id']} is left out: {plugin['error']}"
        yield f"{len(self.checks)} checks, {self.outside} outside groups, {self.failed} failed"

    def as_dict(self) -> dict[str, Any]:
        """Return the report as ``latewood verify --format json`` prints it."""
        return {
            "checks": self.checks,
            "outside": self.outside,
            "failed": self.failed,
            "left_out": [{"id": one["id"], "error": one["error"]} for one in self.left_out],
            "computed_with": dict(self.computed_with),
        }


def verify(engine: Catalogue) -> Report:
    """Run every check that is installed."""
    checks = engine.shelf.records("check").values()
    outcomes = [outcome for check in checks for outcome in _run(engine, check)]
    left_out = [one for one in engine.health()["plugins"] if "error" in one]
    return Report(outcomes, engine.computed_with, left_out)


def _run(engine: Catalogue, check: Any) -> Iterator[Outcome]:
    for case in check.cases:
        tolerance = case.tolerance or check.tolerance
        for output, expected in case.expected.items():
            try:
                computed = _compute(engine, check.calculator, case.input, output)
                passed, shown, unit = _compare(computed, expected, tolerance)
            except Exception as error:  # whatever a plugin's check or calculator does, the other checks are run
                told = isinstance(error, InputProblem | NotFound | ValueError)
                reason = str(error) if told else f"{type(error).__name__}: {error}"
                passed, shown, unit = False, f"refused: {reason}".replace("\n", "; "), ""
            many = len(case.expected) > 1
            yield Outcome(
                id=f"{check.id}/{case.id}" + (f"/{output}" if many else ""),
                calculator=check.calculator,
                against=check.against,
                source=check.source,
                where=check.where,
                expected=str(expected),
                computed=shown,
                unit=unit,
                tolerance=tolerance,
                reason=case.reason or check.reason,
                passed=passed,
            )


def _compute(engine: Catalogue, target: str, given: Mapping[str, Any], output: str) -> Any:
    """Return a number with its unit, a bare number or a text."""
    if target == "units":
        return _units(given, output)
    if target.startswith("formula:"):
        return _formula(engine, target.removeprefix("formula:"), given)
    if target.startswith("record:"):
        return _record(engine, target.removeprefix("record:"), output)
    outputs.check_declared(engine.calculator(target).result, output)
    answer = engine.answer(target, dict(given), Options())
    return outputs.value_of(answer["result"], output)


def _units(given: Mapping[str, Any], output: str) -> Any:
    if "nominal" in given:
        return getattr(lumber.read_nominal(given["nominal"]), output), "m"
    dimension = dimension_of(given["to"])
    return units.show(units.read(given["quantity"], dimension), given["to"], dimension), given["to"]


def _formula(engine: Catalogue, id: str, given: Mapping[str, Any]) -> tuple[float, str]:
    formula = engine.formulas()[id]
    numbers = {name: units.read(text, formula.arguments[name].dimension) for name, text in given.items()}
    result = formula.result
    return units.show(formula(**numbers), result.unit, result.dimension), result.unit


def _record(engine: Catalogue, path: str, output: str) -> Any:
    kind, id, *steps = path.split("/")
    number = engine.shelf.record(kind, id)
    for step in (*steps, *([] if output in ("value", "low", "high") else output.split("."))):
        number = number[step] if isinstance(number, Mapping) else getattr(number, step)
    if isinstance(number, str):
        return number
    quantity = number.number
    part = {"low": spread.low, "high": spread.high}.get(output, spread.value)
    return part(quantity), number.unit


def _compare(computed: Any, expected: Any, tolerance: str) -> tuple[bool, str, str]:
    """Return whether they agree, the computed value as text, and its unit.

    A tolerance is ``exact``, a share such as ``0.5 %``, or a quantity in the unit of what is expected.
    """
    if isinstance(computed, str):
        return computed == expected, computed, ""
    value, unit = computed if isinstance(computed, tuple) else (computed, "")
    if isinstance(expected, str):
        wanted, wanted_unit = _split(expected)
        if unit != wanted_unit:
            dimension = dimension_of(wanted_unit)
            # A record's number is in SI already, and the SI unit of a percentage is no unit that people write.
            si = value if unit == units.DIMENSIONS[dimension].si else units.to_si(value, unit, dimension)
            value = units.show(si, wanted_unit, dimension)
            unit = wanted_unit
    else:
        wanted = float(expected)
    if tolerance == "exact":
        return math.isclose(value, wanted, rel_tol=1e-9), f"{value:.9g}", unit
    if tolerance.endswith("%") and unit != "%":
        return math.isclose(value, wanted, rel_tol=float(tolerance[:-1]) / 100), f"{value:.9g}", unit
    room = _split(tolerance)[0] if unit else float(tolerance)
    return abs(value - wanted) <= room * (1 + 1e-9), f"{value:.9g}", unit


def _split(text: str) -> tuple[float, str]:
    found = number_text.split_point(text)
    if found is None:
        raise ValueError(f"{text!r} in a check is not a number with a unit")
    return found
