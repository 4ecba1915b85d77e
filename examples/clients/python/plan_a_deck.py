"""Plan a small deck through a generated client, and read what the server says to a job it cannot use.

With a server running (`latewood serve`) and the package attrs, httpx and openapi-python-client installed:

    openapi-python-client generate --url http://127.0.0.1:8000/openapi.json \
        --meta none --config generator.yaml --output-path latewood_client
    python plan_a_deck.py http://127.0.0.1:8000
"""

from __future__ import annotations

import sys

from latewood_client import Client
from latewood_client.api.calculations import calculate_coverage
from latewood_client.api.plan import plan_job, plan_job_as_text
from latewood_client.models import (
    Area,
    CoverageAnswer,
    CoverageInputs,
    CoveragePlanStep,
    CoverageResult,
    Job,
    LengthMeasure,
    Plan,
    Problem,
    Zone,
    ZoneExposure,
    ZoneFields,
    ZoneFieldsSurface,
    ZoneFieldsTreatment,
)

#: A made-up deck: 24 ft by 16 ft in the open, with a strip along the house under a roof.
DECK = Job(
    schema=1,
    defaults=ZoneFields(
        species="ipe",
        treatment=ZoneFieldsTreatment.NONE,
        coating="clear-penetrating-oil",
        surface=ZoneFieldsSurface.SANDED,
        old_coating="none",
    ),
    zones=[
        # A quantity is a text with its unit, or a number and a unit; the client has a type for either.
        Zone(id="main", length="24 ft", width=LengthMeasure(value=16, unit="ft"), exposure=ZoneExposure.OPEN),
        Zone(id="roofed", part_of="main", outline="0 12, 24 12, 24 16, 0 16 ft", exposure=ZoneExposure.ROOFED),
    ],
)


def plan(client: Client) -> None:
    """Print what to buy, and every step that could not be done."""
    answer = plan_job.sync(client=client, body=DECK)
    if not isinstance(answer, Plan):
        raise SystemExit(f"not planned: {answer}")
    # What was not computed is left out of an answer, and the client's type says so.
    if isinstance(area := answer.totals.area, Area):
        print(f"area: {area.value} {area.unit}")
    for purchase in answer.purchases:
        cans = " + ".join(f"{can.count} × {can.label}" for can in purchase.containers)
        print(f"{purchase.title}: {cans or purchase.text or purchase.count or 'see the step'}")
    for step in answer.steps:
        # A step has the type of its calculator, and its result the fields of that; a calculator of a newer server than
        # this client was made for comes as PlanStep.
        if isinstance(step, CoveragePlanStep) and isinstance(step.result, CoverageResult):
            volume = step.result.volume
            print(f"{step.id}: {volume.value} {volume.unit}, from {volume.low} to {volume.high}")
        if step.status.value != "done":
            print(f"{step.id} is {step.status.value}: {step.why}")
    for caution in answer.cautions:
        print(f"{caution.severity.value}: {caution.message}")


def coverage(client: Client) -> None:
    """Print one calculation with its range: low and high are P10 and P90."""
    answer = calculate_coverage.sync(
        client=client, body=CoverageInputs(area="320 ft2", species="ipe", coating="clear-penetrating-oil")
    )
    if not isinstance(answer, CoverageAnswer):
        raise SystemExit(f"not calculated: {answer}")
    volume = answer.result.volume
    print(f"volume: {volume.value} {volume.unit}, from {volume.low} to {volume.high}")


def refused(client: Client) -> None:
    """Send a job with two mistakes. Both come back, each with its place and what would be right."""
    wrong = Job(schema=1, zones=[Zone(id="main", length="24", width="16 kg")])
    problem = plan_job.sync(client=client, body=wrong)
    if not isinstance(problem, Problem):
        raise SystemExit(f"taken: {problem}")
    for fault in problem.errors:
        print(f"{problem.status} {fault.pointer} {fault.code}: {fault.detail}; {fault.expected}")


def text(client: Client) -> None:
    """Print the first line of the plan as it is printed for people."""
    print((plan_job_as_text.sync_detailed(client=client, body=DECK).content.decode()).splitlines()[0])


if __name__ == "__main__":
    with Client(base_url=sys.argv[1], raise_on_unexpected_status=True) as server:
        for part in (plan, coverage, refused, text):
            part(server)
