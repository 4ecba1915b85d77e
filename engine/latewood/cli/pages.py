"""Pages of a terminal: lists, entries, answers and checks as people read them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

import msgspec
from rich.console import Console
from rich.measure import Measurement
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from latewood.messages import Speaker
from latewood.report.figures import quantity
from latewood.verify import Outcome, Report

Json = Mapping[str, Any]

#: Columns below which a line of a table would be a column of words.
_NARROW: Final = 72
_ANY: Final = 10_000
#: Shown by themselves, or told by where they stand.
_APART: Final = frozenset({"schema", "record", "id", "title", "summary", "outputs"})
_STYLES: Final = {"stop": "bold red", "danger": "bold red", "warning": "yellow", "note": "dim"}


def listed(console: Console, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table whose first column is what to ask with; a row that is too wide is a paragraph."""
    table = _table(*heads)
    for column, cells in zip(table.columns, zip(*rows, strict=True), strict=False):
        # Ids are there to be copied.
        column.no_wrap = not any(" " in cell for cell in cells)
    for row in rows:
        table.add_row(*map(Text, row))
    natural = Measurement.get(console, console.options.update(max_width=_ANY), table).maximum
    if console.width >= _NARROW or natural <= console.width:
        console.print(table)
        return
    for first, second, *rest in rows:
        console.print(Text(first, "cyan").append(f" {second}", "default"))
        for text in filter(None, rest):
            console.print(_indented(Text(text, "dim"), 1))


def entry(console: Console, item: Json, speaker: Speaker) -> None:
    """Print one entry of the catalogue: its numbers with their sources, its inputs, or what is said of it."""
    console.print(Text(item["title"], "bold"))
    if item["summary"]:
        console.print(Text(item["summary"]))
    content = item.get("content", item)
    said = {name: value for name, value in content.items() if name not in _APART and _said(value)}
    if said:
        console.print()
    _outline(console, said, speaker)
    numbers = [
        ("/".join(one["path"].split("/")[2:]), one["title"], _number(one, speaker), one["source"])
        for one in item.get("numbers", ())
    ]
    inputs = [
        (one["name"], one["title"], "required" if one["required"] else "", one.get("example", ""))
        for one in item.get("inputs", ())
    ]
    sources = [(one["id"], one["title"]) for one in item.get("sources", ())]
    for heads, rows in (
        (("Number", "Meaning", "Value", "Source"), numbers),
        (("Input", "Meaning", "", "Example"), inputs),
        (("Source", "Title"), sources),
    ):
        if rows:
            console.print()
            listed(console, heads, rows)
    console.print()
    console.print(Text("--format json shows all of it.", "dim"))


def answered(console: Console, title: str, given: Json, speaker: Speaker) -> None:
    """Print an answer: the result, what was found, what can hurt, and how much it rests on."""
    answer = msgspec.to_builtins(given)
    console.print(Text(title, "bold"))
    _outline(console, answer["result"], speaker)
    if answer["cautions"]:
        console.print()
    for caution in answer["cautions"]:
        style = _STYLES[caution["severity"]]
        console.print(Text(f"{caution['severity'].upper()}: {caution['title']}", style))
        for line in caution["brief"] or caution["do"]:
            console.print(_indented(Text(line), 1))
    if answer["findings"]:
        console.print()
    for finding in answer["findings"]:
        told = Text(f"{finding['severity']}: ", _STYLES[finding["severity"]])
        console.print(told.append(finding["message"], "default"))
    if "sheet" in answer:
        console.print()
    for step in answer.get("sheet", ()):
        console.print(Text(step["words"]))
        console.print(_indented(Text(f"{step['symbols']} = {_number(step['result'], speaker)}"), 1))
    console.print()
    behind = f"{len(answer['basis'])} numbers and choices stand behind this; " if answer["basis"] else ""
    console.print(Text(f"{behind}--format json shows all of it.", "dim"))


def checked(console: Console, report: Report) -> None:
    """Print how many checks were run, by what they check, those that missed, and how often sources say otherwise."""
    groups: dict[str, list[Outcome]] = {}
    for check in report.outcomes:
        kind, of, _ = check.calculator.partition(":")
        groups.setdefault(f"{kind}s" if of else kind, []).append(check)
    table = _table("Checked", "Checks", "Failed", "Differ")
    for name, checks in sorted(groups.items()):
        differ = sum(bool(check.disagrees) for check in checks)
        failed = sum(not check.passed for check in checks) - differ
        shown = Text(str(failed), "bold red" if failed else "green")
        table.add_row(Text(name), str(len(checks) - differ), shown, str(differ))
    console.print(table)
    lines = [*report.lines()]
    missed = [line for check, line in zip(report.checks, lines, strict=False) if not check.passed]
    for line in missed:
        console.print(Text(line, "bold red"))
    for line in lines[len(report.outcomes) :]:
        console.print(Text(line))
    console.print(Text("latewood verify | less lists each check, and why a source and we differ.", "dim"))


def planned(console: Console, text: str) -> None:
    """Print the text of a plan, its headings bold and its dangers red."""
    for line in text.splitlines():
        head = line.isupper() and not line.startswith(" ")
        console.print(Text(line, "bold red" if head and ": " in line else "bold" if head else ""), soft_wrap=True)


def _table(*heads: str) -> Table:
    table = Table(box=None, header_style="bold", pad_edge=False)
    for place, head in enumerate(heads):
        table.add_column(head, style="" if place else "cyan", overflow="fold")
    return table


def _indented(text: Text, depth: int) -> Padding:
    return Padding(text, (0, 0, 0, 2 * depth), expand=False)


def _said(value: Any) -> bool:
    """Tell words from numbers, and from tables that hold their own sources."""
    return isinstance(value, str) or (isinstance(value, list) and all(isinstance(one, str) for one in value))


def _outline(console: Console, tree: Any, speaker: Speaker, depth: int = 0) -> None:
    """Print what a tree holds, a value a line beside its name."""
    for label, value in _branches(tree):
        lead, shown = Text(label, "cyan"), _leaf(value, speaker)
        if shown is not None:
            console.print(_indented(lead.append(f": {shown}", "default"), depth))
        elif value:
            console.print(_indented(lead, depth))
            _outline(console, value, speaker, depth + 1)


def _branches(tree: Any) -> Iterator[tuple[str, Any]]:
    if isinstance(tree, Mapping):
        yield from ((str(name).replace("_", " ").capitalize(), value) for name, value in tree.items() if name != "id")
    else:
        for place, value in enumerate(tree, 1):
            yield str(value.get("id", place) if isinstance(value, Mapping) else place), value


def _leaf(value: Any, speaker: Speaker) -> str | None:
    """Return a value as text; None for what has branches."""
    match value:
        case {"value": _, "unit": _}:
            return _number(value, speaker)
        case {"amount": amount, "currency": currency}:
            return f"{amount} {currency}"
        case bool():
            return "yes" if value else "no"
        case list() if value and not any(isinstance(one, Mapping | list) or str(one).endswith(".") for one in value):
            return ", ".join(map(str, value))
        case Mapping() | list():
            return None
        case float():
            return f"{value:.4g}"
        case _:
            return str(value)


def _number(given: Json, speaker: Speaker) -> str:
    try:
        return quantity(given, speaker)
    except (KeyError, ValueError):
        # A unit that no text is written in, or none.
        return str(given.get("given") or f"{given['value']:.4g} {given.get('unit', '')}".strip())
