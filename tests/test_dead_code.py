"""No function, class, import or branch of the packages is left over; what only tests call counts as left over."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
import vulture

ROOT = Path(__file__).parents[1]
PACKAGES = [ROOT / "engine", ROOT / "plugins", ROOT / "api"]

#: Found by name in another way than a call: by pluggy, by the catalogue.
REGISTERED = ["@hookspec", "@hookimpl", "@formula", "@calculator"]

#: Names nothing mentions, and why they stay.
ALLOWED = {
    "split_rounded": "rounded lines of money must add up to the rounded total; no calculator divides an amount yet",
    "sentences": "with the check of calls beside it for authors: no sentence of a pack may stand in its code",
}
#: Names that others look for.
ALLOWED |= {
    "__getattr__": "Python asks a module for what it does not have",
    "_action_max_length": "argparse reads it",
    "no_wrap": "rich reads it",
    "_check_value": "argparse calls it",
    "_forkserver_address": "Python's fork server reads it",
    "_forkserver_alive_fd": "Python's fork server reads it",
    "term_timeout": "pebble reads it",
    "capture_signals": "uvicorn calls it",
    "force_exit": "uvicorn reads it",
    "should_exit": "uvicorn reads it",
    "gap_time": "the outputs of a calculator name it",
    "gap_cleaning_time": "the outputs of a calculator name it",
    "_repr_html_": "a notebook calls it",
    "y_labels": "pygal reads it",
    "__signature__": "inspect and help read it",
}


def fields(folders: list[Path]) -> Iterator[str]:
    """Names of annotated class fields: they are read by their declaration, not by name."""
    for file in (file for folder in folders for file in folder.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.ClassDef):
                yield from (
                    part.target.id
                    for part in node.body
                    if isinstance(part, ast.AnnAssign) and isinstance(part.target, ast.Name)
                )


def left_over(folders: list[Path]) -> list[str]:
    finder = vulture.Vulture(ignore_names=[*ALLOWED], ignore_decorators=REGISTERED)
    finder.scavenge([str(folder) for folder in folders])
    declared = set(fields(folders))
    return [
        f"{item.filename}:{item.first_lineno}: {item.message}"
        for item in finder.get_unused_code()
        if not (item.typ == "variable" and item.name in declared)
    ]


def test_nothing_is_left_over() -> None:
    assert left_over(PACKAGES) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("def nobody_calls_me():\n    return 1\n", "unused function 'nobody_calls_me'"),
        ("class Unwanted:\n    pass\n", "unused class 'Unwanted'"),
        ("import json\n", "unused import 'json'"),
        ("def f():\n    return 1\n    print()\nf()\n", "unreachable code"),
        ("LIMIT = 3\n", "unused variable 'LIMIT'"),
    ],
)
def test_what_is_left_over_is_found(text: str, found: str, tmp_path: Path) -> None:
    (tmp_path / "module.py").write_text(text)
    [only] = left_over([tmp_path])
    assert found in only


def test_every_exception_is_needed() -> None:
    finder = vulture.Vulture(ignore_decorators=REGISTERED)
    finder.scavenge([str(folder) for folder in PACKAGES])
    assert set(ALLOWED) <= {item.name for item in finder.get_unused_code()}
