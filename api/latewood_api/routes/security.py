"""Whom to tell of a security fault (RFC 9116)."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from typing import Final

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood_api import query
from latewood_api.answers import TEXT, AnyRequest, check_accept, got
from latewood_api.problem import refusal

#: Less than a year is recommended (RFC 9116, section 2.5.5). It moves on by a day each day the server runs.
HOLDS: Final = timedelta(days=180)
#: What a contact must be: RFC 9116, section 2.5.3.
CONTACT: Final = re.compile(r"(?:https://|mailto:|tel:)[!-~]{3,500}")


def handlers(contact: Sequence[str], now: Callable[[], datetime] = lambda: datetime.now(UTC)) -> list[HTTPRouteHandler]:
    """Return the route. Where the operator named no contact there is no file: one without a contact is invalid."""

    @get("/.well-known/security.txt")
    async def security_txt(request: AnyRequest) -> ASGIResponse:
        check_accept(request, TEXT)
        query.options_only(query.Asked.of(request))
        if not contact:
            raise refusal(
                "not-found",
                "the operator of this server has named no contact for security reports",
                expected="latewood serve --contact",
            )
        expires = (now() + HOLDS).replace(hour=0, minute=0, second=0, microsecond=0)
        lines = [f"Contact: {address}" for address in contact]
        lines += [f"Expires: {expires:%Y-%m-%dT%H:%M:%SZ}", "Preferred-Languages: en"]
        return got(request, "".join(f"{line}\r\n" for line in lines).encode(), TEXT)

    return [security_txt]
