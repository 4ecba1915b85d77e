"""Plugins that are installed are tried in a process of their own first, which they may hang or end without harm.

One process for all of them: it loads the engine with every plugin, and says before each step whose it is and what comes
next. Where it ends or takes too long, the plugin it spoke of last is to blame, and it is started once more without it.
What was found holds until a plugin, the engine or what is installed beside them changes.
"""

from __future__ import annotations

import json
import logging
import os
import queue
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from importlib.metadata import EntryPoint
from importlib.util import find_spec
from typing import IO, Any, Final

import msgspec

from latewood import cache
from latewood.plugin.loader import OWN, Outcome, Outcomes
from latewood.registry import Registry

log = logging.getLogger("latewood")

#: Seconds on the clock that one plugin may take to be imported, asked and called; another number by this variable.
LIMIT: Final = 30.0
VARIABLE: Final = "LATEWOOD_PLUGIN_SECONDS"
#: Seconds in which the process must have loaded the engine.
START: Final = 120.0
_NAME: Final = "plugins"
#: What the process runs. Where it looks for modules it is told, and it looks nowhere else.
_CHILD: Final = (
    "import json, sys; told = json.loads(sys.stdin.readline()); sys.path[:] = told['path']; "
    "from latewood import trial; trial.run(told['left_out'])"
)


def outcomes(entries: Sequence[EntryPoint], made_from: str) -> Outcomes | None:
    """Return how each installed plugin but the engine's own fares; None where no process can be had to try them."""
    if all((entry.name, entry.value) == OWN for entry in entries):
        return {}
    kept = cache.recall(_NAME, made_from)
    if kept is not None:
        return {one.name: one for one in msgspec.json.decode(kept, type=tuple[Outcome, ...])}
    found: dict[str, Outcome] = {}
    lasting = True
    while True:
        try:
            ended = _once(found)
        except _NoProcess as none:
            log.warning("plugins are tried in this process, for none can be started: %s", none)
            return None
        if ended is None:
            break
        found[ended.outcome.name] = ended.outcome
        lasting = lasting and not ended.late
    if lasting:
        cache.keep(_NAME, made_from, msgspec.json.encode(tuple(found.values())))
    return found


# -- the process that asks


class _NoProcess(Exception):
    """No process can be started, or none that loads the engine."""


class _Ended(msgspec.Struct):
    """The process was ended, or ended itself, over a plugin."""

    outcome: Outcome
    late: bool


def _once(found: dict[str, Outcome]) -> _Ended | None:
    """Try every plugin but those known to be unsafe, and note how each fares; return which one ended the process."""
    unsafe = [msgspec.to_builtins(outcome) for outcome in found.values() if not outcome.safe]
    limit = float(os.environ.get(VARIABLE) or LIMIT)
    with _process(unsafe) as process:
        said: queue.Queue[dict[str, Any]] = queue.Queue()
        assert process.stdout is not None  # noqa: S101  it has a pipe
        threading.Thread(target=_listen, args=[process.stdout, said], daemon=True).start()
        plugin, part = "", ""
        ids: tuple[tuple[str, str], ...] = ()
        until = time.monotonic() + START
        while True:
            try:
                told = said.get(timeout=max(until - time.monotonic(), 0))
            except queue.Empty:
                if not plugin:
                    raise _NoProcess(f"the engine was not loaded in {START:g} s") from None
                return _Ended(Outcome(plugin, f"{part} took more than {limit:g} s", safe=False, ids=ids), late=True)
            match told:
                case {"done": fared}:
                    for outcome in msgspec.convert(fared, tuple[Outcome, ...]):
                        found.setdefault(outcome.name, outcome)
                    return None
                case {"plugin": name, "part": part}:
                    if name != plugin:
                        plugin, ids, until = name, (), time.monotonic() + limit
                case {"ids": brought}:
                    ids = tuple((kind, id) for kind, id in brought)
                case _:
                    ended = _how(process)
                    if not plugin:
                        raise _NoProcess(f"it ended before it had loaded the engine ({ended})")
                    error = f"{part} ended the process ({ended})"
                    return _Ended(Outcome(plugin, error, safe=False, ids=ids), late=False)


