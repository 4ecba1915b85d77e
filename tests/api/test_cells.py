"""Cells: one output as text; errors as one line, with their status or hidden behind 200."""

from __future__ import annotations

from collections.abc import Callable

import httpx
import pytest

Send = Callable[..., httpx.Response]

RECTANGLE = "length=24+ft&width=16+ft"
CELL = "/v1/cell/area/area"


def test_a_cell_is_plain_text_in_utf8(send: Send) -> None:
    response = send("GET", f"{CELL}?{RECTANGLE}&units=us")
    assert response.headers["content-type"] == "text/plain; charset=utf-8"
    # 24 ft x 16 ft.
    assert response.text == "384 ft2"


def test_halves_of_a_quantity(send: Send) -> None:
    assert send("GET", f"{CELL}.number?{RECTANGLE}&units=us").text == "384"
    assert send("GET", f"{CELL}.unit?{RECTANGLE}&units=us").text == "ft2"


def test_the_decimal_mark_asked_for_is_read_and_written(send: Send) -> None:
    # 2.5 m x 2 m = 5 m2, 2.5 m x 1.5 m = 3.75 m2.
    assert send("GET", f"{CELL}.number?length=2,5+m&width=1,5+m&decimal=,").text == "3,75"
    assert send("GET", f"{CELL}.number?length=2.5+m&width=1.5+m").text == "3.75"


@pytest.mark.parametrize(
    ("address", "status", "says"),
    [
        (f"{CELL}?length=24&width=16+ft", 422, "length"),
        (f"/v1/cell/area/aera?{RECTANGLE}", 404, "did you mean area?"),
        (f"/v1/cell/aera/area?{RECTANGLE}", 404, "did you mean area?"),
        (f"{CELL}?length=%ff", 400, "UTF-8"),
        (f"{CELL}?{RECTANGLE}&units=imperial", 422, "units"),
    ],
)
def test_an_error_is_one_line_with_its_status_or_hidden(send: Send, address: str, status: int, says: str) -> None:
    shown = send("GET", address)
    hidden = send("GET", f"{address}&on_error=text")
    assert (shown.status_code, hidden.status_code) == (status, 200)
    assert shown.text == hidden.text
    assert shown.text.startswith("#ERROR ")
    assert says in shown.text
    for response in (shown, hidden):
        assert response.headers["content-type"] == "text/plain; charset=utf-8"
        assert response.headers["cache-control"] == "no-store"
        assert len(response.text.splitlines()) == 1


def test_all_faults_are_on_the_line(send: Send) -> None:
    text = send("GET", f"{CELL}?length=24&width=16+kg&hight=2+m").text
    assert all(name in text for name in ("length", "width", "hight"))


def test_a_line_holds_no_control_characters(send: Send) -> None:
    response = send("GET", f"{CELL}?a%0d%0aSet-Cookie:x=1&{RECTANGLE}")
    assert response.status_code == 422
    assert response.text.isprintable()


def test_a_percent_sign_that_was_not_encoded_stands_for_itself(send: Send) -> None:
    # What a sheet that encodes blanks only sends for "12 %": the fault is the unit, not the decoding.
    text = send("GET", f"{CELL}?length=12%20%&width=16+ft").text
    assert "length" in text


def test_only_reading_a_cell_hides_its_errors(send: Send) -> None:
    assert send("DELETE", f"{CELL}?on_error=text").status_code == 405
    assert send("GET", "/v1/row/area?on_error=text").status_code == 422


def test_head_of_a_wrong_cell_has_its_status(send: Send) -> None:
    assert send("HEAD", f"{CELL}?length=24").status_code == 422
    assert send("HEAD", f"{CELL}?length=24&on_error=text").status_code == 200
