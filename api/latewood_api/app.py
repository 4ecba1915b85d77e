"""The ASGI application serving one catalogue."""

from __future__ import annotations

from collections.abc import Sequence

from litestar import Litestar, get
from litestar.datastructures import State
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse
from litestar.types import ASGIApp

from latewood.catalogue import Catalogue
from latewood_api import errors, kept_contract, query
from latewood_api.answers import JSON, AnyRequest, check_accept, got
from latewood_api.body import MAX_BYTES
from latewood_api.dispatch.desk import Desk
from latewood_api.response_headers import ResponseHeaders
from latewood_api.routes import calculate, catalogue, cell, changelog, docs, health, plan, security, table


def create_app(
    lw: Catalogue,
    readiness: health.Readiness | None = None,
    *,
    desk: Desk | None = None,
    contact: Sequence[str] = (),
) -> ASGIApp:
    """Return the application. Everything a calculator needs here is made from its declaration.

    ``desk`` says where calculations run; without one they run in this process, however long they take.
    ``contact`` are addresses for reports of security faults, as security.txt names them.
    """
    contract, concrete = kept_contract.contract(lw)
    paths = sorted([*concrete, "/docs", "/openapi.json"])
    desk = desk or Desk(lw)
    routes = [
        *calculate.handlers(lw, desk),
        *cell.handlers(lw, desk),
        *table.handlers(lw, desk),
        *plan.handlers(desk),
        *catalogue.handlers(lw),
        *changelog.handlers(),
        *health.handlers(lw, readiness or health.Readiness(), desk.failures),
        *docs.handlers(lw, desk),
        *security.handlers(contact),
        _contract_route(contract),
    ]
    app = Litestar(
        routes,
        exception_handlers=errors.handlers(paths, desk.failures),
        openapi_config=None,
        logging_config=None,
        debug=False,
        state=State({"languages": lw.languages, "texts": lw.shelf.texts}),
        pdb_on_exception=False,
        request_max_body_size=MAX_BYTES,
    )
    return ResponseHeaders(app, paths)


def _contract_route(contract: bytes) -> HTTPRouteHandler:
    @get("/openapi.json")
    async def openapi_json(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        query.options_only(query.Asked.of(request))
        return got(request, contract)

    return openapi_json
