"""What is asked of the servers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

JOBS = Path(__file__).parents[2] / "examples" / "jobs"
BODY: dict[str, Any] = {"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}


def request() -> bytes:
    """Return the whole HTTP request of one coverage calculation."""
    body = json.dumps(BODY).encode()
    head = (
        "POST /v1/calculate/coverage HTTP/1.1\r\nHost: bench\r\nContent-Type: application/json\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    )
    return head.encode() + body
