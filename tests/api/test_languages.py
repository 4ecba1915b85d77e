"""Texts of answers and refusals over HTTP: in the language and units asked for, with what they say as data beside."""

from __future__ import annotations

from collections.abc import Callable

import httpx
import pytest

from latewood.wire import Options
from latewood_api.accept import language

Send = Callable[..., httpx.Response]

COVERAGE = "/v1/calculate/coverage"
BASE = {"area": "40 m2", "coating": "clear-penetrating-oil", "species": "ipe", "surface": "sanded"}
FILM = {**BASE, "product": {"dry_film_thickness": "40 um"}}


def test_a_refusal_names_its_text_and_gives_its_values(send: Send) -> None:
    response = send("POST", COVERAGE, json=FILM)
    assert response.status_code == 422
    [fault] = response.json()["errors"]
    # The catalogue has the text under the id the fault names, and declares what stands in it.
    text = send("GET", f"/v1/catalogue/messages/{fault['id']}").json()
    assert text["code"] == fault["code"]
    assert set(text["params"]) == set(fault["values"])
    assert fault["values"] == {
        "coating": {"kind": "coating", "id": "clear-penetrating-oil"},
        "field": "dry_film_thickness",
    }


@pytest.mark.parametrize(
    ("header", "lang"),
    [
        (None, None),
        ("", None),
        ("*", None),
        ("es", "es"),
        ("es-MX", "es"),
        ("ES-mx, en;q=0.9", "es"),
        ("en-us,en;q=0.5", "en-US"),
        ("en-GB", "en"),
        ("de, fr;q=0.8", None),
        ("de, es;q=0.3, en;q=0.2", "es"),
        ("es;q=0, en;q=0.1", "en"),
        ("en;q=0.4, es;q=0.5", "es"),
        ("*;q=0.5, es;q=0.1", None),
        ("es;q=junk", None),
        (";;,,-", None),
    ],
)
def test_what_a_header_prefers(header: str | None, lang: str | None) -> None:
    # RFC 4647, section 3.4, lookup: a range is shortened from its end; RFC 9110, section 12.5.4: weights.
    assert language(header, ["en", "en-US", "es"]) == lang


def test_a_query_beats_a_header(send: Send) -> None:
    spanish = send("POST", COVERAGE, json=BASE, headers={"accept-language": "es"}).content
    assert spanish == send("POST", f"{COVERAGE}?lang=es", json=BASE).content
    english = send("POST", COVERAGE, json=BASE).content
    assert send("POST", f"{COVERAGE}?lang=en", json=BASE, headers={"accept-language": "es"}).content == english
    assert spanish != english
    assert send("GET", "/health/live").headers["vary"] == "Accept, Accept-Encoding, Accept-Language"


def test_us_units_take_us_spelling_where_no_language_is_asked() -> None:
    options, _ = Options.split([("units", "us")])
    assert options.style.lang == "en-US"
    assert options.or_lang("en").style.lang == "en"
    assert Options.split([("units", "us"), ("lang", "es")])[0].or_lang("en").style.lang == "es"


@pytest.mark.parametrize("path", ["/v1/plan", "/v1/plan.txt", "/v1/row/coverage", "/v1/cell/coverage/applied"])
def test_every_way_of_asking_takes_a_language(send: Send, path: str) -> None:
    body = {"json": {"schema": 1, "zones": [{"id": "a", "area": "40 m2"}]}} if "plan" in path else {}
    method, query = ("POST", "") if body else ("GET", "&".join(f"{name}={value}" for name, value in BASE.items()))
    assert send(method, f"{path}?{query}&lang=es", **body).status_code == 200
    refused = send(method, f"{path}?{query}&lang=xx", **body)
    assert refused.status_code == 422
    assert "en-US" in refused.text


@pytest.mark.parametrize(
    ("query", "line"),
    [
        # A quart is 0.9464 L, a gallon 3.785 L, five gallons 18.93 L (NIST Handbook 44, Appendix C).
        ("", "2 × 946 mL + 1 × 3.785 L + 1 × 18.93 L"),
        ("decimal=,", "2 × 946 mL + 1 × 3,785 L + 1 × 18,93 L"),
        ("units=us", "2 × 1 qt + 1 × 1 gal + 1 × 5 gal"),
        ("units=us&decimal=,&lang=es", "2 × 1 qt + 1 × 1 gal + 1 × 5 gal"),
    ],
)
def test_a_purchase_is_written_as_people_write_cans(send: Send, query: str, line: str) -> None:
    asked = {**BASE, "area": "150 m2", "jurisdiction": "US"}
    assert send("POST", f"{COVERAGE}?{query}", json=asked).json()["result"]["purchase"]["text"] == line
    fields = "&".join(f"{name}={value}" for name, value in asked.items())
    assert send("GET", f"/v1/cell/coverage/purchase.text?{fields}&{query}").text == line
    head, row = ";".join(asked), ";".join(asked.values())
    address = f"/v1/table/coverage.csv?{query}&outputs=purchase.text" + ("" if "decimal" in query else "&decimal=.")
    table = send("POST", address, content=f"{head}\n{row}\n", headers={"content-type": "text/csv"})
    assert line in table.text


