"""The report of a plan over HTTP: as wide as asked, in full where asked, and refused where a plan would be."""

from __future__ import annotations

from collections.abc import Callable
from html import unescape

import httpx
import pytest

from latewood.catalogue import Catalogue
from latewood.wire import Options
from latewood_api.contract_plan import sample_job

Send = Callable[..., httpx.Response]
JOB = {
    "schema": 1,
    "units": "us",
    "defaults": {"species": "western-redcedar", "coating": "semi-transparent-oil-stain", "signs": ["grey"]},
    "zones": [{"id": "main", "length": "16 ft", "width": "12 ft"}],
}


def test_the_page_the_engine_writes(send: Send, lw: Catalogue) -> None:
    response = send("POST", "/v1/plan.txt", json=JOB)
    assert response.status_code == 200
    assert response.headers["content-type"].split(";")[0] == "text/plain"
    assert response.text == lw.plan_text(JOB, Options())


@pytest.mark.parametrize("width", [20, 46, 400])
def test_no_line_is_wider_than_asked(send: Send, lw: Catalogue, width: int) -> None:
    text = send("POST", f"/v1/plan.txt?width={width}", json=JOB).text
    assert text == lw.plan_text(JOB, Options(), width=width)
    assert max(map(len, text.splitlines())) <= width


def test_everything_is_shown_where_asked(send: Send, lw: Catalogue) -> None:
    short = send("POST", "/v1/plan.txt?width=46&full=false", json=JOB).text
    full = send("POST", "/v1/plan.txt?width=46&full=true&lang=es", json=JOB).text
    assert full == lw.plan_text(JOB, Options(lang="es"), width=46, full=True)
    assert len(short) < len(full)


@pytest.mark.parametrize(
    ("query", "pointer", "code"),
    [
        ("width=19", "/width", "out-of-range"),
        ("width=401", "/width", "out-of-range"),
        ("width=", "/width", "out-of-range"),
        ("width=-46", "/width", "out-of-range"),
        ("width=4.6e1", "/width", "out-of-range"),
        ("width=" + "9" * 500, "/width", "out-of-range"),
        ("width=\u0664\u0666", "/width", "out-of-range"),
        ("width=46&width=46", "/width", "repeated"),
        ("full=yes", "/full", "unknown-choice"),
        ("ful=true", "/ful", "unknown-field"),
    ],
)
def test_a_layout_that_is_none_is_refused(send: Send, query: str, pointer: str, code: str) -> None:
    response = send("POST", f"/v1/plan.txt?{query}", json=JOB)
    assert response.status_code == 422
    assert [(one["pointer"], one["code"]) for one in response.json()["errors"]] == [(pointer, code)]


def test_faults_of_layout_and_job_come_together(send: Send) -> None:
    response = send("POST", "/v1/plan.txt?width=1", json={**JOB, "zones": []})
    assert {one["pointer"] for one in response.json()["errors"]} == {"/width", "/zones"}


@pytest.mark.parametrize("path", ["/v1/plan", "/v1/plan.svg"])
def test_only_the_page_has_a_width(send: Send, path: str) -> None:
    assert send("POST", f"{path}?width=46", json=JOB).status_code == 422


def test_a_page_says_how_a_job_is_planned_and_shows_one(send: Send, lw: Catalogue) -> None:
    page = send("GET", "/docs/plan")
    assert page.status_code == 200
    assert '<a href="/docs/plan">' in send("GET", "/").text
    shown = unescape(page.text)
    assert lw.plan_text(sample_job(), Options(), width=46) in shown
    for word in lw.speaker(Options()).pack.words["report-verdict"].values():
        assert word.split(",")[0].partition(" ")[0] in shown
    assert send("GET", "/docs/plan?width=46").status_code == 422
