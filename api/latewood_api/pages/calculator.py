"""The page of a calculator: its question, a form, fields, formulas, checks, an example, all made from declarations."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from latewood.catalogue import Catalogue
from latewood.declare import Calculator, Formula
from latewood.problems import InputProblem
from latewood.verify import Outcome
from latewood.wire import Components, Options, outputs, schema
from latewood_api import examples, html
from latewood_api.pages.answer import answered, refused
from latewood_api.pages.checks import checks
from latewood_api.pages.form import form
from latewood_api.query import encode, flatten

#: Stands for the address in examples: what the reader's browser shows is the true one.
HERE = "http://127.0.0.1:8000"


def calculator_page(
    lw: Catalogue,
    calculator: Calculator,
    outcomes: list[Outcome],
    given: Mapping[str, str],
    answer: dict[str, Any] | InputProblem | None,
) -> bytes:
    """Return the page; with an answer where the form was sent."""
    asked = [] if answer is None else _answer(lw, calculator, given, answer)
    return html.page(
        calculator.title,
        f"<p>{html.link('/docs', 'All calculators')}</p>",
        html.text(calculator.question),
        *asked,
        html.heading("Try it"),
        form(lw, calculator, given if answer is not None else dict(flatten(calculator.example))),
        html.heading("Fields"),
        html.table(["Field", "Meaning", "Required", "Example"], _fields(calculator)),
        html.heading("Outputs"),
        "<p>" + ", ".join(f"<code>{escape(name)}</code>" for name in outputs.declared(calculator.result)) + "</p>",
        html.heading("Formulas"),
        html.table(["Formula", "Symbols", "Source", "Holds"], [_formula(f) for f in calculator.formulas]),
        html.heading("Checks it passes"),
        checks(lw, outcomes, calculator),
        html.heading("Example"),
        html.text("Computed by this server:"),
        html.code("\n".join(f"{name} = {value}" for name, value in flatten(calculator.example))),
        answered(lw, lw.answer(calculator.id, dict(calculator.example), Options())),
        html.heading("From a program"),
        html.code(
            "\n\n".join(
                [
                    examples.cell(lw, calculator, HERE),
                    examples.row(calculator, HERE),
                    examples.calculate(calculator, HERE),
                ]
            )
        ),
    )


def _answer(
    lw: Catalogue, calculator: Calculator, given: Mapping[str, str], answer: dict[str, Any] | InputProblem
) -> list[str]:
    address = f"/v1/row/{calculator.id}?{encode(list(given.items()))}"
    shown = refused(answer) if isinstance(answer, InputProblem) else answered(lw, answer)
    title = "Refused" if isinstance(answer, InputProblem) else "Answer"
    same = f"<p>{html.link(address, 'The same as JSON')}</p>"
    return [f'<section id="answer">{html.heading(title)}{shown}{same}</section>']


def _fields(calculator: Calculator) -> list[tuple[str, str, str, str]]:
    return [
        (
            f"<code>{escape(f.name)}</code>",
            escape(f.doc),
            "yes" if f.required else "",
            f"<code>{escape(str(f.example))}</code>" if f.example is not None else "",
        )
        for f in schema.flat_fields(calculator, Components())
    ]


def _formula(formula: Formula) -> tuple[str, str, str, str]:
    symbols = [("result", formula.result), *formula.arguments.items()]
    meanings = "<br>".join(
        f"<code>{escape(symbol.symbol)}</code> {escape(name.replace('_', ' '))}, {escape(symbol.unit)}"
        for name, symbol in symbols
    )
    return (
        escape(formula.words),
        f"<code>{escape(formula.symbols)}</code><br>{meanings}",
        escape(", ".join(part for part in (formula.source, formula.where) if part)),
        escape(formula.holds),
    )
