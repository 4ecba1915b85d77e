"""Pages for people: an index that can be tried, one page a calculator, the catalogue, each kind of problem."""

from __future__ import annotations

import asyncio
import re
from functools import cache
from typing import Any, Final

import msgspec
from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood.messages import not_found
from latewood.problems import InputProblem
from latewood.verify import Outcome
from latewood_api import query
from latewood_api.answers import HTML, JSON, AnyRequest, check_accept, got
from latewood_api.codes import CODES
from latewood_api.dispatch import work
from latewood_api.dispatch.desk import Desk
from latewood_api.pages import guide as guides
from latewood_api.pages import interactive
from latewood_api.pages.layout import HERE, Site, page_of, policy
from latewood_api.problem import KINDS, Refusal


def handlers(lw: Catalogue, desk: Desk, site: Site, contract: bytes) -> list[HTTPRouteHandler]:
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
            from latewood_api.pages.calculator import calculator_page

            calculator_bodies[name] = calculator_page(site, lw.calculator(name), await outcomes(), {}, None)
        return calculator_bodies[name]

    @cache
    def entry_body(kind: str, id: str) -> bytes:
        from latewood_api.pages.record import entry_page

        return entry_page(site, kind, id)

    @cache
    def document() -> dict[str, Any]:
        read: dict[str, Any] = msgspec.json.decode(contract)
        return read

    def answer(request: AnyRequest, body: bytes, status: int = 200, *, script: bool = False) -> ASGIResponse:
        body = body.replace(HERE.encode(), own_address(request).encode())
        said = {"content_security_policy": policy(script=script), "referrer_policy": "no-referrer"}
        if status != 200:
            headers = {name.replace("_", "-"): value for name, value in said.items()}
            return ASGIResponse(body=body, status_code=status, media_type=HTML, headers=headers)
        return got(request, body, HTML, **said)

    def check(request: AnyRequest) -> None:
        check_accept(request, HTML)
        query.options_only(query.Asked.of(request))

    @get(["/", "/docs"])
    async def start(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, _start(site))

    @get("/docs/search")
    async def search(request: AnyRequest) -> ASGIResponse:
        from latewood_api.pages.search import search_page

        check_accept(request, HTML)
        asked = dict(query.parse(request.scope["query_string"]))
        return answer(request, search_page(site, asked.get("q", "")[: query.SEARCH_LENGTH]))

    @get("/docs/findings")
    async def findings(request: AnyRequest) -> ASGIResponse:
        from latewood_api.pages.record import findings_page

        check(request)
        return answer(request, findings_page(site))

    @get("/docs/guide/{name:str}")
    async def guide(request: AnyRequest) -> ASGIResponse:
        from markupsafe import Markup

        check(request)
        name = request.path_params["name"]
        if name not in guides.titles():
            raise not_found("page", name, guides.titles())
        # Markup in the file stayed text.
        text = Markup(guides.html(name))  # noqa: S704
        return answer(request, site.page("guide", guides.titles()[name], text=text))

    @get("/docs/console")
    async def console(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, interactive.console_page(site, document()))

    def known_tag(tag: str) -> str:
        if tag not in interactive.tags(document()):
            raise not_found("page", tag, interactive.tags(document()))
        return tag

    @get("/docs/console/{tag:str}")
    async def console_part(request: AnyRequest) -> ASGIResponse:
        check(request)
        tag = known_tag(request.path_params["tag"])
        return answer(request, interactive.tag_page(site, document(), tag), script=True)

    @get("/docs/console/{tag:str}/openapi.json")
    async def contract_part(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        query.options_only(query.Asked.of(request))
        part = interactive.part_of(document(), known_tag(request.path_params["tag"]))
        return got(request, msgspec.json.encode(part))

    @get("/docs/assets/{name:str}")
    async def asset(request: AnyRequest) -> ASGIResponse:
        name = request.path_params["name"]
        if name not in interactive.TYPES:
            raise not_found("file", name, interactive.TYPES)
        check_accept(request, interactive.TYPES[name])
        query.options_only(query.Asked.of(request))
        return got(request, interactive.content(name), interactive.TYPES[name])

    @get("/docs/plan")
    async def plan(request: AnyRequest) -> ASGIResponse:
        from latewood_api.pages.plan import plan_page

        check(request)
        if not planned:
            planned.append(plan_page(site, await desk.aside(work.sample_plan)))
        return answer(request, planned[0])

    @get("/docs/{name:str}")
    async def calculator(request: AnyRequest) -> ASGIResponse:
        from latewood_api.pages.calculator import calculator_page

        check_accept(request, HTML)
        known = lw.calculator(request.path_params["name"])
        # A form sends its empty fields too.
        filled = b"&".join(p for p in request.scope["query_string"].split(b"&") if p.partition(b"=")[2])
        if not filled:
            return answer(request, await calculator_body(known.id))
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
        body = calculator_page(site, known, await outcomes(), dict(pairs), tried)
        return answer(request, body, 422 if isinstance(tried, InputProblem) else 200)

    @get("/docs/catalogue/{kind:str}")
    async def kind(request: AnyRequest) -> ASGIResponse:
        from latewood_api.pages.record import kind_page

        check_accept(request, HTML)
        # A form sends its empty field too.
        asked = request.scope["query_string"]
        search = None if asked == b"search=" else query.search_for(query.Asked.of(request))
        return answer(request, kind_page(site, request.path_params["kind"], search))

    @get("/docs/catalogue/{kind:str}/{id:str}")
    async def entry(request: AnyRequest) -> ASGIResponse:
        check(request)
        return answer(request, entry_body(request.path_params["kind"], request.path_params["id"]))

    @get("/problems")
    async def problems(request: AnyRequest) -> ASGIResponse:
        check(request)
        listed = [(f"/problems/{slug}", f"{kind.status} {kind.title}", kind.meaning) for slug, kind in KINDS.items()]
        return answer(request, site.page("problems", "Problems", listed=listed))

    @get("/problems/{slug:str}")
    async def problem(request: AnyRequest) -> ASGIResponse:
        check(request)
        slug = request.path_params["slug"]
        if slug not in KINDS:
            raise not_found("problem-type", slug, KINDS)
        kind = KINDS[slug]
        codes = CODES if slug == "unusable-input" else {}
        return answer(request, site.page("problem", f"{kind.status} {kind.title}", kind=kind, codes=codes))

    pages = [start, search, findings, guide, console, console_part, contract_part, asset, plan, calculator, kind, entry]
    return [*pages, problems, problem]


#: What a caller may rely on in any request.
REPEATED: Final = (
    "Every request may be repeated: nothing is stored. When computed_with in an answer changes, calculate again what "
    "you keep."
)
_HOST: Final = re.compile(r"[A-Za-z0-9.-]{1,255}(?::[0-9]{1,5})?|\[[0-9a-fA-F:.]{2,45}\](?::[0-9]{1,5})?")


def own_address(request: AnyRequest) -> str:
    """Return the address a request came to, as a proxy before this server says it."""
    host = request.headers.get("host", "")
    scheme = request.headers.get("x-forwarded-proto", request.scope["scheme"])
    return f"{scheme}://{host}" if _HOST.fullmatch(host) and scheme in ("http", "https") else HERE


def _start(site: Site) -> bytes:
    lw = site.lw
    return site.page(
        "start",
        "latewood",
        repeated=REPEATED,
        guides=site.navigation["Guides"],
        calculators=[
            (page_of("calculators", c.id), c.title, c.question.split("\n")[0]) for c in lw.calculators.values()
        ],
        kinds=[(f"/docs/catalogue/{one['id']}", one["title"], one["count"]) for one in lw.counts()["items"]],
        left_out=[(p["id"], p["error"]) for p in lw.health()["plugins"] if "error" in p],
    )
