"""A table of rows in, the same table with answers out, both as CSV and both as they come."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from litestar import Request, asgi
from litestar.handlers import ASGIRouteHandler
from litestar.response.base import ASGIResponse
from litestar.types import Receive, Scope, Send

from latewood.catalogue import Catalogue
from latewood.columns import Choices, Table
from latewood.problems import InputProblem, Malformed
from latewood_api import body, query
from latewood_api.answers import CSV, AnyRequest, check_accept
from latewood_api.problem import Refusal, refusal
from latewood_api.spool import Gone, Spool

ALLOW: Final = "OPTIONS, POST"
#: A client that sends nothing, or takes nothing, for so long has stopped.
STALL: Final = 30.0
#: How long rows are worked at before others get their turn: a table may take an hour, a cell must not wait for it.
SLICE: Final = 0.002
#: Rows go out in batches of this size, or after this time.
BATCH: Final = 16_384
OFTEN: Final = 0.25
#: How long a client whose table is refused may go on sending it.
GRACE: Final = 2.0


def handlers(lw: Catalogue, *, limit: int = body.MAX_TABLE_BYTES, stall: float = STALL) -> list[ASGIRouteHandler]:
    """Return a route for each calculator: the framework fails on parameters in the paths of routes like these."""
    return [_handler(lw, name, limit, stall) for name in lw.calculators]


def _handler(lw: Catalogue, name: str, limit: int, stall: float) -> ASGIRouteHandler:
    """Return a route that speaks ASGI itself: the framework cannot read and write at the same time."""

    @asgi(f"/v1/table/{name}.csv", copy_scope=True)
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
        asked = lw.table(name, replace(choices, lang=choices.lang or sent.preferred))
        spool = Spool(receive, limit=limit, stall=stall)
        filling = asyncio.create_task(spool.fill())
        try:
            await _Answer(asked, spool, send, stall).give()
        except Gone:
            return
        finally:
            filling.cancel()
            spool.close()

    return table


_ALLOW: Final = {"allow": ALLOW}
_POSTED: Final = {"allow": ALLOW, "accept-post": CSV}


class _Answer:
    """Sends rows as they are answered. Until the first is sent, a fault of the table is a problem document."""

    def __init__(self, table: Table, spool: Spool, send: Send, stall: float) -> None:
        self._table = table
        self._spool = spool
        self._send = send
        self._stall = stall
        self._batch: list[bytes] = []
        self._size = 0
        self._started = False
        self._sent = self._turn = time.monotonic()

    async def give(self) -> None:
        """Answer the whole table."""
        try:
            async for piece in self._spool.pieces():
                await self._rows(self._table.feed(piece))
                if self._spool.waiting and self._batch:
                    await self._flush()
            await self._rows(self._table.finish())
        except (InputProblem, Malformed):
            await self._spool.drain(GRACE)
            raise
        except Refusal as refused:
            if not self._started and not self._batch:
                raise
            self._batch.append(self._table.stop(refused.faults[0]))
        await self._flush(last=True)

    async def _rows(self, rows: Iterator[bytes]) -> None:
        for row in rows:
            self._batch.append(row)
            self._size += len(row)
            now = time.monotonic()
            if self._size >= BATCH or now - self._sent >= OFTEN:
                await self._flush()
            if now - self._turn >= SLICE:
                await asyncio.sleep(0)
                self._turn = time.monotonic()
                if self._spool.gone:
                    raise Gone

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
