"""An empty litestar application on the same server: the yardstick for the cold start."""

from __future__ import annotations

import argparse
import asyncio

from granian.constants import HTTPModes, Interfaces
from granian.server.embed import Server
from litestar import Litestar, get


@get("/health/live")
async def live() -> str:
    """Answer."""
    return "live"


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--port", type=int)
    app = Litestar([live], openapi_config=None, logging_config=None)
    server = Server(
        app,
        address="127.0.0.1",
        port=parser.parse_args().port,
        interface=Interfaces.ASGI,
        http=HTTPModes.http1,
        websockets=False,
        log_enabled=False,
    )
    asyncio.run(server.serve())
