"""The running application against its own contract, with generated requests, valid and invalid.

All of the tool's checks run. One of them, that every schema-valid request is accepted, cannot hold: a schema cannot
say that "2000 ft" lies over a limit given in metres. A stricter rule stands in its place: a schema-valid request may
be refused only with 422, and only with the codes in `MEANING`, each of which `TestWhatNoSchemaCanSay` shows at work.
"""

from __future__ import annotations

import asyncio
import os
from types import SimpleNamespace
from typing import Any, ClassVar

import httpx
import hypothesis
import jsonschema
import pytest
import schemathesis
from schemathesis.checks import load_all_checks
from schemathesis.specs.openapi.checks import negative_data_rejection, positive_data_acceptance
from tests.bundled import bundled
from tests.generated import generated

from latewood_api.app import create_app

#: Requests for each operation in every run, and under the marker.
FEW = 2
EXAMPLES = int(os.environ.get("LATEWOOD_EXAMPLES", "8"))
#: The full run asks for more, and then also for the tool's list of every edge of every schema: thousands of requests
#: that take minutes to write.
THOROUGH = EXAMPLES > 12

#: Codes a schema-valid request may meet. An ambiguous name (``mahogany``) is an id that is not known, told apart so
#: that the candidates can be listed; it belongs with unknown-id: the ids are open strings in the contract, so that
#: a plugin's record does not change it.
MEANING = {"out-of-range", "ragged", "unknown-id", "ambiguous", "conflict", "repeated"}
#: In a query, objects are spread over several names, and no schema can say that one name needs another.
SPREAD = {"missing"}
#: To a schema a table is any text; that it begins with a header, and of which names, no schema can say.
TABLE = {"empty", "missing", "unknown-field", "repeated", "bad-quoting", "ambiguous-delimiter"}
TABLE |= {"too-long", "unknown-unit", "unknown-output"}
#: What a field says that is always required. Where one field calls for another (a post for its height), the code is
#: the same and the words are others: a schema could say so by conditions, which client generators do not read.
REQUIRED = "this field is required"
#: A cell's line does not carry codes; the row with the same query does, and is tested by the same rule.

JSON = "application/json"
application = create_app(bundled())
load_all_checks()
schema, thorough = (schemathesis.openapi.from_asgi("/openapi.json", application) for _ in range(2))
schema.config.phases.coverage.enabled = False
thorough.config.phases.coverage.enabled = THOROUGH
unhurried = hypothesis.settings(
    deadline=None,
    derandomize="LATEWOOD_RANDOM" not in os.environ,
    suppress_health_check=list(hypothesis.HealthCheck),
)


def follows_its_schema(case: Any) -> bool:
    """Say whether a JSON body fits: the tool's list of edges leaves out what ``dependentRequired`` asks for."""
    if case.method != "POST" or case.media_type != JSON:
        return True
    path = case.operation.path.replace("~", "~0").replace("/", "~1")
    at = f"#/paths/{path}/post/requestBody/content/{JSON.replace('/', '~1')}/schema"
    return jsonschema.Draft202012Validator({**schema.raw_schema, "$ref": at}).is_valid(case.body)


def called_for_by_another(fault: dict[str, Any]) -> bool:
    """Say whether a field is missing because of what another field says."""
    return fault["code"] == "missing" and fault["detail"] != REQUIRED


@schemathesis.check
def refused_only_for_its_meaning(ctx: Any, response: Any, case: Any) -> None:
    """A schema-valid request is refused only for what no schema can say."""
    if not case.meta or not case.meta.generation.mode.is_positive:
        return
    if response.status_code == 422 and not follows_its_schema(case):
        return
    if response.status_code == 404:
        # An open string in the path: a name that nothing has.
        assert case.path_parameters, "nothing in the path was chosen"
        return
    if response.status_code == 422 and response.headers["content-type"][0] == "application/problem+json":
        if (case.query or {}).get("decimal") == ",":
            # The contract's patterns are of texts with a decimal point; asked to read commas, others are right.
            return
        # The line that counts the faults left off says nothing of them.
        allowed = MEANING | {"more-faults"} | (SPREAD if case.method == "GET" else set())
        if case.path.startswith("/v1/table/"):
            allowed = allowed | TABLE
        faults = response.json()["errors"]
        # What a query gives more than once is no value that its schema admits.
        spread = {fault["pointer"] for fault in faults if fault["code"] == "repeated" and case.method == "GET"}
        codes = {
            fault["code"]
            for fault in faults
            if not called_for_by_another(fault) and (fault["code"] == "repeated" or fault["pointer"] not in spread)
        }
        assert codes <= allowed, f"{codes - allowed}: {response.text[:600]}"
        return
    assert response.status_code in (200, 304, 422), response.text[:600]


