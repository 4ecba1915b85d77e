"""An answer and a plan as the plain, small tables that a notebook shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from html import escape
from typing import Any, Final

from latewood.messages import Speaker
from latewood.report import figures
from latewood.report.build import report
from latewood.report.labels import beside
from latewood.wire import outputs
from latewood.wire.write import digits

#: Lines of a table and of the list below it.
_MOST: Final = 30
_TOLD: Final = ("stop", "danger", "warning")


def answered(answer: Mapping[str, Any], speaker: Speaker) -> str:
    """Return the outputs of an answer under the names that ask for them, and what it warns of."""
    rows = ((name, shown(value, speaker)) for name, value in outputs.leaves(answer["result"]))
    told = [one for one in (*answer["cautions"], *answer["findings"]) if one.severity in _TOLD]
    told.sort(key=lambda one: _TOLD.index(one.severity))
    return _table(answer["calculator"], rows) + _list(one.message for one in told)


def planned(plan: Mapping[str, Any], speaker: Speaker) -> str:
    """Return the first screen of a plan: verdicts, what is done first, dangers, and what to buy."""
    page = report(plan, speaker)
    first = ((speaker.word("report", "first"), beside(one.text, one.where)) for one in page.tasks[:1])
    dangers = ((speaker.word("report", "danger"), beside(one.text, one.where)) for one in page.dangers)
    bought = ((speaker.word("report", "buy"), f"{one.amount}, {one.title}") for one in page.purchases)
    verdicts = (
        (beside(one.words, one.where), "; ".join(beside(reason.text, reason.where) for reason in one.reasons))
        for one in page.verdicts
    )
    return _table(page.title, [*verdicts, *first, *dangers, *bought])


def shown(value: Any, speaker: Speaker) -> str:
    """Return an output as a person reads it."""
    if outputs.is_quantity(value):
        try:
            return figures.quantity(value, speaker)
        except ValueError:
            return f"{digits(value['value'])} {value['unit']}"
    return outputs.text_of({"": value}, "", speaker.style.decimal)


def _table(title: str, rows: Iterable[tuple[str, str]]) -> str:
    body = "".join(_cut(f"<tr><th>{escape(name)}</th><td>{escape(text)}</td></tr>" for name, text in rows))
    return f"<table><caption>{escape(title)}</caption>{body}</table>"


def _list(texts: Iterable[str]) -> str:
    body = "".join(_cut(f"<li>{escape(text)}</li>" for text in dict.fromkeys(texts)))
    return f"<ul>{body}</ul>" if body else ""


def _cut(lines: Iterable[str]) -> Iterator[str]:
    """Yield the first lines, and a mark where there are more."""
    for count, line in enumerate(lines):
        if count == _MOST:
            yield "<tr><th>…</th></tr>" if line.startswith("<tr>") else "<li>…</li>"
            return
        yield line
