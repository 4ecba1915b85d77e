"""A table of rows in, the same table with answers out, both as CSV and both as they come."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from typing import Final

from litestar import Request, asgi
from litestar.handlers import ASGIRouteHandler
from litestar.response.base import ASGIResponse
from litestar.types import Receive, Scope, Send

from latewood.catalogue import Catalogue
from latewood.columns import Asked, Choices, Gained, Table
from latewood.declare import Calculator
from latewood.problems import Fault, InputProblem, Malformed
from latewood_api import body, errors, query
from latewood_api.answers import CSV, AnyRequest, check_accept
from latewood_api.dispatch import work
from latewood_api.dispatch.desk import Desk, Ended, TooLong
from latewood_api.problem import Refusal, refusal
from latewood_api.spool import Gone, Spool

log = logging.getLogger("latewood_api")

ALLOW: Final = "OPTIONS, POST"
#: A client that sends nothing, or takes nothing, for so long has stopped.
STALL: Final = 30.0
#: Rows that are answered together at most: as many as take about one turn, for a table may take an hour.
MOST: Final = 256
#: Tables that may be under way at once.
TABLES: Final = 256
#: Rows go out in batches of this size, or after this time.
BATCH: Final = 16_384
OFTEN: Final = 0.25
#: How long a client whose table is refused may go on sending it.
GRACE: Final = 2.0


def handlers(
    lw: Catalogue, desk: Desk, *, limit: int = body.MAX_TABLE_BYTES, stall: float = STALL
) -> list[ASGIRouteHandler]:
    """Return a route for each calculator: the framework fails on parameters in the paths of routes like these."""
    under_way: set[Spool] = set()
    return [_handler(lw, desk, calculator, under_way, limit, stall) for calculator in lw.calculators.values()]


def _handler(
    lw: Catalogue, desk: Desk, calculator: Calculator, under_way: set[Spool], limit: int, stall: float
) -> ASGIRouteHandler:
    """Return a route that speaks ASGI itself: the framework cannot read and write at the same time."""

    @asgi(f"/v1/table/{calculator.id}.csv", copy_scope=True)
    async def table(scope: Scope, receive: Receive, send: Send) -> None:
        request: AnyRequest = Request(scope, receive)
        if request.method == "OPTIONS":
            await ASGIResponse(status_code=204, headers=_POSTED)(scope, receive, send)
            return
        if request.method != "POST":
            raise refusal(
                "method-not-allowed",
                f"{request.method[:20]} is not answered here",
                expected=f"one of {ALLOW}",
                **_ALLOW,
            )
        check_accept(request, CSV)
        body.check_type(request, CSV)
        body.check_length(request, limit)
        sent = query.Asked.of(request)
        choices = Choices.read(query.parse(sent.raw), sent.languages)
        asked = lw.table(calculator.id, replace(choices, lang=choices.lang or sent.preferred))
        if len(under_way) >= TABLES:
            raise refusal("busy", "too many tables are under way", retry_after="30")
        spool = Spool(receive, limit=limit, stall=stall)
        under_way.add(spool)
        filling = asyncio.create_task(spool.fill())
        try:
            await _Answer(asked, desk, calculator, spool, send, stall, errors.own(request, "request_id")).give()
        except Gone:
            return
        finally:
            under_way.discard(spool)
            filling.cancel()
            spool.close()

    return table


_ALLOW: Final = {"allow": ALLOW}
_POSTED: Final = {"allow": ALLOW, "accept-post": CSV}


class _Answer:
    """Sends rows as they are answered. Until the first is sent, a fault of the table is a problem document."""

    def __init__(
        self, table: Table, desk: Desk, of: Calculator, spool: Spool, send: Send, stall: float, request_id: str
    ) -> None:
        self._request_id = request_id
        self._table = table
        self._desk = desk
        self._of = of
        self._spool = spool
        self._send = send
        self._stall = stall
        self._held: list[bytes | Asked] = []
        self._asked = 0
        self._together = 1
        self._batch: list[bytes] = []
        self._size = 0
        self._started = False
        self._sent = time.monotonic()

    async def give(self) -> None:
        """Answer the whole table."""
        try:
            async for piece in self._spool.pieces():
                await self._take(self._table.ask(piece))
                if self._spool.waiting:
                    await self._settle(flush=True)
            await self._take(self._table.rest())
            await self._settle()
        except (InputProblem, Malformed):
            await self._spool.drain(GRACE)
            raise
        except Refusal as refused:
            with suppress(Refusal):
                # What came before it is answered.
                await self._settle()
            if not self._started and not self._batch:
                raise
            self._batch.append(self._table.stop(refused.faults[0]))
        await self._flush(last=True)

    async def _take(self, items: Iterator[bytes | Asked]) -> None:
        for item in items:
            self._held.append(item)
            self._asked += isinstance(item, Asked)
            if self._asked >= self._together or len(self._held) >= MOST:
                await self._settle()

    async def _settle(self, *, flush: bool = False) -> None:
        """Answer the rows that are held, and send them where there are enough."""
        held, self._held, self._asked = self._held, [], 0
        gained = iter(await self._gained([item for item in held if isinstance(item, Asked)]))
        for item in held:
            row = item if isinstance(item, bytes) else self._table.line(item, next(gained))
            self._batch.append(row)
            self._size += len(row)
        if self._spool.gone:
            raise Gone
        if self._batch and (flush or self._size >= BATCH or time.monotonic() - self._sent >= OFTEN):
            await self._flush()

    async def _gained(self, asked: list[Asked]) -> list[Gained]:
        """Return what rows gain; where they are too much together, what each gains."""
        if not asked:
            return []
        began = time.monotonic()
        try:
            size = max(sum(map(len, one.cells)) for one in asked)
            gained: list[Gained] = await self._desk.rows(work.rows, self._table.form, asked, of=self._of, size=size)
        except (TooLong, Ended, RuntimeError) as failed:
            if len(asked) == 1:
                return [self._table.refusal(self._fault(failed))]
            half = len(asked) // 2
            self._together = 1
            return [*await self._gained(asked[:half]), *await self._gained(asked[half:])]
        for row in gained:
            if row.failed is not None:
                self._desk.failures.note(row.failed, self._request_id)
        took = time.monotonic() - began
        if took > 2 * self._desk.turn:
            self._together = max(1, self._together // 2)
        elif took < self._desk.turn / 2:
            self._together = min(MOST, 2 * self._together)
        await asyncio.sleep(0)
        return gained

    def _fault(self, failed: Exception) -> Fault:
        if isinstance(failed, TooLong):
            detail = f"this row of {self._of.id} takes too much processor time or memory, and was ended"
            return Fault(pointer="", code="calculation-too-long", detail=detail, expected="a smaller input")
        log.error("a row of %s failed: %s", self._of.id, failed)
        detail = "this row could not be calculated: a fault of the engine, which its log describes"
        return Fault(pointer="", code="internal", detail=detail)

    async def _flush(self, *, last: bool = False) -> None:
        try:
            await self._give_out(last=last)
        except TimeoutError:
            # The answer stays without its end, which every client takes for the fault it is.
            raise Gone from None

    async def _give_out(self, *, last: bool) -> None:
        async with asyncio.timeout(self._stall):
            if not self._started:
                self._started = True
                headers = [(b"content-type", b"text/csv; charset=utf-8"), (b"cache-control", b"no-store")]
                await self._send({"type": "http.response.start", "status": 200, "headers": headers})
            await self._send({"type": "http.response.body", "body": b"".join(self._batch), "more_body": not last})
        self._batch.clear()
        self._size = 0
        self._sent = time.monotonic()
