"""Searching the catalogue over HTTP."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import quote

import httpx
import jsonschema
import msgspec
import pytest

from latewood.catalogue import Catalogue
from latewood_api import openapi

Send = Callable[..., httpx.Response]

SPECIES = "/v1/catalogue/species"


@pytest.fixture(scope="module")
def contract(lw: Catalogue) -> Any:
    return msgspec.json.decode(msgspec.json.encode(openapi.document(lw)))


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("teak", "teak"),
        ("IPÉ", "ipe"),
        ("philippine+mahogany", "shorea-red"),
        ("western%20red-cedar", "western-redcedar"),
    ],
)
def test_a_trade_name_finds_the_species(send: Send, text: str, first: str) -> None:
    response = send("GET", f"{SPECIES}?search={text}")
    assert response.status_code == 200
    assert response.json()["items"][0]["id"] == first
    assert response.headers["etag"]


def test_a_shared_name_answers_with_candidates(send: Send) -> None:
    answer = send("GET", f"{SPECIES}?search=Redwood").json()
    # The names record: in North America a Californian tree, in Britain a pine.
    assert [wood["id"] for wood in answer["ambiguous"]["candidates"]] == ["sequoia-redwood", "scots-pine"]
    assert all(wood["on_shelf"] and wood["botanical"] for wood in answer["ambiguous"]["candidates"])


def test_nothing_found_is_an_empty_list_with_the_nearest(send: Send) -> None:
    response = send("GET", f"{SPECIES}?search=bangkiray")
    assert (response.status_code, response.json()) == (200, {"items": [], "count": 0, "nearest": "balau"})


def test_every_kind_can_be_searched_and_answers_as_the_contract_says(lw: Catalogue, send: Send, contract: Any) -> None:
    shape = {**contract["components"]["schemas"]["CatalogueList"], "components": contract["components"]}
    for kind in lw.kinds():
        entry = send("GET", f"/v1/catalogue/{kind}").json()["items"][:1]
        for text in ["mahogany", "zzz", *(one["title"][:80] for one in entry)]:
            answer = send("GET", f"/v1/catalogue/{kind}?search={quote(text)}").json()
            jsonschema.Draft202012Validator(shape).validate(answer)
            assert answer["count"] == len(answer["items"])
        if entry and any(c.isalnum() for c in entry[0]["title"]):
            assert entry[0]["id"] in [one["id"] for one in answer["items"]]


def test_options_do_not_disturb_a_search(send: Send) -> None:
    assert send("GET", f"{SPECIES}?search=teak&units=us&_=1").json() == send("GET", f"{SPECIES}?search=teak").json()


@pytest.mark.parametrize(
    ("query", "pointer", "code", "nearest"),
    [
        ("serach=teak", "/serach", "unknown-field", "search"),
        ("search=teak&unit=us", "/unit", "unknown-field", "units"),
        ("search=teak&search=ipe", "/search", "repeated", None),
        ("search=", "/search", "bad-text", None),
        (f"search={'a' * 81}", "/search", "too-long", None),
        ("search=teak&units=imperial", "/units", "unknown-choice", None),
    ],
)
def test_what_cannot_be_searched_is_refused(
    send: Send, query: str, pointer: str, code: str, nearest: str | None
) -> None:
    response = send("GET", f"{SPECIES}?{query}")
    assert response.status_code == 422
    (fault,) = response.json()["errors"]
    assert (fault["pointer"], fault["code"], fault.get("nearest")) == (pointer, code, nearest)


def test_all_faults_of_a_search_come_at_once(send: Send) -> None:
    errors = send("GET", f"{SPECIES}?search=&serach=&units=imperial").json()["errors"]
    assert {fault["pointer"] for fault in errors} == {"/units", "/serach", "/search"}


@pytest.mark.parametrize("path", ["/v1/catalogue", f"{SPECIES}/ipe"])
def test_only_lists_of_a_kind_are_searched(send: Send, path: str) -> None:
    response = send("GET", f"{path}?search=teak")
    assert response.status_code == 422
    assert response.json()["errors"][0]["code"] == "unknown-field"


def test_an_unknown_kind_is_not_found_however_it_is_searched(send: Send) -> None:
    assert send("GET", "/v1/catalogue/specie?search=teak").status_code == 404
