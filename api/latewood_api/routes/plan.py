"""A whole job in, its plan out: as JSON, as text to read, or as a picture."""

from __future__ import annotations

from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood_api import body, query
from latewood_api.answers import JSON, SVG, TEXT, AnyRequest, check_accept, posted, to_json


def handlers(lw: Catalogue) -> list[HTTPRouteHandler]:
    """Return one route for each representation of a plan."""

    @post("/v1/plan", status_code=200)
    async def plan(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        job = await body.tree(request)
        answer = query.with_body(query.Asked.of(request), lambda options: lw.plan(job, options))
        return posted(to_json(answer))

    @post("/v1/plan.txt", status_code=200)
    async def plan_text(request: AnyRequest) -> ASGIResponse:
        check_accept(request, TEXT)
        job = await body.tree(request)
        text = query.with_body(query.Asked.of(request), lambda options: lw.plan_text(job, options))
        return posted(text.encode(), TEXT)

    @post("/v1/plan.svg", status_code=200)
    async def plan_svg(request: AnyRequest) -> ASGIResponse:
        check_accept(request, SVG)
        job = await body.tree(request)
        picture = query.with_body(query.Asked.of(request), lambda options: lw.plan_svg(job, options))
        return posted(picture.encode(), SVG)

    return [plan, plan_text, plan_svg]
