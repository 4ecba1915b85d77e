"""Workers, and whose turn it is: what is short is calculated at once, the rest in turn, after a wait with a bound."""

from __future__ import annotations

import asyncio
import logging
import math
from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any, Final

from litestar.types import Receive

from latewood.blame import OWN, Elsewhere, PluginFailed, no_plugins_here
from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.problems import Fault
from latewood.wire import Options
from latewood_api.dispatch import sizes
from latewood_api.dispatch.child import MEMORY, Done, Failed, Refused
from latewood_api.dispatch.desk import Desk, Ended, Sent, TooLong
from latewood_api.dispatch.slot import PRELOADED, Slot, forked, starting
from latewood_api.problem import Refusal, refusal

log = logging.getLogger("latewood_api")

#: Seconds of one processor: what is certain to take less runs where it was read; what takes less has a worker kept.
IN_PLACE: Final = 0.010
QUICK: Final = 0.100
#: Seconds of one processor that a calculation may take.
BUDGET: Final = 5.0
#: How many times its budget a calculation may take on the clock, on a machine that does other things too.
WALL: Final = 6
#: Requests that may wait for a worker, in each of the two queues.
WAITING: Final = 64


class CannotStart(Exception):
    """No worker can be had, or none that has this engine."""


class Workers(Desk):
    """Short work is done here and the rest by worker processes, one of them kept for what takes less than 100 ms."""

    turn = 0.03

    def __init__(self, lw: Catalogue, count: int, *, budget: float = BUDGET, waiting: int | None = None) -> None:
        super().__init__(lw)
        self._budget = budget
        self._most = WAITING if waiting is None else waiting
        self._context = starting()
        self._slots = [Slot(self._context, quick=at == 0) for at in range(max(2, count))]
        self._free = list(self._slots)
        self._queues: dict[bool, deque[asyncio.Future[Slot]]] = {True: deque(), False: deque()}
        #: Those in a queue who cannot be sent elsewhere.
        self._rows: set[asyncio.Future[Slot]] = set()
        self._busy: set[asyncio.Task[Any]] = set()
        self._stage = 0

    # -- from start to stop

    def start(self) -> None:
        """Start every worker; raise `CannotStart` where one has another engine than this process."""
        with ThreadPoolExecutor(len(self._slots)) as threads:
            try:
                found = list(threads.map(Slot.start, self._slots))
            except Exception as error:
                raise CannotStart(f"no worker could start: {error or type(error).__name__}") from None
        for engine in found:
            if engine.computed_with != self.lw.computed_with:
                raise CannotStart("a worker has loaded other plugins or records than the server")
            if forked(self._context) and engine.loaded_by == engine.worker:
                raise CannotStart(f"{PRELOADED} was not loaded before the workers were forked; is latewood installed?")

        # What the first answer of a process builds is built before anybody waits for it.
        for calculator in self.lw.calculators.values():
            if _in_place(calculator, 0):
                with suppress(Elsewhere), no_plugins_here():
                    self.lw.answer(calculator.id, dict(calculator.example), Options(working=True))

    def hold(self) -> None:
        """Begin nothing more but rows of tables, which no proxy sends again: who else waits is sent elsewhere."""
        self._stage = 1
        self._send_elsewhere(self._rows)

    def end(self) -> None:
        """Give up what is being calculated: whoever waits for it is sent elsewhere."""
        self._stage = 2
        self._send_elsewhere(set())
        for task in self._busy:
            task.cancel()

    def _send_elsewhere(self, stay: set[asyncio.Future[Slot]]) -> None:
        for queue in self._queues.values():
            for waiting in queue:
                if not waiting.done() and waiting not in stay:
                    waiting.set_exception(_stopping())

    def stop(self) -> None:
        """End every worker."""
        for slot in self._slots:
            slot.stop()

    # -- work

    async def perform(
        self,
        do: Callable[..., Any],
        *arguments: Any,
        of: Calculator | None = None,
        sent: Sent = b"",
        size: int = 0,
        receive: Receive | None = None,
    ) -> Any:
        """Do a piece of work in the place its declared cost allows."""
        if of is not None and _in_place(of, size):
            # A record may choose a model of a plugin, which may take any time.
            with suppress(Elsewhere), no_plugins_here():
                return do(self.lw, *arguments)
        quick = of is not None and of.most(size) <= QUICK
        if self._stage == 0 and len(self._queues[quick]) >= self._most:
            raise refusal("busy", "too many calculations are waiting", retry_after=str(math.ceil(self._budget)))
        task = asyncio.create_task(self._in_turn(do, arguments, quick=quick))
        try:
            # Quick work is cheaper to finish than its worker is to replace.
            if receive is not None and not quick:
                await _until_left(task, receive)
            return await task
        except TooLong:
            raise self._too_long(of, sent) from None
        except Ended as ended:
            raise _blamed(of, str(ended)) or ended from None
        finally:
            task.cancel()

    async def rows(self, do: Callable[..., Any], *arguments: Any, of: Calculator, size: int) -> Any:
        """Have a worker answer rows."""
        return await self._in_turn(do, arguments, quick=of.most(size) <= QUICK, rows=True)

    async def aside(self, do: Callable[..., Any]) -> Any:
        """Have a worker of its own do it, which ends with it."""
        slot = Slot(self._context)
        try:
            return self._made_of(await slot.perform(do, [], budget=10 * self._budget, wall=WALL * 10 * self._budget))
        except (TooLong, Ended) as failed:
            raise RuntimeError(f"{do.__name__} could not be done: {failed!r}") from None
        finally:
            await asyncio.to_thread(slot.stop)

    async def _in_turn(
        self, do: Callable[..., Any], arguments: Sequence[Any], *, quick: bool, rows: bool = False
    ) -> Any:
        slot = await self._slot(quick=quick, rows=rows)
        task = asyncio.current_task()
        assert task is not None  # noqa: S101  # it runs in one
        self._busy.add(task)
        try:
            return self._made_of(await self._twice(slot, do, arguments))
        except asyncio.CancelledError:
            if self._stage == 2:
                raise _stopping() from None
            raise
        finally:
            self._busy.discard(task)
            self._leave(slot)

    async def _twice(self, slot: Slot, do: Callable[..., Any], arguments: Sequence[Any]) -> Any:
        """Do a piece of work; where its worker ends, which may be the deed of others, once more."""
        wall = WALL * self._budget
        try:
            return await slot.perform(do, arguments, budget=self._budget, wall=wall)
        except Ended as first:
            log.warning("%s; its work is done again", first)
            return await slot.perform(do, arguments, budget=self._budget, wall=wall)

    def _made_of(self, outcome: Any) -> Any:
        match outcome:
            case Done():
                return outcome.value
            case Refused():
                raise Refusal(outcome.slug, outcome.faults)
            case Failed(None):
                raise TooLong(f"more than {MEMORY // 1_000_000} MB of memory")
            case Failed(said, None):
                raise RuntimeError(f"in a worker:\n{said}")
            case Failed(said, PluginFailed() as failed):
                raise failed from RuntimeError(f"in a worker:\n{said}")
        raise TypeError(type(outcome).__name__)

    def _too_long(self, of: Calculator | None, sent: Sent) -> Refusal:
        what = "the plan" if of is None else of.id if of.plugin == OWN else f"{of.id} of plugin {of.plugin}"
        limit = f"{self._budget:g} s of processor time, or too much memory,"
        if not forked(self._context):
            limit = f"{WALL * self._budget:g} s"
        detail = f"{what} takes more than {limit} and was ended"
        faults = [Fault(pointer="", code="calculation-too-long", detail=detail, expected="a smaller input")]
        return Refusal("calculation-too-long", [*faults, *sizes.largest(sent)])

    # -- turns

    async def _slot(self, *, quick: bool, rows: bool) -> Slot:
        """Return a worker once it is this one's turn."""
        if self._stage > rows:
            raise _stopping()
        # The one that is kept comes last, so that it stays free as long as there is another.
        able = [slot for slot in self._free if quick or not slot.quick]
        if able:
            slot = min(able, key=lambda one: one.quick)
            self._free.remove(slot)
            return slot
        waiting: asyncio.Future[Slot] = asyncio.get_running_loop().create_future()
        self._queues[quick].append(waiting)
        if rows:
            self._rows.add(waiting)
        try:
            return await waiting
        except asyncio.CancelledError:
            if waiting.done() and not waiting.cancelled() and waiting.exception() is None:
                self._leave(waiting.result())
            raise
        finally:
            self._rows.discard(waiting)
            if waiting in self._queues[quick]:
                self._queues[quick].remove(waiting)

    def _leave(self, slot: Slot) -> None:
        """Give a worker to the next in turn."""
        for quick in (True,) if slot.quick else (False, True):
            queue = self._queues[quick]
            while queue:
                waiting = queue.popleft()
                if not waiting.done():
                    waiting.set_result(slot)
                    return
        self._free.append(slot)


def _blamed(of: Calculator | None, cause: str) -> PluginFailed | None:
    """Return the fault of a plugin's calculator whose worker ended; a bundled one may have ended for any reason."""
    return None if of is None or of.plugin == OWN else PluginFailed(of.plugin, f"calculator {of.id}", cause)


def _in_place(calculator: Calculator, size: int) -> bool:
    """Say whether a request of this size may be answered where it was read; what a plugin declares is not checked."""
    return calculator.plugin == OWN and calculator.most(size) <= IN_PLACE


async def _until_left(task: asyncio.Task[Any], receive: Receive) -> None:
    """Wait until the work is done; give it up where the client leaves before."""

    async def left() -> None:
        while (await receive())["type"] != "http.disconnect":
            pass

    leaving = asyncio.create_task(left())
    try:
        await asyncio.wait({task, leaving}, return_when=asyncio.FIRST_COMPLETED)
    finally:
        leaving.cancel()
    if not task.done():
        raise refusal("malformed", "the connection was closed before the answer was ready")


def _stopping() -> Refusal:
    return refusal("not-ready", "the server is stopping", retry_after="5")
