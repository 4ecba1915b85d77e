"""The page of a calculator: its question, a request and its answer, a form, fields, formulas, checks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any, Final, NamedTuple

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.problems import InputProblem
from latewood.verify import Outcome
from latewood.wire import Components, Options, outputs, schema
from latewood_api import examples
from latewood_api.pages.answer import answered, as_sent, in_words, told
from latewood_api.pages.checks import checks
from latewood_api.pages.form import form
from latewood_api.pages.layout import HERE, Site
from latewood_api.pages.pictures import picture
from latewood_api.query import encode, flatten

#: Characters of a request that is shown before it is opened.
SHORT: Final = 700


class Shown(NamedTuple):
    """What a page shows whatever is tried on it: the smallest request, its answer, and that of the example."""

    smallest: Calculator
    plain: dict[str, Any]
    example: dict[str, Any]


def calculator_page(
    site: Site,
    calculator: Calculator,
    outcomes: list[Outcome],
    given: Mapping[str, str],
    answer: dict[str, Any] | InputProblem | None,
) -> bytes:
    """Return the page; with an answer where the form was sent."""
    lw = site.lw
    smallest, plain, example = _shown(site, calculator.id)
    fields = list(schema.flat_fields(calculator, Components()))
    refused = answer if isinstance(answer, InputProblem) else None
    faults = refused.faults if refused else ()
    sent = as_sent(answer) if isinstance(answer, dict) else None
    return site.page(
        "calculator",
        calculator.title,
        calculator=calculator,
        asked=answer is not None,
        same=f"/v1/row/{calculator.id}?{encode(list(given.items()))}",
        faults=faults,
        answer=answered(lw, sent, given.get("lang", "en")) if sent else None,
        picture=picture(calculator.id, sent or example, given if sent else dict(flatten(calculator.example))),
        request=examples.calculate(smallest, HERE),
        short=SHORT,
        words=in_words(plain, lw.speaker(Options())),
        notes=[one for one in told(plain) if one[0] != "note"][:3],
        form=form(lw, calculator, given if answer is not None else dict(flatten(calculator.example)), faults),
        required=[f for f in fields if f.required and "." not in f.name],
        rest=[f for f in fields if not f.required or "." in f.name],
        outputs=list(outputs.declared(calculator.result)),
        checks=checks(lw, outcomes, calculator),
        example="\n".join(f"{name} = {value}" for name, value in flatten(calculator.example)),
        example_answer=answered(lw, example),
        commands=[
            examples.cell(lw, calculator, HERE),
            examples.row(calculator, HERE),
            examples.calculate(calculator, HERE),
        ],
    )


@cache
def _shown(site: Site, id: str) -> Shown:
    lw, calculator = site.lw, site.lw.calculators[id]
    smallest = replace(calculator, example=_smallest(lw, calculator))
    plain, example = (as_sent(lw.answer(id, dict(one.example), Options())) for one in (smallest, calculator))
    return Shown(smallest, plain, example)


def _smallest(lw: Catalogue, calculator: Calculator) -> dict[str, Any]:
    """Return the example without all that it is answered without."""
    kept = dict(calculator.example)
    for name in calculator.example:
        fewer = {other: value for other, value in kept.items() if other != name}
        try:
            lw.answer(calculator.id, fewer, Options())
        except InputProblem:
            continue
        kept = fewer
    return kept