@contextmanager
def _process(unsafe: Sequence[Any]) -> Iterator[subprocess.Popen[str]]:
    """Yield the process, which is gone afterwards with all that it started."""
    # Not from where it is started, nor from what the environment adds, but from where this process looks.
    command = [sys.executable or "", "-P", "-c", _CHILD]
    try:
        process = subprocess.Popen(  # noqa: S603  # this Python
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
            start_new_session=sys.platform != "win32",
        )
    except (OSError, ValueError) as error:
        raise _NoProcess(str(error)) from None
    try:
        path = [os.path.abspath(place) for place in sys.path]
        assert process.stdin is not None  # noqa: S101  # it has a pipe
        # Where it has ended already, that is found out where it is listened to.
        with suppress(OSError), process.stdin as asked:
            asked.write(json.dumps({"path": path, "left_out": unsafe}) + "\n")
        yield process
    finally:
        if sys.platform != "win32":
            try:
                os.killpg(process.pid, signal.SIGKILL)
            except (ProcessLookupError, PermissionError):
                process.kill()
        else:
            process.kill()
        process.wait()


def _listen(lines: IO[str], said: queue.Queue[dict[str, Any]]) -> None:
    with lines, suppress(ValueError):
        for line in lines:
            said.put(json.loads(line))
    said.put({})


def _how(process: subprocess.Popen[str]) -> str:
    code = process.wait()
    return f"exit code {code}" if code >= 0 else f"signal {signal.Signals(-code).name}"


def made_from(entries: Sequence[EntryPoint]) -> str:
    """Return what an installed engine depends on: Python, its code, its plugins, and what is installed beside them."""
    beside = [entry for place in sys.path if os.path.isdir(place) for entry in _distributions(place)]
    names = [f"{entry.name}={entry.value} {entry.dist.version if entry.dist else ''}" for entry in entries]
    return "\n".join([sys.version, *names, *beside, cache.stamp(sorted({*_code("latewood"), *_places(entries)}))])


def _distributions(place: str) -> list[str]:
    return sorted(name for name in os.listdir(place) if name.endswith((".dist-info", ".egg-info")))


def _places(entries: Sequence[EntryPoint]) -> Iterator[str]:
    for entry in entries:
        yield from _code(entry.value.partition(":")[0].partition(".")[0])


def _code(package: str) -> list[str]:
    """Return where the code of a package lies; nothing is imported for it."""
    try:
        spec = find_spec(package)
    except (ImportError, ValueError):
        return []
    if spec is None:
        return []
    return list(spec.submodule_search_locations or filter(None, [spec.origin]))


# -- the process that is asked


def run(left_out: Sequence[Any]) -> None:
    """Load the engine with every plugin, and say on what was the standard output how each fares."""
    with os.fdopen(os.dup(1), "w", encoding="utf-8") as out:
        # What plugins print goes nowhere.
        os.dup2(2, 1)
        sys.stdout = sys.stderr

        def say(**told: Any) -> None:
            print(json.dumps(told), file=out, flush=True)

        def tell(name: str, part: str) -> None:
            if name != OWN[0]:
                say(plugin=name, part=part)

        unsafe = {one.name: one for one in msgspec.convert(left_out, tuple[Outcome, ...])}
        shelf = Registry.fill(outcomes=unsafe, tell=tell, brought=lambda ids: say(ids=sorted(ids)))
        fared = [Outcome(one.name, one.error, ids=tuple(sorted(one.ids()))) for one in shelf.plugins if not one.own]
        say(done=msgspec.to_builtins(fared))
    # What a plugin has left running, or wants done in the end, is not waited for.
    os._exit(0)
