"""The changes that are made to the engine are wrong, and yet programs; the same are drawn each time."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from tests.mutation.mutants import ENGINE, OPERATORS, computed, files, mutants, sample

FILE = ENGINE / "formulas" / "guards.py"


def test_every_place_holds_files() -> None:
    rooms = {file.relative_to(ENGINE).parts[0] for file in files()}
    assert rooms == {"formulas", "rules", "calculators"}


def test_the_same_changes_are_drawn_each_time_and_others_by_another_seed() -> None:
    some = [FILE, ENGINE / "formulas" / "film.py"]
    assert sample(8, 1, some) == sample(8, 1, some)
    assert sample(8, 1, some) != sample(8, 2, some)


@pytest.mark.parametrize("file", files()[::12], ids=lambda file: file.name)
def test_what_is_made_is_another_program(file: Path) -> None:
    before = ast.dump(ast.parse(file.read_text("utf-8")))
    for mutant in sample(3, 1, [file]):
        assert ast.dump(ast.parse(mutant.code)) != before


def test_signatures_types_and_texts_are_left_alone() -> None:
    text = 'def f(x: int | None = 1) -> int | None:\n    """Add 1."""\n    y: int | None = x\n    return y + 1\n'
    assert computed(ast.parse(text)) == {4}


def test_words_are_not_compared_by_size(tmp_path: Path) -> None:
    file = tmp_path / "rule.py"
    file.write_text('def f(lead: str) -> bool:\n    return lead == "found"\n')
    assert [mutant.operator for mutant in mutants(file)] == ["ReplaceComparisonOperator_Eq_NotEq"]
    assert "ReplaceComparisonOperator_Lt_LtE" in OPERATORS
