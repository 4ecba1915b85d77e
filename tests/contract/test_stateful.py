"""Requests that follow from one another, along the links of the contract: from lists to entries to calculations.

The tool walks at random, with all of its checks but the one `test_schemathesis` explains. That each link leads where it
says is tried apart, from the contract's own examples: at random, few walks get far.
"""

from __future__ import annotations

import asyncio
import os
from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Any

import httpx
import hypothesis
import pytest
import schemathesis
from hypothesis.stateful import run_state_machine_as_test
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance
from tests.bundled import bundled
from tests.generated import examples

from latewood_api.app import create_app
from latewood_api.query import flatten

WALKS = int(os.environ.get("LATEWOOD_EXAMPLES", "8"))
JSON = "application/json"

application = create_app(bundled())
schema = schemathesis.openapi.from_asgi("/openapi.json", application)


@examples(5, of=WALKS)
def test_random_walks(count: int) -> None:
    answered: Counter[int] = Counter()

    class Walk(schema.as_state_machine()):  # type: ignore[misc]  # a class made at run time
        def after_call(self, response: Any, case: Any) -> None:
            answered[response.status_code] += 1

        def validate_response(self, response: Any, case: Any, **more: Any) -> None:
            excluded: list[Any] = [positive_data_acceptance]
            if (case.query or {}).get("on_error") == "text" and response.text.startswith("#ERROR "):
                excluded.append(negative_data_rejection)
            case.validate_response(response, excluded_checks=excluded)

    run_state_machine_as_test(
        Walk,
        settings=hypothesis.settings(
            max_examples=count,
            stateful_step_count=6,
            deadline=None,
            derandomize="LATEWOOD_RANDOM" not in os.environ,
            suppress_health_check=list(hypothesis.HealthCheck),
        ),
    )
    assert answered[200] > 0
    assert sum(answered.values()) > 2 * count


def ask(method: str, address: str, **more: Any) -> httpx.Response:
    async def once() -> httpx.Response:
        transport = httpx.ASGITransport(application)
        async with httpx.AsyncClient(transport=transport, base_url="http://deck.example") as client:
            return await client.request(method, address, **more)

    return asyncio.run(once())


@cache
def contract() -> dict[str, Any]:
    found: dict[str, Any] = ask("GET", "/openapi.json").json()
    return found


def operations() -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, methods in contract()["paths"].items():
        for method, operation in methods.items():
            yield method.upper(), path, operation


def links() -> list[tuple[str, str]]:
    """Return source and target of every link, by their ids."""
    return [
        (operation["operationId"], held(link)["operationId"])
        for _, _, operation in operations()
        for link in operation["responses"]["200"].get("links", {}).values()
    ]


def held(part: dict[str, Any]) -> dict[str, Any]:
    """Return what stands under components where a part only refers to it."""
    if "$ref" not in part:
        return part
    _, _, section, name = part["$ref"].split("/")
    found: dict[str, Any] = contract()["components"][section][name]
    return found


class Asked:
    """A request to an operation, by default its example, and its answer."""

    def __init__(self, operation: str, given: dict[str, Any] | None = None, body: Any = None) -> None:
        found = [entry for entry in operations() if entry[2]["operationId"] == operation]
        [(method, path, self.operation)] = found
        self.body, self.path, self.query = body, {}, {}
        if given is None and body is None:
            given = self._example(path)
        for parameter in self.operation.get("parameters", ()):
            parameter = held(parameter)
            if (value := (given or {}).get(parameter["name"])) is not None:
                (self.path if parameter["in"] == "path" else self.query)[parameter["name"]] = value
        for name, value in self.path.items():
            path = path.replace(f"{{{name}}}", value)
        self.response = ask(method, path, params=self.query, **({"json": self.body} if self.body is not None else {}))

    def _example(self, path: str) -> dict[str, Any]:
        if "requestBody" in self.operation:
            self.body = self.operation["requestBody"]["content"][JSON]["example"]
            return {}
        if not path.startswith("/v1/row/"):
            asked = [held(p) for p in self.operation.get("parameters", ())]
            return {p["name"]: p["example"] for p in asked if p.get("required")}
        # Each field has an example, and not all of them go together: the calculator's own do.
        send = contract()["paths"][path.replace("/row/", "/calculate/")]["post"]
        given: dict[str, list[str]] = {}
        for name, value in flatten(send["requestBody"]["content"][JSON]["example"]):
            given.setdefault(name, []).append(value)
        return given

    def follow(self, target: str) -> Asked:
        """Evaluate the link to an operation as OpenAPI 3.1 defines it, and ask."""
        link = held(self.operation["responses"]["200"]["links"][target])
        values = {name: self.value(text) for name, text in link.get("parameters", {}).items()}
        body = self.value(link["requestBody"]) if "requestBody" in link else None
        return Asked(target, {name: value for name, value in values.items() if value is not None}, body)

    def value(self, expression: str) -> Any:
        source, slash, pointer = expression.partition("#")
        if source in ("$response.body", "$request.body") and slash:
            tree = self.response.json() if source == "$response.body" else self.body
            for step in pointer.split("/")[1:]:
                tree = tree[int(step)] if isinstance(tree, list) else (tree or {}).get(step)
            return tree
        for name, values in (("$request.path.", self.path), ("$request.query.", self.query)):
            if expression.startswith(name):
                return values.get(expression.removeprefix(name))
        assert not expression.startswith("$"), expression
        return expression


def flat(asked: Asked) -> bool:
    """Say whether the request's fields are single values: links have no expression for what lies in lists."""
    given = asked.body if asked.body is not None else asked.query
    return not any(isinstance(value, dict | list) or "." in name for name, value in given.items())


@pytest.mark.parametrize(("source", "target"), links())
def test_a_link_leads_where_it_says(source: str, target: str) -> None:
    if source == "getCatalogueEntry":
        # The link to a calculation is for the entry of its calculator.
        path = next(path for _, path, operation in operations() if operation["operationId"] == target)
        asked = Asked(source, {"kind": "calculators", "id": path.rpartition("/")[2]})
    else:
        asked = Asked(source)
    assert asked.response.status_code == 200, asked.response.text
    followed = asked.follow(target)
    if source.startswith(("calculate", "row")) and target != "getCatalogueEntry" and not flat(asked):
        assert followed.response.status_code in (200, 422), followed.response.text
        return
    assert followed.response.status_code == 200, followed.response.text
    match source, target:
        case "listKinds", _:
            assert followed.response.json()["count"] == asked.response.json()["items"][0]["count"]
        case "listCatalogue", _:
            assert followed.response.json()["id"] == asked.response.json()["items"][0]["id"]
        case "getCatalogueEntry", _:
            assert followed.response.json()["calculator"] == asked.response.json()["id"]
        case _, "getCatalogueEntry":
            assert followed.response.json()["id"] == asked.response.json()["calculator"]
        case _ if target.startswith("row"):
            assert followed.response.json() == asked.response.json()
        case _:
            assert target.startswith("cell")
            assert followed.response.text


def test_every_calculation_can_be_reached_from_the_list_of_kinds() -> None:
    reached, before = {"listKinds"}, set()
    while reached != before:
        before = set(reached)
        reached |= {target for source, target in links() if source in reached}
    calculations = {
        operation["operationId"]
        for _, path, operation in operations()
        if path.startswith(("/v1/calculate/", "/v1/row/", "/v1/cell/"))
    }
    assert calculations <= reached