@schema.parametrize()
@hypothesis.settings(unhurried, max_examples=FEW)
def test_a_few_requests(case: Any) -> None:
    holds(case)


@generated
@thorough.parametrize()
@hypothesis.settings(unhurried, max_examples=EXAMPLES)
def test_contract(case: Any) -> None:
    holds(case)


def holds(case: Any) -> None:
    """Send a request to an operation, with every check."""
    excluded: list[Any] = [positive_data_acceptance]
    response = case.call()
    if (case.query or {}).get("on_error") == "text" and response.text.startswith("#ERROR "):
        # Asked to hide a refusal behind status 200, it does; the line says that it is one.
        excluded.append(negative_data_rejection)
    case.validate_response(response, excluded_checks=excluded, additional_checks=[refused_only_for_its_meaning])


class Case:
    """As much of a generated request as the rule looks at."""

    method = "POST"
    path = "/v1/calculate/coverage"
    operation = SimpleNamespace(path=path)
    media_type = JSON
    body: ClassVar[dict[str, str]] = {"area": "400 ft2", "coating": "clear-penetrating-oil"}
    query: ClassVar[dict[str, str]] = {}
    path_parameters: ClassVar[dict[str, str]] = {}
    meta = SimpleNamespace(generation=SimpleNamespace(mode=SimpleNamespace(is_positive=True)))


@pytest.mark.parametrize(
    ("status", "code", "broken"),
    [
        (422, "out-of-range", False),
        (422, "wrong-type", True),
        (422, "missing", True),
        (422, "unknown-field", True),
        (400, "malformed", True),
        (404, "not-found", True),
        (415, "unsupported-media-type", True),
    ],
)
def test_the_rule_can_be_broken(status: int, code: str, broken: bool) -> None:
    class Answer(SimpleNamespace):
        def json(self) -> Any:
            return {"errors": [{"pointer": "/area", "code": code, "detail": REQUIRED}]}

    answer = Answer(status_code=status, headers={"content-type": ["application/problem+json"]}, text="")
    if broken:
        with pytest.raises(AssertionError):
            refused_only_for_its_meaning(None, answer, Case)
    else:
        refused_only_for_its_meaning(None, answer, Case)


@pytest.mark.parametrize(
    ("at", "method", "broken"), [("/area", "GET", False), ("/length", "GET", True), ("/area", "POST", True)]
)
def test_only_what_a_query_repeats_may_be_unreadable_there(at: str, method: str, broken: bool) -> None:
    class Asked(Case):
        pass

    Asked.method = method
    faults = [
        {"pointer": "/area", "code": "repeated", "detail": ""},
        {"pointer": at, "code": "bad-number", "detail": ""},
    ]
    answer = SimpleNamespace(
        status_code=422,
        headers={"content-type": ["application/problem+json"]},
        text="",
        json=lambda: {"errors": faults},
    )
    if broken:
        with pytest.raises(AssertionError):
            refused_only_for_its_meaning(None, answer, Asked)
    else:
        refused_only_for_its_meaning(None, answer, Asked)


def test_a_body_that_does_not_fit_may_be_refused() -> None:
    class Unfit(Case):
        body: ClassVar[dict[str, str]] = {"area": "400 ft2", "colour": "grey"}

    answer = SimpleNamespace(status_code=422)
    refused_only_for_its_meaning(None, answer, Unfit)
    assert follows_its_schema(Case)
    assert not follows_its_schema(Unfit)


