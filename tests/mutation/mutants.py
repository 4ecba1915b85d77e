"""Small wrong changes to the arithmetic and the rules: a drawn sample of all that could be made."""

from __future__ import annotations

import ast
import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import unified_diff
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators.provider import OperatorProvider

ROOT: Final = Path(__file__).parents[2]
ENGINE: Final = ROOT / "engine" / "latewood"
#: Where a wrong number or a wrong condition would be a wrong answer, whatever stands around it.
PLACES: Final = ("formulas/*.py", "rules/*.py", "calculators/*/compute.py", "calculators/*/compute/*.py")
#: Operators one of which may have been written for another, so that what is made still computes: `-` for `+`, hardly
#: `<<`, which ends in a type error that any test notices. `==` and `is` mean the same of the words here, and no word is
#: less than another.
ALIKE: Final = (
    *({"Add", "Sub", "Mul", "Div"}, {"Div", "FloorDiv"}, {"FloorDiv", "Mod"}, {"Mul", "Pow"}, {"UAdd", "USub"}),
    *({"Eq", "NotEq"}, {"Lt", "LtE", "Gt", "GtE"}, {"Is", "IsNot"}, {"In", "NotIn"}, {"BitOr", "BitAnd"}),
)
SINGLE: Final = (
    *("AddNot", "ReplaceTrueWithFalse", "ReplaceFalseWithTrue", "ReplaceAndWithOr", "ReplaceOrWithAnd"),
    *("ReplaceBreakWithContinue", "ReplaceContinueWithBreak", "NumberReplacer", "ZeroIterationForLoop"),
    *("ReplaceUnaryOperator_Delete_Not", "ReplaceUnaryOperator_Delete_USub"),
)


@dataclass(frozen=True)
class Mutant:
    """One change: the operator that makes it, and which of the places it finds in a file."""

    file: Path
    operator: str
    occurrence: int
    line: int

    @cached_property
    def code(self) -> str:
        """Return the file with the change."""
        changed = mutate_code(self.file.read_text("utf-8"), OPERATORS[self.operator], self.occurrence)
        assert changed is not None, self
        return changed

    def __str__(self) -> str:
        lines = unified_diff(self.file.read_text("utf-8").splitlines(), self.code.splitlines(), n=0, lineterm="")
        changed = [line for line in lines if line[:1] in "+-" and line[:3] not in ("+++", "---")]
        return "\n".join([f"{self.file.relative_to(ROOT)}:{self.line} {self.operator}", *changed])


def sensible(operator: str) -> bool:
    """Say whether what an operator makes is wrong and yet a program."""
    _, _, change = operator.partition("_")
    return operator in SINGLE or any(set(change.split("_")) <= group for group in ALIKE if change)


_PROVIDED: Final = OperatorProvider()
OPERATORS: Final[Mapping[str, Any]] = {name: _PROVIDED[name]() for name in _PROVIDED if sensible(name)}


def files() -> list[Path]:
    """Return the files that are changed."""
    return sorted(path for pattern in PLACES for path in ENGINE.glob(pattern))


def computed(tree: ast.Module) -> set[int]:
    """Return the lines on which something is computed: in functions, without their signatures and texts."""
    lines: set[int] = set()
    for function in (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)):
        for statement in function.body:
            if not (isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)):
                lines |= set(range(statement.lineno, (statement.end_lineno or statement.lineno) + 1))
    for node in ast.walk(tree):
        # A type is no number: `float | None` is no sum.
        if isinstance(node, ast.AnnAssign | ast.arg) and node.annotation is not None:
            lines -= set(range(node.annotation.lineno, (node.annotation.end_lineno or 0) + 1))
    return lines


def mutants(file: Path) -> Iterator[Mutant]:
    """Yield every change that can be made to what a file computes."""
    text = file.read_text("utf-8")
    lines, tree = computed(ast.parse(text)), get_ast(text)
    counted = dict.fromkeys(OPERATORS, 0)
    for node in ast_nodes(tree):
        for name, operator in OPERATORS.items():
            for (line, _), _ in operator.mutation_positions(node):
                if line in lines:
                    yield Mutant(file, name, counted[name], line)
                counted[name] += 1


def sample(size: int, seed: int, among: Iterable[Path]) -> Sequence[Mutant]:
    """Draw so many changes: a line first, then what is done to it, or operators with many forms would be most."""
    by_line: dict[tuple[Path, int], list[Mutant]] = {}
    for file in among:
        for mutant in mutants(file):
            by_line.setdefault((file, mutant.line), []).append(mutant)
    dice = random.Random(seed)
    return [dice.choice(by_line[line]) for line in sorted(dice.sample(sorted(by_line), min(size, len(by_line))))]
