"""Clients that are slow, or silent, or do not listen: each is cut off in the end, and none costs an answer.

The scenes are played at once, so that the module takes as long as the longest of them. What each limit is stands in
`latewood_api.server`, `latewood_api.body` and `latewood_api.routes.table`, and in the configuration of the recipe; that
it came is what counts. Those that are not cut off are still there when the others have ended.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import pytest
from tests.faults.rows import NOT_HELD
from tests.faults.scenes import SCENES, Client, Scene, Seen
from tests.patience import soon

pytestmark = pytest.mark.faults

DEAF = "answers nobody takes"


@pytest.fixture(scope="module")
def seen(server: Any) -> dict[str, Seen]:
    """Play every scene at once, with a good client beside them."""
    held = {scene: name_of(scene) not in NOT_HELD[server.name] for scene in SCENES}

    async def play(scene: Scene) -> Seen:
        client = Client(*await asyncio.open_connection(**server.opening()))
        if held[scene]:
            await scene(client)
            return await client.over(wait=True)
        playing = asyncio.create_task(scene(client))
        await others_over.wait()
        playing.cancel()
        return await client.over(wait=False)

    async def deaf() -> asyncio.StreamWriter:
        """Ask for the contract, larger than what the system takes in for it, and read nothing."""
        reader, writer = await asyncio.open_connection(**server.opening(), limit=1024)
        reader._transport.pause_reading()  # type: ignore[attr-defined]  # StreamReader has no way to stop reading
        writer.write(b"GET /openapi.json HTTP/1.1\r\nHost: deck.example\r\n\r\n" * 40)
        return writer

    async def all_of_them() -> dict[str, Seen]:
        writer = await deaf()
        good = asyncio.create_task(asyncio.to_thread(server.good, 300))
        playing = {scene: asyncio.create_task(play(scene)) for scene in SCENES}
        await asyncio.gather(*(one for scene, one in playing.items() if held[scene]))
        others_over.set()
        await good
        found = {name_of(scene): await one for scene, one in playing.items()}
        # All others have left: who is still there is the deaf one.
        count = int(DEAF in NOT_HELD[server.name])
        await soon(lambda: server.connections() == count, f"{count} connections")
        found[DEAF] = Seen([], ended=count == 0)
        writer.transport.abort()
        return found

    others_over = asyncio.Event()
    return asyncio.run(all_of_them())


def name_of(scene: Scene) -> str:
    return scene.__name__.replace("_", " ")


@pytest.mark.parametrize("name", [*map(name_of, SCENES), DEAF])
def test_is_cut_off(server: Any, seen: dict[str, Seen], name: str, show: Callable[[str], None]) -> None:
    found = seen[name]
    if name in NOT_HELD[server.name]:
        show(f"not cut off by {server.name}: {name}")
        assert not found.ended, "it is cut off: take it off the list"
        return
    assert found.ended, "the connection was held"
    expected = {name_of(scene): statuses for scene, statuses in SCENES.items()}.get(name, [])
    # A proxy closes the connection without a word.
    silent = server.name == "recipe" and found.statuses == [status for status in expected if status != 408]
    assert found.statuses == expected or silent


def test_who_is_good_is_served_meanwhile(server: Any, seen: dict[str, Seen]) -> None:
    server.good(20)
