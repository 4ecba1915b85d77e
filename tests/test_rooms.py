"""What each room of a calculator's package may hold, and that a breach of it would be seen."""

from __future__ import annotations

import ast
import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest

CALCULATORS = Path(__file__).parents[1] / "engine/latewood/calculators"
PACKAGES = sorted(path for path in CALCULATORS.iterdir() if (path / "__init__.py").exists())

#: Packages that still mix the rooms. A package that keeps them has to leave the list.
MIXED: set[str] = set()

#: Ways of looking up by the argument that calculators name ``known``.
LOOK_UPS = {"record", "records", "model"}


def room(package: Path, file: Path) -> str:
    """Return the room a file belongs to: its own name, or that of its folder."""
    return file.relative_to(package).parts[0].removesuffix(".py")


def names(annotation: ast.expr | None) -> set[str]:
    """Return the last names of every type in an annotation, quoted or not."""
    found = set()
    for node in () if annotation is None else ast.walk(annotation):
        if isinstance(node, ast.Name):
            found.add(node.id)
        elif isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            # What is no expression is the text of a field, not a quoted type.
            with contextlib.suppress(SyntaxError):
                found |= names(ast.parse(node.value, mode="eval").body)
    return found


def annotated(tree: ast.Module) -> Iterator[tuple[int, str, set[str]]]:
    """Yield line, name and types of everything annotated: arguments, results, fields and variables."""
    for node in ast.walk(tree):
        if isinstance(node, ast.arg):
            yield node.lineno, node.arg, names(node.annotation)
        elif isinstance(node, ast.AnnAssign):
            yield node.lineno, ast.unparse(node.target), names(node.annotation)
        elif isinstance(node, ast.FunctionDef):
            yield node.lineno, node.name, names(node.returns)


def calls(tree: ast.Module) -> Iterator[tuple[int, str, str]]:
    """Yield line, object and method of every call of a method."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            yield node.lineno, ast.unparse(node.func.value), node.func.attr


def in_compute(tree: ast.Module) -> Iterator[str]:
    """Yield what a computing module may not do: take the whole request, or look records up."""
    for line, name, types in annotated(tree):
        if "Inputs" in types:
            yield f"{line}: {name} is annotated Inputs"
        if name == "known" or "RecordLookup" in types:
            yield f"{line}: {name} looks records up"


def outside_resolve(tree: ast.Module) -> Iterator[str]:
    """Yield the defaults that are put in and the records that are looked up; ``resolve`` alone may."""
    for line, taken, method in calls(tree):
        last = taken.rpartition(".")[2]
        if (last == "ledger" and method == "default") or (last == "known" and method in LOOK_UPS):
            yield f"{line}: {taken}.{method}"


def in_declaration(tree: ast.Module) -> Iterator[str]:
    """Yield what is neither the declaration nor a call of a room."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            if not any(isinstance(d, ast.Call) and ast.unparse(d.func) == "calculator" for d in node.decorator_list):
                yield f"{node.lineno}: def {node.name} is not the calculator"
            yield from (
                f"{part.lineno}: a {type(part).__name__} in the calculator"
                for part in ast.walk(ast.Module(node.body, []))
                if isinstance(part, ast.For | ast.While | ast.BinOp | ast.FunctionDef | ast.Lambda | ast.Try)
            )
        elif isinstance(node, ast.Assign):
            if [ast.unparse(target) for target in node.targets] != ["__all__"]:
                yield f"{node.lineno}: {ast.unparse(node.targets[0])} is computed"
        elif not isinstance(node, ast.ImportFrom | ast.Import) and not is_text(node):
            yield f"{node.lineno}: a {type(node).__name__}"
    for line, taken, method in calls(tree):
        if taken == "ledger":
            yield f"{line}: {taken}.{method}"


