"""The process that is started: it holds the listener, watches its workers, replaces who dies, and ends them in order.

It answers no request itself, so nothing a client sends can reach it. Workers know of its end, and of the order to
stop, by one pipe: as long as they can read nothing from it, they serve. A worker therefore never outlives it for long,
not even where it is killed.
"""

from __future__ import annotations

import os
import select
import signal
import socket
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final, NoReturn

#: The order to stop, and the news that a worker has ended.
_STOP: Final = (signal.SIGINT, signal.SIGTERM)
_WATCHED: Final = (*_STOP, signal.SIGCHLD)
#: A worker that lives shorter than this is replaced later each time, so that one that cannot start costs little.
_YOUNG: Final = 2.0
_LONGEST_PAUSE: Final = 5.0


class Supervisor:
    """Keeps a number of workers running."""

    def __init__(
        self, work: Callable[[int, int], int], listener: socket.socket, *, workers: int, notice: float, within: float
    ) -> None:
        self._work = work
        self._listener = listener
        self._wanted = workers
        self._patience = notice + within
        self._alive: dict[int, float] = {}
        self._serving = False
        self._cut = False
        self._stops = 0
        self._young = 0
        self._next = 0.0
        self._lifeline, self._hold = os.pipe()
        self._ready, self._tell = os.pipe()
        self._news, self._wake = socket.socketpair()

    def run(self, greet: Callable[[], None]) -> int:
        """Serve until told to stop; return 0 where every request was answered, 1 where one was cut or none could be."""
        self._news.setblocking(False)
        self._wake.setblocking(False)
        with self._signals():
            for _ in range(self._wanted):
                self._start()
            while self._alive and not self._serving and not self._stops:
                self._listen(None)
            if self._serving and not self._stops:
                greet()
            elif not self._stops:
                print("latewood: no worker could start", file=sys.stderr)
                return self._end()
            while not self._stops:
                self._replace()
                self._listen(max(0.0, self._next - time.monotonic()) if self._missing() else None)
            return self._end()

    def _missing(self) -> int:
        return self._wanted - len(self._alive)

    def _listen(self, seconds: float | None) -> None:
        """Wait for a signal, at most so long, and take note of the workers that have ended."""
        found, _, _ = select.select([self._news.fileno(), self._ready], [], [], seconds)
        if self._ready in found:
            self._serving = bool(os.read(self._ready, 4096))
        try:
            numbers = self._news.recv(4096)
        except BlockingIOError:
            numbers = b""
        self._stops += sum(number in _STOP for number in numbers)
        for pid in list(self._alive):
            ended, status = os.waitpid(pid, os.WNOHANG)
            if ended:
                self._ended(pid, os.waitstatus_to_exitcode(status))

    def _ended(self, pid: int, code: int) -> None:
        lived = time.monotonic() - self._alive.pop(pid)
        if self._stops or not self._serving:
            self._cut = self._cut or code != 0
            return
        self._young = self._young + 1 if lived < _YOUNG else 0
        pause = min(_LONGEST_PAUSE, 0.1 * 2.0**self._young) if self._young > 1 else 0.0
        self._next = time.monotonic() + pause
        how = f"signal {-code}" if code < 0 else f"exit code {code}"
        print(f"latewood: worker {pid} ended with {how} and is replaced", file=sys.stderr, flush=True)

    def _replace(self) -> None:
        if time.monotonic() >= self._next:
            for _ in range(self._missing()):
                self._start()

    def _start(self) -> None:
        # No signal may find the worker with the supervisor's handlers still in place.
        signal.pthread_sigmask(signal.SIG_BLOCK, _WATCHED)
        try:
            pid = os.fork()
            if pid == 0:
                self._become_worker()
            self._alive[pid] = time.monotonic()
        finally:
            signal.pthread_sigmask(signal.SIG_UNBLOCK, _WATCHED)

    def _become_worker(self) -> NoReturn:
        code = 1
        try:
            signal.set_wakeup_fd(-1)
            # A terminal and some managers of services signal every process; when to stop is the supervisor's to say.
            for number in _STOP:
                signal.signal(number, signal.SIG_IGN)
            signal.signal(signal.SIGCHLD, signal.SIG_DFL)
            signal.pthread_sigmask(signal.SIG_UNBLOCK, _WATCHED)
            os.close(self._hold)
            self._news.close()
            self._wake.close()
            code = self._work(self._lifeline, self._tell)
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stderr.flush()
            # Nothing of the supervisor's is to be undone here.
            os._exit(code)

    def _end(self) -> int:
        """Tell the workers to stop, and wait; at a second signal or when time is up, end them. Return the exit code."""
        # Closed here first: as long as anybody has it open, connections are made that nobody takes.
        self._listener.close()
        os.close(self._hold)
        self._hold = -1
        deadline = time.monotonic() + self._patience
        asked, killed = self._stops, False
        while self._alive:
            left = deadline - time.monotonic()
            if not killed and (self._stops > asked or left <= 0):
                killed = True
                for pid in self._alive:
                    os.kill(pid, signal.SIGKILL)
            self._listen(None if killed else max(0.0, left))
        if asked and self._cut:
            print("latewood: stopped before every request was answered", file=sys.stderr, flush=True)
        return int(self._cut or not asked)

    @contextmanager
    def _signals(self) -> Iterator[None]:
        before = {number: signal.signal(number, lambda *_: None) for number in _WATCHED}
        wakeup = signal.set_wakeup_fd(self._wake.fileno(), warn_on_full_buffer=False)
        try:
            yield
        finally:
            signal.set_wakeup_fd(wakeup)
            for number, handler in before.items():
                signal.signal(number, handler)
            for end in (self._lifeline, self._ready, self._tell):
                os.close(end)
            self._news.close()
            self._wake.close()
