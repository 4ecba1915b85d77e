"""Measure tables: rows a second, and whether memory grows with their number. Run: python -m tests.bench.tables."""

from __future__ import annotations

import argparse
import http.client
import json
import statistics
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.bench.stack import Process
from tests.patience import PATIENCE

import latewood
from latewood.catalogue import Catalogue
from latewood.columns import Choices
from latewood.wire import Options

HEADER = b"note,area,species,coating\r\n"
PIECE = 200
Figures = dict[str, float]


def main() -> None:
    """Print the figures; ``--json`` for machines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=50_000, help="rows of the long table in this process")
    parser.add_argument("--served", type=int, default=20_000, help="rows of the table sent to a server")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    lw = latewood.load()
    figures = {
        "one row, µs": per_row(lw),
        f"{chosen.rows} rows in this process": in_process(lw, chosen.rows),
        f"{chosen.served} rows over HTTP": served(chosen.served),
    }
    if chosen.json:
        print(json.dumps(figures))
        return
    for group, lines in figures.items():
        print(group)
        for name, figure in lines.items():
            print(f"  {name}: {figure:.4g}")


def pieces(rows: int) -> Iterator[bytes]:
    """Yield a table of coverage rows, no two areas alike, a few hundred rows at a time."""
    yield HEADER
    for first in range(0, rows, PIECE):
        yield b"".join(
            b"row %d,%.4f m2,ipe,clear-penetrating-oil\r\n" % (row, 5 + row % 4000 * 0.1 + row * 1e-5)
            for row in range(first, min(first + PIECE, rows))
        )


def per_row(lw: Catalogue) -> Figures:
    """Return the cost of a row in a table, with all columns and with one, beside the same answer by query."""
    count = 1000
    whole = list(pieces(count))

    def table(choices: Choices) -> None:
        rows = lw.table("coverage", choices)
        for piece in whole:
            for _ in rows.feed(piece):
                pass

    def rows() -> None:
        for row in range(count):
            pairs = [("area", f"{5 + row * 0.1:.4f} m2"), ("species", "ipe"), ("coating", "clear-penetrating-oil")]
            lw.answer_flat("coverage", pairs, Options())

    ways: dict[str, Callable[[], None]] = {
        "all columns": lambda: table(Choices()),
        "volume alone": lambda: table(Choices(outputs=("volume",))),
        "the same by query": rows,
    }
    return {name: _best(way) / count * 1e6 for name, way in ways.items()}


def _best(way: Callable[[], None]) -> float:
    took = []
    for _ in range(5):
        began = time.process_time()
        way()
        took.append(time.process_time() - began)
    return min(took)


def in_process(lw: Catalogue, rows: int) -> Figures:
    """Return rate and growth of memory of one long table."""
    table = lw.table("coverage", Choices())
    seen: list[tuple[int, float]] = []
    began = time.process_time()
    for piece in pieces(rows):
        for _ in table.feed(piece):
            pass
        seen.append((table.answered, resident("self")))
    took = time.process_time() - began
    return {"rows a second of CPU": table.answered / took, **growth(seen, rows)}


def served(rows: int) -> Figures:
    """Return the same of a server that is sent the table while its answer is read."""
    with Process("latewood.cli", "serve") as server:
        server.wait()
        connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=PATIENCE)
        connection.putrequest("POST", "/v1/table/coverage.csv")
        connection.putheader("Content-Type", "text/csv")
        connection.putheader("Transfer-Encoding", "chunked")
        connection.endheaders()
        sender = threading.Thread(target=_send, args=(connection, rows))
        began, before = time.perf_counter(), server.cpu()
        sender.start()
        response = connection.getresponse()
        first = time.perf_counter() - began
        got, seen = 0, []
        while piece := response.read1(65536):
            got += piece.count(b"\r\n")
            seen.append((got, resident(str(server.pid))))
        sender.join()
        cpu = server.cpu() - before
    if got != rows + 1:
        raise RuntimeError(f"{got} lines came back for {rows} rows and a header")
    return {"rows a second of CPU": rows / cpu, "first rows after, ms": first * 1e3, **growth(seen, rows)}


def _send(connection: http.client.HTTPConnection, rows: int) -> None:
    for piece in pieces(rows):
        connection.send(b"%x\r\n%s\r\n" % (len(piece), piece))
    connection.send(b"0\r\n\r\n")


def resident(process: str) -> float:
    """Return the resident memory of a process in MB."""
    for line in Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1]) / 1024
    raise RuntimeError(f"no memory is stated for process {process}")


def growth(seen: list[tuple[int, float]], rows: int) -> Figures:
    """Return memory at the end, and its slope once a fifth of the rows have warmed the caches."""
    warm = [(count, size) for count, size in seen if count > rows / 5]
    slope = statistics.linear_regression([c for c, _ in warm], [s for _, s in warm]).slope
    return {"MB at the end": seen[-1][1], "kB more a thousand rows": slope * 1024 * 1000}


if __name__ == "__main__":
    sys.exit(main())
