"""Running the application: one process, bounded waiting, an orderly stop."""

from __future__ import annotations

import asyncio
import errno
import signal
import socket
import sys
from typing import Final

from granian.constants import HTTPModes, Interfaces
from granian.http import HTTP1Settings
from granian.server.embed import Server

from latewood.catalogue import Catalogue, load
from latewood.plugin.loader import BadPlugin
from latewood_api.app import create_app
from latewood_api.examples import first_requests
from latewood_api.routes.health import Readiness

#: Connections waiting or idle; the default of 128 lets a hundred silent sockets block everyone else.
CONNECTIONS: Final = 4096
#: How long headers may take, in milliseconds; a body has its own deadline in the application.
HEADER_TIMEOUT: Final = 10_000
#: A request line and its headers; larger ones are refused before they reach the application.
BUFFER: Final = 64 * 1024


def serve(host: str = "127.0.0.1", port: int = 8000, strict: bool = False) -> int:
    """Serve until interrupted and return the exit code: 0 after an orderly stop, 1 where serving could not begin.

    ``strict`` refuses to begin where a plugin would be left out.
    """
    if (refused := cannot_listen(host, port)) is not None:
        print(refused, file=sys.stderr)
        return 1
    try:
        lw = load(strict=strict)
    except BadPlugin as broken:
        print(f"latewood: {broken}", file=sys.stderr)
        return 1
    for plugin in lw.health()["plugins"]:
        if "error" in plugin:
            print(f"latewood: plugin {plugin['id']} is left out: {plugin['error']}", file=sys.stderr)
    asyncio.run(_run(lw, host, port))
    return 0


def cannot_listen(host: str, port: int) -> str | None:
    """Return why nothing can listen there, in a line that names the remedy, or None."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
            probe.listen(1)
    except (OSError, OverflowError) as error:
        number = error.errno if isinstance(error, OSError) else None
        if number == errno.EADDRINUSE:
            return f"latewood: port {port} is already in use; choose another with --port"
        if number == errno.EACCES:
            return f"latewood: port {port} may not be used by this user; choose one above 1023 with --port"
        return f"latewood: cannot listen on {host} port {port} ({error}); choose others with --host and --port"
    return None


async def _run(lw: Catalogue, host: str, port: int) -> None:
    readiness = Readiness()
    server = Server(
        create_app(lw, readiness),
        address=host,
        port=port,
        interface=Interfaces.ASGI,
        http=HTTPModes.http1,
        websockets=False,
        backlog=CONNECTIONS,
        backpressure=CONNECTIONS,
        http1_settings=HTTP1Settings(header_read_timeout=HEADER_TIMEOUT, max_buffer_size=BUFFER),
        log_enabled=False,
    )

    def stop() -> None:
        readiness.stopping = True
        server.stop()  # type: ignore[no-untyped-call]  # not annotated there

    loop = asyncio.get_running_loop()
    for number in (signal.SIGINT, signal.SIGTERM):
        loop.add_signal_handler(number, stop)
    serving = loop.create_task(server.serve())
    loop.call_soon(print, _greeting(lw, host, port))
    await serving


def _greeting(lw: Catalogue, host: str, port: int) -> str:
    name = {"0.0.0.0": "127.0.0.1", "::": "[::1]"}.get(host, f"[{host}]" if ":" in host else host)  # noqa: S104  # shown, not bound
    base = f"http://{name}:{port}"
    requests = "\n".join(f"  {request}" for request in first_requests(lw, base))
    return f"latewood: serving; the pages are at {base}/docs\n{requests}"
