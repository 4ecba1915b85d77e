"""One calculation: by POST with a JSON body, or by GET with everything in the query."""

from __future__ import annotations

from litestar import get, post
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood_api import body, query
from latewood_api.answers import JSON, AnyRequest, check_accept, got, posted
from latewood_api.dispatch import work
from latewood_api.dispatch.desk import Desk


def handlers(lw: Catalogue, desk: Desk) -> list[HTTPRouteHandler]:
    """Return the two routes every calculator has."""

    @post("/v1/calculate/{name:str}", status_code=200)
    async def calculate(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        asked = lw.calculator(request.path_params["name"])
        sent, options = await body.content(request), query.Asked.of(request)
        answer = await desk.perform(
            work.calculate,
            asked.id,
            sent,
            options,
            of=asked,
            sent=sent,
            size=len(sent) + len(options.raw),
            receive=request.receive,
        )
        return posted(answer)

    @get("/v1/row/{name:str}")
    async def row(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        asked, sent = lw.calculator(request.path_params["name"]), query.Asked.of(request)
        answer = await desk.perform(
            work.row, asked.id, sent, of=asked, sent=sent.raw, size=len(sent.raw), receive=request.receive
        )
        return got(request, answer)

    return [calculate, row]
