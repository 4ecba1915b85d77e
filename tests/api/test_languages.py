"""Texts of answers and refusals over HTTP: in the language and units asked for, with what they say as data beside."""

from __future__ import annotations

from collections.abc import Callable

import httpx

Send = Callable[..., httpx.Response]

COVERAGE = "/v1/calculate/coverage"
BASE = {"area": "40 m2", "coating": "clear-penetrating-oil", "species": "ipe", "surface": "sanded"}
FILM = {**BASE, "product": {"dry_film_thickness": "40 um"}}


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_a_refusal_names_its_text_and_gives_its_values(send: Send) -> None:
    response = send("POST", COVERAGE, json=FILM)
    assert response.status_code == 422
    [fault] = response.json()["errors"]
    # The catalogue has the text under the id the fault names, and declares what stands in it.
    text = send("GET", f"/v1/catalogue/messages/{fault['id']}").json()
    assert text["code"] == fault["code"]
    assert set(text["params"]) == set(fault["values"])
    assert fault["values"] == {
        "coating": {"kind": "coating", "id": "clear-penetrating-oil"},
        "field": "dry_film_thickness",
    }
