"""The interactive page: Swagger UI, whose files lie here. `swagger_ui/SOURCE.md` says where they are from.

Faults of Swagger UI that touch us:

- of the PyPI package `swagger-ui-bundle` is 4.x and cannot draw 3.1; another brings Flask -> two files of 5.34.0
  lie in `pages/swagger_ui`, with their licences. Tests:
  `api/test_pages::test_its_files_are_those_of_the_package_they_are_from`
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Final

from latewood_api import html

#: Each file and its type.
TYPES: Final = {
    "interactive.js": "text/javascript",
    "swagger-ui-bundle.js": "text/javascript",
    "swagger-ui.css": "text/css",
}
HEAD: Final = (
    '<link rel="stylesheet" href="/docs/assets/swagger-ui.css">'
    '<script src="/docs/assets/swagger-ui-bundle.js" defer></script>'
    '<script src="/docs/assets/interactive.js" defer></script>'
)

#: What the script fills.
AFTER: Final = '<div id="interactive"></div>'


@cache
def content(name: str) -> bytes:
    """Return one of the files; none is read before it is asked for."""
    pages = files("latewood_api.pages")
    return (pages if name == "interactive.js" else pages / "swagger_ui").joinpath(name).read_bytes()


def interactive() -> list[str]:
    """Return what leads up to the part that the script fills."""
    return [
        html.heading("Every operation, to try"),
        "<noscript><p>This part needs script; the pages of the calculators above do not.</p></noscript>",
    ]