def is_text(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def breaches(package: Path) -> list[str]:
    """Return every line of a package that stands in the wrong room."""
    found = []
    for file in sorted(package.rglob("*.py")):
        tree, name = ast.parse(file.read_text("utf-8")), room(package, file)
        lines = [*in_compute(tree)] if name == "compute" else []
        lines += [] if name == "resolve" else outside_resolve(tree)
        lines += in_declaration(tree) if name == "__init__" else []
        found += [f"{file.relative_to(package)}:{line}" for line in dict.fromkeys(lines)]
    return found


@pytest.mark.parametrize("package", PACKAGES, ids=lambda package: package.name)
def test_rooms_hold_what_is_theirs(package: Path) -> None:
    found = breaches(package)
    if package.name in MIXED:
        assert found, f"{package.name} keeps its rooms: take it off the list"
    else:
        assert found == []


def test_what_is_named_as_mixed_is_there() -> None:
    assert {package.name for package in PACKAGES} >= MIXED


CLEAN = {
    "__init__.py": (
        '"""What?"""\nfrom latewood.declare import calculator\n'
        '@calculator("a", "A", since="0.1", example={})\n'
        'def a(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:\n    """Find it."""\n'
        '    return compute(resolve(x, ledger, known), ledger)\n\n\n__all__ = ["a"]\n'
    ),
    "resolve.py": 'def resolve(x: Inputs, ledger, known):\n    ledger.default("a", known.record("b", "c").d)\n',
    "compute/part.py": "def compute(r: Resolved, ledger) -> float:\n    return ledger.step(f, a=r.a)\n",
}

#: File that gets the lines more, the lines, and what is found of them.
BREACHES = [
    ("compute/part.py", "def f(x: Inputs) -> None: ...", "x is annotated Inputs"),
    ("compute/part.py", "def f(*, given: 'inputs.Inputs | None') -> None: ...", "given is annotated Inputs"),
    ("compute/part.py", "class A:\n    x: Annotated[tuple[Inputs, ...], 1]", "x is annotated Inputs"),
    ("compute/part.py", "def f() -> Inputs: ...", "f is annotated Inputs"),
    ("compute/part.py", "def f(shelf: RecordLookup) -> None: ...", "shelf looks records up"),
    ("compute/part.py", "def f(known) -> None: ...", "known looks records up"),
    ("compute/part.py", "f(r.known.records('a'))", "r.known.records"),
    ("validation.py", "known.model('a', 'b')", "known.model"),
    ("compute/part.py", "ledger.default('a', 'b')", "ledger.default"),
    ("findings.py", "self.ledger.default('a', 'b')", "self.ledger.default"),
    ("__init__.py", "def f() -> None: ...", "def f is not the calculator"),
    ("__init__.py", "LIMIT = 3", "LIMIT is computed"),
    ("__init__.py", "class A: ...", "a ClassDef"),
    ("__init__.py", "@calculator()\ndef f(x): return [y for y in x] if x * 2 else 1", "a BinOp in the calculator"),
    ("__init__.py", "@calculator()\ndef f(x):\n    for y in x: print(y)", "a For in the calculator"),
    ("__init__.py", "@calculator()\ndef f(x): ledger.find('a')", "ledger.find"),
    ("__init__.py", "@calculator()\ndef f(x): known.record('a')", "known.record"),
]


def test_clean_rooms_have_no_breach(tmp_path: Path) -> None:
    assert breaches(written(tmp_path)) == []


@pytest.mark.parametrize(("file", "lines", "found"), BREACHES, ids=[found for _, _, found in BREACHES])
def test_a_planted_breach_is_found(file: str, lines: str, found: str, tmp_path: Path) -> None:
    path = written(tmp_path) / file
    path.write_text((path.read_text() if path.exists() else "") + lines + "\n")
    [only] = breaches(tmp_path)
    assert only.startswith(f"{file}:")
    assert only.endswith(found)


def written(package: Path) -> Path:
    for name, text in CLEAN.items():
        (package / name).parent.mkdir(exist_ok=True)
        (package / name).write_text(text)
    return package
