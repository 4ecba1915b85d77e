"""Running the application: an address to listen at, workers to calculate, a greeting that can be pasted."""

from __future__ import annotations

import asyncio
import errno
import gc
import ipaddress
import os
import signal
import socket
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import Any, Final

import uvicorn
from litestar.types import ASGIApp, Message, Receive, Scope, Send
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from latewood.catalogue import Catalogue, load
from latewood.plugin.loader import BadPlugin
from latewood.undisturbed import undisturbed
from latewood_api.app import create_app
from latewood_api.dispatch.nursery import open_nursery
from latewood_api.dispatch.workers import BUDGET, CannotStart, Workers
from latewood_api.examples import first_requests
from latewood_api.routes.health import Readiness
from latewood_api.routes.security import CONTACT

#: Seconds between the first 503 of readiness and the closing of the door, for those who send work to look.
NOTICE: Final = 1.0
#: Seconds in which what was asked before must be answered; longer than any time limit of a single body.
WITHIN: Final = 30.0
#: The share of that time after which nothing more is begun, and after which what is calculated is given up.
HOLD: Final = 0.5
END: Final = 0.8
#: Seconds a connection may rest between two requests.
IDLE: Final = 30
#: Connections the system holds until they are taken in, and open files wanted: one a connection, and some more.
BACKLOG: Final = 4096
FILES: Final = 16_640
#: Where it is said how others are let in.
RECIPE: Final = "examples/deploy, explained in docs/guide/operator.md"


def serve(
    host: str = "127.0.0.1",
    port: int = 8000,
    strict: bool = False,
    *,
    workers: int | None = None,
    budget: float = BUDGET,
    notice: float = NOTICE,
    within: float = WITHIN,
    contact: Sequence[str] = (),
) -> int:
    """Serve until told to stop; return 0 once every request is answered, 1 where one was cut or none could be served.

    ``strict`` refuses to begin where a plugin would be left out. ``workers`` calculate: one for each processor, two at
    least and four at most, unless it is given. ``budget`` are seconds of processor time for one calculation.
    ``notice`` and ``within`` are seconds: how long connections are still taken after readiness has turned, and how
    long what was asked may then take. ``contact`` are addresses for reports of security faults; what the environment
    has as LATEWOOD_CONTACT stands in for them.
    """
    contact = contact or os.environ.get("LATEWOOD_CONTACT", "").split()
    for address in contact:
        if not CONTACT.fullmatch(address):
            print(f"latewood: {address!r} is no https:, mailto: or tel: address for --contact", file=sys.stderr)
            return 1
    try:
        listener = listening(host, port)
    except CannotListen as refused:
        print(f"latewood: {refused}", file=sys.stderr)
        return 1
    desk: Workers | None = None
    try:
        with undisturbed():
            lw = load(strict=strict)
            for plugin in lw.health()["plugins"]:
                if "error" in plugin:
                    print(f"latewood: plugin {plugin['id']} is left out: {plugin['error']}", file=sys.stderr)
            open_nursery(lw)
            desk = Workers(lw, workers or min(4, _processors()), budget=budget)
            desk.start()
            readiness = Readiness()
            app = create_app(lw, readiness, desk=desk, contact=contact)
        if not _loopback(listener):
            print(
                f"latewood: others can reach {host}: put a proxy in front, as in {RECIPE}", file=sys.stderr, flush=True
            )
        greet = partial(_greet, lw, listener)
        return host_app(app, readiness, listener, greet, desk=desk, notice=notice, within=within)
    except (BadPlugin, CannotStart) as refused:
        print(f"latewood: {refused}", file=sys.stderr)
        return 1
    finally:
        if desk is not None:
            desk.stop()
        listener.close()


def host_app(
    app: ASGIApp,
    readiness: Readiness,
    listener: socket.socket,
    greet: Callable[[], None] = lambda: None,
    *,
    desk: Workers | None = None,
    notice: float = NOTICE,
    within: float = WITHIN,
) -> int:
    """Serve an application in this process; ``greet`` is called once it is served."""
    _allow_files()
    config = uvicorn.Config(
        _Line(app, readiness),
        http=_Connection,
        ws="none",
        lifespan="off",
        interface="asgi3",
        log_config=None,
        access_log=False,
        proxy_headers=False,
        server_header=False,
        backlog=BACKLOG,
        timeout_keep_alive=IDLE,
        timeout_graceful_shutdown=max(1, round(within)),
    )
    # What was loaded so far stays: no collection need look at it again.
    gc.freeze()
    server = _Server(config, greet)

    async def run() -> None:
        loop = asyncio.get_running_loop()

        def stop() -> None:
            if readiness.stopping:
                server.should_exit = server.force_exit = True
                return
            readiness.stopping = True
            loop.call_later(notice, partial(setattr, server, "should_exit", True))
            if desk is not None:
                loop.call_later(notice + HOLD * within, desk.hold)
                loop.call_later(notice + END * within, desk.end)

        with _signals(lambda: loop.call_soon_threadsafe(stop)):
            await server.serve([listener])

    with asyncio.Runner(loop_factory=config.get_loop_factory()) as runner:
        runner.run(run())
    if server.cut:
        print("latewood: stopped before every request was answered", file=sys.stderr, flush=True)
    return int(server.cut)


