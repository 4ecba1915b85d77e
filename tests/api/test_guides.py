"""The guides name addresses a server answers, files that are there, and one another."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

ROOT = Path(__file__).parents[2]
GUIDES = sorted((ROOT / "docs/guide").glob("*.md"))
Send = Callable[..., httpx.Response]


@pytest.mark.parametrize("guide", GUIDES, ids=lambda guide: guide.stem)
def test_what_a_guide_names_is_there(send: Send, guide: Path) -> None:
    text = guide.read_text("utf-8")
    addresses = set(re.findall(r"`(?:POST )?(/(?:docs|v1|health|openapi|problems)[\w/.-]*)`", text)) - {"/v1", "/v2"}
    # What takes a body is there, and no page to get.
    refused = {path: send("GET", path).status_code for path in addresses}
    assert {path: status for path, status in refused.items() if status not in (200, 405)} == {}
    links = re.findall(r"\]\(([^)]+)\)", text)
    assert [link for link in links if not (guide.parent / link).is_file()] == []
    files = set(re.findall(r"(?<![\w/.:-])((?:examples|tests|docs|plugins|engine)/[\w@./-]*\w)", text))
    assert sorted(file for file in files - {"examples/deploy/tls"} if not (ROOT / file).exists()) == []
