"""A pack from outside finds and refuses in its own words, in its own languages, over HTTP as in the command."""

from __future__ import annotations

import asyncio
from importlib.metadata import EntryPoint
from pathlib import Path
from typing import Any

import httpx
import pytest

from latewood.catalogue import Catalogue, load
from latewood.columns import Choices
from latewood.messages.calls import faults
from latewood.plugin.loader import installed
from latewood.problems import InputProblem
from latewood.wire import Options
from latewood_api.app import create_app

PACK = Path(__file__).parents[2] / "examples" / "third_party"
FIT, OVER = {"area": "61 m2", "block": "4 m2"}, {"area": "10 m2", "block": "20 m2"}


@pytest.fixture(scope="module")
def lw() -> Catalogue:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(PACK))
        own = [entry for entry in installed() if entry.name == "latewood"]
        return load([*own, EntryPoint("greywharf", "greywharf", "latewood")], strict=True)


def ask(lw: Catalogue, method: str, address: str, **more: Any) -> httpx.Response:
    async def once() -> httpx.Response:
        transport = httpx.ASGITransport(create_app(lw))
        async with httpx.AsyncClient(transport=transport, base_url="http://deck.example") as client:
            return await client.request(method, address, **more)

    return asyncio.run(once())


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("", "16 blocks are enough: the last one covers 1 m². Keep the rest dry."),
        ("?units=us", "16 blocks are enough: the last one covers 10.8 sq ft. Keep the rest dry."),
        ("?lang=nb", "16 blokker er nok: den siste dekker 1 m². Hold resten tørr."),
        ("?lang=es", "Bastan 16 bloques: el último cubre 1 m². Guarde el resto en seco."),
    ],
)
def test_its_finding_is_written_as_it_is_asked_for(lw: Catalogue, query: str, said: str) -> None:
    answer = ask(lw, "POST", f"/v1/calculate/wax-blocks{query}", json=FIT).json()
    [finding] = answer["findings"]
    assert plain(finding["message"]) == said
    assert finding["values"]["blocks"] == 16


@pytest.mark.parametrize(
    ("query", "detail", "expected", "block"),
    [
        ("?lang=nb", "én blokk dekker 20 m², mer enn hele slippen", "høyst 10 m²", {"value": 20.0, "unit": "m2"}),
        ("", "one block covers 20 m², more than the whole slipway", "at most 10 m²", {"value": 20.0, "unit": "m2"}),
        (
            "?units=us&lang=es",
            "un bloque cubre 215 pies², más que toda la rampa",
            "como máximo 108 pies²",
            {"value": 215.278208, "unit": "ft2"},
        ),
    ],
)
def test_its_refusal_is_a_problem_document(
    lw: Catalogue, query: str, detail: str, expected: str, block: dict[str, Any]
) -> None:
    response = ask(lw, "POST", f"/v1/calculate/wax-blocks{query}", json=OVER)
    assert response.status_code == 422
    [fault] = response.json()["errors"]
    assert (plain(fault["detail"]), plain(fault["expected"])) == (detail, expected)
    assert (fault["pointer"], fault["code"], fault["id"]) == ("/block", "out-of-range", "greywharf-block-over-area")
    assert fault["values"]["block"] == block


def test_its_refusal_in_a_cell_a_table_and_the_engine(lw: Catalogue) -> None:
    line = ask(lw, "GET", "/v1/cell/wax-blocks/blocks?area=10 m2&block=20 m2&units=us&on_error=text").text
    assert "one block covers 215 sq ft" in plain(line)
    table = lw.table("wax-blocks", Choices.read([("units", "us")]))
    rows = b"".join([*table.feed(b"area,block\n10 m2,20 m2\n"), *table.finish()]).decode()
    assert "one block covers 215 sq ft, more than the whole slipway; expected at most 108 sq ft" in plain(rows)
    assert "out-of-range" in rows
    with pytest.raises(InputProblem) as refused:
        lw.answer("wax-blocks", OVER, Options(units="us"))
    assert "215 sq ft" in plain(str(refused.value))


def test_its_language_is_one_that_a_header_may_prefer(lw: Catalogue) -> None:
    asked = {"accept-language": "fo, nb-NO;q=0.8, en;q=0.5"}
    [finding] = ask(lw, "POST", "/v1/calculate/wax-blocks", json=FIT, headers=asked).json()["findings"]
    assert finding["message"].startswith("16 blokker er nok")
    response = ask(lw, "POST", "/v1/calculate/wax-blocks?lang=no", json=FIT)
    [fault] = response.json()["errors"]
    assert (fault["pointer"], fault["expected"]) == ("/lang", "one of en, en-US, es, nb")


def test_its_texts_are_in_the_catalogue(lw: Catalogue) -> None:
    item = lw.item("messages", "greywharf-block-over-area")
    assert item["params"] == {"block": "area", "area": "area"}


def test_its_calls_fit_what_it_declares(lw: Catalogue) -> None:
    theirs = [
        fault for fault in faults(lw.shelf.texts, sorted((PACK / "greywharf").rglob("*.py"))) if "greywharf" in fault
    ]
    assert theirs == []
