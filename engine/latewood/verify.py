"""Published checks: what the engine computes beside what the sources print."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import msgspec

from latewood.catalogue import Catalogue
from latewood.declare import Calculator, dimension_of
from latewood.problems import InputProblem, NotFound
from latewood.quantities import lumber, number_text, units
from latewood.uncertainty import spread
from latewood.wire import Options, outputs

#: What is independent evidence about an answer, and can be looked up or done again.
OUTSIDE: Final = frozenset({"published", "reference-library", "hand-worked"})

#: With fewer groups of it a calculator is not validated.
ENOUGH: Final = 5


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
    #: Why we stand by it, where the source has another value: it neither passes nor misses.
    disagrees: str = ""
    #: By how much it then differs, where both are numbers.
    miss: str = ""


@dataclass(frozen=True)
class Report:
    """All outcomes of a run."""

    outcomes: list[Outcome]
    computed_with: Mapping[str, Any]
    #: Plugins that could not be used, whose checks are not among these.
    left_out: Sequence[Mapping[str, Any]] = ()
    #: How many numbers of records are known in which way.
    numbers: Mapping[str, int] = field(default_factory=dict)
    #: What is checked of each calculator: itself and its formulas.
    targets: Mapping[str, frozenset[str]] = field(default_factory=dict)

    @property
    def checks(self) -> list[Outcome]:
        """Those that pass or miss."""
        return [outcome for outcome in self.outcomes if not outcome.disagrees]

    @property
    def disagreements(self) -> list[Outcome]:
        """Those in which a source and we differ by more than the source's rounding or stated accuracy allows."""
        return [outcome for outcome in self.outcomes if outcome.disagrees]

    @property
    def failed(self) -> int:
        """How many missed."""
        return sum(not check.passed for check in self.checks)

    @property
    def groups(self) -> Counter[str]:
        """How many groups about an answer pass whole, by what they are held against."""
        return Counter(group.against for group in groups(self.outcomes) if group.about_an_answer and not group.missed)

    @property
    def outside(self) -> int:
        """How many groups of independent evidence about an answer pass whole."""
        return sum(group.independent for group in groups(self.outcomes))

    @property
    def calculators(self) -> dict[str, int]:
        """How many groups of independent evidence each calculator and its formulas have."""
        found = [group for group in groups(self.outcomes) if group.independent]
        return {id: sum(group.calculator in names for group in found) for id, names in self.targets.items()}

    def lines(self) -> Iterator[str]:
        """Yield the report as ``latewood verify`` prints it."""
        for check in self.checks:
            mark = "ok  " if check.passed else "MISS"
            yield f"{mark} {check.id}: {check.computed} {check.unit} (expected {check.expected}, ± {check.tolerance})"
        for row in self.disagreements:
            by = f" by {row.miss}" if row.miss else ""
            yield f"differs{by}: {row.id}: {row.computed} {row.unit} beside {row.expected}: {row.disagrees}"
        for plugin in self.left_out:
            yield f"plugin {plugin['id']} is left out: {plugin['error']}"
        yield f"numbers: {_counted(self.numbers)}"
        yield f"groups: {_counted(self.groups)}"
        told = f"{len(self.checks)} checks, {self.outside} independent groups, {len(self.disagreements)} disagreements"
        yield f"{told}, {self.failed} failed"

    def as_dict(self) -> dict[str, Any]:
        """Return the report as ``latewood verify --format json`` prints it."""
        return {
            "checks": self.checks,
            "disagreements": self.disagreements,
            "outside": self.outside,
            "groups": dict(self.groups.most_common()),
            "calculators": self.calculators,
            "numbers": dict(self.numbers),
            "failed": self.failed,
            "left_out": [{"id": one["id"], "error": one["error"]} for one in self.left_out],
            "computed_with": dict(self.computed_with),
        }


@dataclass
class Group:
    """The cells of one table or example of a source, as far as they pass or miss."""

    first: Outcome
    cells: int = 0
    missed: list[str] = field(default_factory=list)

    @property
    def calculator(self) -> str:
        """What is checked."""
        return self.first.calculator

    @property
    def against(self) -> str:
        """What it is held against."""
        return self.first.against

    @property
    def about_an_answer(self) -> bool:
        """Whether it is about a calculator or a formula, not about a record or a unit."""
        return not self.calculator.startswith(("record:", "units"))

    @property
    def independent(self) -> bool:
        """Whether it is independent evidence about an answer, and passes whole."""
        return self.about_an_answer and self.against in OUTSIDE and not self.missed


def groups(outcomes: Iterable[Outcome]) -> list[Group]:
    """Return the groups (same calculator, source and place) in the order of the records."""
    found: dict[tuple[str, str, str], Group] = {}
    for outcome in outcomes:
        if not outcome.disagrees:
            group = found.setdefault((outcome.calculator, outcome.source, outcome.where), Group(outcome))
            group.cells += 1
            if not outcome.passed:
                group.missed.append(outcome.id)
    return list(found.values())


def targets(calculator: Calculator) -> frozenset[str]:
    """Return what is checked of a calculator: itself and its formulas."""
    return frozenset({calculator.id, *(f"formula:{formula.id}" for formula in calculator.formulas)})


def _counted(counts: Mapping[str, int]) -> str:
    return ", ".join(f"{count} {name}" for name, count in Counter(counts).most_common())


def verify(engine: Catalogue, seen: Callable[[int, int], None] = lambda done, cells: None) -> Report:
    """Run every check that is installed; ``seen`` is told how many are done, and how many cells those have."""
    outcomes: list[Outcome] = []
    for done, check in enumerate(engine.shelf.records("check").values(), 1):
        outcomes += run(engine, check)
        seen(done, len(outcomes))
    left_out = [one for one in engine.health()["plugins"] if "error" in one]
    shelf = engine.shelf
    records = [record for kind in shelf.kinds() for record in shelf.records(kind).values()]
    known = Counter(number.evidence for record in records for number in record.numbers.values())
    checked = {id: targets(calculator) for id, calculator in engine.calculators.items()}
    return Report(outcomes, engine.computed_with, left_out, dict(known.most_common()), checked)


def run(engine: Catalogue, check: Any) -> Iterator[Outcome]:
    """Yield what comes of each number of one check."""
    for case in check.cases:
        tolerance = case.tolerance or check.tolerance
        for output, expected in case.expected.items():
            why, miss = case.disagrees.get(output, ""), ""
            try:
                computed = _compute(engine, check.calculator, case.input, output)
                passed, shown, unit = _compare(computed, expected, tolerance)
                if why and passed:
                    passed, why = False, ""
                    shown = f"agrees, and is said to disagree: {shown}"
                if why and not isinstance(computed, str):
                    wanted = _split(expected)[0] if isinstance(expected, str) else float(expected)
                    miss = f"{abs(float(shown) - wanted):.3g} {unit}".rstrip()
            except Exception as error:  # whatever a plugin's check or calculator does, the other checks are run
                told = isinstance(error, InputProblem | NotFound | ValueError)
                reason = str(error) if told else f"{type(error).__name__}: {error}"
                passed, shown, unit, why = False, f"refused: {reason}".replace("\n", "; "), "", ""
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
                disagrees=why,
                miss=miss,
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
