"""Break what is promised, one promise at a time, in a clone of its own, and see that a suite notices.

``python -m tests.faults.breaks`` takes some minutes and prints a table; a word from it as argument runs part of it. It
clones what is committed. It ends with 1 where a suite was red before the break, or stayed green after it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[2]


@dataclass(frozen=True)
class Break:
    """One promise, the change that breaks it, and the tests that must turn red."""

    point: str
    what: str
    file: str
    before: str
    after: str
    suite: tuple[str, ...]


API: Final = "api/latewood_api"
BREAKS: Final = (
    Break(
        "1 hostile input",
        "the depth of JSON is not limited",
        "engine/latewood/wire/strict_json.py",
        "MAX_DEPTH: Final = 32",
        "MAX_DEPTH: Final = 1_000_000",
        ("tests/api/test_hostile_bodies.py",),
    ),
    Break(
        "1 hostile input",
        "incomplete bodies may hold any amount",
        f"{API}/body.py",
        "while size > SMALL and _room.held > WAITING:",
        "while False:",
        ("tests/api/test_hostile_bodies.py", "-k", "together"),
    ),
    Break(
        "2 response headers",
        "HEAD is not answered as GET",
        f"{API}/response_headers.py",
        'head = method == "HEAD"',
        "head = False",
        ("tests/api/test_response_headers.py",),
    ),
    Break(
        "2 response headers",
        "the packed answer has the tag of the plain one",
        f"{API}/compress.py",
        '_MARK: Final = b"-gzip"',
        '_MARK: Final = b""',
        ("tests/api/test_response_headers.py",),
    ),
    Break(
        "2 response headers",
        "security.txt has expired",
        f"{API}/routes/security.py",
        "HOLDS: Final = timedelta(days=180)",
        "HOLDS: Final = timedelta(days=-1)",
        ("tests/api/test_security_txt.py",),
    ),
    Break(
        "3 contract",
        "a status that is answered is not in the contract",
        f"{API}/contract_parts.py",
        "READ_ONE: Final = (400, 404, 406, 422, 500)",
        "READ_ONE: Final = (400, 406, 422, 500)",
        ("tests/contract/test_schemathesis.py", "-k", "test_contract and catalogue"),
    ),
    Break(
        "3 contract",
        "a link leads to another entry",
        f"{API}/contract_links.py",
        '"id": "$response.body#/calculator"',
        '"id": "area"',
        ("tests/contract/test_stateful.py", "-k", "link_leads"),
    ),
    Break(
        "3 contract",
        "a field that is taken away is no break",
        "tests/contract/compatibility/schemas.py",
        'yield f"{at}: field {name} is taken away"',
        "yield from ()",
        ("tests/contract/test_compatibility.py", "-k", "break_is_found"),
    ),
    Break(
        "4 pages",
        "pages may load from anywhere",
        f"{API}/pages/layout.py",
        "\"default-src 'none'\",",
        '"default-src *",',
        ("tests/api/test_pages.py", "-k", "nothing_inline"),
    ),
    Break(
        "5 tables",
        "formulas are written as they come",
        "engine/latewood/columns/guard.py",
        'FORMULA_STARTS: Final = frozenset("=+-@',
        'FORMULA_STARTS: Final = frozenset("@',
        ("tests/engine/columns",),
    ),
    Break(
        "6 cells",
        "on_error=text does not hide the status",
        f"{API}/errors.py",
        "return Written(200 if on_error_text else status, TEXT",
        "return Written(status, TEXT",
        ("tests/api/test_cells.py",),
    ),
    Break(
        "7 stop",
        "readiness does not turn",
        f"{API}/server.py",
        "            readiness.stopping = True\n",
        "            readiness.stopping = False\n",
        ("-m", "faults", "tests/faults/test_stop.py", "-k", "who_was_heard"),
    ),
    Break(
        "7 stop",
        "requests in progress are cut",
        f"{API}/server.py",
        'partial(setattr, server, "should_exit", True)',
        'partial(setattr, server, "force_exit", not setattr(server, "should_exit", True))',
        ("-m", "faults", "tests/faults/test_stop.py", "-k", "long_table"),
    ),
    Break(
        "7 stop",
        "whoever waits for a worker is kept to the end",
        f"{API}/dispatch/workers.py",
        "waiting.set_exception(_stopping())",
        "pass",
        ("tests/api/test_dispatch.py", "-k", "the_stop"),
    ),
    Break(
        "7 workers",
        "a worker that ended takes its work with it",
        f"{API}/dispatch/workers.py",
        'log.warning("%s; its work is done again", first)',
        "raise first",
        ("tests/api/test_dispatch.py", "-k", "once_more"),
    ),
    Break(
        "7 workers",
        "no worker is kept for short work",
        f"{API}/dispatch/workers.py",
        "if quick or not slot.quick]",
        "]",
        ("tests/api/test_dispatch.py", "-k", "one_worker_is_kept"),
    ),
    Break(
        "7 workers",
        "the queue has no end",
        f"{API}/dispatch/workers.py",
        "len(self._queues[quick]) >= self._most",
        "len(self._queues[quick]) < 0",
        ("tests/api/test_dispatch.py", "-k", "one_worker_is_kept"),
    ),
    Break(
        "7 workers",
        "what a plugin declares is believed",
        f"{API}/dispatch/workers.py",
        "return calculator.plugin == OWN and calculator.most",
        "return calculator.most",
        ("tests/api/test_dispatch.py", "-k", "certain_to_be_short"),
    ),
    Break(
        "7 recipe",
        "a request whose instance ends is not sent to the other",
        "examples/deploy/nginx.conf.template",
        "proxy_next_upstream error timeout non_idempotent http_503;",
        "proxy_next_upstream off;",
        ("-m", "recipe", "tests/faults/test_recipe.py", "-k", "by_a_kill"),
    ),
    Break(
        "7 recipe",
        "a head may be as long as it likes",
        "examples/deploy/nginx.conf.template",
        "large_client_header_buffers 2 24k;",
        "large_client_header_buffers 64 1m;",
        ("-m", "recipe", "tests/faults/test_sizes.py", "-k", "megabyte"),
    ),
)


def main(words: list[str]) -> int:
    """Break, test, print, mend; return 0 where each suite was green before and red after."""
    chosen = [one for one in BREAKS if all(word in f"{one.point} {one.what}" for word in words)]
    kept = True
    with tempfile.TemporaryDirectory() as folder:
        clone = Path(folder) / "clone"
        subprocess.run(["git", "clone", "--quiet", str(ROOT), str(clone)], check=True)
        green: dict[tuple[str, ...], bool] = {}
        print("| promise | what is broken | suite | before | after |\n|---|---|---|---|---|")
        for one in chosen:
            if one.suite not in green:
                green[one.suite] = run(clone, one.suite)
            path = clone / one.file
            mended = path.read_text("utf-8")
            path.write_text(broken(mended, one), "utf-8")
            red = not run(clone, one.suite)
            path.write_text(mended, "utf-8")
            kept = kept and green[one.suite] and red
            said = ("green" if green[one.suite] else "RED", "red" if red else "GREEN")
            cells = (one.point, f"{one.what} (`{one.file}`)", f"`pytest {' '.join(one.suite)}`", *said)
            print("| " + " | ".join(map(str, cells)) + " |", flush=True)
    return 0 if kept else 1


def broken(text: str, one: Break) -> str:
    """Return the text of a file with the change made; it must fit in one place."""
    if text.count(one.before) != 1:
        raise ValueError(f"{one.what}: {one.before!r} stands {text.count(one.before)} times in {one.file}")
    return text.replace(one.before, one.after)


def run(clone: Path, suite: tuple[str, ...]) -> bool:
    """Run a suite of the clone against the code of the clone; return whether it is green."""
    places = os.pathsep.join(str(clone / place) for place in ("engine", "plugins", "api"))
    environment = {**os.environ, "PYTHONPATH": places, "PYTHONDONTWRITEBYTECODE": "1"}
    where = [sys.executable, "-c", "import latewood_api; print(latewood_api.__file__)"]
    found = subprocess.run(where, cwd=clone, env=environment, capture_output=True, text=True, check=True).stdout
    if not found.startswith(str(clone)):
        raise RuntimeError(f"the code that would be tested is {found.strip()}")
    # A suite that selects nothing ends with 5, and is not red for the right reason.
    command = [sys.executable, "-m", "pytest", "-n0", "-q", "-x", "-p", "no:cacheprovider", *suite]
    done = subprocess.run(command, cwd=clone, env=environment, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1):
        raise RuntimeError(f"pytest {' '.join(suite)} ended with {done.returncode}: {done.stdout[-2000:]}")
    return done.returncode == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
