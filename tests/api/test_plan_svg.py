"""The picture of a job over HTTP: the same as the engine draws, and refused where a plan would be."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable

import httpx

from latewood.catalogue import Catalogue
from latewood.wire import Options

Send = Callable[..., httpx.Response]
JOB = {"schema": 1, "units": "us", "zones": [{"id": "main", "length": "16 ft", "width": "12 ft"}]}


def test_the_picture_the_engine_draws(send: Send, lw: Catalogue) -> None:
    response = send("POST", "/v1/plan.svg", json=JOB)
    assert response.status_code == 200
    assert response.headers["content-type"].split(";")[0] == "image/svg+xml"
    assert response.headers["x-content-type-options"] == "nosniff"
    assert response.text == lw.plan_svg(JOB, Options())
    words = ET.fromstring(response.text).find("{http://www.w3.org/2000/svg}desc")
    assert words is not None
    assert words.text == "Zone main: 4 corners, 16\u00a0ft by 12\u00a0ft, 192\u00a0sq ft."


def test_units_are_those_asked_for(send: Send) -> None:
    assert "17.8\u00a0m²" in send("POST", "/v1/plan.svg?units=metric", json=JOB).text


def test_a_crossed_outline_is_refused_as_a_problem(send: Send) -> None:
    job = {"schema": 1, "zones": [{"id": "main", "outline": "0 0, 2 2, 2 0, 0 2 m"}]}
    response = send("POST", "/v1/plan.svg", json=job)
    assert response.status_code == 422
    assert response.headers["content-type"].startswith("application/problem+json")
    assert response.json()["errors"][0]["pointer"] == "/zones/0/outline"


def test_another_representation_is_not_given(send: Send) -> None:
    assert send("POST", "/v1/plan.svg", json=JOB, headers={"accept": "image/png"}).status_code == 406
