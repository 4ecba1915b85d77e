"""What happens inside a worker: its limits, and one piece of work within them."""

from __future__ import annotations

import faulthandler
import importlib
import math
import multiprocessing
import os
import signal
import sys
import threading
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from latewood.blame import PluginFailed
from latewood.problems import Fault, InputProblem, Malformed, NotFound
from latewood_api.problem import from_engine

#: Bytes a calculation may take beyond what the worker had at rest.
MEMORY: Final = 1_000_000_000
#: A worker that holds this much more than at rest is replaced, so that what one request took is given back.
KEPT: Final = 64_000_000
_STATM: Final = Path("/proc/self/statm")


@dataclass(frozen=True, slots=True)
class Done:
    """What was calculated, and whether the worker has grown by it."""

    value: Any
    grown: bool = False


@dataclass(frozen=True, slots=True)
class Refused:
    """The kind of problem a request has, and its faults."""

    slug: str
    faults: Sequence[Fault]


@dataclass(frozen=True, slots=True)
class Failed:
    """A fault of the engine or of a plugin, as its traceback says it; or none: there was no memory left."""

    said: str | None
    plugins: PluginFailed | None = None


Outcome = Done | Refused | Failed


@dataclass(frozen=True, slots=True)
class Engine:
    """Which engine a worker has, and which process loaded it."""

    computed_with: dict[str, Any]
    loaded_by: int
    worker: int


def begin(limited: bool) -> None:
    """Set the limits of a worker that last as long as it does, unless it is to have none."""
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, signal.SIG_IGN)
    threading.Thread(target=_end_with_server, daemon=True).start()
    if not limited:
        # Loaded here it takes none of the time that the first piece of work has on the clock.
        importlib.import_module("latewood_api.dispatch.preloaded")
    if limited and sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        # Where its time is up, the log says what it was at.
        faulthandler.register(signal.SIGXCPU, all_threads=False, chain=True)
        if _STATM.exists():
            _, hard = resource.getrlimit(resource.RLIMIT_AS)
            wanted = _pages(0) + MEMORY
            resource.setrlimit(resource.RLIMIT_AS, (wanted if hard < 0 else min(wanted, hard), hard))


def _end_with_server() -> None:
    """Wait for the end of the server; without it nobody would end this process."""
    server = multiprocessing.parent_process()
    if server is not None:
        server.join()
        os._exit(0)


def engine() -> Engine:
    """Say which engine this worker has."""
    from latewood_api.dispatch import preloaded

    return Engine(preloaded.CATALOGUE.computed_with, preloaded.LOADED_BY, os.getpid())


def perform(budget: float, do: Callable[..., Any], arguments: Sequence[Any]) -> Outcome:
    """Do a piece of work; a process that takes more than so many seconds of processor time is ended by the system."""
    from latewood_api.dispatch.preloaded import CATALOGUE

    before = _pages(1)
    _allow(budget)
    try:
        done = do(CATALOGUE, *arguments)
    except (InputProblem, Malformed, NotFound) as error:
        refused = from_engine(error)
        return Refused(refused.kind.slug, refused.faults)
    except MemoryError:
        return Failed(None)
    except Exception as error:
        # As a library in C++ says it.
        if "bad_alloc" in str(error):
            return Failed(None)
        return Failed(traceback.format_exc(), error if isinstance(error, PluginFailed) else None)
    finally:
        _allow(math.inf)
    return Done(done, grown=_pages(1) - before > KEPT)


def _allow(seconds: float) -> None:
    """Let this process take so many seconds of processor time from now; the system counts whole ones."""
    if sys.platform != "win32":
        import resource

        _, hard = resource.getrlimit(resource.RLIMIT_CPU)
        soft = hard
        if seconds < math.inf:
            used = resource.getrusage(resource.RUSAGE_SELF)
            soft = math.ceil(used.ru_utime + used.ru_stime + seconds)
            soft = soft if hard < 0 else min(soft, hard)
        resource.setrlimit(resource.RLIMIT_CPU, (soft, hard))


def _pages(which: int) -> int:
    """Return the bytes this process has addressed (0) or holds (1); 0 where the system does not say."""
    if not _STATM.exists():
        return 0
    return int(_STATM.read_text().split()[which]) * os.sysconf("SC_PAGE_SIZE")
