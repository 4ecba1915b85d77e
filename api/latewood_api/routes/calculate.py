"""One calculation: by POST with a JSON body, or by GET with everything in the query."""

from __future__ import annotations

from litestar import get, post
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood_api import body, query
from latewood_api.answers import JSON, AnyRequest, check_accept, got, posted, to_json


def handlers(lw: Catalogue) -> list[HTTPRouteHandler]:
    """Return the two routes every calculator has."""

    @post("/v1/calculate/{name:str}", status_code=200)
    async def calculate(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        name = lw.calculator(request.path_params["name"]).id
        raw = await body.tree(request)
        answer = query.with_body(query.Asked.of(request), lambda options: lw.answer(name, raw, options))
        return posted(to_json(answer))

    @get("/v1/row/{name:str}")
    async def row(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        name = lw.calculator(request.path_params["name"]).id
        answer = query.with_options(
            query.Asked.of(request), lambda pairs, options: lw.answer_flat(name, pairs, options)
        )
        return got(request, to_json(answer))

    return [calculate, row]
