"""Pages for people: one for each calculator, made from its declaration, and one for each kind of problem."""

from __future__ import annotations

from functools import cache
from html import escape

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.problems import NotFound
from latewood.wire import Components, outputs, schema
from latewood_api import examples, html, query
from latewood_api.answers import HTML, AnyRequest, check_accept, got
from latewood_api.codes import CODES
from latewood_api.problem import KINDS

#: Stands for the address in examples: what the reader's browser shows is the true one.
HERE = "http://127.0.0.1:8000"


def handlers(lw: Catalogue) -> list[HTTPRouteHandler]:
    """Return the routes of the pages."""

    @cache
    def calculator_body(name: str) -> bytes:
        return _calculator(lw, lw.calculator(name))

    def answer(request: AnyRequest, body: bytes) -> ASGIResponse:
        return got(request, body, HTML, content_security_policy=html.POLICY, referrer_policy="no-referrer")

    def check(request: AnyRequest) -> None:
        check_accept(request, HTML)
        query.options_only(request.scope["query_string"])

    @get(["/", "/docs"])
    async def docs(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, _index(lw))

    @get("/docs/{name:str}")
    async def calculator(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, calculator_body(request.path_params["name"]))

    @get("/problems/{slug:str}")
    async def problem(request: AnyRequest) -> ASGIResponse:
        check(request)
        slug = request.path_params["slug"]
        if slug not in KINDS:
            raise NotFound("problem type", slug, KINDS)
        kind = KINDS[slug]
        codes = [(f"<code>{escape(code)}</code>", escape(meaning)) for code, meaning in CODES.items()]
        listed = [html.heading("Codes"), html.table(["Code", "Meaning"], codes)] if slug == "unusable-input" else []
        return answer(request, html.page(f"{kind.status} {kind.title}", html.text(kind.meaning), *listed))

    return [docs, calculator, problem]


def _index(lw: Catalogue) -> bytes:
    calculators = [
        (html.link(f"/docs/{c.id}", c.title), escape(c.question.split("\n")[0])) for c in lw.calculators.values()
    ]
    kinds = [(html.link(f"/v1/catalogue/{kind}", kind), str(lw.items(kind)["count"])) for kind in lw.kinds()]
    left_out = [(escape(p["id"]), escape(p["error"])) for p in lw.health()["plugins"] if "error" in p]
    return html.page(
        "latewood",
        html.text("Calculations for people who refinish weathered exterior wood decks."),
        f"<p>{html.link('/openapi.json', 'The contract (OpenAPI 3.1)')}</p>",
        html.heading("Calculators"),
        html.table(["Calculator", "Question"], calculators),
        html.heading("Catalogue"),
        html.table(["Kind", "Entries"], kinds),
        *([html.heading("Plugins left out"), html.table(["Plugin", "Why"], left_out)] if left_out else []),
    )


def _calculator(lw: Catalogue, calculator: Calculator) -> bytes:
    fields = [
        (
            f"<code>{escape(f.name)}</code>",
            escape(f.doc),
            "yes" if f.required else "",
            f"<code>{escape(str(f.example))}</code>" if f.example is not None else "",
        )
        for f in schema.flat_fields(calculator, Components())
    ]
    formulas = [
        (
            escape(f.words),
            f"<code>{escape(f.symbols)}</code>",
            escape(", ".join(part for part in (f.source, f.where) if part)),
            escape(f.holds),
        )
        for f in calculator.formulas
    ]
    named = ", ".join(f"<code>{escape(name)}</code>" for name in outputs.declared(calculator.result))
    return html.page(
        calculator.title,
        f"<p>{html.link('/docs', 'All calculators')}</p>",
        html.text(calculator.question),
        html.heading("Fields"),
        html.table(["Field", "Meaning", "Required", "Example"], fields),
        html.heading("Outputs"),
        f"<p>{named}</p>",
        html.heading("Formulas"),
        html.table(["Formula", "Symbols", "Source", "Holds"], formulas),
        html.heading("Try it"),
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
