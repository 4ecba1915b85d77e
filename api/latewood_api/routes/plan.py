"""A whole job in, its plan out: as JSON, as text to read, or as a picture."""

from __future__ import annotations

from collections.abc import Callable

from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood_api import body, query
from latewood_api.answers import JSON, SVG, TEXT, AnyRequest, check_accept, posted
from latewood_api.dispatch import work
from latewood_api.dispatch.desk import Desk


def handlers(desk: Desk) -> list[HTTPRouteHandler]:
    """Return one route for each representation of a plan."""

    async def planned(
        request: AnyRequest, do: Callable[[Catalogue, bytes, query.Asked], bytes], media: str
    ) -> ASGIResponse:
        check_accept(request, media)
        sent, options = await body.content(request), query.Asked.of(request)
        answer = await desk.perform(
            do, sent, options, sent=sent, size=len(sent) + len(options.raw), receive=request.receive
        )
        return posted(answer, media)

    @post("/v1/plan", status_code=200)
    async def plan(request: AnyRequest) -> ASGIResponse:
        return await planned(request, work.plan, JSON)

    @post("/v1/plan.txt", status_code=200)
    async def plan_text(request: AnyRequest) -> ASGIResponse:
        return await planned(request, work.plan_text, TEXT)

    @post("/v1/plan.svg", status_code=200)
    async def plan_svg(request: AnyRequest) -> ASGIResponse:
        return await planned(request, work.plan_svg, SVG)

    return [plan, plan_text, plan_svg]
