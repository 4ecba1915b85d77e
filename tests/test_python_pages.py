"""What README and docs show of Python runs, and gives what stands beside it."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
BLOCK = re.compile(r"^```python\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def shown(code: str, names: dict[str, Any]) -> list[tuple[str, str]]:
    """Run code; return what each line with a comment behind it gives, and the comment."""
    found = []
    for statement in ast.parse(code).body:
        text = ast.unparse(statement)
        comment = re.search(r"  # (.+)$", code.splitlines()[(statement.end_lineno or 1) - 1])
        if isinstance(statement, ast.Expr) and comment:
            found.append((repr(eval(text, names)), comment[1]))
        else:
            exec(text, names)
    return found


@pytest.mark.parametrize(("page", "least"), [("README.md", 2), ("docs/guide/python.md", 10)])
def test_what_a_page_shows_is_what_comes(page: str, least: int) -> None:
    names: dict[str, Any] = {}
    found = [one for block in BLOCK.findall((ROOT / page).read_text("utf-8")) for one in shown(block, names)]
    assert [given for given, _ in found] == [comment for _, comment in found]
    assert len(found) >= least


def test_a_comment_that_is_wrong_is_noticed() -> None:
    assert shown("x = 1\nx + 1  # 3\n", {}) == [("2", "3")]
