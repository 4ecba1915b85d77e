"""Work in processes that can be killed: its limits, its turns, and what becomes of work whose worker ends."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
from collections.abc import Awaitable, Callable, Iterator
from concurrent.futures import Future
from copy import copy
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from tests.bundled import bundled
from tests.patience import PATIENCE, soon, until

from latewood.catalogue import Catalogue
from latewood.declare import Calculator, Cost
from latewood.problems import Fault, InputProblem
from latewood_api.dispatch.desk import Desk, Ended
from latewood_api.dispatch.sizes import largest
from latewood_api.dispatch.workers import CannotStart, Workers
from latewood_api.problem import Refusal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="its limits are those of POSIX")


# What workers do here, beside calculations. They find it by name.


def whose(lw: Catalogue) -> int:
    return os.getpid()


def forever(lw: Catalogue, began: str = "") -> None:
    if began:
        Path(began).touch()
    while True:
        pass


def asleep(lw: Catalogue, began: str, ends: str) -> int:
    Path(began).touch()
    until(Path(ends).exists, ends)
    return os.getpid()


def greedy(lw: Catalogue) -> int:
    return len(bytes(8_000_000_000))


def leaves(lw: Catalogue, times: str) -> int:
    """End the worker, except where the file says that it was done before."""
    seen = Path(times)
    count = int(seen.read_text())
    if count:
        seen.write_text(str(count - 1))
        os._exit(3)
    return os.getpid()


def fails(lw: Catalogue) -> None:
    raise KeyError("a fault of the engine")


def refuses(lw: Catalogue) -> None:
    raise InputProblem([Fault(pointer="/area", code="out-of-range", detail="too much")])


def holds(lw: Catalogue) -> int:
    """Keep what was calculated."""
    KEPT.append(bytearray(100_000_000))
    return os.getpid()


KEPT: list[bytearray] = []


@pytest.fixture(scope="module")
def lw() -> Catalogue:
    return bundled()


@pytest.fixture(scope="module")
def two(lw: Catalogue) -> Iterator[Callable[..., Any]]:
    """Play a scene with two workers, one of them kept for quick work; they are the same for all scenes."""
    desk = Workers(lw, 2, budget=1, waiting=3)
    # Loaded anew there, with whatever is installed: the same only where nothing else is.
    desk.start()

    def play(scene: Callable[[Workers], Awaitable[Any]]) -> Any:
        return asyncio.run(scene(desk))  # type: ignore[arg-type]  # a coroutine

    yield play
    desk.stop()


def one_of(lw: Catalogue, *costs: Cost, plugin: str = "latewood") -> Calculator:
    return replace(lw.calculators["coverage"], costs=costs, plugin=plugin)


def test_what_is_certain_to_be_short_runs_here_and_the_rest_does_not(lw: Catalogue, two: Any) -> None:
    short, unknown = one_of(lw, Cost(0.01, 100)), one_of(lw)

    async def scene(desk: Workers) -> list[bool]:
        places = [
            await desk.perform(whose, of=short, size=100),
            await desk.perform(whose, of=short, size=101),
            await desk.perform(whose, of=unknown),
            await desk.perform(whose),
            # What a plugin says of itself, nobody has checked.
            await desk.perform(whose, of=one_of(lw, Cost(0.01, 100), plugin="guest"), size=10),
        ]
        return [place == os.getpid() for place in places]

    assert two(scene) == [True, False, False, False, False]


def test_every_declared_cost_is_of_a_bundled_calculator_and_grows_with_size(lw: Catalogue) -> None:
    declared = {name: one.costs for name, one in lw.calculators.items() if one.costs}
    assert declared
    for costs in declared.values():
        assert list(costs) == sorted(costs, key=lambda cost: cost.size)
        assert list(costs) == sorted(costs, key=lambda cost: cost.seconds)


def test_work_past_its_budget_is_ended_and_its_worker_replaced(lw: Catalogue, two: Any) -> None:
    async def scene(desk: Workers) -> tuple[Refusal, int, int]:
        before = await desk.perform(whose)
        with pytest.raises(Refusal) as refused:
            await desk.perform(forever, of=one_of(lw), sent=b'{"zones":[{"outline":"%b"}]}' % (b"0 0, " * 50))
        return refused.value, before, await desk.perform(whose)

    refused, before, after = two(scene)
    assert refused.kind.slug == "calculation-too-long"
    assert before != after
    whole, part = refused.faults
    assert "1 s of processor time" in whole.detail
    assert (part.pointer, part.detail) == ("/zones/0/outline", "this part has 250 characters")


def test_work_that_takes_too_much_memory_is_ended(two: Any) -> None:
    async def scene(desk: Workers) -> Refusal:
        with pytest.raises(Refusal) as refused:
            await desk.perform(greedy)
        return refused.value

    assert two(scene).kind.slug == "calculation-too-long"


def test_a_worker_that_has_grown_is_replaced(two: Any) -> None:
    async def scene(desk: Workers) -> tuple[int, int]:
        return await desk.perform(holds), await desk.perform(whose)

    grown, after = two(scene)
    assert grown != after


def test_faults_come_back_as_what_they_are(two: Any) -> None:
    async def scene(desk: Workers) -> Refusal:
        with pytest.raises(RuntimeError, match="a fault of the engine"):
            await desk.perform(fails)
        with pytest.raises(Refusal) as refused:
            await desk.perform(refuses)
        return refused.value

    refused = two(scene)
    assert refused.kind.slug == "unusable-input"
    assert [fault.pointer for fault in refused.faults] == ["/area"]


def test_work_whose_worker_ends_is_done_once_more(two: Any, tmp_path: Path) -> None:
    times = tmp_path / "times"

    async def scene(desk: Workers) -> None:
        times.write_text("1")
        assert await desk.perform(leaves, str(times)) != os.getpid()
        times.write_text("2")
        with pytest.raises(Ended):
            await desk.perform(leaves, str(times))
        # One that is killed while it has nothing to do is replaced as well.
        os.kill(await desk.perform(whose), signal.SIGKILL)
        await desk.perform(whose)

    two(scene)


def test_work_that_a_breaking_pool_never_saw_is_done_once_more(two: Any) -> None:
    async def scene(desk: Workers) -> None:
        await desk.perform(whose)
        for slot in desk._slots:
            # Broken after it took the task, before it handed it to the worker: the task is never answered for.
            broken = slot._pool
            slot._pool = SimpleNamespace(
                active=False, schedule=lambda *_, **__: Future(), stop=lambda: None, join=lambda: None
            )
            broken.stop()
            broken.join()
        assert await desk.perform(whose) != os.getpid()

    two(scene)


def test_one_worker_is_kept_for_quick_work_and_queues_have_an_end(lw: Catalogue, two: Any, tmp_path: Path) -> None:
    quick = one_of(lw, Cost(0.1, 100))
    began, ends = tmp_path / "began", tmp_path / "ends"

    async def scene(desk: Workers) -> None:
        long = asyncio.create_task(desk.perform(asleep, str(began), str(ends)))
        await soon(began.exists, "the long one")
        waiting = [asyncio.create_task(desk.perform(whose)) for _ in range(3)]
        await asyncio.sleep(0)
        assert await desk.perform(whose, of=quick, size=10) != os.getpid()
        with pytest.raises(Refusal) as refused:
            await desk.perform(whose)
        assert refused.value.kind.slug == "busy"
        assert refused.value.headers == {"retry-after": "1"}
        # Who is not waited for any more does not take a turn.
        waiting[0].cancel()
        await asyncio.sleep(0)
        waiting.append(asyncio.create_task(desk.perform(whose)))
        ends.touch()
        assert set(await asyncio.gather(*waiting[1:])) == {await long}

    two(scene)


def test_a_client_that_leaves_ends_the_work(two: Any, tmp_path: Path) -> None:
    began = tmp_path / "began"

    async def scene(desk: Workers) -> None:
        async def receive() -> Any:
            await soon(began.exists, "the work")
            return {"type": "http.disconnect"}

        before = await desk.perform(whose)
        with pytest.raises(Refusal, match="cannot be read"):
            await desk.perform(asleep, str(began), str(tmp_path / "never"), receive=receive)
        assert await desk.perform(whose) != before

    two(scene)


def test_the_stop_sends_those_who_wait_elsewhere_and_rows_last(lw: Catalogue, tmp_path: Path) -> None:
    began, ends = tmp_path / "began", tmp_path / "ends"
    table = one_of(lw, Cost(1, 100))

    async def scene() -> list[str]:
        long = asyncio.create_task(desk.perform(asleep, str(began), str(ends)))
        await soon(began.exists, "the long one")
        waits = asyncio.create_task(desk.perform(whose))
        rows = asyncio.create_task(desk.rows(whose, of=table, size=10))
        await asyncio.sleep(0)
        desk.hold()
        late = asyncio.create_task(desk.perform(whose))
        done, _ = await asyncio.wait({waits, late}, timeout=PATIENCE)
        assert done == {waits, late}
        assert not long.done()
        # Rows that waited, and those that come now, are answered.
        ends.touch()
        assert await rows == await long == await desk.rows(whose, of=table, size=10)
        began.unlink()
        ends.unlink()
        long = asyncio.create_task(desk.rows(asleep, str(began), str(ends), of=table, size=10))
        await soon(began.exists, "the long one")
        rows = asyncio.create_task(desk.rows(whose, of=table, size=10))
        await asyncio.sleep(0)
        desk.end()
        late = asyncio.create_task(desk.rows(whose, of=table, size=10))
        found = await asyncio.gather(waits, late, long, rows, return_exceptions=True)
        return [one.kind.slug for one in found if isinstance(one, Refusal)]

    desk = Workers(lw, 2)
    try:
        desk.start()
        assert asyncio.run(scene()) == ["not-ready"] * 4
    finally:
        desk.stop()


def test_a_worker_with_another_engine_stops_the_start() -> None:
    other = copy(bundled())
    other.__dict__["computed_with"] = {**other.computed_with, "catalogue": "another"}
    desk = Workers(other, 2)
    with pytest.raises(CannotStart, match="other plugins or records"):
        desk.start()
    desk.stop()


def test_a_preload_that_failed_stops_the_start(lw: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    """Python 3.11 says nothing where the module cannot be imported; each worker would load the engine for itself."""

    # A context of its own has a server of its own: that of the other tests has loaded the engine already.
    from multiprocessing import forkserver

    monkeypatch.setattr(forkserver, "_forkserver", own := forkserver.ForkServer())
    for name in ("ensure_running", "connect_to_new_process", "set_forkserver_preload"):
        monkeypatch.setattr(forkserver, name, getattr(own, name))
    desk = Workers(lw, 2)
    desk._context.set_forkserver_preload(["latewood_api.dispatch.no_such_module"])
    try:
        with pytest.raises(CannotStart, match="was not loaded before the workers were forked"):
            desk.start()
    finally:
        desk.stop()
        own._stop()


def test_without_workers_everything_runs_here(lw: Catalogue) -> None:
    desk = Desk(lw)

    async def scene() -> set[int]:
        return {
            await desk.perform(whose),
            await desk.rows(whose, of=one_of(lw), size=0),
            await desk.aside(whose),
        }

    assert asyncio.run(scene()) == {os.getpid()}


@pytest.mark.parametrize(
    ("sent", "named"),
    [
        (b"{}", []),
        (b'{"a":[1,2,3,4,5,6,7,8,9,10],"b":"short"}', [("/a", "this part has 10 items")]),
        (b"a.0.b=" + b"x" * 100 + b"&c=d", [("/a/0/b", "this part has 100 characters")]),
        ([("outline", "y" * 300)], [("/outline", "this part has 300 characters")]),
    ],
)
def test_the_largest_parts_are_named(sent: Any, named: list[tuple[str, str]]) -> None:
    assert [(fault.pointer, fault.detail) for fault in largest(sent)] == named
