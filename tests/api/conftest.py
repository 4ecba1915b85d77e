"""One application for all API tests, called in process."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import httpx
import pytest
from tests.bundled import bundled

from latewood.catalogue import Catalogue
from latewood_api.app import create_app

Send = Callable[..., httpx.Response]


@pytest.fixture(scope="session")
def lw() -> Catalogue:
    return bundled()


@pytest.fixture(scope="session")
def app(lw: Catalogue) -> Any:
    return create_app(lw, contact=["mailto:security@deck.example", "https://deck.example/report"])


@pytest.fixture(scope="session")
def send(app: Any) -> Send:
    """Send one request to the application; what it raises is not hidden behind a 500."""

    def request(method: str, address: str, **more: Any) -> httpx.Response:
        async def once() -> httpx.Response:
            transport = httpx.ASGITransport(app)
            plain = {"accept-encoding": "identity"}
            async with httpx.AsyncClient(transport=transport, base_url="http://deck.example", headers=plain) as client:
                return await client.request(method, address, **more)

        return asyncio.run(once())

    return request
