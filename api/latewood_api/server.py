"""Running the application: one process, bounded waiting, an orderly stop."""

from __future__ import annotations

import asyncio
import errno
import os
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
    """Serve until interrupted, then end the process with exit code 0; return 1 where serving cannot begin.

    ``strict`` refuses to begin where a plugin would be left out.
    """
    try:
        address = address_of(host, port)
        lw = load(strict=strict)
    except (CannotListen, BadPlugin) as refused:
        print(f"latewood: {refused}", file=sys.stderr)
        return 1
    for plugin in lw.health()["plugins"]:
        if "error" in plugin:
            print(f"latewood: plugin {plugin['id']} is left out: {plugin['error']}", file=sys.stderr)
    asyncio.run(_run(lw, address, port))
    # Every request is answered by now. The server's own threads outlive it for a moment, and in about one stop in
    # twenty they met an interpreter that was half taken down and crashed it; so nothing is taken down.
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


class CannotListen(Exception):
    """Nothing can listen there; the message is one line that names the remedy."""


def address_of(host: str, port: int) -> str:
    """Return the numeric address of a host, after making sure that this process could listen there."""
    if not 0 < port < 65536:
        raise CannotListen(f"{port} is not a port; choose one from 1 to 65535 with --port")
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        # A name such as localhost has several addresses; clients most often try this family.
        family, kind, protocol, _, address = min(found, key=lambda entry: entry[0] != socket.AF_INET)
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
            probe.listen(1)
    except (OSError, UnicodeError) as error:
        number = error.errno if isinstance(error, OSError) else None
        if number == errno.EADDRINUSE:
            raise CannotListen(f"port {port} is already in use; choose another with --port") from None
        if number == errno.EACCES:
            raise CannotListen(f"port {port} is reserved; choose one above 1023 with --port") from None
        raise CannotListen(f"{host} port {port}: {error}; choose others with --host and --port") from None
    return str(address[0])


async def _run(lw: Catalogue, address: str, port: int) -> None:
    readiness = Readiness()
    server = Server(
        create_app(lw, readiness),
        address=address,
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
    await asyncio.wait({serving, loop.create_task(_answers(address, port))}, return_when=asyncio.FIRST_COMPLETED)
    if not serving.done():
        print(_greeting(lw, address, port), flush=True)
    await serving


async def _answers(address: str, port: int) -> None:
    """Return once a connection is taken, so that what is printed then works."""
    while True:
        try:
            _, writer = await asyncio.open_connection(_reachable(address), port)
        except OSError:
            await asyncio.sleep(0.02)
        else:
            writer.close()
            await writer.wait_closed()
            return


def _reachable(address: str) -> str:
    """Return an address this machine can be reached by where every address is listened on."""
    return {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(address, address)  # noqa: S104  # compared, not bound


def _greeting(lw: Catalogue, address: str, port: int) -> str:
    name = _reachable(address)
    base = f"http://[{name}]:{port}" if ":" in name else f"http://{name}:{port}"
    requests = "\n".join(f"  {request}" for request in first_requests(lw, base))
    return f"latewood: serving; the pages are at {base}/docs\n{requests}"