class _Connection(HttpToolsProtocol):
    """A connection that keeps nothing once it is lost.

    The library stops the clock of an idle connection only where it was closed: one that is reset is held until then.
    """

    def connection_lost(self, exc: Exception | None) -> None:
        """Let go of it, however it was lost."""
        super().connection_lost(exc)
        self._unset_keepalive_if_required()


class _Server(uvicorn.Server):
    """Says when it serves, and whether it ended before every request was answered; signals are not its own to hear."""

    def __init__(self, config: uvicorn.Config, greet: Callable[[], None]) -> None:
        super().__init__(config)
        self.cut = False
        self._greet = greet

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave signals to who runs the server: they end a process that has answered everything with 0."""
        yield

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to serve."""
        await super().startup(sockets)
        self._greet()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Answer what was asked."""
        await super().shutdown(sockets)
        self.cut = bool(self.server_state.tasks)


class _Line:
    """Says that the connection ends with every answer from the first 503 of readiness on; lets go of who has left."""

    def __init__(self, app: ASGIApp, readiness: Readiness) -> None:
        self._app = app
        self._readiness = readiness

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""

        async def send_on(message: Message) -> None:
            if message["type"] == "http.response.start" and self._readiness.stopping:
                message = {**message, "headers": [*message.get("headers", ()), (b"connection", b"close")]}
            try:
                await send(message)
            except RuntimeError as error:
                # So uvloop says that the client left before an answer to one of several requests sent together.
                if "closed" not in str(error):
                    raise

        await self._app(scope, receive, send_on)


@contextmanager
def _signals(told: Callable[[], Any]) -> Iterator[None]:
    numbers = [signal.SIGINT, signal.SIGTERM]
    if sys.platform == "win32":
        numbers.append(signal.SIGBREAK)
    before = {number: signal.signal(number, lambda *_: told()) for number in numbers}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _allow_files() -> None:
    """Let this process open as many files as it needs, where the system allows it."""
    if sys.platform != "win32":
        import resource

        soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
        most = FILES if hard == resource.RLIM_INFINITY else min(FILES, hard)
        if soft != resource.RLIM_INFINITY and soft < most:
            resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))


class CannotListen(Exception):
    """Nothing can listen there; the message is one line that names the remedy."""


def listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens, so that whoever connects from now on is answered once the server runs."""
    if not 0 < port < 65536:
        raise CannotListen(f"{port} is not a port; choose one from 1 to 65535 with --port")
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        # A name such as localhost has several addresses; clients most often try this family.
        family, kind, protocol, _, address = min(found, key=lambda entry: entry[0] != socket.AF_INET)
        listener = socket.socket(family, kind, protocol)
        try:
            if sys.platform != "win32":
                # There it would let two servers share one port.
                listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listener.bind(address)
            listener.listen(BACKLOG)
        except OSError:
            listener.close()
            raise
    except (OSError, UnicodeError) as error:
        number = error.errno if isinstance(error, OSError) else None
        if number == errno.EADDRINUSE:
            raise CannotListen(f"port {port} is already in use; choose another with --port") from None
        if number == errno.EACCES:
            raise CannotListen(f"port {port} is reserved; choose one above 1023 with --port") from None
        raise CannotListen(f"{host} port {port}: {error}; choose others with --host and --port") from None
    return listener


def _loopback(listener: socket.socket) -> bool:
    return ipaddress.ip_address(listener.getsockname()[0].partition("%")[0]).is_loopback


def _greet(lw: Catalogue, listener: socket.socket) -> None:
    address, port = listener.getsockname()[:2]
    # Where every address is listened on, this is one the machine can be reached by.
    name = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(address, address)  # noqa: S104  # compared, not bound
    base = f"http://[{name}]:{port}" if ":" in name else f"http://{name}:{port}"
    requests = "\n".join(f"  {request}" for request in first_requests(lw, base))
    print(f"latewood: serving; the pages are at {base}/docs\n{requests}", flush=True)
