"""The changelog of the contract is served as it is committed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx
import pytest

Send = Callable[..., httpx.Response]
COMMITTED = Path(__file__).parents[2] / "openapi" / "CHANGELOG.md"


def test_it_is_the_committed_file_in_markdown(send: Send) -> None:
    answer = send("GET", "/v1/changelog")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/markdown; charset=utf-8"
    assert answer.content == COMMITTED.read_bytes()


def test_who_has_it_need_not_take_it_again(send: Send) -> None:
    tag = send("GET", "/v1/changelog").headers["etag"]
    again = send("GET", "/v1/changelog", headers={"if-none-match": tag})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize(
    ("address", "headers", "status"),
    [("/v1/changelog?version=1", {}, 422), ("/v1/changelog", {"accept": "application/json"}, 406)],
)
def test_what_it_is_not(send: Send, address: str, headers: dict[str, str], status: int) -> None:
    refused: Any = send("GET", address, headers=headers)
    assert refused.status_code == status
    assert refused.headers["content-type"].startswith("application/problem+json")


def test_pages_and_contract_lead_to_it(send: Send) -> None:
    assert 'href="/v1/changelog"' in send("GET", "/docs").text
    contract = send("GET", "/openapi.json").json()
    assert contract["paths"]["/v1/changelog"]["get"]["operationId"] == "getChangelog"


def test_the_contract_and_the_pages_say_what_may_be_repeated(send: Send) -> None:
    for text in (send("GET", "/openapi.json").json()["info"]["description"], send("GET", "/docs").text):
        assert "Every request may be repeated" in text
        assert "computed_with" in text
        assert "calculate again" in text
