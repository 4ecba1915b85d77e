"""The contract: valid OpenAPI 3.1, true of the running application, and kind to client generators."""

from __future__ import annotations

import copy
import dataclasses
import hashlib
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import jsonschema
import msgspec
import openapi_spec_validator
import pytest
from tests.contract.write import render

from latewood.catalogue import Catalogue
from latewood.wire import Options
from latewood.wire.options import CHOICES
from latewood_api import openapi

Send = Callable[..., httpx.Response]
COMMITTED = Path(__file__).parents[2] / "openapi" / "v1.json"
#: Pages for people and the contract itself are no operations of it.
PAGES = {"/", "/docs", "/docs/plan", "/docs/assets/{name}", "/docs/{name}", "/problems/{slug}", "/openapi.json"}
PAGES |= {"/.well-known/security.txt", "/docs/catalogue/{kind}", "/docs/catalogue/{kind}/{id}"}
PAGES |= {"/docs/search", "/docs/findings", "/docs/guide/{name}", "/problems"}
PAGES |= {"/docs/console", "/docs/console/{tag}", "/docs/console/{tag}/openapi.json"}


@pytest.fixture(scope="module")
def contract(send: Send) -> dict[str, Any]:
    return send("GET", "/openapi.json").json()


def operations(contract: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, item in contract["paths"].items():
        for method, operation in item.items():
            yield path, method, operation


def nodes(tree: Any, at: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(tree, dict):
        yield at, tree
        for name, part in tree.items():
            if name not in ("example", "examples"):
                yield from nodes(part, f"{at}/{name}")
    elif isinstance(tree, list):
        for index, part in enumerate(tree):
            yield from nodes(part, f"{at}/{index}")


def schemas(contract: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema, wherever it stands; a map of properties is not one itself."""
    for at, node in nodes(contract):
        if re.search(r"/(schemas/[^/]+|schema|items|(properties|allOf|anyOf|oneOf)/[^/]+)$", at):
            yield at, node


def held(contract: dict[str, Any], part: dict[str, Any]) -> dict[str, Any]:
    """Return what stands under components where a part only refers to it."""
    if "$ref" not in part:
        return part
    _, _, section, name = part["$ref"].split("/")
    found: dict[str, Any] = contract["components"][section][name]
    return found


def validator(contract: dict[str, Any], schema: dict[str, Any]) -> jsonschema.Draft202012Validator:
    whole = {**schema, "components": contract["components"]}
    return jsonschema.Draft202012Validator(whole, format_checker=jsonschema.FormatChecker())


def test_it_is_valid_openapi(contract: dict[str, Any]) -> None:
    assert contract["openapi"] == "3.1.1"
    openapi_spec_validator.validate(contract)


def test_the_committed_document_is_what_runs(contract: dict[str, Any]) -> None:
    """Numbers may differ in the last places between machines; nothing else may."""
    assert_same(msgspec.json.decode(COMMITTED.read_bytes()), contract, "")


def test_it_is_served_as_it_is_committed(contract: dict[str, Any], send: Send) -> None:
    """On one line, and under the tag of those very bytes."""
    served = send("GET", "/openapi.json")
    assert served.content == render(contract)
    assert b"\n" not in served.content
    assert served.headers["etag"].strip('"') == hashlib.sha256(served.content).hexdigest()[:32]
    again = send("GET", "/openapi.json", headers={"if-none-match": served.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


def assert_same(committed: Any, running: Any, at: str) -> None:
    if isinstance(committed, dict) and isinstance(running, dict):
        assert list(committed) == list(running), at
        for name, part in committed.items():
            assert_same(part, running[name], f"{at}/{name}")
    elif isinstance(committed, list) and isinstance(running, list):
        assert len(committed) == len(running), at
        for index, part in enumerate(committed):
            assert_same(part, running[index], f"{at}/{index}")
    elif isinstance(committed, float) and isinstance(running, float | int):
        assert running == pytest.approx(committed, rel=1e-6), at
    else:
        assert committed == running, at


def test_the_comparison_notices_a_difference() -> None:
    pairs: list[tuple[Any, Any]] = [
        ({"a": 1}, {"a": 2}),
        ({"a": 1}, {}),
        ([1], [1, 2]),
        (1.0, 1.1),
        ({"a": 1, "b": 2}, {"b": 2, "a": 1}),
    ]
    for one, other in pairs:
        with pytest.raises(AssertionError):
            assert_same(one, other, "")


def test_every_route_is_in_it_and_nothing_else(app: Any, contract: dict[str, Any], lw: Catalogue) -> None:
    routes = {route.path_format for route in app.app.routes} - PAGES
    patterns = {route: re.compile(re.sub(r"\{[^}]*\}", "[^/]+", route)) for route in routes}
    matched = {path: [route for route in routes if patterns[route].fullmatch(path)] for path in contract["paths"]}
    assert all(matched.values()), matched
    assert {route for found in matched.values() for route in found} == routes


def test_each_calculator_has_its_three_paths(contract: dict[str, Any], lw: Catalogue) -> None:
    for id in lw.calculators:
        assert "post" in contract["paths"][f"/v1/calculate/{id}"]
        assert "get" in contract["paths"][f"/v1/row/{id}"]
        assert "get" in contract["paths"][f"/v1/cell/{id}/{{output}}"]


def test_operation_ids_are_lower_camel_and_unique(contract: dict[str, Any]) -> None:
    ids = [operation["operationId"] for _, _, operation in operations(contract)]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[a-z][A-Za-z0-9]*", id) for id in ids)


def test_every_operation_is_described(contract: dict[str, Any]) -> None:
    known = {tag["name"] for tag in contract["tags"]}
    for path, method, operation in operations(contract):
        assert operation["summary"], (path, method)
        assert operation["description"], (path, method)
        assert set(operation["tags"]) <= known
        assert all(text["description"] for text in operation["responses"].values() if "$ref" not in text)
        for parameter in operation.get("parameters", ()):
            assert held(contract, parameter)["description"], (path, parameter)
    assert contract["info"]["license"]["identifier"] == "Apache-2.0"
    assert contract["servers"][0]["url"] == "/"


def test_every_object_says_what_it_is(contract: dict[str, Any]) -> None:
    named = contract["components"]["schemas"]
    objects = [name for name, schema in named.items() if schema.get("type") == "object"]
    assert objects
    assert [name for name in objects if len(named[name].get("description", "")) < 10] == []


def test_one_representation_a_path(contract: dict[str, Any]) -> None:
    for path, method, operation in operations(contract):
        assert method in ("get", "post")
        assert len(contract["paths"][path]) == 1
        assert len(operation["responses"]["200"]["content"]) == 1


class TestKindToGenerators:
    """Constructs that break at least one of the usual client generators or linters; each was tried with them."""

    def test_lists_say_what_they_hold(self, contract: dict[str, Any]) -> None:
        lists = [(at, node) for at, node in schemas(contract) if node.get("type") == "array"]
        assert lists
        assert [at for at, node in lists if not isinstance(node.get("items"), dict)] == []

    def test_no_construct_that_is_misread(self, contract: dict[str, Any]) -> None:
        forbidden = {"prefixItems", "nullable", "discriminator", "readOnly", "writeOnly", "deprecated"}
        assert [(at, key) for at, node in schemas(contract) for key in forbidden & set(node)] == []

    def test_enums_have_one_type_and_several_words(self, contract: dict[str, Any]) -> None:
        enums = [(at, node) for at, node in schemas(contract) if "enum" in node]
        assert enums
        for at, node in enums:
            assert len(node["enum"]) > 1, at
            assert len({type(word) for word in node["enum"]}) == 1, at
            assert node.get("type") in ("string", "integer"), at

    def test_patterns_are_plain(self, contract: dict[str, Any]) -> None:
        patterns = [(at, node["pattern"]) for at, node in schemas(contract) if "pattern" in node]
        assert patterns
        for at, pattern in patterns:
            assert pattern.startswith("^"), at
            assert pattern.endswith("$"), at
            assert not re.search(r"\\u[dD][89abAB]|\\[AZpP]|\(\?P<|\(\?[a-z]+\)|\+\+|\*\+", pattern), at

    def test_names_are_plain(self, contract: dict[str, Any]) -> None:
        # A parameter is named as it is asked, with a prefix where two calculators ask it otherwise.
        asked = contract["components"]["parameters"]
        assert all(re.fullmatch(r"(?:[a-z][a-z0-9-]*\.)?[a-z][a-z0-9_.]*", name) for name in asked)
        for section in ("schemas", "headers", "responses", "examples", "links"):
            assert all(re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*", name) for name in contract["components"][section])
        for at, node in schemas(contract):
            names = list(node.get("properties", {}))
            assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in names), at

    def test_parameters_differ_by_more_than_case(self, contract: dict[str, Any]) -> None:
        for path, _, operation in operations(contract):
            names = [held(contract, p)["name"].lower() for p in operation.get("parameters", ())]
            assert len(set(names)) == len(names), path

    def test_no_default_beside_a_reference_and_none_that_is_null(self, contract: dict[str, Any]) -> None:
        for at, node in schemas(contract):
            assert not ("$ref" in node and len(node) > 1), at
            assert node.get("default", 0) is not None, at

    def test_bounds_of_integers_are_integers(self, contract: dict[str, Any]) -> None:
        for at, node in schemas(contract):
            if node.get("type") == "integer":
                bounds = [node[key] for key in ("minimum", "maximum") if key in node]
                assert all(isinstance(bound, int) for bound in bounds), at

    def test_requests_are_closed_and_answers_open(self, contract: dict[str, Any]) -> None:
        named = contract["components"]["schemas"]
        sent = reachable(
            named,
            [o["requestBody"] for _, _, o in operations(contract) if "requestBody" in o]
            + list(contract["components"]["parameters"].values()),
        )
        answered = reachable(named, [o["responses"]["200"] for _, _, o in operations(contract)])
        assert sent
        assert answered
        assert sent & answered == set()
        for name in sent:
            if named[name].get("type") == "object":
                assert named[name]["additionalProperties"] is False, name
        for name in answered:
            assert named[name].get("additionalProperties") is not False, name

    def test_every_component_is_used(self, contract: dict[str, Any]) -> None:
        used = {node["$ref"] for _, node in nodes(contract) if isinstance(node.get("$ref"), str)}
        used |= {e["$ref"] for _, node in nodes(contract) for e in node.get("examples", {}).values() if "$ref" in e}
        unused = {
            f"#/components/{section}/{name}" for section, found in contract["components"].items() for name in found
        } - used
        assert unused == set()


def reachable(named: dict[str, Any], roots: Any) -> set[str]:
    found: set[str] = set()
    waiting = [roots]
    while waiting:
        for _, node in nodes(waiting.pop()):
            name = str(node.get("$ref", "")).removeprefix("#/components/schemas/")
            if name in named and name not in found:
                found.add(name)
                waiting.append(named[name])
    return found


class TestExamples:
    def test_requests_are_examples_that_work(self, contract: dict[str, Any], lw: Catalogue, send: Send) -> None:
        for path, _, operation in operations(contract):
            if "requestBody" in operation:
                [(media, content)] = operation["requestBody"]["content"].items()
                validator(contract, content["schema"]).validate(content["example"])
                sent = msgspec.json.encode(content["example"]) if media == "application/json" else content["example"]
                response = send("POST", path, content=sent, headers={"content-type": media})
                assert response.status_code == 200, response.text
                schema = operation["responses"]["200"]["content"]
                if "application/json" in schema:
                    validator(contract, schema["application/json"]["schema"]).validate(response.json())

    def test_answers_shown_are_computed(self, contract: dict[str, Any], lw: Catalogue) -> None:
        for id, calculator in lw.calculators.items():
            answered = contract["paths"][f"/v1/calculate/{id}"]["post"]["responses"]["200"]
            content = answered["content"]["application/json"]
            name = content["examples"]["computed"]["$ref"].rpartition("/")[2]
            shown = contract["components"]["examples"][name]["value"]
            answer = msgspec.to_builtins(lw.answer(id, dict(calculator.example), Options()))
            assert shown["result"] == openapi.shortened(answer["result"])
            validator(contract, content["schema"]).validate(shown)

    def test_the_flat_form_of_an_example_gives_the_same_answer(self, lw: Catalogue, send: Send) -> None:
        for id, calculator in lw.calculators.items():
            asked = openapi.flatten(calculator.example)
            row = send("GET", f"/v1/row/{id}", params=asked)
            assert row.status_code == 200, row.text
            sent = send("POST", f"/v1/calculate/{id}", json=dict(calculator.example))
            assert row.json() == sent.json()

    def test_cells_shown_exist(self, contract: dict[str, Any], lw: Catalogue, send: Send) -> None:
        for id, calculator in lw.calculators.items():
            output = contract["paths"][f"/v1/cell/{id}/{{output}}"]["get"]["parameters"][0]["example"]
            response = send("GET", f"/v1/cell/{id}/{output}", params=openapi.flatten(calculator.example))
            assert response.status_code == 200, response.text
            assert response.text

    def test_parameter_examples_fit_their_schema(self, contract: dict[str, Any]) -> None:
        seen = 0
        for path, _, operation in operations(contract):
            for parameter in [held(contract, p) for p in operation.get("parameters", ())]:
                if "example" in parameter:
                    seen += 1
                    errors = list(validator(contract, parameter["schema"]).iter_errors(parameter["example"]))
                    assert errors == [], (path, parameter["name"])
        assert seen

    def test_problems_shown_are_problems(self, contract: dict[str, Any]) -> None:
        for name, response in contract["components"]["responses"].items():
            content = response.get("content", {})
            if "application/problem+json" in content:
                shown = content["application/problem+json"]
                validator(contract, shown["schema"]).validate(shown["example"])
                assert shown["example"]["title"]
            elif content:
                assert content["text/plain"]["example"].startswith("#ERROR "), name


def test_the_options_listed_are_the_options_taken(contract: dict[str, Any]) -> None:
    listed = contract["components"]["parameters"]
    for name, words in CHOICES.items():
        if name != "working":
            assert listed[name]["schema"]["enum"] == list(words)


def test_lists_of_a_kind_are_what_the_contract_says(contract: dict[str, Any], lw: Catalogue, send: Send) -> None:
    shape = contract["components"]["schemas"]
    of_a_list, of_an_item = (validator(contract, shape[name]) for name in ("CatalogueList", "CatalogueItem"))
    for kind in lw.kinds():
        listed = send("GET", f"/v1/catalogue/{kind}").json()
        of_a_list.validate(listed)
        assert listed["count"] == len(listed["items"])
        for entry in listed["items"]:
            item = send("GET", f"/v1/catalogue/{kind}/{entry['id']}").json()
            of_an_item.validate(item)
    validator(contract, shape["CatalogueKinds"]).validate(send("GET", "/v1/catalogue").json())
    validator(contract, shape["Readiness"]).validate(send("GET", "/health/ready").json())
    validator(contract, shape["Liveness"]).validate(send("GET", "/health/live").json())


def test_a_plugin_whose_example_fails_does_not_stop_the_server(lw: Catalogue, caplog: pytest.LogCaptureFixture) -> None:
    shelf = copy.copy(lw.shelf)
    broken = dataclasses.replace(lw.calculators["area"], id="broken", plugin="other", example={"length": "24 ft"})
    shelf.calculators = {**lw.calculators, "broken": broken}
    document = msgspec.json.decode(msgspec.json.encode(openapi.document(Catalogue(shelf))))
    openapi_spec_validator.validate(document)
    assert "BrokenAnswer" not in document["components"]["examples"]
    assert "/v1/calculate/broken" in document["paths"]
    assert "calculator broken of plugin other" in caplog.text
