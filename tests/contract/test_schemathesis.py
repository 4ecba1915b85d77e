"""The running application against its own contract, with generated requests, valid and invalid.

All of the tool's checks run. One of them, that every schema-valid request is accepted, cannot hold: a schema cannot
say that "2000 ft" lies over a limit given in metres. A stricter rule stands in its place: a schema-valid request may
be refused only with 422, and only with the codes in `MEANING`, each of which `TestWhatNoSchemaCanSay` shows at work.
"""

from __future__ import annotations

import os
from typing import Any

import hypothesis
import pytest
import schemathesis
from schemathesis.checks import load_all_checks
from schemathesis.specs.openapi.checks import positive_data_acceptance

from latewood_api.app import create_app
from latewood_api.openapi import bundled

pytestmark = pytest.mark.contract

EXAMPLES = int(os.environ.get("LATEWOOD_EXAMPLES", "12"))

#: Codes a schema-valid request may meet. An ambiguous name (``mahogany``) is an id that is not known, told apart so
#: that the candidates can be listed; it belongs with unknown-id: the ids are open strings in the contract, so that
#: a plugin's record does not change it.
MEANING = {"out-of-range", "ragged", "unknown-id", "ambiguous", "conflict"}
#: In a query, objects are spread over several names, and no schema can say that one name needs another.
SPREAD = {"missing"}
#: A cell's line does not carry codes; the row with the same query does, and is tested by the same rule.

application = create_app(bundled())
load_all_checks()
schema = schemathesis.openapi.from_asgi("/openapi.json", application)


@schemathesis.check
def refused_only_for_its_meaning(ctx: Any, response: Any, case: Any) -> None:
    """A schema-valid request is refused only for what no schema can say."""
    if not case.meta or not case.meta.generation.mode.is_positive:
        return
    if response.status_code == 404:
        # An open string in the path: a name that nothing has.
        assert case.path_parameters, "nothing in the path was chosen"
        return
    if response.status_code == 422 and response.headers["content-type"][0] == "application/problem+json":
        allowed = MEANING | (SPREAD if case.method == "GET" else set())
        codes = {fault["code"] for fault in response.json()["errors"]}
        assert codes <= allowed, f"{codes - allowed}: {response.text[:600]}"
        return
    assert response.status_code in (200, 304, 422), response.text[:600]


@schema.parametrize()
@hypothesis.settings(
    max_examples=EXAMPLES,
    deadline=None,
    derandomize="LATEWOOD_EXAMPLES" not in os.environ,
    suppress_health_check=list(hypothesis.HealthCheck),
)
def test_contract(case: Any) -> None:
    case.call_and_validate(excluded_checks=[positive_data_acceptance], additional_checks=[refused_only_for_its_meaning])
