"""One worker: a process that is replaced whenever it ends."""

from __future__ import annotations

import asyncio
import math
import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, Future
from typing import Any, Final

import pebble

from latewood_api.dispatch import child
from latewood_api.dispatch.desk import Ended, TooLong

#: The module the process that workers are forked from loads before the first of them.
PRELOADED: Final = "latewood_api.dispatch.preloaded"
#: Seconds a worker may take to start, and to say which engine it has.
START: Final = 120.0
#: Seconds after which a worker is looked at while its work is awaited.
PULSE: Final = 0.5

# A worker keeps nothing: it is ended at once, without being asked.
pebble.CONSTS.term_timeout = 0


def starting(method: str | None = None) -> Any:
    """Return how workers are started: forked from a process that has loaded the engine, or anew without one.

    Without a method it is what LATEWOOD_START_METHOD says, or what the system has.
    """
    has = "spawn" if sys.platform == "win32" else "forkserver"
    found = multiprocessing.get_context(method or os.environ.get("LATEWOOD_START_METHOD") or has)
    if found.get_start_method() == "forkserver":
        found.set_forkserver_preload([PRELOADED])
    return found


def forked(context: Any) -> bool:
    """Say whether workers are forked, and limited by the system; others have a limit on the clock only."""
    return bool(context.get_start_method() == "forkserver")


class Slot:
    """A place for one worker at a time."""

    def __init__(self, context: Any, *, quick: bool = False) -> None:
        self.quick = quick
        self._context = context
        self._pool = self._begun()

    def _begun(self) -> pebble.ProcessPool:
        limited = forked(self._context)
        return pebble.ProcessPool(max_workers=1, initializer=child.begin, initargs=[limited], context=self._context)

    def start(self) -> child.Engine:
        """Start the worker and wait for it; return which engine it has."""
        found: child.Engine = self._pool.schedule(child.engine).result(START)
        return found

    async def perform(self, do: Callable[..., Any], arguments: Sequence[Any], *, budget: float, wall: float) -> Any:
        """Have the worker do a piece of work; it is ended where that takes too long, or where nobody waits any more."""
        allowed = budget if forked(self._context) else math.inf
        try:
            outcome = await _answer(
                self._pool, self._pool.schedule(child.perform, [allowed, do, arguments], timeout=wall)
            )
        except asyncio.CancelledError:
            # Nobody waits any more. Cancelled by its pool, it might take the next piece of work with it.
            self.renew()
            raise
        except TimeoutError:
            raise TooLong from None
        except pebble.ProcessExpired as ended:
            # Ended while it hands an answer over it keeps the lock of its pool, and its successor would wait for that.
            self.renew()
            if sys.platform != "win32" and ended.exitcode == -signal.SIGXCPU:
                raise TooLong from None
            raise Ended(f"worker {ended.pid} ended with exit code {ended.exitcode}") from None
        except (BrokenExecutor, RuntimeError) as broken:
            # Its process ended while it had nothing to do.
            self.renew()
            raise Ended(str(broken) or type(broken).__name__) from None
        if isinstance(outcome, child.Failed) or (isinstance(outcome, child.Done) and outcome.grown):
            self.renew()
        return outcome

    def renew(self) -> None:
        """Replace the worker by one that has done nothing yet."""
        old, self._pool = self._pool, self._begun()
        threading.Thread(target=_end, args=[old], daemon=True).start()

    def stop(self) -> None:
        """End the worker."""
        _end(self._pool)


async def _answer(pool: pebble.ProcessPool, future: Future[child.Outcome]) -> child.Outcome:
    """Wait for an answer; raise `BrokenExecutor` where the pool broke before it saw the task and will never answer."""
    waited = asyncio.wrap_future(future)
    try:
        while not (await asyncio.wait({waited}, timeout=PULSE))[0]:
            if not pool.active and not future.done():
                raise BrokenExecutor("the pool of the worker broke")
        return await waited
    finally:
        waited.cancel()


def _end(pool: pebble.ProcessPool) -> None:
    pool.stop()
    pool.join()
