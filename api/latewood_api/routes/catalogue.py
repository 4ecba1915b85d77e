"""What this engine knows: kinds, lists of a kind, and each entry whole."""

from __future__ import annotations

from functools import cache

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood.wire import Options
from latewood.wire.options import System
from latewood_api import query
from latewood_api.answers import JSON, AnyRequest, check_accept, got, to_json


def handlers(lw: Catalogue) -> list[HTTPRouteHandler]:
    """Return the routes of the catalogue. It does not change while the server runs, so each answer is encoded once."""

    @cache
    def kinds_body(options: Options) -> bytes:
        return to_json(lw.counts(options))

    @cache
    def items_body(kind: str) -> bytes:
        return to_json(lw.items(kind))

    @cache
    def item_body(kind: str, entry: str, system: System) -> bytes:
        return to_json(lw.item(kind, entry, system))

    def found_body(kind: str, text: str) -> bytes:
        return to_json(lw.items(kind, text))

    @get("/v1/catalogue")
    async def kinds(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        options = query.options_only(query.Asked.of(request))
        return got(request, kinds_body(Options(units=options.units, lang=options.lang)))

    @get("/v1/catalogue/{kind:str}")
    async def items(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        kind, text = request.path_params["kind"], query.search_for(query.Asked.of(request))
        return got(request, items_body(kind) if text is None else found_body(kind, text))

    @get("/v1/catalogue/{kind:str}/{id:str}")
    async def item(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        system = query.options_only(query.Asked.of(request)).system
        return got(request, item_body(request.path_params["kind"], request.path_params["id"], system))

    return [kinds, items, item]
