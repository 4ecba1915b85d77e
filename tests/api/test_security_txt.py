"""security.txt as RFC 9116 wants it: section 2.3 (place and type), 2.5 (fields), 4 (grammar)."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import httpx
import pytest
from litestar import Litestar

from latewood.catalogue import Catalogue
from latewood_api import errors
from latewood_api.app import create_app
from latewood_api.failures import Failures
from latewood_api.pages.layout import Site
from latewood_api.response_headers import ResponseHeaders
from latewood_api.routes import security

Send = Callable[..., httpx.Response]
PATH = "/.well-known/security.txt"


def fields(text: str) -> list[tuple[str, str]]:
    """Read the file by the grammar of section 4: a name, a colon, a space, a value, a line end."""
    lines = text.splitlines(keepends=True)
    found = [re.fullmatch(r"([A-Za-z-]+): (\S.*?)\r?\n", line) for line in lines]
    assert all(found), text
    return [(match[1], match[2]) for match in found if match]


def ask(app: object, method: str = "GET") -> httpx.Response:
    async def once() -> httpx.Response:
        transport = httpx.ASGITransport(app)  # type: ignore[arg-type]  # Litestar's type of the same thing
        async with httpx.AsyncClient(transport=transport, base_url="http://deck.example") as client:
            return await client.request(method, PATH)

    return asyncio.run(once())


def test_it_names_the_contacts_in_order_and_one_day_of_expiry(send: Send) -> None:
    response = send("GET", PATH)
    assert response.headers["content-type"] == "text/plain; charset=utf-8"
    found = fields(response.text)
    contacts = [value for name, value in found if name == "Contact"]
    assert contacts == ["mailto:security@deck.example", "https://deck.example/report"]
    [expires] = [value for name, value in found if name == "Expires"]
    until = datetime.fromisoformat(expires)
    # Less than a year ahead is recommended (section 2.5.5); already expired would be worthless.
    assert timedelta(days=30) < until - datetime.now(UTC) < timedelta(days=365)
    assert [value for name, value in found if name == "Preferred-Languages"] == ["en"]
    # Where this server is reached is not known to it, so it claims nothing (section 2.5.2).
    assert "Canonical" not in dict(found)


@pytest.mark.parametrize(
    ("now", "expires"), [("2026-05-04T23:59:59", "2026-10-31"), ("2027-12-31T00:00:00", "2028-06-28")]
)
def test_the_expiry_moves_on(lw: Catalogue, now: str, expires: str) -> None:
    """180 days on: 27+30+31+31+30+31 days after 4 May, and 31+29+31+30+31+28 after 31 December 2027."""
    at = datetime.fromisoformat(now).replace(tzinfo=UTC)
    routes = security.handlers(["tel:+1-202-555-0100"], lambda: at)
    app = ResponseHeaders(Litestar(routes, exception_handlers=errors.handlers([], Failures())), [], Site(lw))
    assert dict(fields(ask(app).text))["Expires"] == f"{expires}T00:00:00Z"


def test_where_nobody_is_named_there_is_no_file(lw: Catalogue) -> None:
    """A file without a contact would be invalid (section 2.5.3), and one we made up worse."""
    app = create_app(lw)
    response = ask(app)
    assert response.status_code == 404
    assert response.headers["content-type"] == "application/problem+json"
    assert response.json()["errors"][0]["expected"] == "latewood serve --contact"
    assert ask(app, "HEAD").status_code == 404
    assert ask(app, "OPTIONS").status_code == 204


@pytest.mark.parametrize(
    ("address", "right"),
    [
        ("mailto:security@deck.example", True),
        ("tel:+1-202-555-0100", True),
        ("https://deck.example/report?from=api", True),
        ("http://deck.example/report", False),
        ("security@deck.example", False),
        ("mailto:a b@deck.example", False),
        ("https://deck.example/\r\nContact: x", False),
        ("https://deck.example/é", False),
    ],
)
def test_what_a_contact_is(address: str, right: bool) -> None:
    assert bool(security.CONTACT.fullmatch(address)) is right
