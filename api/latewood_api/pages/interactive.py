"""The interactive page: Swagger UI, whose files come from an installed distribution and from nowhere else.

The distribution's package is never imported: it would bring a web framework into this process. Its files are found by
the installation's own record of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib.metadata import PackageNotFoundError, distribution
from importlib.resources import files
from pathlib import Path
from typing import Final

from latewood_api import html

DISTRIBUTION: Final = "flask-swagger-ui"
FOLDER: Final = "flask_swagger_ui/dist"
#: The first version that draws OpenAPI 3.1; before it, the page says "unable to render".
OLDEST: Final = 5
_TYPES: Final = {"swagger-ui-bundle.js": "text/javascript", "swagger-ui.css": "text/css"}
HEAD: Final = (
    '<link rel="stylesheet" href="/docs/assets/swagger-ui.css">'
    '<script src="/docs/assets/swagger-ui-bundle.js" defer></script>'
    '<script src="/docs/assets/interactive.js" defer></script>'
)

#: What the script fills.
AFTER: Final = '<div id="interactive"></div>'

Assets = Mapping[str, tuple[str, bytes]]


def assets() -> Assets:
    """Return type and content of each file by name; nothing where the distribution is absent, incomplete or too old."""
    try:
        installed = distribution(DISTRIBUTION)
    except PackageNotFoundError:
        return {}
    folder = Path(str(installed.locate_file(FOLDER)))
    if int(installed.version.partition(".")[0]) < OLDEST or not all((folder / name).is_file() for name in _TYPES):
        return {}
    own = files("latewood_api.pages").joinpath("interactive.js").read_bytes()
    found = {name: (media, (folder / name).read_bytes()) for name, media in _TYPES.items()}
    return found | {"interactive.js": ("text/javascript", own)}


def interactive(found: Assets) -> list[str]:
    """Return what leads up to the part that the script fills, or how to get it."""
    heading = html.heading("Every operation, to try")
    if not found:
        return [
            heading,
            html.text("Not installed here. This brings it:"),
            html.code(f"pip install '{DISTRIBUTION}>=5.34'"),
        ]
    return [
        heading,
        "<noscript><p>This part needs script; the pages of the calculators above do not.</p></noscript>",
    ]
