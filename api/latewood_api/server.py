"""Running the application: an address to listen at, workers to answer, a greeting that can be pasted."""

from __future__ import annotations

import errno
import gc
import os
import socket
import sys
from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from latewood.catalogue import Catalogue, load
from latewood.plugin.loader import BadPlugin
from latewood_api.app import create_app
from latewood_api.examples import first_requests
from latewood_api.routes.health import Readiness
from latewood_api.routes.security import CONTACT
from latewood_api.serving import limits
from latewood_api.serving.exchange import App
from latewood_api.serving.supervisor import Supervisor
from latewood_api.serving.worker import Worker, affordable, work

#: Seconds between the first 503 of readiness and the closing of the door, for those who send work to look.
NOTICE: Final = 1.0
#: Seconds in which what was asked before must be answered; longer than any time limit of a single body.
WITHIN: Final = 30.0


def serve(
    host: str = "127.0.0.1",
    port: int = 8000,
    strict: bool = False,
    *,
    workers: int | None = None,
    notice: float = NOTICE,
    within: float = WITHIN,
    contact: Sequence[str] = (),
) -> int:
    """Serve until told to stop; return 0 once every request is answered, 1 where one was cut or none could be served.

    ``strict`` refuses to begin where a plugin would be left out. ``workers`` is one for each processor, four at most,
    unless it is given. ``notice`` and ``within`` are seconds: how long connections are still taken after readiness has
    turned, and how long what was asked may then take. ``contact`` are addresses for reports of security faults; what
    the environment has as LATEWOOD_CONTACT stands in for them.
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
    try:
        lw = load(strict=strict)
    except BadPlugin as refused:
        print(f"latewood: {refused}", file=sys.stderr)
        listener.close()
        return 1
    for plugin in lw.health()["plugins"]:
        if "error" in plugin:
            print(f"latewood: plugin {plugin['id']} is left out: {plugin['error']}", file=sys.stderr)
    readiness = Readiness()
    app = create_app(lw, readiness, contact=contact)
    greet = partial(_greet, lw, listener)
    return host_app(app, readiness, listener, greet, workers=workers, notice=notice, within=within)


def host_app(
    app: App,
    readiness: Readiness,
    listener: socket.socket,
    greet: Callable[[], None] = lambda: None,
    *,
    workers: int | None = None,
    notice: float = NOTICE,
    within: float = WITHIN,
) -> int:
    """Serve any application in workers of their own; ``greet`` is called when the first of them serves."""
    connections = affordable()
    worker = Worker(app, readiness, listener, notice=notice, within=within, connections=connections)
    # What was loaded so far is shared by all workers; a collection that touched it would copy it into each.
    gc.freeze()
    count = workers or min(4, _processors())
    return Supervisor(partial(work, worker), listener, workers=count, notice=notice, within=within).run(greet)


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class CannotListen(Exception):
    """Nothing can listen there; the message is one line that names the remedy."""


def listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens, so that whoever connects from now on is answered once a worker serves."""
    if not 0 < port < 65536:
        raise CannotListen(f"{port} is not a port; choose one from 1 to 65535 with --port")
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        # A name such as localhost has several addresses; clients most often try this family.
        family, kind, protocol, _, address = min(found, key=lambda entry: entry[0] != socket.AF_INET)
        listener = socket.socket(family, kind, protocol)
        try:
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listener.bind(address)
            listener.listen(limits.BACKLOG)
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


def _greet(lw: Catalogue, listener: socket.socket) -> None:
    address, port = listener.getsockname()[:2]
    # Where every address is listened on, this is one the machine can be reached by.
    name = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(address, address)  # noqa: S104  # compared, not bound
    base = f"http://[{name}]:{port}" if ":" in name else f"http://{name}:{port}"
    requests = "\n".join(f"  {request}" for request in first_requests(lw, base))
    print(f"latewood: serving; the pages are at {base}/docs\n{requests}", flush=True)
