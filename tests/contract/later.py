"""A server of a later version: ``python -m tests.contract.later PORT BASE`` answers what BASE does, and more.

Each plan ends with a step of a calculator that no contract of today knows. Clients made from the contract must pass it.
"""

from __future__ import annotations

import sys
import urllib.error
import urllib.request
from http.server import BaseHTTPRequestHandler, HTTPServer
from typing import Final

import msgspec

STEP: Final = {
    "id": "night-lights",
    "calculator": "night-lights",
    "label": "Later work",
    "status": "partial",
    "why": "a later version computes it",
    "result": {"lamps": [{"id": "stair", "count": 3}], "power": {"value": 12, "unit": "W"}},
}


def handler(base: str) -> type[BaseHTTPRequestHandler]:
    """Return what passes requests on to a server, and adds the step to its plans."""

    class Later(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.pass_on(None, {})

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["content-length"]))
            self.pass_on(body, {"content-type": self.headers["content-type"]})

        def pass_on(self, body: bytes | None, headers: dict[str, str]) -> None:
            """Answer as the server behind does, with the step more in a plan."""
            try:
                answer = urllib.request.urlopen(urllib.request.Request(base + self.path, body, headers))
            except urllib.error.HTTPError as refused:
                answer = refused
            with answer:
                found, status, media = answer.read(), answer.status, answer.headers["content-type"]
            if self.path == "/v1/plan" and status == 200:
                plan = msgspec.json.decode(found)
                plan["steps"].append(STEP)
                found = msgspec.json.encode(plan)
            self.send_response(status)
            self.send_header("content-type", media)
            self.send_header("content-length", str(len(found)))
            self.end_headers()
            self.wfile.write(found)

        def log_request(self, code: int | str = "-", size: int | str = "-") -> None:
            """Say nothing."""

    return Later


def main() -> None:
    """Serve until the process is ended."""
    port, base = sys.argv[1:]
    HTTPServer(("127.0.0.1", int(port)), handler(base)).serve_forever()


if __name__ == "__main__":
    main()
