"""What the generated requests of `tests.contract.recipe` are held to, beside the tool's own checks."""

from __future__ import annotations

from typing import Any

import schemathesis
from schemathesis.specs.openapi.checks import negative_data_rejection

# Registered by being imported.
from tests.contract.test_schemathesis import refused_only_for_its_meaning

__all__ = ["refused_only_for_its_meaning", "refuses_what_does_not_fit"]


@schemathesis.check
def refuses_what_does_not_fit(ctx: Any, response: Any, case: Any) -> bool | None:
    """As the tool has it; but a cell hides a refusal behind 200 where asked, and a proxy refuses a head by 431."""
    if (case.query or {}).get("on_error") == "text" and response.text.startswith("#ERROR "):
        return None
    if response.status_code == 431:
        return None
    found: bool | None = negative_data_rejection(ctx, response, case)
    return found
