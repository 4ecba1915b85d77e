"""What is calculated for a request, from its bytes to those of the answer. Each runs in this process or in a worker."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from latewood.catalogue import Catalogue
from latewood.columns import Answerer, Asked, Form, Gained
from latewood.report import Layout
from latewood.verify import Outcome, verify
from latewood.wire import Options, strict_json
from latewood_api import query
from latewood_api.answers import to_json
from latewood_api.contract_plan import sample_job


def calculate(lw: Catalogue, name: str, body: bytes, asked: query.Asked) -> bytes:
    """Answer a JSON body."""
    raw = strict_json.decode(body)
    return to_json(query.with_body(asked, lambda options: lw.answer(name, raw, options)))


def row(lw: Catalogue, name: str, asked: query.Asked) -> bytes:
    """Answer a query with everything in it."""
    return to_json(tried(lw, name, asked))


def tried(lw: Catalogue, name: str, asked: query.Asked) -> dict[str, Any]:
    """Return the answer to a query as the pages show it."""
    return query.with_options(asked, lambda pairs, options: lw.answer_flat(name, pairs, options))


def cell(lw: Catalogue, name: str, output: str, asked: query.Asked) -> bytes:
    """Return one output as text."""
    return query.with_options(asked, lambda pairs, options: lw.cell(name, output, pairs, options)).encode()


def plan(lw: Catalogue, body: bytes, asked: query.Asked) -> bytes:
    """Plan a job."""
    raw = strict_json.decode(body)
    return to_json(query.with_body(asked, lambda options: lw.plan(raw, options)))


def plan_text(lw: Catalogue, body: bytes, asked: query.Asked) -> bytes:
    """Plan a job, as text to read."""
    raw = strict_json.decode(body)

    def written(options: Options, layout: Layout) -> str:
        return lw.plan_text(raw, options, width=layout.width, full=layout.full)

    return query.with_layout(asked, written).encode()


def sample_plan(lw: Catalogue) -> str:
    """Return the report of the job that the contract has as its example, as wide as a phone."""
    return lw.plan_text(sample_job(), Options(), width=46)


def plan_svg(lw: Catalogue, body: bytes, asked: query.Asked) -> bytes:
    """Draw a job."""
    raw = strict_json.decode(body)
    return query.with_body(asked, lambda options: lw.plan_svg(raw, options)).encode()


def rows(lw: Catalogue, form: Form, asked: Sequence[Asked]) -> list[Gained]:
    """Answer rows of a table."""
    answerer = _answerer(lw, form)
    return [answerer.answer(one) for one in asked]


@lru_cache(maxsize=8)
def _answerer(lw: Catalogue, form: Form) -> Answerer:
    return lw.answerer(form)


def checks(lw: Catalogue) -> list[Outcome]:
    """Run every check that is installed."""
    return verify(lw).outcomes
