"""Pages for people: an index that can be tried, one page a calculator, the catalogue, each kind of problem."""

from __future__ import annotations

import asyncio
from functools import cache
from html import escape
from typing import Any, Final

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood.messages import not_found
from latewood.problems import InputProblem
from latewood.verify import Outcome
from latewood_api import html, query
from latewood_api.answers import HTML, AnyRequest, check_accept, got
from latewood_api.codes import CODES
from latewood_api.dispatch import work
from latewood_api.dispatch.desk import Desk
from latewood_api.pages.calculator import calculator_page
from latewood_api.pages.interactive import AFTER, HEAD, TYPES, content, interactive
from latewood_api.pages.plan import plan_page
from latewood_api.pages.record import entry_page, kind_page
from latewood_api.problem import KINDS, Refusal


def handlers(lw: Catalogue, desk: Desk) -> list[HTTPRouteHandler]:
    """Return the routes of the pages."""
    one_at_a_time = asyncio.Lock()
    found_outcomes: list[list[Outcome]] = []
    calculator_bodies: dict[str, bytes] = {}
    planned: list[bytes] = []

    async def outcomes() -> list[Outcome]:
        async with one_at_a_time:
            if not found_outcomes:
                found_outcomes.append(await desk.aside(work.checks))
        return found_outcomes[0]

    async def calculator_body(name: str) -> bytes:
        if name not in calculator_bodies:
            calculator_bodies[name] = calculator_page(lw, lw.calculator(name), await outcomes(), {}, None)
        return calculator_bodies[name]

    @cache
    def entry_body(kind: str, id: str) -> bytes:
        return entry_page(lw, kind, id)

    def answer(request: AnyRequest, body: bytes, status: int = 200, **allowed: bool) -> ASGIResponse:
        said = {"content_security_policy": html.policy(**allowed), "referrer_policy": "no-referrer"}
        if status != 200:
            headers = {name.replace("_", "-"): value for name, value in said.items()}
            return ASGIResponse(body=body, status_code=status, media_type=HTML, headers=headers)
        return got(request, body, HTML, **said)

    def check(request: AnyRequest) -> None:
        check_accept(request, HTML)
        query.options_only(query.Asked.of(request))

    @get("/")
    async def start(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, _index(lw, tried=False))

    @get("/docs")
    async def docs(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, _index(lw, tried=True), script=True)

    @get("/docs/assets/{name:str}")
    async def asset(request: AnyRequest) -> ASGIResponse:
        name = request.path_params["name"]
        if name not in TYPES:
            raise not_found("file", name, TYPES)
        check_accept(request, TYPES[name])
        query.options_only(query.Asked.of(request))
        return got(request, content(name), TYPES[name])

    @get("/docs/plan")
    async def plan(request: AnyRequest) -> ASGIResponse:
        check(request)
        if not planned:
            planned.append(plan_page(await desk.aside(work.sample_plan)))
        return answer(request, planned[0])

    @get("/docs/{name:str}")
    async def calculator(request: AnyRequest) -> ASGIResponse:
        check_accept(request, HTML)
        known = lw.calculator(request.path_params["name"])
        # A form sends its empty fields too.
        filled = b"&".join(p for p in request.scope["query_string"].split(b"&") if p.partition(b"=")[2])
        if not filled:
            return answer(request, await calculator_body(known.id), forms=True)
        pairs = query.parse(filled)
        tried: dict[str, Any] | InputProblem
        try:
            # The page is English, and so is the answer on it, unless it is asked for otherwise.
            asked = query.Asked(filled, query.spoken(request))
            tried = await desk.perform(
                work.tried, known.id, asked, of=known, sent=filled, size=len(filled), receive=request.receive
            )
        except InputProblem as refused:
            tried = refused
        except Refusal as refused:
            if refused.kind.slug != "unusable-input":
                raise
            tried = InputProblem(refused.faults)
        body = calculator_page(lw, known, await outcomes(), dict(pairs), tried)
        return answer(request, body, 422 if isinstance(tried, InputProblem) else 200, forms=True)

    @get("/docs/catalogue/{kind:str}")
    async def kind(request: AnyRequest) -> ASGIResponse:
        check_accept(request, HTML)
        # A form sends its empty field too.
        asked = request.scope["query_string"]
        search = None if asked == b"search=" else query.search_for(query.Asked.of(request))
        return answer(request, kind_page(lw, request.path_params["kind"], search), forms=True)

    @get("/docs/catalogue/{kind:str}/{id:str}")
    async def entry(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, entry_body(request.path_params["kind"], request.path_params["id"]))

    @get("/problems/{slug:str}")
    async def problem(request: AnyRequest) -> ASGIResponse:
        check(request)
        slug = request.path_params["slug"]
        if slug not in KINDS:
            raise not_found("problem-type", slug, KINDS)
        kind = KINDS[slug]
        codes = [(f"<code>{escape(code)}</code>", escape(meaning)) for code, meaning in CODES.items()]
        listed = [html.heading("Codes"), html.table(["Code", "Meaning"], codes)] if slug == "unusable-input" else []
        return answer(request, html.page(f"{kind.status} {kind.title}", html.text(kind.meaning), *listed))

    return [start, docs, asset, plan, calculator, kind, entry, problem]


#: What a caller may rely on in any request.
REPEATED: Final = (
    "Every request may be repeated: nothing is stored. When computed_with in an answer changes, calculate again what "
    "you keep."
)


def _index(lw: Catalogue, *, tried: bool) -> bytes:
    calculators = [
        (html.link(f"/docs/{c.id}", c.title), escape(c.question.split("\n")[0])) for c in lw.calculators.values()
    ]
    kinds = [
        (html.link(f"/docs/catalogue/{one['id']}", one["title"]), str(one["count"])) for one in lw.counts()["items"]
    ]
    left_out = [(escape(p["id"]), escape(p["error"])) for p in lw.health()["plugins"] if "error" in p]
    to_try = interactive() if tried else [f"<p>{html.link('/docs', 'Every operation, to try')}</p>"]
    return html.page(
        "latewood",
        html.text("Calculations for people who refinish weathered exterior wood decks."),
        f"<p>{html.link('/openapi.json', 'The contract (OpenAPI 3.1)')}</p>",
        f"<p>{html.link('/v1/changelog', 'Changes of the contract')}</p>",
        html.text(REPEATED),
        f"<p>{html.link('/docs/plan', 'Plan a job')}: verdicts, dangers, what to buy and the work in order.</p>",
        html.heading("Calculators"),
        html.table(["Calculator", "Question"], calculators),
        html.heading("Catalogue"),
        html.table(["Kind", "Entries"], kinds),
        *([html.heading("Plugins left out"), html.table(["Plugin", "Why"], left_out)] if left_out else []),
        *to_try,
        head=HEAD if tried else "",
        after=AFTER if tried else "",
    )
