"""The yardstick: the same stack, which reads the same request and answers the same bytes without computing them.

``--server granian`` serves it by granian instead: the yardstick from before the server was our own, for comparison.
"""

from __future__ import annotations

import argparse
import asyncio
import sys

import msgspec
from granian.constants import HTTPModes, Interfaces
from granian.server.embed import Server
from litestar import Litestar, get, post
from litestar.response.base import ASGIResponse
from tests.bench.cases import BODY

import latewood
from latewood_api.answers import AnyRequest, posted, to_json
from latewood_api.response_headers import ResponseHeaders
from latewood_api.routes.health import Readiness
from latewood_api.server import host_app, listening


class Asked(msgspec.Struct, forbid_unknown_fields=True):
    """What one coverage calculation is asked with: it is decoded, for a server that reads nothing is no yardstick."""

    area: str
    species: str | None = None
    coating: str | None = None


def main() -> int:
    """Serve the yardstick."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--port", type=int)
    parser.add_argument("--server", choices=["own", "granian"], default="own")
    chosen = parser.parse_args()
    if chosen.server == "own":
        return host_app(_echo(), Readiness(), listening("127.0.0.1", chosen.port))
    server = Server(
        _echo(),
        address="127.0.0.1",
        port=chosen.port,
        interface=Interfaces.ASGI,
        http=HTTPModes.http1,
        websockets=False,
        log_enabled=False,
    )
    asyncio.run(server.serve())
    return 0


@get("/health/live")
async def _live() -> str:
    return "live"


def _echo() -> ResponseHeaders:
    reply = to_json(latewood.load().calculate("coverage", **BODY))

    decoder = msgspec.json.Decoder(Asked)

    @post("/v1/calculate/coverage", status_code=200)
    async def calculate(request: AnyRequest) -> ASGIResponse:
        decoder.decode(await request.body())
        return posted(reply)

    app = Litestar([calculate, _live], openapi_config=None, logging_config=None)
    return ResponseHeaders(app, ["/v1/calculate/coverage", "/health/live"])


if __name__ == "__main__":
    sys.exit(main())