class TestWhatNoSchemaCanSay:
    """One request for each code of `MEANING` and `SPREAD` that the schema takes and the engine rightly refuses."""

    SENT: ClassVar[dict[str, tuple[str, dict[str, Any]]]] = {
        # The limit is 1000 m; 4000 mm is a smaller length, and 4000 is the same number.
        "out-of-range": ("area", {"length": "4000 ft", "width": "16 ft"}),
        # Ids are open strings, so that a plugin's record does not change the contract.
        "unknown-id": ("coverage", {"area": "400 ft2", "species": "unobtainium", "coating": "clear-penetrating-oil"}),
        "ambiguous": ("coverage", {"area": "400 ft2", "species": "mahogany", "coating": "clear-penetrating-oil"}),
        # A range whose ends are texts with units: which is larger is arithmetic.
        "conflict": ("coverage", {"area": "400 ft2", "coating": "clear-penetrating-oil", "loss": "15-10 %"}),
        # That the ids of a list differ: a schema compares whole items only.
        "repeated": (
            "area",
            {"zones": [{"id": "a", "length": "4 m", "width": "3 m"}, {"id": "a", "length": "2 m", "width": "3 m"}]},
        ),
        # Water content serves to reckon the VOC content, and is accepted with it.
        "missing": (
            "coverage",
            {"area": "400 ft2", "coating": "clear-penetrating-oil", "product": {"water_content": "300 g/L"}},
        ),
    }
    ASKED: ClassVar[dict[str, tuple[str, str]]] = {
        # The contract lists items at index 0; that the rest follow without a gap is a rule about names.
        "ragged": ("area", "zones.0.id=main&zones.0.length=24+ft&zones.0.width=16+ft&zones.2.id=north"),
        "missing": ("area", "zones.0.length=24+ft&zones.0.width=16+ft"),
    }

    TABLES: ClassVar[dict[str, str]] = {
        "empty": ",,",
        "missing": "note",
        "unknown-field": "coating,aera",
        "repeated": "coating,coating",
        "bad-quoting": '"coating" x',
        "ambiguous-delimiter": "coating;area,species",
        "too-long": "coating" + ",x" * 1000,
        "unknown-unit": "coating,area [cubits]",
    }

    @pytest.mark.parametrize("code", sorted(TABLES))
    def test_in_a_table(self, code: str) -> None:
        headers = {"content-type": "text/csv"}
        response = ask("POST", "/v1/table/coverage.csv", content=self.TABLES[code], headers=headers)
        assert response.status_code == 422, response.text
        assert code in {fault["code"] for fault in response.json()["errors"]}

    def test_an_output_by_a_name_that_only_looks_right(self) -> None:
        headers = {"content-type": "text/csv"}
        response = ask("POST", "/v1/table/coverage.csv?outputs=volum", content="coating", headers=headers)
        assert response.status_code == 422, response.text
        assert {fault["code"] for fault in response.json()["errors"]} == {"unknown-output"}

    def test_each_code_is_shown(self) -> None:
        assert set(self.SENT) | set(self.ASKED) == MEANING | SPREAD
        assert set(self.TABLES) | {"unknown-output"} == TABLE

    @pytest.mark.parametrize("code", sorted(SENT))
    def test_in_a_body(self, code: str) -> None:
        name, body = self.SENT[code]
        contract = ask("GET", "/openapi.json").json()
        sent = contract["paths"][f"/v1/calculate/{name}"]["post"]["requestBody"]["content"][JSON]["schema"]
        jsonschema.Draft202012Validator({**sent, "components": contract["components"]}).validate(body)
        response = ask("POST", f"/v1/calculate/{name}", json=body)
        assert response.status_code == 422, response.text
        faults = response.json()["errors"]
        assert {fault["code"] for fault in faults} == {code}
        assert all(called_for_by_another(fault) for fault in faults) is (code == "missing")

    @pytest.mark.parametrize("code", sorted(ASKED))
    def test_in_a_query(self, code: str) -> None:
        name, query = self.ASKED[code]
        response = ask("GET", f"/v1/row/{name}?{query}")
        assert response.status_code == 422, response.text
        assert code in {fault["code"] for fault in response.json()["errors"]}


def ask(method: str, address: str, **more: Any) -> httpx.Response:
    async def once() -> httpx.Response:
        transport = httpx.ASGITransport(application)
        async with httpx.AsyncClient(transport=transport, base_url="http://deck.example") as client:
            return await client.request(method, address, **more)

    return asyncio.run(once())
