"""One worker process: it takes connections from the shared listener, and at the end answers what it has taken."""

from __future__ import annotations

import asyncio
import errno
import os
import select
import socket
import sys
import time
from collections.abc import Callable
from email.utils import formatdate
from typing import Final

from latewood_api.routes.health import Readiness
from latewood_api.serving import limits
from latewood_api.serving.connection import Connection
from latewood_api.serving.exchange import App

#: Taken in one go, before others get their turn.
_AT_ONCE: Final = 16
#: Files a worker needs for itself: libraries it has yet to read, long tables on disk.
_SPARE: Final = 256
_FULL: Final = {errno.EMFILE, errno.ENFILE, errno.ENOBUFS, errno.ENOMEM}


class Worker:
    """What one process serves."""

    def __init__(
        self,
        app: App,
        readiness: Readiness,
        listener: socket.socket,
        *,
        notice: float,
        within: float,
        connections: int = limits.CONNECTIONS,
    ) -> None:
        self.app = app
        self.buffer = bytearray(limits.READ)
        self.date = _now()
        self.stopping = False
        self.loop: asyncio.AbstractEventLoop
        self._readiness = readiness
        self._listener = listener
        self._notice = notice
        self._within = within
        self._most = connections
        self._connections: set[Connection] = set()
        self._resting: dict[Connection, None] = {}
        self._arriving: dict[Connection, asyncio.Task[object]] = {}
        self._listening = False

    async def run(self, lifeline: int, ready: Callable[[], None]) -> bool:
        """Serve until the other end of the lifeline is closed; say whether everyone was answered in time."""
        self.loop = asyncio.get_running_loop()
        self._listener.setblocking(False)
        stop = asyncio.Event()
        self.loop.add_reader(lifeline, stop.set)
        self._listen()
        ready()
        told = self.loop.create_task(stop.wait())
        sweeping = self.loop.create_task(self._sweep())
        await asyncio.wait({told, sweeping}, return_when=asyncio.FIRST_COMPLETED)
        self.loop.remove_reader(lifeline)
        try:
            if sweeping.done():
                # Without it no limit holds: better another worker than this one.
                sweeping.result()
            async with asyncio.timeout(self._notice + self._within):
                await self._drain()
        except TimeoutError:
            return False
        finally:
            told.cancel()
            sweeping.cancel()
        return True

    # -- who is here

    def entered(self, connection: Connection) -> None:
        """Note a new connection."""
        self._arriving.pop(connection, None)
        self._connections.add(connection)

    def left(self, connection: Connection) -> None:
        """Note that a connection has ended."""
        self._connections.discard(connection)
        self._resting.pop(connection, None)
        if not self._listening and not self.stopping:
            self._listen()

    def rests(self, connection: Connection) -> None:
        """Note that a connection waits for a request; the longest silent stands first."""
        self._resting.pop(connection, None)
        self._resting[connection] = None

    def works(self, connection: Connection) -> None:
        """Note that a connection waits for an answer."""
        self._resting.pop(connection, None)

    # -- coming in

    def _listen(self) -> None:
        self._listening = True
        self.loop.add_reader(self._listener, self._accept)

    def _pause(self) -> None:
        self._listening = False
        self.loop.remove_reader(self._listener)

    def _accept(self) -> None:
        for _ in range(_AT_ONCE):
            if not self._take():
                return

    def _take(self) -> bool:
        """Take the next connection in; return whether there may be another."""
        try:
            taken, _ = self._listener.accept()
        except (BlockingIOError, InterruptedError):
            return False
        except OSError as error:
            if error.errno in _FULL and not self._make_room():
                self._pause()
                self.loop.call_later(limits.SWEEP, self._try_again)
            # Otherwise the client has gone before its turn came.
            return error.errno not in _FULL
        taken.setblocking(False)
        connection = Connection(self)
        entering = self.loop.connect_accepted_socket(lambda: connection, taken)
        self._arriving[connection] = self.loop.create_task(entering)
        if len(self._connections) + len(self._arriving) > self._most and not self._make_room():
            self._pause()
            return self.stopping
        return True

    def _try_again(self) -> None:
        if not self._listening and not self.stopping:
            self._listen()

    def _make_room(self) -> bool:
        """End the connection that has been silent longest; return whether there was one."""
        silent = next((connection for connection in self._resting if connection.silent()), None)
        if silent is None:
            return False
        self._resting.pop(silent)
        # Counted out at once: that it has ended comes to notice only after others have been taken in.
        self._connections.discard(silent)
        silent.end()
        return True

    async def _sweep(self) -> None:
        looked = self.loop.time()
        while True:
            await asyncio.sleep(limits.SWEEP)
            self.date = _now()
            before, looked = looked, self.loop.time()
            # Held up by a long calculation, the worker has not read what came meanwhile: nobody is late yet.
            if looked - before < 2 * limits.SWEEP:
                for connection in list(self._connections):
                    connection.check(looked)

    # -- going out

    async def _drain(self) -> None:
        self._readiness.stopping = self.stopping = True
        await asyncio.sleep(self._notice)
        self._pause()
        # Whoever has connected is taken in; the moment between the last of them and the closing is too short for more.
        while self._take():
            pass
        self._listener.close()
        while self._arriving:
            await asyncio.sleep(0)
        goodbye = self.loop.time() + limits.LINGER_SECONDS / 2
        while self._connections:
            await asyncio.sleep(0.01)
            if self.loop.time() > goodbye:
                self._send_home()

    def _send_home(self) -> None:
        """Close what nothing was asked on, unless a question has just come in and was not read yet."""
        silent = {c.fileno(): c for c in self._resting if c.silent()}
        poll = select.poll()
        for number in silent:
            poll.register(number, select.POLLIN)
        asking = {number for number, _ in poll.poll(0)}
        for number, connection in silent.items():
            if number not in asking or connection.parting():
                connection.end()


def _now() -> bytes:
    return formatdate(time.time(), usegmt=True).encode()


def affordable() -> int:
    """Let this process open as many files as the system allows it; return for how many connections that is enough."""
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = limits.CONNECTIONS + _SPARE
    most = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
    if soft != resource.RLIM_INFINITY and soft < most:
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
        soft = most
    return limits.CONNECTIONS if soft == resource.RLIM_INFINITY else max(16, min(limits.CONNECTIONS, soft - _SPARE))


def work(worker: Worker, lifeline: int, ready: int) -> int:
    """Run a worker as the whole of a process; return its exit code."""
    in_time = asyncio.run(worker.run(lifeline, lambda: _tell(ready)))
    sys.stderr.flush()
    return 0 if in_time else 1


def _tell(ready: int) -> None:
    os.write(ready, b"1")