AREA = "/v1/calculate/area"


@pytest.mark.parametrize(
    ("query", "body", "detail", "expected"),
    [
        ("?lang=es", b"", "el cuerpo está vacío", "un objeto JSON"),
        ("?lang=es", b'{"a": 1, "a": 2}', "la clave 'a' se da dos veces en un objeto", "cada clave una vez"),
        ("?lang=es", b'{"length": "24", "width": "3 m"}', "'24' no tiene unidad", "una longitud con su unidad, por"),
        (
            "?lang=es",
            b'{"length": "24 L", "width": "3 m"}',
            "'L' mide un volumen, no una longitud",
            "una longitud, por",
        ),
        ("", b'{"length": "24 L", "width": "3 m"}', "'L' measures a volume, not a length", "a length, such as"),
    ],
)
def test_what_cannot_be_read_is_refused_in_the_language_asked_for(
    send: Send, query: str, body: bytes, detail: str, expected: str
) -> None:
    response = send("POST", f"{AREA}{query}", content=body, headers={"content-type": "application/json"})
    assert response.status_code in (400, 422)
    fault = response.json()["errors"][0]
    assert detail in fault["detail"]
    assert fault["expected"].startswith(expected)
    assert "language" not in fault


def test_a_header_asks_for_the_language_of_what_does_not_exist(send: Send) -> None:
    spanish = {"accept-language": "es-MX"}
    [fault] = send("GET", "/v1/catalogue/species/ippe", headers=spanish).json()["errors"]
    assert fault["detail"] == "no hay species con el nombre 'ippe'"
    line = send("GET", "/v1/cell/area/area?length=24&width=3 m&on_error=text&lang=es").text
    assert line.startswith("#ERROR length: '24' no tiene unidad; se espera una longitud con su unidad")


def test_limits_of_a_field_come_in_the_units_asked_for(send: Send) -> None:
    body = {"length": "9000 km", "width": "3 m"}
    metric, us = (send("POST", f"{AREA}?units={units}", json=body).json()["errors"][0] for units in ("metric", "us"))
    assert "ft" not in metric["expected"]
    assert " ft)" in us["expected"].replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("path", "id", "detail"),
    [
        ("/v1/catalogue?foo=1", "unknown-parameter", "aquí no hay parámetro 'foo'"),
        ("/v1/catalogue/species?search=", "nothing-to-search", "no hay nada que buscar"),
        ("/v1/catalogue/species?search=a&search=b", "given-twice", "este nombre se dio más de una vez"),
        (f"/v1/catalogue/species?search={'a' * 81}", "text-too-long", "el texto tiene 81 caracteres"),
        ("/v1/catalogue?%ff=1", "query-not-utf8", "la consulta no está en UTF-8"),
    ],
)
def test_what_is_wrong_in_a_query_is_said_in_the_language_asked_for(
    send: Send, path: str, id: str, detail: str
) -> None:
    (fault,) = send("GET", path, headers={"accept-language": "es-MX"}).json()["errors"]
    assert (fault["id"], fault["detail"]) == (id, detail)


def test_a_width_that_is_none_is_refused_in_the_language_asked_for(send: Send) -> None:
    (fault, *_) = send("POST", "/v1/plan.txt?lang=es&width=5", json={}).json()["errors"]
    assert (fault["id"], fault["expected"]) == ("no-such-width", "un número entero de 20 a 400")


def test_the_kinds_of_the_catalogue_have_titles_in_the_language_asked_for(send: Send) -> None:
    for query, header, title in (("", None, "Woods"), ("?lang=es", None, "Maderas"), ("", "es-MX", "Maderas")):
        answer = send("GET", f"/v1/catalogue{query}", headers={"accept-language": header} if header else {})
        titles = {one["id"]: one["title"] for one in answer.json()["items"]}
        assert titles["species"] == title
