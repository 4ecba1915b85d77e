"""A plan as plain text for people, as the terminal and ``plan.txt`` show it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from textwrap import wrap
from typing import Any

_WIDTH = 100
#: Severities of findings and cautions, the worst first: what can injure people stands before what can ruin the job.
_SEVEREST = ("stop", "danger", "warning", "caution", "note")


def text(plan: Mapping[str, Any]) -> str:
    """Return the plan as text: steps with their results, findings, cautions, and what it rests on."""
    return "\n".join(_lines(plan)) + "\n"


def _lines(plan: Mapping[str, Any]) -> Iterator[str]:
    yield f"Plan for {', '.join(plan['job']['zones'])}"
    if plan.get("stopped"):
        yield ""
        yield "Stopped: nothing is planned for these"
        for stop in plan["stopped"]:
            yield from wrap(f"{stop['id']}: {stop['why']}", _WIDTH, initial_indent="  ", subsequent_indent="    ")
    for step in plan["steps"]:
        yield ""
        yield f"{step['id']}: {step['status']}" + (f" ({step['why']})" if "why" in step else "")
        for pointer in step.get("unlock", ()):
            yield f"  give: {pointer}"
        for name, value in step.get("result", {}).items():
            yield from _value(name, value, "  ")
    abrasives = plan["totals"].get("abrasives", ())
    if plan["totals"]["purchases"] or abrasives:
        yield ""
        yield "To buy"
        for bought in plan["totals"]["purchases"]:
            open_still = f" (rests on: {', '.join(bought['rests_on'])})" if "rests_on" in bought else ""
            line = f"{bought['id']}: {bought['text']}{open_still}"
            yield from wrap(line, _WIDTH, initial_indent="  ", subsequent_indent="    ")
        for row in abrasives:
            pieces = row["form"] if row["count"] == 1 else f"{row['form']}s"
            usual = f" (usually {row['typical_count']})" if row["typical_count"] < row["count"] else ""
            yield f"  {row['count']} {row['abrasive']} {pieces} for {row['machine']}{usual}"
    for handed in plan["totals"].get("hand_over", ()):
        yield ""
        yield f"Hand over ({handed['id']})"
        yield from wrap(handed["start"], _WIDTH, initial_indent="  ", subsequent_indent="    ")
        for line in handed["lines"]:
            yield from wrap(line, _WIDTH, initial_indent="  ", subsequent_indent="    ")
    if waste := plan["totals"].get("waste", ()):
        yield ""
        yield "Waste"
        for row in waste:
            yield from _waste(row)
    for title, items in (("Cautions", plan["cautions"]), ("Findings", plan["findings"])):
        if items:
            yield ""
            yield title
        once = {item.message: item for item in items}
        for item in sorted(once.values(), key=lambda item: _SEVEREST.index(item.severity)):
            yield from _said(item)
    yield ""
    yield "Rests on"
    for used in plan["basis"]:
        source = f", {used.source}" if used.source else ""
        yield f"  {used.path}: {used.given} [{used.kind}{source}]"


def _waste(row: Mapping[str, Any]) -> Iterator[str]:
    count = f"{row['container_count']} × " if "container_count" in row else ""
    mass = f"{row['title']} ({row['step']}): {_quantity(row['waste_mass'])}; {count}{row['container']}"
    hazard = {"yes": "; holds lead or arsenic", "suspected": "; may hold lead or arsenic"}.get(row["hazardous"], "")
    yield from wrap(mass + hazard, _WIDTH, initial_indent="  ", subsequent_indent="    ")
    for action in row["ending"]:
        yield from wrap(f"- {action}", _WIDTH, initial_indent="    ", subsequent_indent="      ")


def _said(item: Any) -> Iterator[str]:
    where = " (" + ", ".join(item.places) + ")" if getattr(item, "places", ()) else ""
    yield from wrap(f"{item.severity}: {item.message}{where}", _WIDTH, initial_indent="  ", subsequent_indent="    ")
    for action in getattr(item, "do", ()):
        yield from wrap(f"- {action}", _WIDTH, initial_indent="    ", subsequent_indent="      ")


def _value(name: str, value: Any, indent: str) -> Iterator[str]:
    label = name.replace("_", " ")
    if isinstance(value, Mapping) and not _whole(value):
        yield f"{indent}{label}:"
        for inner, part in value.items():
            yield from _value(inner, part, indent + "  ")
    elif _listed(value):
        for item in value:
            yield from _item(label, item, indent)
    elif value != []:
        yield from wrap(f"{label}: {_shown(value)}", _WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


def _item(label: str, item: Mapping[str, Any], indent: str) -> Iterator[str]:
    """Show one table of a list: by its own words where it has them, else by all it holds."""
    if "text" in item:
        own = str(item.get("id", ""))
        said = item["text"] if item["text"].startswith(own) else f"{own}: {item['text']}"
    else:
        short = {inner: part for inner, part in item.items() if part != [] and not _nested(part)}
        said = ", ".join(_short(inner, part) for inner, part in short.items())
    yield from wrap(f"{label}: {said}", _WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")
    for inner, part in item.items():
        if _nested(part):
            yield from _value(inner, part, indent + "  ")


def _whole(value: Mapping[str, Any]) -> bool:
    """Say whether a table is one value, as quantities and amounts of money are."""
    return ("value" in value and "unit" in value) or ("amount" in value and "currency" in value)


def _nested(value: Any) -> bool:
    """Say whether a value has lines of its own."""
    return _listed(value) or (isinstance(value, Mapping) and not _whole(value))


def _listed(value: Any) -> bool:
    """Say whether a value is a list of tables, which has lines of its own."""
    return isinstance(value, list) and any(isinstance(one, Mapping) for one in value)


def _short(name: str, value: Any) -> str:
    return _shown(value) if name == "id" else f"{name.replace('_', ' ')} {_shown(value)}"


def _shown(value: Any) -> str:
    if isinstance(value, Mapping):
        return _quantity(value) if "unit" in value else f"{value['amount']} {value['currency']}"
    if isinstance(value, list):
        words = [*map(_shown, value)]
        # Phrases run into each other, and into what follows, where commas part them.
        return f"({'; '.join(words)})" if any(" " in one for one in words) else ", ".join(words)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _quantity(value: Mapping[str, Any]) -> str:
    if value["value"] is None:
        return "not computed"
    if value["unit"] == "%":
        return f"{value['value']:.3g} %"
    main = f"{value['value']:.4g} {value['unit']}"
    if "low" in value:
        return f"{main} (between {value['low']:.4g} and {value['high']:.4g}, eight times in ten)"
    return main
