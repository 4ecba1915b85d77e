"""Compare each call that raises a message with what the message declares: ids, names, kinds; find sentences in code.

Tests run it over the engine; a plugin's author runs it over a package of their own: ``faults(texts, sources)``.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

from latewood.messages.measures import MEASURES
from latewood.messages.texts import Texts

#: Keywords that are no values of the text, by the function that takes them.
_OWN: Final[Mapping[str, frozenset[str]]] = {
    "find": frozenset({"severity", "pointer", "params", "text", "foremost"}),
    "refusal": frozenset({"nearest", "wanted"}),
    "refuse": frozenset({"nearest", "wanted"}),
    "malformed": frozenset(),
    "UnitError": frozenset({"nearest"}),
    "clause": frozenset(),
}
_KINDS: Final[Mapping[str, str]] = {cls.__name__: kind for kind, cls in MEASURES.items()} | {
    "Count": "count",
    "Name": "name",
    "Code": "code",
    "Word": "word",
    "Titled": "record",
    "Prose": "prose",
    "Moment": "moment",
    "Between": "between",
    "Limit": "limit",
    "clause": "clause",
}
#: What may be called with a sentence: declarations, refusals of a developer's own mistakes, help of the command.
_DECLARING: Final = frozenset(
    {"F", "Q", "Symbol", "calculator", "formula", "Dimension", "Matching", "add_argument", "add_parser", "compile"}
    | {"ArgumentParser", "ValueError", "TypeError", "LookupError", "KeyError", "BadText", "BadPlugin", "exception"}
    | {"OverflowError", "ZeroDivisionError"}
    | {"getattr", "error", "warning", "info", "Stated", "RuntimeError", "NotImplementedError"}
)
_WORDS: Final = re.compile(r"[A-Za-z']{2,}")


def faults(texts: Texts, files: Iterable[Path]) -> Iterator[str]:
    """Yield calls that do not fit what is declared, and what is declared and raised by nothing."""
    raised: set[str] = {"assumed", "as-said"}
    for path in files:
        source = path.read_text("utf-8")
        # A text may be chosen by a table or a condition: every id that stands in the source counts as raised.
        raised |= set(re.findall(r"[\"']([a-z0-9-]+)[\"']", source))
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Call):
                yield from _call(texts, node, f"{path.parent.name}/{path.name}:{node.lineno}")
    for id in (*texts.messages, *texts.refusals):
        if id not in raised:
            yield f"{texts.origin.get(id) or texts.origin[f'{id}.detail']}: {id} is raised by nothing"


def _call(texts: Texts, node: ast.Call, at: str) -> Iterator[str]:
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    # A text has a `find` too: its second argument is a place.
    if name not in _OWN or not node.args or (name == "find" and len(node.args) > 1):
        return
    chosen = next((k.value for k in node.keywords if k.arg == "text"), node.args[0]) if name == "find" else node.args[0]
    whole = all(k.arg is not None for k in node.keywords)
    given = {k.arg: k.value for k in node.keywords if k.arg is not None and k.arg not in _OWN[name]}
    for id in _ids(chosen):
        params = _params(texts, name, id)
        if params is None:
            yield f"{at}: there is no {'message' if name in ('find', 'clause') else 'refusal'} {id!r}"
            continue
        if whole and set(given) != set(params):
            yield f"{at}: {id}: gives {sorted(given)}, declared {sorted(params)}"
        for param, value in given.items():
            kind, declared = _kind(value), params.get(param, "")
            if kind and declared and declared != "any" and _bare(declared) != kind:
                yield f"{at}: {id}: {param} is {kind}, declared {declared}"


def _params(texts: Texts, name: str, id: str) -> Mapping[str, str] | None:
    if name not in ("find", "clause"):
        return texts.refusals[id].params if id in texts.refusals else None
    message = texts.messages.get(id)
    # A clause is no finding, and a finding no clause.
    return None if message is None or (message.severity is None) != (name == "clause") else message.params


def _bare(declared: str) -> str:
    """Return a declared kind without the vocabulary of a word."""
    bare, of, rest = declared.partition(":")
    return f"{bare} list" if of and rest.endswith(" list") else bare


def _ids(node: ast.expr) -> list[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        return [*_ids(node.body), *_ids(node.orelse)]
    return []


def _kind(node: ast.expr) -> str:
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return _KINDS.get(node.func.id, "")
    if isinstance(node, ast.List | ast.ListComp):
        one = _kind(node.elt) if isinstance(node, ast.ListComp) else _kind(node.elts[0]) if node.elts else ""
        return f"{one} list" if one else ""
    return ""


def sentences(source: str) -> Iterator[tuple[int, str]]:
    """Yield line and text of each sentence in code: four words or more, outside docstrings and declarations.

    What the contract says of its parts is documentation, in one language as the contract is: the meaning of a field
    in its ``F`` or ``Q``, and what stands under the key ``description`` of a schema.
    """
    yield from _sentences(ast.parse(source))


def _sentences(node: ast.AST) -> Iterator[tuple[int, str]]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
            continue
        if isinstance(child, ast.Call) and _declares(child):
            continue
        if isinstance(child, ast.Assert):
            continue
        if isinstance(child, ast.Dict):
            yield from _of_values(child)
            continue
        if isinstance(child, ast.JoinedStr):
            text = "".join(str(part.value) if isinstance(part, ast.Constant) else " x " for part in child.values)
            if _is_sentence(text):
                yield child.lineno, text
            continue
        if isinstance(child, ast.Constant) and isinstance(child.value, str) and _is_sentence(child.value):
            yield child.lineno, child.value
        yield from _sentences(child)


def _of_values(node: ast.Dict) -> Iterator[tuple[int, str]]:
    """Yield the sentences of a dict, but for the description of a schema."""
    for key, value in zip(node.keys, node.values, strict=True):
        if not (isinstance(key, ast.Constant) and key.value == "description"):
            yield from _sentences(ast.Tuple([part for part in (key, value) if part is not None]))


def _declares(node: ast.Call) -> bool:
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    return name in _DECLARING


def _is_sentence(text: str) -> bool:
    # Markup has words of its own language.
    return len(_WORDS.findall(text)) >= 4 and text.count(" ") >= 3 and not any(mark in text for mark in ('="', "</"))
