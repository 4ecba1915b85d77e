"""A whole job in, its plan out: as JSON, or as text to read."""

from __future__ import annotations

from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood_api import body, query
from latewood_api.answers import JSON, TEXT, AnyRequest, check_accept, posted, to_json


def handlers(lw: Catalogue) -> list[HTTPRouteHandler]:
    """Return one route for each representation of a plan."""

    @post("/v1/plan", status_code=200)
    async def plan(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        job = await body.tree(request)
        answer = query.with_body(request.scope["query_string"], lambda options: lw.plan(job, options))
        return posted(to_json(answer))

    @post("/v1/plan.txt", status_code=200)
    async def plan_text(request: AnyRequest) -> ASGIResponse:
        check_accept(request, TEXT)
        job = await body.tree(request)
        text = query.with_body(request.scope["query_string"], lambda options: lw.plan_text(job, options))
        return posted(text.encode(), TEXT)

    return [plan, plan_text]
