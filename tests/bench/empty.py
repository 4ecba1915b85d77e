"""An empty litestar application on the same server: the yardstick for the cold start."""

from __future__ import annotations

import argparse
import sys

from litestar import Litestar, get

from latewood_api.routes.health import Readiness
from latewood_api.server import host_app, listening


@get("/health/live")
async def live() -> str:
    """Answer."""
    return "live"


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--port", type=int)
    parser.add_argument("--arrays", action="store_true", help="import numpy and shapely")
    chosen = parser.parse_args()
    if chosen.arrays:
        import numpy  # noqa: F401
        import shapely  # noqa: F401
    app = Litestar([live], openapi_config=None, logging_config=None)
    sys.exit(host_app(app, Readiness(), listening("127.0.0.1", chosen.port)))
