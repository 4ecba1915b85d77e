"""One number or word of an answer as plain text, for a spreadsheet cell."""

from __future__ import annotations

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood_api import query
from latewood_api.answers import TEXT, AnyRequest, check_accept, got
from latewood_api.dispatch import work
from latewood_api.dispatch.desk import Desk


def handlers(lw: Catalogue, desk: Desk) -> list[HTTPRouteHandler]:
    """Return the route of the cells; its errors are lines of text too."""

    @get("/v1/cell/{name:str}/{output:str}")
    async def cell(request: AnyRequest) -> ASGIResponse:
        check_accept(request, TEXT)
        name, output = request.path_params["name"], request.path_params["output"]
        known, sent = lw.calculator(name), query.Asked.of(request)
        text = await desk.perform(
            work.cell, name, output, sent, of=known, sent=sent.raw, size=len(sent.raw), receive=request.receive
        )
        return got(request, text, TEXT)

    return [cell]
