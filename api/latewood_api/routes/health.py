"""Whether the process runs, and whether it should be sent work."""

from __future__ import annotations

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood.catalogue import Catalogue
from latewood_api import query
from latewood_api.answers import JSON, AnyRequest, check_accept, got, to_json
from latewood_api.failures import Failures
from latewood_api.problem import refusal


class Readiness:
    """Whether the server takes new work; the one thing about it that changes while it runs."""

    def __init__(self) -> None:
        self.stopping = False


def handlers(lw: Catalogue, readiness: Readiness, failures: Failures) -> list[HTTPRouteHandler]:
    """Return the two health routes. A plugin that was left out or has failed is named; the server is ready without."""

    def check(request: AnyRequest) -> None:
        check_accept(request, JSON)
        query.options_only(query.Asked.of(request))

    @get("/health/live")
    async def live(request: AnyRequest) -> ASGIResponse:
        check(request)
        return got(request, to_json({"status": "live"}), keep="no-store")

    @get("/health/ready")
    async def ready(request: AnyRequest) -> ASGIResponse:
        check(request)
        health = lw.health()
        if readiness.stopping or health["status"] != "ready":
            raise refusal("not-ready", "the server is stopping or not yet ready", retry_after="5")
        plugins = [one | failures.of(one["id"]) for one in health["plugins"]]
        return got(request, to_json(health | {"plugins": plugins}), keep="no-store")

    return [live, ready]
