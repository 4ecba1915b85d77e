"""What changed in the contract, as the file beside it says."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from latewood_api import query
from latewood_api.answers import MARKDOWN, AnyRequest, check_accept, got

_PACKAGE: Final = Path(__file__).parents[1]
#: Where the file is: a wheel carries it inside the package, a checkout has it beside the committed contract.
PLACES: Final = (_PACKAGE / "CHANGELOG.md", _PACKAGE.parents[1] / "openapi" / "CHANGELOG.md")


def handlers() -> list[HTTPRouteHandler]:
    """Return the route. The file is read once, at start."""
    text = next(place for place in PLACES if place.exists()).read_bytes()

    @get("/v1/changelog")
    async def changelog(request: AnyRequest) -> ASGIResponse:
        check_accept(request, MARKDOWN)
        query.options_only(query.Asked.of(request))
        return got(request, text, MARKDOWN)

    return [changelog]
