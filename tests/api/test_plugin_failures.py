"""A plugin that passed its trial and fails later: named in the problem, in the log and in readiness."""

from __future__ import annotations

import asyncio
import json
import logging
import sys
from collections.abc import Callable, Mapping
from importlib.metadata import EntryPoint
from typing import Annotated, Any

import httpx
import msgspec
import numpy as np
import pytest
from tests.guests import oil

import latewood
from latewood.blame import Elsewhere, no_plugins_here
from latewood.declare import RecordLookup
from latewood.plugin import F, Ledger, Model, Q, calculator, hookimpl, read_record
from latewood.plugin.loader import installed
from latewood.uncertainty.spread import value
from latewood_api.app import create_app

BUNDLED = [entry for entry in installed() if entry.name == "latewood"]
OIL = oil("""models = { spreading = "guest-model" }
coats = { value = 2, source = "judgement", kind = "judgement" }
[spreading.sanded]
medium = { value = "10 m2/L", source = "judgement", kind = "judgement" }
[spreading.rough-sawn]
medium = { value = "0.5 m2/L", source = "judgement", kind = "judgement" }
""")
COVERAGE = {"area": "10 m2", "species": "ipe", "coating": "guest-oil"}


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """A plank."""

    length: Annotated[float, Q("m", "Length of a plank", ge=0.1, le=10, example="2 m")]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What is said of it."""

    planks: Annotated[int, F("Planks in all")]


@calculator("guest-plank", "Plank", since="0.1", example={"length": "2 m"})
def plank(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """How many planks?"""
    if x.length > 8:
        sys.exit(3)
    if x.length > 6:
        return None  # type: ignore[return-value]  # on purpose
    if x.length > 4:
        raise KeyError("secret")
    return Result(planks=round(x.length))


def rate_of(*, rate: Any, coat: int, roughness: float) -> Any:
    """Return a rate for those that were tried; what comes slower, it has not thought of."""
    if np.ndim(rate) == 0 and value(rate) < 1000:
        return {"rate": rate}
    return rate


@pytest.fixture
def guest(plugin: Callable[[str, Mapping[str, Any]], EntryPoint]) -> latewood.Catalogue:
    hooks = {
        "latewood_records": hookimpl(lambda: [read_record(OIL, "guest")]),
        "latewood_models": hookimpl(lambda: [Model("spreading", "guest-model", rate_of, source="judgement")]),
        "latewood_calculators": hookimpl(lambda: [plank]),
    }
    return latewood.load([*BUNDLED, plugin("guest", hooks)], strict=True)


Send = Callable[..., httpx.Response]


@pytest.fixture
def send(guest: latewood.Catalogue) -> Send:
    app = create_app(guest)

    def request(method: str, address: str, **more: Any) -> httpx.Response:
        async def once() -> httpx.Response:
            # What the application raises must have become an answer.
            transport = httpx.ASGITransport(app)  # type: ignore[arg-type]  # litestar's types are its own
            async with httpx.AsyncClient(transport=transport, base_url="http://deck.example") as client:
                return await client.request(method, address, **more)

        return asyncio.run(once())

    return request


def ask(send: Send, name: str, inputs: Mapping[str, Any]) -> httpx.Response:
    return send("POST", f"/v1/calculate/{name}", json=inputs)


def failed(send: Send) -> Any:
    plugins = send("GET", "/health/ready").json()["plugins"]
    return next(one for one in plugins if one["id"] == "guest").get("failed")


PLANK, MODEL = "calculator guest-plank", "model spreading/guest-model"


@pytest.mark.parametrize(
    ("name", "inputs", "part", "cause"),
    [
        ("guest-plank", {"length": "5 m"}, PLANK, "KeyError: 'secret'"),
        ("guest-plank", {"length": "7 m"}, PLANK, "AttributeError"),
        ("guest-plank", {"length": "9 m"}, PLANK, "SystemExit: 3"),
        ("coverage", {**COVERAGE, "surface": "rough-sawn"}, MODEL, "it returned dict"),
    ],
)
def test_it_is_named_in_problem_log_and_readiness(
    send: Send, caplog: pytest.LogCaptureFixture, name: str, inputs: Mapping[str, Any], part: str, cause: str
) -> None:
    assert failed(send) is None
    with caplog.at_level(logging.ERROR):
        answer = ask(send, name, inputs)
    assert (answer.status_code, answer.json()["type"]) == (500, "/problems/internal")
    [fault] = answer.json()["errors"]
    request_id = answer.headers["x-request-id"]
    assert (fault["code"], fault["detail"]) == ("plugin-failed", f"plugin guest failed in {part}")
    assert request_id in fault["expected"]
    # The cause is for whoever keeps the server.
    assert "secret" not in answer.text
    assert f"request {request_id} failed in {part} of plugin guest" in caplog.text
    assert cause in caplog.text
    assert failed(send) == {"count": 1, "part": part, "request_id": request_id}
    assert send("GET", "/health/ready").status_code == 200


def test_what_it_does_well_is_answered_before_and_after(send: Send) -> None:
    for length, status in (("2 m", 200), ("5 m", 500), ("3 m", 200), ("5 m", 500)):
        assert ask(send, "guest-plank", {"length": length}).status_code == status
    assert ask(send, "coverage", {**COVERAGE, "surface": "sanded"}).status_code == 200
    assert failed(send)["count"] == 2


def test_a_refusal_is_no_failure(send: Send) -> None:
    assert ask(send, "guest-plank", {"length": "5 kg"}).status_code == 422
    assert failed(send) is None


def test_a_plan_names_it_too(send: Send) -> None:
    defaults = {"species": "ipe", "coating": "guest-oil", "surface": "rough-sawn"}
    job = {"schema": 1, "defaults": defaults, "zones": [{"id": "main", "length": "3 m", "width": "2 m"}]}
    answer = send("POST", "/v1/plan", json=job)
    assert answer.status_code == 500, answer.text[:500]
    assert answer.json()["errors"][0]["detail"] == f"plugin guest failed in {MODEL}"


def test_a_row_of_a_table_names_it_and_the_rows_after_it_are_answered(
    send: Send, caplog: pytest.LogCaptureFixture
) -> None:
    table = send(
        "POST", "/v1/table/guest-plank.csv", content=b"length\n2 m\n5 m\n3 m\n", headers={"content-type": "text/csv"}
    )
    assert table.status_code == 200
    _, good, bad, other = table.text.splitlines()
    assert good.split(",")[1] == "2"
    assert f"plugin guest failed in {PLANK}" in bad
    assert "plugin-failed" in bad
    assert other.split(",")[1] == "3"
    assert failed(send) == {"count": 1, "part": PLANK, "request_id": table.headers["x-request-id"]}
    assert "KeyError: 'secret'" in caplog.text


def test_a_model_of_a_plugin_is_not_called_where_none_may_run(guest: latewood.Catalogue) -> None:
    with no_plugins_here():
        with pytest.raises(Elsewhere, match=f"{MODEL} of plugin guest"):
            guest.calculate("coverage", **COVERAGE, surface="sanded")
        assert guest.calculate("coverage", **{**COVERAGE, "coating": "clear-penetrating-oil"})["result"]
    assert json.loads(msgspec.json.encode(guest.calculate("coverage", **COVERAGE, surface="sanded")["result"]))
